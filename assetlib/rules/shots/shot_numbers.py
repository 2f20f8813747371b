"""Shot, scene and frame numbers at the beginning of a line."""

from __future__ import annotations

import re
from functools import cache

from assetlib.rules.shots.phrases import LINE_END, Line, scan, word_set
from assetlib.rules.words import spellings
from assetlib.rules.words.tokens import Token, tokens_of

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


# --- frames, which are called by the number of their shot -------------------------------

FRAME_NAME = re.compile(
    r"(?:(?P<spot>[A-Za-z]{1,2})_)?(?P<number>\d+[A-Za-z]*?)(?P<letter>[a-z])?(?:_r(?P<round>\d{1,2}))?(?:_\d+)?"
)
"""How frames are named: `A_05a_r1` (spot, shot, frame, round), perhaps with `_2` behind it."""

_FILE_ENDING = re.compile(r"\.[A-Za-z]{3,4}$")


def plain_number(number: str) -> str:
    """A shot's number without zeros before it and signs between: 03A and 3a are one."""
    return re.sub(r"[^A-Za-z0-9]+|(?<![0-9])0+(?=[0-9])", "", number).casefold()


def shot_asked(text: str) -> tuple[str, int]:
    """The number of the shot that a line begins with, as `plain_number` has it, and where it ends in characters.

    *05a*, *shot 5*, a number by itself, and the name of a frame's file; ("", 0) where the line begins otherwise.
    """
    first, _, _ = text.strip().partition(" ")
    named = FRAME_NAME.fullmatch(_FILE_ENDING.sub("", first)) if "_" in first else None
    if named:
        return plain_number(f"{named['number']}{named['letter'] or ''}"), text.index(first) + len(first)
    tokens = tokens_of(text)
    length = shot_number_length(tokens) or (1 if len(tokens) == 1 else 0)
    numbers = [token for token in tokens[:length] if _number_shape().fullmatch(token.text)]
    return (plain_number(numbers[-1].raw), tokens[length - 1].end) if numbers else ("", 0)


def is_frame_of(shot: str, number: str) -> bool:
    """Whether a frame with this shot and letter, *05a*, is one of a shot's number, *5* or *5a*, written plainly."""
    plain = plain_number(shot)
    return number in (plain, re.sub(r"(?<=[0-9a-z])[a-z]$", "", plain))
