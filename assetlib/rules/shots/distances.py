"""How far off a line puts a thing: *ferry beyond*, *hand in the foreground*; and what it stands at: *van at the kerb*.

The words are common practice of shot lists, no source.
"""

from __future__ import annotations

import re

from assetlib.rules.shots import things
from assetlib.rules.shots.things import Thing

FAR, NEAR, ASIDE = "far", "near", "aside"

_CLAUSE = re.compile(r"[,;:/]|\s[-–—]\s|\.\s|\b(?:and|while|as)\b", re.IGNORECASE)
_FAR = re.compile(
    r"\b(?:beyond|far off|afar|far away|(?<!from )behind(?=\s*$)|(?:in|into) the (?:far )?(?:distance|background|bg)|"
    r"on the (?:horizon|skyline)|distant|far[- ]off|background|b/?g)\b",
    re.IGNORECASE,
)
_NEAR = re.compile(
    r"\b(?:(?:in|at) the (?:near )?foreground|foreground|f/?g|close to (?:the )?(?:camera|lens))\b",
    re.IGNORECASE,
)
_AT = r"(?:at|by|against|along|beside|near|next to|under|from)\s+(?:(?:the|a|an|his|her|its|their)\s+)?"
_BEFORE = re.compile(rf"\b{_AT}$", re.IGNORECASE)
_WITHIN = re.compile(_AT, re.IGNORECASE)


def distances_in(text: str) -> dict[str, str]:
    """By key of a thing that the line names: *far*, *near*, or *aside* where it stands at a place of the scene."""
    words = [hit.start() for hit in re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", text)]
    named = [(words[thing.first], thing) for thing in things.things_in(text)]
    found: dict[str, str] = {}
    start = 0
    for end in (*(hit.start() for hit in _CLAUSE.finditer(text)), len(text)):
        inside = [(at - start, thing) for at, thing in named if start <= at < end]
        if inside and (told := _told(text[start:end], inside)):
            found.setdefault(inside[0][1].key, told)
        start = end
    return found


def _told(clause: str, named: list[tuple[int, Thing]]) -> str:
    """What a clause says of the first thing it names."""
    first_at, first = named[0]
    far = _FAR.search(clause)
    if far and not (far.group().casefold() == "beyond" and far.start() < first_at and len(named) > 1):
        return FAR
    if _NEAR.search(clause):
        return NEAR
    # *at the kerb* is one name in the thesaurus
    stands_at = any(
        not thing.lives and (_WITHIN.match(thing.text) or _BEFORE.search(clause[:at]))
        for at, thing in named[1:]
    )
    return ASIDE if stands_at and not first.is_place else ""
