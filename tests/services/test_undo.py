"""Taking steps back: what was issued or used stays and is never in the way; one use case is one step."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import func, select

from assetlib.catalogue import queries
from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.packing import digest, pack, unpack
from assetlib.catalogue.trade import Bundle, BundleItem
from assetlib.errors import Moved, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing import clean_copies, cutting
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.finding import showing
from assetlib.services.jobs import jobs, uses
from assetlib.services.keeping import history
from assetlib.services.keeping.checking import check
from assetlib.services.trade import bundling, clearance, collections
from assetlib.services.versions import pinned
from assetlib.storage import bundles
from tests.conftest import Draw
from tests.services.here import without_workers

CLEAR = ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
         (Question.AI, "none"))  # fmt: skip


@pytest.fixture
def offered(lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Codes of two cleared drawings in a collection that has a licence."""
    without_workers(monkeypatch)
    paths = [draw("dog.png", 1), draw("cart.png", 5)]
    codes = [item.code for item in bring_in(lib, paths, Wishes(role="element", tags=("mine",))).added]
    clearance.answer(lib, codes, clearance.Statement(CLEAR))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", codes)
    collections.choose_licence(lib, "Dogs", "one artist")
    return codes


def undo_all(lib: Library) -> list[history.StepNote]:
    """Undo until there is nothing more to undo."""
    notes = []
    while True:
        try:
            notes += history.undo_steps(lib)
        except WrongUsage:
            return notes


def test_after_a_bundle_everything_older_can_still_be_undone(lib: Library, offered: list[str]) -> None:
    collections.take_out(lib, "Dogs", [offered[1]])
    issue = bundling.build(lib, "Dogs")
    (note,) = history.undo_steps(lib)  # the bundle is stepped past
    assert note.what == f"collection Dogs: {offered[1]} taken out"
    notes = undo_all(lib)
    sentences = [sentence for note in notes for sentence in note.stays]
    assert any(offered[0] in s and "Dogs 1" in s and "issued" in s for s in sentences)
    assert any("the collection Dogs stays" in s for s in sentences)
    assert not any(offered[1] in s for s in sentences)
    with pytest.raises(NotFound):
        showing.show(lib, offered[1])
    kept = showing.show(lib, offered[0])
    assert kept.card.tags == ("mine",)
    assert kept.original.is_file()
    assert [i.sha256 for i in bundling.issues(lib)] == [issue.sha256]
    assert check(lib).clean


def test_a_use_is_voided_with_its_step_and_its_row_stays(lib: Library, offered: list[str]) -> None:
    with lib.transaction("pasted") as session:
        entry = queries.entry(session, offered[0])
        uses.record_use(lib, session, pinned(entry), uses.Placing("frame 3.psd", "3A", size=(40, 30)))
    history.undo_steps(lib)
    (use,) = uses.uses_of(lib, offered[0])
    assert (use.shot, use.size, use.version, use.cut, use.voided) == ("3A", (40, 30), 1, 1, True)
    undo_all(lib)
    assert uses.uses_of(lib, offered[0])[0].voided
    assert check(lib).clean


def test_voiding_a_use_can_be_undone(lib: Library, offered: list[str]) -> None:
    with lib.transaction("pasted") as session:
        number = uses.record_use(lib, session, pinned(queries.entry(session, offered[0])), uses.Placing())
    uses.void_use(lib, number)
    assert uses.uses_of(lib, offered[0])[0].voided
    history.undo_steps(lib)
    assert not uses.uses_of(lib, offered[0])[0].voided


def test_a_job_in_use_goes_with_its_step(lib: Library) -> None:
    """Which job is in use belongs to no step, and holds nothing back."""
    jobs.open_job(lib, "Ferry", jobs.Facts())
    (note,) = history.undo_steps(lib)
    assert note.stays == ()
    assert jobs.in_use(lib) is None
    assert check(lib).clean


def test_several_use_cases_can_be_one_step(lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch) -> None:
    without_workers(monkeypatch)
    before = len(history.steps(lib))
    with lib.one_step("a dog, described"):
        code = bring_in(lib, [draw("dog.png")], Wishes(role="element")).added[0].code
        tagging.describe(lib, [code], tagging.Description(add=("dog",)))
    assert len(history.steps(lib)) == before + 1
    assert history.undo_steps(lib)[0].what == "a dog, described"
    with pytest.raises(NotFound):
        showing.show(lib, code)


