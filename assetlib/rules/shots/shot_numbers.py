"""Shot, scene and frame numbers at the beginning of a line."""

from __future__ import annotations

import re
from functools import cache

from assetlib.rules.shots.phrases import LINE_END, Line, scan, word_set
from assetlib.rules.words import spellings
from assetlib.rules.words.tokens import Token

_NUMBER_WORDS = word_set("shot sh sc scene frame fr panel setup set board cut slate #")


@cache
def _number_shape() -> re.Pattern[str]:
    return re.compile(r"\d{1,4}[a-z]{0,2}")


def shot_number_length(tokens: tuple[Token, ...]) -> int:
    """How many tokens at the beginning are shot, scene or frame numbers and their marks."""
    at = 0
    while at < len(tokens):
        step = _one_number(tokens, at)
        if step == 0:
            return at
        at += step
    return at


def _one_number(tokens: tuple[Token, ...], at: int) -> int:
    named = tokens[at].text in _NUMBER_WORDS or tokens[at].text in "([#"
    first = at + 1 if named else at
    while named and first < len(tokens) and tokens[first].text in ".#:":
        first += 1
    if first >= len(tokens) or not _number_shape().fullmatch(tokens[first].text):
        return 0
    if not named and tokens[first].text in _NOT_A_SHOT:
        return 0
    last = first + 1
    while last < len(tokens) and tokens[last].text in ".):]-–—|/":
        last += 1
    marked = last > first + 1
    return last - at if named or marked or _stands_as_number(tokens, first) else 0


_NOT_A_SHOT = word_set("2s 3s 2d 3d 4k 2k 8k 5g 4g 2shot 3shot 1pt 2pt 3pt 1vp 2vp 3vp 1p 2p 3p")


def _stands_as_number(tokens: tuple[Token, ...], at: int) -> bool:
    word = tokens[at].text
    if at > 0 and tokens[at - 1].text in ("no", "platform"):
        return False
    if not word.isdigit():
        return len(word) <= len("123ab")
    if word.startswith("0"):
        return True
    following = tokens[at + 1].text if at + 1 < len(tokens) else LINE_END
    rest = Line(tokens[at + 1 :])
    begun = scan(rest, spellings.load_index())
    camera = bool(begun) and begun[0].first == 0 and begun[0].rule.only and bool(begun[0].rule.facet)
    return camera and following not in ("point", "pt", "vp", "shot", "hands")
