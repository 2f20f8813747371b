"""The library's thesaurus as the artist keeps it: looked at, added to, renamed, merged, and written out.

Every change is one step that undo takes back, and is refused where it would put the thesaurus out of order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import lookup, queries
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.offers import find_offer
from assetlib.catalogue.words import Concept, Label, Relation, StylePeriod, Suggestion, Tag
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.words import skos
from assetlib.rules.words.learning import TAG
from assetlib.rules.words.tags import fold, normalise_tag
from assetlib.rules.words.thesaurus import HOME, Thesaurus
from assetlib.services.describing import vocabulary
from assetlib.storage.durable import write_atomic


@dataclass(frozen=True, slots=True)
class Shown:
    """One concept as it stands, related ones by their preferred labels, and how many drawings carry it."""

    label: str
    others: tuple[str, ...]
    misspellings: tuple[str, ...]
    abroad: tuple[tuple[str, str], ...]
    broader: tuple[str, ...]
    narrower: tuple[str, ...]
    related: tuple[str, ...]
    definition: str
    drawings: int
    own: bool


def read(lib: Library) -> Thesaurus:
    """The library's thesaurus."""
    with lookup.looking(lib.catalogue) as connection:
        return vocabulary.read_thesaurus(connection)


def show(lib: Library, word: str) -> list[Shown]:
    """Every concept that a word names, the best first; those that are spelt like it where it names none.

    Raises NotFound where nothing is like it.
    """
    held = read(lib)
    found = list(held.named(word)) or [c for c in held.concepts.values() if fold(word) in fold(c.pref)][:12]
    if not found:
        raise NotFound(f"the thesaurus has no '{word}'", f"add it with: assetlib thesaurus add '{word}'")
    with lib.reading() as session:
        counts = {c.id: _carriers(session, c.id) for c in found}

    def labels(ids: Iterable[str]) -> tuple[str, ...]:
        return tuple(held.concepts[i].pref for i in ids if i in held.concepts)

    return [
        Shown(
            c.pref, c.alt, c.hidden, c.abroad, labels(c.broader), labels(c.narrower), labels(c.related),
            c.definition, counts[c.id], c.id.startswith("own:"),
        )
        for c in found
    ]  # fmt: skip


def _carriers(session: Session, slug: str) -> int:
    query = select(Tag.id).join(Concept, Concept.id == Tag.concept_id).where(Concept.slug == slug)
    return len(session.scalars(query).all())


def add(
    lib: Library,
    word: str,
    *,
    other: Sequence[str] = (),
    broader: Sequence[str] = (),
    related: Sequence[str] = (),
    language: str = HOME,
    definition: str | None = None,
    dry_run: bool = False,
) -> None:
    """Add a word, or labels and links to one that is there. Labels in `language`, English unless said.

    Raises WrongUsage for what is no word or puts the thesaurus out of order, NotFound for a broader or related word
    that is not there.
    """
    with lib.transaction(None if dry_run else f"thesaurus: add {word}") as session:
        concept = vocabulary.concept_of(session, word)
        for text in other:
            _put_label(session, concept, text, "other", language)
        for kind, words in (("broader", broader), ("related", related)):
            for text in words:
                _link(session, concept, _known(session, text), kind)
        if definition is not None:
            concept.definition = definition.strip() or None
        settle(session, [concept], dry_run)


def rename(lib: Library, word: str, new: str, *, dry_run: bool = False) -> None:
    """Give a concept another preferred label; the one it had stays as another label.

    Raises NotFound, WrongUsage where another concept is called so.
    """
    with lib.transaction(None if dry_run else f"thesaurus: {word} is called {new}") as session:
        concept = _known(session, word)
        name = normalise_tag(new)
        for label in concept.labels:
            if label.kind == "preferred":
                label.kind = "other"
        _put_label(session, concept, name, "preferred", HOME)
        settle(session, [concept], dry_run)


def merge(lib: Library, word: str, into: str, *, dry_run: bool = False) -> int:
    """Make one concept of two: the first's labels, links and drawings go to the second; how many drawings.

    Raises NotFound, WrongUsage.
    """
    with lib.transaction(None if dry_run else f"thesaurus: {word} into {into}") as session:
        gone, kept = _known(session, word), _known(session, into)
        if gone.id == kept.id:
            raise WrongUsage(f"'{word}' and '{into}' are one word already")
        carriers = _carry(session, gone, kept)
        session.delete(gone)
        settle(session, [kept], dry_run)
        return carriers


