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
    """A version pasted onto a frame of a job. Uses are records: they are not undone."""

    __tablename__ = "uses"
    id: Mapped[int] = mapped_column(primary_key=True)
    version_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    shot: Mapped[str | None]
    used_at: Mapped[dt.datetime]
