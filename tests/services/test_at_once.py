"""The same work asked for twice at once is done once, and neither of the two fails."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping.checking import check


@pytest.mark.parametrize("command", ["cut", "intake"])
def test_two_of_the_same_at_once(lib: Library, tmp_path: Path, command: str) -> None:
    page = Image.new("L", (600, 260), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((30, 40, 220, 220), outline=0, width=5)
    pen.rectangle((360, 40, 560, 220), outline=0, width=5)
    page.save(tmp_path / "shapes.png")
    lib.close()
    code = "from assetlib.cli.main import run; run()"
    line = [sys.executable, "-c", code, "--library", str(lib.folder), command, str(tmp_path / "shapes.png")]
    both = [
        subprocess.Popen(line, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) for _ in range(2)
    ]
    said = [process.communicate(timeout=600)[1] for process in both]
    assert [process.returncode for process in both] == [0, 0], said
    report = check(lib)
    assert report.clean, report.problems
    assert find(lib, Asked(limit=1)).total == (3 if command == "cut" else 1)
