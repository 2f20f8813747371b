"""Strays on a photographed or scanned page: hairs, lint, holes and fingertips that nobody drew.

One is told by what the judge of marks doubts about it and by what a drawing on the same page is: far more ink, in a
line that is no hair.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.pieces import Parts, box_of
from assetlib.imaging.pages.marks import INK, OFF, SOIL, SPECK, UNDER, Marks

# Tuned on pages put together by other means (tests/bench/foreign_pages.py, group 0).
HAIR, BLURRED = 0.0009, 1.1  # of the page's longer side: half of what a hair is wide; working pixels more
SMALL = 0.03  # of the ink of the page's largest drawing: a hair has no more
DOUBTED = 0.15  # what the judge takes for soil, specks and no page, against what it takes for ink
HARDLY = 0.05  # of the ink of the largest: what is so small and doubted is no drawing, however thick
WINDING = 1.25  # lengths of a line to the longest way through its box: a hair lies nearly straight, a figure does not
SURELY_DOUBTED = 0.5  # what is so doubted is none, however it winds
FEW = 6  # parts; more hairs than that, near each other, are drawn
CRUMB, CRUMB_INK = 0.017, 0.01  # of the page's longer side, and of the ink of its largest part
FAR = 0.03  # of the page's longer side: a crumb so far from all else belongs to nothing
COMPANY, FELLOWS = 0.05, 5  # in which so many other crumbs make a drawing of dots
APART = 0.012  # of the page's longer side: what is nearer to something larger is a part of it


def find_strays(parts: Parts, groups: list[list[int]], marks: Marks) -> NDArray[np.bool_]:
    """Which groups of parts are no drawings, (n,)."""
    if not groups:
        return np.zeros(0, bool)
    inked = np.array([int(parts.areas[group].sum()) for group in groups])
    doubts = _doubts(parts, groups, marks)
    small = inked <= SMALL * inked.max()
    hardly = (inked <= HARDLY * inked.max()) & (doubts >= DOUBTED)
    may_be = (small & np.array([len(group) <= FEW for group in groups])) | (doubts >= DOUBTED)
    thin = np.zeros(len(groups), bool)
    if may_be.any():
        half = _half_widths(parts)
        for k in np.flatnonzero(may_be):
            widest = float(half[groups[k]].max())
            straight = _winding(parts, groups[k], widest) <= WINDING or doubts[k] >= SURELY_DOUBTED
            thin[k] = straight and widest <= BLURRED + HAIR * max(parts.labels.shape)
    return np.asarray(hardly | (may_be & thin))


def _winding(parts: Parts, group: list[int], half: float) -> float:
    """How long a group's line is, `half` its half width, against the diagonal of its box."""
    return float(parts.areas[group].sum() / max(1e-3, 2 * half) / np.hypot(*box_of(parts, group)[2:]))


def find_stray_parts(parts: Parts, marks: Marks) -> NDArray[np.bool_]:
    """Which parts (n,) are hairs and crumbs that stand apart from all that is drawn."""
    if parts.count < 2:
        return np.zeros(parts.count, bool)
    long = max(parts.labels.shape)
    share = parts.areas / parts.areas.max()
    hair = (share <= SMALL) & (_doubts(parts, [[k] for k in range(parts.count)], marks) >= DOUBTED)
    if hair.any():
        hair &= _half_widths(parts) <= BLURRED + HAIR * long
    crumb = (share <= CRUMB_INK) & (parts.boxes[:, 2:].max(axis=1) <= CRUMB * long)
    if not (hair | crumb).any():
        return np.zeros(parts.count, bool)
    away = _away_from(parts, ~(hair | crumb))
    middles = parts.boxes[:, :2] + parts.boxes[:, 2:] / 2
    for k in np.flatnonzero(crumb):
        fellows = int((np.hypot(*(middles[crumb] - middles[k]).T) < COMPANY * long).sum()) - 1
        crumb[k] = fellows < FELLOWS or hair[k]
    return np.asarray((hair & (away > APART * long)) | (crumb & (away > FAR * long)), np.bool_)


def _away_from(parts: Parts, others: NDArray[np.bool_]) -> NDArray[np.float64]:
    """How far each part (n,) is from the nearest of the others, working pixels."""
    other = np.concatenate([[False], others])[parts.labels]
    distance = cv2.distanceTransform((~other).astype(np.uint8), cv2.DIST_L2, 3)
    nearest = np.full(parts.count + 1, np.inf)
    inside = parts.labels > 0
    np.minimum.at(nearest, parts.labels[inside], distance[inside])
    return np.asarray(nearest[1:], np.float64)


def _doubts(parts: Parts, groups: list[list[int]], marks: Marks) -> NDArray[np.float64]:
    """How much of each group is judged something else, against what of it is judged drawn."""
    size = parts.labels.shape[::-1]
    inside = parts.labels > 0
    owner = parts.labels[inside]
    totals = []
    for kinds in ((SPECK, SOIL, OFF), (INK, UNDER)):
        chance = cv2.resize(sum(marks.chances[kind] for kind in kinds), size, interpolation=cv2.INTER_LINEAR)
        totals.append(np.bincount(owner, chance[inside], parts.count + 1)[1:])
    return np.array([totals[0][group].sum() / max(1e-3, totals[1][group].sum()) for group in groups])


def _half_widths(parts: Parts) -> NDArray[np.float64]:
    """Half of what each part is wide where it is widest but for a tenth, working pixels (n,)."""
    depth = cv2.distanceTransform((parts.labels > 0).astype(np.uint8), cv2.DIST_L2, 3)
    inside = parts.labels > 0
    owner, depths = parts.labels[inside], depth[inside]
    order = np.lexsort((depths, owner))
    ends = np.cumsum(np.bincount(owner, minlength=parts.count + 1))[1:]
    counts = np.bincount(owner, minlength=parts.count + 1)[1:]
    at = ends - 1 - (0.1 * counts).astype(np.int64)
    return np.asarray(depths[order][at], np.float64)
