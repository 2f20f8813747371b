"""How far a drawing is worked out: rough, clean line, tone or colour."""

from __future__ import annotations

import enum

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Ground, estimate_paper, judge_ground, largest
from assetlib.imaging.previews import lay_on_paper

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]

INK_FROM = 20.0  # levels from paper that count as a mark
COLOUR_CHROMA = 40.0  # levels between strongest and weakest channel of a coloured mark
COLOUR_SHARE = 0.10  # share of marks that must be coloured areas; tuned on made drawings
TONE_FROM = 10.0  # levels from paper that an even tone shows from
TONE_SHARE = 0.10  # share of marks that must be even grey areas
EVEN_RANGE = 14.0  # levels that an even tone varies by from pixel to pixel
AREA_WIDTH = 7  # pixels; narrower marks are lines
FIRM_SHARE = 0.8  # strength, against the strongest, of a firm line's middle
FIRM_FROM = 0.68  # share of line middles that are firm in clean line work


class Finish(enum.StrEnum):
    """How far a drawing is worked out."""

    ROUGH = "rough"
    CLEAN_LINE = "clean line"
    TONE = "tone"
    COLOUR = "colour"


def judge_finish(rgba: Pixels, ground: Ground | None = None) -> Finish:
    """The finish of a drawing; `rgba` is uint8 (H, W, 4), straight alpha, best about 512 pixels.

    `ground` is what `judge_ground` gave, where it was asked already.
    """
    strength, chroma = _measure(rgba, ground or judge_ground(rgba))
    marks = strength > INK_FROM
    if not marks.any():
        return Finish.CLEAN_LINE
    if _share(_areas(marks) & (chroma > COLOUR_CHROMA), marks) > COLOUR_SHARE:
        return Finish.COLOUR
    top = float(np.quantile(strength[marks], 0.97))
    calm = cv2.GaussianBlur(strength, (0, 0), 1.0)
    even = cv2.morphologyEx(calm, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) < EVEN_RANGE
    toned = _areas((calm > TONE_FROM) & even) & (calm < FIRM_SHARE * top)
    if _share(toned, marks | toned) > TONE_SHARE:
        return Finish.TONE
    return Finish.CLEAN_LINE if _firmness(strength, marks, top) >= FIRM_FROM else Finish.ROUGH


def _measure(rgba: Pixels, ground: Ground) -> tuple[Floats, Floats]:
    """How strong every pixel stands off its paper, and how coloured; levels, float32 (H, W) both."""
    if ground is Ground.TRANSPARENT:
        low, high = _extremes(lay_on_paper(rgba))
        return np.float32(255) - low, np.asarray(cv2.subtract(high, low), np.float32)
    rgb = np.ascontiguousarray(rgba[..., :3])
    paper = estimate_paper(rgb)
    own = paper.flatten(rgb)
    reflectance = np.asarray(own / np.maximum(paper.colour, 1), np.float32)
    strength = np.asarray(255 * largest(np.abs(1 - reflectance)), np.float32)
    # grey on kraft paper looks blue against it, and black keeps a trace of its brown: both must be coloured
    return strength, np.minimum(255 * _chroma(reflectance), _chroma(own))


def _extremes(rgb: Pixels) -> tuple[Pixels, Pixels]:
    """The weakest and the strongest channel of every pixel, (H, W) both."""
    red, green, blue = cv2.split(rgb)
    return cv2.min(cv2.min(red, green), blue), cv2.max(cv2.max(red, green), blue)


def _chroma(colour: Floats) -> Floats:
    return np.asarray(largest(colour) + largest(-colour), np.float32)


def _areas(marks: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The marks that are wider than a line."""
    pen = np.ones((AREA_WIDTH, AREA_WIDTH), np.uint8)
    return np.asarray(cv2.morphologyEx(marks.astype(np.uint8), cv2.MORPH_OPEN, pen) > 0)


def _share(part: NDArray[np.bool_], whole: NDArray[np.bool_]) -> float:
    return float(part.sum() / max(1, int(whole.sum())))


def _firmness(strength: Floats, marks: NDArray[np.bool_], top: float) -> float:
    """The share of line middles that are about as strong as the strongest ink."""
    middle = marks & (strength >= cv2.dilate(strength, np.ones((3, 3), np.uint8)))
    return float((strength[middle] > FIRM_SHARE * top).mean()) if middle.any() else 1.0
