"""What is computed from cuts: all of it can be thrown away and made again from the originals.

None of these tables is undoable. Rows go when their cut goes. What the artist decided about
pairs is no such thing: it hangs on the versions and stays.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from assetlib.catalogue.base import Base


class Recipe(Base):
    """How something is computed: code version, parameters, model digest. A change makes a new recipe."""

    __tablename__ = "recipes"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    name: Mapped[str]
    details: Mapped[dict[str, Any]]
    made_at: Mapped[dt.datetime]
    __table_args__ = (UniqueConstraint("kind", "name"),)


class Derived(Base):
    """A file or value computed from one cut by one recipe; a failure is kept so that it is not retried for ever."""

    __tablename__ = "derived"
    id: Mapped[int] = mapped_column(primary_key=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id", ondelete="CASCADE"))
    recipe_id: Mapped[int] = mapped_column(ForeignKey("recipes.id"), index=True)
    path: Mapped[str | None] = mapped_column(comment="below derived/, with forward slashes")
    value: Mapped[dict[str, Any] | None]
    sums: Mapped[dict[str, Any] | None] = mapped_column(
        comment="SHA-256 of each of its files by path, as they were made"
    )
    failure: Mapped[str | None]
    made_at: Mapped[dt.datetime]
    __table_args__ = (UniqueConstraint("cut_id", "recipe_id"),)


class FingerprintRow(Base):
    """The fingerprint of a cut, by which doubles are found."""

    __tablename__ = "fingerprints"
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id", ondelete="CASCADE"), primary_key=True)
    recipe_id: Mapped[int] = mapped_column(ForeignKey("recipes.id"), primary_key=True)
    data: Mapped[bytes]


class VectorRow(Base):
    """The vector of a cut under one model: little-endian float16."""

    __tablename__ = "vectors"
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id", ondelete="CASCADE"), primary_key=True)
    recipe_id: Mapped[int] = mapped_column(ForeignKey("recipes.id"), primary_key=True)
    data: Mapped[bytes]


class PairFinding(Base):
    """Two cuts found to show the same or a related drawing; a is the older one."""

    __tablename__ = "pair_findings"
    id: Mapped[int] = mapped_column(primary_key=True)
    a_id: Mapped[int] = mapped_column(ForeignKey("cuts.id", ondelete="CASCADE"))
    b_id: Mapped[int] = mapped_column(ForeignKey("cuts.id", ondelete="CASCADE"), index=True)
    recipe_id: Mapped[int] = mapped_column(ForeignKey("recipes.id"))
    kind: Mapped[str]
    how: Mapped[list[Any]]
    score: Mapped[float]
    box: Mapped[list[Any] | None] = mapped_column(comment="x, y, w, h of a in the pixels of b")
    found_at: Mapped[dt.datetime]
    __table_args__ = (
        UniqueConstraint("a_id", "b_id", "recipe_id"),
        CheckConstraint("a_id <> b_id", name="not_itself"),
    )


class PairDecision(Base):
    """What the artist decided about two versions, looking at these cuts of them, so that it is not asked again."""

    __tablename__ = "pair_decisions"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    a_id: Mapped[int] = mapped_column(ForeignKey("versions.id"))
    b_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    a_cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    b_cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    to_confirm: Mapped[bool] = mapped_column(default=False)
    verdict: Mapped[str]
    decided_at: Mapped[dt.datetime]
    __table_args__ = (
        UniqueConstraint("a_id", "b_id"),
        CheckConstraint("verdict IN ('merged', 'family', 'different')", name="verdict"),
    )
