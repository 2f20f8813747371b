"""Ruled frames and panels: rectangles of like size whose content is the element."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.pieces import Parts

# Tuned on made sheets (tests/bench/sheets.py, tuning half).
LEAST_SIDE = 0.04  # of the page's shorter side
RECTANGULAR = 0.9  # share of its tilted bounding rectangle that a cell fills
ENCLOSED = 0.5  # share of a part's box that its cells take up
SIDE_BAND = 0.03  # of a panel's shorter side: how far a tilted or hand-ruled side may wander
SIDE_INKED = 0.93  # share of every side that is drawn
LIKENESS = 0.15  # relative difference of width or height between frames of one sheet
LEAST_FRAMES = 2
TWIN_LIKENESS = 0.03  # the same, where a page has but two
MOST_OUTSIDE = 0.34  # large parts outside the frames, per frame


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame: its inner area x0, y0, x1, y1 in working pixels, and the part that draws it."""

    inner: tuple[int, int, int, int]
    part: int


def find_frames(parts: Parts) -> list[Frame]:
    """The frames of a framed page, empty where the page has none."""
    shape = parts.labels.shape
    least = max(1.0, LEAST_SIDE * min(shape))  # what is one pixel wide frames nothing
    found: list[Frame] = []
    for part in np.flatnonzero((parts.boxes[:, 2] > least) & (parts.boxes[:, 3] > least)).tolist():
        found += _frames_of(parts, part, least)
    frames = _alike(_innermost(_alike(found)))
    return frames if frames and _rules_the_page(parts, frames, least) else []


def _frames_of(parts: Parts, part: int, least: float) -> list[Frame]:
    x, y, w, h = parts.boxes[part].tolist()
    own = (parts.labels[y : y + h, x : x + w] == part + 1).astype(np.uint8)
    cells = _cells(own, least)
    if sum(cw * ch for _, _, cw, ch in cells) >= ENCLOSED * w * h:
        return [Frame((x + cx, y + cy, x + cx + cw, y + cy + ch), part) for cx, cy, cw, ch in cells]
    if _sides_inked(own):
        rim = _rim(own)
        return [Frame((x + rim, y + rim, x + w - rim, y + h - rim), part)]
    return []


def _cells(own: NDArray[np.uint8], least: float) -> list[tuple[int, int, int, int]]:
    """Boxes of the rectangular holes of a part."""
    edged = cv2.copyMakeBorder(own, 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=0)
    contours, tree = cv2.findContours(edged, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)
    cells = []
    for contour, (_, _, _, outer) in zip(contours, tree[0] if tree is not None else [], strict=True):
        if outer < 0:
            continue
        cx, cy, cw, ch = cv2.boundingRect(contour)
        if cw < least or ch < least:
            continue
        (_, _), (tw, th), _ = cv2.minAreaRect(contour)
        if cv2.contourArea(contour) >= RECTANGULAR * tw * th:
            cells.append((cx, cy, cw - 2, ch - 2))  # a hole's contour runs on the ink around it
    return cells


def _sides_inked(own: NDArray[np.uint8]) -> bool:
    h, w = own.shape
    band = max(2, round(SIDE_BAND * min(h, w)))
    sides = (
        own[:band].any(axis=0),
        own[-band:].any(axis=0),
        own[:, :band].any(axis=1),
        own[:, -band:].any(axis=1),
    )
    return all(float(side.mean()) >= SIDE_INKED for side in sides)


def _rim(own: NDArray[np.uint8]) -> int:
    """How far the line of a frame reaches in from its box; 0 where the art itself fills the panel."""
    h, w = own.shape
    band = max(3, round(2 * SIDE_BAND * min(h, w)))
    rows = own[: band * 2, w // 8 : -w // 8 or None].mean(axis=1)
    drawn = np.flatnonzero(rows > 0.5)
    return int(drawn[-1]) + 1 if len(drawn) and drawn[-1] < band else 0


def _alike(found: list[Frame]) -> list[Frame]:
    """The largest set of frames of like width or height in which most of the two agree."""
    if len(found) < LEAST_FRAMES:
        return []
    sizes = np.array([(x1 - x0, y1 - y0) for (x0, y0, x1, y1) in (frame.inner for frame in found)], float)
    apart = np.abs(np.log(sizes[:, None] / sizes[None]))
    both = (apart < LIKENESS).all(axis=2).sum(axis=1)
    centre = int(both.argmax())
    if both[centre] < LEAST_FRAMES or (both[centre] == LEAST_FRAMES and not _twins(found, apart[centre])):
        return []
    # One row of wide panels under rows of narrow ones is still the same page.
    return [frame for k, frame in enumerate(found) if (apart[centre, k] < LIKENESS).any()]


def _twins(found: list[Frame], apart: NDArray[np.float64]) -> bool:
    """Whether two frames, `apart` (n, 2) from the first, are ruled alike on one line: two cards seldom are."""
    same = [frame.inner for frame, away in zip(found, apart, strict=True) if (away < TWIN_LIKENESS).all()]
    if len(same) < LEAST_FRAMES:
        return False
    steps = np.abs(np.array(same[0]) - np.array(same[1]))
    return bool(
        min(steps[1], steps[0]) <= TWIN_LIKENESS * max(same[0][2] - same[0][0], same[0][3] - same[0][1])
    )


def _innermost(found: list[Frame]) -> list[Frame]:
    """Frames that hold no other frame of nearly their size: of a double rule the inner one."""
    return [
        frame
        for frame in found
        if not any(_holds(frame.inner, other.inner) for other in found if other != frame)
    ]


def _holds(outer: tuple[int, int, int, int], inner: tuple[int, int, int, int]) -> bool:
    within = outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]
    return within and (inner[2] - inner[0]) * (inner[3] - inner[1]) > 0.5 * (outer[2] - outer[0]) * (
        outer[3] - outer[1]
    )


def _rules_the_page(parts: Parts, frames: list[Frame], least: float) -> bool:
    """Whether few large parts stand outside the frames."""
    ruled = {frame.part for frame in frames}
    centres = parts.boxes[:, :2] + parts.boxes[:, 2:] / 2
    outside = 0
    for part in np.flatnonzero(parts.boxes[:, 2:].min(axis=1) > least).tolist():
        x, y = centres[part]
        held = any(f.inner[0] < x < f.inner[2] and f.inner[1] < y < f.inner[3] for f in frames)
        outside += not held and part not in ruled
    return outside <= MOST_OUTSIDE * len(frames)
