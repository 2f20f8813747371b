"""Dust on a photographed or scanned page: told from the small marks of a drawing by size, place and company."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.pieces import Parts, box_of

# Tuned on made pages (tests/bench/pages.py, odd seeds).
SPECK = 0.008  # of the page's longer side: what is no larger may be dust
BESIDE = 0.006  # of the page's longer side: so near something larger a speck belongs to it
COMPANY = 0.035  # of the page's longer side, in which
FELLOWS = 5  # or more other specks make a drawing of dots: rain, snow, stipple
CRUMB = 0.013  # of the page's longer side: a group of nothing larger
THIN = 0.02  # that inks less of its box than that is dust


def is_dust(parts: Parts, group: list[int]) -> bool:
    """Whether a group of parts is crumbs strewn over empty paper."""
    if parts.boxes[group, 2:].max() > CRUMB * max(parts.labels.shape):
        return False
    _, _, width, height = box_of(parts, group)
    return bool(parts.areas[group].sum() < THIN * (width * height))


def find_dust(parts: Parts) -> NDArray[np.bool_]:
    """Which parts (n,) are lone specks."""
    long = max(parts.labels.shape)
    small = parts.boxes[:, 2:].max(axis=1, initial=0) <= max(2.0, SPECK * long)
    if not small.any() or small.all():
        return np.zeros(parts.count, bool)
    specks = parts.boxes[small, :2] + parts.boxes[small, 2:] / 2
    dust = ~_beside(specks, parts.boxes[~small], BESIDE * long)
    fellows = np.array([(np.hypot(*(specks - at).T) < COMPANY * long).sum() - 1 for at in specks])
    found = np.zeros(parts.count, bool)
    found[np.flatnonzero(small)[dust & (fellows < FELLOWS)]] = True
    return found


def _beside(specks: NDArray[np.float64], larger: NDArray[np.int64], near: float) -> NDArray[np.bool_]:
    """Which of some places (n, 2) lie near the box of something larger, boxes (m, 4)."""
    low, high = larger[:, :2], larger[:, :2] + larger[:, 2:]
    return np.array([
        bool((np.hypot(*np.maximum(np.maximum(low - at, at - high), 0).T) < near).any()) for at in specks
    ])  # fmt: skip
