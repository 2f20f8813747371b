"""The thesaurus of the trade: concepts with their labels and how they hang together.

The words are those of W3C SKOS (Simple Knowledge Organization System Reference, 18 August
2009). The concepts were written for this project; `thesaurus.json` holds one a line. Labels in
German, French, Spanish and Italian (`de`, `fr`, `es`, `it`, the preferred one first) are from memory, with no source.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any, NamedTuple

from assetlib.rules.words.tags import fold

_FILE = Path(__file__).with_name("thesaurus.json")
NAMESPACE = "urn:x-assetlib:concept:"
LONGEST_LABEL = 6  # words of the longest label that is looked for in a line
HOME = "en"
OTHER_LANGUAGES = ("de", "fr", "es", "it")
# Words of those languages that are also English ones of another meaning: *main* is no hand, *see* no lake.
_OWN_KEYS = frozenset(("id", "pref", "alt", "hidden", "broader", "related", "facet", "value", "definition"))
"""Keys of a row; every other one is a language with its labels."""
_ENGLISH_TOO = """
    acre argent aula bart bauer bras brief chaise champ chariot cine dent die dose dar fallen fatigue
    ferme four gel glace handy haler herd jersey journal kind labor laden lancer laver legume lit
    luge main mantel mar mare mela mere mono moto ours pain papillon passant pastel pate patron pied
    piece pile placard plan portable pre public pulsar rad re regal remover robe roller rue sac salon
    see singe sol sombre stern tambour taper tarde tau te tee teller taller the tier tirer vent
    verse vin visage ape cane cornetto dente pesce pesca pera pila porto rana uva sega sole torta tenda testa
    vino latte volant wand weg
    """
ENGLISH_TOO = frozenset(_ENGLISH_TOO.split())


def digest() -> str:
    """SHA-256 of the words that come with this assetlib."""
    return hashlib.sha256(_FILE.read_bytes()).hexdigest()


class ThesaurusConcept(NamedTuple):
    """One meaning; `facet` and `value` are set where the shot grammar has it."""

    id: str
    pref: str
    alt: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()
    broader: tuple[str, ...] = ()
    narrower: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    facet: str = ""
    value: str = ""
    abroad: tuple[tuple[str, str], ...] = ()
    """Language and label, in each language the preferred one first."""
    definition: str = ""

    @property
    def labels(self) -> tuple[str, ...]:
        """The labels to show and to search with; misspellings are not among them."""
        return (self.pref, *self.alt)


@dataclass(frozen=True, slots=True)
class Thesaurus:
    """Concepts by their id, in the order they were written."""

    concepts: Mapping[str, ThesaurusConcept]
    _by_label: Mapping[str, tuple[str, ...]] = field(repr=False)

    def concept_for(self, label: str) -> ThesaurusConcept | None:
        """The concept a label names best, or None: preferred labels before others."""
        return next(iter(self.named(label)), None)

    def expand(self, word: str) -> tuple[str, ...]:
        """What else to ask for: labels of what the word names, then of narrower concepts.

        The nearest come first and the word itself is left out; empty for an unknown word.
        """
        concepts = list(self.named(word))
        for concept in concepts:  # grows while it is read: breadth first
            concepts.extend(self.concepts[n] for n in concept.narrower if self.concepts[n] not in concepts)
        labels = dict.fromkeys(label for concept in concepts for label in concept.labels)
        return tuple(label for label in labels if fold(label) != fold(word))

    def suggest(self, words: str | Iterable[str]) -> tuple[ThesaurusConcept, ...]:
        """The concepts whose labels stand in the words, longest labels first where they overlap."""
        placed = self.placed(words if isinstance(words, str) else " ".join(words))
        return tuple({concept.id: concept for _, _, concept in placed}.values())

    def placed(self, text: str) -> tuple[tuple[int, int, ThesaurusConcept], ...]:
        """The same with the words they stand in, first and past the last, in the order of the words."""
        folded = fold(text).split()
        taken: set[int] = set()
        found: list[tuple[int, int, ThesaurusConcept]] = []
        for first, last in _stretches(len(folded)):
            concept = (
                None if taken & set(range(first, last)) else self.concept_for(" ".join(folded[first:last]))
            )
            if concept is not None:
                taken.update(range(first, last))
                found.append((first, last, concept))
        return tuple(sorted(found, key=lambda place: place[0]))

    def above(self, concept_id: str) -> frozenset[str]:
        """The ids of all concepts that this one is a kind of, near and far."""
        return frozenset(self._above(concept_id))

    def named(self, label: str) -> Iterator[ThesaurusConcept]:
        """Every concept that a label names, the best first."""
        key = fold(label)
        ids = next((self._by_label[k] for k in _singulars(key) if k in self._by_label), ())
        concepts = [self.concepts[i] for i in ids]
        yield from sorted(concepts, key=lambda c: (fold(c.pref) != key, bool(c.facet)))

    def check(self) -> list[str]:
        """What is wrong with the concepts, a sentence each; empty when all is well."""
        return [*self._wrong_labels(), *self._wrong_links()]

    def _wrong_labels(self) -> Iterator[str]:
        preferred: dict[str, str] = {}
        for concept in self.concepts.values():
            other = preferred.setdefault(fold(concept.pref), concept.id)
            if other != concept.id:
                yield f"'{concept.pref}' is the preferred label of {other} and of {concept.id}"
            kinds = ({concept.pref}, set(concept.alt), set(concept.hidden))
            for one, two in combinations(kinds, 2):
                for label in sorted(one & two):
                    yield f"'{label}' has two kinds of label in {concept.id}"
            if len(set(concept.alt)) < len(concept.alt):
                yield f"{concept.id} repeats a label"

    def _wrong_links(self) -> Iterator[str]:
        for concept in self.concepts.values():
            for other in (*concept.broader, *concept.related):
                if other not in self.concepts:
                    yield f"{concept.id} points to {other}, which is not there"
            above = self._above(concept.id)
            if concept.id in above:
                yield f"{concept.id} is broader than itself"
            for other in above & set(concept.related):
                yield f"{concept.id} is both related to {other} and narrower than it"  # SKOS S27

    def _above(self, concept_id: str) -> set[str]:
        found: set[str] = set()
        waiting = list(self.concepts[concept_id].broader)
        while waiting:
            above = waiting.pop()
            if above not in found and above in self.concepts:
                found.add(above)
                waiting.extend(self.concepts[above].broader)
        return found


def _stretches(length: int) -> Iterator[tuple[int, int]]:
    for size in range(min(LONGEST_LABEL, length), 0, -1):
        for first in range(length - size + 1):
            yield first, first + size


def _singulars(key: str) -> Iterator[str]:
    """The key, then what it may be the plural of (regular English plurals)."""
    yield key
    if key.endswith("ies"):
        yield key[:-3] + "y"
    if key.endswith("es"):
        yield key[:-2]
    if key.endswith("s") and not key.endswith("ss"):
        yield key[:-1]


@cache
def load() -> Thesaurus:
    """The thesaurus that comes with assetlib."""
    rows = json.loads(_FILE.read_text(encoding="utf-8"))
    return build(rows)


def build(rows: Iterable[Mapping[str, Any]]) -> Thesaurus:
    """A thesaurus from rows as `thesaurus.json` has them; narrower and the way back of related are added."""
    kept = list(rows)
    narrower: dict[str, list[str]] = {}
    related: dict[str, list[str]] = {}
    for row in kept:
        for above in row.get("broader", ()):
            narrower.setdefault(above, []).append(row["id"])
        for other in row.get("related", ()):
            related.setdefault(row["id"], []).append(other)
            related.setdefault(other, []).append(row["id"])
    concepts = {row["id"]: _concept(row, narrower, related) for row in kept}
    return Thesaurus(concepts, _labels(concepts.values()))


def _concept(
    row: Mapping[str, Any], narrower: Mapping[str, list[str]], related: Mapping[str, list[str]]
) -> ThesaurusConcept:
    key = row["id"]
    return ThesaurusConcept(
        id=key,
        pref=row["pref"],
        alt=tuple(row.get("alt", ())),
        hidden=tuple(row.get("hidden", ())),
        broader=tuple(row.get("broader", ())),
        narrower=tuple(narrower.get(key, ())),
        related=tuple(dict.fromkeys(related.get(key, ()))),
        facet=row.get("facet", ""),
        value=row.get("value", ""),
        abroad=tuple((key, label) for key in row if key not in _OWN_KEYS for label in row[key]),
        definition=row.get("definition", ""),
    )


def _labels(concepts: Iterable[ThesaurusConcept]) -> dict[str, tuple[str, ...]]:
    found: dict[str, dict[str, None]] = {}
    kept = list(concepts)
    for concept in kept:
        for label in (*concept.labels, *concept.hidden):
            found.setdefault(fold(label), {})[concept.id] = None
    home = frozenset(found)
    for concept in kept:
        for _, label in concept.abroad:
            # A word of another language is read only where English has no such word: *pan* stays a pan.
            if (key := fold(label)) not in home and key not in ENGLISH_TOO:
                found.setdefault(key, {})[concept.id] = None
    return {label: tuple(ids) for label, ids in found.items()}
