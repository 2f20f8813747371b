"""Words that are spelt right: those of the thesaurus, of the grammar, and of the model's vocabulary."""

from __future__ import annotations

import sqlite3
from functools import cache
from pathlib import Path

from assetlib.catalogue import lookup
from assetlib.rules.shots.people import NUMBERS
from assetlib.rules.words import spellings

SHIPPED = Path(__file__).parents[2] / "vectors" / "models" / "drawings-1" / "vocab.txt"


def is_known(connection: sqlite3.Connection, word: str) -> bool:
    """Whether a folded word, or what it is the plural of, is spelt right."""
    known = known_words(connection)
    return any(form in known for form in (word, word.removesuffix("s"), word.removesuffix("es")))


def known_words(connection: sqlite3.Connection) -> frozenset[str]:
    """Every word that is taken as right, folded."""
    labels = {word for label in lookup.right_labels(connection) for word in label.split()}
    return frozenset(labels | _shipped())


@cache
def _shipped() -> frozenset[str]:
    """Words of the grammar, and the whole words of the vocabulary that comes with the look-alike model."""
    grammar = set().union(*spellings.load().lists.values()) | set(NUMBERS)
    try:
        pieces = SHIPPED.read_text(encoding="utf-8").split("\n")
    except OSError:
        return frozenset(grammar)
    return frozenset(grammar | {piece for piece in pieces if len(piece) > 2 and piece.isalpha()})
