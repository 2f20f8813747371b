"""Jobs: the assignments that drawings were made for and used on."""

from __future__ import annotations

import datetime as dt
import difflib
import uuid
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import SHORTEST_PREFIX, new_code
from assetlib.catalogue.entries import Arrival
from assetlib.catalogue.work import Job, JobAgreement, JobInUse, JobRemoval, JobShot, Use
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.shots.frame_sizes import Frame, parse_frame

AGREEMENTS = (
    "made for hire",
    "assigned",
    "exclusive licence",
    "non-exclusive licence",
    "rights kept",
    "nothing in writing",
    "not known any more",
)
"""What a job's paper may say of the rights in the drawings: words of the trade and of copyright law."""

WHEELS = ("left", "right")


@dataclass(frozen=True, slots=True)
class Agreement:
    """What a paper says of the rights, and for which days; the last one counts."""

    kind: str
    paper: str | None = None
    first_day: dt.date | None = None
    last_day: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Facts:
    """What is said of a job; None leaves as it is."""

    client: str | None = None
    first_day: dt.date | None = None
    last_day: dt.date | None = None
    frame: str | None = None
    shots_planned: int | None = None
    wheel: str | None = None
    confidential_until: dt.date | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class JobNote:
    """A job as it is shown."""

    code: str
    name: str
    facts: Facts
    round: int | None
    closed_on: dt.date | None
    in_use: bool
    agreements: tuple[Agreement, ...]
    shots: int
    omitted: int
    uses: int
    arrivals: int
    removed: tuple[str, ...] = ()
    """A line for each reference that was removed on request: what, whose, when."""


def _opened(lib: Library, session: Session, name: str) -> Job:
    """The job of this name, made when it is new: opening is all that makes one. Raises WrongUsage for an empty name."""
    name = " ".join(name.split())
    if not name:
        raise WrongUsage("a job needs a name")
    for job in session.scalars(select(Job)):
        if job.name.casefold() == name.casefold():
            return job
    code = new_code(session, "job", lib.now())
    session.flush()
    job = Job(id=code.id, uuid=str(uuid.uuid4()), name=name, made_at=lib.now(), code=code)
    session.add(job)
    session.flush()
    return job


def job_asked(session: Session, given: str) -> Job:
    """The job of this name or code, whatever its capitals. Raises NotFound with the nearest name, and makes none."""
    wanted = " ".join(given.split()).casefold()
    jobs = list(session.scalars(select(Job).order_by(Job.id)))
    for job in jobs:
        if wanted in (job.name.casefold(), job.code.code.casefold()):
            return job
    coded = [job for job in jobs if job.code.code.casefold().startswith(wanted)]
    if len(wanted) >= SHORTEST_PREFIX and len(coded) == 1:
        return coded[0]
    names = {job.name.casefold(): job.name for job in jobs}
    near = difflib.get_close_matches(wanted, names, n=1, cutoff=0.5)
    near = near or [name for name in names if wanted and (wanted in name or name in wanted)][:1]
    hint = f"did you mean '{names[near[0]]}'?" if near else f'open it first: assetlib job open "{given}"'
    raise NotFound(f"there is no job '{given}'", hint)


def require(lib: Library, given: str) -> str:
    """The name of the job that is meant. Raises NotFound."""
    with lib.reading() as session:
        return job_asked(session, given).name


def open_job(lib: Library, name: str, facts: Facts, agreement: Agreement | None = None) -> JobNote:
    """A new job, which becomes the one in use; a job that is there takes what is newly said of it.

    Raises WrongUsage for an empty name or facts that cannot be.
    """
    _check(facts)
    with lib.transaction(f"job {name} opened") as session:
        job = _opened(lib, session, name)
        job.closed_on = None
        _say(job, facts)
        if agreement is not None:
            _agree(session, job, agreement)
        _put_in_use(lib, session, job)
        session.flush()
        return _note(session, job)


def describe(lib: Library, given: str, facts: Facts, agreement: Agreement | None = None) -> JobNote:
    """A job with what is newly said of it. Raises NotFound, WrongUsage."""
    _check(facts)
    with lib.transaction(f"job {given} described") as session:
        job = job_asked(session, given)
        _say(job, facts)
        if agreement is not None:
            _agree(session, job, agreement)
        session.flush()
        return _note(session, job)


def jobs(lib: Library) -> list[JobNote]:
    """All jobs, the latest first."""
    with lib.reading() as session:
        return [_note(session, job) for job in session.scalars(select(Job).order_by(Job.id.desc()))]


def show(lib: Library, given: str) -> JobNote:
    """One job in full. Raises NotFound."""
    with lib.reading() as session:
        return _note(session, job_asked(session, given))


def use(lib: Library, given: str | None) -> JobNote | None:
    """Put a job in use, or none. Raises NotFound."""
    with lib.transaction() as session:
        if given is None:
            row = session.get(JobInUse, 1)
            if row is not None:
                session.delete(row)
            return None
        job = job_asked(session, given)
        _put_in_use(lib, session, job)
        session.flush()
        return _note(session, job)


