"""A disk that fills up in the middle of an intake: one clear line, and what came in before stands."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.starting import start_library
from tests.conftest import Assetlib, Draw

ROOM = "4800k"
"""Room for the catalogue and half of the drawings: more than one batch that is kept together."""


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own with room for a catalogue and a few drawings."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if sys.platform != "linux" or os.getuid() != 0:
        pytest.skip("mounting a small disk needs Linux and root")
    mount = ["mount", "-t", "tmpfs", "-o", f"size={ROOM}", "tmpfs", str(folder)]
    if not shutil.which("mount") or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("this machine lets nobody mount a disk")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_is_one_line_and_loses_nothing(
    small_disk: Path, draw: Draw, assetlib: Assetlib, tmp_path: Path
) -> None:
    start_library(small_disk / "library").close()
    for number in range(120):
        draw(f"{number}.bmp", number, size=(100 + number, 120))
    done = assetlib("intake", tmp_path / "drawings", "--json", library=small_disk / "library")
    assert done.code == 23
    assert "room" in done.err
    assert "Traceback" not in done.err
    moved = tmp_path / "moved"
    shutil.copytree(small_disk / "library", moved)
    lib = Library.open(moved)
    report = check(lib)
    assert report.clean
    assert 0 < report.originals < 120
    bring_in(lib, [tmp_path / "drawings"])
    assert check(lib).originals == 120
    lib.close()
