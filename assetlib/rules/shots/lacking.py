"""What of a need a drawing does not show: things, what is done, and facets, as finding says it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from assetlib.rules.shots import grammar, things
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.need_values import Need
from assetlib.rules.shots.phrases import word_set

_STILL_WORDS = word_set(
    "waits wait looks look sees see watches watch stares stands standing sits sitting seated alone "
    "single is holds seen parked stacked leaves leaving set being tired happy young old whole big "
    "small little one two three four five six focus blurred background foreground distance asks says "
    "talks lit shut open empty left behind her his new overhead above below alight wet "
    "next now same again still then here there already almost soon slowly quickly rings ringing white black "
    "red green blue yellow grey gray brown pink orange purple colour color logo"
)


STILL = frozenset(things.stem(word) for word in _STILL_WORDS)
"""Words that most drawings of a thing go with: they ask for no drawing of their own."""


_COMPARED = ("view", "pose", "camera_position", "shot_type", "age_group", "hand")


@dataclass(frozen=True, slots=True)
class Answer:
    """What finding says of a drawing for a need: the parts of it that are met and those that are not, in its words."""

    met: tuple[str, ...] = ()
    unmet: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    """What it shows that the need is to be without."""
    mirror: bool = False
    score: float = 1.0
    read_as: Mapping[str, str] = field(default_factory=dict)
    """Words of the need that were read as another: misspelt ones."""
    is_near: bool = False
    """Whether it only looks like it."""
    is_silent: bool = False
    """Whether nothing was said of it yet, so that its picture alone can tell."""


def says_which(text: str, head: str) -> bool:
    """Whether words are a part of the name of a person: *delivery* of *delivery driver*."""
    if any(thing.key in (*things.above(head), "man", "woman") for thing in things.things_in(text)):
        return is_person(head) and head not in ("man", "woman")
    said = things.stems_of(text)
    return bool(said) and is_person(head) and said <= things.stems_of(things.label_of(head))


@dataclass(frozen=True, slots=True)
class Lacking:
    """What of a need a drawing does not show: things, what is done, and facets."""

    things: tuple[str, ...]
    doing: tuple[str, ...]
    facets: Mapping[str, tuple[str, ...]]


def read_lacking(need: Need, answer: Answer, drawing: Drawing) -> Lacking:
    named: list[str] = []
    doing: list[str] = []
    facets: dict[str, tuple[str, ...]] = {}
    asked = grammar.read_line(need.asked or need.text).facets
    for text in answer.unmet:
        if counted_only(text, answer) or is_anybody(text):
            continue
        bare = _bare(text)
        told = {name: values for name, values in grammar.read_line(bare).facets.items() if name in _COMPARED}
        told = {name: values for name, values in told.items() if {*values} & {*asked.get(name, ())}}
        own = things.things_in(bare)
        if things.stems_of(bare) <= need.doing and not any(names_it(bare, part.key) for part in need.parts):
            own = ()  # *the phone rings*: what it does, though the word may name a thing
        if says_which(bare, need.head) or (
            own
            and not own[-1].is_place
            and set(told) <= {"age_group"}
            and not _is_there(own[-1], need, drawing)
        ):
            named.append(bare)
        elif told and not (own and own[-1].is_place):
            facets |= told
        elif not own and things.stems_of(bare) - STILL and not _is_how(bare, need.text):
            doing.append(bare)
    return Lacking(tuple(_as_said(named, need.text)), tuple(doing), facets)


def _is_how(word: str, text: str) -> bool:
    """Whether a word only says what a thing is like, before it: *fresh loaves*; *sleeping dog* says what it does."""
    words = [known.casefold() for known in things.words_of(text)]
    if word.casefold() not in words or word.casefold().endswith(("ing", "ed")):
        return False
    return any(thing.first == words.index(word.casefold()) + 1 for thing in things.things_in(text))


def _is_there(thing: things.Thing, need: Need, drawing: Drawing) -> bool:
    """Whether a part that no word of a drawing meets need not be drawn all the same.

    A knee under a laptop, a rope of whichever kind, and the two who are not named in a two-shot.
    """
    if need.head and thing.key == need.head:
        return False
    last = things.stems_of(thing.text.split()[-1])
    of_a_kind = " " in thing.text and bool(last) and last <= drawing.stems
    people = [part for part in need.parts if is_person(part.key)]
    somebody = not need.head and is_person(thing.key) and drawing.count == str(len(people))
    return thing.is_of_body or of_a_kind or somebody


def _as_said(named: Sequence[str], text: str) -> list[str]:
    """Words that stand next to each other in the line as one: *paper*, *bag* as *paper bag*."""
    told: list[str] = []
    for word in named:
        if told and f"{told[-1]} {word}".casefold() in text.casefold():
            told[-1] = f"{told[-1]} {word}"
        else:
            told.append(word)
    return told


_ANYBODY = word_set("someone somebody anyone anybody one person")


def is_anybody(text: str) -> bool:
    return text.casefold() in _ANYBODY


def _bare(text: str) -> str:
    """A part without the number before it."""
    first, _, rest = text.partition(" ")
    return rest if rest and (first.isdigit() or first == "one") else text


def counted_only(text: str, answer: Answer) -> bool:
    """Whether a part is there, and only another number of it."""
    return _bare(text) in answer.met


def names_it(text: str, head: str) -> bool:
    """Whether words name a thing, a kind of it, or the last word of its name: *hand* of a *pointing hand*."""
    if any(head in (t.key, *things.above(t.key)) for t in things.things_in(text)):
        return True
    said, last = things.stems_of(text), things.words_of(things.label_of(head))[-1:]
    return head in said or (bool(said) and said == things.stems_of(" ".join(last)))


def is_person(key: str) -> bool:
    return "person" in (key, *things.above(key))
