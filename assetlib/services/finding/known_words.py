"""Words that are spelt right: those of the thesaurus, of the grammar, and of the model's vocabulary."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection
from functools import cache
from pathlib import Path

from assetlib.catalogue import lookup
from assetlib.rules.shots.people import NUMBERS
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.words import spellings
from assetlib.rules.words.tags import fold

SHIPPED = Path(__file__).parents[2] / "vectors" / "models" / "drawings-1" / "vocab.txt"


def is_known(connection: sqlite3.Connection, word: str) -> bool:
    """Whether a folded word, or what it is the plural of, is spelt right."""
    known = known_words(connection)
    return any(form in known for form in (word, word.removesuffix("s"), word.removesuffix("es")))


def known_words(connection: sqlite3.Connection) -> frozenset[str]:
    """Every word that is taken as right, folded."""
    labels = {word for label in lookup.right_labels(connection) for word in label.split()}
    return frozenset(labels | _shipped())


_PAPERWORK = word_set(
    "sheet page drawing drawings sketch sketches scan copy file photo photos picture pictures image images asset assets"
    " final new old draft version detail"
)
"""Words of file names that say nothing of what is drawn."""


def untold(connection: sqlite3.Connection, ids: Collection[int]) -> frozenset[int]:
    """Those of the entries of which nothing is known but a name that says nothing: *IMG_0032*, *scan 7*."""
    things = {word for label in lookup.right_labels(connection) for word in label.split()} - _PAPERWORK
    facts, texts = lookup.facts(connection, ids), lookup.texts(connection, ids)
    return frozenset(
        i
        for i in ids
        if not facts[i]
        and not any(
            word in things or word.removesuffix("s") in things
            for text in texts.get(i, ())
            for word in fold(text).split()
        )
    )


@cache
def _shipped() -> frozenset[str]:
    """Words of the grammar, and the whole words of the vocabulary that comes with the look-alike model."""
    grammar = set().union(*spellings.load().lists.values()) | set(NUMBERS)
    try:
        pieces = SHIPPED.read_text(encoding="utf-8").split("\n")
    except OSError:
        return frozenset(grammar)
    return frozenset(grammar | {piece for piece in pieces if len(piece) > 2 and piece.isalpha()})
