"""Which shot of a job's list a frame's file belongs to: by the file as it was begun, else by the number in its name."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.work import FrameFile, Job, JobShot
from assetlib.rules.shots.shot_numbers import FRAME_NAME, plain_number


def told_by(name: str) -> tuple[str | None, int | None]:
    """Shot and round as a frame's name tells them: `A_05a_r1` is shot 05a of round 1."""
    hit = FRAME_NAME.fullmatch(name)
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
    hit = FRAME_NAME.fullmatch(Path(file).stem)
    if found is not None or not hit:
        return found
    wanted = {plain_number(hit["number"]), plain_number(f"{hit['number']}{hit['letter'] or ''}")}
    shots = list(session.scalars(select(JobShot).where(JobShot.job_id == job.id).order_by(JobShot.omitted)))
    fits = [
        shot
        for shot in shots
        if plain_number(shot.number) in wanted and (hit["spot"] or "").upper() in ("", shot.spot.upper())
    ]
    return fits[0] if fits else None


def has_list(session: Session, job: Job) -> bool:
    """Whether a job has a shot list."""
    row = session.scalar(select(JobShot.id).where(JobShot.job_id == job.id, ~JobShot.omitted).limit(1))
    return row is not None
