"""An intake that is killed at any moment leaves a library that is whole, and a rerun completes it.

CI runs the fixed seeds; `python -m tests.bench.kills 100` runs a hundred random ones.
"""

from __future__ import annotations

import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping.checking import check
from tests.conftest import Draw

SEEDS = range(20)
DRAWINGS = 12
LATEST = 3.0
"""Seconds after the start: an intake of a dozen small drawings is over by then on most machines."""


def kill_an_intake(library: Path, drawings: Path, after: float) -> bool:
    """Start an intake in its own process and kill it after so many seconds; returns whether it was still running."""
    code = "from assetlib.cli.main import run; run()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, "--library", str(library), "intake", str(drawings)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    time.sleep(after)
    running = process.poll() is None
    if running:
        process.send_signal(signal.SIGKILL if sys.platform != "win32" else signal.SIGTERM)
    process.wait()
    return running


def assert_whole_after_rerun(library: Path, drawings: Path, count: int) -> None:
    """The library opens and is clean; the same intake completes it without double or loss."""
    lib = Library.open(library)
    report = check(lib)
    assert report.clean, report.problems
    bring_in(lib, [drawings])
    assert find(lib, Asked(limit=1)).total == count
    assert check(lib).originals == count
    assert not list((library / "staging").iterdir())
    lib.close()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_killed_intake_leaves_a_whole_library(lib: Library, draw: Draw, seed: int, tmp_path: Path) -> None:
    for number in range(DRAWINGS):
        draw(f"drawing {number}.png", number, size=(100 + number, 80))
    lib.close()
    library = tmp_path / "copy"
    shutil.copytree(lib.folder, library)
    kill_an_intake(library, tmp_path / "drawings", random.Random(seed).uniform(0.3, LATEST))
    assert_whole_after_rerun(library, tmp_path / "drawings", DRAWINGS)
