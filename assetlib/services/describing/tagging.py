"""Describing entries: titles, tags and facets, many at once, each with who said so."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries, titles
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.facets import FacetRow, add_facet, facets_of
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.offers import left_on, offer, offered_on
from assetlib.catalogue.words import Concept, MirrorGuard, Tag
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.shots.settings import read_settings
from assetlib.rules.wording import listed
from assetlib.rules.words.learning import NEW, TAG, TITLE, Offer, What
from assetlib.rules.words.tags import normalise_tag
from assetlib.rules.words.telling import told_by
from assetlib.services.describing import vocabulary
from assetlib.services.describing.suggestions import keep_settled
from assetlib.services.shelf import READ_CHANCE
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
    """Whether entries leave the in-tray though nothing else is said of them: each is one drawing, as it was shown."""

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
    new = (value.removeprefix(NEW) for (facet, value), *_ in description.taken if facet == TAG)
    check_tags((*description.add, *description.remove, *new))
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
    # A title that a file lent becomes the artist's by being said again.
    title = (description.title or entry.title).strip()
    if title != entry.title or (description.title is not None and entry.title_source == "file name"):
        _put_title(lib, session, entry, title)
        changed = True
    if description.note is not None and description.note.strip() != (entry.note or ""):
        entry.note, changed = description.note.strip() or None, True
    if description.take or description.leave:
        changed |= _settle_suggestions(lib, session, entry, "taken" if description.take else "left")
    changed |= _settle_offers(lib, session, entry, description)
    said = changed or description.take or description.leave or description.done
    if description.done and entry.may_be is not None:  # it was looked at with the doubt beside it
        entry.may_be, changed = None, True
    if entry.described_at is None and said and not description.waits:
        entry.described_at, changed = lib.now(), True
    return changed


def _put_title(lib: Library, session: Session, entry: Entry, title: str) -> None:
    """A title the artist typed, and what it says; what the title before it said goes."""
    entry.title, entry.title_source = title, "artist"
    told_before = (Tag.entry_id == entry.id, Tag.source == titles.SOURCE)
    for row in session.scalars(select(Tag).where(*told_before)):
        session.delete(row)
    session.flush()
    told = told_by(title, vocabulary.read_thesaurus(queries.plain_connection(session)))
    left = left_on(session, [entry.id])[entry.id]
    wanted = [slug for slug in told.concepts if (TAG, slug) not in left]
    for concept in session.scalars(select(Concept).where(Concept.slug.in_(wanted)).order_by(Concept.id)):
        _put_concept(lib, session, entry, concept, source=titles.SOURCE, state=titles.TYPED)
    titles.keep_typed(
        session, entry.id, [(facet, value) for facet, values in told.facets.items() for value in values]
    )


def _settle_offers(lib: Library, session: Session, entry: Entry, description: Description) -> bool:
    offers = [_with_word(session, offer) for offer in description.taken]
    changed = keep_settled(lib, session, entry.id, offers, "taken")
    changed |= keep_settled(lib, session, entry.id, description.left, "left")
    for taken in offers:
        changed |= _put_taken(lib, session, entry, taken.what)
    gone = {left.what for left in description.left}
    for row in facets_of(session, [entry.id])[entry.id]:
        if row.state == titles.READ and (row.facet, row.value) in gone:
            session.delete(row)
            changed = True
    session.flush()
    return changed


def _with_word(session: Session, taken: Offer) -> Offer:
    """A suggestion that was taken, its word put into the thesaurus where it is new there."""
    facet, value = taken.what
    if facet != TAG or not value.startswith(NEW):
        return taken
    return taken._replace(what=(TAG, vocabulary.concept_of(session, value.removeprefix(NEW)).slug))


def _put_taken(lib: Library, session: Session, entry: Entry, what: What) -> bool:
    """Have a suggestion that was taken stand on an entry; whether anything changed."""
    facet, value = what
    if facet == TAG:
        concept = session.scalars(select(Concept).where(Concept.slug == value)).one_or_none()
        return concept is not None and _put_concept(
            lib, session, entry, concept, source="suggestion", state="taken"
        )
    if facet != TITLE:
        return set_facet(lib, session, entry, facet, value, source="suggestion", state="taken")
    if entry.title == value and entry.title_source == "artist":
        return False
    _put_title(lib, session, entry, value)
    return True


def put_tags(
    lib: Library, session: Session, entry: Entry, tags: Iterable[str], *, source: str, state: str
) -> bool:
    """Put tags on an entry; returns whether anything changed. A tag that is there already is only ever firmed up.

    Raises WrongUsage for a text that cannot be a tag.
    """
    concepts = [vocabulary.concept_of(session, text) for text in tags]
    changed = [_put_concept(lib, session, entry, c, source=source, state=state) for c in concepts]
    return any(changed)


def offer_words(lib: Library, session: Session, entry: Entry, words: Iterable[str]) -> None:
    """Offer words found inside the file as tags; what cannot be a tag is passed over."""
    for text in words:
        with contextlib.suppress(WrongUsage):
            concept = vocabulary.concept_of(session, text)
            offer(
                session, entry.id, (TAG, concept.slug),
                recipe="file", why="a word in the file", confidence=READ_CHANCE, at=lib.now(),
            )  # fmt: skip


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
    firmer = state == "given" and tag.state != "given"
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


def _settle_suggestions(lib: Library, session: Session, entry: Entry, state: str) -> bool:
    """Take or leave all that is offered for an entry, and what was read from its title; whether anything changed.

    A title that is offered is no word: it is neither taken nor left with them.
    """
    changed = False
    for row in offered_on(session, entry.id):
        if row.facet != TITLE:
            row.state, row.settled_at, changed = state, lib.now(), True
            if state == "taken":
                _put_taken(lib, session, entry, (row.facet, row.value))
    for fact in facets_of(session, [entry.id])[entry.id]:
        if fact.state != titles.READ:
            continue
        changed = True
        if state == "left":
            read = Offer((fact.facet, fact.value), 1.0, fact.source, "read from its title")
            session.delete(fact)
            keep_settled(lib, session, entry.id, [read], "left")
        else:
            fact.state = state
            if isinstance(fact, MirrorGuard):
                fact.to_confirm, fact.cut_id = False, current_cut(entry).id
    session.flush()
    return changed
