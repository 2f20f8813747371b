"""From a line as it is typed to the parts that a drawing should meet, each with the other words for the same idea."""

from __future__ import annotations

import re
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from assetlib.catalogue import lookup
from assetlib.rules.shots import asides, grammar
from assetlib.rules.shots.lists import kinds
from assetlib.rules.shots.people import PAIRS
from assetlib.rules.shots.shot_numbers import shot_asked
from assetlib.rules.shots.titles import VIEW_WORDS, directions
from assetlib.rules.words import spellings
from assetlib.rules.words.forms import other_forms
from assetlib.rules.words.tags import fold
from assetlib.services.finding.named_periods import periods_in

WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")

_STOP_WORDS = """
a about again all along also an and another any are around as at away be been being by can could do does each for
from get gets go goes going had has have having he her here hers him his how i if in inside into is it its itself
just let like me more most my near of off on onto one's or other our out over own please see seen she so some
someone's still such that the their them themselves then there these they this those to too toward towards under
until upon us very view w was we were what when where which while who whole whose will with within you your shot
picture drawing image something
"""
STOP_WORDS = frozenset(_STOP_WORDS.split())
"""Words that say nothing about a drawing; a line that has no others is looked up with them after all."""

LONGEST_LABEL = 3
"""Words in the longest label that is recognised in a line: *rear view mirror*."""

NARROWER_STEPS = 2
"""How far down the thesaurus a word reaches: *vehicle* finds a van, and a panel van."""

MOST_OF_A_KIND = 20
"""Kinds of a thing up to which one of them is asked for by its name: an old woman for a grandmother, no animal."""

_CAMERA_FACETS = frozenset({
    "shot_size", "camera_angle", "camera_move", "setting", "time", "screen_direction", "perspective", "finish",
    "mirror",
})  # fmt: skip
"""What the camera or the frame does: it orders drawings that meet the line, and is missing from none."""

_SOFT_VALUES = frozenset(
    {"single", "insert", "cutaway", "establishing", "reverse", "point of view", "product shot"}
)
"""Kinds of shots of which a drawing says nothing."""

SOFT_WEIGHT = 0.12
"""What one such thing counts beside one that is drawn."""

HEADING_WEIGHT = 0.3
"""The same for a word of the scene's heading: where it plays, which is often another drawing."""

FACET_WEIGHT = 1.05
"""What a view, a mount or a two-shot counts beside a thing that is named."""

POSE_WEIGHT = 0.85
"""What somebody does counts beside who it is."""

PERIOD_WEIGHT = 0.6
"""The manner in which it is drawn counts beside what is drawn: a dog of another period is nearer than a cat of this."""

WHO_WEIGHT = 1.15
"""Who it is counts beside what is at hand: *baker with a broom* is a baker before it is a broom."""

_PEOPLE_LABELS = frozenset(
    [
        "people",
        "person",
        "persons",
        "someone",
        "somebody",
        "anyone",
        "anybody",
        "figure",
        "figures",
        "folk",
        "folks",
        "human",
        "humans",
    ]
)


@dataclass(frozen=True, slots=True)
class Part:
    """One idea of a line: the words as typed, what else they may be called, and the facets that say the same."""

    text: str
    others: tuple[str, ...] = ()
    """Other forms and labels of the same idea."""
    narrower: tuple[str, ...] = ()
    facets: tuple[tuple[str, str], ...] = ()
    weight: float = 1.0
    soft: bool = False
    """Whether a drawing that lacks it still meets the line."""
    count: int | None = None
    """How many of it are asked for."""
    people: bool = False
    """Whether it means people of any kind."""
    concepts: tuple[int, ...] = ()
    """What the thesaurus knows it as."""
    kindred: tuple[str, ...] = ()
    """Labels of what it is related to or a kind of: they stand for it in part."""
    shot: str = ""
    """The number of the shot whose frames are asked for, as `shot_numbers.plain_number` has it."""

    @property
    def is_label(self) -> bool:
        """Whether the thesaurus has it."""
        return bool(self.concepts)

    @property
    def told(self) -> str:
        """The part as it is named where it is missing."""
        return f"{self.count} {self.text}" if self.count and self.count > 1 else self.text


@dataclass(frozen=True, slots=True)
class Question:
    """A line taken apart."""

    text: str
    parts: tuple[Part, ...] = ()
    without: tuple[Part, ...] = ()
    understood: dict[str, tuple[str, ...]] = field(default_factory=dict)
    heading: bool = False
    """Whether it is the heading of a list, and asks for no drawing."""

    @property
    def said(self) -> str:
        """The words of what is to be drawn, for whoever looks at pictures."""
        return " ".join(part.text for part in self.parts if not part.soft)


@dataclass(frozen=True, slots=True)
class _Word:
    """A word of the line and where it stands."""

    text: str
    start: int
    end: int


