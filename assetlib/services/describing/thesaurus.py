"""The library's thesaurus as the artist keeps it: looked at, added to, renamed, merged, written out and read in.

Every change is one step that undo takes back, and is refused where it would put the thesaurus out of order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import lookup, queries
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.words import Concept, Label, Relation, StylePeriod, Suggestion, Tag
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.words import skos
from assetlib.rules.words.tags import fold, normalise_tag
from assetlib.rules.words.thesaurus import HOME, Thesaurus, load
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


@dataclass(slots=True)
class Imported:
    """What a file brought: how many concepts it has, which are new, and how many labels and links were added."""

    concepts: int = 0
    new: list[str] = field(default_factory=list)
    labels: int = 0
    links: int = 0
    renamed: int = 0


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
        _settle(session, [concept], dry_run)


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
        _settle(session, [concept], dry_run)


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
        _settle(session, [kept], dry_run)
        return carriers


def export_turtle(lib: Library, path: Path) -> int:
    """Write the thesaurus as SKOS in Turtle; how many concepts it has."""
    held = read(lib)
    write_atomic(path, skos.to_turtle(held).encode())
    return len(held.concepts)


def import_turtle(lib: Library, path: Path | None = None, *, dry_run: bool = False) -> Imported:
    """Take over the concepts of a SKOS file: new ones come, known ones get what they lack, nothing goes.

    Without a file, the concepts that come with this assetlib: an older library started with fewer.

    Known are those of our own name and those whose preferred label is ours. Raises NotFound for a file that cannot be
    read, WrongUsage with its line or its reason for one that is broken.
    """
    found = skos.read_turtle(_text_of(path) if path is not None else skos.to_turtle(load()))
    if not found:
        raise WrongUsage(f"{path} has no concepts", "a SKOS file states them with: a skos:Concept")
    told = Imported(concepts=len(found))
    name = path.name if path is not None else "the words that come with assetlib"
    with lib.transaction(None if dry_run else f"thesaurus: import {name}") as session:
        rows = {concept.iri: _taken_over(session, concept, told) for concept in found}
        for concept in found:
            for kind, others in (("broader", concept.broader), ("related", concept.related)):
                for other in others:
                    if other in rows and rows[other].id != rows[concept.iri].id:
                        told.links += _link(session, rows[concept.iri], rows[other], kind)
        _settle(session, list(rows.values()) if told.renamed else [], dry_run)
    return told


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise NotFound(f"{path} cannot be read as a text file") from error


def _taken_over(session: Session, found: skos.FoundConcept, told: Imported) -> Concept:
    preferred = found.preferred() or next((text for _, text, _ in found.labels), None)
    if preferred is None:
        raise WrongUsage(f"{found.iri} has no label", "give it a skos:prefLabel")
    slug = found.slug
    row = session.scalar(select(Concept).where(Concept.slug == slug)) if slug else None
    if row is None:
        row = _by_preferred(session, preferred)
    if row is None:
        row = Concept(
            slug=slug or f"own:{fold(preferred)}", scheme="trade" if slug in load().concepts else "own"
        )
        row.labels = [Label(text=normalise_tag(preferred), folded=fold(preferred), kind="preferred")]
        session.add(row)
        session.flush()
        told.new.append(preferred)
    kinds = {"prefLabel": "other", "altLabel": "other", "hiddenLabel": "hidden"}
    # Preferred ones first: of another language's labels the first is its preferred one.
    for kind, text, language in sorted(found.labels, key=lambda label: label[0] != "prefLabel"):
        told.labels += _put_label(session, row, text, kinds[kind], language or HOME)
    if found.definition and not row.definition:
        row.definition = found.definition
    return row


def _by_preferred(session: Session, text: str) -> Concept | None:
    return session.scalar(
        select(Concept)
        .join(Label, Label.concept_id == Concept.id)
        .where(Label.folded == fold(text), Label.kind == "preferred")
        .order_by(Concept.id)
        .limit(1)
    )


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
    for row in session.scalars(
        select(Suggestion).where(Suggestion.facet == "tag", Suggestion.value == gone.slug)
    ):
        session.delete(row)
    for period in session.scalars(select(StylePeriod).where(StylePeriod.concept_id == gone.id)):
        session.delete(period)
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


def _settle(session: Session, changed: Sequence[Concept], dry_run: bool) -> None:
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
