"""What was used again, by job and year: for the artist alone."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import asdict, dataclass, field
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Version
from assetlib.catalogue.work import FrameFile, Job, JobShot, Use
from assetlib.library import Library
from assetlib.rules.shots.serving import NO
from assetlib.services.jobs.jobs import job_asked


@dataclass(frozen=True, slots=True)
class Row:
    """A job's use of the library. `hours` is None where the settings do not say what a use saves."""

    job: str
    year: int
    shots: int
    served: int
    uses: int
    drawings: int
    again: int
    """Drawings that another job had used before."""
    rounds: dict[int, int] = field(default_factory=dict)
    """Frames written, by round."""
    hours: float | None = None

    @property
    def rounds_text(self) -> str:
        """*r1 20, r2 6*."""
        return ", ".join(f"r{number} {count}" for number, count in sorted(self.rounds.items()))

    def document(self) -> dict[str, Any]:
        """The row as JSON has it."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Mine:
    """A drawing that was there before a job and was used in it."""

    code: str
    title: str
    since: dt.date
    used_on: dt.date
    frames: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The row as JSON has it."""
        return asdict(self)


def report(lib: Library, given: str | None = None) -> list[Row]:
    """What each job used, the latest first. Raises NotFound."""
    minutes = lib.settings.minutes_saved or None
    with lib.reading() as session:
        chosen = (
            [job_asked(session, given)] if given else session.scalars(select(Job).order_by(Job.id.desc()))
        )
        return [_row(session, job, minutes) for job in chosen]


def _row(session: Session, job: Job, minutes: float | None) -> Row:
    uses = session.execute(
        select(Use.id, Version.entry_id)
        .join(Version, Version.id == Use.version_id)
        .where(Use.job_id == job.id, Use.voided_at.is_(None))
    ).all()
    entries = {entry for _, entry in uses}
    first = min((number for number, _ in uses), default=0)
    earlier = set(
        session.scalars(
            select(Version.entry_id)
            .join(Use, Use.version_id == Version.id)
            .where(Use.job_id != job.id, Use.id < first, Use.voided_at.is_(None))
        )
    )
    shots = list(session.scalars(select(JobShot.served).where(JobShot.job_id == job.id, ~JobShot.omitted)))
    rounds = session.execute(
        select(FrameFile.round, func.count())
        .join(JobShot, JobShot.id == FrameFile.shot_id)
        .where(JobShot.job_id == job.id)
        .group_by(FrameFile.round)
    )
    return Row(
        job.name,
        (job.first_day or job.made_at.date()).year,
        len(shots),
        sum(served != NO for served in shots),
        len(uses),
        len(entries),
        len(entries & earlier),
        {row[0]: row[1] for row in rounds},
        None if minutes is None else len(uses) * minutes / 60,
    )


def mine(lib: Library, given: str) -> list[Mine]:
    """Drawings that existed before a job began and were used in it, with days. Raises NotFound."""
    with lib.reading() as session:
        job = job_asked(session, given)
        begun = job.first_day or job.made_at.date()
        rows = session.execute(
            select(Version.entry_id, Use.day, Use.frame)
            .join(Version, Version.id == Use.version_id)
            .where(Use.job_id == job.id, Use.voided_at.is_(None))
            .order_by(Use.id)
        ).all()
        added = _added(session, {entry for entry, _, _ in rows})
        cards = queries.cards(session, list(added))
        used: dict[int, list[tuple[dt.date, str]]] = defaultdict(list)
        for entry, day, frame in rows:
            used[entry].append((day, frame or ""))
    return [
        Mine(cards[entry].code, cards[entry].title, added[entry], min(days)[0],
             tuple(dict.fromkeys(name for _, name in days if name)))
        for entry, days in used.items()
        if added[entry] < begun and entry in cards
    ]  # fmt: skip


def _added(session: Session, entries: set[int]) -> dict[int, dt.date]:
    """The day on which each entry came into the library."""
    rows = session.execute(
        select(Version.entry_id, func.min(Version.made_at))
        .where(Version.entry_id.in_(entries))
        .group_by(Version.entry_id)
    )
    return {entry: made.date() if isinstance(made, dt.datetime) else dt.date.fromisoformat(str(made)[:10])
            for entry, made in rows}  # fmt: skip
