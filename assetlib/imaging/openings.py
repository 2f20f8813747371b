"""Openings of a drawing: enclosed paper that a backdrop should show through.

Proposed from what an enclosed area looks like: a window or handle is held by
body all round, a limb or sleeve is parted from the outside by its own line only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.body import LINE_ALPHA, pen_weight

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

LEAST_PIXELS = 16
LEAST_SHARE = 0.0004  # share of the body; smaller areas are gaps in hatching
MOST_OPENINGS = 60  # the largest are kept: more cannot be numbered legibly
WORKING_SIDE = 700  # longest side, pixels, at which surroundings are measured
SEEN_AROUND = 1.6  # line weights beyond an area's own line that count as its surroundings
OPEN_COLOUR, CLOSED_COLOUR = (40, 120, 200), (150, 150, 150)


@dataclass(frozen=True, slots=True)
class Opening:
    """An enclosed paper area. `box` is x, y, width, height; `mask` bool (H, W); `score` 0-1, how likely open."""

    number: int
    box: tuple[int, int, int, int]
    mask: Mask
    is_open: bool
    score: float


def measure_areas(rgba: Pixels, ink: Pixels, body: Mask) -> tuple[NDArray[np.int32], Floats, NDArray[np.int64]]:
    """Labels of enclosed areas (h, w) at the working scale, their features (N, F), their labels (N,)."""
    factor = max(1, -(-max(body.shape) // WORKING_SIDE))
    line = _thin(ink[..., 3] >= LINE_ALPHA, factor)
    inside = _majority(body, factor)
    count, labels, stats, _ = cv2.connectedComponentsWithStats((inside & ~line).astype(np.uint8), connectivity=4)
    areas = stats[:, cv2.CC_STAT_AREA].astype(np.float32)
    areas[0] = 0
    whole = max(1.0, float(inside.sum()))
    wanted = np.flatnonzero(areas >= max(LEAST_PIXELS / factor**2, LEAST_SHARE * whole, 4))
    wanted = wanted[np.argsort(-areas[wanted])][:MOST_OPENINGS]
    pen = max(pen_weight(line), 1.0)
    outside = cv2.distanceTransform(np.pad(inside, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    shared = _describe_drawing(line, inside, pen, len(wanted), ink)
    rows = [
        [*_describe_area(labels, stats[k], int(k), line, inside, outside, pen, whole), *shared] for k in wanted
    ]
    return labels, np.array(rows, np.float32).reshape(len(rows), -1), wanted


def _describe_drawing(line: Mask, inside: Mask, pen: float, count: int, ink: Pixels) -> list[float]:
    """Features that all areas of a drawing share."""
    whole = max(1.0, float(inside.sum()))
    filled = float((line & inside).sum()) / whole
    solid = cv2.erode(line.astype(np.uint8), np.ones((2 * int(pen) + 1,) * 2, np.uint8)).sum() / whole
    strong = ink[..., 3] > 128
    chroma = np.ptp(ink[..., :3].astype(np.int16), axis=2)[strong] if strong.any() else np.zeros(1)
    return [np.log1p(count), filled, float(solid), float((chroma > 40).mean()), pen / whole**0.5]


def _describe_area(
    labels: NDArray[np.int32],
    stats: NDArray[np.int32],
    label: int,
    line: Mask,
    inside: Mask,
    outside: Floats,
    pen: float,
    whole: float,
) -> list[float]:
    """Features of one area: size, surroundings, distance from outside, shape, what stands in it, place."""
    x, y, width, height, area = (int(v) for v in stats)
    reach = int(np.ceil(SEEN_AROUND * pen)) + 2
    top, left = max(0, y - reach), max(0, x - reach)
    window = np.s_[top : y + height + reach, left : x + width + reach]
    own = labels[window] == label
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    filled, islands = _fill(own)
    around = (cv2.dilate(filled.astype(np.uint8), disc) > 0) & ~filled
    seen = max(1, int(around.sum()))
    others = labels[window][around & ~line[window] & inside[window]]
    counts = np.bincount(others) if others.size else np.zeros(1, np.int64)
    rim = outside[window][own & (cv2.erode(own.astype(np.uint8), np.ones((3, 3), np.uint8)) == 0)]
    contours = cv2.findContours(filled.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]
    contour = max(contours, key=len)
    hull = float(cv2.contourArea(cv2.convexHull(contour))) + 1
    length = float(cv2.arcLength(contour, True)) + 1
    side = float(np.sqrt(area))
    return [
        np.log(area / whole),
        np.log(side / pen),
        float((around & ~inside[window]).sum() / seen),
        float(counts.max() / max(1, others.size)),
        float((around & line[window]).sum() / seen),
        float((counts > 0.05 * seen).sum()),
        np.log1p(float(rim.min()) / pen),
        np.log1p(float(np.median(rim)) / pen),
        float(np.median(rim)) / side,
        float(rim.max()) / whole**0.5,
        min(1.2, float(filled.sum()) / hull),
        4 * np.pi * float(filled.sum()) / length**2,
        float(islands.sum()) / area,
        (y + height / 2) / labels.shape[0],
        np.log(width / height),
    ]


def _fill(own: Mask) -> tuple[Mask, Mask]:
    """An area with what stands in it, and what stands in it alone."""
    framed = np.pad(own, 1).astype(np.uint8)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    filled = framed[1:-1, 1:-1] != 2
    return filled, filled & ~own


def _thin(line: Mask, factor: int) -> Mask:
    if factor == 1:
        return line
    rows, columns = line.shape[0] // factor, line.shape[1] // factor
    return np.asarray(line[: rows * factor, : columns * factor].reshape(rows, factor, columns, factor).any(axis=(1, 3)))


def _majority(mask: Mask, factor: int) -> Mask:
    if factor == 1:
        return mask
    rows, columns = mask.shape[0] // factor, mask.shape[1] // factor
    cells = mask[: rows * factor, : columns * factor].reshape(rows, factor, columns, factor)
    return np.asarray(cells.mean(axis=(1, 3)) >= 0.5)
