"""What each mark on a page is: a trained judge tells drawing from print, soil, specks and what is no page.

A network sees the whole page reduced. Made by tests/bench/marks_net.py; MARKS_CARD.md says from what.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.judges import open_judge
from assetlib.imaging.pages.guesses import Picture
from assetlib.imaging.pixels import shrink

Floats = NDArray[np.float32]

JUDGE = Path(__file__).with_name("marks.onnx")
SIDE = 1024  # pixels of the longer side that the judge sees
STEP = 32  # of which both sides are multiples
PAPER, INK, PRINT, SOIL, SPECK, OFF, UNDER = range(7)
DRAWN = 0.35  # how likely ink what is drawn is, or more; tuned on made pages
REACH = 2  # pixels at the judge's scale beyond ink that its soft edges may lie
LEAST_SOIL = 0.0005  # of the page
AROUND = 14.0  # pixels at the judge's scale in which soil and ink are compared with a mark
COARSER = 4  # times as coarse as the judge's scale, where that is worked out
LEAST_AROUND = 0.02  # of what lies around
TINT_COUNTS = np.array([0.6, 2.0, 2.0], np.float32)  # lightness tells a stain from ink less than its tint


@dataclass(frozen=True, slots=True)
class Marks:
    """A judged page: `seen` uint8 (h, w, 3) as the judge saw it, how likely each kind is, float32 (7, h, w)."""

    seen: Picture
    chances: Floats


def judge_marks(rgb: Picture) -> Marks:
    """What the pixels of a page, uint8 (H, W, 3), reduced to `SIDE`, are; raises ModelBroken."""
    scale = min(1.0, SIDE / max(rgb.shape[:2]))
    size = max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale))
    small = shrink(rgb, size)
    framed = cv2.copyMakeBorder(small, 0, -size[1] % STEP, 0, -size[0] % STEP, cv2.BORDER_REPLICATE)
    given = np.ascontiguousarray(framed.transpose(2, 0, 1)[None])
    logits = open_judge(JUDGE, "tells drawing from soil").run(None, {"picture": given})[0][
        0, :, : size[1], : size[0]
    ]
    chances = np.exp(logits - logits.max(axis=0), dtype=np.float32)
    return Marks(np.asarray(small, np.uint8), np.asarray(chances / chances.sum(axis=0), np.float32))


def drawn_at(marks: Marks) -> NDArray[np.uint8]:
    """Where a judged page is drawn on, 255 or 0, uint8 (h, w): ink, and what lies close to it and is nothing else."""
    chances = marks.chances
    drawing = chances[INK] + chances[UNDER]
    sure = ((drawing >= DRAWN) & (drawing > np.maximum(chances[SOIL], chances[OFF]))).astype(np.uint8)
    stained = _as_stained(marks, sure)
    sure[stained] = 0
    near = cv2.dilate(sure, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * REACH + 1,) * 2)) > 0
    told = chances.argmax(axis=0)
    free = ((told == PAPER) | (told == INK) | (told == UNDER)) & ~stained
    return np.where((sure > 0) | (near & free), np.uint8(255), np.uint8(0))


def _as_stained(marks: Marks, sure: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """What is told as ink beside soil and has the soil's colour rather than that of the ink around."""
    soil = (marks.chances.argmax(axis=0) == SOIL).astype(np.float32)
    if float(soil.mean()) < LEAST_SOIL:
        return np.zeros(sure.shape, np.bool_)
    lab = cv2.cvtColor(marks.seen, cv2.COLOR_RGB2LAB).astype(np.float32)
    away = []
    for held in (soil, sure.astype(np.float32)):
        much, usual = _around(held), _around(lab * held[..., None])
        off = np.sqrt((((lab - usual / (much[..., None] + 1e-4)) * TINT_COUNTS) ** 2).sum(axis=2))
        away.append(np.where(much > LEAST_AROUND, off, np.inf))
    return np.asarray((sure > 0) & (away[0] < away[1]))


def _around(values: Floats) -> Floats:
    """Values averaged over what lies around, worked out at a quarter of the scale: they change slowly."""
    size = max(1, values.shape[1] // COARSER), max(1, values.shape[0] // COARSER)
    small = cv2.resize(values, size, interpolation=cv2.INTER_AREA)
    mean = cv2.GaussianBlur(small, (0, 0), AROUND / COARSER)
    return np.asarray(cv2.resize(mean, values.shape[1::-1], interpolation=cv2.INTER_LINEAR), np.float32)
