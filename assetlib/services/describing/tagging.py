"""Describing entries: titles, tags and facets, many at once, each with who said so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries, titles
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.facets import FacetRow, add_facet, facets_of
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.words import LIVE_STATES, Concept, MirrorGuard, Suggestion, Tag
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.shots.settings import read_settings
from assetlib.rules.wording import listed
from assetlib.rules.words.learning import TAG, Offer, What
from assetlib.rules.words.tags import normalise_tag
from assetlib.rules.words.telling import told_by
from assetlib.services.describing import vocabulary
from assetlib.services.describing.suggestions import keep_settled
from assetlib.services.versions import current_cut


@dataclass(frozen=True, slots=True)
class Description:
    """What is to change on each of many entries."""

    add: tuple[str, ...] = ()
    remove: tuple[str, ...] = ()
    set: tuple[str, ...] = ()
    """Facets as `FACET=VALUE`; `FACET=` takes all values of the facet away."""
    title: str | None = None
    note: str | None = None
    take: bool = False
    """Take every suggestion that waits on the entries."""
    leave: bool = False
    """Leave every suggestion that waits on the entries."""
    taken: tuple[Offer, ...] = ()
    """Suggestions that were taken one by one."""
    left: tuple[Offer, ...] = ()
    """Suggestions that were left: they do not come back for these entries."""
    waits: bool = False
    """Whether entries of the in-tray stay there: what is said of them is not all."""
    done: bool = False
    """Whether entries leave the in-tray though nothing else is said of them."""

    def is_empty(self) -> bool:
        """Whether nothing would change."""
        return self == Description()


@dataclass(frozen=True, slots=True)
class Described:
    """An entry as it stands after a change."""

    code: str
    title: str
    tags: tuple[str, ...]
    facets: dict[str, tuple[str, ...]]
    changed: bool


def check_tags(tags: Iterable[str]) -> None:
    """Raise WrongUsage for the first text that cannot be a tag."""
    for tag in tags:
        normalise_tag(tag)


def describe(
    lib: Library, codes: Sequence[str], description: Description, *, dry_run: bool = False
) -> list[Described]:
    """The entries after the change, in the order of `codes`; one step, all of it or nothing.

    Raises NotFound, AmbiguousCode and WrongUsage before anything is changed.
    """
    check_tags((*description.add, *description.remove))
    facets = read_settings(description.set)
    if description.title is not None and not description.title.strip():
        raise WrongUsage("a title cannot be empty")
    if description.take and description.leave:
        raise WrongUsage("suggestions are either taken or left, not both")
    # A trial runs without a step and is rolled back, so it leaves nothing in the log either.
    step = None if dry_run else f"tag {listed(codes)}"
    with lib.transaction(step) as session:
        entries = list(
            {entry.id: entry for entry in (queries.entry(session, code) for code in codes)}.values()
        )
        changed = {entry.id: _describe_one(lib, session, entry, description, facets) for entry in entries}
        refresh_text(session, [entry.id for entry in entries])
        cards = queries.cards(session, [entry.id for entry in entries])
        result = [
            Described(card.code, card.title, card.tags, card.facets, changed[card.id])
            for card in (cards[entry.id] for entry in entries)
        ]
        if dry_run:
            session.rollback()
    return result


def _describe_one(
    lib: Library,
    session: Session,
    entry: Entry,
    description: Description,
    facets: list[tuple[str, str | None]],
) -> bool:
    changed = put_tags(lib, session, entry, description.add, source="artist", state="given")
    changed |= _remove_tags(lib, session, entry, description.remove)
    for facet, value in facets:
        changed |= set_facet(lib, session, entry, facet, value)
    if description.title is not None and description.title.strip() != entry.title:
        _put_title(lib, session, entry, description.title.strip())
        changed = True
    if description.note is not None and description.note.strip() != (entry.note or ""):
        entry.note, changed = description.note.strip() or None, True
    if description.take or description.leave:
        changed |= _settle_suggestions(session, entry, "taken" if description.take else "left")
    changed |= _settle_offers(lib, session, entry, description)
    said = changed or description.take or description.leave or description.done
    if entry.described_at is None and said and not description.waits:
        entry.described_at, changed = lib.now(), True
    return changed


def _put_title(lib: Library, session: Session, entry: Entry, title: str) -> None:
    """A title the artist typed, and what it says; what the title before it said goes."""
    entry.title, entry.title_source = title, "artist"
    told_before = (Tag.entry_id == entry.id, Tag.source == titles.SOURCE, Tag.state != "left")
    for row in session.scalars(select(Tag).where(*told_before)):
        session.delete(row)
    session.flush()
    told = told_by(title, vocabulary.read_thesaurus(queries.plain_connection(session)))
    left = _left_on(session, entry)
    wanted = [slug for slug in told.concepts if (TAG, slug) not in left]
    for concept in session.scalars(select(Concept).where(Concept.slug.in_(wanted)).order_by(Concept.id)):
        _put_concept(lib, session, entry, concept, source=titles.SOURCE, state=titles.TYPED)
    titles.keep_typed(
        session, entry.id, [(facet, value) for facet, values in told.facets.items() for value in values]
    )


def _left_on(session: Session, entry: Entry) -> set[What]:
    query = select(Suggestion.facet, Suggestion.value).where(
        Suggestion.entry_id == entry.id, Suggestion.state == "left"
    )
    return {(facet, value) for facet, value in session.execute(query)}


def _settle_offers(lib: Library, session: Session, entry: Entry, description: Description) -> bool:
    changed = keep_settled(lib, session, entry.id, description.taken, "taken")
    changed |= keep_settled(lib, session, entry.id, description.left, "left")
    for offer in description.taken:
        facet, value = offer.what
        if facet == TAG:
            concept = session.scalars(select(Concept).where(Concept.slug == value)).one()
            changed |= _put_concept(lib, session, entry, concept, source="suggestion", state="taken")
        elif facet == "title" and entry.title != value:
            _put_title(lib, session, entry, value)
            changed = True
        elif facet == "title":
            continue
        else:
            changed |= set_facet(lib, session, entry, facet, value, source="suggestion", state="taken")
    gone = {offer.what for offer in description.left}
    tags = select(Tag, Concept.slug).join(Concept).where(Tag.entry_id == entry.id)
    words: list[tuple[Tag | FacetRow, What]] = [
        *((tag, (TAG, slug)) for tag, slug in session.execute(tags)),
        *((row, (row.facet, row.value)) for row in facets_of(session, [entry.id])[entry.id]),
    ]
    for row, what in words:
        if row.state == "suggested" and what in gone:
            session.delete(row)
            changed = True
    session.flush()
    return changed


def put_tags(
    lib: Library,
    session: Session,
    entry: Entry,
    tags: Iterable[str],
    *,
    source: str,
    state: str,
    strict: bool = True,
) -> bool:
    """Put tags on an entry; returns whether anything changed. A tag that is there already is only ever firmed up.

    With `strict` off, texts that cannot be tags (keywords found in files) are passed over.
    """
    changed = False
    for text in tags:
        try:
            concept = vocabulary.concept_of(session, text)
        except WrongUsage:
            if strict:
                raise
            continue
        changed |= _put_concept(lib, session, entry, concept, source=source, state=state)
    return changed


def _put_concept(
    lib: Library, session: Session, entry: Entry, concept: Concept, *, source: str, state: str
) -> bool:
    tag = session.scalar(select(Tag).where(Tag.entry_id == entry.id, Tag.concept_id == concept.id))
    if tag is None:
        session.add(
            Tag(entry_id=entry.id, concept_id=concept.id, source=source, state=state, made_at=lib.now())
        )
        session.flush()
        return True
    firmer = (state == "given" and tag.state != "given") or (
        state == "taken" and tag.state not in LIVE_STATES
    )
    if firmer:
        tag.source, tag.state = source, state
    return firmer


def _remove_tags(lib: Library, session: Session, entry: Entry, tags: Iterable[str]) -> bool:
    changed = False
    for text in tags:
        concept = vocabulary.concept_for(session, normalise_tag(text))
        if concept is None:
            continue
        tag = session.scalar(select(Tag).where(Tag.entry_id == entry.id, Tag.concept_id == concept.id))
        if tag is not None:
            session.delete(tag)
            changed = True
            removed = Offer((TAG, concept.slug), 0.0, "removed", "taken off by the artist")
            keep_settled(lib, session, entry.id, [removed], "left")
    session.flush()
    return changed


def set_facet(
    lib: Library,
    session: Session,
    entry: Entry,
    facet: str,
    value: str | None,
    *,
    source: str = "artist",
    state: str = "given",
) -> bool:
    """Give an entry this value of a facet in place of what it had; None clears it. Returns whether anything changed."""
    rows = [row for row in facets_of(session, [entry.id])[entry.id] if row.facet == facet]
    if [(row.value, row.state) for row in rows] == [(value, "given")] and not _to_confirm(rows):
        return False
    for row in rows:
        session.delete(row)
    session.flush()
    if value is not None:
        add_facet(session, entry.id, facet, value, source=source, state=state, made_at=lib.now())
        session.flush()
    return bool(rows) or value is not None


def _to_confirm(rows: Iterable[FacetRow]) -> bool:
    """Whether a guard among these came along, and was not said again since."""
    return any(isinstance(row, MirrorGuard) and row.to_confirm for row in rows)


def _settle_suggestions(session: Session, entry: Entry, state: str) -> bool:
    changed = False
    tags = session.scalars(select(Tag).where(Tag.entry_id == entry.id, Tag.state == "suggested"))
    facets = [row for row in facets_of(session, [entry.id])[entry.id] if row.state == "suggested"]
    for row in (*tags, *facets):
        row.state, changed = state, True
        if isinstance(row, MirrorGuard) and state == "taken":
            row.to_confirm, row.cut_id = False, current_cut(entry).id
    session.flush()
    return changed
