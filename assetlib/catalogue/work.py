"""Jobs in the catalogue, and where elements were used."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
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
    made_at: Mapped[dt.datetime]
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)


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
