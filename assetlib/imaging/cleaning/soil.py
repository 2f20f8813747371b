"""What is on a page that no drawing is made with, beyond doubt: what cups leave, dust, a drawing under the drawing."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Ground, estimate_paper, judge_ground
from assetlib.imaging.cleaning.tinted import (
    MARK_FROM,
    TINT_FROM,
    brown_at,
    cup_rings,
    missing_light,
    spots,
    underdrawing_hue,
)
from assetlib.imaging.masks import window_around
from assetlib.imaging.pages.finding import is_made
from assetlib.imaging.pages.marks import INK, PAPER, SOIL, judge_marks

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

LOOKED_AT = 900  # pixels of a page's longest side
MOST_STAINS = 3  # on one page: many brown patches are a wash
SPOT_SIDE, SPOT_SHARE = 0.02, 0.2  # of the longest side, and of the page: a spot is no smaller and no larger
SPOT_BROWN = 0.6  # share of a spot that has the colour of coffee, tea or damp
DRAWN_ROUND = 0.5  # share of its rim that is ink from which a spot is a part of a wash
A_PART = 0.2  # the same of a patch that was judged to be drawn itself
MOSTLY_ROUND = 0.75  # the same of a ring, which may well lie on a drawing
RIM = (3, 9)  # pixels across, twice over, between which what goes round a patch is looked at
DRAWN_SHARE = 0.6  # share of a spot that is ink from which it is a wash


@dataclass(frozen=True, slots=True)
class Soil:
    """What a page has beyond doubt: `stains` bool (h, w) of at most `LOOKED_AT` pixels a side, None without any.

    `hue` is that of its underdrawing, degrees, None without one. `kinds` uint8 (h, w) is what its marks were judged to
    be, at the judge's scale; None where they were not.
    """

    stains: Mask | None = None
    hue: float | None = None
    kinds: Pixels | None = None


def find_soil(page: Pixels) -> Soil:
    """The soil of a page, uint8 (H, W, 4). Raises ModelBroken."""
    scale = min(1.0, LOOKED_AT / max(page.shape[:2]))
    small = page
    if scale < 1:
        resized = cv2.resize(page, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        small = np.asarray(resized, np.uint8)
    if judge_ground(small) not in (Ground.WHITE, Ground.OFF_WHITE):
        return Soil()
    rgb = np.ascontiguousarray(small[..., :3])
    missing = missing_light(rgb, estimate_paper(rgb))
    kinds, told = None, np.full(rgb.shape[:2], PAPER, np.uint8)
    if not is_made(page):
        kinds = judge_marks(np.ascontiguousarray(page[..., :3])).chances.argmax(axis=0).astype(np.uint8)
        told = np.asarray(cv2.resize(kinds, rgb.shape[1::-1], interpolation=cv2.INTER_NEAREST), np.uint8)
    stains = np.zeros(rgb.shape[:2], np.bool_)
    rings = cup_rings(missing)
    if rings is not None and _drawn_round(rings, told) <= MOSTLY_ROUND:
        stains |= rings
    missing[stains] = 0
    masks = [mask for mask in spots(missing) if not _is_drawn(mask, told)]
    for mask in masks if len(masks) <= MOST_STAINS else ():
        stains |= mask
    stains |= _judged_spots(missing, told)
    missing[stains] = 0
    return Soil(stains if stains.any() else None, underdrawing_hue(missing), kinds)


def _is_drawn(mask: Mask, told: Pixels) -> bool:
    """Whether a patch that looks like a stain was mostly judged to be drawn, and is a part of more that was."""
    return float((told[mask] == INK).mean()) > DRAWN_SHARE and _drawn_round(mask, told) > A_PART


def _drawn_round(mask: Mask, told: Pixels) -> float:
    """Which share of what goes round a patch, beyond its soft edge, was judged to be drawn."""
    near, far = (cv2.dilate(mask.astype(np.uint8), np.ones((side, side), np.uint8)) > 0 for side in RIM)
    rim = far & ~near
    return float((told[rim] == INK).mean()) if rim.any() else 0.0


def _judged_spots(missing: Floats, told: Pixels) -> Mask:
    """Brown patches that were judged to be soil and that no drawing goes round; bool (H, W)."""
    brown = brown_at(missing, MARK_FROM, 0.5 * TINT_FROM)
    found = np.zeros(told.shape, np.bool_)
    _, labels, stats, _ = cv2.connectedComponentsWithStats((told == SOIL).astype(np.uint8), connectivity=8)
    for k in range(1, len(stats)):
        _, _, width, height, area = (int(v) for v in stats[k])
        if min(width, height) < SPOT_SIDE * max(told.shape) or area > SPOT_SHARE * told.size:
            continue
        window = window_around(stats[k, :4], RIM[1] // 2 + 1)
        own = labels[window] == k
        if brown[window][own].mean() < SPOT_BROWN or _drawn_round(own, told[window]) > DRAWN_ROUND:
            continue
        found[window] |= own
    return found
