"""The step log: rows before each undoable change, and what tells them afterwards."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from assetlib.catalogue.base import Base


class Step(Base):
    """Something the artist did, as one line that can be undone."""

    __tablename__ = "steps"
    id: Mapped[int] = mapped_column(primary_key=True)
    what: Mapped[str]
    made_at: Mapped[dt.datetime]
    undone_at: Mapped[dt.datetime | None]


class Change(Base):
    """One row of one table as it was before, and by what to know it as it was after."""

    __tablename__ = "changes"
    id: Mapped[int] = mapped_column(primary_key=True)
    step_id: Mapped[int] = mapped_column(ForeignKey("steps.id"))
    table_name: Mapped[str]
    row_id: Mapped[int]
    before: Mapped[bytes | None] = mapped_column(comment="the row, packed; empty where it was new")
    after: Mapped[bytes | None] = mapped_column(comment="digest of the packed row; empty where it went")
    __table_args__ = (Index("ix_changes_step_id", "step_id"),)