def test_the_log_keeps_as_many_steps_as_the_settings_say(
    lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_workers(monkeypatch)
    code = bring_in(lib, [draw("dog.png")], Wishes(role="element")).added[0].code
    lib.settings = replace(lib.settings, undo_steps=3)
    for n in range(6):
        tagging.describe(lib, [code], tagging.Description(title=f"dog {n}"))
    assert len(history.steps(lib)) == 3
    with lib.reading() as session:
        assert session.scalar(select(func.count()).select_from(Step)) == 3
        assert session.scalar(select(func.count(func.distinct(Change.step_id)))) == 3
    history.undo_steps(lib, 3)
    assert showing.show(lib, code).card.title == "dog 2"
    with pytest.raises(WrongUsage):
        history.undo_steps(lib)


def test_a_mask_is_logged_as_it_is_and_what_is_new_by_a_digest(lib: Library, offered: list[str]) -> None:
    row = {"id": 3, "mask": bytes(range(256)), "note": None, "box": [1, 2], "is_open": True}
    assert unpack(pack(row)) == row
    assert bytes(range(256)) in pack(row)
    assert digest(row) != digest({**row, "mask": bytes(256)})
    with lib.reading() as session:
        longest = session.scalar(select(func.max(func.length(Change.after))))
    assert longest == 16


def meanwhile(monkeypatch: pytest.MonkeyPatch, module: object, name: str, act: Callable[[], object]) -> None:
    """Do something just before a function of a module does its own work."""
    before = getattr(module, name)

    def then(*arguments: object, **options: object) -> object:
        monkeypatch.setattr(module, name, before)
        act()
        return before(*arguments, **options)

    monkeypatch.setattr(module, name, then)


@pytest.mark.parametrize("what", ["cut", "answer", "collection"])
def test_a_bundle_of_what_changed_meanwhile_is_not_issued(
    lib: Library, offered: list[str], monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    acts: dict[str, Callable[[], object]] = {
        "cut": lambda: clean_copies.make(lib, offered[1], clean_copies.Changes(remove=("speck",))),
        "answer": lambda: clearance.answer(
            lib, [offered[1]], clearance.Statement(((Question.ORIGIN, "traced-from-found"),))
        ),
        "collection": lambda: collections.take_out(lib, "Dogs", [offered[1]]),
    }
    meanwhile(monkeypatch, bundles, "write_bundle", acts[what])
    with pytest.raises(Moved, match="nothing was"):
        bundling.build(lib, "Dogs")
    assert bundling.issues(lib) == []
    assert [*lib.bundles.glob("*.zip")] == []
    with lib.reading() as session:
        assert session.scalar(select(func.count()).select_from(Bundle)) == 0


def test_a_bundle_names_the_very_cut_that_was_judged(lib: Library, offered: list[str]) -> None:
    clean_copies.make(lib, offered[0], clean_copies.Changes(remove=("speck",)))
    bundling.build(lib, "Dogs")
    clean_copies.make(lib, offered[0], clean_copies.Changes(put_back=("speck",)))
    with lib.reading() as session:
        now = pinned(queries.entry(session, offered[0]))
        item = session.scalars(select(BundleItem).order_by(BundleItem.ordinal)).first()
        assert item is not None
        assert item.version_id == now.version_id
        assert item.cut_id != now.cut_id


def test_a_clean_copy_of_a_drawing_cut_again_meanwhile_is_refused(
    lib: Library, offered: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code = offered[0]
    first = clean_copies.make(lib, code)
    clean_copies.make(lib, code, clean_copies.Changes(remove=("speck",)))
    monkeypatch.setattr(clean_copies, "_made", lambda *_: first)
    with pytest.raises(Moved, match="cut again"):
        clean_copies.make(lib, code, clean_copies.Changes(remove=("tape",)))


def test_a_sheet_corrected_twice_at_once_keeps_the_first_correction(
    lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    without_workers(monkeypatch)
    sheet = bring_in(lib, [draw("page.png", 2, size=(400, 200))], Wishes(role="sheet")).added[0].code
    meanwhile(
        monkeypatch, cutting, "try_page", lambda: cutting.cut_sheet(lib, sheet, cutting.CutSettings(gap=30))
    )
    with pytest.raises(Moved, match="cut again meanwhile"):
        cutting.cut_sheet(lib, sheet, cutting.CutSettings(gap=9))
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        ((corrections,),) = connection.execute("SELECT corrections FROM cut_orders").fetchall()
    assert '"gap":30' in corrections
