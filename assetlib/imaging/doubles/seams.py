"""Drawings that touch or overlap on a crowded page, taken apart along the seams that cross the least ink."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.normalise import INK, Box, Drawing, Pixels, cut, extent
from assetlib.imaging.doubles.parts import Part

CUTS = 3
"""How often a page is cut: rows, the drawings of a row, and what stands over each other there."""

_MOST_CROSSED = 0.12
"""Inked steps of a seam, as a share of its length, up to which it is one: a line or two crossed."""

_LEAST_WIDTH = 0.10
_LEAST_SIDE = 20
_SLOPE = 2
_INK_COST = 16
_LARGEST_SCRAP = 0.10
_NOWHERE = 1 << 20

Mask = NDArray[np.bool_]


def parts_along_seams(drawing: Drawing) -> list[Part]:
    """Pieces of a drawing, larger before the pieces they are cut into.

    A seam runs from edge to edge, aside by at most two pixels a step (Avidan and Shamir 2007). The page is cut along
    its cheapest seams across or down, and each piece again.
    """
    if drawing.box is None:
        return []
    ink, box = drawing.ink, drawing.box
    marks = (cut(ink, box) > INK).astype(np.uint8)
    halved = cv2.dilate(marks, np.ones((2, 2), np.uint8), anchor=(0, 0))[::2, ::2] > 0
    pieces: list[tuple[Box, Mask]] = []
    _cut(halved, np.ones_like(halved), CUTS, pieces)
    parts = [_part(ink, box, *piece) for piece in pieces]
    return [part for part in parts if max(part.ink.shape) >= 2 * _LEAST_SIDE]


def _part(ink: Pixels, box: Box, inner: Box, mask: Mask) -> Part:
    """The part of the ink under a mask at half size."""
    left, top = box[0] + 2 * inner[0], box[1] + 2 * inner[1]
    right, bottom = min(box[0] + 2 * inner[2], box[2]), min(box[1] + 2 * inner[3], box[3])
    large = mask.repeat(2, axis=0).repeat(2, axis=1)[: bottom - top, : right - left]
    alone = np.where(large, ink[top:bottom, left:right], 0).astype(np.uint8)
    trimmed = extent(alone > INK) or (0, 0, right - left, bottom - top)
    placed = (left + trimmed[0], top + trimmed[1], left + trimmed[2], top + trimmed[3])
    return Part(placed, cut(alone, trimmed))


def _cut(marks: Mask, region: Mask, cuts: int, pieces: list[tuple[Box, Mask]]) -> None:
    box = extent(marks & region)
    if cuts == 0 or box is None or max(box[2] - box[0], box[3] - box[1]) < _LEAST_SIDE:
        return
    view = np.s_[box[1] : box[3], box[0] : box[2]]
    inside, near = region[view], (marks & region)[view]
    down, across = _seams(near, inside), _seams(near.T, inside.T)
    if not down and not across:
        return
    upright = bool(down) and (not across or _mean_cost(down) <= _mean_cost(across))
    for strip in _strips(
        inside if upright else inside.T, [path for _, path in (down if upright else across)]
    ):
        part = np.zeros_like(region)
        part[view] = strip if upright else strip.T
        kept = _without_scraps(marks & part)
        inner = extent(kept)
        if inner is None or max(inner[2] - inner[0], inner[3] - inner[1]) < _LEAST_SIDE // 2:
            continue
        pieces.append((inner, kept[inner[1] : inner[3], inner[0] : inner[2]]))
        _cut(marks, part & (kept | ~marks), cuts - 1, pieces)


def _mean_cost(seams: list[tuple[float, NDArray[np.int64]]]) -> float:
    return float(np.mean([cost for cost, _ in seams]))


def _seams(marks: Mask, inside: Mask) -> list[tuple[float, NDArray[np.int64]]]:
    """The cheap seams from top to bottom: share of inked steps and columns (H,), from left to right."""
    high, wide = marks.shape
    least = max(_LEAST_SIDE // 2, int(_LEAST_WIDTH * wide))
    if wide < 2 * least:
        return []
    cost = np.where(marks, _INK_COST, 0).astype(np.int32)
    total = np.empty_like(cost)
    total[0] = cost[0]
    kernel = np.ones((1, 2 * _SLOPE + 1), np.uint8)
    for y in range(1, high):
        row = total[y - 1].astype(np.float32)[None]
        total[y] = cost[y] + cv2.erode(row, kernel)[0]
    last = total[-1]
    found: list[tuple[float, NDArray[np.int64]]] = []
    taken = np.zeros(wide, np.bool_)
    taken[:least] = taken[wide - least :] = True
    for x in np.argsort(last, kind="stable").tolist():
        if last[x] > _MOST_CROSSED * _INK_COST * high:
            break
        if taken[x]:
            continue
        path = _traced(total, x)
        taken[max(0, x - least) : x + least] = True
        if path.min() < least // 2 or path.max() >= wide - least // 2:
            continue
        if any(int((np.abs(path - other)).min()) < least // 2 for _, other in found):
            continue
        found.append((float(last[x]) / _INK_COST / high, path))
    return sorted(found, key=lambda seam: int(seam[1][0]))


def _traced(total: NDArray[np.int32], x: int) -> NDArray[np.int64]:
    high = len(total)
    path = np.empty(high, np.int64)
    path[-1] = x
    for y in range(high - 2, -1, -1):
        left = max(0, x - _SLOPE)
        row = total[y, left : x + _SLOPE + 1]
        low = np.flatnonzero(row == row.min()) + left
        x = int(low[np.argmin(np.abs(low - x))])
        path[y] = x
    return path


def _strips(inside: Mask, paths: list[NDArray[np.int64]]) -> list[Mask]:
    columns = np.arange(inside.shape[1])[None]
    bounds = [np.zeros(len(inside), np.int64), *paths, np.full(len(inside), inside.shape[1], np.int64)]
    return [
        inside & (columns >= start[:, None]) & (columns < stop[:, None]) for start, stop in pairwise(bounds)
    ]


def _without_scraps(marks: Mask) -> Mask:
    """The marks less small ones that stand far from the largest: ends of lines of the drawing beside."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(marks.astype(np.uint8), connectivity=8)
    if len(stats) <= 2:
        return marks
    sides = stats[1:, 2:4].max(axis=1)
    small = np.flatnonzero(sides < _LARGEST_SCRAP * sides.max()) + 1
    return marks if len(small) == 0 else marks & ~np.isin(labels, small)
