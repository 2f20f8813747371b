"""Uses: which version and cut of a drawing went onto which frame. Records: they can be voided, never deleted.

`record_use` and `void_use` are the only writers.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Version
from assetlib.catalogue.work import Job, Use
from assetlib.errors import NotFound
from assetlib.library import Library
from assetlib.services.versions import Pinned


@dataclass(frozen=True, slots=True)
class Placing:
    """How a drawing stands on a frame."""

    frame: str | None = None
    """The frame's file name."""
    shot: str | None = None
    job_id: int | None = None
    size: tuple[int, int] | None = None
    """Pixels that the drawing takes up, width and height."""
    mirrored: bool = False
    sha256: str | None = None
    """Of the file that was written."""


@dataclass(frozen=True, slots=True)
class UseNote:
    """A use as it is shown."""

    number: int
    version: int
    cut: int
    job: str | None
    shot: str | None
    frame: str | None
    size: tuple[int, int] | None
    mirrored: bool
    day: dt.date
    voided: bool


def record_use(lib: Library, session: Session, used: Pinned, placing: Placing) -> int:
    """The number of a new use, noted inside the caller's transaction; undoing that step voids it."""
    now = lib.now()
    row = Use(
        version_id=used.version_id, cut_id=used.cut_id, job_id=placing.job_id, shot=placing.shot,
        frame=placing.frame, width=placing.size[0] if placing.size else None,
        height=placing.size[1] if placing.size else None, mirrored=placing.mirrored, sha256=placing.sha256,
        day=now.date(), used_at=now,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row.id


def void_use(lib: Library, number: int) -> None:
    """Say that a use did not count after all; its row stays. Raises NotFound."""
    with lib.transaction(f"use {number} voided") as session:
        row = session.get(Use, number)
        if row is None:
            raise NotFound(f"there is no use {number}")
        row.voided_at = row.voided_at or lib.now()


def uses_of(lib: Library, given: str) -> list[UseNote]:
    """Where a drawing was used, in whatever version, the latest first. Raises NotFound, AmbiguousCode."""
    with lib.reading() as session:
        entry = queries.entry(session, given)
        rows = session.execute(
            select(Use, Version.number, Cut.number, Job.name)
            .join(Version, Version.id == Use.version_id)
            .join(Cut, Cut.id == Use.cut_id)
            .outerjoin(Job, Job.id == Use.job_id)
            .where(Version.entry_id == entry.id)
            .order_by(Use.id.desc())
        )
        return [
            UseNote(
                use.id, version, cut, job, use.shot, use.frame,
                (use.width, use.height) if use.width is not None and use.height is not None else None,
                use.mirrored, use.day, use.voided_at is not None,
            )
            for use, version, cut, job in rows
        ]  # fmt: skip
