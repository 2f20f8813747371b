"""Whether a word of a title means what a line asks for: *Open palm* is no tree, *Computer mouse* no animal.

The full-text index brings words together by their stems alone. Where a drawing was found by another word than the
one that was typed, its title is read once more here.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterable, Iterator, Sequence
from enum import Enum

from assetlib.catalogue import lookup
from assetlib.rules.words import spellings
from assetlib.rules.words.forms import other_forms
from assetlib.rules.words.stems import stem
from assetlib.rules.words.tags import fold
from assetlib.services.finding.asking import LONGEST_LABEL, Part

STEPS_UP = 6
"""How far up the thesaurus a longer name is followed to what was asked for."""


class Sense(Enum):
    """What a word of a title is to a part of a line."""

    SAME = "same"
    OTHER_FORM = "other form"
    """The typed word's stem in a form that the thesaurus knows as another idea: *watch* and *watching*."""
    PERHAPS = "perhaps"
    """A word of two senses that was not typed itself: *crane* for a bird."""
    OTHER = "other"


class Senses:
    """Reads titles for one connection; what the thesaurus says is asked once."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._named: dict[str, frozenset[int]] = {}
        self._around: dict[int, frozenset[int]] = {}

    def best(self, part: Part, words: Sequence[str], places: Iterable[int]) -> Sense | None:
        """The best sense in which single words at these places name a part; None where there are none."""
        order = list(Sense)
        found = [self._sense(part, words, place) for place in places]
        return min(found, key=order.index, default=None)

    def _sense(self, part: Part, words: Sequence[str], place: int) -> Sense:
        word = _plain(words[place])
        asked = fold(part.text)
        if word in _forms(asked):
            return Sense.SAME
        if stem(word) == stem(asked):
            return self._form_of(asked, word)
        if not any(word in _forms(label) for label in _same_stem(part, word)):
            return Sense.OTHER
        longer = self._longer_name(part, words, place)
        if longer is not None:
            return longer
        doubtful = _singular(word) in two_senses() or self._is_elsewhere(part, self._exactly(word))
        return Sense.PERHAPS if doubtful else Sense.SAME

    def _form_of(self, asked: str, word: str) -> Sense:
        """What a word of the typed one's stem is to it."""
        if _singular(word) in two_senses() and _singular(asked) not in two_senses():
            return Sense.PERHAPS
        one, other = self._concepts(asked), self._concepts(word)
        if not one or not other or one & (other | self._kin(other)):
            return Sense.SAME
        if word.endswith(("ing", "ed")) or (asked.endswith("s") and not word.endswith("s")):
            return Sense.OTHER_FORM
        return Sense.PERHAPS if asked.endswith(("ing", "ed")) else Sense.OTHER

    def _longer_name(self, part: Part, words: Sequence[str], place: int) -> Sense | None:
        """What the word is in the name of something else: *mouse* of *computer mouse*, *bread* of *bread basket*.

        The last word of such a name says what it is, the others what it is for.
        """
        for run, is_last in _runs(words, place):
            if self._is_elsewhere(part, self._concepts(run)):
                return Sense.OTHER if is_last else Sense.PERHAPS
        return None

    def _is_elsewhere(self, part: Part, named: frozenset[int]) -> bool:
        """Whether a name stands for something, and for nothing that hangs together with a part."""
        return bool(named) and not frozenset(part.concepts) & (named | self._kin(named))

    def _exactly(self, word: str) -> frozenset[int]:
        return frozenset(concept for _, concept in lookup.concepts_by_label(self._connection, [word]))

    def _concepts(self, label: str) -> frozenset[int]:
        if label not in self._named:
            forms = {label, _singular(label), *other_forms(label)}
            self._named[label] = frozenset(
                concept for _, concept in lookup.concepts_by_label(self._connection, forms)
            )
        return self._named[label]

    def _kin(self, concepts: Collection[int]) -> frozenset[int]:
        """All that these are kinds of, and what they hang together with."""
        found: set[int] = set()
        for concept in concepts:
            if concept not in self._around:
                self._around[concept] = lookup.around(self._connection, concept, STEPS_UP)
            found |= self._around[concept]
        return frozenset(found)


def two_senses() -> frozenset[str]:
    """Words that stand for two things about as often (from memory, with no source)."""
    return spellings.load().lists["two-senses"]


def _same_stem(part: Part, word: str) -> Iterator[str]:
    """Labels of a part, one word each, with the stem of a word; forms of what is done come along with it."""
    labels = [fold(label) for label in (*part.others, *part.narrower) if " " not in fold(label)]
    same = [label for label in labels if stem(label) == stem(word)]
    yield from same
    if any(label.endswith("ing") for label in same):
        yield word


def _runs(words: Sequence[str], place: int) -> Iterator[tuple[str, bool]]:
    """Names of two and three words that a word stands in, and whether it is their last."""
    for length in range(2, LONGEST_LABEL + 1):
        for start in range(max(0, place - length + 1), min(place, len(words) - length) + 1):
            run = " ".join(_plain(word) for word in words[start : start + length])
            yield run, place == start + length - 1


def _plain(word: str) -> str:
    return fold(word.removesuffix("'s").removesuffix("’s"))


def _forms(label: str) -> frozenset[str]:
    """A word and its plain plural, irregular forms with it."""
    plurals = {label + "s", label + "es", label[:-1] + "ies" if label.endswith("y") else label}
    return frozenset({label, *plurals, *other_forms(label)})


def _singular(word: str) -> str:
    return word[:-1] if len(word) > len("gas") and word.endswith("s") and not word.endswith("ss") else word
