"""A quadrilateral made of a mask: the four straight lines that most of its outline lies along."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Corners, Mask

NEAR = 0.02  # of the diagonal: outline that belongs to a side
ROUNDS = 4
LEAST_FILLED = 0.82  # share of the quadrilateral that the mask fills, and of the mask that lies in it
LEAST_ANGLE, MOST_ANGLE = (
    45.0,
    135.0,
)  # degrees at the corners of a page tilted by up to 25 degrees, with room


def quad_of(mask: Mask) -> Corners | None:
    """Corners (4, 2) of the quadrilateral that a mask nearly is, or None where it is none."""
    outlines = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]
    if not outlines:
        return None
    outline = max(outlines, key=len)[:, 0].astype(np.float64)
    hull = cv2.convexHull(outline.astype(np.float32))[:, 0].astype(np.float64)
    corners = _fewest(hull)
    if corners is None:
        return None
    for _ in range(ROUNDS):
        fitted = _fitted(corners, outline)
        if fitted is None:
            break
        corners = fitted
    return corners if is_page_shaped(corners) and _fills(corners, mask) else None


def is_page_shaped(corners: Corners) -> bool:
    """Whether the corners make a convex shape with angles that a tilted page has."""
    before, after = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    if not (np.all(cross > 0) or np.all(cross < 0)):
        return False
    lengths = np.hypot(*before.T) * np.hypot(*after.T)
    angles = np.degrees(np.arccos(np.clip((before * after).sum(axis=1) / np.maximum(lengths, 1e-6), -1, 1)))
    return bool(angles.min() > LEAST_ANGLE and angles.max() < MOST_ANGLE)


def _fewest(hull: Corners) -> Corners | None:
    """A hull reduced to four corners, each time by the side whose going adds least area."""
    points = [np.asarray(p) for p in cv2.approxPolyDP(hull.astype(np.float32)[:, None], 2.0, True)[:, 0]]
    if len(points) < 4:
        return None
    while len(points) > 4:
        costs = [_cost(points, k) for k in range(len(points))]
        best = int(np.argmin([cost for cost, _ in costs]))
        corner = costs[best][1]
        if corner is None:
            return None
        points[best] = corner
        del points[(best + 1) % len(points)]
    return np.array(points, np.float64)


def _cost(points: list[NDArray[np.float64]], k: int) -> tuple[float, NDArray[np.float64] | None]:
    """The area added when side k goes and its neighbours meet instead, and where they meet."""
    count = len(points)
    a, b, c, d = (points[(k + step) % count] for step in (-1, 0, 1, 2))
    meeting = meet(np.array([a, b]), np.array([d, c]))
    if meeting is None or (meeting - b) @ (b - a) < 0 or (meeting - c) @ (c - d) < 0:
        return np.inf, None
    one, other = c - b, meeting - b
    return abs(float(one[0] * other[1] - one[1] * other[0])) / 2, meeting


def meet(one: Corners, other: Corners) -> NDArray[np.float64] | None:
    """Where the lines through two pairs of points meet."""
    (p, q), (r, s) = one, other
    way, across = q - p, s - r
    turn = way[0] * across[1] - way[1] * across[0]
    if abs(turn) < 1e-9 * max(1.0, float(np.hypot(*way) * np.hypot(*across))):
        return None
    apart = r - p
    return np.asarray(p + way * (apart[0] * across[1] - apart[1] * across[0]) / turn)


def _fitted(corners: Corners, outline: Corners) -> Corners | None:
    """The corners where lines through the outline near each side meet."""
    near = NEAR * float(np.hypot(*(corners.max(axis=0) - corners.min(axis=0))))
    lines = []
    for k in range(4):
        start, end = corners[k], corners[(k + 1) % 4]
        points = outline[_beside(outline, start, end, near)]
        if len(points) < 8:
            lines.append(np.array([start, end]))
            continue
        vx, vy, x, y = (
            float(v) for v in cv2.fitLine(points.astype(np.float32), cv2.DIST_HUBER, 0, 0.01, 0.01).ravel()
        )
        lines.append(np.array([[x, y], [x + vx, y + vy]]))
    met = [meet(lines[k - 1], lines[k]) for k in range(4)]
    return None if any(point is None for point in met) else np.array(met, np.float64)


def _beside(points: Corners, start: Corners, end: Corners, near: float) -> Mask:
    way = end - start
    length = max(1e-6, float(np.hypot(*way)))
    along = (points - start) @ way / length**2
    off = np.abs((points - start) @ np.array([-way[1], way[0]])) / length
    return np.asarray((off < near) & (along > 0.03) & (along < 0.97))


def _fills(corners: Corners, mask: Mask) -> bool:
    drawn = np.zeros(mask.shape, np.uint8)
    cv2.fillPoly(drawn, [np.rint(corners).astype(np.int32)], 1)
    shared = float((mask & (drawn > 0)).sum())
    return bool(shared >= LEAST_FILLED * max(int(drawn.sum()), int(mask.sum())))
