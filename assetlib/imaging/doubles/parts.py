"""The parts of a picture that may be drawings of their own: on a sheet, in a frame, pasted beside."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.normalise import INK, Box, Drawing, Pixels, cut, extent

MOST_PARTS = 40
"""Parts kept of one picture, largest first: the rows, the drawings and some of the pieces of a sheet of 12 or 20."""

MERGE_DISTANCES = (1.0, 2.0, 4.0, 7.0, 11.0, 17.0)
"""Pixels at work size within which marks are taken together, tried one after the other."""

SMALLEST_SHARE = 0.10
"""Longest side of a part, as a share of the picture's longest side; smaller ones are detail."""

_SMALLEST_SIDE = 16.0
_WHOLE_SHARE = 0.93
_GAPS_TRIED = 4
_CELLS_OF_SHEET = 8
_CUTS = 4
_LIKE_WIDEST = 0.4
_NARROWEST_GAP = 2


@dataclass(frozen=True, slots=True)
class Part:
    """A part's box in the picture at work size, and its ink alone (box-sized)."""

    box: Box
    ink: Pixels


def find_parts(drawing: Drawing, most: int = MOST_PARTS) -> list[Part]:
    """Groups of marks that stand together, at several distances and on either side of a gap."""
    if drawing.box is None:
        return []
    mask = np.asarray(drawing.ink > INK, dtype=np.uint8)
    cells = _cells(drawing.ink, mask, drawing.box)
    found = _clusters(drawing.ink, mask) + cells
    if len(cells) < _CELLS_OF_SHEET:
        found += _sides_of_gaps(drawing.ink, mask, drawing.box)
    found = [part for part in found if _worth_keeping(part.box, drawing)]
    found.sort(key=lambda part: -_area(part.box))
    return with_more([], found, most)


def with_more(parts: list[Part], more: list[Part], most: int = 2 * MOST_PARTS) -> list[Part]:
    """The parts, and of the others those that lie elsewhere, at most so many in all."""
    kept = list(parts)
    for part in more:
        if len(kept) < most and not any(_nearly_same(part.box, other.box) for other in kept):
            kept.append(part)
    return kept


def _clusters(ink: Pixels, mask: Pixels) -> list[Part]:
    distance = cv2.distanceTransform(1 - mask, cv2.DIST_L2, 3)
    parts: list[Part] = []
    before = -1
    for reach in MERGE_DISTANCES:
        near = np.asarray(distance <= reach, dtype=np.uint8)
        count, labels, stats, _ = cv2.connectedComponentsWithStats(near, connectivity=8, ltype=cv2.CV_16U)
        if count == before:
            continue
        before = count
        parts += [part for label in _largest(stats) if (part := _part_of(ink, mask, labels, stats, label))]
        if count == 2:
            break
    return parts


def _largest(stats: NDArray[np.int32]) -> list[int]:
    sides = np.maximum(stats[1:, cv2.CC_STAT_WIDTH], stats[1:, cv2.CC_STAT_HEIGHT])
    order = np.argsort(-sides, kind="stable")[:MOST_PARTS]
    return [int(label) + 1 for label in order if sides[label] >= _SMALLEST_SIDE]


def _part_of(
    ink: Pixels, mask: Pixels, labels: NDArray[np.uint16], stats: NDArray[np.int32], label: int
) -> Part | None:
    left, top, width, height = (int(value) for value in stats[label, :4])
    here = labels[top : top + height, left : left + width] == label
    return _trimmed(
        np.where(here, ink[top : top + height, left : left + width], 0).astype(np.uint8),
        here & (mask[top : top + height, left : left + width] > 0),
        left,
        top,
    )


def _trimmed(ink: Pixels, marks: NDArray[np.bool_], left: int, top: int) -> Part | None:
    inner = extent(marks)
    if inner is None:
        return None
    box = (left + inner[0], top + inner[1], left + inner[2], top + inner[3])
    return Part(box, cut(ink, inner))


