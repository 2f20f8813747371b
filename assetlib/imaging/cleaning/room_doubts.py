"""Doubts about rooms behind wide mouths: places left bare that may be body, told and filled where one points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import WORKING_SIDE, reduced, solid_line
from assetlib.imaging.cleaning.openings import Opening
from assetlib.imaging.cleaning.rooms import Floats, box_of, is_enclosed, judge_places, made_straight, parted

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Place = tuple[int, int]

# Chosen by looking at drawings of openclipart and things drawn by hand: few that are right are told by them.
# How likely a bare place is body where a room in doubt begins, and where it ends.
MAYBE, MAYBE_NOT = 0.5, 0.25
LARGE = 0.01  # of the drawing's box
ENCLOSED = 0.4  # share of a bare room's rim that is line


def doubts(ink: Pixels, body: Mask, openings: Sequence[Opening]) -> tuple[str, ...]:
    """The largest bare place that may be body, with the option of clean that fills it; raises ModelBroken.

    `ink` uint8 (H, W, 4); `body` bool (H, W) with all that a person filled.
    """
    looked = _look(ink, body)
    if looked is None:
        return ()
    rooms = _bare(looked)
    if not rooms:
        return ()
    option = _option(_middle(rooms[0], looked.factor), openings)
    return (f"a place is bare that may be body, its outline stays open ({option})",)


def bare_room_at(ink: Pixels, body: Mask, place: Place) -> Mask | None:
    """The bare room at a place x, y that may be body, bool (H, W), straight across its mouths; None where none is."""
    looked = _look(ink, body)
    if looked is None:
        return None
    x, y = (v // looked.factor + 1 for v in place)
    for room in _bare(looked):
        if room[y, x]:
            return _enlarged(room[1:-1, 1:-1], body, looked.factor)
    return None


def _enlarged(room: Mask, body: Mask, factor: int) -> Mask:
    """A room at full size, up to the very line."""
    large = np.repeat(np.repeat(room, factor, axis=0), factor, axis=1)
    mask = large[: body.shape[0], : body.shape[1]] & ~body
    if factor == 1:
        return mask
    disc = np.ones((2 * factor + 1,) * 2, np.uint8)
    grown, beside = (cv2.dilate(one.astype(np.uint8), disc) > 0 for one in (mask, body))
    whole = mask | (grown & beside & ~body)
    _, labels = cv2.connectedComponents(whole.astype(np.uint8), connectivity=4)
    return np.asarray(whole & np.isin(labels, np.unique(labels[mask])))


@dataclass(frozen=True, slots=True)
class _Looked:
    """A drawing reduced by a factor and framed by a pixel: its line, its body, and how likely each place is body."""

    line: Mask
    inside: Mask
    likely: Floats
    factor: int

    @property
    def least(self) -> float:
        """Pixels of a room that counts."""
        return LARGE * float(np.prod(box_of(self.line)[2:]))


def _look(ink: Pixels, body: Mask) -> _Looked | None:
    whole = solid_line(ink[..., 3])
    if not whole.any():
        return None
    factor = max(1, -(-max(whole.shape) // WORKING_SIDE))
    line, inside = (np.pad(reduced(mask, factor), 1) for mask in (whole, body))
    return _Looked(line, inside | line, judge_places(line, ~(inside | line)), factor)


def _bare(looked: _Looked) -> list[Mask]:
    """Bare rooms that may be body, the largest first."""
    outside = ~looked.inside
    rooms = parted(looked.line, outside, looked.likely, MAYBE, MAYBE_NOT)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(rooms.astype(np.uint8), connectivity=4)
    found = []
    for k in 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA]):
        room = labels == k
        if stats[k, cv2.CC_STAT_AREA] >= looked.least and is_enclosed(room, ~looked.line, ENCLOSED):
            found.append(made_straight(room, outside))
    return found


def _middle(room: Mask, factor: int) -> Place:
    """The place of a room farthest from its rim, in pixels of the whole drawing, x and y."""
    depth = cv2.distanceTransform(room.astype(np.uint8), cv2.DIST_L2, 5)
    row, column = np.unravel_index(int(depth.argmax()), depth.shape)
    return (int(column) - 1) * factor + factor // 2, (int(row) - 1) * factor + factor // 2


def _option(place: Place, openings: Sequence[Opening]) -> str:
    """How to fill the numbered area at a place, or the place."""
    x, y = place
    number = next((o.number for o in openings if o.mask[y, x]), None)
    return f"--shut {number}" if number is not None else f"--shut-at {x},{y}"
