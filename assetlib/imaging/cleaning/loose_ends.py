"""Places that the loose ends of two strokes enclose: a sleeve beside its shoulder, a forearm that runs out.

Such a mouth is wider than a gap that a slip of the pen leaves, so a ball gets through it. What tells it is the two
strokes that end there, side by side, and the room behind them, which is no narrower than the mouth.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]

# Line weights around a point at which ink is looked for: once near an end, and once farther down its stroke.
NEAR, FAR = 2.0, 4.0
PARTED = (3.0, 5.0, 7.0, 9.0)  # line weights at which two lines that meet in a point have body between them
LEAST_NEAR = 3.0  # pixels
SAMPLES = 32  # directions looked in
# Of all directions, near and far: ink in more of them is a shape's corner, no stroke.
NARROW, NARROW_FAR = 0.25, 0.13
BEHIND, STRAIGHT = 0.35, 0.85  # cosine of the angle to the stroke within which ink farther down is looked for
# Widest mouth as a share of the drawing's diagonal, and of one beyond which nothing is drawn. Tuned on made gaps.
WIDEST, WIDEST_LAST = 0.06, 0.3
# The same of a mouth across which two strokes run toward each other, and the cosine of the angle to it within which
# they do. Tuned on made gaps.
WIDEST_FACING, FACING = 0.16, 0.6
BACKWARD = -0.5  # cosine: a mouth does not lie back along its own stroke
PARALLEL = 0.9  # cosine between two strokes that run out side by side: more apart, they are a fork
# Half mouths that the room behind holds: more than one between two spikes, which grows narrower from its mouth on;
# less where a drawing runs out, as a sleeve widens towards its end.
ROOMY, ROOMY_LAST = 1.2, 0.6
MOST_ENDS = 400  # more is hatching or grain


@dataclass(frozen=True, slots=True)
class _Ends:
    """Ends of strokes: `at` (n, 2) row and column, `way` (n, 2) unit vectors on which the strokes run out.

    `part` (n,) numbers the ink that hangs together with the stroke, `size` (n,) is how far that extends in pixels.
    `is_stub` (n,) tells strokes that have body close behind them: perhaps the corner of a shape, and an end only where
    another faces it.
    """

    at: NDArray[np.int64]
    way: Floats
    part: NDArray[np.int64]
    size: NDArray[np.int64]
    is_stub: Mask


@dataclass(frozen=True, slots=True)
class _Mouth:
    """A straight mouth between two ends; `is_last` where nothing is drawn beyond it."""

    start: tuple[int, int]
    end: tuple[int, int]
    is_last: bool

    @property
    def width(self) -> float:
        return float(np.hypot(self.start[0] - self.end[0], self.start[1] - self.end[1]))


def behind_loose_ends(line: Mask, outside: Mask, pen: float) -> Mask:
    """What of the outside lies behind a mouth between two loose ends; bool (H, W).

    `line` and `outside` bool (H, W), empty along the rim of the picture; `pen` is the line weight in pixels.
    """
    ends = _find_ends(line, outside, pen)
    nothing = np.zeros_like(line)
    if not 2 <= len(ends.at) <= MOST_ENDS:
        return nothing
    mouths = _find_mouths(line, outside, ends, pen)
    if not mouths:
        return nothing
    shut = line.astype(np.uint8)
    for mouth in mouths:
        cv2.line(shut, mouth.start[::-1], mouth.end[::-1], 1, 1, cv2.LINE_4)
    rooms = _cut_off(shut, outside)
    behind = rooms & _roomy(shut, rooms, mouths)
    # where a mouth lies between two rooms nothing of it is left open
    beside = cv2.dilate(behind.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    return np.asarray(behind | (beside & (shut > 0) & ~line), bool)


def _find_ends(line: Mask, outside: Mask, pen: float) -> _Ends:
    """Where strokes end: ink goes on from there in one narrow direction alone, near and farther down."""
    near, far = max(LEAST_NEAR, NEAR * pen), max(2 * LEAST_NEAR, FAR * pen)
    core = cv2.erode(line.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    at = np.argwhere(line & ~core)
    ways, inked = _look_around(line, at, near)
    single = (_runs(inked) == 1) & (inked.mean(axis=1) <= NARROW)
    at, inked = at[single], inked[single]
    back = inked @ ways / np.maximum(inked.sum(axis=1), 1)[:, None]
    back /= np.maximum(np.hypot(back[:, 0], back[:, 1]), 1e-6)[:, None]
    _, farther = _look_around(line, at, far)
    farther &= back @ ways.T >= BEHIND
    goes_on = (_runs(farther) == 1) & (farther.mean(axis=1) <= NARROW_FAR)
    parts = np.zeros(len(at), bool)
    for reach in PARTED:
        _, within = _look_around(~line & ~outside, at, reach * pen)
        parts |= (within & (back @ ways.T >= STRAIGHT)).any(axis=1)
    at, way, stub = _outermost(line.shape, at[goes_on], -back[goes_on], parts[goes_on])
    sizes, labels = _sizes(line.astype(np.uint8))
    part = labels[at[:, 0], at[:, 1]].astype(np.int64)
    return _Ends(at, way, part, sizes[part], stub)


def _look_around(line: Mask, at: NDArray[np.int64], radius: float) -> tuple[Floats, Mask]:
    """The directions looked in, (SAMPLES, 2), and where ink lies at `radius` from each of n places, (n, SAMPLES)."""
    angles = np.arange(SAMPLES) * (2 * np.pi / SAMPLES)
    ways = np.stack([np.sin(angles), np.cos(angles)], axis=1)
    rows, columns = (at[:, k, None] + np.rint(radius * ways[:, k]).astype(np.int64) for k in (0, 1))
    height, width = line.shape
    within = (rows >= 0) & (rows < height) & (columns >= 0) & (columns < width)
    return ways, line[np.clip(rows, 0, height - 1), np.clip(columns, 0, width - 1)] & within


def _runs(inked: Mask) -> NDArray[np.int64]:
    """How often ink begins on the way round; (n,)."""
    return np.asarray((inked & ~np.roll(inked, 1, axis=1)).sum(axis=1), np.int64)


def _sizes(ink: NDArray[np.uint8]) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    """The longer side of every connected part of the ink, 0 for the ground, and the parts' labels."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(ink, connectivity=8)
    sizes = stats[:, [cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT]].max(axis=1).astype(np.int64)
    sizes[0] = 0
    return sizes, np.asarray(labels, np.int32)


