"""Doubts about rooms behind wide mouths: places left bare that may be body, and filled ones that may not be."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning import pointing
from assetlib.imaging.cleaning.body import WORKING_SIDE, reduced, solid_line
from assetlib.imaging.cleaning.openings import Opening
from assetlib.imaging.cleaning.rooms import Floats, box_of, judge_places, parted

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Place = tuple[int, int]

# Chosen by looking at drawings of openclipart and things drawn by hand: few that are right are told by them.
MAYBE, MAYBE_NOT = (
    0.5,
    0.25,
)  # how likely a bare place is body where a room in doubt begins, and where it ends
HARDLY = 0.08  # how likely a filled place is body at most to be told
LARGE = 0.01  # of the drawing's box
ENCLOSED = 0.4  # share of a bare room's rim that is line or body
_SQUARE = np.ones((3, 3), np.uint8)


def doubts(ink: Pixels, body: Mask, openings: Sequence[Opening]) -> tuple[str, ...]:
    """What of a body is to be looked at, each with the option of clean that settles it; raises ModelBroken.

    `ink` uint8 (H, W, 4); `body` bool (H, W) with all that was filled; nothing is said of places that are numbered
    and filled, or open, by a person's choice or not.
    """
    whole = solid_line(ink[..., 3])
    if not whole.any():
        return ()
    factor = max(1, -(-max(whole.shape) // WORKING_SIDE))
    line, inside = (np.pad(reduced(mask, factor), 1) for mask in (whole, body))
    likely = judge_places(line, ~inside)
    least = LARGE * float(np.prod(box_of(line)[2:]))
    said = []
    place = _bare_place(line, ~inside, likely, least, factor)
    if place is not None:
        option = _option("shut", place, openings)
        if option is not None or pointing.area_at(ink, body, place, False) is not None:
            said.append(
                f"a place is bare that may be body, its outline stays open ({option or _at('shut', place)})"
            )
    place = _filled_place(line, inside, likely, least, factor)
    if place is not None and not any(o.is_open and o.mask[place[1], place[0]] for o in openings):
        option = _option("open", place, openings) or _at("open", place)
        said.append(f"a place is filled whose outline stays wide open ({option})")
    return tuple(said)


def _bare_place(line: Mask, outside: Mask, likely: Floats, least: float, factor: int) -> Place | None:
    """The middle of the largest bare room that is half likely body."""
    rooms = parted(line, outside, likely, MAYBE, MAYBE_NOT)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(rooms.astype(np.uint8), connectivity=4)
    for k in 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA]):
        if stats[k, cv2.CC_STAT_AREA] < least:
            break
        room = labels == k
        ring = (cv2.dilate(room.astype(np.uint8), _SQUARE) > 0) & ~room
        if (ring & outside).sum() <= (1 - ENCLOSED) * ring.sum():
            return _middle(room, factor)
    return None


def _filled_place(line: Mask, inside: Mask, likely: Floats, least: float, factor: int) -> Place | None:
    """The middle of the largest filled room that line does not enclose and that is hardly body."""
    free = (~line).astype(np.uint8)
    cv2.floodFill(free, None, (0, 0), 2, flags=4)
    wrong = cv2.morphologyEx(
        ((free == 2) & inside & (likely < HARDLY)).astype(np.uint8), cv2.MORPH_OPEN, _SQUARE
    )
    count, labels, stats, _ = cv2.connectedComponentsWithStats(wrong, connectivity=4)
    if count < 2:
        return None
    largest = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    return _middle(labels == largest, factor) if stats[largest, cv2.CC_STAT_AREA] >= least else None


def _middle(room: Mask, factor: int) -> Place:
    """The place of a room farthest from its rim, in pixels of the whole drawing, x and y."""
    depth = cv2.distanceTransform(room.astype(np.uint8), cv2.DIST_L2, 5)
    row, column = np.unravel_index(int(depth.argmax()), depth.shape)
    return (int(column) - 1) * factor + factor // 2, (int(row) - 1) * factor + factor // 2


def _option(way: str, place: Place, openings: Sequence[Opening]) -> str | None:
    """How to switch the numbered area at a place; None where none is."""
    x, y = place
    return next((f"--{way} {o.number}" for o in openings if o.mask[y, x]), None)


def _at(way: str, place: Place) -> str:
    return f"--{way}-at {place[0]},{place[1]}"
