"""Art in the catalogue: codes, originals, arrivals, and entries with their versions and cuts.

A *version* is one state of the drawing as drawn; a *cut* is how that version is taken from its originals.
What is said of a drawing hangs on the version and names the cut it was said of (`Said`); what is computed hangs
on the cut. Integer keys are used inside; a UUID and a short code are what the outside sees.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import CheckConstraint, ColumnElement, ForeignKey, Index, UniqueConstraint, or_
from sqlalchemy.ext.hybrid import hybrid_property
from sqlalchemy.orm import Mapped, mapped_column, relationship

from assetlib.catalogue.base import Base
from assetlib.rules.roles import ROLES


class Code(Base):
    """The one registry of short codes; a code is never given twice, even after its owner is gone."""

    __tablename__ = "codes"
    id: Mapped[int] = mapped_column(primary_key=True)
    code: Mapped[str] = mapped_column(unique=True)
    kind: Mapped[str]
    created_at: Mapped[dt.datetime]


class Original(Base):
    """Bytes exactly as they were brought in, with the facts read from them once."""

    __tablename__ = "originals"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    sha256: Mapped[str] = mapped_column(unique=True)
    bytes: Mapped[int]
    format: Mapped[str]
    media_type: Mapped[str]
    width: Mapped[int] = mapped_column(comment="oriented pixels")
    height: Mapped[int] = mapped_column(comment="oriented pixels")
    pages: Mapped[int]
    bits: Mapped[int] = mapped_column(comment="bits a channel")
    mode: Mapped[str]
    has_alpha: Mapped[bool]
    x_dpi: Mapped[float | None]
    y_dpi: Mapped[float | None]
    orientation: Mapped[int] = mapped_column(comment="the EXIF orientation that was applied, 1 for none")
    icc: Mapped[str | None] = mapped_column(comment="name of the embedded colour profile")
    ground: Mapped[str]
    pixel_sha256: Mapped[str] = mapped_column(index=True, comment="of the decoded pixels")
    words: Mapped[dict[str, Any]] = mapped_column(
        comment="title, description, keywords … found inside the file"
    )
    layers: Mapped[list[Any]] = mapped_column(comment="layers of a layered file, top first")
    note: Mapped[str | None]
    created_at: Mapped[dt.datetime]


class Arrival(Base):
    """One bringing-in of an original: from where, under which name, for which job."""

    __tablename__ = "arrivals"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    original_id: Mapped[int] = mapped_column(ForeignKey("originals.id"), index=True)
    entry_id: Mapped[int | None] = mapped_column(ForeignKey("entries.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    source: Mapped[str] = mapped_column(index=True, comment="the path as it was given, made absolute")
    file_name: Mapped[str]
    file_time: Mapped[dt.datetime | None]
    arrived_at: Mapped[dt.datetime]
    __table_args__ = (UniqueConstraint("original_id", "source"),)


class Entry(Base):
    """A lasting identity with a code: an element, sheet, reference or backdrop; the same bytes may have several."""

    __tablename__ = "entries"
    undoable = True
    id: Mapped[int] = mapped_column(ForeignKey("codes.id"), primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    role: Mapped[str]
    title: Mapped[str]
    title_source: Mapped[str] = mapped_column(comment="artist, file, file name, caption, layer")
    note: Mapped[str | None]
    in_attic: Mapped[bool] = mapped_column(default=False)
    described_at: Mapped[dt.datetime | None] = mapped_column(
        comment="empty while the entry is in the in-tray"
    )
    added_at: Mapped[dt.datetime]
    removed_at: Mapped[dt.datetime | None] = mapped_column(
        comment="its originals were removed for good; only what records name is left of it"
    )
    current_version_id: Mapped[int | None] = mapped_column(
        ForeignKey("versions.id", use_alter=True), index=True
    )
    may_be: Mapped[str | None] = mapped_column(
        comment="sheet, element or layers: what its picture may be instead, until that is settled"
    )
    code: Mapped[Code] = relationship(lazy="joined", innerjoin=True)
    current: Mapped[Version | None] = relationship(foreign_keys=[current_version_id], post_update=True)
    __table_args__ = (
        CheckConstraint(f"role IN {ROLES!r}", name="role"),
        Index("ix_entries_shelf", "role", "in_attic"),
    )


class Version(Base):
    """One state of an entry's drawing as drawn: brought in, redrawn, come back altered. Only its pointer changes."""

    __tablename__ = "versions"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    uuid: Mapped[str] = mapped_column(unique=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), index=True)
    number: Mapped[int]
    made_at: Mapped[dt.datetime]
    reason: Mapped[str]
    current_cut_id: Mapped[int | None] = mapped_column(ForeignKey("cuts.id", use_alter=True), index=True)
    cut: Mapped[Cut | None] = relationship(foreign_keys=[current_cut_id], post_update=True)
    __table_args__ = (UniqueConstraint("entry_id", "number"),)


