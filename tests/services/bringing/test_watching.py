"""A watched folder: a file counts when it has stopped growing, and one saved again is one drawing in the in-tray."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.arrivals import Wishes
from assetlib.services.bringing.watching import Watch
from assetlib.services.finding.search import Asked, find
from tests.conftest import Draw


def test_what_is_saved_comes_in_once_it_stopped_growing(lib: Library, draw: Draw, tmp_path: Path) -> None:
    folder = tmp_path / "saved"
    folder.mkdir()
    whole = [draw("frame.png", number).read_bytes() for number in (1, 5)]
    (folder / "old.png").write_bytes(draw("old.png", 9).read_bytes())
    watch = Watch(lib, folder, Wishes(role="element"))
    watch.begin()
    assert watch.look() == []
    target = folder / "A_05a.png"
    target.write_bytes(whole[0][:60])
    assert watch.look() == []
    target.write_bytes(whole[0])
    assert watch.look() == []
    (first,) = watch.look()
    assert (first.path.name, bool(first.code), first.reason) == ("A_05a.png", True, "")
    assert watch.look() == []
    part = folder / ".A_05a.png.part"
    part.write_bytes(whole[1])
    assert watch.look() == []
    part.replace(target)
    watch.look()
    (second,) = watch.look()
    assert second.instead_of == first.code
    assert [result.card.code for result in find(lib, Asked(in_tray=True)).results] == [second.code]


def test_what_cannot_be_read_is_told_and_the_watch_goes_on(lib: Library, tmp_path: Path) -> None:
    watch = Watch(lib, tmp_path, Wishes())
    watch.begin()
    (tmp_path / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nxx")
    watch.look()
    (came,) = watch.look()
    assert came.reason
    with pytest.raises(WrongUsage, match="no folder"):
        Watch(lib, tmp_path / "none", Wishes()).begin()
