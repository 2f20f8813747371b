"""Whatever lies in a folder, an intake of it goes on: links that lead nowhere or to themselves, pipes, odd names."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from tests.conftest import Draw


@pytest.mark.skipif(sys.platform == "win32", reason="Windows makes links only for some users")
def test_nothing_in_a_folder_stops_an_intake(lib: Library, draw: Draw) -> None:
    folder = draw("dog.png").parent
    (folder / "itself.png").symlink_to(folder / "itself.png")
    (folder / "nowhere.png").symlink_to(folder / "gone.png")
    (folder / "one").symlink_to(folder / "other")
    (folder / "other").symlink_to(folder / "one")
    (folder / "back").symlink_to(folder, target_is_directory=True)
    os.mkfifo(folder / "pipe.png")
    (folder / "folder.png").mkdir()
    os.symlink(folder / "dog.png", os.fsencode(folder) + b"/\xff\xfe.png")
    report = bring_in(lib, [folder, folder / "itself.png", folder / "one", Path("x" * 5000), Path("\0.png")])
    assert len(report.added) == 1
    reasons = {row.source.rpartition("/")[2]: row.reason for row in report.failed}
    assert reasons["itself.png"] == reasons["one"] == "the link leads back to itself"
    assert reasons["nowhere.png"] == "the link leads nowhere"
    assert reasons["pipe.png"] == "it is not a file"
    assert "xxx" in str(reasons)
