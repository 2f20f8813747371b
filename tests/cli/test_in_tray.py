"""The in-tray and the thesaurus as they are met in a terminal."""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.conftest import PATIENCE, Assetlib, Draw

pty = pytest.importorskip("pty", reason="a terminal of this kind is POSIX's")


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    assert assetlib("start", tmp_path / "library").code == 0
    return tmp_path / "library"


class Terminal:
    """The in-tray in a terminal of its own: what it shows, and keys."""

    def __init__(self, library: Path) -> None:
        self._lead, follow = pty.openpty()
        environment = os.environ | {"TERM": "xterm-256color", "COLUMNS": "100", "LINES": "30"}
        environment |= {"ASSETLIB_LIBRARY": str(library)}
        environment.pop("NO_COLOR", None)
        self.process = subprocess.Popen(
            [sys.executable, "-c", "from assetlib.cli.main import run; run()", "tag", "--in-tray"],
            stdin=follow, stdout=follow, stderr=follow, env=environment, start_new_session=True,
        )  # fmt: skip
        os.close(follow)
        self.shown = ""

    def wait_for(self, text: str) -> None:
        """Read until the screen has shown this since the last key."""
        end = time.monotonic() + PATIENCE
        while text not in self.shown and time.monotonic() < end:
            if select.select([self._lead], [], [], 1)[0]:
                try:
                    self.shown += os.read(self._lead, 65536).decode("utf-8", "replace")
                except OSError:
                    break
        assert text in self.shown

    def press(self, keys: str) -> None:
        self.shown = ""
        os.write(self._lead, keys.encode())


def test_a_drawing_is_described_with_keys(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    drawings = draw("IMG_1.png", 1), draw("IMG_2.png", 4)
    assert assetlib("intake", *drawings, "--as", "element", library=library).code == 0
    found = assetlib("find", "--in-tray", "--json", library=library).json["results"]
    codes = [row["code"] for row in found]
    terminal = Terminal(library)
    terminal.wait_for("1 of 2 waiting")
    terminal.press("tDog asleep\r")
    terminal.wait_for("described: Dog asleep")
    terminal.press("q")
    terminal.wait_for("1 left in the in-tray")
    assert terminal.process.wait(PATIENCE) == 0
    shown = [assetlib("show", code, "--json", library=library).json for code in codes]
    assert {"dog", "sleeping"} in [set(one["tags"]) for one in shown]


def test_without_a_terminal_it_says_so(assetlib: Assetlib, library: Path) -> None:
    ran = assetlib("tag", "--in-tray", library=library)
    assert ran.code == 2
    assert "terminal" in ran.err


def test_the_thesaurus_shows_and_changes(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    assert assetlib("thesaurus", "add", "whippet", "--broader", "dog", library=library).code == 0
    shown = assetlib("thesaurus", "show", "whippet", "--json", library=library).json["concepts"]
    assert shown[0]["broader"] == ["dog"]
    assert assetlib("thesaurus", "export", tmp_path / "w.ttl", library=library).code == 0
    assert "whippet" in (tmp_path / "w.ttl").read_text(encoding="utf-8")
    assert assetlib("thesaurus", "show", "quibble", library=library).code == 15
