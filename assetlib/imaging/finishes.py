"""How far a drawing is worked out: rough, clean line, tone or colour."""

from __future__ import annotations

import enum

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.grounds import Ground, estimate_paper, judge_ground, largest

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


def judge_finish(rgba: Pixels) -> Finish:
    """The finish of a drawing; `rgba` is uint8 (H, W, 4), straight alpha, best about 512 pixels."""
    reflectance, own = _over_paper(rgba)
    strength = 255 * largest(np.abs(1 - reflectance))
    marks = strength > INK_FROM
    if not marks.any():
        return Finish.CLEAN_LINE
    # grey on kraft paper looks blue against it, and black keeps a trace of its brown: both must be coloured
    chroma = np.minimum(255 * _chroma(reflectance), _chroma(own))
    if _share(_areas(marks) & (chroma > COLOUR_CHROMA), marks) > COLOUR_SHARE:
        return Finish.COLOUR
    top = float(np.quantile(strength[marks], 0.97))
    calm = cv2.GaussianBlur(strength, (0, 0), 1.0)
    even = cv2.morphologyEx(calm, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) < EVEN_RANGE
    toned = _areas((calm > TONE_FROM) & even) & (calm < FIRM_SHARE * top)
    if _share(toned, marks | toned) > TONE_SHARE:
        return Finish.TONE
    return Finish.CLEAN_LINE if _firmness(strength, marks, top) >= FIRM_FROM else Finish.ROUGH


def _over_paper(rgba: Pixels) -> tuple[Floats, Floats]:
    """The drawing as its share of the paper's light, 1.0 for bare paper, and in levels; float32 (H, W, 3) both."""
    if judge_ground(rgba) is Ground.TRANSPARENT:
        alpha = rgba[..., 3:].astype(np.float32) / 255
        levels = np.asarray(255 + alpha * (rgba[..., :3].astype(np.float32) - 255), np.float32)
        return np.asarray(levels / 255, np.float32), levels
    rgb = np.ascontiguousarray(rgba[..., :3])
    paper = estimate_paper(rgb)
    levels = paper.flatten(rgb)
    return np.asarray(levels / np.maximum(paper.colour, 1), np.float32), levels


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
