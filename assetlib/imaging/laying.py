"""How well one drawing's ink lies on another's, as two sheets of tracing paper laid over each other at a window."""

from __future__ import annotations

from itertools import product

import cv2
import numpy as np
from numpy.typing import NDArray

Ink = NDArray[np.bool_]

SIDE = 96
"""Pixels of the square that ink is laid on."""

MARGIN = 8
"""Pixels left free around it, so that it can be moved."""

TOLERANCE = 4.0
"""Pixels that a rough line may miss the other by and still lie on it; chosen by eye on scrawls."""

DARK = 0.35
"""Share of the darkest ink from which a pixel counts as drawn."""

_MOVES = (-4, 0, 4)
_SIZES = (0.9, 1.0, 1.1)


def ink_of(picture: NDArray[np.uint8]) -> Ink | None:
    """The ink of a picture on white, uint8 (H, W, 3), on a square, bool (SIDE, SIDE); None where it is blank."""
    light = picture.min(axis=2)
    dark = 255 - light
    seen = dark > max(20.0, DARK * float(np.percentile(dark[dark > 20], 90)) if np.any(dark > 20) else 20.0)
    left, top, width, height = cv2.boundingRect(seen.astype(np.uint8))
    if not width:
        return None
    ink = dark[top : top + height, left : left + width] * seen[top : top + height, left : left + width]
    scale = (SIDE - 2 * MARGIN) / max(width, height)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = cv2.resize(ink, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
    page = np.zeros((SIDE, SIDE), np.uint8)
    x, y = (SIDE - size[0]) // 2, (SIDE - size[1]) // 2
    page[y : y + size[1], x : x + size[0]] = small
    return np.asarray(page > max(12.0, 0.25 * float(page.max())), np.bool_)


def lies(sketch: Ink, drawing: Ink) -> float:
    """How well a rough sketch lies on a drawing, 0 to 1, over small moves and sizes of the sketch.

    The mean of two shares, each weighed by distance: of the sketch's ink that lies near the drawing's, and of the
    drawing's outline that lies near the sketch's (a sketch leaves most of a drawing's inner lines out).
    """
    near_drawing = _nearness(drawing)
    outline = _outline(drawing)
    best = 0.0
    for size in _SIZES:
        scaled = _scaled(sketch, size)
        for dx, dy in product(_MOVES, _MOVES):
            moved = np.roll(scaled, (dy, dx), (0, 1))
            if moved.any():
                best = max(best, float(near_drawing[moved].mean() + _nearness(moved)[outline].mean()) / 2)
    return best


def _nearness(ink: Ink) -> NDArray[np.float32]:
    """1 on the ink, falling to 0 at the tolerance."""
    away = cv2.distanceTransform((~ink).astype(np.uint8), cv2.DIST_L2, 3)
    return np.asarray(np.clip(1 - away / TOLERANCE, 0, 1), np.float32)


def _outline(ink: Ink) -> Ink:
    """What of the ink stands at the outside: the rest is inner lines and fill."""
    filled = ink.astype(np.uint8).copy()
    flood = np.zeros((SIDE + 2, SIDE + 2), np.uint8)
    cv2.floodFill(filled, flood, (0, 0), 2)
    outside = cv2.dilate((filled == 2).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    rim = ink & outside
    return rim if rim.any() else ink


def _scaled(ink: Ink, size: float) -> Ink:
    if size == 1.0:
        return ink
    matrix = cv2.getRotationMatrix2D((SIDE / 2, SIDE / 2), 0, size)
    return np.asarray(cv2.warpAffine(ink.astype(np.uint8), matrix, (SIDE, SIDE)) > 0, np.bool_)
