"""What a line asks to be without, and how many of a thing it asks for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from assetlib.rules.shots.people import NUMBERS, PAIRS
from assetlib.rules.shots.phrases import word_set

PEOPLE = "people"
"""What *nobody* and *an empty street* are without."""

MOST_COUNTED = 30
"""Above this a number is no count of what is drawn."""


@dataclass(frozen=True, slots=True)
class Without:
    """Something that must not be there: where the words that say so stand, and how far the thing may reach.

    `first` to `last` are characters of the line; `things` are the words that may name it, the first one surely.
    """

    first: int
    last: int
    things: tuple[str, ...]


@cache
def _negations() -> re.Pattern[str]:
    return re.compile(
        r"(?<![\w/-])(?:(?P<marker>w/?out|w/o|without|minus|sans|no(?!\s*\.?\s*\d)|not)\s+(?:(?:any|an?|the|more|other)\s+)?"
        r"(?P<thing>[^\W\d_][\w'’]*(?:[ -][^\W\d_][\w'’]*)?)"
        r"|(?P<nobody>nobody|no[ -]?one|unmanned|deserted|unpeopled)(?:\s+(?:about|around|there|in it|inside))?\b"
        r"|(?P<empty>empty|vacant)\b)"
        r"|(?:(?<=\s)|^)-(?P<dashed>[^\W\d_][\w'’]*)",
        re.IGNORECASE,
    )


_NO_THINGS = word_set(
    "longer matter sound audio vo dialogue supers super cut cuts change changes number other"
)
"""What follows *no* in a shot list without being something drawn."""


def read_without(text: str) -> tuple[Without, ...]:
    """What the line asks to be without, from left to right."""
    found = []
    for hit in _negations().finditer(text):
        if hit["empty"] or hit["nobody"]:
            found.append(Without(hit.start(), hit.end(), (PEOPLE,)))
            continue
        thing = hit["thing"] or hit["dashed"]
        if thing.isupper() or thing.split()[0].casefold() in _NO_THINGS:
            continue
        first = hit.start("thing") if hit["thing"] else hit.start("dashed")
        words = tuple(re.split(r"[ -]", thing))
        found.append(Without(hit.start(), first + len(words[0]), words))
    return tuple(found)


def number_of(word: str) -> int | None:
    """The count that a word or figure says; None where it says none that could be drawn."""
    folded = word.casefold()
    number = (
        int(folded)
        if folded.isdecimal() and len(folded) <= len("30")
        else NUMBERS.get(folded, PAIRS.get(folded))
    )
    return number if number and number <= MOST_COUNTED else None


def counted(words: Sequence[str], place: int) -> int | None:
    """The number that stands before a word, up to two words away: *two old men* says 2 of men."""
    for step in range(1, _WORDS_BETWEEN + 2):
        at = place - step
        if at < 0:
            return None
        if (number := number_of(words[at])) is not None:
            return number
        if words[at].casefold() in _PARTING:
            return None
    return None


_WORDS_BETWEEN = 2
_PARTING = word_set("and with in on at by to from for under over a an the his her their its plus")
