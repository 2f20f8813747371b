"""What is on a page that no drawing is made with, beyond doubt: what cups leave, and the drawing under the drawing."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Ground, estimate_paper, judge_ground
from assetlib.imaging.cleaning.tinted import find_stains, missing_light, underdrawing_hue

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

LOOKED_AT = 900  # pixels of a page's longest side
MOST_STAINS = 3  # on one page: many brown patches are a wash


@dataclass(frozen=True, slots=True)
class Soil:
    """What a page has beyond doubt: `stains` bool (h, w) of at most `LOOKED_AT` pixels a side, None without any.

    `hue` is that of its underdrawing, degrees, None without one.
    """

    stains: Mask | None = None
    hue: float | None = None


def find_soil(page: Pixels) -> Soil:
    """The soil of a page, uint8 (H, W, 4)."""
    scale = min(1.0, LOOKED_AT / max(page.shape[:2]))
    small = page
    if scale < 1:
        resized = cv2.resize(page, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        small = np.asarray(resized, np.uint8)
    if judge_ground(small) not in (Ground.WHITE, Ground.OFF_WHITE):
        return Soil()
    rgb = np.ascontiguousarray(small[..., :3])
    paper = estimate_paper(rgb)
    stains = np.zeros(rgb.shape[:2], np.bool_)
    masks = list(find_stains(rgb, paper))
    for mask in masks if len(masks) <= MOST_STAINS else ():
        stains |= mask
    missing = missing_light(rgb, paper)
    missing[stains] = 0
    return Soil(stains if stains.any() else None, underdrawing_hue(missing))
