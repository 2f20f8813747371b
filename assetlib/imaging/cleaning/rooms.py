"""Rooms whose outline stays wide open, as a trained judge sees them: a pot without its foot, a sleeve without its hem.

Geometry cannot tell such a room from the bay between two table legs. A network that sees the whole drawing says of
every place how likely it is body; where what is surely body and what is surely not meet between two lines, the room
ends, straight from line to line. Made by tests/bench/rooms_net.py; ROOMS_CARD.md says from what.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.judges import open_judge
from assetlib.imaging.masks import window_around

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]

JUDGE = Path(__file__).with_name("rooms.onnx")
# pixels of the square that the judge sees, and of the drawing's longest side within it
SIDE, INNER = 128, 116
SPECK = 0.04  # of the largest mark's side: marks smaller than that do not count for where a drawing is
BOLDER = 2.5  # a thin line made small is still seen
# How likely a place is body where a room begins to be looked for, and where it ends.
SURE, SURELY_NOT = 0.75, 0.25
# Tuned on things drawn by hand and clip art that the judge was not trained on.
ROOM = 0.7  # mean over a room from which it is body
BAY = 0.55  # mean below which a place that geometry shut is none
ENCLOSED = 0.5  # share of a room's rim that is line or body
# The same where a drawing encloses nothing else: an arch may be one, or a box without its floor.
ENCLOSED_ALONE = 0.75
BOUNDS = 0.15  # share of its rim that is line which would bound nothing if the room were not body
SLIM = 0.06  # of the drawing's longer side: what is narrower, as pickets and oars are, the judge hardly sees
LEAST_AREA = 0.002  # of the drawing's box
NARROW = 0.25  # how much the narrowness of a place counts beside what the judge says
LEAKS = 0.55, 1.35  # how much smaller and larger than a room is what a straight mouth may shut in
_SQUARE = np.ones((3, 3), np.uint8)


@dataclass(frozen=True, slots=True)
class Judged:
    """How likely each place of the outside is body, float32 (H, W), and what of it is taken for body, bool (H, W)."""

    likely: Floats
    body: Mask


def judge_rooms(line: Mask, outside: Mask, pen: float) -> Judged:
    """Rooms of the outside that are body behind a wide mouth; raises ModelBroken.

    `line` and `outside` bool (H, W), with nothing but outside along the rim of the picture; `pen` is the line weight
    in pixels.
    """
    likely = judge_places(line, outside)
    body = np.zeros_like(line)
    if not (outside & (likely > SURE)).any():
        return Judged(likely, body)
    rooms = parted(line, outside, likely)
    rooms |= _pockets(outside & ~rooms)
    alone = not cv2.erode((~outside & ~line).astype(np.uint8), _SQUARE).any()
    enclosed = ENCLOSED_ALONE if alone else ENCLOSED
    least = LEAST_AREA * float(np.prod(box_of(line)[2:]))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(rooms.astype(np.uint8), connectivity=4)
    for k in range(1, count):
        if stats[k, cv2.CC_STAT_AREA] < least:
            continue
        near = window_around(stats[k, :4], 4 + int(stats[k, 2:4].max()) // 2)
        room = labels[near] == k
        if float(likely[near][room].mean()) < ROOM:
            continue
        bounds = _bounds(room, line[near], outside[near], pen)
        if bounds >= BOUNDS and is_enclosed(room, outside[near], enclosed):
            body[near] |= made_straight(room, outside[near])
    return Judged(likely, body)


def is_enclosed(room: Mask, outside: Mask, share: float) -> bool:
    """Whether at least a share of a room's rim is line or body."""
    ring = _beside(room) & ~room
    return bool((ring & outside).sum() <= (1 - share) * ring.sum())


def _bounds(room: Mask, line: Mask, outside: Mask, pen: float) -> float:
    """Which share of a room's rim is line with the outside behind it; a bay has body behind all of its line."""
    reach = round(pen) + 2
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    ring = _beside(room) & ~room
    behind, by_mouth = (
        cv2.dilate(mask.astype(np.uint8), disc) > 0 for mask in (outside & ~room, _beside(ring & outside))
    )
    rim = ring & ~by_mouth
    return float((rim & line & behind).sum() / max(1, rim.sum()))


def not_body(line: Mask, bare: Mask, shut: Mask) -> Mask:
    """What of places behind gaps the judge holds for no body, bool (H, W): bays between limbs; raises ModelBroken.

    `bare` is all that no line encloses, `shut` what of it geometry took for body.
    """
    wrong = np.zeros_like(shut)
    least = LEAST_AREA * float(np.prod(box_of(line)[2:]))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(shut.astype(np.uint8), connectivity=4)
    deep = np.zeros(count, np.float32)
    away = cv2.distanceTransform(shut.astype(np.uint8), cv2.DIST_L2, 5)
    np.maximum.at(deep, labels[shut], away[shut])
    slim = SLIM * max(box_of(line)[2:]) / 2
    asked = [k for k in range(1, count) if stats[k, cv2.CC_STAT_AREA] >= least and deep[k] >= slim]
    if not asked:
        return wrong
    likely = judge_places(line, bare)
    total = np.bincount(labels.ravel(), weights=likely.ravel(), minlength=count)
    mean = total / np.maximum(1, stats[:, cv2.CC_STAT_AREA])
    return np.asarray(np.isin(labels, [k for k in asked if mean[k] < BAY]))


def _pockets(rest: Mask) -> Mask:
    """What rooms cut off from the outside, between them and their lines."""
    _, labels = cv2.connectedComponents(rest.astype(np.uint8), connectivity=4)
    return np.asarray(rest & (labels != labels[0, 0]))


