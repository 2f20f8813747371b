"""What stands against a drawing in another job's delivery is said, and only there."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.services.bringing import intake
from assetlib.services.jobs import jobs, pasting
from assetlib.services.jobs.jobs import Agreement, Facts
from assetlib.services.jobs.pasting import Wishes
from tests.conftest import Draw

TODAY = dt.date(2026, 3, 14)


def said(lib: Library, code: str, target: Path, job: str | None) -> tuple[str, ...]:
    """What pasting the drawing for a job warns of."""
    return pasting.paste(lib, [code], target, Wishes(job=job)).warnings


@pytest.fixture
def jobs_of_two(lib: Library) -> None:
    jobs.open_job(lib, "Ferry", Facts(client="Nordlicht"))


@pytest.mark.usefixtures("jobs_of_two")
@pytest.mark.parametrize(
    ("client", "until", "warned"),
    [
        ("Two Gulls", TODAY, True),
        ("Two Gulls", TODAY - dt.timedelta(days=1), False),
        ("Nordlicht", TODAY, False),
    ],
)
def test_what_another_client_keeps_confidential(
    lib: Library, draw: Draw, tmp_path: Path, client: str, until: dt.date, warned: bool
) -> None:
    jobs.open_job(lib, "Bakery", Facts(client=client, confidential_until=until))
    (added,) = intake.bring_in(lib, [draw("cake.png")], intake.Wishes(role="element", job="Bakery")).added
    code = str(added.code)
    meant = f"{code} is kept confidential for another client until {until:%d %b %Y}"
    assert said(lib, code, tmp_path / "a.png", "Ferry") == ((meant,) if warned else ())
    assert said(lib, code, tmp_path / "b.png", "Bakery") == ()


@pytest.mark.usefixtures("jobs_of_two")
@pytest.mark.parametrize(
    ("kind", "last_day", "warned"),
    [
        ("assigned", None, True),
        ("made for hire", None, True),
        ("exclusive licence", TODAY, True),
        ("exclusive licence", TODAY - dt.timedelta(days=1), False),
        ("rights kept", None, False),
    ],
)
def test_what_was_given_away_elsewhere(
    lib: Library, draw: Draw, tmp_path: Path, kind: str, last_day: dt.date | None, warned: bool
) -> None:
    jobs.open_job(lib, "Bakery", Facts(client="Two Gulls"), Agreement(kind, None, None, last_day))
    (added,) = intake.bring_in(lib, [draw("cake.png")], intake.Wishes(role="element", job="Bakery")).added
    code = str(added.code)
    meant = (f"{code} is {kind} elsewhere",) if warned else ()
    assert said(lib, code, tmp_path / "a.png", "Ferry") == meant
    assert said(lib, code, tmp_path / "b.png", None) == meant
    assert said(lib, code, tmp_path / "c.png", "Bakery") == ()