def export_turtle(lib: Library, path: Path) -> int:
    """Write the thesaurus as SKOS in Turtle; how many concepts it has."""
    held = read(lib)
    write_atomic(path, skos.to_turtle(held).encode())
    return len(held.concepts)


def _known(session: Session, word: str) -> Concept:
    concept = vocabulary.concept_for(session, normalise_tag(word))
    if concept is None:
        raise NotFound(f"the thesaurus has no '{word}'", f"add it with: assetlib thesaurus add '{word}'")
    return concept


def _put_label(session: Session, concept: Concept, text: str, kind: str, language: str) -> bool:
    """Put a label on a concept; one that is there already only ever becomes the preferred one."""
    name = normalise_tag(text)
    row = next((r for r in concept.labels if r.folded == fold(name) and r.language == language), None)
    if row is not None:
        if kind != "preferred" or row.kind == kind:
            return False
        row.kind, row.text = kind, name
    else:
        concept.labels.append(Label(text=name, folded=fold(name), kind=kind, language=language))
    session.flush()
    return True


def _link(session: Session, concept: Concept, other: Concept, kind: str) -> bool:
    pair = (concept.id, other.id)
    either = [pair] if kind == "broader" else [pair, pair[::-1]]
    for one, two in either:
        query = select(Relation).where(
            Relation.concept_id == one, Relation.other_id == two, Relation.kind == kind
        )
        if session.scalar(query) is not None:
            return False
    session.add(Relation(concept_id=concept.id, other_id=other.id, kind=kind))
    session.flush()
    return True


def _carry(session: Session, gone: Concept, kept: Concept) -> int:
    """Everything of one concept to another; how many drawings."""
    tags = list(session.scalars(select(Tag).where(Tag.concept_id == gone.id)))
    there = set(session.scalars(select(Tag.entry_id).where(Tag.concept_id == kept.id)))
    for tag in tags:
        if tag.entry_id in there:
            session.delete(tag)
        else:
            tag.concept_id = kept.id
    _carry_links(session, gone, kept)
    for label in list(gone.labels):
        session.delete(label)
        session.flush()
        kind = "hidden" if label.kind == "hidden" else "other"
        _put_label(session, kept, label.text, kind, label.language)
    query = select(Suggestion).where(Suggestion.facet == TAG, Suggestion.value == gone.slug)
    for row in list(session.scalars(query)):
        if find_offer(session, row.entry_id, (TAG, kept.slug)) is None:
            row.value = kept.slug
        else:
            session.delete(row)
        session.flush()
    is_period = session.scalar(select(StylePeriod.id).where(StylePeriod.concept_id == kept.id)) is not None
    for period in list(session.scalars(select(StylePeriod).where(StylePeriod.concept_id == gone.id))):
        if is_period:
            session.delete(period)
        else:
            period.concept_id = kept.id
    session.flush()
    session.expire(gone)
    return len(tags)


def _carry_links(session: Session, gone: Concept, kept: Concept) -> None:
    ends = select(Relation).where((Relation.concept_id == gone.id) | (Relation.other_id == gone.id))
    for row in list(session.scalars(ends)):
        first = kept.id if row.concept_id == gone.id else row.concept_id
        second = kept.id if row.other_id == gone.id else row.other_id
        kind = row.kind
        session.delete(row)
        session.flush()
        if first != second:
            _link(session, session.get_one(Concept, first), session.get_one(Concept, second), kind)


def settle(session: Session, changed: Sequence[Concept], dry_run: bool) -> None:
    """Refuse what is out of order; else write anew the texts of drawings whose words are called otherwise now."""
    session.flush()
    held = vocabulary.read_thesaurus(queries.plain_connection(session))
    problems = held.check()
    if problems:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise WrongUsage(f"that puts the thesaurus out of order: {problems[0]}{more}", "nothing was changed")
    if dry_run:
        session.rollback()
        return
    ids = [concept.id for concept in changed]
    carriers: set[int] = set()
    for chunk in queries.chunks(ids):
        carriers.update(session.scalars(select(Tag.entry_id).where(Tag.concept_id.in_(chunk))))
    refresh_text(session, carriers)
