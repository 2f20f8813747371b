"""Captions: their pictures stay with the cut, and where a reader is installed they propose titles."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont
from sqlalchemy import select

from assetlib.catalogue import queries
from assetlib.catalogue.words import Suggestion
from assetlib.imaging import lettering
from assetlib.library import Library
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.captions import least_sure, title_of
from assetlib.services.describing.tray import Tray
from assetlib.services.finding.showing import show
from assetlib.services.keeping.history import undo_steps
from assetlib.services.keeping.upkeep import waiting, work_off
from tests.cli.pages import three_shapes

needs_reader = pytest.mark.skipif(
    lettering.reader_name() is None, reason="pip install -e '.[captions]' brings a text reader"
)
CAPTIONS = ("hand with phone", "dog asleep", "bread basket")


@pytest.fixture
def sheet(lib: Library, tmp_path: Path) -> str:
    """Three shapes with a caption under each, cut; the code of the sheet."""
    page = three_shapes().resize((1800, 840))
    pen = ImageDraw.Draw(page)
    for words, x in zip(CAPTIONS, (320, 920, 1500), strict=True):
        pen.text((x, 700), words, fill=0, font=ImageFont.load_default(44), anchor="ma")
    page.save(tmp_path / "asset sheet 7.png")
    (added,) = bring_in(lib, [tmp_path / "asset sheet 7.png"], Wishes(role="sheet")).added
    cut_sheet(lib, added.code)
    return added.code


def test_a_caption_is_kept_as_a_picture_and_shown(lib: Library, sheet: str) -> None:
    work_off(lib)
    caption = Tray(lib).view().caption
    assert caption is not None
    with Image.open(caption) as picture:
        assert picture.width > 3 * picture.height
        assert np.asarray(picture.convert("L")).min() < 60
    assert not [row for row in waiting(lib) if row.count]


@needs_reader
def test_a_caption_is_the_title_unless_another_is_given(lib: Library, sheet: str) -> None:
    work_off(lib)
    tray = Tray(lib)
    view = tray.view()
    assert not view.is_titled
    assert view.offered is not None
    assert (view.offered.text, view.offered.why) == ("title: hand with phone", "read from its caption")
    assert view.offered.taken
    tray.finish()
    card = show(lib, view.code).card
    assert (card.title, set(card.tags)) == ("hand with phone", {"hand holding phone"})
    assert _titles(lib, view.code) == [("hand with phone", "caption", "taken")]


@needs_reader
def test_another_title_leaves_what_was_read(lib: Library, sheet: str) -> None:
    work_off(lib)
    tray = Tray(lib)
    code = tray.view().code
    tray.name("Left hand")
    assert tray.view().offered is None
    tray.finish()
    assert _titles(lib, code) == [("hand with phone", "caption", "left")]
    assert tray.undo()
    assert _titles(lib, code) == [("hand with phone", "caption", "offered")]


@needs_reader
def test_typing_what_was_read_takes_it(lib: Library, sheet: str) -> None:
    work_off(lib)
    tray = Tray(lib)
    code = tray.view().code
    tray.name("hand with phone")
    tray.finish()
    assert _titles(lib, code) == [("hand with phone", "caption", "taken")]


@needs_reader
def test_undoing_the_cut_takes_along_what_was_read(lib: Library, sheet: str) -> None:
    work_off(lib)
    undo_steps(lib)
    with lib.reading() as session:
        assert session.scalars(select(Suggestion).where(Suggestion.recipe == "caption")).all() == []
    cut_sheet(lib, sheet)
    work_off(lib)
    assert Tray(lib).view().offered is not None


def test_without_a_reader_nothing_is_read_and_nothing_fails(
    lib: Library, sheet: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # As where the extra is not installed: `find_spec` finds no module whose entry is None.
    monkeypatch.setitem(sys.modules, "rapidocr", None)
    assert lettering.reader_name() is None
    assert not [failed for worked in work_off(lib) for failed in worked.failed]
    view = Tray(lib).view()
    assert view.caption is not None
    assert view.offered is None


@needs_reader
def test_what_is_hardly_lettering_is_not_read(lib: Library) -> None:
    rng = np.random.default_rng(4)
    scribble = Image.new("RGB", (400, 60), "white")
    points = [(x, int(rng.integers(5, 55))) for x in range(5, 395, 9)]
    ImageDraw.Draw(scribble).line(points, fill="black", width=3)
    found = lettering.read_lettering(np.asarray(scribble))
    with lib.reading() as session:
        assert found is None or found.sure < least_sure(session, title_of(found.text))


def test_a_word_that_nobody_knows_has_to_be_read_more_surely(lib: Library) -> None:
    with lib.reading() as session:
        assert least_sure(session, "nurse with glipboard") > least_sure(session, "nurse with clipboard")


@pytest.mark.parametrize(
    ("read", "title"),
    [
        ("07 van front", "van front"),
        ("3. loaf", "loaf"),
        ("(12) gull", "gull"),
        ("2 women waiting", "2 women waiting"),
        ("KNiFE AND FORK", "KNIFE AND FORK"),
        ("CU mouth", "CU mouth"),
        ("clock 6:30", "clock 6:30"),
    ],
)
def test_a_title_is_the_caption_without_its_number(read: str, title: str) -> None:
    assert title_of(read) == title


def _titles(lib: Library, code: str) -> list[tuple[str, str, str]]:
    with lib.reading() as session:
        entry_id = queries.entry(session, code).id
        rows = session.scalars(
            select(Suggestion).where(Suggestion.entry_id == entry_id, Suggestion.facet == "title")
        )
        return [(row.value, row.recipe, row.state) for row in rows]
