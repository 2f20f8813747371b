"""Guesses of what in a small picture is page: by the colour of the rim, by light, by colour, by evenness."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Corners = NDArray[np.float64]

RIM = 0.03  # of the sides: what lies there is more likely table than page
RIM_COLOURS = 4  # kinds of colour that a table is looked for in
FINGER = 0.07  # of the shorter side: what is narrower than that hangs on the page and is not of it
LEAST_SHARE, MOST_SHARE = 0.12, 0.995  # of the picture that a page takes
CUT_AT = 200  # pixels of the longer side that the slowest guess is made at
RIM_WEIGHTS = np.array([0.7, 1.6, 1.6], np.float32)  # of lightness and tints: light falls unevenly
PAPER_LIGHT, PAPER_TINT = 55.0, 9.0  # steps of Lab that paper differs by in light and shade


def guess_masks(small: Picture) -> Iterator[Mask]:
    """Masks of what may be the page in a picture uint8 (H, W, 3), each one part without holes."""
    soft = cv2.GaussianBlur(small, (0, 0), 1.6)
    lab = cv2.cvtColor(np.asarray(soft, np.uint8), cv2.COLOR_RGB2LAB)
    for mask in _raw(np.asarray(soft, np.uint8), np.asarray(lab, np.uint8)):
        whole = _one_part(mask)
        if whole is not None:
            yield whole


def _raw(soft: Picture, lab: Picture) -> Iterator[Mask]:
    away = _away_from_rim(lab)
    yield _over(away)
    yield away > 18
    light = lab[..., 0]
    yield _over(light)
    yield ~_over(light)
    chroma = np.hypot(*(lab[..., k].astype(np.float32) - 128 for k in (1, 2)))
    yield ~_over(np.clip(chroma * 3, 0, 255).astype(np.uint8))
    yield _like_middle(lab)
    yield _even(light)
    yield _cut_out(soft)


def _over(levels: NDArray[np.uint8]) -> Mask:
    """Above the level that parts a picture best in two (Otsu 1979)."""
    return np.asarray(cv2.threshold(levels, 0, 255, cv2.THRESH_OTSU)[1] > 0)


def _away_from_rim(lab: Picture) -> NDArray[np.uint8]:
    """How far every pixel's colour is from the colours along the rim, uint8 (H, W)."""
    height, width = lab.shape[:2]
    deep = max(2, round(RIM * min(height, width)))
    rim = np.ones((height, width), bool)
    rim[deep:-deep, deep:-deep] = False
    colours = lab[rim][::3].astype(np.float32)
    cv2.setRNGSeed(0)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 12, 0.5)
    found = cv2.kmeans(colours, RIM_COLOURS, None, stop, 1, cv2.KMEANS_PP_CENTERS)
    counts = np.bincount(found[1].ravel(), minlength=RIM_COLOURS)
    flat = lab.astype(np.float32)
    nearest = np.full((height, width), 255, np.float32)
    for centre, count in zip(found[2], counts, strict=True):
        if count >= 0.08 * len(colours):
            weighed = (flat - centre) * RIM_WEIGHTS
            nearest = np.minimum(nearest, np.sqrt((weighed**2).sum(axis=2)))
    return np.asarray(np.clip(nearest * 1.5, 0, 255), np.uint8)


def _like_middle(lab: Picture) -> Mask:
    """What has the commonest colour of the picture's middle, in light and shade."""
    height, width = lab.shape[:2]
    middle = lab[height // 5 : -height // 5, width // 5 : -width // 5].reshape(-1, 3)
    bins = (middle // 8).astype(np.int64) @ np.array([1024, 32, 1])
    values, counts = np.unique(bins, return_counts=True)
    colour = np.median(middle[bins == values[counts.argmax()]], axis=0).astype(np.float32)
    off = np.abs(lab.astype(np.float32) - colour)
    return np.asarray((off[..., 0] < PAPER_LIGHT) & (off[..., 1] < PAPER_TINT) & (off[..., 2] < PAPER_TINT))


def _even(light: NDArray[np.uint8]) -> Mask:
    """What has little texture."""
    steps = cv2.morphologyEx(light, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    rough = cv2.blur(np.minimum(steps, 40), (9, 9))
    return ~_over(np.asarray(rough, np.uint8))


def _cut_out(soft: Picture) -> Mask:
    """What differs from the rim by the mixture of its colours (GrabCut, Rother and others 2004)."""
    height, width = soft.shape[:2]
    scale = min(1.0, CUT_AT / max(height, width))
    small = cv2.resize(soft, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    rows, columns = small.shape[:2]
    rim = max(1, round(RIM * min(rows, columns)))
    marks = np.full((rows, columns), cv2.GC_PR_FGD, np.uint8)
    marks[:rim] = marks[-rim:] = marks[:, :rim] = marks[:, -rim:] = cv2.GC_BGD
    cv2.setRNGSeed(0)
    models = np.zeros((1, 65), np.float64), np.zeros((1, 65), np.float64)
    cv2.grabCut(small, marks, None, *models, 2, cv2.GC_INIT_WITH_MASK)
    page = ((marks == cv2.GC_FGD) | (marks == cv2.GC_PR_FGD)).astype(np.uint8)
    return np.asarray(cv2.resize(page, (width, height), interpolation=cv2.INTER_LINEAR) > 0)


def _one_part(mask: Mask) -> Mask | None:
    """The largest part of a mask, its holes filled, what hangs on it taken off; None where it is no page."""
    height, width = mask.shape
    reach = max(3, round(0.012 * min(height, width))) | 1
    closed = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((reach, reach), np.uint8))
    whole = _filled(_largest(closed))
    finger = round(FINGER * min(height, width)) | 1
    framed = cv2.copyMakeBorder(whole, finger, finger, finger, finger, cv2.BORDER_REPLICATE)
    opened = cv2.morphologyEx(framed, cv2.MORPH_OPEN, np.ones((finger, finger), np.uint8))
    whole = _largest(np.ascontiguousarray(opened[finger:-finger, finger:-finger]))
    share = float(whole.mean())
    return whole > 0 if LEAST_SHARE < share < MOST_SHARE else None


def _largest(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    if len(stats) < 2:
        return np.zeros_like(mask)
    return np.asarray(labels == 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax()), np.uint8)


def _filled(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    framed = np.pad(mask, 1)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    return np.asarray(framed[1:-1, 1:-1] != 2, np.uint8)
