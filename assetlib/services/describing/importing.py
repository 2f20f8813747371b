"""Words of a SKOS file, and of a newer assetlib, taken over into the library's thesaurus."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from assetlib.catalogue.words import Concept, Label, Relation
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.words import skos
from assetlib.rules.words.tags import fold, normalise_tag
from assetlib.rules.words.thesaurus import HOME, load
from assetlib.services.describing.thesaurus import settle

LARGEST_FILE = 32 << 20
"""Bytes; a thesaurus of a hundred thousand words has less."""
LONGEST_DEFINITION = 2000
"""Characters."""
_KINDS = {"prefLabel": "other", "altLabel": "other", "hiddenLabel": "hidden"}


@dataclass(slots=True)
class Imported:
    """What a file brought: how many concepts it has, which are new, and how many labels and links were added."""

    concepts: int = 0
    new: list[str] = field(default_factory=list)
    labels: int = 0
    links: int = 0


def import_turtle(
    lib: Library, path: Path | None = None, *, dry_run: bool = False, progress: Progress = SILENT
) -> Imported:
    """Take over the concepts of a SKOS file: new ones come, known ones get what they lack, nothing goes.

    Without a file, the concepts that come with this assetlib: an older library started with fewer. Of those, one that
    the artist made part of another word does not come back.

    Known are those of our own name and those whose preferred label is ours. Raises NotFound for a file that is not
    there, WrongUsage with its line or its reason for one that is broken.
    """
    found = skos.read_turtle(_text_of(path) if path is not None else skos.to_turtle(load()))
    if not found:
        raise WrongUsage(f"{path} has no concepts", "a SKOS file states them with: a skos:Concept")
    name = path.name if path is not None else "the words that come with assetlib"
    with lib.transaction(None if dry_run else f"thesaurus: import {name}") as session:
        with session.no_autoflush:  # thousands of words: they are written in one go
            taking = _Taking(session, ours=path is None)
            rows = {
                concept.iri: taking.take(concept) for concept in progress.track(found, "words", len(found))
            }
            session.flush()
            for concept in found:
                for kind, others in (("broader", concept.broader), ("related", concept.related)):
                    taking.link(rows[concept.iri], (rows[other] for other in others if other in rows), kind)
        settle(session, [], dry_run)
    return taking.told


def _text_of(path: Path) -> str:
    """Raises NotFound for a file that cannot be read, WrongUsage for one that is no text in UTF-8, or far too large."""
    try:
        data = path.read_bytes() if path.stat().st_size <= LARGEST_FILE else None
    except OSError as error:
        raise NotFound(f"{path} cannot be read ({error.strerror})") from error
    if data is None:
        raise WrongUsage(f"{path} is larger than {LARGEST_FILE >> 20} MB: no thesaurus is")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise WrongUsage(
            f"{path} is no text in UTF-8", "Turtle is always UTF-8: save the file so, then import it"
        ) from error


class _Taking:
    """The library's words as they stand while a file is taken over, looked up in memory."""

    def __init__(self, session: Session, *, ours: bool) -> None:
        self.told = Imported()
        self._session = session
        self._ours = ours
        self._shipped = load().concepts
        self._slugs: dict[str, Concept] = {}
        self._preferred: dict[str, Concept] = {}
        self._carriers: dict[str, set[str]] = defaultdict(set)
        rows = session.scalars(select(Concept).options(selectinload(Concept.labels)).order_by(Concept.id))
        for concept in rows:
            self._slugs[concept.slug] = concept
            for label in concept.labels:
                if label.kind == "preferred":
                    self._preferred.setdefault(label.folded, concept)
                if label.language == HOME:
                    self._carriers[label.folded].add(concept.slug)
        pairs = session.execute(select(Relation.concept_id, Relation.other_id, Relation.kind))
        self._links = {(one, other, kind) for one, other, kind in pairs}

    def take(self, found: skos.FoundConcept) -> Concept:
        """The concept of ours that this one is, made where there is none, with all its labels."""
        self.told.concepts += 1
        preferred = found.preferred() or next((text for _, text, _ in found.labels), None)
        if preferred is None:
            raise WrongUsage(f"{found.iri} has no label", "give it a skos:prefLabel")
        if found.definition and len(found.definition) > LONGEST_DEFINITION:
            raise WrongUsage(
                f"the definition of {found.iri} has {len(found.definition)} characters, "
                f"{LONGEST_DEFINITION} are allowed",
                "shorten it, then import the file",
            )
        row = self._known(found, preferred) or self._new(found, preferred)
        # Preferred ones first: of another language's labels the first is its preferred one.
        for kind, text, language in sorted(found.labels, key=lambda label: label[0] != "prefLabel"):
            self._label(row, text, _KINDS[kind], language or HOME)
        if found.definition and not row.definition:
            row.definition = found.definition
        return row

    def _known(self, found: skos.FoundConcept, preferred: str) -> Concept | None:
        row = self._slugs.get(found.slug) if found.slug else None
        row = row or self._preferred.get(fold(preferred))
        return row or (self._merged_into(found) if self._ours else None)

    def _merged_into(self, found: skos.FoundConcept) -> Concept | None:
        """The word that one of ours was made part of: it has all its English labels."""
        keys = {fold(text) for _, text, language in found.labels if (language or HOME) == HOME}
        carriers = set.intersection(*(self._carriers.get(key, set()) for key in keys)) if keys else set()
        return self._slugs[min(carriers)] if carriers else None

    def _new(self, found: skos.FoundConcept, preferred: str) -> Concept:
        name = normalise_tag(preferred)
        slug = found.slug or f"own:{fold(name)}"
        row = Concept(slug=slug, scheme="trade" if slug in self._shipped else "own")
        row.labels = [Label(text=name, folded=fold(name), kind="preferred", language=HOME)]
        self._session.add(row)
        self._slugs[slug] = self._preferred[fold(name)] = row
        self.told.new.append(name)
        return row

    def _label(self, row: Concept, text: str, kind: str, language: str) -> None:
        name = normalise_tag(text)
        key = fold(name)
        if not any(label.folded == key and label.language == language for label in row.labels):
            row.labels.append(Label(text=name, folded=key, kind=kind, language=language))
            self.told.labels += 1

    def link(self, row: Concept, others: Iterable[Concept], kind: str) -> None:
        """Hang a concept below others, or beside them."""
        for other in others:
            pair = (row.id, other.id, kind)
            turned = (other.id, row.id, kind)
            if row.id == other.id or pair in self._links or (kind == "related" and turned in self._links):
                continue
            self._links.add(pair)
            self._session.add(Relation(concept_id=row.id, other_id=other.id, kind=kind))
            self.told.links += 1
