"""Jobs in the catalogue, and where elements were used."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from assetlib.catalogue.base import Base
from assetlib.catalogue.entries import Code


class Job(Base):
    """One paid assignment. Legal dates are plain days, the last one included."""

    __tablename__ = "jobs"
    undoable = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    name: Mapped[str] = mapped_column(unique=True)
    client: Mapped[str | None]
    first_day: Mapped[dt.date | None]
    last_day: Mapped[dt.date | None]
    frame_width: Mapped[int | None]
    frame_height: Mapped[int | None]
    agreement: Mapped[str | None]
    frame: Mapped[str | None] = mapped_column(comment="as it was asked for, with guides: 16:9, 9:16")
    shots_planned: Mapped[int | None]
    wheel: Mapped[str | None] = mapped_column(comment="left or right: where the steering wheel is")
    confidential_until: Mapped[dt.date | None]
    note: Mapped[str | None]
    round: Mapped[int | None] = mapped_column(comment="the last round of frames that was begun")
    closed_on: Mapped[dt.date | None]
    made_at: Mapped[dt.datetime]
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)


class JobAgreement(Base):
    """What a job's paper says of the rights, for the days it holds, the last one included."""

    __tablename__ = "job_agreements"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    kind: Mapped[str]
    paper: Mapped[str | None] = mapped_column(comment="which paper says so")
    first_day: Mapped[dt.date | None]
    last_day: Mapped[dt.date | None]


class JobReference(Base):
    """A picture that arrived for a job to be drawn from, and whose it is; never an element."""

    __tablename__ = "job_references"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), index=True)
    kind: Mapped[str]
    owner: Mapped[str | None]
    __table_args__ = (UniqueConstraint("job_id", "entry_id"),)


class JobInUse(Base):
    """The one job that work goes to when none is named, and the day it was last asked about."""

    __tablename__ = "job_in_use"
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    asked_on: Mapped[dt.date]


class JobRemoval(Base):
    """One line that stays of references that were removed on request: what, whose, when."""

    __tablename__ = "job_removals"
    record = True
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    what: Mapped[str]
    owner: Mapped[str | None]
    day: Mapped[dt.date]


class JobShot(Base):
    """A shot of a job's list as it was pulled last. What is omitted stays, so that its frames are known."""

    __tablename__ = "job_shots"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    spot: Mapped[str]
    number: Mapped[str]
    text: Mapped[str]
    heading: Mapped[str]
    ordinal: Mapped[int]
    served: Mapped[str]
    lacking: Mapped[list[Any]] = mapped_column(comment="what the library lacked for it, in words")
    omitted: Mapped[bool] = mapped_column(default=False)
    pulled_at: Mapped[dt.datetime]


class ShotPick(Base):
    """A drawing that the artist chose for a shot: it leads its need in every pull of the job."""

    __tablename__ = "shot_picks"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    shot_id: Mapped[int] = mapped_column(ForeignKey("job_shots.id"), index=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), index=True)
    __table_args__ = (UniqueConstraint("shot_id", "entry_id"),)


class FrameFile(Base):
    """A frame's file as it was written, so that one that was drawn on is told from one that was not."""

    __tablename__ = "frame_files"
    record = True
    id: Mapped[int] = mapped_column(primary_key=True)
    shot_id: Mapped[int] = mapped_column(ForeignKey("job_shots.id"), index=True)
    letter: Mapped[str]
    round: Mapped[int]
    path: Mapped[str] = mapped_column(index=True)
    sha256: Mapped[str]
    made_of: Mapped[str]
    written_at: Mapped[dt.datetime]


class DeliveredFrame(Base):
    """A frame as it was delivered, kept with its job: which shot and round it was, as far as its name tells."""

    __tablename__ = "delivered_frames"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), index=True)
    shot: Mapped[str | None]
    round: Mapped[int | None]
    day: Mapped[dt.date] = mapped_column(comment="the day its file was written")
    __table_args__ = (UniqueConstraint("job_id", "entry_id"),)


class Use(Base):
    """A version and cut pasted onto a frame of a job. A record: undone, it is voided, and its row stays."""

    __tablename__ = "uses"
    record = True
    id: Mapped[int] = mapped_column(primary_key=True)
    version_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    shot: Mapped[str | None]
    frame: Mapped[str | None] = mapped_column(comment="file name of the frame")
    width: Mapped[int | None] = mapped_column(comment="pixels of the drawing on the frame")
    height: Mapped[int | None]
    mirrored: Mapped[bool] = mapped_column(default=False)
    sha256: Mapped[str | None] = mapped_column(comment="of the file that was written")
    day: Mapped[dt.date]
    used_at: Mapped[dt.datetime]
    voided_at: Mapped[dt.datetime | None]
