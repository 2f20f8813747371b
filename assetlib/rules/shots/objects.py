"""The things that one part of a line is about: what the first of them holds, and what stands by itself beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from assetlib.rules.shots import asides, grammar, things
from assetlib.rules.shots.need_values import Facets, Need
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.things import Thing

_AWAY = word_set(
    "at beside by behind outside inside near toward towards for past beyond from under against "
    "between around with and to after follows watches passes sees meets"
)
"""Words before a thing that stands by itself beside the first one."""


_LOOSE_END = re.compile(
    r"(?:\s+(?:a|an|the|at|for|by|and|of|in|on|with|from|to|waits|behind|beside|past|beyond|his|her))+\s*$",
    re.IGNORECASE,
)


_JOINED = word_set("with and to")


def furniture_in(segment: str, named: list[Thing]) -> list[Thing]:
    """Furniture that a line is about, though a backdrop shows it: *two chairs and a table*, *a bench under a tree*.

    By itself, and after a word for where something is, it is a place.
    """
    words = [word.casefold() for word in things.words_of(segment)]
    if not named or not _WHERE.isdisjoint(words[: named[0].first]):
        return []
    first, *later = named
    counted = any(asides.number_of(word) for word in words[: first.first])
    leads = [first] if _is_furniture(first) and (counted or later) else []
    return leads + [thing for thing in later if _is_furniture(thing) and _joins(words, first.last, thing)]


def _is_furniture(thing: Thing) -> bool:
    return "furniture" in things.above(thing.key)


def _joins(words: list[str], last: int, thing: Thing) -> bool:
    """Whether *and* stands before a thing, with nothing but a number, an article and words for its look between."""
    begun = _begin(words, last, thing)
    return begun > last and words[begun - 1] == "and"


def _begin(words: list[str], last: int, thing: Thing) -> int:
    """Where the words of a thing begin: at its number or article where words for its look stand between."""
    for at in range(thing.first - 1, max(last, thing.first - 2 - MOST_ADJECTIVES) - 1, -1):
        if words[at] in _ARTICLES or asides.number_of(words[at]) is not None:
            return at
        if things.is_small(words[at]):
            break
    return thing.first


_ARTICLES = word_set("a an the another some his her their")


SUBJECTS = {"she": "woman", "he": "man"}


LIES = word_set("on in under underneath beneath beside behind against by near inside atop among")
"""Words between a thing and where it lies or stands."""


_WHERE = LIES | word_set("at over above with from to of into onto through")


MOST_ADJECTIVES = 2
"""Words between *on* and what something lies on: *on the old wooden table*."""


def object_needs(
    segment: str, objects: list[Thing], named: list[Thing], facets: Facets, rest: str
) -> Iterator[Need]:
    """The first thing with what it holds, and each thing that stands by itself beside it."""
    words = [word.casefold() for word in things.words_of(segment)]
    head, later = _head(objects)
    if head.key in _AIRY and later and {*words[head.last : later[0].first]} & _OVER:
        head, later = later[0], [head, *later[1:]]  # *steam over the coffee mug*: the mug, with steam
    parts: list[Thing] = []
    beside: list[Thing] = []
    for thing in later:
        (beside if _stands_apart(words, head, thing) else parts).append(thing)
    begun = [_begin(words, head.last, thing) for thing in beside]
    doing = done_by(
        segment, [*named], [range(at, thing.first) for at, thing in zip(begun, beside, strict=True)]
    )
    text = _phrase(segment, head, begun, rest)
    asked = _asked(segment, head, begun, facets)
    made_of = _made_of(words, head, parts)
    called = _called(segment, head, parts)
    yield Need(text, "main", head.key, tuple(parts), doing, facets, made_of, called, asked)
    for at, thing in zip(begun, beside, strict=True):
        yield _beside(segment, at, thing)


def _beside(segment: str, begun: int, thing: Thing) -> Need:
    """What stands by itself beside the first thing, with its number and the words for its look."""
    told = things.words_of(segment)[begun : thing.last]
    if told[0].casefold() in _ARTICLES:
        del told[0]
    text = " ".join(told)
    return Need(
        text, "beside", thing.key, (), things.stems_of(" ".join(told[: thing.first - thing.last])), {}
    )


_AIRY = word_set("steam smoke shadow reflection glow sparkle")


_OVER = word_set("over above from on of around off")
"""Words between what is only seen on something, and that."""


_HOLDS = ("tableware", "box", "object")


_HOLDERS = word_set(
    "tray baking-tray bag bottle bucket can tin jar jug pot pan sack carton packet basket box crate"
)


def _made_of(words: list[str], head: Thing, parts: list[Thing]) -> frozenset[str]:
    """What comes after *of* makes the thing what it is, unless it is what the thing holds: *a tray of loaves*."""
    if head.key in _HOLDERS or not {head.key, *things.above(head.key)}.isdisjoint(_HOLDS):
        return frozenset()
    return frozenset(
        part.text for part in parts if part.first and words[head.last : part.first][:1] == ["of"]
    )


def _head(objects: list[Thing]) -> tuple[Thing, list[Thing]]:
    """The thing itself: the last of names in a row (*commuter crowd*, *bread crates*), and the things after it."""
    place = 0
    while place + 1 < len(objects) and objects[place + 1].first == objects[place].last:
        place += 1
    return objects[place], objects[place + 1 :]


def _stands_apart(words: list[str], head: Thing, thing: Thing) -> bool:
    """Whether a thing is another drawing beside the first: both live, or it lies beyond a word of distance."""
    between = words[head.last : thing.first]
    if between[:1] == ["and"] and (
        all(things.is_small(word) for word in between) or _joins(words, head.last, thing)
    ):
        return True  # *calculator and envelope*, *chairs and a wooden table*: each may be drawn by itself
    if thing.lives and head.lives:
        # *girl walks the dog* is one drawing, *girl and dog* are two
        return bool({*between} & _AWAY) or len(between) < _WITH_A_VERB
    far = _AWAY - _JOINED
    return (thing.lives or _is_large(thing)) and (any(word in far for word in between) or not head.lives)


_WITH_A_VERB = 1  # words between two who live, from which one does something to the other


def _is_large(thing: Thing) -> bool:
    return not {"vehicle", "boat"}.isdisjoint((thing.key, *things.above(thing.key)))


def done_by(text: str, named: Sequence[Thing], others: Iterable[range] = ()) -> frozenset[str]:
    """Stems of what is neither thing, number, small word nor grammar; `others` are words for the look of others."""
    words = things.words_of(text)
    taken = {i for thing in named for i in range(thing.first, thing.last)}
    taken.update(place for span in others for place in span)
    grammar_words = {
        things.stem(word)
        for s, e, facet, _ in grammar.read_line(text).spans
        if facet != "pose"
        for word in things.words_of(text[s:e])
    }
    found = {
        things.stem(things.bare(word))
        for place, word in enumerate(words)
        if place not in taken and not things.is_small(word) and not word.isdigit()
    }
    return frozenset(found - grammar_words)


def _asked(segment: str, head: Thing, beside: list[int], facets: Facets) -> str:
    """What finding is asked for a thing: the words of the line, without what stands beside it from some word on."""
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    if beside:
        segment = segment[: words[beside[0]].start()]
    if words[0].group() == head.text and head.text.casefold() in SUBJECTS:
        segment = f"{SUBJECTS[head.text.casefold()]}{segment[words[0].end() :]}"
    ways = facets.get("screen_direction", ())
    said = grammar.read_line(segment).facets.get("screen_direction", ())
    return ", ".join([segment.strip(), *(way for way in ways if way not in said)])


_HELD_AFTER = 3
"""Words between a thing and what it holds, to which both are told as one: *baker with a tray*."""


def _called(segment: str, head: Thing, parts: list[Thing]) -> str:
    """A thing as the line names it, with what it holds."""
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    if head.text.casefold() in SUBJECTS:
        return SUBJECTS[head.text.casefold()]
    last = head.last
    for part in parts:
        between = [word.group().casefold() for word in words[last : part.first]]
        if len(between) < _HELD_AFTER and {"with", "w", "of", "in"} & {*between}:
            last = part.last
    return segment[words[head.first].start() : words[last - 1].end()]


def _phrase(segment: str, head: Thing, beside: list[int], rest: str) -> str:
    """The words of a need, to be shown and to be searched with."""
    if not beside:
        return rest or segment
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    end = words[beside[0]].start()
    left = grammar.read_line(segment[:end]).rest or segment[:end]
    return _LOOSE_END.sub("", left).strip() or head.text