def _outermost(
    shape: tuple[int, ...], at: NDArray[np.int64], way: Floats, stub: Mask
) -> tuple[NDArray[np.int64], Floats, Mask]:
    """Of places that hang together, the one farthest out, the way its stroke runs out, and whether all are stubs."""
    found = np.zeros(shape, np.uint8)
    found[at[:, 0], at[:, 1]] = 1
    count, labels = cv2.connectedComponents(found, connectivity=8)
    own = labels[at[:, 0], at[:, 1]]
    chosen, ways, stubs = [], [], []
    for label in range(1, count):
        members = np.flatnonzero(own == label)
        mean = way[members].mean(axis=0)
        mean /= max(1e-6, float(np.hypot(*mean)))
        chosen.append(at[members[int((at[members] @ mean).argmax())]])
        ways.append(mean)
        stubs.append(bool(stub[members].all()))
    ways_out = np.array(ways, float).reshape(-1, 2)
    return np.array(chosen, np.int64).reshape(-1, 2), ways_out, np.array(stubs, bool)


def _find_mouths(line: Mask, outside: Mask, ends: _Ends, pen: float) -> list[_Mouth]:
    """Mouths between ends each of which is the other's nearest across open ground."""
    drawn = cv2.boundingRect(line.astype(np.uint8))[2:]
    diagonal = float(np.hypot(*drawn))
    apart = ends.at[None] - ends.at[:, None]
    width = np.hypot(apart[..., 0], apart[..., 1])
    toward = apart / np.maximum(width, 1e-6)[..., None]
    forward = np.einsum("ijk,ik->ij", toward, ends.way)
    # a crease in a sleeve is no side of it
    fits = (
        (width > 0) & (width <= np.minimum(ends.size, ends.size[:, None])) & (width <= WIDEST_LAST * diagonal)
    )
    fits &= (forward >= BACKWARD) & (forward.T >= BACKWARD)
    # one stroke that was lifted and set down again goes on straight
    facing = (forward >= FACING) & (forward.T >= FACING) & (width <= WIDEST_FACING * diagonal)
    stubs = ends.is_stub | ends.is_stub[:, None]
    # two strokes of one drawing run out together; two birds that fly side by side hold nothing
    side_by_side = ~stubs & (ends.way @ ends.way.T >= PARALLEL) & (ends.part == ends.part[:, None])
    near = ~stubs & (width <= WIDEST * diagonal)
    found: dict[tuple[int, int], _Mouth] = {}
    cost = np.full(width.shape, np.inf)
    for i, j in np.argwhere(np.triu(fits & (near | side_by_side | facing))).tolist():
        start, end = (ends.at[k] for k in (i, j))
        is_last = not (near[i, j] or facing[i, j])
        if not _is_open(outside, start, end, pen):
            continue
        if is_last and not _nothing_beyond(line, start, end, ends.way[i] + ends.way[j], pen):
            continue
        cost[i, j] = cost[j, i] = width[i, j]
        found[i, j] = _Mouth((int(start[0]), int(start[1])), (int(end[0]), int(end[1])), is_last)
    nearest = cost.argmin(axis=1)
    return [mouth for (i, j), mouth in found.items() if nearest[i] == j and nearest[j] == i]


