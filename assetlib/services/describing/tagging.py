"""Describing entries: titles, tags and facets, many at once, each with who said so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.words import Facet, Tag
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.shots import grammar
from assetlib.rules.words.tags import normalise_tag
from assetlib.services.describing import vocabulary


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


def read_facets(settings: Iterable[str]) -> list[tuple[str, str | None]]:
    """`FACET=VALUE` texts as facet and canonical value, the value None for `FACET=`.

    Raises WrongUsage naming what is allowed.
    """
    found: list[tuple[str, str | None]] = []
    for setting in settings:
        name, equals, value = setting.partition("=")
        facet = name.strip().lower().replace(" ", "_").replace("-", "_")
        if not equals or facet not in grammar.FACETS:
            raise WrongUsage(
                f"'{setting}' does not set a facet",
                f"write FACET=VALUE with one of: {', '.join(sorted(grammar.FACETS))}",
            )
        found.append((facet, grammar.parse_option(facet, value.strip()) if value.strip() else None))
    return found


def describe(
    lib: Library, codes: Sequence[str], description: Description, *, dry_run: bool = False
) -> list[Described]:
    """The entries after the change, in the order of `codes`; one step, all of it or nothing.

    Raises NotFound, AmbiguousCode and WrongUsage before anything is changed.
    """
    check_tags((*description.add, *description.remove))
    facets = read_facets(description.set)
    if description.title is not None and not description.title.strip():
        raise WrongUsage("a title cannot be empty")
    if description.take and description.leave:
        raise WrongUsage("suggestions are either taken or left, not both")
    # A trial runs without a step and is rolled back, so it leaves nothing in the log either.
    step = None if dry_run else f"tag {len(codes)} drawing{'s' if len(codes) != 1 else ''}"
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
    changed |= _remove_tags(session, entry, description.remove)
    for facet, value in facets:
        changed |= set_facet(lib, session, entry, facet, value)
    if description.title is not None and description.title.strip() != entry.title:
        entry.title, entry.title_source, changed = description.title.strip(), "artist", True
    if description.note is not None and description.note.strip() != (entry.note or ""):
        entry.note, changed = description.note.strip() or None, True
    if description.take or description.leave:
        changed |= _settle_suggestions(session, entry, "taken" if description.take else "left")
    if entry.described_at is None and (changed or description.take or description.leave):
        entry.described_at, changed = lib.now(), True
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
        tag = session.scalar(select(Tag).where(Tag.entry_id == entry.id, Tag.concept_id == concept.id))
        if tag is None:
            session.add(
                Tag(entry_id=entry.id, concept_id=concept.id, source=source, state=state, made_at=lib.now())
            )
            session.flush()
            changed = True
        elif state == "given" and tag.state != "given":
            tag.source, tag.state, changed = source, state, True
    return changed


def _remove_tags(session: Session, entry: Entry, tags: Iterable[str]) -> bool:
    changed = False
    for text in tags:
        concept = vocabulary.concept_for(session, normalise_tag(text))
        if concept is None:
            continue
        tag = session.scalar(select(Tag).where(Tag.entry_id == entry.id, Tag.concept_id == concept.id))
        if tag is not None:
            session.delete(tag)
            changed = True
    session.flush()
    return changed


def set_facet(lib: Library, session: Session, entry: Entry, facet: str, value: str | None) -> bool:
    """Give an entry this value of a facet in place of what it had; None clears it. Returns whether anything changed."""
    rows = list(session.scalars(select(Facet).where(Facet.entry_id == entry.id, Facet.facet == facet)))
    if [(row.value, row.state) for row in rows] == [(value, "given")]:
        return False
    for row in rows:
        session.delete(row)
    session.flush()
    if value is not None:
        session.add(
            Facet(
                entry_id=entry.id, facet=facet, value=value, source="artist", state="given", made_at=lib.now()
            )
        )
        session.flush()
    return bool(rows) or value is not None


def _settle_suggestions(session: Session, entry: Entry, state: str) -> bool:
    changed = False
    tags = session.scalars(select(Tag).where(Tag.entry_id == entry.id, Tag.state == "suggested"))
    facets = session.scalars(select(Facet).where(Facet.entry_id == entry.id, Facet.state == "suggested"))
    for row in (*tags, *facets):
        row.state, changed = state, True
    session.flush()
    return changed
