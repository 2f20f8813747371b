"""Words in the catalogue: the thesaurus, and tags and facets with where they came from."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from assetlib.catalogue.base import Base
from assetlib.catalogue.entries import Said
from assetlib.catalogue.guards import DO_NOT_MIRROR, MIRROR

SOURCES = ("artist", "title", "caption", "file", "file name", "job", "suggestion", "model", "picture")
LIVE_STATES = ("given", "taken")
"""States of a word that the artist gave: written, or suggested and taken."""
STATES = (*LIVE_STATES, "read")
"""States of a facet: given, taken, or read from the title, which is the artist's own."""


class Concept(Base):
    """One idea that can be put on a drawing, whatever it is called (W3C SKOS concept)."""

    __tablename__ = "concepts"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    slug: Mapped[str] = mapped_column(unique=True)
    scheme: Mapped[str] = mapped_column(
        comment="'trade' for the starting thesaurus, 'own' for the artist's words"
    )
    definition: Mapped[str | None]
    labels: Mapped[list[Label]] = relationship(back_populates="concept")


class Label(Base):
    """A word for a concept: the preferred one, another one, or a misspelling that is understood.

    The preferred label is English and shown; of another language's labels the first is that language's preferred one.
    """

    __tablename__ = "labels"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    concept_id: Mapped[int] = mapped_column(ForeignKey("concepts.id"), index=True)
    text: Mapped[str]
    folded: Mapped[str] = mapped_column(
        index=True, comment="as compared: case, accents and hyphens set aside"
    )
    kind: Mapped[str]
    language: Mapped[str] = mapped_column(default="en")
    concept: Mapped[Concept] = relationship(back_populates="labels")
    __table_args__ = (
        CheckConstraint("kind IN ('preferred', 'other', 'hidden')", name="kind"),
        UniqueConstraint("concept_id", "folded", "language"),
    )


class Relation(Base):
    """A concept that is broader than another, or related to it."""

    __tablename__ = "relations"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    concept_id: Mapped[int] = mapped_column(ForeignKey("concepts.id"), index=True)
    other_id: Mapped[int] = mapped_column(ForeignKey("concepts.id"), index=True)
    kind: Mapped[str]
    __table_args__ = (
        CheckConstraint("kind IN ('broader', 'related')", name="kind"),
        UniqueConstraint("concept_id", "other_id", "kind"),
    )


class Tag(Base):
    """A concept on an entry, with who put it there."""

    __tablename__ = "tags"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    concept_id: Mapped[int] = mapped_column(ForeignKey("concepts.id"), index=True)
    source: Mapped[str]
    state: Mapped[str]
    made_at: Mapped[dt.datetime]
    __table_args__ = (
        CheckConstraint(f"source IN {SOURCES!r}", name="source"),
        CheckConstraint(f"state IN {LIVE_STATES!r}", name="state"),
        UniqueConstraint("entry_id", "concept_id"),
    )


class Facet(Base):
    """A word of the shot and drawing grammar on an entry: shot size CU, pose seated."""

    __tablename__ = "facets"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    facet: Mapped[str]
    value: Mapped[str]
    source: Mapped[str]
    state: Mapped[str]
    made_at: Mapped[dt.datetime]
    __table_args__ = (
        CheckConstraint(f"source IN {SOURCES!r}", name="source"),
        CheckConstraint(f"state IN {STATES!r}", name="state"),
        UniqueConstraint("entry_id", "facet", "value"),
        Index("ix_facets_facet_value", "facet", "value"),
    )


class MirrorGuard(Said, Base):
    """*Do not mirror*, said of a version: lettering, or the driver's side. Read and shown like any other facet."""

    __tablename__ = "mirror_guards"
    undoable = True
    facet = MIRROR
    value = DO_NOT_MIRROR
    id: Mapped[int] = mapped_column(primary_key=True)
    source: Mapped[str]
    state: Mapped[str]
    made_at: Mapped[dt.datetime]
    __table_args__ = (
        CheckConstraint(f"source IN {SOURCES!r}", name="source"),
        CheckConstraint(f"state IN {STATES!r}", name="state"),
        UniqueConstraint("version_id"),
    )


class Suggestion(Base):
    """A word that was offered for an entry: why, by which recipe, how sure, and whether it was taken or left.

    What can be told beforehand (a word in the file, a caption that was read) waits here as offered; what is worked out
    from the described drawings comes here when it is taken or left. What was left is not offered for that entry again;
    tags and facets keep what stands.
    """

    __tablename__ = "suggestions"
    undoable = True
    loose = ("state", "offered")
    id: Mapped[int] = mapped_column(primary_key=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    facet: Mapped[str] = mapped_column(comment="'tag', 'title', or the facet")
    value: Mapped[str] = mapped_column(
        comment="the concept's slug for a tag, the text of a title, else the value"
    )
    recipe: Mapped[str]
    why: Mapped[str]
    confidence: Mapped[float] = mapped_column(comment="the chance of being taken, 0 to 1")
    state: Mapped[str]
    offered_at: Mapped[dt.datetime]
    settled_at: Mapped[dt.datetime | None]
    __table_args__ = (
        CheckConstraint("state IN ('offered', 'taken', 'left')", name="state"),
        UniqueConstraint("entry_id", "facet", "value"),
        Index("ix_suggestions_facet_value", "facet", "value"),
    )


class StylePeriod(Base):
    """A time in which the artist drew in one manner: its name is a tag, its days tell which drawings it fits."""

    __tablename__ = "style_periods"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    concept_id: Mapped[int] = mapped_column(ForeignKey("concepts.id"), unique=True)
    first_day: Mapped[dt.date | None] = mapped_column(comment="empty: from the beginning")
    last_day: Mapped[dt.date | None] = mapped_column(comment="inclusive; empty: until now")
