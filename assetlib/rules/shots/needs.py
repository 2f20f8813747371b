"""A shot taken apart into what has to be drawn: *this van, this dog, a night street*."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from assetlib.rules.shots import asides, grammar, things
from assetlib.rules.shots.lists import kinds
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.need_values import Facets, Need
from assetlib.rules.shots.objects import done_by
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.segments import names_a_set_up, of_thing, segment_needs, unknown_head
from assetlib.rules.shots.things import Thing

_SEGMENT = re.compile(r"\s*[,;:]\s+|\s+[-–—/]+\s+|\.\s+|\s+(?:while|as|then|and then)\s+", re.IGNORECASE)


def needs_of(shot: Shot) -> tuple[Need, ...]:
    """What a shot needs: its things in the order they are named, and last its place. Never empty."""
    found: list[Need] = []
    seen: set[str] = set()
    whole = grammar.read_line(shot.text).facets
    text, denied = _without_denied(shot.text)
    segments = _SEGMENT.split(text)
    # *passenger sleeps, hood mount*: the set-up holds the rest, wherever it stands
    segments.sort(key=lambda segment: not names_a_set_up(of_thing(grammar.read_line(segment).facets)))
    for segment in segments:
        for need in segment_needs(segment, shot.text, whole, first=not found):
            if found and names_a_set_up(found[0].facets or {}) and need.kind != "place":
                # who and what is seen in a set-up of the camera belongs to its one drawing
                found[0] = replace(found[0], parts=(*found[0].parts, *_as_parts(need)))
                continue
            if need.head in _HOW_IT_IS_HELD and any(things.lives(other.head) for other in found):
                continue  # *dog sits, head up*: how the dog holds itself
            if need.head and (need.head in seen or _same(need.head, seen)):
                continue
            seen.update({need.head, *(part.key for part in need.parts)})
            found.append(need)
    if denied:
        found = [replace(need, asked=f"{need.asked or need.text}, {denied}") for need in found]
    main = [need for need in found if need.kind != "place"]
    places = [need for need in found if need.kind == "place"]
    if not main:
        main = [_whole(replace(shot, text=text), whole, places)]
        main = [replace(main[0], asked=f"{main[0].text}, {denied}")] if denied else main
        places = [place for place in places if place.head != main[0].head]
    own = tuple(Thing(need.head, need.text, 0, 0) for need in main if need.head)
    # what the shot shows may stand in its backdrop: a door with the dog that waits there
    return (*main, *(replace(place, parts=(*place.parts, *own)) for place in _place_needs(shot, places)))


_HOW_IT_IS_HELD = word_set("head arm shoulder leg torso mouth nose tail ear paw wing")
"""Parts of somebody named before: what is told of them says how that one is to be drawn."""


def _without_denied(text: str) -> tuple[str, str]:
    """A line without what it says is not there, and that in words that finding reads: *no people*."""
    denied = asides.read_without(text)
    for aside in reversed(denied):
        text = f"{text[: aside.first]} {text[aside.last :]}"
    return text, ", ".join(dict.fromkeys(f"no {aside.things[0]}" for aside in denied))


def _as_parts(need: Need) -> tuple[Thing, ...]:
    return (Thing(need.head, need.text, 0, 0), *need.parts) if need.head else need.parts


def _same(head: str, seen: set[str]) -> bool:
    """Whether a thing was named already by a broader or narrower word: *the woman*, then *her face*, *she*."""
    return any(head in things.above(other) or other in things.above(head) for other in seen if other)


def _whole(shot: Shot, facets: Facets, places: list[Need]) -> Need:
    """A shot that names no thing but a place, or nothing known: all of it is the need."""
    rest = grammar.read_line(shot.text).rest or shot.text
    keys = things.things_in(rest)
    head = keys[0].key if keys else unknown_head(rest)
    return Need(rest, "main", head, keys[1:], done_by(rest, keys), of_thing(facets))


def _place_needs(shot: Shot, places: list[Need]) -> Iterator[Need]:
    """The place a shot plays in: its heading's, and what the line adds to it."""
    bare = re.sub(rf"(?i)^{kinds.SETTING}\s*", "", shot.heading).strip()
    told, bare = bare, _without_time(bare)
    if bare:
        named = things.things_in(bare)
        if not named or named[-1].is_place:
            inside: Facets = {"setting": ("INT",)} if re.match(r"(?i)int(?!.{0,3}ext)", shot.heading) else {}
            head = named[-1].key if named else unknown_head(bare)
            yield Need(
                bare, "place", head, tuple(named[:-1]), frozenset(), inside, asked=_asked_of_place(told, bare)
            )
    yield from places


def _without_time(place: str) -> str:
    """*KITCHEN - MORNING* without its time, which is no part of the place."""
    parts = re.split(r"(\s+[-–—/|]+\s+|\s*[,.;|]\s*|\s*\(|\)\s*)", place)
    while len(parts) > 1 and _is_time(parts[-1]):
        del parts[-2:]
    return "".join(parts).strip() or place


def _is_time(part: str) -> bool:
    return all(word.casefold() in kinds.HEADING_TIMES or word.isdigit() for word in things.words_of(part))


def _asked_of_place(told: str, bare: str) -> str:
    """What finding is asked for a place: with its time where that is one that drawings have."""
    return told if "time" in grammar.read_line(told).facets else bare
