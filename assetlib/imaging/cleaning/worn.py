"""What paper loses: torn edges, beyond which the table or the scanner shows, and the rows of holes of a binding."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

OFF_PAGE = 40.0  # levels from paper that what lies beyond a torn edge differs by, at least
ALONG = 0.6  # share of a side along which it does
DEEPEST = 0.08  # of the page across that side
UNEVEN = 0.0015  # of the side's length: a straighter strip is a scanner's edge, which the page is cut to
RIM = 0.006  # of the longer side: the bare fibres of a tear, and its shade
HOLE_SIZE = (0.004, 0.02)  # of the longer side: holes of a spiral or comb, round or square
IN_LINE = 0.006  # of the longer side that they stand off their line
FROM_EDGE = 0.06  # of the page: how far from its edge they are
LEAST_HOLES = 8
EVENLY = 0.35  # of their usual distance that one may be off


def find_torn_edges(strength: Floats) -> Iterator[Mask]:
    """Strips along a side beyond a jagged edge, bool (H, W) each; `strength` is how far pixels are from the paper."""
    for turns in range(4):
        field = np.rot90(strength, turns)
        height, width = field.shape
        reach = max(4, round(DEEPEST * height))
        off = field[: 2 * reach] > OFF_PAGE
        depth = np.where(off.all(axis=0), 2 * reach, off.argmin(axis=0)).astype(np.float64)
        torn = depth > 1
        if float(torn.mean()) < ALONG or float(np.quantile(depth, 0.9)) > reach:
            continue
        if _jaggedness(np.flatnonzero(torn), depth[torn]) < UNEVEN * width:
            continue
        if _step(field, np.flatnonzero(torn), depth[torn]) < OFF_PAGE:
            continue  # the shade of a lifted edge grows paler by and by
        # ink that touches the tear is not torn off with it
        depth = np.minimum(depth, reach)
        rim = max(2, round(RIM * max(height, width)))
        mask = np.arange(height)[:, None] < np.where(torn, depth + rim, 0)[None]
        yield np.ascontiguousarray(np.rot90(mask, -turns))


def _step(field: Floats, at: NDArray[np.int64], depth: NDArray[np.float64]) -> float:
    """How much nearer to paper it becomes within some pixels of an edge."""
    reach = max(3, round(0.004 * max(field.shape)))
    rows = np.rint(depth).astype(np.int64)
    beyond, within = (field[np.clip(rows + by, 0, len(field) - 1), at] for by in (-2, reach))
    return float(np.median(beyond - within))


def _jaggedness(at: NDArray[np.int64], depth: NDArray[np.float64]) -> float:
    """How far an edge is, on average, from the straight or bowed line along it."""
    along = (at - at.mean()) / max(1, len(at))
    line = np.polynomial.Polynomial.fit(along, depth, 2)
    return float(np.median(np.abs(depth - line(along))))


def find_binding(strength: Floats, marks_from: float) -> Iterator[Mask]:
    """The holes of a spiral or comb, bool (H, W) all in one: many small marks of one size, evenly in a line."""
    height, width = strength.shape
    long = max(height, width)
    marks = (strength > marks_from).astype(np.uint8)
    _, labels, stats, centres = cv2.connectedComponentsWithStats(marks, connectivity=8)
    sides = stats[:, 2:4]
    low, high = HOLE_SIZE
    small = (sides.max(axis=1) <= high * long) & (sides.min(axis=1) >= low * long)
    small &= stats[:, 4] > 0.6 * sides.prod(axis=1)
    small[0] = False
    for axis, across in ((0, width), (1, height)):
        for far_side in (False, True):
            away = across - centres[:, axis] if far_side else centres[:, axis]
            near = np.flatnonzero(small & (away < FROM_EDGE * across))
            row = _row(near, centres, axis, IN_LINE * long)
            if len(row) < LEAST_HOLES:
                continue
            own = np.isin(labels, row).astype(np.uint8)
            grown = max(3, round(0.002 * long)) | 1
            yield cv2.dilate(own, np.ones((grown, grown), np.uint8)) > 0


def _row(
    spots: NDArray[np.int64], centres: NDArray[np.float64], axis: int, slack: float
) -> NDArray[np.int64]:
    """Those spots that stand in one line at even distances."""
    if len(spots) < LEAST_HOLES:
        return spots[:0]
    line = np.median(centres[spots, axis])
    spots = spots[np.abs(centres[spots, axis] - line) <= slack]
    if len(spots) < LEAST_HOLES:
        return spots[:0]
    along = np.sort(centres[spots, 1 - axis])
    gaps = np.diff(along)
    steps = gaps / np.median(gaps)
    even = np.abs(steps - np.maximum(1, np.rint(steps))) < EVENLY
    return spots if float(even.mean()) > 0.8 else spots[:0]