def read(connection: sqlite3.Connection, text: str, *, frames: bool = False) -> Question:
    """The parts of a line in their order, each once, and what it is to be without.

    With `frames`, the number of a shot that stands before is asked for as well.
    """
    if is_heading(text):
        return Question(text, heading=True)
    whole = text
    number, end = shot_asked(text) if frames else ("", 0)
    named = text[:end].strip()
    text, periods = periods_in(connection, f"{' ' * end}{text[end:]}")
    understood = grammar.read_line(text)
    denied = asides.read_without(text)
    without = tuple(_without(connection, aside) for aside in denied)
    if any(part.people for part in without) and "people" in understood.facets:
        # *OTS driver, empty road*: who names somebody does not ask for nobody
        without = tuple(part for part in without if not part.people)
    turned = [(start, end, "screen_direction", value) for start, end, value in directions(text)]
    spans = [span for span in (*understood.spans, *turned) if not _inside(span[0], span[1], denied)]
    words = _words(text, understood, denied)
    parts = [*_facet_parts(text, spans, understood), *_word_parts(connection, text, words, spans)]
    parts.sort(key=lambda pair: pair[0])
    heading = _heading_end(text)
    weighed = [_weighed(part, place < heading) for place, part in parts]
    weighed += [
        replace(_part(connection, name, [concept]), weight=PERIOD_WEIGHT) for name, concept in periods
    ]
    if number:
        # beside words it only says which come first: the number may have changed since
        weighed.insert(0, Part(named, shot=number, soft=bool(weighed), weight=FACET_WEIGHT))
    if all(part.soft for part in weighed):
        weighed = [replace(part, soft=False, weight=1.0) for part in weighed]
    if any(part.people or _names_people(part) for part in weighed):
        without = tuple(part for part in without if not part.people)
    understood_as = dict(understood.facets)
    for _, _, _, value in turned:
        understood_as.setdefault("screen_direction", (value,))
    return Question(
        whole, tuple({fold(part.text): part for part in weighed}.values()), without, understood_as
    )


def is_heading(text: str) -> bool:
    """Whether a line is the heading of a spot, *SPOT A: THE VAN*, and no shot."""
    return kinds.spot_of(text) is not None and bool(re.match(r"\s*\w+\s*#?\s*\w{1,2}\s*[:.–—|]", text))


def _inside(start: int, end: int, denied: Sequence[asides.Without]) -> bool:
    return any(aside.first <= start and end <= max(aside.last, aside.first + 1) for aside in denied)


# --- words ----------------------------------------------------------------------------


def _words(text: str, understood: grammar.Understood, denied: Sequence[asides.Without]) -> list[_Word]:
    """The words that may name something drawn; all words where there are no others."""
    found = [_Word(hit.group(), hit.start(), hit.end()) for hit in WORD.finditer(text)]
    kept = [word for word in found if any(a <= word.start < b for a, b in understood.kept)]
    kept = [word for word in kept if not any(aside.first <= word.start < aside.last for aside in denied)]
    telling = [word for word in kept if fold(word.text) not in STOP_WORDS and not _is_idle(text, word)]
    return telling or ([] if understood.spans or denied else kept)


_IDLE = re.compile(
    r"\b(?:in|at|on|by|to)\s+hand\b|\b(?:outside|inside|beside|beyond|nearby|alongside)\b", re.IGNORECASE
)
"""Words that only say where something is: *broom in hand* asks for no hand, *a van outside* for a van."""


def _is_idle(text: str, word: _Word) -> bool:
    return any(hit.start() <= word.start and word.end <= hit.end() for hit in _IDLE.finditer(text))


def _word_parts(
    connection: sqlite3.Connection, text: str, words: list[_Word], spans: Sequence[tuple[int, int, str, str]]
) -> list[tuple[int, Part]]:
    labels = _labels_in(connection, [word.text for word in words])
    labels |= _labels_as_typed(connection, text, words)
    parts: list[tuple[int, Part]] = []
    position = 0
    while position < len(words):
        number = asides.number_of(words[position].text)
        if number is not None and _counts_the_next(text, words, position):
            position += 1
            continue
        length, concepts = _longest(text, words, position, labels)
        length = max(length, _phrase_length(words, position, spans))
        run = words[position : position + length]
        typed = text[run[0].start : run[-1].end]
        named = typed if fold(typed) in labels else " ".join(word.text for word in run)
        part = _part(connection, named, concepts)
        count = _count_before(text, words, position)
        facets = tuple(_beside(run, spans))
        if any(facet == "pose" for facet, _ in facets):
            count = None  # *couple running*: it is not two that run of whatever
        if number is not None:  # *couple*, *pair*, or a number alone
            part, facets = replace(part, people=True, count=None), (("people", str(number)),)
        parts.append((run[0].start, replace(part, count=count, facets=facets or _alone_means(run))))
        position += length
    return parts


