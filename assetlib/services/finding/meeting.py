"""Which drawings meet which part of a line, and by what: the artist's words, other words for the same, a fact, or less.

All on sets of entries, so that a hundred thousand are asked in a moment; `judging` looks closer at the best of them.
"""

from __future__ import annotations

import math
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from assetlib.catalogue import lookup
from assetlib.catalogue.lookup import any_of, in_columns
from assetlib.rules.shots.shot_numbers import is_frame_of
from assetlib.rules.words import spellings
from assetlib.rules.words.respelling import meant
from assetlib.rules.words.tags import fold
from assetlib.services.finding.asking import STOP_WORDS, Part, Question, part_called, word_by_word
from assetlib.services.finding.known_words import is_known, known_words

# How strongly a part is met, by where its word stands. Set by hand on the tuning half of tests/bench/serving.py.
TITLED = 1.0
CAPTIONED = 0.95
OTHER_LABEL = 0.95
NARROWER = 0.9
FACT = 0.97
MET = 0.9
"""From here a part is met; what is weaker stands for it in part."""
BEGUN = 0.6
KINDRED = 0.52
"""What a part is related to, or a kind of."""
RESPELT = 0.5
WITHIN = 0.45
GUESSED = 0.3
"""A facet that was only guessed from the picture."""
BEHIND = 0.1
"""Names of sheets, files, folders and jobs, and what strangers wrote into files: never a fact of the drawing."""

HEADS = {"two-shot": "2", "three-shot": "3", "single": "1"}
"""How many people a kind of shot shows: two in one picture are a two-shot, whatever the title calls it."""

KIN_FACT = 0.9
KIN = {
    "back": ("three-quarter back",), "front": ("three-quarter front",), "three-quarter front": ("three-quarter back",),
}  # fmt: skip
"""Views that do for one another."""

OWN = ("title", "tags")
CAPTION = ("words",)
FAR = ("path",)

MANY = 20_000
"""Most entries that one way of matching hands on; a word that is on more of them hardly tells them apart."""

SHORTEST_BEGINNING = 3
"""Letters from which the beginning of a word is looked up."""

SHORTEST_WITHIN = 4
"""Letters from which a word is looked for at the end of longer ones: *phone* in *handphone*."""

PEOPLE_ASKED = 400
"""Words for people that are asked for at once."""


@dataclass(slots=True)
class Meeting:
    """What meets a part: strength by entry, the weight of the part by its rarity, and as what word it was read."""

    part: Part
    entries: dict[int, float] = field(default_factory=dict)
    weight: float = 1.0
    read_as: str = ""

    def strength(self, entry_id: int) -> float:
        """0 to 1."""
        return self.entries.get(entry_id, 0.0)

    def is_met(self, entry_id: int) -> bool:
        """Whether the entry surely meets the part."""
        return self.strength(entry_id) >= MET


Keep = Callable[[Iterable[int]], list[int]]
"""Those of some ids that may be found."""


def meet(connection: sqlite3.Connection, question: Question, keep: Keep) -> list[Meeting]:
    """For each part of the line what meets it."""
    total = max(2, lookup.size(connection))
    return [meeting for part in question.parts for meeting in _meet_whole(connection, part, keep, total)]


def _meet_whole(connection: sqlite3.Connection, part: Part, keep: Keep, total: int) -> Iterator[Meeting]:
    """What meets a part, or each word of it where it is a phrase that no drawing here carries."""
    meeting = _meet(connection, part, keep, total)
    words = () if any(s >= MET for s in meeting.entries.values()) else word_by_word(connection, part)
    apart = [_meet(connection, word, keep, total) for word in words]
    if meeting.entries and not any(s >= MET for one in apart for s in one.entries.values()):
        apart = []  # its words are on no drawing either, and something nearly the same is
    yield from apart or [meeting]


def carriers(connection: sqlite3.Connection, part: Part) -> set[int]:
    """Entries that carry what a line is to be without."""
    if part.people:
        return {*lookup.with_facet(connection, "people"), *_naming_people(connection)}
    asked = in_columns((*OWN, *CAPTION), any_of((part.text, *part.others, *part.narrower)))
    return set(lookup.matches(connection, asked, MANY))


