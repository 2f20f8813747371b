"""Rings that cups leave: pale brown bands along a circle or a good part of one, broken or not, on a drawing or not."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]
Points = NDArray[np.float64]

# Tuned on pages put together by other means (tests/bench/foreign_pages.py, group 0).
LOOKED_AT = 900  # pixels of the longer side
DARK = (0.05, 0.55)  # share of the paper's light that a ring takes away
STRONG = 0.2  # share that a drawing in brown takes away
BROWN = 0.035  # of light: how much more blue than red it takes away
NOT_RED = 0.25  # of that: how much more blue than green
RADIUS = (0.025, 0.16)  # of the longer side: a cup's foot on a page as large as A5 to A3
BAND = 0.065  # of the radius, to both sides, in which a ring runs
LEAST_SIDE = 0.03  # of the longer side: a piece of ring that says where its middle is
TRIALS = 60
MOSTLY, PARTLY = (
    0.7,
    0.3,
)  # share of a piece along one circle: a piece of ring; one that hangs on something else
ARC, WHOLE = 100.0, 250.0  # degrees of it that must be seen, in these cases
HOLLOW = 0.2  # share of its inside that is as brown, at most: a disc is no ring
BROWN_PAGE = 2.0  # times what lies along rings: where more is brown, the drawing is
TURNS = 72
ROUNDS = 3
WIDEST = 0.45  # of the longer side: radius where a ring is known to be there, in a close crop as well
ARC_AGAIN = 60.0  # degrees that are enough where another ring was found


@dataclass(frozen=True, slots=True)
class _Circle:
    x: float
    y: float
    radius: float


def find_rings(missing: Floats, widest: float = RADIUS[1]) -> Mask:
    """Where rings lie, bool (H, W); `missing` float32 (H, W, 3), 0..1, is the share of the paper's light that lacks.

    `widest` is the largest radius of a ring by the longer side.
    """
    height, width = missing.shape[:2]
    scale = min(1.0, LOOKED_AT / max(height, width))
    small = (
        cv2.resize(missing, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else missing
    )
    soft = cv2.GaussianBlur(small, (0, 0), 0.8)
    dark = soft.max(axis=2)
    marks = dark > DARK[0]
    tint = soft[..., 2] - soft[..., 0]
    brown = marks & (dark < DARK[1]) & (tint > BROWN) & (soft[..., 1] >= soft[..., 0])
    brown &= soft[..., 2] - soft[..., 1] > NOT_RED * tint
    found = np.zeros(brown.shape, np.uint8)
    for circle in _circles(brown, widest):
        found |= (_band(brown.shape, circle) & brown).astype(np.uint8)
    strong = brown & (dark > STRONG)
    if not found.any() or (strong & (found == 0)).sum() > BROWN_PAGE * found.sum():
        return np.zeros((height, width), np.bool_)
    grown = cv2.dilate(found, np.ones((5, 5), np.uint8))
    return np.asarray(cv2.resize(grown, (width, height), interpolation=cv2.INTER_NEAREST) > 0)


def _circles(brown: Mask, widest: float) -> list[_Circle]:
    """Circles that brown marks lie along; what one leaves over is looked at once more, as cups are set down twice."""
    long = max(brown.shape)
    found: list[_Circle] = []
    left = brown.copy()
    for _ in range(ROUNDS):
        joined = cv2.morphologyEx(left.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
        _, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
        large = [k for k in range(1, len(stats)) if max(stats[k, 2:4]) >= LEAST_SIDE * long]
        new = [
            circle
            for k in large
            if (circle := _ring_of(labels, stats[k], k, left, widest, bool(found))) is not None
        ]
        if not new:
            break
        found += new
        for circle in new:
            left &= ~_band(brown.shape, circle)
    return found


def _ring_of(
    labels: NDArray[np.int32], stat: NDArray[np.int32], label: int, brown: Mask, widest: float, again: bool
) -> _Circle | None:
    """The circle of a ring that a connected mark is a piece of, None for other marks."""
    x, y, w, h, _ = (int(v) for v in stat)
    rows, columns = np.nonzero(labels[y : y + h, x : x + w] == label)
    points = np.stack([columns + x, rows + y], axis=1).astype(np.float64)
    long = max(brown.shape)
    circle, share = _through(points, (RADIUS[0] * long, widest * long))
    if circle is None or share < PARTLY:
        return None
    least = (ARC_AGAIN if again else ARC) if share >= MOSTLY else WHOLE
    return circle if _arc(brown, circle) >= least and _is_hollow(brown, circle) else None


def _through(points: Points, radii: tuple[float, float]) -> tuple[_Circle | None, float]:
    """The circle that most points lie along (RANSAC, Fischler and Bolles 1981), and their share."""
    rng = np.random.default_rng(0)
    some = points if len(points) <= 600 else points[rng.choice(len(points), 600, replace=False)]
    best, share = None, 0.0
    for _ in range(TRIALS):
        circle = _circumcircle(some[rng.choice(len(some), 3, replace=False)])
        if circle is None or not radii[0] <= circle.radius <= radii[1]:
            continue
        away = np.abs(np.hypot(some[:, 0] - circle.x, some[:, 1] - circle.y) - circle.radius)
        near = float((away < max(2.0, BAND * circle.radius)).mean())
        if near > share:
            best, share = circle, near
    return best, share


def _circumcircle(corners: Points) -> _Circle | None:
    (ax, ay), (bx, by), (cx, cy) = corners
    twice = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    if abs(twice) < 1e-6:
        return None
    a, b, c = ax**2 + ay**2, bx**2 + by**2, cx**2 + cy**2
    x = (a * (by - cy) + b * (cy - ay) + c * (ay - by)) / twice
    y = (a * (cx - bx) + b * (ax - cx) + c * (bx - ax)) / twice
    return _Circle(float(x), float(y), float(np.hypot(ax - x, ay - y)))


def _around(shape: tuple[int, ...], circle: _Circle, more: float = 0.0) -> tuple[slice, slice]:
    """The rows and columns of a picture that hold a circle, and so many pixels around it."""
    reach = circle.radius + more + 1
    low = [max(0, int(middle - reach)) for middle in (circle.y, circle.x)]
    high = [
        max(0, min(size, int(middle + reach) + 2))
        for size, middle in zip(shape, (circle.y, circle.x), strict=True)
    ]
    return slice(low[0], high[0]), slice(low[1], high[1])


def _away(shape: tuple[int, ...], circle: _Circle, within: tuple[slice, slice]) -> Floats:
    """How far the pixels in some rows and columns are from a circle's middle."""
    y, x = np.ogrid[: shape[0], : shape[1]]
    y, x = y[within[0]], x[:, within[1]]
    return np.asarray(np.hypot(x - circle.x, y - circle.y), np.float32)


def _band(shape: tuple[int, ...], circle: _Circle) -> Mask:
    wide = max(3.0, 2 * BAND * circle.radius)
    band = np.zeros(shape, np.bool_)
    around = _around(shape, circle, wide)
    band[around] = np.abs(_away(shape, circle, around) - circle.radius) < wide
    return band


def _arc(brown: Mask, circle: _Circle) -> float:
    """How many degrees of a circle are brown."""
    wide = max(3.0, BAND * circle.radius)
    around = _around(brown.shape, circle, wide)
    near = np.abs(_away(brown.shape, circle, around) - circle.radius) < wide
    rows, columns = np.nonzero(near & brown[around])
    turns = (
        np.degrees(np.arctan2(rows + around[0].start - circle.y, columns + around[1].start - circle.x)) % 360
    )
    return float(len(np.unique((turns / (360 / TURNS)).astype(int)))) * 360 / TURNS


def _is_hollow(brown: Mask, circle: _Circle) -> bool:
    around = _around(brown.shape, circle)
    inside = _away(brown.shape, circle, around) < 0.75 * circle.radius
    return bool(float(brown[around][inside].mean()) < HOLLOW) if inside.any() else False