def judge_places(line: Mask, outside: Mask) -> Floats:
    """How likely each place is body, float32 (H, W); 0 beyond the drawing."""
    box = box_of(line)
    seen = see(line, outside).astype(np.float32)[None] / 255
    found = open_judge(JUDGE, "judges rooms").run(None, {"picture": seen})[0][0, 0]
    x, y, width, height = box
    scale = INNER / max(width, height)
    size = max(1, round(width * scale)), max(1, round(height * scale))
    left, top = (SIDE - size[0]) // 2, (SIDE - size[1]) // 2
    full = cv2.resize(found, (SIDE, SIDE), interpolation=cv2.INTER_LINEAR)
    part = full[top : top + size[1], left : left + size[0]]
    likely = np.zeros(line.shape, np.float32)
    likely[y : y + height, x : x + width] = cv2.resize(part, (width, height), interpolation=cv2.INTER_LINEAR)
    return likely


def see(line: Mask, outside: Mask, more: Pixels | None = None) -> Pixels:
    """What the judge is shown, uint8 (2, SIDE, SIDE): line and body; third `more` uint8 (H, W) fitted alike."""
    box = box_of(line)
    layers = [_fit(line, box, BOLDER), _fit(~outside, box)]
    if more is not None:
        layers.append(_fit(more / 255, box))
    return np.stack(layers)


def box_of(line: Mask) -> Sequence[int]:
    """The box of a drawing, x, y, width and height: specks beside it do not make it larger."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(line.astype(np.uint8), connectivity=8)
    sides = stats[1:, 2:4].max(axis=1)
    kept = np.concatenate([[False], sides >= SPECK * sides.max(initial=0)])
    return tuple(int(v) for v in cv2.boundingRect(kept[labels].astype(np.uint8)))


def _fit(layer: NDArray[np.generic], box: Sequence[int], gain: float = 1.0) -> Pixels:
    x, y, width, height = box
    scale = INNER / max(width, height)
    size = max(1, round(width * scale)), max(1, round(height * scale))
    way = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    part = np.ascontiguousarray(layer[y : y + height, x : x + width], np.float32)
    square = np.zeros((SIDE, SIDE), np.uint8)
    top, left = (SIDE - size[1]) // 2, (SIDE - size[0]) // 2
    fitted = np.clip(255 * gain * cv2.resize(part, size, interpolation=way), 0, 255)
    square[top : top + size[1], left : left + size[0]] = np.rint(fitted)
    return square


def parted(
    line: Mask, outside: Mask, likely: Floats, inside_from: float = SURE, outside_to: float = SURELY_NOT
) -> Mask:
    """The outside parted between places likely and unlikely body: what goes with the likely, bool (H, W)."""
    away = cv2.distanceTransform(outside.astype(np.uint8), cv2.DIST_L2, 5)
    doubt = 1 - 2 * np.abs(likely - 0.5)
    narrow = np.exp(-away / max(1.0, 0.02 * max(line.shape)))
    height = np.clip(255 * ((1 - NARROW) * doubt + NARROW * narrow), 0, 255).astype(np.uint8)
    marks = np.zeros(line.shape, np.int32)
    marks[outside & (likely > inside_from)] = 1
    marks[outside & (likely < outside_to)] = 2
    marks[~outside] = 3
    cv2.watershed(cv2.merge([height] * 3), marks)
    found = (marks == 1) & outside
    # the watershed's own line, a pixel wide, goes to the room along ink and to neither at its mouth
    grown = cv2.dilate(found.astype(np.uint8), _SQUARE) > 0
    return np.asarray(found | (grown & outside & (marks == -1) & ~_beside(marks == 2)))


def _beside(mask: Mask) -> Mask:
    return np.asarray(cv2.dilate(mask.astype(np.uint8), _SQUARE) > 0)


def made_straight(room: Mask, outside: Mask) -> Mask:
    """A room whose mouths run straight from line to line; as it is where that shuts in much more or less."""
    wall = np.where(outside, 0, 1).astype(np.uint8)
    mouth = _beside(room) & ~room & outside
    count, labels = cv2.connectedComponents(mouth.astype(np.uint8), connectivity=8)
    for k in range(1, count):
        ends = _ends_of(labels == k, ~outside)
        if ends is not None:
            cv2.line(wall, ends[0], ends[1], 1, 1)
    # a wall drawn aslant a pixel wide holds what moves in four directions
    count, free = cv2.connectedComponents((wall == 0).astype(np.uint8), connectivity=4)
    whole = np.bincount(free.ravel(), minlength=count)
    mine = np.bincount(free[room], minlength=count) > 0.5 * whole
    mine[0] = False
    straight = mine[free]
    straight |= (wall > 0) & outside & _beside(straight)
    return straight if LEAKS[0] < straight.sum() / room.sum() < LEAKS[1] and not _at_rim(straight) else room


def _ends_of(mouth: Mask, solid: Mask) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """Where a mouth meets line or body: the two such places farthest apart, x and y; None where there are not two."""
    rows, columns = np.nonzero(_beside(_beside(mouth)) & solid)
    if len(rows) < 2:
        return None
    at = np.stack([columns, rows], axis=1)
    first = at[((at - at.mean(axis=0)) ** 2).sum(axis=1).argmax()]
    last = at[((at - first) ** 2).sum(axis=1).argmax()]
    return (int(first[0]), int(first[1])), (int(last[0]), int(last[1]))


def _at_rim(mask: Mask) -> bool:
    return bool(mask[0].any() or mask[-1].any() or mask[:, 0].any() or mask[:, -1].any())
