"""How far a drawing is worked out: rough, clean line, tone or colour."""

from __future__ import annotations

import enum

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.grounds import Ground, estimate_paper, judge_ground

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]

INK_FROM = 20.0  # levels from paper that count as a mark
COLOUR_CHROMA = 40.0  # levels between strongest and weakest channel of a coloured mark
COLOUR_SHARE = 0.10  # share of marks that must be coloured areas; tuned on made drawings
TONE_SHARE = 0.16  # share of marks that must be flat grey areas
AREA_WIDTH = 7  # pixels; narrower marks are lines
FIRM_SHARE = 0.8  # strength, against the strongest, of a firm line's middle
FIRM_FROM = 0.62  # share of line middles that are firm in clean line work


class Finish(enum.StrEnum):
    """How far a drawing is worked out."""

    ROUGH = "rough"
    CLEAN_LINE = "clean line"
    TONE = "tone"
    COLOUR = "colour"


def judge_finish(rgba: Pixels) -> Finish:
    """The finish of a drawing; `rgba` is uint8 (H, W, 4), straight alpha, best about 512 pixels."""
    flat, paper = _on_paper(rgba)
    depth = paper - flat
    strength = np.abs(depth).max(axis=2)
    marks = strength > INK_FROM
    if not marks.any():
        return Finish.CLEAN_LINE
    chroma = depth.max(axis=2) - depth.min(axis=2)
    pen = np.ones((AREA_WIDTH, AREA_WIDTH), np.uint8)
    areas = cv2.morphologyEx(marks.astype(np.uint8), cv2.MORPH_OPEN, pen) > 0
    if _share(areas & (chroma > COLOUR_CHROMA), marks) > COLOUR_SHARE:
        return Finish.COLOUR
    top = float(np.quantile(strength[marks], 0.97))
    if _share(areas & (strength < FIRM_SHARE * top), marks) > TONE_SHARE:
        return Finish.TONE
    return Finish.CLEAN_LINE if _firmness(strength, marks, top) >= FIRM_FROM else Finish.ROUGH


def _on_paper(rgba: Pixels) -> tuple[Floats, Floats]:
    if judge_ground(rgba) is Ground.TRANSPARENT:
        alpha = rgba[..., 3:].astype(np.float32) / np.float32(255)
        return rgba[..., :3] * alpha + 255 * (1 - alpha), np.full(3, 255, np.float32)
    rgb = np.ascontiguousarray(rgba[..., :3])
    paper = estimate_paper(rgb)
    return paper.flatten(rgb), paper.colour


def _share(part: NDArray[np.bool_], whole: NDArray[np.bool_]) -> float:
    return float(part.sum() / max(1, int(whole.sum())))


def _firmness(strength: Floats, marks: NDArray[np.bool_], top: float) -> float:
    """The share of line middles that are about as strong as the strongest ink."""
    middle = marks & (strength >= cv2.dilate(strength, np.ones((3, 3), np.uint8)))
    return float((strength[middle] > FIRM_SHARE * top).mean()) if middle.any() else 1.0
