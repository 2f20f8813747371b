"""The attic: off the shelf and back, and for good, which is a record that nothing takes back unasked."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing import cutting
from assetlib.services.bringing.intake import REMOVED, Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.keeping import attic, history, leftovers, upkeep
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.inspecting import check_backup
from assetlib.services.keeping.restoring import restore
from assetlib.services.keeping.safekeeping import back_up
from assetlib.services.trade import bundling, clearance, collections
from tests.conftest import Draw
from tests.services.keeping.test_backups import totals


def _sheet(path: Path) -> Path:
    page = Image.new("L", (600, 260), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((30, 40, 220, 220), outline=0, width=5)
    pen.rectangle((360, 40, 560, 220), outline=0, width=5)
    page.save(path)
    return path


def _sell(lib: Library, code: str) -> bundling.Issue:
    values = (
        (Question.ORIGIN, "out-of-the-head"),
        (Question.OWNERSHIP, "own"),
        (Question.DEPICTS, "none"),
        (Question.AI, "none"),
    )
    clearance.answer(lib, [code], clearance.Statement(values))
    collections.make(lib, "Sold")
    collections.put(lib, "Sold", [code])
    collections.choose_licence(lib, "Sold", "one artist")
    return bundling.build(lib, "Sold")


def test_off_the_shelf_and_back(lib: Library, draw: Draw) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    attic.take_up(lib, [code])
    assert totals(lib) == 0
    (waits,) = attic.waiting(lib)
    assert (waits.card.code, waits.refers, waits.holds) == (code, (), ())
    attic.bring_back(lib, [code])
    assert totals(lib) == 1
    attic.take_up(lib, [code])
    history.undo_steps(lib)
    assert totals(lib) == 1
    with pytest.raises(WrongUsage, match="not in the attic"):
        attic.empty(lib, [code])


def test_what_is_removed_for_good_stays_so(lib: Library, draw: Draw, tmp_path: Path) -> None:
    dog, ferry = draw("secret dog.png", 1), draw("ferry.png", 2)
    code = bring_in(lib, [dog]).added[0].code
    (blob,) = (lib.folder / "originals").glob("??/??/*")
    bring_in(lib, [ferry])
    upkeep.work_off(lib, (upkeep.PROOF,))
    tagging.describe(lib, [code], tagging.Description(add=("hush",), title="A secret dog"))
    back_up(lib, tmp_path / "safe")
    attic.take_up(lib, [code])
    foreseen = attic.empty(lib, dry_run=True)
    assert blob.exists()
    emptied = attic.empty(lib)
    assert emptied == foreseen
    assert [row.card.code for row in emptied.gone] == [code]
    assert (emptied.files, blob.exists()) == (1, False)
    assert attic.waiting(lib) == []
    report = check(lib)
    assert report.clean, report.problems
    with pytest.raises(NotFound, match="removed for good"):
        show(lib, code)
    # Nothing brings it back: not intake, not repair, not undo, not a restore of an older state.
    assert bring_in(lib, [dog]).known[0].how == REMOVED
    check(lib, repair=True, heal_from=tmp_path / "drawings")
    assert not blob.exists()
    while any(not step.undone and not step.record for step in history.steps(lib)):
        history.undo_steps(lib)
    assert totals(lib) <= 1
    assert not blob.exists()
    assert back_up(lib).removed == 1
    assert all(not state.problems for state in check_backup(tmp_path / "safe"))
    restored = restore(tmp_path / "safe", tmp_path / "again", generation=1)
    assert restored.lost == ()
    again = Library.open(restored.folder)
    assert check(again).clean, check(again).problems
    assert bring_in(again, [dog]).known[0].how == REMOVED
    again.close()
    lib.close()
    everything = lib.catalogue.read_bytes()
    assert b"secret dog" not in everything
    # Asked for outright, it comes in as new.
    added = bring_in(lib, [dog], Wishes(removed=True)).added
    assert [item.title for item in added] == ["secret dog"]
    assert blob.exists()
    assert check(lib).clean


def test_what_a_bundle_holds_never_goes(lib: Library, tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    sheet = bring_in(lib, [_sheet(tmp_path / "in" / "shapes.png")], Wishes(role="sheet")).added[0].code
    (cut,) = cutting.cut_sheet(lib, sheet)
    sold, spare = (str(out.code) for out in cut.elements)
    _sell(lib, sold)
    attic.take_up(lib, [sheet, sold, spare])
    emptied = attic.empty(lib)
    assert {row.card.code for row in emptied.held} == {sheet, sold}
    assert {row.card.code for row in emptied.gone} == {spare}
    assert emptied.files == 0
    report = check(lib)
    assert report.clean, report.problems
    assert len(attic.waiting(lib)) == 2


def test_a_sheet_stays_while_a_drawing_of_it_is_on_the_shelf(lib: Library, tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    sheet = bring_in(lib, [_sheet(tmp_path / "in" / "shapes.png")], Wishes(role="sheet")).added[0].code
    (cut,) = cutting.cut_sheet(lib, sheet)
    one, other = (str(out.code) for out in cut.elements)
    attic.take_up(lib, [sheet, one])
    assert {row.card.code for row in attic.empty(lib).held} == {sheet}
    attic.take_up(lib, [other])
    emptied = attic.empty(lib)
    assert ({row.card.code for row in emptied.gone}, emptied.files) == ({sheet, other}, 1)
    assert list(lib.originals.all()) == []
    assert check(lib).clean
    lib.close()
    again = Library.open(lib.folder)  # no originals, and none that it should have
    assert find(again, Asked()).total == 0
    again.close()


def test_a_stop_between_record_and_files_is_settled(lib: Library, draw: Draw) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    (blob,) = (lib.folder / "originals").glob("??/??/*")
    data = blob.read_bytes()
    attic.take_up(lib, [code])
    attic.empty(lib)
    blob.write_bytes(data)
    assert "removed for good" in check(lib).problems[0].what
    leftovers.tidy(lib)
    assert not blob.exists()
    assert check(lib).clean
