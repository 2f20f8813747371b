"""What stands on a page besides drawings: scanner edges, ruled lines, punch holes, a border."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.pieces import Parts

# Tuned on made sheets (tests/bench/sheets.py, tuning half).
RULED_LENGTH = 0.6  # of the page's side
RULED_WIDTH = 0.012
EDGE_DEPTH = 0.04  # of the page's shorter side: the dark rim beside a scan
BORDER_SIZE = 0.8  # of both sides of the page
BORDER_FILL = 0.04  # share of its box that a border line inks
HOLE_SIZE = (0.008, 0.05)  # of the page's longer side
HOLE_MARGIN = 0.06


def find_furniture(parts: Parts) -> NDArray[np.bool_]:
    """Which parts (n,) are no drawing."""
    if parts.count == 0:
        return np.zeros(0, bool)
    return _ruled(parts) | _scanner_edge(parts) | _border(parts) | _punch_holes(parts)


def _ruled(parts: Parts) -> NDArray[np.bool_]:
    height, width = parts.labels.shape
    w, h = parts.boxes[:, 2], parts.boxes[:, 3]
    thin = RULED_WIDTH * max(height, width)
    lying = (w >= RULED_LENGTH * width) & (h <= thin)
    standing = (h >= RULED_LENGTH * height) & (w <= thin)
    return np.asarray(lying | standing, bool)


def _scanner_edge(parts: Parts) -> NDArray[np.bool_]:
    height, width = parts.labels.shape
    x, y, w, h = parts.boxes.T
    deep = EDGE_DEPTH * min(height, width)
    side = ((x <= 1) | (x + w >= width - 1)) & (w <= deep) & (h >= 4 * w)
    end = ((y <= 1) | (y + h >= height - 1)) & (h <= deep) & (w >= 4 * h)
    return np.asarray(side | end, bool)


def _border(parts: Parts) -> NDArray[np.bool_]:
    height, width = parts.labels.shape
    w, h = parts.boxes[:, 2], parts.boxes[:, 3]
    large = (w >= BORDER_SIZE * width) & (h >= BORDER_SIZE * height)
    found = large & (parts.areas <= BORDER_FILL * w * h)
    for part in np.flatnonzero(found):
        if not _drawn_along_its_box(parts, int(part)):
            found[part] = False
    # A border with nothing in it is itself the drawing.
    return found if parts.areas[~found].sum() > 0 else np.zeros_like(found)


def _drawn_along_its_box(parts: Parts, part: int) -> bool:
    """Whether nearly all the ink of a part lies close to the sides of its box."""
    x, y, w, h = parts.boxes[part].tolist()
    own = parts.labels[y : y + h, x : x + w] == part + 1
    dx, dy = max(3, w // 20), max(3, h // 20)
    return int(own[dy:-dy, dx:-dx].sum()) <= 0.02 * int(parts.areas[part])


def _punch_holes(parts: Parts) -> NDArray[np.bool_]:
    """Two or more round blots of one size in one margin."""
    height, width = parts.labels.shape
    x, y, w, h = parts.boxes.T
    long = max(height, width)
    size = (np.maximum(w, h) >= HOLE_SIZE[0] * long) & (np.maximum(w, h) <= HOLE_SIZE[1] * long)
    round_ = size & (np.abs(w - h) <= 0.15 * np.maximum(w, h) + 1) & (parts.areas >= 0.68 * w * h)
    found = np.zeros(parts.count, bool)
    for margin in (
        x + w <= HOLE_MARGIN * width, x >= (1 - HOLE_MARGIN) * width,
        y + h <= HOLE_MARGIN * height, y >= (1 - HOLE_MARGIN) * height,
    ):  # fmt: skip
        marked = round_ & margin
        if marked.sum() >= 2 and np.ptp(w[marked]) <= 0.2 * w[marked].max() + 2:
            found |= marked
    return found
