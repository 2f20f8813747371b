"""Enclosed areas parted where only a gap in the line between them joins them: a handle's hole and its rim.

Two rooms of one area are two where the passage between them is narrow beside both, and line runs between them for the
most part; a band that is narrow in one place has no line between its parts.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grouping import grouped
from assetlib.imaging.masks import window_around

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Floats = NDArray[np.float32]

# Chosen on made rings, handles and panes, and looked at on drawings.
WIDEST = 0.045  # of the drawing's diagonal: the widest gap
WIDER = 1.5  # how much wider than the gap both rooms are
LINE_BETWEEN = 3.0  # widths of the gap that the line between two rooms is long, at least
LEAST_ROOM = 0.0008  # of all that is looked at
MOST_ROOMS = 12  # of one area; more is hatching
WIDTHS = 7  # widths of gap tried


def part_at_gaps(free: Mask, line: Mask, pen: float) -> Labels:
    """Labels of the connected areas of `free`, parted at gaps in the line between their rooms; int32 (H, W), 0 is none.

    `free` and `line` bool (H, W), `pen` the line weight in pixels.
    """
    count, labels, stats, _ = cv2.connectedComponentsWithStats(free.astype(np.uint8), connectivity=4)
    labels = np.asarray(labels, np.int32)
    away = cv2.distanceTransform(np.pad(free, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    drawn = cv2.boundingRect(line.astype(np.uint8))[2:]
    widest = WIDEST * float(np.hypot(*drawn)) / 2
    if widest <= 1:
        return labels
    least = max(8.0, LEAST_ROOM * float(free.sum()))
    reach = round(pen) + 2
    following = count
    for k in range(1, count):
        if stats[k, cv2.CC_STAT_AREA] < 2 * least:
            continue
        window = window_around(stats[k, :4], reach)
        own = labels[window] == k
        for gap in np.geomspace(1.0, widest, WIDTHS):
            parts = _rooms_at(own, away[window], line[window], float(gap), least, pen)
            if parts is not None:
                for part in range(2, int(parts.max()) + 1):
                    labels[window][parts == part] = following
                    following += 1
                own = parts == 1  # what is left of it may have a wider gap
    return labels


def _rooms_at(own: Mask, away: Floats, line: Mask, gap: float, least: float, pen: float) -> Labels | None:
    """An area's rooms, 1 and up, where a gap of half the width joins two of them; None where it is one."""
    count, cores, stats, _ = cv2.connectedComponentsWithStats(
        (own & (away > gap)).astype(np.uint8), connectivity=4
    )
    if count < 3:
        return None
    inner = np.zeros(count, np.float32)
    np.maximum.at(inner, cores[own], away[own])
    kept = [k for k in range(1, count) if stats[k, cv2.CC_STAT_AREA] >= least / 4 and inner[k] >= WIDER * gap]
    if not 2 <= len(kept) <= MOST_ROOMS:
        return None
    rooms = np.where(own, _nearest(cores, kept), 0).astype(np.int32)
    joined = _joined(rooms, len(kept), line, gap, pen)
    if joined.max() < 2:
        return None
    parts = np.asarray(joined[rooms], np.int32)
    sizes = np.bincount(parts.ravel())
    return None if (sizes[1:] < least).any() else parts


def _nearest(cores: Labels, kept: list[int]) -> Labels:
    """Which of the cores that were kept is nearest to every pixel, 1 and up, in their order."""
    numbers = np.zeros(int(cores.max()) + 1, np.int32)
    numbers[kept] = np.arange(1, len(kept) + 1)
    seeds = numbers[cores]
    _, nearest = cv2.distanceTransformWithLabels(
        (seeds == 0).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    of_pixel = np.zeros(int(nearest.max()) + 1, np.int32)
    of_pixel[nearest[seeds > 0]] = seeds[seeds > 0]
    return np.asarray(of_pixel[nearest], np.int32)


def _joined(rooms: Labels, count: int, line: Mask, gap: float, pen: float) -> Labels:
    """The number of each room's part: rooms that meet without line between them are one part; 0 stays 0."""
    reach = round(pen) + 2
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    near = [cv2.dilate((rooms == k).astype(np.uint8), disc) > 0 for k in range(1, count + 1)]

    def belong(one: int, other: int) -> bool:
        meet = near[one] & near[other]
        between = float((meet & line).sum()) / max(1.0, pen)
        return bool((meet & ~line).any()) and between < LINE_BETWEEN * 2 * gap

    part = grouped(count, belong)
    numbers = {own: number for number, own in enumerate(dict.fromkeys(part), start=1)}
    return np.array([0, *(numbers[own] for own in part)], np.int32)
