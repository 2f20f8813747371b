"""A list that was changed, beside the one before: which shots are the same, reworded, moved, new, omitted."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from assetlib.rules.shots.lists.values import Shot

SAME, REWORDED, MOVED, NEW, OMITTED = "same", "reworded", "moved", "new", "omitted"

_ALIKE = 0.72
"""difflib's ratio from which two shots of different numbers say the same in other words; set by eye on ten lists."""

_ALIKE_NUMBERED = 0.35
"""The same where the numbers agree: below it another shot took the number."""


@dataclass(frozen=True, slots=True)
class Change:
    """What became of a shot: its place in the list before (None for a new one) and in the list now."""

    kind: str
    before: int | None
    now: int | None


def compare(before: Sequence[Shot], now: Sequence[Shot], omitted: Sequence[str] = ()) -> list[Change]:
    """What became of each shot, in the order of the list now; omitted ones last. Matched by words, then by number."""
    pairs: dict[int, int] = {}
    _match(pairs, before, now, lambda a, b: _key(a) == _key(b) and _called(a) == _called(b))
    _match(pairs, before, now, lambda a, b: _key(a) == _key(b))
    gone = {number.upper() for number in omitted}
    _match(
        pairs,
        before,
        now,
        lambda a, b: (
            _called(a) == _called(b) and a.number.upper() not in gone and _alike(a, b) >= _ALIKE_NUMBERED
        ),
    )
    _match(pairs, before, now, lambda a, b: _alike(a, b) >= _ALIKE)
    changes = [
        Change(_kind(before, now, pairs.get(place), place), pairs.get(place), place)
        for place in range(len(now))
    ]
    kept = set(pairs.values())
    return changes + [Change(OMITTED, place, None) for place in range(len(before)) if place not in kept]


def _match(pairs, before, now, agree) -> None:  # type: ignore[no-untyped-def]
    taken = set(pairs.values())
    for place, shot in enumerate(now):
        if place in pairs:
            continue
        for other, old in enumerate(before):
            if other not in taken and agree(old, shot):
                pairs[place] = other
                taken.add(other)
                break


def _kind(before: Sequence[Shot], now: Sequence[Shot], old: int | None, place: int) -> str:
    if old is None:
        return NEW
    moved = _called(before[old]) != _called(now[place])
    if _key(before[old]) != _key(now[place]):
        # what stands elsewhere in the list may have come under another heading
        return MOVED if moved and _words(before[old]) == _words(now[place]) else REWORDED
    return MOVED if moved else SAME


def _called(shot: Shot) -> tuple[str, str]:
    return shot.spot.upper(), shot.number.upper()


def _key(shot: Shot) -> str:
    return " ".join(re.findall(r"[^\W_]+", f"{shot.heading} {shot.text}".casefold()))


def _alike(one: Shot, other: Shot) -> float:
    return difflib.SequenceMatcher(None, _words(one), _words(other), autojunk=False).ratio()


def _words(shot: Shot) -> list[str]:
    return re.findall(r"[^\W_]+", shot.text.casefold())