def close(lib: Library, given: str) -> JobNote:
    """Close a job; it is no longer the one in use. Raises NotFound."""
    with lib.transaction(f"job {given} closed") as session:
        job = job_asked(session, given)
        job.closed_on = lib.now().date()
        row = session.get(JobInUse, 1)
        if row is not None and row.job_id == job.id:
            session.delete(row)
        session.flush()
        return _note(session, job)


@dataclass(frozen=True, slots=True)
class InUse:
    """The job that work goes to, and whether it was already asked about today."""

    name: str
    asked_today: bool


def in_use(lib: Library) -> InUse | None:
    """The job in use, None where there is none."""
    with lib.reading() as session:
        row = session.get(JobInUse, 1)
        if row is None:
            return None
        return InUse(session.get_one(Job, row.job_id).name, row.asked_on == lib.now().date())


def move(lib: Library, source: str, target: str, day: dt.date | None = None) -> int:
    """Arrivals and uses of one job moved to another, those of one day or all; how many.

    Raises NotFound, WrongUsage for one job twice.
    """
    with lib.transaction(f"moved from job {source} to {target}") as session:
        wrong, right = job_asked(session, source), job_asked(session, target)
        if wrong.id == right.id:
            raise WrongUsage(f"{wrong.name} is one job", "name the wrong one, then the right one")
        moved = 0
        for arrival in session.scalars(select(Arrival).where(Arrival.job_id == wrong.id)):
            if day is None or arrival.arrived_at.date() == day:
                arrival.job_id, moved = right.id, moved + 1
        for used in session.scalars(select(Use).where(Use.job_id == wrong.id)):
            if day is None or used.day == day:
                used.job_id, moved = right.id, moved + 1
        return moved


def frame_of(lib: Library, given: str | None) -> Frame | None:
    """The frame of a job with its guides; None where none was said."""
    if given is None:
        return None
    with lib.reading() as session:
        job = job_asked(session, given)
        return parse_frame(job.frame) if job.frame else None


def driver_side_of(lib: Library, given: str | None) -> str:
    """Where the driver of a job sits, *left* or *right*; empty where it says nothing. Raises NotFound."""
    if given is None:
        return ""
    with lib.reading() as session:
        return job_asked(session, given).wheel or ""


def _check(facts: Facts) -> None:
    if facts.frame is not None:
        parse_frame(facts.frame)
    if facts.wheel is not None and facts.wheel not in WHEELS:
        raise WrongUsage(f"a steering wheel is not '{facts.wheel}'", f"it is {' or '.join(WHEELS)}")
    if facts.shots_planned is not None and facts.shots_planned < 1:
        raise WrongUsage(f"a job of {facts.shots_planned} shots is none")
    if facts.first_day and facts.last_day and facts.last_day < facts.first_day:
        raise WrongUsage(f"the job ends on {facts.last_day}, before it begins on {facts.first_day}")


def _say(job: Job, facts: Facts) -> None:
    for name in Facts.__dataclass_fields__:
        if (value := getattr(facts, name)) is not None:
            setattr(job, name, value)
    if facts.frame is not None:
        frame = parse_frame(facts.frame)
        job.frame_width, job.frame_height = frame.size


def _agree(session: Session, job: Job, agreement: Agreement) -> None:
    if agreement.kind not in AGREEMENTS:
        raise WrongUsage(f"'{agreement.kind}' is no agreement", f"choose {', '.join(AGREEMENTS)}")
    session.add(
        JobAgreement(
            job_id=job.id, kind=agreement.kind, paper=agreement.paper,
            first_day=agreement.first_day, last_day=agreement.last_day,
        )
    )  # fmt: skip


def _put_in_use(lib: Library, session: Session, job: Job) -> None:
    row = session.get(JobInUse, 1)
    if row is None:
        row = JobInUse(id=1, job_id=job.id, asked_on=lib.now().date())
        session.add(row)
    row.job_id, row.asked_on = job.id, lib.now().date()


def agreements_of(session: Session, job_id: int) -> tuple[Agreement, ...]:
    """What the papers of a job say, in the order they were noted."""
    rows = session.scalars(
        select(JobAgreement).where(JobAgreement.job_id == job_id).order_by(JobAgreement.id)
    )
    return tuple(Agreement(row.kind, row.paper, row.first_day, row.last_day) for row in rows)


def _note(session: Session, job: Job) -> JobNote:
    row = session.get(JobInUse, 1)

    def count(table: Any, *conditions: Any) -> int:
        return int(session.scalar(select(func.count()).select_from(table).where(*conditions)) or 0)

    return JobNote(
        job.code.code,
        job.name,
        Facts(**{name: getattr(job, name) for name in Facts.__dataclass_fields__}),
        job.round,
        job.closed_on,
        row is not None and row.job_id == job.id,
        agreements_of(session, job.id),
        count(JobShot, JobShot.job_id == job.id, ~JobShot.omitted),
        count(JobShot, JobShot.job_id == job.id, JobShot.omitted),
        count(Use, Use.job_id == job.id, Use.voided_at.is_(None)),
        count(Arrival, Arrival.job_id == job.id),
        tuple(map(_removal, session.scalars(select(JobRemoval).where(JobRemoval.job_id == job.id)))),
    )


def _removal(row: JobRemoval) -> str:
    whose = f", {row.owner}'s" if row.owner else ""
    return f"{row.what}{whose}, removed {row.day:%d %b %Y}"
