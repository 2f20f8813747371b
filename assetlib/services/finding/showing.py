"""Everything the library knows of one entry, and the files that belong to it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import and_, func, select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Arrival, Descent, Entry, Original, Piece, Version
from assetlib.catalogue.guards import FACETS_OR_OFFERED
from assetlib.catalogue.trade import Bundle, BundleItem, Collection, CollectionItem
from assetlib.catalogue.words import Concept, Label, Suggestion, Tag
from assetlib.catalogue.work import Job
from assetlib.library import Library
from assetlib.services.bringing.role_doubts import RoleDoubt, doubt_about
from assetlib.services.jobs.uses import UseNote, uses_of
from assetlib.services.keeping import leftovers
from assetlib.services.trade.clearance import verdict_of
from assetlib.services.versions import current_cut
from assetlib.storage.blobs import as_digest


@dataclass(frozen=True, slots=True)
class Word:
    """A tag or facet value with who said it and whether it stands."""

    text: str
    source: str
    state: str
    facet: str | None = None
    to_confirm: bool = False
    """Whether it was said of a drawing as it was before, and is to be said again."""


@dataclass(frozen=True, slots=True)
class ArrivalNote:
    """One bringing-in: from where, when, for which job."""

    source: str
    arrived_at: dt.datetime
    job: str | None


@dataclass(frozen=True, slots=True)
class Sealed:
    """An issue of a collection that was sealed with a drawing."""

    collection: str
    number: int
    issued_on: dt.date


@dataclass(frozen=True, slots=True)
class FullView:
    """An entry in full. Paths are absolute; the three files of its clean copy are None until they were made."""

    card: queries.Card
    original: Path
    proof: Path | None
    clean_copy: Path | None
    """The ink alone, on transparent ground."""
    body: Path | None
    """The ink over the white of its body."""
    mask: Path | None
    """The body as a mask."""
    sure: str | None
    """sure, look at it or cannot: what the clean copy says of itself; None until it was made."""
    sure_why: tuple[str, ...]
    note: str | None
    format: str
    size: tuple[int, int]
    """Pixels of the drawing itself, which may be a part of its original."""
    ground: str
    resolution: tuple[float, float] | None
    icc: str | None
    file_words: dict[str, object]
    words: tuple[Word, ...]
    arrivals: tuple[ArrivalNote, ...]
    version: int
    """Which state of the drawing as drawn this is, from 1 (*redraw*)."""
    cut: int
    """Which cut of that version this is, from 1."""
    versions: int
    """How many states as drawn there are."""
    family: tuple[tuple[str, str], ...]
    """Codes of the drawings of its family that are on the shelf, with how each belongs to it."""
    piece: tuple[int, int, int, int] | None
    """Its box on the sheet it was cut from, None for a drawing of its own."""
    file_note: str | None
    damaged: tuple[str, ...]
    """Kinds of what was made from it that is no longer as it was made; upkeep makes it again."""
    collections: tuple[str, ...]
    """Names of the collections it was chosen for."""
    sold: str | None
    """Whether it may be sold (clear, ask or blocked); None before anything was said of where it came from."""
    bundles: tuple[Sealed, ...]
    """Issues that were sealed with it, the latest first."""
    doubt: RoleDoubt | None
    """What it may be in place of what it is kept as; None where that is settled."""
    uses: tuple[UseNote, ...] = ()
    """Where it was pasted, the latest first."""


def show(lib: Library, given: str, *, clean: bool = False) -> FullView:
    """The entry with this code; with `clean` its clean copy is made when it was not made before.

    Raises NotFound, AmbiguousCode, and BadPicture when a clean copy cannot be made.
    """
    with lib.reading() as session:
        entry_id = queries.entry(session, given).id
    if clean:
        from assetlib.services.bringing import clean_copies

        clean_copies.make(lib, given)
    with lib.reading() as session:
        entry = session.get(Entry, entry_id)
        assert entry is not None
        details = _details(lib, session, entry)
    return replace(details, uses=tuple(uses_of(lib, details.card.code)))


def _details(lib: Library, session: Session, entry: Entry) -> FullView:
    card = queries.cards(session, [entry.id])[entry.id]
    version = entry.current
    assert version is not None
    cut = current_cut(entry)
    piece, original = session.execute(
        select(Piece, Original)
        .join(Original, Original.id == Piece.original_id)
        .where(Piece.cut_id == cut.id)
        .order_by(Piece.ordinal)
    ).first() or (None, None)
    assert piece is not None
    assert original is not None
    clean, told = _clean_copy(lib, session, cut.id)
    answers, _, verdict = verdict_of(session, version.id, lib.now().date(), lib.settings.artist)
    dpi = (original.x_dpi, original.y_dpi)
    return FullView(
        card=card,
        original=lib.originals.path(as_digest(original.sha256)),
        proof=derived_path(lib, session, cut.id, "proof"),
        clean_copy=clean.get("ink"),
        body=clean.get("body"),
        mask=clean.get("mask"),
        sure=told.get("sure"),
        sure_why=tuple(told.get("sure_why", ())),
        note=entry.note,
        format=original.format,
        size=(cut.width, cut.height),
        ground=cut.ground,
        resolution=(dpi[0], dpi[1]) if dpi[0] is not None and dpi[1] is not None else None,
        icc=original.icc,
        file_words=original.words,
        words=_words(session, entry.id),
        arrivals=_arrivals(session, original.id),
        version=version.number,
        cut=cut.number,
        versions=_versions(session, entry.id),
        family=_family(session, entry.id),
        piece=(piece.x, piece.y, piece.w, piece.h) if piece.is_part else None,
        file_note=original.note,
        damaged=_damaged(lib, session, cut.id),
        collections=_collections(session, entry.id),
        sold=verdict.state.value if answers else None,
        bundles=_sealed(session, entry.id),
        doubt=doubt_about(entry),
    )


def _damaged(lib: Library, session: Session, cut_id: int) -> tuple[str, ...]:
    rows = session.execute(
        select(Derived, Recipe.kind)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == cut_id, Derived.path.is_not(None), Derived.sums.is_not(None))
        .order_by(Recipe.id)
    )
    return tuple(dict.fromkeys(kind for row, kind in rows if not leftovers.is_sound(lib, row)))


def derived_path(lib: Library, session: Session, cut_id: int, kind: str) -> Path | None:
    """The newest file of this kind for a cut, None when there is none."""
    path = session.scalar(
        select(Derived.path)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == cut_id, Recipe.kind == kind, Derived.path.is_not(None))
        .order_by(Recipe.id.desc())
        .limit(1)
    )
    return lib.inside(lib.derived, path) if path else None


def _clean_copy(lib: Library, session: Session, cut_id: int) -> tuple[dict[str, Path], dict[str, Any]]:
    """The files of the newest clean copy (ink, body, mask) and what it says of itself; nothing before it was made."""
    row = session.execute(
        select(Derived.path, Derived.value)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == cut_id, Recipe.kind == "clean copy", Derived.path.is_not(None))
        .order_by(Recipe.id.desc())
        .limit(1)
    ).first()
    if row is None:
        return {}, {}
    told = row[1] or {}
    names = {"ink": row[0], **{key: told.get(key) for key in ("body", "mask")}}
    return {key: lib.inside(lib.derived, name) for key, name in names.items() if name}, told


def _words(session: Session, entry_id: int) -> tuple[Word, ...]:
    tags = session.execute(
        select(Label.text, Tag.source, Tag.state)
        .join(Tag, Tag.concept_id == Label.concept_id)
        .where(Tag.entry_id == entry_id, Label.kind == "preferred")
        .order_by(Tag.id)
    )
    offered = session.execute(
        select(Label.text, Suggestion.recipe, Suggestion.state)
        .join(Concept, Concept.id == Label.concept_id)
        .join(Suggestion, and_(Suggestion.value == Concept.slug, Suggestion.facet == "tag"))
        .where(Suggestion.entry_id == entry_id, Suggestion.state == "offered", Label.kind == "preferred")
        .order_by(Suggestion.id)
    )
    facets = queries.plain_connection(session).execute(
        f"""SELECT value, source, state, facet, to_confirm FROM {FACETS_OR_OFFERED}
            WHERE entry_id = ? ORDER BY facet, id""",
        (entry_id,),
    )
    return (
        *(Word(*row) for row in (*tags, *offered)),
        *(
            Word(text, source, state, facet, bool(to_confirm))
            for text, source, state, facet, to_confirm in facets
        ),
    )


def _arrivals(session: Session, original_id: int) -> tuple[ArrivalNote, ...]:
    rows = session.execute(
        select(Arrival.source, Arrival.arrived_at, Job.name)
        .outerjoin(Job, Job.id == Arrival.job_id)
        .where(Arrival.original_id == original_id)
        .order_by(Arrival.id)
    )
    return tuple(ArrivalNote(*row) for row in rows)


def _collections(session: Session, entry_id: int) -> tuple[str, ...]:
    chosen = select(Collection.name).join(CollectionItem).where(CollectionItem.entry_id == entry_id)
    return tuple(session.scalars(chosen.order_by(Collection.name)))


def _sealed(session: Session, entry_id: int) -> tuple[Sealed, ...]:
    """Issues with any version of it in them."""
    rows = session.execute(
        select(Collection.name, Bundle.number, Bundle.issued_on)
        .join(Bundle, Bundle.collection_id == Collection.id)
        .join(BundleItem, BundleItem.bundle_id == Bundle.id)
        .join(Version, Version.id == BundleItem.version_id)
        .where(Version.entry_id == entry_id)
        .distinct()
        .order_by(Bundle.issued_on.desc(), Collection.name, Bundle.number.desc())
    )
    return tuple(Sealed(*row) for row in rows)


def _versions(session: Session, entry_id: int) -> int:
    return session.scalar(select(func.count()).select_from(Version).where(Version.entry_id == entry_id)) or 0


def _family(session: Session, entry_id: int) -> tuple[tuple[str, str], ...]:
    """Drawings that any version of this one came from, or that came from it."""
    mine = select(Version.id).where(Version.entry_id == entry_id)
    rows = session.execute(
        select(Descent.how, Descent.parent_id).where(Descent.child_id.in_(mine)).union(
            select(Descent.how, Descent.child_id).where(Descent.parent_id.in_(mine))
        )
    ).all()  # fmt: skip
    found = {}
    for how, version_id in rows:
        other = session.get_one(Entry, session.get_one(Version, version_id).entry_id)
        if other.id != entry_id and not other.in_attic:
            found[other.code.code] = how
    return tuple(sorted(found.items()))
