"""Which side of the frame a line puts a thing on: *man seated left, dog right*. Left is the viewer's left.

The words are common practice of shot lists, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from assetlib.rules.shots import things
from assetlib.rules.shots.things import Thing

_MARK = re.compile(
    r"(?P<told>(?i:\b(?:on|at|to|in)\s+(?:the\s+)?(?:far\s+)?(?:(?:screen|frame|camera|cam)[\s-]+)?|"
    r"\b(?:screen|frame|camera|cam|far)[\s-]+))?(?P<side>\b(?i:left|right)\b|\b[LR]\b)"
)
_BREAK = re.compile(
    r"[,;.:/]|\s[-–—]\s|\b(?:and|while|as|beside|behind|next to|opposite|against)\b", re.IGNORECASE
)
_WITH = re.compile(r"\bwith\b", re.IGNORECASE)
_MOVES = re.compile(
    r"\b(?:walk|run|mov|turn|look|fac|point|exit|enter|driv|rid|go|head|pan|lean|glanc|cross|swing|tilt|doll|track|"
    r"sail|fly|flies|com|step|wip|push|pull|has|have|had|just)\w{0,4}\s+(?:(?:off|out|away|from|towards?)\s+)?$",
    re.IGNORECASE,
)
_FROM = re.compile(r"\b(?:left|right|l|r)\s*(?:-|–|—|→|/|to|-to-)\s*$", re.IGNORECASE)
_NO_PLACE = re.compile(
    r"\s*(?:-|–|—|→|/|to|-to-)\s*(?:left|right|l|r)\b|"
    r"[\s-]+(?:hand(?!\s+side)|handed|foot|arm|leg|eye|ear|shoulder|turn|lane|angle)\b",
    re.IGNORECASE,
)
_NO_PLACE_BARE = re.compile(
    r"\s+(?:alone|over|behind|open|in|into|on|at|up|down|now|away|before|after|next|there|here|past|through)\b",
    re.IGNORECASE,
)
_OF_THING = re.compile(r"\s+(?:side\s+)?of\s+(?!(?:the\s+)?(?:frame|screen|picture|shot)\b)", re.IGNORECASE)


def sides_in(text: str) -> tuple[tuple[Thing, str], ...]:
    """The things that a line puts on a side, with *left* or *right*; not *left hand*, *turns left*, *left to right*."""
    words = [hit.start() for hit in re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", text)]
    named = [(words[thing.first], thing) for thing in things.things_in(text)]
    found: dict[Thing, str] = {}
    since = 0
    for hit in _MARK.finditer(text):
        if not _is_place(text, hit):
            continue
        side = "left" if hit["side"][0] in "lL" else "right"
        start = max([since, *(b.end() for b in _BREAK.finditer(text, since, hit.start()))])
        before = [thing for at, thing in named if start <= at < hit.start()]
        holds = max([start, *(b.end() for b in _WITH.finditer(text, start, hit.start()))])
        held = [thing for at, thing in named if holds <= at < hit.start()]
        if any(thing.lives for thing in held):
            before = held  # *woman with dog right*: the dog; but *woman with coffee left* is the woman, too
        first = [thing for at, thing in named if at < hit.start()][:1]  # *woman in a car, camera left*
        after = [thing for at, thing in named if at >= hit.end()]
        if _OF_THING.match(text, hit.end()):
            found.update(dict.fromkeys(before, side))
            found.update(dict.fromkeys(after[:1], other(side)))
        else:
            for thing in before or after[:1] or first:
                found.setdefault(thing, side)
        since = hit.end()
    return tuple(found.items())


def _is_place(text: str, hit: re.Match[str]) -> bool:
    """Whether a word of side says where something stands, and not which hand it is or where it goes."""
    goes = _MOVES.search(text[: hit.start()]) and not (hit["told"] or "").casefold().startswith(
        ("on", "in", "at")
    )
    if (
        _FROM.search(text[: hit.start("side")])
        or _NO_PLACE.match(text, hit.end())
        or (goes and not _OF_THING.match(text, hit.end()))
    ):
        return False
    return bool(hit["told"]) or not _NO_PLACE_BARE.match(text, hit.end())


def other(side: str) -> str:
    """The other side."""
    return "right" if side == "left" else "left"


def sides_for(text: str, titles: Sequence[str]) -> list[str]:
    """For each drawing, by its title, the side that a line puts it on; empty where it says none.

    What no title names goes to the drawings that are left, in order, where they are as many.
    """
    sides = [""] * len(titles)
    told = sides_in(text)
    open_: list[str] = []
    for thing, side in told:
        place = next((i for i, title in enumerate(titles) if not sides[i] and _shows(title, thing)), None)
        if place is None:
            open_.append(side)
        else:
            sides[place] = side
    free = [place for place, side in enumerate(sides) if not side]
    if len(free) == len(open_):
        for place, side in zip(free, open_, strict=True):
            sides[place] = side
    return sides


def _shows(title: str, thing: Thing) -> bool:
    broader = {thing.key, *things.above(thing.key)}
    shown = things.keys_shown((title,))
    return thing.key in shown or any(named.key in broader for named in things.things_in(title))