def _is_open(outside: Mask, start: NDArray[np.int64], end: NDArray[np.int64], pen: float) -> bool:
    """Whether the way from one end to the other leads over the outside alone."""
    steps = _between(start, end)
    skipped = int(pen) + 2
    inner = steps[skipped:-skipped] if len(steps) > 2 * skipped else steps[len(steps) // 2 :][:1]
    return bool(outside[inner[:, 0], inner[:, 1]].all())


def _between(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[np.int64]:
    count = int(np.abs(end - start).max()) + 1
    return np.rint(start + np.linspace(0, 1, count)[:, None] * (end - start)).astype(np.int64)


def _nothing_beyond(
    line: Mask, start: NDArray[np.int64], end: NDArray[np.int64], way: Floats, pen: float
) -> bool:
    """Whether no ink lies in front of a mouth, in the strip as wide as the mouth that leads out of the picture."""
    way = way / max(1e-6, float(np.hypot(*way)))
    across = _between(start, end)
    bottom = np.array(line.shape) - 1
    for step in np.arange(2 * pen + 2, float(np.hypot(*line.shape)), 2.0):
        ahead = np.rint(across + step * way).astype(np.int64)
        ahead = ahead[(ahead >= 0).all(axis=1) & (ahead <= bottom).all(axis=1)]
        if len(ahead) == 0:
            return True
        if line[ahead[:, 0], ahead[:, 1]].any():
            return False
    return True


def _cut_off(shut: NDArray[np.uint8], outside: Mask) -> Mask:
    """What of the outside cannot be reached any more; the upper left corner is outside."""
    free = (outside & (shut == 0)).astype(np.uint8)
    cv2.floodFill(free, None, (0, 0), 2, flags=4)
    return np.asarray(free == 1)


def _roomy(shut: NDArray[np.uint8], rooms: Mask, mouths: list[_Mouth]) -> Mask:
    """Which rooms are as wide as their mouths, and run out on one side at most: two strokes alone hold nothing."""
    count, labels = cv2.connectedComponents(rooms.astype(np.uint8), connectivity=4)
    sizes, parts = _sizes(shut)
    widest, last = np.zeros(count), np.zeros(count, np.int64)
    for mouth in mouths:
        beside = _rooms_beside(labels, mouth)
        widest[beside] = np.maximum(widest[beside], mouth.width)
        last[beside] += mouth.is_last
    kept = (widest > 0) & (last <= 1)
    kept[0] = False
    for room in np.flatnonzero(kept):
        # creases and buttons do not make a room narrow
        walls = (sizes >= widest[room])[parts]
        away = cv2.distanceTransform((~walls).astype(np.uint8), cv2.DIST_L2, 5)
        needed = (ROOMY_LAST if last[room] else ROOMY) * widest[room] / 2
        own = labels == room
        kept[room] = float(away[own].max()) >= needed or _depth_with_what_it_holds(own) >= needed
    return np.asarray(kept[labels])


def _depth_with_what_it_holds(room: Mask) -> float:
    """How far into a room and what stands free in it one gets, in pixels: a rim around a sign is no narrow room."""
    x, y, w, h = cv2.boundingRect(room.astype(np.uint8))
    own = np.pad(room[y : y + h, x : x + w], 1)
    around = (~own).astype(np.uint8)
    cv2.floodFill(around, None, (0, 0), 0, flags=4)
    filled = own | (around > 0)
    return float(cv2.distanceTransform(filled.astype(np.uint8), cv2.DIST_L2, 5).max())


def _rooms_beside(labels: NDArray[np.int32], mouth: _Mouth) -> NDArray[np.int64]:
    """The rooms on either side of a mouth."""
    middle = (np.array(mouth.start) + np.array(mouth.end)) // 2
    top, left = np.maximum(middle - 3, 0)
    return np.setdiff1d(np.unique(labels[top : middle[0] + 4, left : middle[1] + 4]), [0])
