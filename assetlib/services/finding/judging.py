"""A closer look at the best drawings: what each meets and lacks, as its title puts it, and on which strip it stands."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from assetlib.catalogue import lookup
from assetlib.rules.shots import asides
from assetlib.rules.shots.serving import MIRROR_IT
from assetlib.rules.words.forms import is_plural
from assetlib.rules.words.stems import stem
from assetlib.services.finding import mirroring
from assetlib.services.finding.asking import WORD, Part, Question
from assetlib.services.finding.meeting import BEHIND, GUESSED, HEADS, KIN, MET, WITHIN, Meeting, carriers
from assetlib.services.finding.senses import Sense, Senses

Fit = Literal["fits", "partly", "near"]

WHOLE_TITLE = 0.12
"""What it adds when the words are the whole title; part of a title adds its share."""

SAME_WAY = 0.08
"""What the wanted screen direction adds, and what the opposite one takes away."""

WRONG_COUNT = 0.25
"""Share of a part that is lost where another number of it is drawn."""

CONTRADICTS = 0.4
"""Share of a part that is lost where the drawing is known to be otherwise: one person where two are asked for."""

ONE_OF = frozenset({"view", "people", "camera_position", "time", "setting", "pose"})
"""Facets of which a drawing has one value."""

UNTOLD = "not described yet"
"""What is missing where a line only says what is not to be there, and nothing is known of a drawing."""

DIRECTION = "screen_direction"
OPPOSITE = {"left to right": "right to left", "right to left": "left to right"}


@dataclass(slots=True)
class Verdict:
    """How a drawing answers a line."""

    score: float
    fit: Fit = "fits"
    unmet: list[str] = field(default_factory=list)
    why: list[str] = field(default_factory=list)
    """The parts of the line that it meets, and as what a part was read."""
    against: list[str] = field(default_factory=list)
    """What it shows that the line is to be without."""
    mirror: bool = False
    """Whether it would do mirrored: it goes the other way."""
    minding: str = ""
    """What is to be minded when it is mirrored."""
    read_as: dict[str, str] = field(default_factory=dict)
    """Words of the line that were read as another, which the drawing meets: misspelt ones."""
    wrong_side: str = ""
    """That its driver sits on the other side than the job's; empty where not."""


@dataclass(frozen=True, slots=True)
class _Told:
    """The words of a drawing's title, tags and notes: stems with the places where they stand, and those denied."""

    words: tuple[str, ...]
    stems: tuple[str, ...]
    places: dict[str, list[int]]
    denied: frozenset[int]
    without: tuple[str, ...]
    """Stems of what the title says is not there."""


