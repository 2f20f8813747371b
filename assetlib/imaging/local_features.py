"""Whether one drawing stands somewhere in another, by local features: slow, for what portraits leave open."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.normalise import Box, Pixels, normalise, scale_box

FEATURE_SIDE = 480
"""Longest side, pixels, at which features are taken."""

FEWEST_INLIERS = 14
"""Distinct places that must agree on one similarity. Tuned on openclipart."""

_MOST_FEATURES = 600
_RATIO = 0.8  # Lowe 2004, section 7.1
_REACH = 5.0


@dataclass(frozen=True, slots=True)
class Place:
    """Where the first picture stands in the second."""

    box: Box
    inliers: int
    share: float
    """Of the first one's features, how many are there."""


def find_place(first: Pixels, second: Pixels) -> Place | None:
    """Where ``first`` (H, W, 4) stands in ``second``, turned or scaled as it may be; none where it does not."""
    one, other = _features(first), _features(second)
    if one is None or other is None:
        return None
    matched = cv2.BFMatcher(cv2.NORM_L2).knnMatch(one[1], other[1], k=2)
    good = [pair[0] for pair in matched if len(pair) == 2 and pair[0].distance < _RATIO * pair[1].distance]
    if len(good) < FEWEST_INLIERS:
        return None
    source = np.array([one[0][m.queryIdx] for m in good], dtype=np.float32)
    target = np.array([other[0][m.trainIdx] for m in good], dtype=np.float32)
    matrix, mask = cv2.estimateAffinePartial2D(
        source, target, method=cv2.RANSAC, ransacReprojThreshold=_REACH
    )
    if matrix is None:
        return None
    inliers = _distinct(target[mask.ravel() > 0])
    size = float(np.hypot(matrix[0, 0], matrix[1, 0]))
    if inliers < FEWEST_INLIERS or not 0.1 < size < 10:
        return None
    return Place(_placed(first, second, matrix), inliers, inliers / len(one[0]))


def _features(rgba: Pixels) -> tuple[NDArray[np.float32], NDArray[np.float32]] | None:
    ink = cv2.GaussianBlur(normalise(rgba, FEATURE_SIDE).ink, (0, 0), 0.8)
    finder = cv2.SIFT_create(nfeatures=_MOST_FEATURES)  # type: ignore[attr-defined]  # OpenCV's stubs lack it
    points, described = finder.detectAndCompute(ink, None)
    if described is None or len(points) < FEWEST_INLIERS:
        return None
    return np.array([p.pt for p in points], dtype=np.float32), described


def _distinct(points: NDArray[np.float32]) -> int:
    """Places counted once: SIFT gives several features, one a direction, at one point."""
    return len(np.unique(np.round(points / 3), axis=0))


def _placed(first: Pixels, second: Pixels, matrix: NDArray[np.float64]) -> Box:
    drawing = normalise(first, FEATURE_SIDE)
    left, top, right, bottom = drawing.box or (0, 0, drawing.ink.shape[1], drawing.ink.shape[0])
    corners = (
        np.array([[left, top, 1], [right, top, 1], [right, bottom, 1], [left, bottom, 1]], float) @ matrix.T
    )
    scale = max(1.0, max(second.shape[:2]) / FEATURE_SIDE)
    low, high = corners.min(axis=0), corners.max(axis=0)
    box = (int(low[0]), int(low[1]), int(high[0]), int(high[1]))
    return scale_box(box, scale, scale, (second.shape[1], second.shape[0]))