def _meet(connection: sqlite3.Connection, part: Part, keep: Keep, total: int) -> Meeting:
    meeting = Meeting(part)
    if part.shot:
        frames = (i for i, shot in lookup.delivered_frames(connection) if is_frame_of(shot, part.shot))
        _mark(meeting, keep(frames), TITLED)
        return meeting
    _mark(
        meeting,
        keep(lookup.matches(connection, in_columns(FAR, any_of([part.text, *part.others])), MANY)),
        BEHIND,
    )
    for facet, value in part.facets:
        kin = [(facet, other) for other in KIN.get(value, ())]
        kin += [("people", HEADS[value])] if value in HEADS else []
        for other in kin:
            sure = (i for i, is_sure in lookup.facet_carriers(connection, *other) if is_sure)
            _mark(meeting, keep(sure), KIN_FACT)
        carried = list(lookup.facet_carriers(connection, facet, value))
        _mark(meeting, keep(i for i, sure in carried if not sure), GUESSED)
        _mark(meeting, keep(i for i, sure in carried if sure), FACT)
    if part.people:
        _mark(meeting, keep(_naming_people(connection)), NARROWER)
    for words, columns, strength in _ways(part):
        _mark(meeting, keep(lookup.matches(connection, in_columns(columns, any_of(words)), MANY)), strength)
    if not any(strength >= MET for strength in meeting.entries.values()) and " " not in part.text:
        _read_otherwise(connection, meeting, keep)
    rarity = math.log(total / (1 + len(meeting.entries))) / math.log(total)
    meeting.weight = part.weight * (RARITY_LEAST + (1 - RARITY_LEAST) * max(0.0, rarity))
    return meeting


RARITY_LEAST = 0.8
"""What a part on every drawing counts beside one that is on none: the number of parts met comes first."""


def _ways(part: Part) -> list[tuple[tuple[str, ...], tuple[str, ...], float]]:
    ways: list[tuple[tuple[str, ...], tuple[str, ...], float]] = []
    if part.kindred:
        ways.append((part.kindred, (*OWN, *CAPTION), KINDRED))
    if part.narrower:
        ways.append((part.narrower, (*OWN, *CAPTION), NARROWER))
    if part.others:
        ways.append((part.others, (*OWN, *CAPTION), OTHER_LABEL))
    return [*ways, ((part.text,), CAPTION, CAPTIONED), ((part.text,), OWN, TITLED)]


def _mark(meeting: Meeting, ids: Iterable[int], strength: float) -> None:
    for entry_id in ids:
        if strength > meeting.entries.get(entry_id, 0.0):
            meeting.entries[entry_id] = strength


def _read_otherwise(connection: sqlite3.Connection, meeting: Meeting, keep: Keep) -> None:
    """A word that stands on no drawing: as the end of a longer one, as one not typed out, as one misspelt."""
    word = fold(meeting.part.text)
    if not word.isalpha() or word in STOP_WORDS:
        return
    columns = (*OWN, *CAPTION)
    stems = lookup.terms(connection)
    if parted := _parted(connection, word):
        _mark(
            meeting, keep(lookup.matches(connection, in_columns(columns, any_of(parted)), MANY)), OTHER_LABEL
        )
    if len(word) >= SHORTEST_WITHIN and (
        inside := [term for term in stems if term.endswith(word) and term != word]
    ):
        _mark(
            meeting, keep(lookup.matches(connection, in_columns(columns, any_of(inside[:8])), MANY)), WITHIN
        )
    if is_known(connection, word):
        return
    if len(word) >= SHORTEST_BEGINNING:
        begun = in_columns(columns, any_of([word], prefix=True))
        _mark(meeting, keep(lookup.matches(connection, begun, MANY)), BEGUN)
    if not any(strength >= WITHIN for strength in meeting.entries.values()):
        _respell(connection, meeting, keep, word, stems)


def _respell(
    connection: sqlite3.Connection, meeting: Meeting, keep: Keep, word: str, stems: Iterable[str]
) -> None:
    for other in meant(word, {*known_words(connection), *stems}, limit=6):
        part = part_called(connection, other)
        called = (other, *part.others, *part.narrower, *_parted(connection, other))
        found = keep(lookup.matches(connection, in_columns((*OWN, *CAPTION), any_of(called)), MANY))
        if found:
            _mark(meeting, found, RESPELT)
            meeting.read_as = meeting.read_as or other


def _parted(connection: sqlite3.Connection, word: str) -> tuple[str, ...]:
    """A compound as two words, where both are words: *policeman* is *police man*."""
    places = range(SHORTEST_BEGINNING, len(word) - SHORTEST_BEGINNING + 1)
    known = known_words(connection) if places else ()
    return tuple(f"{word[:at]} {word[at:]}" for at in places if word[:at] in known and word[at:] in known)


def _naming_people(connection: sqlite3.Connection) -> list[int]:
    words = sorted(spellings.load().lists["person"] - _NOT_FOR_SURE)
    found: set[int] = set()
    for start in range(0, len(words), PEOPLE_ASKED):
        found.update(
            lookup.matches(
                connection, in_columns((*OWN, *CAPTION), any_of(words[start : start + PEOPLE_ASKED])), MANY
            )
        )
    return list(found)


_NOT_FOR_SURE = frozenset(
    [
        "he",
        "she",
        "they",
        "we",
        "who",
        "both",
        "king",
        "queen",
        "prince",
        "princess",
        "model",
        "models",
        "host",
        "judge",
        "coach",
        "pair",
        "pairs",
    ]
)
"""Words for people that more often mean something else on a drawing."""
