"""Jobs are opened, used and closed; a mistyped name makes none; undoing a paste voids its use."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing import intake
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.jobs import jobs, pasting
from assetlib.services.jobs.jobs import Agreement, Facts
from assetlib.services.jobs.uses import uses_of
from assetlib.services.keeping import history
from tests.conftest import Draw


def test_a_job_keeps_what_is_said_of_it(lib: Library) -> None:
    jobs.open_job(
        lib, "Island ferry", Facts(client="Ferry Company", frame="16:9, 9:16", shots_planned=20, wheel="left")
    )
    note = jobs.open_job(
        lib,
        "Island ferry",
        Facts(note="by Friday"),
        Agreement("assigned", "contract 7", None, dt.date(2027, 1, 1)),
    )
    assert note.facts == Facts("Ferry Company", None, None, "16:9, 9:16", 20, "left", None, "by Friday")
    assert [a.kind for a in note.agreements] == ["assigned"]
    assert note.in_use
    frame = jobs.frame_of(lib, "island FERRY")
    assert frame is not None
    assert (frame.size, frame.guides) == ((1920, 1080), ("9:16",))


def test_a_mistyped_name_makes_no_job_and_names_the_nearest(lib: Library) -> None:
    jobs.open_job(lib, "Island ferry", Facts())
    with pytest.raises(NotFound) as caught:
        jobs.show(lib, "Iland fery")
    assert caught.value.exit_code == 15
    assert "Island ferry" in (caught.value.hint or "")
    assert len(jobs.jobs(lib)) == 1


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        (Facts(frame="0:9"), "no frame"),
        (Facts(wheel="middle"), "steering wheel"),
        (Facts(shots_planned=0), "0 shots"),
        (Facts(first_day=dt.date(2026, 3, 2), last_day=dt.date(2026, 3, 1)), "before it begins"),
    ],
)
def test_what_cannot_be_is_said(lib: Library, facts: Facts, says: str) -> None:
    with pytest.raises(WrongUsage, match=says):
        jobs.open_job(lib, "Job", facts)
    assert jobs.jobs(lib) == []


def test_one_job_is_in_use_until_it_is_closed_and_asked_again_after_a_night(lib: Library) -> None:
    jobs.open_job(lib, "One", Facts())
    jobs.open_job(lib, "Two", Facts())
    jobs.use(lib, "one")
    assert jobs.in_use(lib) == jobs.InUse("One", True)
    noon = lib.now()
    lib.now = lambda: noon + dt.timedelta(days=1)
    assert jobs.in_use(lib) == jobs.InUse("One", False)
    assert jobs.close(lib, "One").closed_on == dt.date(2026, 3, 15)
    assert jobs.in_use(lib) is None


def test_a_paste_becomes_a_use_that_undoing_voids(lib: Library, draw: Draw, tmp_path: Path) -> None:
    (added,) = intake.bring_in(lib, [draw("dog sitting.png")], intake.Wishes(role="element")).added
    jobs.open_job(lib, "Bakery van", Facts())
    target = tmp_path / "A_05a_r1.psd"
    done = pasting.paste(lib, [str(added.code)], target, pasting.Wishes(job="bakery van", shot="05a"))
    (used,) = uses_of(lib, str(added.code))
    assert (used.number,) == done.uses
    assert (used.job, used.shot, used.frame, used.voided) == ("Bakery van", "05a", "A_05a_r1.psd", False)
    history.undo_steps(lib, 1)
    assert [note.voided for note in uses_of(lib, str(added.code))] == [True]
    assert target.exists()


def test_a_mistyped_name_makes_no_job_and_brings_nothing_in(lib: Library, draw: Draw) -> None:
    jobs.open_job(lib, "Bakery van", Facts())
    with pytest.raises(NotFound) as error:
        intake.bring_in(lib, [draw("dog.png")], intake.Wishes(role="element", job="Bakrey van"))
    assert "Bakery van" in str(error.value.hint)
    assert [note.name for note in jobs.jobs(lib)] == ["Bakery van"]
    assert find(lib, Asked()).results == ()
    (added,) = intake.bring_in(lib, [draw("dog.png")], intake.Wishes(job="bakery  VAN")).added
    assert show(lib, added.code).arrivals[0].job == "Bakery van"
    assert jobs.open_job(lib, "BAKERY VAN", Facts(client="Two Gulls")).name == "Bakery van"


def test_what_went_to_the_wrong_job_moves(lib: Library, draw: Draw) -> None:
    jobs.open_job(lib, "Wrong", Facts())
    jobs.open_job(lib, "Right", Facts())
    intake.bring_in(lib, [draw("dog.png"), draw("van.png", 5)], intake.Wishes(role="element", job="Wrong"))
    assert jobs.move(lib, "wrong", "right", dt.date(2026, 3, 13)) == 0
    assert jobs.move(lib, "wrong", "right") == 2
    assert (jobs.show(lib, "Wrong").arrivals, jobs.show(lib, "Right").arrivals) == (0, 2)
    history.undo_steps(lib, 1)
    with pytest.raises(WrongUsage, match="Wrong is one job"):
        jobs.move(lib, "Wrong", "wrong")
    assert jobs.show(lib, "Wrong").arrivals == 2
