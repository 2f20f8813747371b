"""From a line of plain words to terms that can be looked up, each with the other words for the same idea."""

from __future__ import annotations

import re
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assetlib.catalogue import lookup
from assetlib.rules.words.tags import fold

WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")

STOP_WORDS = frozenset(
    [
        "a",
        "an",
        "and",
        "are",
        "as",
        "at",
        "by",
        "for",
        "from",
        "her",
        "his",
        "in",
        "into",
        "is",
        "it",
        "its",
        "of",
        "off",
        "on",
        "onto",
        "or",
        "our",
        "over",
        "out",
        "that",
        "the",
        "their",
        "them",
        "then",
        "there",
        "they",
        "this",
        "to",
        "under",
        "up",
        "was",
        "we",
        "with",
        "while",
        "who",
        "you",
        "your",
    ]
)
"""Words that say nothing about a drawing; a line that has no others is looked up with them after all."""

LONGEST_LABEL = 3
"""Words in the longest label that is recognised in a line: *rear view mirror*."""

NARROWER_STEPS = 2
"""How far down the thesaurus a word reaches: *vehicle* finds a van, and a panel van."""


@dataclass(frozen=True, slots=True)
class Term:
    """One idea of a line: the words as typed, other labels for it, and labels of narrower ideas."""

    text: str
    others: tuple[str, ...] = ()
    narrower: tuple[str, ...] = ()


def read_terms(connection: sqlite3.Connection, text: str) -> list[Term]:
    """The terms of a line in their order, each once; phrases that are labels stay together."""
    words = [word for word in WORD.findall(text) if fold(word) not in STOP_WORDS] or WORD.findall(text)
    labels = _labels_in(connection, words)
    terms: list[Term] = []
    position = 0
    while position < len(words):
        length, concepts = _longest(words, position, labels)
        phrase = " ".join(words[position : position + length])
        terms.append(_term(connection, phrase, concepts))
        position += length
    return list({fold(term.text): term for term in terms}.values())


def _labels_in(connection: sqlite3.Connection, words: Sequence[str]) -> dict[str, list[int]]:
    """Concepts by folded label, for every run of up to three words of the line."""
    runs = {
        fold(" ".join(words[start : start + length]))
        for length in range(1, LONGEST_LABEL + 1)
        for start in range(len(words) - length + 1)
    }
    # The plain plural is tried as well, since labels stand in the singular: *phones* is *phone*.
    singulars = {run[:-1]: run for run in runs if len(run) > 3 and run.endswith("s")}
    found: dict[str, list[int]] = defaultdict(list)
    wanted = [*runs, *singulars]
    for folded, concept in lookup.concepts_by_label(connection, wanted):
        for run in {folded, singulars.get(folded, folded)} & runs:
            found[run].append(concept)
    return found


def _longest(words: Sequence[str], start: int, labels: dict[str, list[int]]) -> tuple[int, list[int]]:
    """How many words from `start` make the longest label, and its concepts; one word and none otherwise."""
    for length in range(min(LONGEST_LABEL, len(words) - start), 0, -1):
        concepts = labels.get(fold(" ".join(words[start : start + length])))
        if concepts:
            return length, concepts
    return 1, []


def _term(connection: sqlite3.Connection, phrase: str, concepts: list[int]) -> Term:
    if not concepts:
        return Term(phrase)
    others = lookup.labels_of(connection, concepts)
    below: list[int] = []
    level = concepts
    for _ in range(NARROWER_STEPS):
        level = lookup.narrower_than(connection, level)
        below.extend(level)
    narrower = lookup.labels_of(connection, below) if below else []
    known = {fold(phrase)}
    return Term(phrase, _fresh(others, known), _fresh(narrower, known))


def _fresh(labels: Iterable[str], known: set[str]) -> tuple[str, ...]:
    """The labels that were not seen before, in order."""
    fresh = []
    for label in labels:
        if fold(label) not in known:
            known.add(fold(label))
            fresh.append(label)
    return tuple(fresh)