def _cells(ink: Pixels, mask: Pixels, box: Box, cuts: int = _CUTS) -> list[Part]:
    """What is left when a picture is cut along its widest empty strips, and each piece again (Nagy and Seth 1984).

    Drawings of several pieces stay whole this way where the sheet has rows or columns.
    """
    left, top, right, bottom = box
    inside = cut(mask, box)
    across = _widest_gaps(np.asarray(inside.any(axis=0)), None)
    down = _widest_gaps(np.asarray(inside.any(axis=1)), None)
    widest = max((stop - start for start, stop in across + down), default=0)
    if cuts == 0 or widest == 0:
        return []
    along_x = bool(across) and across[0][1] - across[0][0] == widest
    gaps = sorted(gap for gap in (across if along_x else down) if gap[1] - gap[0] >= _LIKE_WIDEST * widest)
    starts = [0, *(stop for _, stop in gaps)]
    stops = [*(start for start, _ in gaps), (right - left) if along_x else (bottom - top)]
    parts: list[Part] = []
    for start, stop in zip(starts, stops, strict=True):
        strip = (
            (left + start, top, left + stop, bottom) if along_x else (left, top + start, right, top + stop)
        )
        part = _piece(ink, mask, strip)
        if part is not None and max(part.ink.shape) >= _SMALLEST_SIDE:
            parts += [part, *_cells(ink, mask, part.box, cuts - 1)]
    return parts


def _sides_of_gaps(ink: Pixels, mask: Pixels, box: Box) -> list[Part]:
    left, top, right, bottom = box
    inside = mask[top:bottom, left:right]
    parts: list[Part | None] = []
    for start, stop in _widest_gaps(np.asarray(inside.any(axis=0))):
        parts.append(_piece(ink, mask, (left, top, left + start, bottom)))
        parts.append(_piece(ink, mask, (left + stop, top, right, bottom)))
    for start, stop in _widest_gaps(np.asarray(inside.any(axis=1))):
        parts.append(_piece(ink, mask, (left, top, right, top + start)))
        parts.append(_piece(ink, mask, (left, top + stop, right, bottom)))
    return [part for part in parts if part is not None]


def _piece(ink: Pixels, mask: Pixels, box: Box) -> Part | None:
    if box[2] <= box[0] or box[3] <= box[1]:
        return None
    return _trimmed(cut(ink, box), cut(mask, box) > 0, box[0], box[1])


def _widest_gaps(inked: NDArray[np.bool_], most: int | None = _GAPS_TRIED) -> list[tuple[int, int]]:
    steps = np.flatnonzero(np.diff(inked.astype(np.int8)))
    runs = [(int(a) + 1, int(b) + 1) for a, b in pairwise(steps) if not inked[a + 1]]
    runs = [run for run in runs if run[1] - run[0] >= _NARROWEST_GAP]
    return sorted(runs, key=lambda run: run[0] - run[1])[:most]


def _worth_keeping(box: Box, drawing: Drawing) -> bool:
    whole = drawing.box
    assert whole is not None
    longest = max(drawing.ink.shape) * SMALLEST_SHARE
    if (
        max(box[2] - box[0], box[3] - box[1]) < max(_SMALLEST_SIDE, longest)
        or min(box[2] - box[0], box[3] - box[1]) < 4
    ):
        return False
    return box[2] - box[0] < _WHOLE_SHARE * (whole[2] - whole[0]) or box[3] - box[1] < _WHOLE_SHARE * (
        whole[3] - whole[1]
    )


def _area(box: Box) -> int:
    return (box[2] - box[0]) * (box[3] - box[1])


def _nearly_same(one: Box, other: Box) -> bool:
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    if width <= 0 or height <= 0:
        return False
    shared = width * height
    return shared > 0.93 * (_area(one) + _area(other) - shared)
