"""A watched folder: a file counts when it has stopped growing, and one saved again is one drawing in the in-tray."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.arrivals import Wishes
from assetlib.services.bringing.intake import bring_in
from assetlib.services.bringing.watching import STILL, Came, Watch
from assetlib.services.finding.search import Asked, find
from tests.conftest import Draw


def looks(watch: Watch) -> list[Came]:
    """What came in at as many looks as a file has to stay the same for."""
    return [came for _ in range(STILL) for came in watch.look()]


@pytest.fixture
def saved(tmp_path: Path) -> Path:
    folder = tmp_path / "saved"
    folder.mkdir()
    return folder


def test_what_is_saved_comes_in_once_it_stopped_growing(lib: Library, draw: Draw, saved: Path) -> None:
    whole = [draw("frame.png", number).read_bytes() for number in (1, 5)]
    (saved / "old.png").write_bytes(draw("old.png", 9).read_bytes())
    watch = Watch(lib, saved, Wishes(role="element"))
    watch.begin()
    assert looks(watch) == []
    target = saved / "A_05a.png"
    target.write_bytes(whole[0][:60])
    assert [watch.look(), watch.look()] == [[], []]
    target.write_bytes(whole[0])  # the second step of one saving
    (first,) = looks(watch)
    assert (first.path.name, bool(first.code), first.reason, first.known) == ("A_05a.png", True, "", "")
    assert looks(watch) == []
    part = saved / ".A_05a.png.part"
    part.write_bytes(whole[1])
    assert watch.look() == []
    part.replace(target)
    (second,) = looks(watch)
    assert second.instead_of == first.code
    assert [result.card.code for result in find(lib, Asked(in_tray=True)).results] == [second.code]


def test_what_is_there_already_is_told_as_such_and_once(lib: Library, draw: Draw, saved: Path) -> None:
    (there,) = bring_in(lib, [draw("dog.png", 3)], Wishes(role="element")).added
    watch = Watch(lib, saved, Wishes(role="element"))
    watch.begin()
    copy = saved / "copy of dog.png"
    copy.write_bytes(draw("dog.png", 3).read_bytes())
    (came,) = looks(watch)
    assert (came.code, came.known) == (there.code, "same file")
    os.utime(copy, (1, 1))
    assert looks(watch) == []
    copy.write_bytes(draw("other.png", 7).read_bytes())
    (new,) = looks(watch)
    assert (new.known, new.instead_of) == ("", "")
    os.utime(copy, (2, 2))  # saved again as it is: nothing new to tell
    assert looks(watch) == []
    waiting = {result.card.code for result in find(lib, Asked(in_tray=True)).results}
    assert waiting == {there.code, new.code}


def test_what_cannot_be_read_is_told_and_the_watch_goes_on(lib: Library, tmp_path: Path) -> None:
    watch = Watch(lib, tmp_path, Wishes())
    watch.begin()
    (tmp_path / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nxx")
    (came,) = looks(watch)
    assert came.reason
    with pytest.raises(WrongUsage, match="no folder"):
        Watch(lib, tmp_path / "none", Wishes()).begin()
