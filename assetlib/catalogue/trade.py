"""Rights and sales in the catalogue: origin answers, releases, collections, issued bundles, certificates.

Answers hang on a version and name the cut they were said of; bundle items pin both.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from assetlib.catalogue.base import Base
from assetlib.catalogue.entries import Code, Said


class OriginAnswer(Said, Base):
    """One answered question about where a version came from; no row means not answered, never "no"."""

    __tablename__ = "origin_answers"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    question: Mapped[str]
    value: Mapped[str]
    whose: Mapped[str | None] = mapped_column(comment="who owns the reference or the work")
    reference_id: Mapped[int | None] = mapped_column(ForeignKey("entries.id"))
    evidence: Mapped[list[Any]] = mapped_column(comment="kept papers: kind and place of each, or its release")
    note: Mapped[str | None]
    answered_at: Mapped[dt.datetime]
    __table_args__ = (UniqueConstraint("version_id", "question", "value"),)


class Release(Base):
    """A signed paper that allows something: what it says, who gave it, the days it holds, and its file where kept.

    Answers name it in their evidence. Legal dates are plain days, the last one included.
    """

    __tablename__ = "releases"
    undoable = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    kind: Mapped[str] = mapped_column(comment="what it says: model-release, property-release, consent …")
    who: Mapped[str] = mapped_column(comment="who gave it")
    signed_on: Mapped[dt.date]
    first_day: Mapped[dt.date | None]
    last_day: Mapped[dt.date | None]
    withdrawn_on: Mapped[dt.date | None] = mapped_column(comment="from this day on it holds no more")
    place: Mapped[str] = mapped_column(comment="where the paper itself lies, or the name of its file")
    sha256: Mapped[str | None] = mapped_column(comment="of its file in papers/")
    format: Mapped[str | None] = mapped_column(comment="PDF, a kind of picture, text")
    note: Mapped[str | None]
    made_at: Mapped[dt.datetime]
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)


class Collection(Base):
    """Elements chosen to be sold together."""

    __tablename__ = "collections"
    undoable = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    name: Mapped[str] = mapped_column(unique=True)
    licence: Mapped[str | None]
    made_at: Mapped[dt.datetime]
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)
    items: Mapped[list[CollectionItem]] = relationship(order_by="CollectionItem.ordinal")


class CollectionItem(Base):
    """An element in a collection, in the artist's order."""

    __tablename__ = "collection_items"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), index=True)
    ordinal: Mapped[int]
    __table_args__ = (UniqueConstraint("collection_id", "entry_id"),)


class Bundle(Base):
    """One issue of a collection: the stored ZIP and a snapshot of what it holds. Issued is issued: never undone."""

    __tablename__ = "bundles"
    record = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    number: Mapped[int]
    licence: Mapped[str]
    issued_on: Mapped[dt.date]
    path: Mapped[str] = mapped_column(comment="below bundles/, with forward slashes")
    sha256: Mapped[str]
    bytes: Mapped[int]
    snapshot: Mapped[dict[str, Any]]
    made_at: Mapped[dt.datetime]
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)
    __table_args__ = (UniqueConstraint("collection_id", "number"),)


class Certificate(Base):
    """The signed statement that one buyer holds one licence to one bundle. Sold is sold: revoked, never undone."""

    __tablename__ = "certificates"
    record = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    bundle_id: Mapped[int] = mapped_column(ForeignKey("bundles.id"), index=True)
    buyer: Mapped[str]
    issued_on: Mapped[dt.date]
    document: Mapped[dict[str, Any]]
    signature: Mapped[str] = mapped_column(comment="SSHSIG over the document as RFC 8785 writes it")
    revoked_on: Mapped[dt.date | None]
    revoked_why: Mapped[str | None]
    made_at: Mapped[dt.datetime]
    despite: Mapped[str | None] = mapped_column(comment="what stood against it that day, and why it was sold")
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)


class BundleItem(Base):
    """A version and cut as it stands in an issued bundle."""

    __tablename__ = "bundle_items"
    record = True
    id: Mapped[int] = mapped_column(primary_key=True)
    bundle_id: Mapped[int] = mapped_column(ForeignKey("bundles.id"), index=True)
    version_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    ordinal: Mapped[int]
    facts: Mapped[dict[str, Any]]
