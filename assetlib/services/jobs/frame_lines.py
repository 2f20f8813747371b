"""Which shot of a job's list a frame's file belongs to: by the file as it was begun, else by the number in its name."""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.work import FrameFile, Job, JobShot

_NAMED = re.compile(
    r"(?:(?P<spot>[A-Za-z]{1,2})_)?(?P<number>\d+[A-Za-z]*?)(?P<letter>[a-z])?(?:_r(?P<round>\d{1,2}))?(?:_\d+)?"
)
"""How frames are named: `A_05a_r1` (spot, shot, frame, round), perhaps with `_2` behind it."""


def told_by(name: str) -> tuple[str | None, int | None]:
    """Shot and round as a frame's name tells them: `A_05a_r1` is shot 05a of round 1."""
    hit = _NAMED.fullmatch(name)
    if not hit:
        return None, None
    return f"{hit['number']}{hit['letter'] or ''}", int(hit["round"]) if hit["round"] else None


def shot_of(session: Session, job: Job, file: str) -> JobShot | None:
    """The shot that a frame's file of this name belongs to, perhaps one that was omitted; None where none is known."""
    begun = session.execute(
        select(FrameFile.path, JobShot)
        .join(JobShot, JobShot.id == FrameFile.shot_id)
        .where(JobShot.job_id == job.id)
        .order_by(FrameFile.id.desc())
    )
    found = next((shot for path, shot in begun if Path(path).name == file), None)
    hit = _NAMED.fullmatch(Path(file).stem)
    if found is not None or not hit:
        return found
    wanted = {_plain(hit["number"]), _plain(f"{hit['number']}{hit['letter'] or ''}")}
    shots = list(session.scalars(select(JobShot).where(JobShot.job_id == job.id).order_by(JobShot.omitted)))
    fits = [
        shot
        for shot in shots
        if _plain(shot.number) in wanted and (hit["spot"] or "").upper() in ("", shot.spot.upper())
    ]
    return fits[0] if fits else None


def has_list(session: Session, job: Job) -> bool:
    """Whether a job has a shot list."""
    row = session.scalar(select(JobShot.id).where(JobShot.job_id == job.id, ~JobShot.omitted).limit(1))
    return row is not None


def _plain(number: str) -> str:
    """A shot's number without zeros before it and signs between: 03A and 3a are one."""
    return re.sub(r"[^A-Za-z0-9]+|(?<![0-9])0+(?=[0-9])", "", number).casefold()