class Cut(Base):
    """How a version is taken from its originals. Rows never change: every correction makes a new one."""

    __tablename__ = "cuts"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    version_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    number: Mapped[int]
    width: Mapped[int]
    height: Mapped[int]
    ground: Mapped[str]
    page_fix: Mapped[dict[str, Any] | None] = mapped_column(
        comment="how its page was straightened before it was cut"
    )
    caption_box: Mapped[list[Any] | None] = mapped_column(
        comment="x, y, w, h of its caption in the pixels of the page"
    )
    made_at: Mapped[dt.datetime]
    reason: Mapped[str]
    pieces: Mapped[list[Piece]] = relationship(order_by="Piece.ordinal")
    __table_args__ = (UniqueConstraint("version_id", "number"),)


class Said:
    """Columns of whatever is said of a drawing: the version it hangs on and the cut that was looked at.

    `to_confirm` marks what came along from an earlier version, a much changed cut or a double. A table that has
    them comes along by itself at every new version (`services.versions`).
    """

    version_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    to_confirm: Mapped[bool] = mapped_column(default=False)


class Piece(Base):
    """A part of an original that a cut is made of."""

    __tablename__ = "pieces"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    ordinal: Mapped[int]
    original_id: Mapped[int] = mapped_column(ForeignKey("originals.id"), index=True)
    page: Mapped[int] = mapped_column(default=0)
    layer: Mapped[str | None]
    resolution: Mapped[float | None] = mapped_column(
        comment="dots an inch at which a vector page is rendered"
    )
    x: Mapped[int]
    y: Mapped[int]
    w: Mapped[int]
    h: Mapped[int]
    mask: Mapped[bytes | None] = mapped_column(
        comment="1-bit PNG of w x h: the pixels of the box that belong here"
    )
    reading_order: Mapped[int | None] = mapped_column(comment="place on its sheet: rows, then left to right")
    __table_args__ = (UniqueConstraint("cut_id", "ordinal"),)

    @hybrid_property
    def is_part(self) -> bool:
        """Whether it was cut from a sheet or is a layer: no picture that stands for its original whole."""
        return self.reading_order is not None or self.layer is not None

    @is_part.inplace.expression
    @classmethod
    def _is_part(cls) -> ColumnElement[bool]:
        return or_(cls.reading_order.is_not(None), cls.layer.is_not(None))


class Descent(Base):
    """A version that came from another: mirrored from, altered from, coloured from. The one home of families."""

    __tablename__ = "descents"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    child_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    parent_id: Mapped[int] = mapped_column(ForeignKey("versions.id"), index=True)
    how: Mapped[str]
    source: Mapped[str]
    made_at: Mapped[dt.datetime]
    __table_args__ = (
        UniqueConstraint("child_id", "parent_id"),
        CheckConstraint("child_id <> parent_id", name="not_itself"),
    )


class CutOrder(Base):
    """How a page of a sheet was cut: the corrections the artist made, kept so that cutting can be repeated."""

    __tablename__ = "cut_orders"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    page: Mapped[int]
    corrections: Mapped[dict[str, Any]]
    cut_at: Mapped[dt.datetime]
    __table_args__ = (UniqueConstraint("entry_id", "page"),)


class OpeningChoice(Base):
    """An opening that the artist switched: what shows through a drawing and what does not."""

    __tablename__ = "opening_choices"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    x: Mapped[int] = mapped_column(comment="a pixel inside the opening, in the cut's own pixels")
    y: Mapped[int]
    is_open: Mapped[bool]
    __table_args__ = (UniqueConstraint("cut_id", "x", "y"),)


class BlemishChoice(Base):
    """A kind of blemish (specks, holes, rules, tape) taken out of a cut's clean copy; the original keeps it."""

    __tablename__ = "blemish_choices"
    undoable = True
    id: Mapped[int] = mapped_column(primary_key=True)
    cut_id: Mapped[int] = mapped_column(ForeignKey("cuts.id"), index=True)
    blemish: Mapped[str]
    __table_args__ = (UniqueConstraint("cut_id", "blemish"),)
