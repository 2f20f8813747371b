"""What is said of a drawing stays with it: cuts are corrected, drawings are redrawn, answers come along."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from sqlalchemy import select

from assetlib.catalogue import queries
from assetlib.catalogue.derived import FingerprintRow, VectorRow
from assetlib.catalogue.entries import Cut
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question, State
from assetlib.services.bringing import clean_copies, redrawing
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.doubles import merging, settling
from assetlib.services.finding import search, showing
from assetlib.services.keeping import history, upkeep
from assetlib.services.trade import clearance

CLEAR = ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
         (Question.AI, "none"))  # fmt: skip
TRACED = ((Question.ORIGIN, "traced-from-found"), *CLEAR[1:])


def page() -> Image.Image:
    """A window in a wall, a ring, and a tower that is black all over."""
    drawn = Image.new("L", (1300, 600), 255)
    pen = ImageDraw.Draw(drawn)
    pen.rectangle((100, 120, 400, 420), outline=0, width=6)
    pen.rectangle((200, 200, 300, 300), outline=0, width=6)
    pen.line((350, 60, 350, 125), fill=0, width=8)
    pen.ellipse((600, 120, 880, 400), outline=0, width=8)
    pen.polygon([(1000, 420), (1020, 150), (1060, 90), (1100, 150), (1120, 420)], fill=0)
    return drawn


@dataclass(frozen=True)
class Sheet:
    code: str
    window: str
    ring: str
    tower: str


@pytest.fixture
def sheet(lib: Library, tmp_path: Path) -> Sheet:
    page().save(tmp_path / "house.png")
    code = bring_in(lib, [tmp_path / "house.png"], Wishes(role="sheet")).added[0].code
    (cut,) = cut_sheet(lib, code)
    window, ring, tower = (out.code or "" for out in cut.elements)
    return Sheet(code, window, ring, tower)


def state(lib: Library, code: str) -> tuple[State, bool]:
    (found,) = clearance.clearance(lib, [code])
    return found.verdict.state, found.to_confirm


def boxed(lib: Library, sheet: Sheet, *box: int) -> None:
    cut_sheet(lib, sheet.code, CutSettings(boxes=((box[0], box[1], box[2], box[3]),)))


def where(lib: Library, code: str) -> tuple[int, int, int]:
    details = showing.show(lib, code)
    return details.version, details.cut, details.versions


def test_a_box_a_pixel_smaller_keeps_all_that_was_said(lib: Library, sheet: Sheet) -> None:
    clearance.answer(lib, [sheet.window], clearance.Statement(TRACED))
    clearance.answer(lib, [sheet.ring], clearance.Statement(CLEAR))
    settling.decide(lib, sheet.window, sheet.ring, "different")
    x, y, w, h = showing.show(lib, sheet.window).piece or (0, 0, 0, 0)
    boxed(lib, sheet, x, y + 1, w, h - 1)
    assert where(lib, sheet.window) == (1, 2, 1)
    assert state(lib, sheet.window) == (State.BLOCKED, False)
    assert state(lib, sheet.ring) == (State.CLEAR, False)
    with lib.reading() as session:
        one, other = (queries.entry(session, code).current_version_id for code in (sheet.window, sheet.ring))
        decision = settling.decision_of(session, one or 0, other or 0)
        assert decision is not None
        assert (decision.verdict, decision.to_confirm) == ("different", False)


def test_a_much_changed_cut_has_what_was_said_confirmed(lib: Library, sheet: Sheet) -> None:
    clearance.answer(lib, [sheet.tower], clearance.Statement(CLEAR))
    boxed(lib, sheet, 990, 160, 150, 280)  # the roof is left out
    assert where(lib, sheet.tower)[:2] == (1, 2)
    assert state(lib, sheet.tower) == (State.ASK, True)
    assert clearance.confirm(lib, [sheet.tower])[0].verdict.state is State.CLEAR
    history.undo_steps(lib, 2)
    assert state(lib, sheet.tower) == (State.CLEAR, False)
    assert where(lib, sheet.tower) == (1, 1, 1)


def test_a_contour_cut_open_by_its_box_is_still_the_same_drawing(lib: Library, sheet: Sheet) -> None:
    """Its inside is no longer filled, so that next to nothing of the mask is left."""
    clearance.answer(lib, [sheet.ring], clearance.Statement(TRACED))
    boxed(lib, sheet, 600, 120, 281, 265)
    assert where(lib, sheet.ring) == (1, 2, 1)
    assert state(lib, sheet.ring)[0] is State.BLOCKED


def test_what_blocks_goes_on_blocking_in_a_changed_cut(lib: Library, sheet: Sheet) -> None:
    clearance.answer(lib, [sheet.tower], clearance.Statement(TRACED))
    boxed(lib, sheet, 990, 160, 150, 280)
    assert state(lib, sheet.tower) == (State.BLOCKED, True)


def test_an_opening_switched_is_a_new_cut_and_makes_nothing_else_anew(lib: Library, sheet: Sheet) -> None:
    upkeep.work_off(lib)
    opening = clean_copies.make(lib, sheet.window).openings[0]
    before = _looks(lib, sheet.window)
    changes = clean_copies.Changes(**{"shut" if opening["open"] else "open": (opening["number"],)})
    clean_copies.make(lib, sheet.window, changes)
    assert where(lib, sheet.window) == (1, 2, 1)
    assert not [row for row in upkeep.waiting(lib) if row.count]
    assert _looks(lib, sheet.window) == before
    assert showing.show(lib, sheet.window).proof is not None
    clean_copies.make(lib, sheet.window, changes)  # as it is already
    assert where(lib, sheet.window) == (1, 2, 1)


def _looks(lib: Library, code: str) -> list[bytes]:
    with lib.reading() as session:
        entry = queries.entry(session, code)
        cut = session.scalar(select(Cut.id).where(Cut.id == entry.current.current_cut_id))  # type: ignore[union-attr]
        return [
            *session.scalars(select(FingerprintRow.data).where(FingerprintRow.cut_id == cut)),
            *session.scalars(select(VectorRow.data).where(VectorRow.cut_id == cut)),
        ]


def redrawn_ring(lib: Library, tmp_path: Path) -> str:
    """The ring, drawn anew and brought in."""
    redrawn = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(redrawn).ellipse((60, 60, 340, 340), outline=0, width=20)
    redrawn.save(tmp_path / "ring again.png")
    return bring_in(lib, [tmp_path / "ring again.png"], Wishes(role="element")).added[0].code


def test_a_redraw_is_a_new_version_whose_answers_are_to_be_confirmed(
    lib: Library, sheet: Sheet, tmp_path: Path
) -> None:
    clearance.answer(lib, [sheet.ring], clearance.Statement(CLEAR))
    settling.decide(lib, sheet.window, sheet.ring, "different")
    newer = redrawn_ring(lib, tmp_path)
    redrawing.next_version(lib, sheet.ring, newer, "redrawn")
    assert where(lib, sheet.ring) == (2, 1, 2)
    assert showing.show(lib, sheet.ring).size == (400, 400)
    assert showing.show(lib, newer).card.in_attic
    assert state(lib, sheet.ring) == (State.ASK, True)
    history.undo_steps(lib)
    assert where(lib, sheet.ring) == (1, 1, 1)
    assert not showing.show(lib, newer).card.in_attic
    assert state(lib, sheet.ring) == (State.CLEAR, False)


GUARD = Description(set=("mirror=do not mirror",))


def guard(lib: Library, code: str) -> tuple[bool, bool]:
    """Whether a drawing must not be mirrored, and whether that is to be said again."""
    words = [word for word in showing.show(lib, code).words if word.facet == "mirror"]
    assert [word.text for word in words] == ["do not mirror"] * len(words)
    assert showing.show(lib, code).card.facets.get("mirror", ()) == tuple(word.text for word in words)
    return bool(words), any(word.to_confirm for word in words)


def test_a_mirror_guard_stays_with_a_small_correction_and_is_asked_again_after_a_large_one(
    lib: Library, sheet: Sheet
) -> None:
    describe(lib, [sheet.tower, sheet.window], GUARD)
    x, y, w, h = showing.show(lib, sheet.window).piece or (0, 0, 0, 0)
    boxed(lib, sheet, x, y + 1, w, h - 1)
    boxed(lib, sheet, 990, 160, 150, 280)  # the roof is left out
    assert guard(lib, sheet.window) == (True, False)
    assert guard(lib, sheet.tower) == (True, True)
    describe(lib, [sheet.tower], GUARD)
    assert guard(lib, sheet.tower) == (True, False)
    history.undo_steps(lib)
    assert guard(lib, sheet.tower) == (True, True)
    describe(lib, [sheet.tower], Description(set=("mirror=",)))
    assert guard(lib, sheet.tower) == (False, False)


def test_a_mirror_guard_comes_along_to_a_redraw_and_goes_back_with_it(
    lib: Library, sheet: Sheet, tmp_path: Path
) -> None:
    describe(lib, [sheet.ring], GUARD)
    newer = redrawn_ring(lib, tmp_path)
    redrawing.next_version(lib, sheet.ring, newer, "redrawn")
    assert guard(lib, sheet.ring) == (True, True)
    found = search.find(lib, search.Asked("", only=("mirror=do not mirror",))).results
    assert [result.card.code for result in found] == [sheet.ring]
    history.undo_steps(lib)
    assert guard(lib, sheet.ring) == (True, False)


def test_a_double_brings_its_mirror_guard_along_to_be_confirmed(
    lib: Library, sheet: Sheet, tmp_path: Path
) -> None:
    other = redrawn_ring(lib, tmp_path)
    describe(lib, [other], GUARD)
    merging.merge(lib, sheet.ring, other)
    assert guard(lib, sheet.ring) == (True, True)
    history.undo_steps(lib)
    assert guard(lib, sheet.ring) == (False, False)
    assert guard(lib, other) == (True, False)


def test_a_title_says_the_mirror_guard_once(lib: Library, sheet: Sheet) -> None:
    describe(lib, [sheet.ring], Description(title="ring CU, do not mirror"))
    assert guard(lib, sheet.ring) == (True, False)
    describe(lib, [sheet.ring], Description(add=("ring",)))
    assert guard(lib, sheet.ring) == (True, False)
    describe(lib, [sheet.ring], Description(title="ring CU"))
    assert guard(lib, sheet.ring) == (False, False)