def _counts_the_next(text: str, words: Sequence[_Word], place: int) -> bool:
    """Whether a number counts what follows; *couple* and *pair* are people themselves unless *of* follows."""
    if place + 1 >= len(words):
        return False
    between = text[words[place].end : words[place + 1].start]
    return words[place].text.casefold() not in PAIRS or between.split() in (["of"], ["of", "the"])


def _count_before(text: str, words: Sequence[_Word], place: int) -> int | None:
    """The number that stands before a word with nothing but words for its look between: *two old men*.

    *a couple on a bench* counts no benches, *a pair of gulls* counts gulls.
    """
    for at in range(place - 1, max(-1, place - 4), -1):
        between = text[words[at].end : words[at + 1].start]
        paired = re.fullmatch(r"\s+of\s+(?:the\s+)?", between)
        if not (paired or re.fullmatch(r"[\s-]+", between)):
            return None
        number = asides.number_of(words[at].text)
        if number is not None:
            return number if paired or words[at].text.casefold() not in PAIRS else None
    return None


_WHOLE_PHRASES = ("camera_position", "pose", "shot_type")
"""Facets whose words are one idea: *hood mount*, *lying down*."""


def _phrase_length(words: Sequence[_Word], start: int, spans: Sequence[tuple[int, int, str, str]]) -> int:
    """How many words from `start` are one phrase of the grammar; 1 where none is."""
    for first, last, facet, _ in spans:
        if facet in _WHOLE_PHRASES and first <= words[start].start < last:
            return sum(1 for word in words[start:] if word.start < last)
    return 1


def _alone_means(run: Sequence[_Word]) -> tuple[tuple[str, str], ...]:
    """What a word says where it stands by itself: *back* is a view, *alone* one person."""
    word = fold(run[0].text)
    if len(run) > 1:
        return ()
    if word in ("alone", "lone", "single", "solo"):
        return (("people", "1"),)
    return (("view", VIEW_WORDS[word]),) if word in VIEW_WORDS else ()


def _beside(run: Sequence[_Word], spans: Sequence[tuple[int, int, str, str]]) -> Iterator[tuple[str, str]]:
    """The facets that say the same as these words; *old* is an age, *girl* is more than one."""
    for first, last, facet, value in spans:
        if first >= run[-1].end or run[0].start >= last:
            continue
        alone = facet == "age_group" and run[0].start == first and run[-1].end < last
        if (
            facet in _WHOLE_PHRASES
            or alone
            or (facet, value) == ("people", "crowd")
            or facet == "screen_direction"
        ):
            yield facet, value


def _labels_in(connection: sqlite3.Connection, words: Sequence[str]) -> dict[str, list[int]]:
    """Concepts by folded label, for every run of up to three words of the line."""
    runs = {
        fold(" ".join(words[start : start + length]))
        for length in range(1, LONGEST_LABEL + 1)
        for start in range(len(words) - length + 1)
    }
    # The plain plural is tried as well, since labels stand in the singular: *phones* is *phone*.
    singulars = {run[:-1]: run for run in runs if len(run) > 3 and run.endswith("s")}
    singulars |= {run[:-3] + "y": run for run in runs if len(run) > 4 and run.endswith("ies")}
    singulars |= {
        run[:-2]: run for run in runs if len(run) > 4 and run.endswith(("ches", "shes", "sses", "xes"))
    }
    singulars |= {form: run for run in runs for form in other_forms(run)}
    # *police man* is *policeman*, where the thesaurus has it so.
    singulars |= {run.replace(" ", ""): run for run in runs if run.count(" ") == 1}
    found: dict[str, list[int]] = defaultdict(list)
    wanted = [*runs, *singulars]
    for folded, concept in lookup.concepts_by_label(connection, wanted):
        for run in {folded, singulars.get(folded, folded)} & runs:
            found[run].append(concept)
    return found


def _labels_as_typed(
    connection: sqlite3.Connection, text: str, words: Sequence[_Word]
) -> dict[str, list[int]]:
    """Concepts whose labels have a word within that says nothing alone: *bride and groom*."""
    runs = {
        fold(text[words[start].start : words[start + length - 1].end])
        for length in range(2, LONGEST_LABEL + 1)
        for start in range(len(words) - length + 1)
    }
    found: dict[str, list[int]] = defaultdict(list)
    for folded, concept in lookup.concepts_by_label(connection, [run for run in runs if run.count(" ") > 1]):
        found[folded].append(concept)
    return found


def part_called(connection: sqlite3.Connection, word: str) -> Part:
    """The idea that one word names, with the other words for it."""
    return _part(connection, word, _labels_in(connection, [word]).get(fold(word), []))


