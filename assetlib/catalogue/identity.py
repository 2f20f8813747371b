"""Which library a catalogue belongs to, how often it was written to, and what was removed from it for good."""

from __future__ import annotations

import datetime as dt
import sqlite3
import uuid

from sqlalchemy.orm import Mapped, mapped_column

from assetlib.catalogue.base import Base

_NAMESPACE = uuid.UUID("0b6d1c8e-6a52-4f0e-9d0a-3f7f0f2f5a41")
"""Drawn once; it must never change, or backups of old libraries would no longer be known as theirs."""


class Identity(Base):
    """The library's one row: its lasting name, and a counter that every transaction that writes raises."""

    __tablename__ = "library"
    id: Mapped[int] = mapped_column(primary_key=True)
    uuid: Mapped[str]
    writes: Mapped[int]


class Removal(Base):
    """An original that was removed for good: a record, never undone; its bytes count as removed, not as lost."""

    __tablename__ = "removals"
    id: Mapped[int] = mapped_column(primary_key=True)
    sha256: Mapped[str] = mapped_column(unique=True)
    removed_at: Mapped[dt.datetime]


def derived_identity(connection: sqlite3.Connection) -> str:
    """The identity of a catalogue from before libraries had one, the same in the library and in its backups.

    It follows from its first code, which is random and never goes; an empty catalogue gets a new one each time.
    """
    row = connection.execute("SELECT code, created_at FROM codes ORDER BY id LIMIT 1").fetchone()
    return str(uuid.uuid5(_NAMESPACE, f"{row[0]} {row[1]}") if row else uuid.uuid4())


def read_identity(connection: sqlite3.Connection) -> tuple[str, int]:
    """Identity and counter of a catalogue of any schema; the counter of an old one is 0."""
    has_row = connection.execute(
        "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'library'"
    ).fetchone()
    if has_row is None:
        return derived_identity(connection), 0
    found = connection.execute("SELECT uuid, writes FROM library WHERE id = 1").fetchone()
    return (str(found[0]), int(found[1])) if found else ("", 0)
