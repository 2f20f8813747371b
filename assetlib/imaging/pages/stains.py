"""What lies under a stain: it takes the same share of light from paper, tone and line alike, and can be given back."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

# Chosen on made pages, by looking.
PLAIN = 0.5  # share of red light that paper, tone and stain take at most: what takes more is line
SOFT_RIM = 7  # pixels across which the rim of a stain fades
SHARE_OVER = 2.5  # pixels, standard deviation, over which the share of light that a stain takes is measured
FILLED_FROM = (3.0, 8.0, 20.0, 60.0)  # the same over which it is told what lies under it, the nearest first
LEAST_KNOWN = 0.05  # weight of what is known from which it says something
LIKE_UNDER = 0.08  # share of light: grain of the paper, and what the measure is off by
MOST_OFF = 0.25  # the same of green and blue light, of which a stain takes more here and less there
LEAST_BACK = 0.05  # share of light that any paint lets back
MOST_TAKEN = 0.8  # share of light that a stain takes away at most


def free_of_stain(missing: Floats, mask: Mask) -> tuple[Floats, Mask]:
    """What light lacks where a stain is thought away, and where that changed something.

    `missing` float32 (H, W, 3), 0..1, is the share of the paper's light that lacks; `mask` bool (H, W) is the stain.
    Its soft rim is taken with it. What stands on both sides of it tells what lies under it; the share of light that
    it takes is what lacks of that beside the lines.
    """
    back = 1 - missing
    own = cv2.dilate(mask.astype(np.uint8), np.ones((SOFT_RIM, SOFT_RIM), np.uint8)) > 0
    plain = missing[..., 0] < PLAIN
    under = _filled_in(back, plain & ~own)
    lets = np.minimum(_mean_where(back, plain & own) / np.maximum(under, LEAST_BACK), 1)
    freed = np.minimum(back / np.maximum(lets, 1 - MOST_TAKEN), 1)
    off = np.abs(freed - under)
    # red light passes a stain nearly as it passes paper: what it is off by there is ink
    like = (off[..., 0] < LIKE_UNDER) & (off[..., 1] < MOST_OFF) & (off[..., 2] < MOST_OFF)
    freed[like] = under[like]
    return np.where(own[..., None], 1 - freed, missing).astype(np.float32), np.asarray(own, np.bool_)


def _filled_in(values: Floats, known: Mask) -> Floats:
    """Values where they are known, and elsewhere what stands around, the nearest first; float32 (H, W, 3)."""
    filled, left = values.copy(), ~known
    for reach in FILLED_FROM:
        mean, weight = _mean_around(values, known, reach)
        here = left & (weight > LEAST_KNOWN)
        filled[here] = mean[here]
        left &= ~here
    filled[left] = 1
    return filled


def _mean_where(values: Floats, counts: Mask) -> Floats:
    """The mean about every pixel of the values that count; where there are none near, their usual value."""
    mean, weight = _mean_around(values, counts, SHARE_OVER)
    mean[weight < LEAST_KNOWN] = np.median(values[counts], axis=0) if counts.any() else 1
    return mean


def _mean_around(values: Floats, counts: Mask, reach: float) -> tuple[Floats, Floats]:
    weight = cv2.GaussianBlur(counts.astype(np.float32), (0, 0), reach)
    total = cv2.GaussianBlur(values * counts[..., None], (0, 0), reach)
    return np.asarray(total / np.maximum(weight, 1e-4)[..., None], np.float32), np.asarray(weight, np.float32)