def word_by_word(connection: sqlite3.Connection, part: Part) -> tuple[Part, ...]:
    """A phrase that is one idea, *dog waits*, as its words; nothing where it is one word or says a fact."""
    words = [word for word in WORD.findall(part.text) if fold(word) not in STOP_WORDS]
    if len(words) < 2 or part.facets or part.people:
        return ()
    return tuple(_weighed(part_called(connection, word), in_heading=part.soft) for word in words)


def _longest(
    text: str, words: Sequence[_Word], start: int, labels: dict[str, list[int]]
) -> tuple[int, list[int]]:
    """How many words from `start` make the longest label, and its concepts; one word and none otherwise."""
    for length in range(min(LONGEST_LABEL, len(words) - start), 0, -1):
        run = words[start : start + length]
        as_typed = labels.get(fold(text[run[0].start : run[-1].end]))
        concepts = as_typed or labels.get(fold(" ".join(word.text for word in run)))
        if concepts:
            return length, concepts
    return 1, []


def _part(connection: sqlite3.Connection, phrase: str, concepts: list[int]) -> Part:
    forms = other_forms(phrase)
    people = fold(phrase) in _PEOPLE_LABELS
    if not concepts:
        return Part(phrase, tuple(forms), people=people)
    others = (*forms, *lookup.labels_of(connection, concepts), *lookup.labels_abroad(connection, concepts))
    below: list[int] = []
    level = concepts
    for _ in range(NARROWER_STEPS):
        level = lookup.narrower_than(connection, level)
        below.extend(level)
    narrower = lookup.labels_of(connection, below) if below else []
    kindred = lookup.labels_of(connection, lookup.near_to(connection, concepts, MOST_OF_A_KIND))
    known = {fold(phrase)}
    return Part(
        phrase,
        _fresh(others, known),
        _fresh(narrower, known),
        people=people,
        concepts=tuple(concepts),
        kindred=_fresh(kindred, known),
    )


def _fresh(labels: Iterable[str], known: set[str]) -> tuple[str, ...]:
    """The labels that were not seen before, in order, each with its irregular forms."""
    fresh = []
    for label in labels:
        for form in (label, *other_forms(label)):
            if fold(form) not in known:
                known.add(fold(form))
                fresh.append(form)
    return tuple(fresh)


def _without(connection: sqlite3.Connection, aside: asides.Without) -> Part:
    """What must not be there; two words where they are one label, else the first of them."""
    for length in range(len(aside.things), 0, -1):
        phrase = " ".join(aside.things[:length])
        concepts = _labels_in(connection, aside.things[:length]).get(fold(phrase), [])
        if concepts or length == 1:
            return _part(connection, phrase, concepts)
    raise AssertionError(aside)


# --- grammar --------------------------------------------------------------------------


def _facet_parts(
    text: str, spans: Sequence[tuple[int, int, str, str]], understood: grammar.Understood
) -> list[tuple[int, Part]]:
    """What was understood as grammar alone: met by the facet, or by the words as they stand."""
    parts: dict[tuple[int, int], list[tuple[str, str]]] = {}
    for start, end, facet, value in spans:
        if not any(a < end and start < b for a, b in understood.kept):
            parts.setdefault((start, end), []).append((facet, value))
    return [(start, Part(text[start:end], facets=tuple(facets))) for (start, end), facets in parts.items()]


def _weighed(part: Part, in_heading: bool) -> Part:
    camera = bool(part.facets) and all(f in _CAMERA_FACETS or v in _SOFT_VALUES for f, v in part.facets)
    if camera:
        return replace(part, soft=True, weight=SOFT_WEIGHT)
    if in_heading:
        return replace(part, soft=True, weight=HEADING_WEIGHT)
    if any(facet == "pose" for facet, _ in part.facets):
        return replace(part, weight=POSE_WEIGHT)
    if part.facets and not part.is_label:
        return replace(part, weight=FACET_WEIGHT)
    if _is_action(part):
        return replace(part, weight=POSE_WEIGHT)
    return replace(part, weight=WHO_WEIGHT) if _names_people(part) and not part.people else part


def _is_action(part: Part) -> bool:
    """Whether a part is something that is done: one of its forms is a plain *-ing*."""
    begin = fold(part.text)[: len("run")]
    return part.is_label and any(
        label.endswith("ing") and " " not in label and label.startswith(begin)
        for label in (part.text, *part.others)
    )


def _heading_end(text: str) -> int:
    """Where the scene's heading ends, in characters; 0 where there is none or nothing follows it."""
    heading, rest = kinds.heading_within(text)
    return text.rfind(rest) if heading and rest and rest in text else 0


def _names_people(part: Part) -> bool:
    words = spellings.load().lists["person"]
    return any(word in words for word in fold(part.text).split())
