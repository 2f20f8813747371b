"""Corrections of a cut, done on the map that says which element owns which ink."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.joins import Way, grow_tree, parts_under
from assetlib.imaging.cutting.pieces import find_gaps, label_parts

Owners = NDArray[np.int32]

SPLIT_WAY = Way(0.5, 0.8)
LEAST_SHARE = 0.1  # of an element's longer side: what each half of a split measures at least
REST_SHARE = 0.2  # of an element's ink: less than that left beside a drawn box is a crumb


def join(owned: Owners, groups: list[NDArray[np.bool_]]) -> Owners:
    """The owners with the ink of all the groups (masks) made one element."""
    joined = owned.copy()
    for inked in groups:
        joined[inked] = joined.max() + 1
    return joined


def drop(owned: Owners, inked: NDArray[np.bool_]) -> Owners:
    """The owners without the ink of a mask."""
    return np.where(inked, 0, owned).astype(np.int32)


def take_box(owned: Owners, ink: NDArray[np.uint8], box: tuple[slice, slice]) -> Owners:
    """The owners with all ink inside a box (rows and columns of the map) made one element."""
    taken = owned.copy()
    inside = taken[box]
    touched = [number for number in np.unique(inside).tolist() if number]
    before = {number: int((owned == number).sum()) for number in touched}
    inside[ink[box] > 0] = owned.max() + 1
    for number in touched:
        rest = taken == number
        if int(rest.sum()) < REST_SHARE * before[number]:
            taken[rest] = 0
    return taken


def split(owned: Owners, inked: NDArray[np.bool_]) -> Owners:
    """The owners with the ink of a mask in two: at its widest gap, or at its narrowest neck."""
    x, y, w, h = cv2.boundingRect(inked.astype(np.uint8))
    if w == 0:
        return owned
    own = np.where(inked[y : y + h, x : x + w], 255, 0).astype(np.uint8)
    second = _far_side_of_gap(own)
    if second is None:
        second = _far_side_of_neck(own)
    parted = owned.copy()
    if second is not None:
        parted[y : y + h, x : x + w][second] = owned.max() + 1
        parted[y : y + h, x : x + w][(own > 0) & ~second] = owned.max() + 2
    return parted


def _far_side_of_gap(own: NDArray[np.uint8]) -> NDArray[np.bool_] | None:
    parts = label_parts(own, cv2.merge([own] * 3), 1)
    if parts.count < 2:
        return None
    tree = grow_tree(parts.boxes, *find_gaps(parts), SPLIT_WAY)
    least = LEAST_SHARE * max(own.shape)
    sizes = [max(x1 - x0, y1 - y0) for x0, y0, x1, y1 in tree.boxes]
    joins = [
        node
        for node in range(tree.leaves, len(sizes))
        if min(sizes[tree.left[node]], sizes[tree.right[node]]) >= least
    ]
    if not joins:
        return None
    widest = max(joins, key=lambda node: tree.cost[node])
    chosen = np.zeros(parts.count + 1, bool)
    chosen[np.array(parts_under(tree, tree.left[widest])) + 1] = True
    return chosen[parts.labels]


def _far_side_of_neck(own: NDArray[np.uint8]) -> NDArray[np.bool_] | None:
    """One side of the place where the silhouette falls apart first when it is worn down."""
    contours, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    solid = np.zeros_like(own)
    cv2.drawContours(solid, contours, -1, 255, cv2.FILLED)
    depth = cv2.distanceTransform(cv2.copyMakeBorder(solid, 1, 1, 1, 1, cv2.BORDER_CONSTANT), cv2.DIST_L2, 5)[
        1:-1, 1:-1
    ]
    for level in np.linspace(1, float(depth.max()), 24)[:-1]:
        cores = np.asarray(depth > level, np.uint8)
        count, labels, stats, _ = cv2.connectedComponentsWithStats(cores)
        large = [k for k in range(1, count) if stats[k, 2:4].max() >= LEAST_SHARE * max(own.shape)]
        if len(large) >= 2:
            return _nearer_to_first(labels, large) & (own > 0)
    return None


def _nearer_to_first(labels: NDArray[np.int32], large: list[int]) -> NDArray[np.bool_]:
    first = cv2.distanceTransform((labels != large[0]).astype(np.uint8), cv2.DIST_L2, 5)
    rest = cv2.distanceTransform((~np.isin(labels, large[1:])).astype(np.uint8), cv2.DIST_L2, 5)
    return np.asarray(first < rest, bool)
