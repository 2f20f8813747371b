"""What a title, caption or tag says of a drawing: the facets of the grammar, and a few that only titles have."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from assetlib.rules.shots import asides
from assetlib.rules.shots.grammar import read_line

Fact = tuple[str, str]
"""Facet and value."""

_SAYS_NOT = "mirror"
"""The facet that is a denial itself: *do not mirror* does not say that there is no mirror."""

_SHOTS = {"two-shot": "2", "three-shot": "3", "single": "1"}
"""How many people a shot of this name holds; common practice, no source."""


def read_title(texts: Iterable[str]) -> list[Fact]:
    """The facts that titles, captions and tags of one drawing state, each once; what they deny is none."""
    found: dict[Fact, None] = {}
    for text in texts:
        denied = asides.read_without(text)
        for start, end, facet, value in read_line(text).spans:
            if facet == _SAYS_NOT or not any(aside.first < end and start < aside.last for aside in denied):
                found[(facet, value)] = None
        found.update(dict.fromkeys(_heads(text, found)))
        if not any(facet == "view" for facet, _ in found):
            found.update({("view", value): None for value in _views(text)})
        found.update({("screen_direction", value): None for _, _, value in directions(text)})
    return list(found)


LEFT, RIGHT = "right to left", "left to right"


def directions(text: str) -> Iterator[tuple[int, int, str]]:
    """Where a text says that something goes or looks to a side, as characters and screen direction.

    *to the left*, *facing right*, *runs left*, *screen right*; not *left hand*, not *R*, which is the camera's, and not
    the halves of *left to right*.
    """
    across = [(hit.start(), hit.end()) for hit in _across().finditer(text)]
    for hit in _ways().finditer(text):
        if any(start <= hit.start("side") < end for start, end in across):
            continue
        yield hit.start("side"), hit.end("side"), LEFT if hit["side"].casefold() == "left" else RIGHT


VIEW_WORDS = {
    "front": "front", "back": "back", "rear": "back", "side": "profile", "profile": "profile", "top": "from above",
}  # fmt: skip
"""Words that alone name a view; common practice, no source."""


def _views(text: str) -> Iterator[str]:
    """*laptop back*, *Van, front*: a view at the end, or after a comma."""
    for hit in _view_shape().finditer(text):
        yield VIEW_WORDS[hit["view"].casefold()]


@cache
def _view_shape() -> re.Pattern[str]:
    return re.compile(rf"(?<=[\w,]\s)(?P<view>{'|'.join(VIEW_WORDS)})(?=\s*(?:$|[,;(.]))", re.IGNORECASE)


def _heads(text: str, read: Iterable[Fact]) -> Iterable[Fact]:
    """People that are counted without being named: *Two on the back seat*, *driver alone*, *two-shot*."""
    facts = list(read)
    if any(facet == "people" for facet, _ in facts):
        return
    for facet, value in facts:
        if facet == "shot_type" and value in _SHOTS:
            yield "people", _SHOTS[value]
            return
    if hit := _numbered().match(text):
        number = asides.number_of(hit[1])
        if number is not None:
            yield "people", str(number)
    elif _alone().search(text):
        yield "people", "1"


@cache
def _across() -> re.Pattern[str]:
    return re.compile(r"\b(?:left|right)[\s-]+to[\s-]+(?:left|right)\b", re.IGNORECASE)


@cache
def _ways() -> re.Pattern[str]:
    return re.compile(
        r"\b(?:to(?:wards?)?(?: the| screen| camera)?|facing(?: the)?|faces|looks|screen|camera|frame|"
        r"(?!point)\w{3,}(?:s|ing))\s+"
        r"(?P<side>left|right)\b(?!\s+(?:hand|foot|arm|leg|eye|ear|side|shoulder))",
        re.IGNORECASE,
    )


@cache
def _numbered() -> re.Pattern[str]:
    return re.compile(
        r"\s*(\w+)\s+(?:on|in|at|by|under|with|from|queue?ing|talking|walking|running|sitting|seated|waiting|standing)"
        r"\b",
        re.IGNORECASE,
    )


@cache
def _alone() -> re.Pattern[str]:
    return re.compile(r"\b(?:alone|on (?:his|her|their) own|by (?:him|her)self)\b", re.IGNORECASE)