class Judge:
    """Looks at drawings for one line."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        question: Question,
        meetings: Sequence[Meeting],
        side: mirroring.DriverSide = mirroring.DriverSide("left"),
    ) -> None:
        self._connection, self._question, self._meetings = connection, question, meetings
        self._whole = sum(meeting.weight for meeting in meetings) or 1.0
        self._phrases = [_phrases(meeting.part) for meeting in meetings]
        self._against = [(part, carriers(connection, part)) for part in question.without]
        self._ways = set(question.understood.get(DIRECTION, ()))
        self._said = {stem(word) for word in WORD.findall(question.text)}
        self._senses = Senses(connection)
        self._side = side
        self._untold: frozenset[int] = frozenset()

    def take_for_untold(self, ids: frozenset[int]) -> None:
        """Let nobody say of these that something is not there: nothing is known of them."""
        self._untold = ids

    @property
    def has_parts(self) -> bool:
        """Whether the line asks for anything to be there."""
        return bool(self._meetings)

    def coverage(self, entry_id: int) -> float:
        """How much of the line a drawing meets, 0 to 1, told from the index alone."""
        return sum(m.weight * m.strength(entry_id) for m in self._meetings) / self._whole

    def is_against(self, entry_id: int) -> bool:
        """Whether it seems to show what the line is to be without."""
        return any(entry_id in carried for _, carried in self._against)

    def is_partly(self, entry_id: int) -> bool:
        """Whether it meets some part that is drawn, or a word that was read as another."""
        return any(m.strength(entry_id) > GUESSED and not m.part.soft for m in self._meetings)

    def fits(self, entry_id: int) -> bool:
        """Whether it meets every part that is drawn, told from the index alone."""
        met = all(m.is_met(entry_id) or m.part.soft for m in self._meetings)
        return met and entry_id not in self._untold and not self.is_against(entry_id)

    def judge(self, ids: Collection[int]) -> dict[int, Verdict]:
        """The verdict on each of these drawings."""
        texts = lookup.texts(self._connection, ids)
        facts = lookup.facts(self._connection, ids)
        return {i: self._judge_one(i, _told(texts.get(i, ("", "", ""))), facts[i]) for i in ids}

    def _judge_one(self, entry_id: int, told: _Told, facts: set[tuple[str, str]]) -> Verdict:
        verdict = Verdict(self._title_share(told))
        weak = False
        for meeting, phrases in zip(self._meetings, self._phrases, strict=True):
            strength = self._strength(meeting, phrases, entry_id, told, facts)
            verdict.score += meeting.weight * strength / self._whole
            if strength >= MET:
                verdict.why.append(meeting.part.text)
                self._count(verdict, meeting, phrases, told, facts)
            elif not meeting.part.soft:
                weak |= strength > BEHIND
                self._miss(verdict, meeting, strength)
            if strength < MET and _contradicts(meeting.part, facts):
                verdict.score -= CONTRADICTS * meeting.weight / self._whole
        self._face(verdict, told, facts)
        verdict.against = [
            part.text
            for part, carried in self._against
            if self._shows(part, entry_id in carried, told, facts)
        ]
        if entry_id in self._untold:
            verdict.unmet.append(UNTOLD)
        if verdict.unmet or verdict.against or weak or verdict.mirror:
            verdict.fit = "partly"
        return verdict

    def _strength(
        self,
        meeting: Meeting,
        phrases: dict[str, list[tuple[str, ...]]],
        entry_id: int,
        told: _Told,
        facts: set[tuple[str, str]],
    ) -> float:
        """How strongly a part is met, with what the title denies or means otherwise taken out."""
        strength = meeting.strength(entry_id)
        if strength < MET or meeting.part.people or facts.intersection(meeting.part.facets):
            return strength
        if told.denied and _standing(phrases, told) is None:
            return 0.0
        sense = self._sense(meeting.part, phrases, told)
        return min(strength, _SENSE_STRENGTH.get(sense, strength)) if sense else strength

    def _sense(self, part: Part, phrases: dict[str, list[tuple[str, ...]]], told: _Told) -> Sense | None:
        """In which sense the title names a part: the same in a longer phrase, None where it does not."""
        places = []
        for last, length in _standings(phrases, told):
            if length > 1:
                return Sense.SAME
            places.append(last)
        return self._senses.best(part, told.words, places)

    def _shows(self, part: Part, carried: bool, told: _Told, facts: Iterable[tuple[str, str]]) -> bool:
        """Whether a drawing shows what it is to be without, as far as its words and facts tell."""
        if stem(part.text) in told.without or (part.people and stem(asides.PEOPLE) in told.without):
            return False
        if not carried:
            return False
        if part.people or any(facet == "people" for facet, _ in facts):
            return True
        return self._sense(part, _phrases(part), told) in (Sense.SAME, Sense.OTHER_FORM, Sense.PERHAPS)

    def _miss(self, verdict: Verdict, meeting: Meeting, strength: float) -> None:
        if strength > BEHIND and meeting.read_as:
            verdict.why.append(f"“{meeting.part.text}” read as {meeting.read_as}")
            verdict.read_as[meeting.part.text] = meeting.read_as
        elif strength > BEHIND and strength >= _TOLD_AS_BEGUN:
            verdict.why.append(f"“{meeting.part.text}” begins a word of it")
        else:
            verdict.unmet.append(meeting.part.told)

    def _count(
        self,
        verdict: Verdict,
        meeting: Meeting,
        phrases: dict[str, list[tuple[str, ...]]],
        told: _Told,
        facts: set[tuple[str, str]],
    ) -> None:
        wanted = meeting.part.count
        if wanted is None:
            return
        place = _standing(phrases, told)
        known = _known_count(place, told, facts)
        if known == wanted or (known is None and wanted == 1):
            return
        verdict.score -= WRONG_COUNT * meeting.weight / self._whole
        verdict.unmet.append(meeting.part.told if wanted > 1 else f"one {meeting.part.text}")

    def _face(self, verdict: Verdict, told: _Told, facts: set[tuple[str, str]]) -> None:
        """Weigh the screen direction: the other way would do, mirrored."""
        for way in self._ways:
            if (DIRECTION, way) in facts:
                verdict.score += SAME_WAY
            elif (DIRECTION, OPPOSITE.get(way, "")) in facts:
                verdict.score -= SAME_WAY
                verdict.mirror, verdict.minding = True, mirroring.minding(told.places, facts, self._side)
        if not verdict.mirror and mirroring.is_wrong_side(told.places, self._side):
            verdict.wrong_side = f"driver sits {self._side.drawn}: {MIRROR_IT}"

    def _title_share(self, told: _Told) -> float:
        """What a title adds that says little else; here small words count too."""
        if not told.stems:
            return 0.0
        said = sum(1 for word in told.stems if word in self._said)
        return WHOLE_TITLE * said / max(len(told.stems), len(self._said), 1)


_SENSE_STRENGTH = {Sense.OTHER_FORM: MET, Sense.PERHAPS: WITHIN, Sense.OTHER: 0.0}
"""What a part is met by at the most where the title's word has another sense."""

