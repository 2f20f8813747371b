"""Reads a line of a shot list for the facets of the shot and drawing grammar."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from operator import itemgetter

from assetlib.errors import WrongUsage
from assetlib.rules.shots import people
from assetlib.rules.shots.phrases import Line, PhraseMatch, scan, word_set
from assetlib.rules.shots.shot_numbers import shot_number_length
from assetlib.rules.words import spellings
from assetlib.rules.words.tokens import tokens_of

FACETS: dict[str, tuple[str, ...]] = {
    "shot_size": ("ECU", "CU", "MCU", "MS", "MWS", "FS", "WS", "EWS", "product shot"),
    "shot_type": (
        "single",
        "two-shot",
        "three-shot",
        "group",
        "over the shoulder",
        "point of view",
        "reverse",
        "insert",
        "cutaway",
        "establishing",
    ),
    "camera_angle": ("eye level", "low", "high", "overhead", "worm's eye", "dutch"),
    "camera_position": ("hood mount", "side mount", "dash", "driver's seat", "front passenger", "back seat"),
    "camera_move": ("static", "pan", "tilt", "dolly", "push in", "pull out", "crane", "zoom", "handheld"),
    "setting": ("INT", "EXT"),
    "time": ("day", "night"),
    "screen_direction": ("left to right", "right to left", "toward camera", "away from camera"),
    "view": (
        "front",
        "three-quarter front",
        "profile",
        "three-quarter back",
        "back",
        "from above",
        "from below",
    ),
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
    that also describe content (*driving*, *crowd*, *back seat*); `kept` tells where they stand.
    """

    facets: dict[str, tuple[str, ...]]
    rest: str
    spans: tuple[tuple[int, int, str, str], ...]
    kept: tuple[tuple[int, int], ...] = ()


def read_line(text: str) -> Understood:
    """The facets a line carries, in the order they are met; nothing in it is an error."""
    tokens = tokens_of(text)
    numbered = shot_number_length(tokens)
    line = Line(tokens[numbered:], numbered=numbered > 0)
    matches = _meant(line)
    heads = tuple(people.read_people(line, _taken(matches), _people_words()))
    spans = sorted(_spans(line, matches) + [_head_span(line, head) for head in heads], key=itemgetter(0, 1))
    kept = _kept(line, matches)
    where = tuple((line.tokens[i].start, line.tokens[i].end) for i in kept)
    return Understood(_by_facet(spans), " ".join(_joined(text, line, kept)), tuple(spans), where)


@cache
def _people_words() -> frozenset[str]:
    return spellings.load().lists["person"] - {"he", "she", "they", "we", "who", "both", "queue", "team"}


def _meant(line: Line) -> tuple[PhraseMatch, ...]:
    # A second look lets a doubtful word lean on the camera terms found beside it.
    first = scan(line, spellings.load_index())
    terms = [m for m in first if m.rule.facet and (m.rule.only or m.rule.facet == "camera_position")]
    camera = frozenset(i for m in terms for i in range(m.first, m.last))
    return tuple(scan(line._replace(camera=camera), spellings.load_index()))


def _taken(matches: Iterable[PhraseMatch]) -> frozenset[int]:
    counted_anyway = ("age_group", "pose")
    return frozenset(i for m in matches if m.rule.facet not in counted_anyway for i in range(m.first, m.last))


def _spans(line: Line, matches: Iterable[PhraseMatch]) -> list[tuple[int, int, str, str]]:
    return [
        (line.tokens[m.first].start, line.tokens[m.last - 1].end, m.rule.facet, value)
        for m in matches
        if m.rule.facet
        for value in m.rule.values
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

_GLUE = word_set("of on the a an to from with in at as and then camera shot onto into")


def _kept(line: Line, matches: Iterable[PhraseMatch]) -> list[int]:
    """The words that are not grammar alone, by their tokens; stranded small words go with what they joined."""
    only = {i for m in matches if m.rule.facet and m.rule.only for i in range(m.first, m.last)}
    for i, token in enumerate(line.tokens):
        if token.text in _GLUE and (i == 0 or i - 1 in only):
            only.add(i)
    kept = [i for i, token in enumerate(line.tokens) if i not in only and not token.is_mark]
    while kept and line.tokens[kept[-1]].text in _GLUE:
        kept.pop()
    return kept


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


# --- options --------------------------------------------------------------------------


# A value given as an option stands without the words that show its meaning in a line.
_FRAMES = (
    "{}", "{} shot", "{} angle", "{} view", "{} camera", "{} people", "people {}", "{} hand", "{} drawing", "{} line",
    "{} man", "{} mount", "{} seat", "{} eye view", "{} point perspective", "{} perspective", "{} from camera",
)  # fmt: skip


def parse_option(facet: str, value: str) -> str:
    """The canonical value of a facet from any usual spelling; raises WrongUsage otherwise."""
    slug = _facet_slug(facet)
    wanted = _key(value)
    for allowed in FACETS[slug]:
        if _key(allowed) == wanted:
            return allowed
    for frame in _FRAMES:
        found = read_line(frame.format(value)).facets.get(slug, ())
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
        raise WrongUsage(f"'{facet}' is nothing that a shot says", hint=f"choose one of: {', '.join(FACETS)}")
    return slug


def _key(text: str) -> str:
    return " ".join(token.text for token in tokens_of(text))
