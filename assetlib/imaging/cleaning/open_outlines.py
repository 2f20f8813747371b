"""Rooms behind outlines that stay open farther than a slip of the pen: what tells them is line that bounds nothing.

A line has the body on one side at least. Where the outside lies on both sides of much of a room's outline, the room is
the body that it bounds; a bay between two limbs has body behind all of its rim.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.masks import window_around

Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]

WIDEST = 0.5  # of the drawing's longer side: what a sixth of a round outline leaves open
STEPS = 12  # widths of mouth tried, narrowest first
LEAST_AREA = 0.0015  # of the drawing's box
# Tuned on outlines of openclipart with gaps of up to 9 % of their diagonal cut out: three in four rooms are found, and
# nothing in outlines without gaps.
ENCLOSED = 0.65  # share of a room's rim that is line or body
UNBOUND = 0.3  # share of its line that has the outside on both sides
ROOMY = 1.2  # how much wider than its mouth a room is
_SQUARE = np.ones((3, 3), np.uint8)


@dataclass(frozen=True, slots=True)
class _Room:
    """A room of the outside behind a mouth: a window, a mask in it, how wide it is inside and at its mouth."""

    window: tuple[slice, slice]
    mask: Mask
    inner: float
    mouth: float


def behind_open_outlines(line: Mask, outside: Mask, pen: float) -> Mask:
    """What of the outside is body behind an open outline; bool (H, W).

    `line` and `outside` bool (H, W); `pen` is the line weight in pixels.
    """
    behind = np.zeros_like(line)
    for room in _rooms(line, outside):
        if room.inner >= ROOMY * room.mouth and _is_body(room, line, outside, pen):
            behind[room.window] |= room.mask
    return behind


def _rooms(line: Mask, outside: Mask) -> Iterator[_Room]:
    x, y, width, height = cv2.boundingRect(line.astype(np.uint8))
    widest = WIDEST * max(width, height) / 2
    rim = int(np.ceil(widest)) + 3  # so wide that nothing beside the drawing counts as cut off
    top, left = y - rim, x - rim
    free = _window(outside, top, left, height + 2 * rim, width + 2 * rim)
    away = cv2.distanceTransform(free.astype(np.uint8), cv2.DIST_L2, 5)
    least = LEAST_AREA * width * height
    taken = np.zeros_like(free)
    for mouth in np.geomspace(1.0, max(1.5, widest), STEPS):
        count, labels, stats, _ = cv2.connectedComponentsWithStats(
            (away > mouth).astype(np.uint8), connectivity=4
        )
        for k in range(1, count):
            if k == labels[0, 0] or stats[k, cv2.CC_STAT_AREA] < 2:
                continue
            near = window_around(stats[k, :4], int(np.ceil(mouth)) + 2)
            core = labels[near] == k
            if (core & taken[near]).any():
                continue
            mask = _grown(core, free[near], float(mouth))
            if mask.sum() < least:
                continue
            taken[near] |= core
            yield _placed(near, mask, (top, left), line.shape, float(away[near][core].max()), float(mouth))


def _window(mask: Mask, top: int, left: int, height: int, width: int) -> Mask:
    """A window of a mask that may reach beyond it, where all is outside."""
    part = mask[max(0, top) : top + height, max(0, left) : left + width]
    before = max(0, -top), max(0, -left)
    after = height - before[0] - part.shape[0], width - before[1] - part.shape[1]
    return np.pad(part, tuple(zip(before, after, strict=True)), constant_values=True)


def _grown(core: Mask, free: Mask, mouth: float) -> Mask:
    """A room grown up to its outline again, not through it."""
    near = cv2.distanceTransform((~core).astype(np.uint8), cv2.DIST_L2, 5) <= mouth
    grown = (near & free).astype(np.uint8)
    _, labels = cv2.connectedComponents(grown, connectivity=4)
    return np.asarray(np.isin(labels, np.unique(labels[core])) & (grown > 0))


def _placed(
    near: tuple[slice, slice],
    mask: Mask,
    start: tuple[int, int],
    shape: tuple[int, ...],
    inner: float,
    mouth: float,
) -> _Room:
    """The room in pixels of the whole picture."""
    top, left = near[0].start + start[0], near[1].start + start[1]
    cut_top, cut_left = max(0, -top), max(0, -left)
    bottom = min(shape[0], top + mask.shape[0])
    right = min(shape[1], left + mask.shape[1])
    part = mask[cut_top : bottom - top, cut_left : right - left]
    return _Room((slice(max(0, top), bottom), slice(max(0, left), right)), part, inner, mouth)


def _is_body(room: _Room, line: Mask, outside: Mask, pen: float) -> bool:
    rows, columns = room.window
    reach = round(pen) + 3
    wide = (
        slice(max(0, rows.start - reach), rows.stop + reach),
        slice(max(0, columns.start - reach), columns.stop + reach),
    )
    mask = np.zeros_like(outside[wide])
    top, left = rows.start - wide[0].start, columns.start - wide[1].start
    mask[top : top + room.mask.shape[0], left : left + room.mask.shape[1]] = room.mask
    ring = (cv2.dilate(mask.astype(np.uint8), _SQUARE) > 0) & ~mask
    mouth = ring & outside[wide]
    if mouth.sum() > (1 - ENCLOSED) * ring.sum():
        return False
    rim = ring & ~mouth & ~_near(mouth, reach)
    unbound = rim & line[wide] & _near(outside[wide] & ~mask, reach - 1)
    return bool(unbound.sum() > UNBOUND * max(1, rim.sum()))


def _near(mask: Mask, reach: int) -> Mask:
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    return np.asarray(cv2.dilate(mask.astype(np.uint8), disc) > 0)
