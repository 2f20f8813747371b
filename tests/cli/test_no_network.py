"""No connection beyond this machine is ever made but by `model use`: watched below Python, in workers too."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import ImageDraw, ImageFont

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from tests.cli.pages import three_shapes
from tests.conftest import Draw
from tests.faults import shim


@pytest.mark.skipif(sys.platform != "linux", reason="the shim is for Linux")
def test_nothing_leaves_the_machine(lib: Library, draw: Draw, tmp_path: Path) -> None:
    code = bring_in(lib, [draw("dog.png", 1)]).added[0].code
    lib.close()
    log = tmp_path / "log"

    def run(*arguments: object) -> int:
        environment = os.environ | {
            "LD_PRELOAD": str(shim.library("sockets")), "SOCKETS_LOG": str(log), "HOME": str(tmp_path),
            "ASSETLIB_LIBRARY": str(lib.folder),
        }  # fmt: skip
        command = [sys.executable, "-c", "from assetlib.cli.main import run; run()", *map(str, arguments)]
        done = subprocess.run(
            command, env=environment, capture_output=True, cwd=tmp_path, timeout=900, check=False
        )
        return done.returncode

    assert run("intake", draw("ferry.png", 2)) == 0
    page = three_shapes().resize((1800, 840))
    ImageDraw.Draw(page).text((320, 700), "a caption", fill=0, font=ImageFont.load_default(44), anchor="ma")
    page.save(tmp_path / "asset sheet.png")  # where there is a reader, the caption is read
    assert run("intake", tmp_path / "asset sheet.png", "--as", "sheet") == 0
    for command in (
        ("upkeep",),
        ("find", "dog"),
        ("find", "--like", tmp_path / "drawings" / "dog.png"),
        ("show", code, "--clean"),
        ("doubles", "--all"),
        ("model",),
        ("backup", tmp_path / "safe"),
        ("restore", tmp_path / "safe", tmp_path / "again"),
        ("export", tmp_path / "out"),
        ("check",),
    ):
        assert run(*command) in (0, 2), command
    assert not log.exists(), log.read_text(encoding="utf-8")
    # The watch can see: a program that does look something up is noted, and gets nowhere.
    script = "import socket; socket.getaddrinfo('boards.example', 80)"
    environment = os.environ | {"LD_PRELOAD": str(shim.library("sockets")), "SOCKETS_LOG": str(log)}
    assert subprocess.run(
        [sys.executable, "-c", script], env=environment, capture_output=True, check=False
    ).returncode
    assert "boards.example" in log.read_text(encoding="utf-8")
