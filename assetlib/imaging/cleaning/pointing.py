"""Areas that the judge of openings does not number by itself, and what switching one does.

Three kinds: places that an outline goes nearly round and that are empty, painted areas of a drawing on transparent
ground that one may want to look through, and whatever is pointed at.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import LINE_ALPHA, pen_weight
from assetlib.imaging.cleaning.grounds import EMPTY_ALPHA
from assetlib.imaging.cleaning.openings import LEAST_PIXELS, LEAST_SHARE, Opening
from assetlib.imaging.cleaning.room_doubts import bare_room_at

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

WORKING_SIDE = 500  # longest side, pixels, at which gaps in outlines are closed
OPEN_SHARE = 1 / 6  # of the drawing's longer side: the widest gap across which an empty place gets a number
POINTED_SHARE = 0.5  # the same where a place is pointed at: what a sixth of a round outline leaves open
BY_LINE = 0.65  # share of the rim of a place pointed at that is line at least; the rest is closed straight
STEPS = 6  # widths of gap tried, narrowest first
LEAST_EMPTY = 0.02  # of the drawing's box: smaller empty places need no number
MOST_EMPTY, MOST_PAINTED = 6, 12  # of each kind that are numbered
PAINT_LIGHT = 170  # level that glass and paper painted in have in every channel
PAINT_EVEN = 10  # levels by which one paint varies
LEAST_PAINTED = 0.004  # of the body
SAME_PAINT = (14, 14, 14, 40)  # levels, and alpha, by which a paint pointed at may vary from pixel to pixel
CLEAR_SHARE = 0.01  # of a picture that is empty where it stands on transparent ground, at least
BROADER = 1.5  # line weights from its edge to its middle that paint has, and line has not
BESIDE_LINE = 8  # pixels from a place on line to the area that is meant, at most


def more_areas(rgba: Pixels, ink: Pixels, body: Mask, known: Sequence[Opening]) -> tuple[Opening, ...]:
    """Numbered areas beyond the `known` ones: empty places first, which are open, then painted ones, which are shut."""
    found = [(mask, True) for mask in _empty_places(ink, body)]
    if _on_clear_ground(rgba):
        found += [(mask, False) for mask in _painted_places(ink, body)]
    first = len(known) + 1
    return tuple(_opening(number, mask, state) for number, (mask, state) in enumerate(found, first))


def area_at(
    ink: Pixels, body: Mask, place: tuple[int, int], is_open: bool, rgba: Pixels | None = None
) -> Mask | None:
    """The area at a place x, y that can be opened or shut as asked, bool (H, W), or None where there is none.

    Line is no area. Paint is one where the picture `rgba`, uint8 (H, W, 4), stands on transparent ground.
    """
    x, y = place
    height, width = body.shape
    if not (0 <= x < width and 0 <= y < height):
        return None
    if not is_open and body[y, x]:
        return None
    if not is_open:
        closed = _closed_around(ink[..., 3] >= LINE_ALPHA, (x, y))
        return closed if closed is not None else bare_room_at(ink, body, (x, y))
    if ink[y, x, 3] >= LINE_ALPHA:
        return _paint_at(ink, (x, y)) if rgba is not None and _on_clear_ground(rgba) else None
    return _part_at((body & (ink[..., 3] < LINE_ALPHA)).astype(np.uint8), (x, y)) if body[y, x] else None


def place_to_open(ink: Pixels, body: Mask, place: tuple[int, int]) -> tuple[int, int] | None:
    """The place x, y that is meant where `place` is to be opened: beside line, within `BESIDE_LINE` pixels of it.

    None where nothing but line is near: to open line would take it out of the drawing.
    """
    x, y = place
    if ink[y, x, 3] < LINE_ALPHA or _paint_at(ink, place) is not None:
        return place
    bare = (body & (ink[..., 3] < LINE_ALPHA)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(bare, connectivity=4)
    areas = stats[:, cv2.CC_STAT_AREA] >= max(LEAST_PIXELS, LEAST_SHARE * float(body.sum()))
    areas[0] = False  # and the tooth of paper in a pencil line is no area
    rows, columns = np.nonzero(areas[labels])
    if not len(rows):
        return None
    apart = np.hypot(columns - x, rows - y)
    nearest = int(apart.argmin())
    return (int(columns[nearest]), int(rows[nearest])) if apart[nearest] <= BESIDE_LINE else None


def opening_at(number: int, mask: Mask, is_open: bool) -> Opening:
    """An area that was pointed at, with the next number."""
    return _opening(number, mask, is_open)


def settle(ink: Pixels, body: Mask, openings: Iterable[Opening]) -> tuple[Pixels, Mask]:
    """Ink and body after switching: open paint is taken out of the ink, shut empty places are filled."""
    out, filled = ink, body
    for opening in openings:
        if opening.is_open and (ink[..., 3][opening.mask] >= LINE_ALPHA).mean() > 0.5:
            out = out.copy() if out is ink else out
            out[opening.mask] = 0
        elif not opening.is_open and not body[opening.mask].all():
            filled = filled | opening.mask
    return out, filled


def _opening(number: int, mask: Mask, is_open: bool) -> Opening:
    x, y, width, height = cv2.boundingRect(mask.astype(np.uint8))
    return Opening(number, (x, y, width, height), mask, is_open, float(is_open))


def _part_at(mask: Pixels, place: tuple[int, int]) -> Mask | None:
    """The connected part of a mask at x, y."""
    x, y = place
    if not mask[y, x]:
        return None
    _, labels = cv2.connectedComponents(mask, connectivity=4)
    return np.asarray(labels == labels[y, x])


def _on_clear_ground(rgba: Pixels) -> bool:
    return float((rgba[..., 3] <= EMPTY_ALPHA).mean()) > CLEAR_SHARE


def _paint_at(ink: Pixels, place: tuple[int, int]) -> Mask | None:
    """The light paint at a place x, y, such as glass; None where it is line or dark."""
    x, y = place
    if int(ink[y, x, :3].min()) < PAINT_LIGHT:
        return None
    paint = _same_paint(ink, place)
    depth = cv2.distanceTransform(np.pad(paint, 1).astype(np.uint8), cv2.DIST_L2, 5)
    return paint if float(depth.max()) > BROADER * pen_weight(ink[..., 3] >= LINE_ALPHA) else None


def _same_paint(ink: Pixels, place: tuple[int, int]) -> Mask:
    rgba = np.ascontiguousarray(ink[..., :3])
    framed = np.zeros((ink.shape[0] + 2, ink.shape[1] + 2), np.uint8)
    framed[1:-1, 1:-1] = (ink[..., 3] < LINE_ALPHA).astype(np.uint8)  # a flood stops where there is no ink
    reach = SAME_PAINT[:3]
    cv2.floodFill(rgba, framed, place, (0, 0, 0), reach, reach, 4 | cv2.FLOODFILL_MASK_ONLY | (2 << 8))
    return np.asarray(framed[1:-1, 1:-1] == 2)


def _reduced(line: Mask) -> tuple[Mask, float]:
    scale = min(1.0, WORKING_SIDE / max(line.shape))
    size = max(1, round(line.shape[1] * scale)), max(1, round(line.shape[0] * scale))
    small = cv2.resize(line.astype(np.uint8) * 255, size, interpolation=cv2.INTER_AREA)
    return np.asarray(small > 40), scale


def _gaps(line: Mask, share: float = OPEN_SHARE, steps: int = STEPS) -> list[float]:
    """Half widths of gaps to close, in pixels of the reduced line, narrowest first."""
    box = cv2.boundingRect(line.astype(np.uint8))
    widest = share * max(box[2:]) / 2
    return [float(v) for v in np.geomspace(max(1.0, widest / 8), max(1.5, widest), steps)]


def _rooms(line: Mask, gap: float) -> tuple[Mask, NDArray[np.int32]]:
    """What is outside once gaps are closed, and the labelled rest, both with the line grown by the gap."""
    rim = int(np.ceil(gap)) + 2  # so wide that nothing beside the drawing counts as cut off
    framed = np.pad(line, rim)
    away = cv2.distanceTransform((~framed).astype(np.uint8), cv2.DIST_L2, 5)
    _, labels = cv2.connectedComponents((away > gap).astype(np.uint8), connectivity=4)
    outside = labels == labels[0, 0]
    inner = np.where(outside, 0, labels)[rim:-rim, rim:-rim]
    return outside[rim:-rim, rim:-rim], np.asarray(inner, np.int32)


def _closed_around(line: Mask, place: tuple[int, int]) -> Mask | None:
    """The place that an outline goes round at x, y, gaps of up to a sixth closed; None where it lies open."""
    small, scale = _reduced(line)
    x = min(small.shape[1] - 1, round(place[0] * scale))
    y = min(small.shape[0] - 1, round(place[1] * scale))
    for gap in _gaps(small, POINTED_SHARE, 2 * STEPS):
        _, rooms = _rooms(small, gap)
        label = _near_label(rooms, (x, y), gap)
        if label:
            return _closed_straight(_grown_back(rooms == label, small, gap, line), line, 2 / scale + 1)
    return None


def _closed_straight(room: Mask, line: Mask, reach: float) -> Mask | None:
    """A room with its mouths closed straight from line to line; None where line bounds too little of it."""
    contours = cv2.findContours(room.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]
    if not contours:
        return None
    contour = max(contours, key=cv2.contourArea)[:, 0]
    away = cv2.distanceTransform((~line).astype(np.uint8), cv2.DIST_L2, 5)
    by_line = contour[away[contour[:, 1], contour[:, 0]] <= reach]
    if len(by_line) < BY_LINE * len(contour):
        return None
    if len(by_line) == len(contour):
        return room
    closed = np.zeros(line.shape, np.uint8)
    cv2.fillPoly(closed, [by_line], 1)
    _, labels = cv2.connectedComponents(closed * ~line, connectivity=4)
    kept = np.unique(labels[room])
    return _with_corners(np.asarray(np.isin(labels, kept[kept > 0])), line)


def _with_corners(room: Mask, line: Mask) -> Mask:
    """A room with the corners between it and its line."""
    free = np.pad(~(room | line), 1, constant_values=True).astype(np.uint8)
    _, framed = cv2.connectedComponents(free, connectivity=4)
    labels = framed[1:-1, 1:-1]
    beside = cv2.dilate(room.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    corners = np.setdiff1d(np.unique(labels[beside & ~room & ~line]), (0, framed[0, 0]))
    return np.asarray(room | np.isin(labels, corners))


def _near_label(rooms: NDArray[np.int32], place: tuple[int, int], gap: float) -> int:
    x, y = place
    reach = int(gap) + 1
    near = rooms[max(0, y - reach) : y + reach + 1, max(0, x - reach) : x + reach + 1]
    inside = near[near > 0]
    return int(rooms[y, x] or (np.bincount(inside).argmax() if inside.size else 0))


def _grown_back(room: Mask, small: Mask, gap: float, line: Mask) -> Mask:
    """A room grown up to its outline again, at full size."""
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * int(np.ceil(gap)) + 1,) * 2)
    grown = (cv2.dilate(room.astype(np.uint8), disc) > 0) & ~small
    _, labels = cv2.connectedComponents(grown.astype(np.uint8), connectivity=4)
    kept = np.isin(labels, np.unique(labels[room & grown])) & grown
    kept = cv2.dilate(kept.astype(np.uint8), np.ones((3, 3), np.uint8))
    large = cv2.resize(kept, line.shape[::-1], interpolation=cv2.INTER_NEAREST) > 0
    return np.asarray(large & ~line)


def _empty_places(ink: Pixels, body: Mask) -> list[Mask]:
    line = ink[..., 3] >= LINE_ALPHA
    if not line.any():
        return []
    small, scale = _reduced(line)
    inside, _ = _reduced(body)
    _, _, width, height = cv2.boundingRect(small.astype(np.uint8))
    found: list[Mask] = []
    taken = inside.copy()
    for gap in _gaps(small)[1::2]:
        _, rooms = _rooms(small, gap)
        counts = np.bincount(rooms[~taken], minlength=int(rooms.max()) + 1)
        counts[0] = 0
        for label in np.argsort(-counts)[:MOST_EMPTY]:
            room = rooms == label
            if counts[label] < LEAST_EMPTY * width * height or (room & taken).sum() > 0.2 * room.sum():
                continue
            mask = _grown_back(room, small, gap, line) & ~body
            taken |= room
            if len(found) < MOST_EMPTY:
                straight = _closed_straight(mask, line | body, 2 / scale + 1)
                found.append(mask if straight is None else straight & ~body)
    return found


def _painted_places(ink: Pixels, body: Mask) -> list[Mask]:
    """Light, even paint inside a drawing that may stand for glass or paper."""
    light = (ink[..., :3].min(axis=2) >= PAINT_LIGHT) & (ink[..., 3] > 250)
    steps = cv2.morphologyEx(
        np.ascontiguousarray(ink[..., :3]), cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)
    )
    even = (light & (steps.max(axis=2) <= PAINT_EVEN)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(even, connectivity=4)
    least = LEAST_PAINTED * float(body.sum())
    order = 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA])[:MOST_PAINTED]
    disc = np.ones((3, 3), np.uint8)
    return [
        np.asarray((cv2.dilate((labels == k).astype(np.uint8), disc) > 0) & light)
        for k in order
        if stats[k, cv2.CC_STAT_AREA] >= least
    ]
