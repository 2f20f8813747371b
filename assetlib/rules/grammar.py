"""Reads a line of a shot list for the facets of the shot and drawing grammar."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from operator import itemgetter

from assetlib.errors import WrongUsage
from assetlib.rules import people
from assetlib.rules.phrases import LINE_END, Line, Match, PhraseIndex, Token, scan, tokens_of

FACETS: dict[str, tuple[str, ...]] = {
    "shot_size": ("ECU", "CU", "MCU", "MS", "MWS", "FS", "WS", "EWS", "product shot"),
    "shot_type": ("single", "two-shot", "three-shot", "group", "over the shoulder", "point of view", "reverse",
                  "insert", "cutaway", "establishing"),
    "camera_angle": ("eye level", "low", "high", "overhead", "worm's eye", "dutch"),
    "camera_position": ("hood mount", "side mount", "dash", "driver's seat", "front passenger", "back seat"),
    "camera_move": ("static", "pan", "tilt", "dolly", "push in", "pull out", "crane", "zoom", "handheld"),
    "setting": ("INT", "EXT"),
    "time": ("day", "night"),
    "screen_direction": ("left to right", "right to left", "toward camera", "away from camera"),
    "view": ("front", "three-quarter front", "profile", "three-quarter back", "back", "from above", "from below"),
    "people": (*(str(n) for n in range(1, people.LARGEST_COUNT + 1)), "crowd"),
    "pose": ("standing", "seated", "driving", "walking", "running", "leaning", "lying"),
    "age_group": ("baby", "child", "teenager", "adult", "elderly"),
    "hand": ("left", "right", "both"),
    "mirror": ("do not mirror",),
    "finish": ("rough", "clean line", "tone", "colour"),
    "perspective": ("flat", "one-point", "two-point", "three-point"),
}


@dataclass(frozen=True, slots=True)
class Understood:
    """What a line says: facet values, where each stood, and the words left for full text.

    `spans` are (start, end, facet, value) in characters of the line. `rest` keeps words
    that also describe content (*driving*, *crowd*, *back seat*).
    """

    facets: dict[str, tuple[str, ...]]
    rest: str
    spans: tuple[tuple[int, int, str, str], ...]


def read_line(text: str) -> Understood:
    """The facets a line carries, in the order they are met; nothing in it is an error."""
    tokens = tokens_of(text)
    numbered = _shot_number_length(tokens)
    line = _with_words(Line(tokens[numbered:]))
    matches = _meant(line)
    heads = tuple(people.read_people(line, _taken(matches), _people_words()))
    spans = sorted(_spans(line, matches) + [_head_span(line, head) for head in heads], key=itemgetter(0, 1))
    return Understood(_by_facet(spans), _rest(text, line, matches), tuple(spans))


def _with_words(line: Line) -> Line:
    return replace(line, words=frozenset(token.text for token in line.tokens))


@cache
def _index() -> PhraseIndex:
    from assetlib.rules.spellings import LISTS, RULES
    from assetlib.rules.traps import TRAPS

    return PhraseIndex((*TRAPS, *RULES), LISTS)


@cache
def _people_words() -> frozenset[str]:
    from assetlib.rules.spellings import LISTS

    return LISTS["person"] - {"he", "she", "they", "we", "who", "both", "queue", "team"}


def _meant(line: Line) -> tuple[Match, ...]:
    # A second look lets a doubtful word lean on the camera terms found beside it.
    first = scan(line, _index())
    camera = frozenset(i for m in first if m.rule.facet and m.rule.only for i in range(m.first, m.last))
    return tuple(scan(replace(line, camera=camera), _index()))


def _taken(matches: Iterable[Match]) -> frozenset[int]:
    counted_anyway = ("age_group", "pose")
    return frozenset(i for m in matches if m.rule.facet not in counted_anyway for i in range(m.first, m.last))


def _spans(line: Line, matches: Iterable[Match]) -> list[tuple[int, int, str, str]]:
    return [
        (line.tokens[m.first].start, line.tokens[m.last - 1].end, m.rule.facet, value)
        for m in matches
        if m.rule.facet
        for value in m.rule.value.split("|")
    ]


def _head_span(line: Line, head: people.Head) -> tuple[int, int, str, str]:
    return line.tokens[head.first].start, line.tokens[head.last - 1].end, head.facet, head.value


def _by_facet(spans: Iterable[tuple[int, int, str, str]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for _, _, facet, value in spans:
        if value not in found.get(facet, ()):
            found[facet] = (*found.get(facet, ()), value)
    return {facet: found[facet] for facet in FACETS if facet in found}


# --- what is left ---------------------------------------------------------------------

_GLUE = frozenset("of on the a an to from with in at as and then camera shot onto into".split())


def _rest(text: str, line: Line, matches: Iterable[Match]) -> str:
    """The words that are not grammar alone; stranded small words go with what they joined."""
    only = {i for m in matches if m.rule.facet and m.rule.only for i in range(m.first, m.last)}
    kept = [i for i, token in enumerate(line.tokens) if i not in only and not token.is_mark]
    while kept and line.tokens[kept[0]].text in _GLUE:
        kept.pop(0)
    while kept and line.tokens[kept[-1]].text in _GLUE:
        kept.pop()
    return " ".join(_joined(text, line, kept))


def _joined(text: str, line: Line, kept: list[int]) -> list[str]:
    words: list[str] = []
    for place, index in enumerate(kept):
        token = line.tokens[index]
        follows = place > 0 and kept[place - 1] == index - 1
        if follows and text[line.tokens[index - 1].end : token.start] in ("-", "‐", "‑"):
            words[-1] += "-" + token.raw
        else:
            words.append(token.raw)
    return words


# --- shot numbers ---------------------------------------------------------------------

_NUMBER_WORDS = frozenset("shot sh sc scene frame fr panel setup set board cut slate #".split())


@cache
def _number_shape() -> re.Pattern[str]:
    return re.compile(r"\d{1,4}[a-z]{0,2}")


def _shot_number_length(tokens: tuple[Token, ...]) -> int:
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
    last = first + 1
    while last < len(tokens) and tokens[last].text in ".):]-–—|/":
        last += 1
    marked = last > first + 1
    return last - at if named or marked or _stands_as_number(tokens, first) else 0


_NOT_A_SHOT = frozenset("2s 3s 2d 3d 4k 2k 8k 5g 4g 2shot 3shot 1pt 2pt 3pt 1vp 2vp 3vp 1p 2p 3p".split())


def _stands_as_number(tokens: tuple[Token, ...], at: int) -> bool:
    word = tokens[at].text
    if at > 0 and tokens[at - 1].text in ("no", "platform"):
        return False
    if not word.isdigit():
        return word not in _NOT_A_SHOT and len(word) <= len("123ab")
    if word.startswith("0"):
        return True
    following = tokens[at + 1].text if at + 1 < len(tokens) else LINE_END
    rest = Line(tokens[at + 1 :])
    begun = scan(_with_words(rest), _index())
    camera = bool(begun) and begun[0].first == 0 and begun[0].rule.only and bool(begun[0].rule.facet)
    return camera and following not in ("point", "pt", "vp", "shot", "hands")


# --- options --------------------------------------------------------------------------


def parse_option(facet: str, value: str) -> str:
    """The canonical value of a facet from any usual spelling; raises WrongUsage otherwise."""
    slug = _facet_slug(facet)
    wanted = _key(value)
    for allowed in FACETS[slug]:
        if _key(allowed) == wanted:
            return allowed
    for candidate in (value, f"{value} shot", f"{value} angle", f"{value} view", f"{value} camera"):
        found = read_line(candidate).facets.get(slug, ())
        if len(found) == 1:
            return found[0]
    if slug == "people" and wanted.isdecimal() and int(wanted) > people.LARGEST_COUNT:
        return "crowd"
    raise WrongUsage(f"{slug} cannot be '{value}'", hint=f"{slug} is one of: {_listing(slug)}")


def _listing(slug: str) -> str:
    if slug == "people":
        return f"1 to {people.LARGEST_COUNT}, crowd"
    return ", ".join(FACETS[slug])


def _facet_slug(facet: str) -> str:
    slug = re.sub(r"[\s-]+", "_", facet.strip().casefold())
    if slug not in FACETS:
        raise WrongUsage(f"there is no facet '{facet}'", hint=f"the facets are: {', '.join(FACETS)}")
    return slug


def _key(text: str) -> str:
    return " ".join(token.text for token in tokens_of(text))