_TOLD_AS_BEGUN = 0.55
"""Strength from which a word not met was the beginning of one that stands there."""


def _contradicts(part: Part, facts: Iterable[tuple[str, str]]) -> bool:
    """Whether a drawing is known to be something else than a part asks for."""
    wanted = {*part.facets, *(("people", HEADS[value]) for _, value in part.facets if value in HEADS)}
    kinds = {facet for facet, _ in wanted if facet in ONE_OF}
    known = [(facet, value) for facet, value in facts if facet in kinds]
    kin = {(facet, other) for facet, value in wanted for other in KIN.get(value, ())}
    return bool(known) and not (wanted | kin).intersection(known)


def _told(texts: tuple[str, str, str]) -> _Told:
    title = " . ".join(text for text in texts if text)
    hits = list(WORD.finditer(title))
    denied = asides.read_without(title)
    away = frozenset(
        n for n, hit in enumerate(hits) if any(aside.first <= hit.start() < aside.last for aside in denied)
    )
    words = tuple(hit.group() for hit in hits)
    stems = tuple(stem(word) for word in words)
    places: dict[str, list[int]] = defaultdict(list)
    for place, word in enumerate(stems):
        if place not in away:
            places[word].append(place)
        if (owner := _owner(words[place])) and place not in away:
            places[stem(owner)].append(place)
    return _Told(words, stems, places, away, tuple(stem(aside.things[0]) for aside in denied))


def _owner(word: str) -> str:
    """*driver* of *driver's*."""
    return word[:-2] if word[-2:] in ("'s", "’s") else ""


def _phrases(part: Part) -> dict[str, list[tuple[str, ...]]]:
    """What names a part, in stems, by the first of them."""
    found: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for phrase in (part.text, *part.others, *part.narrower):
        stems = tuple(stem(word) for word in WORD.findall(phrase))
        if stems:
            found[stems[0]].append(stems)
    return found


def _standing(phrases: dict[str, list[tuple[str, ...]]], told: _Told) -> int | None:
    """The place of the last word of a phrase that stands among a drawing's words undenied."""
    return next((last for last, _ in _standings(phrases, told)), None)


def _standings(phrases: dict[str, list[tuple[str, ...]]], told: _Told) -> Iterator[tuple[int, int]]:
    """Every such place, with the length of the phrase in words."""
    for first, choices in phrases.items():
        for place in told.places.get(first, ()):
            for stems in choices:
                if told.stems[place : place + len(stems)] == stems or len(stems) == 1:
                    yield place + len(stems) - 1, len(stems)


def _known_count(place: int | None, told: _Told, facts: Iterable[tuple[str, str]]) -> int | None:
    """How many there are: by the number before the word, by the people counted, one for a plain singular."""
    if place is not None:
        number = asides.counted(told.words, place)
        if number is not None:
            return number
    people = [int(value) for facet, value in facts if facet == "people" and value.isdecimal()]
    if people:
        return people[0]
    if place is None:
        return None
    return SEVERAL if is_plural(told.words[place]) or ("people", "crowd") in facts else 1


SEVERAL = -1
"""Count of what is named in the plural without a number."""
