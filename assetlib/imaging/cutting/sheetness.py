"""Whether a picture is a sheet: measured on what was made out on it, judged by a trained judge."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.placing import Box, arrangement
from assetlib.imaging.cutting.verdicts import judge

LEAST_FRAMED = 3
FRAMED = 0.95
"""How surely frames with a drawing in each are a sheet: of 400 made lone drawings one was taken for framed."""


def sheetness(
    boxes: list[Box],
    page: tuple[int, int],
    framed: bool,
    several: float,
    score: float,
    captions: int,
    parts: int,
) -> float:
    """How surely a picture is a sheet of several drawings, 0..1.

    `boxes` and `page` (width, height) in the same pixels; `framed` whether frames were found;
    `several` and `score` as a `Grouping` has them; `captions` and `parts` are counts.
    """
    if len(boxes) < 2:
        return 0.0
    if framed and len(boxes) >= LEAST_FRAMED:
        return FRAMED
    return float(
        judge("sheet", measure_page(boxes, page, framed, several, score, captions, parts)[None])[0, 1]
    )


def measure_page(
    boxes: list[Box],
    page: tuple[int, int],
    framed: bool,
    several: float,
    score: float,
    captions: int,
    parts: int,
) -> NDArray[np.float32]:
    """Measurements (16,) of a page of at least two elements."""
    corners = np.array(boxes, float)
    width, height = corners[:, 2], corners[:, 3]
    size = np.sqrt(width * height)
    covered = float((width * height).sum())
    low, high = corners[:, :2].min(axis=0), (corners[:, :2] + corners[:, 2:]).max(axis=0)
    span = float((high - low).prod())
    gaps = _clear_between(corners)
    return np.array(
        [
            np.log(len(boxes)),
            float(framed),
            several,
            score,
            np.std(np.log(size)),
            np.log(np.median(size) / max(page)),
            covered / (page[0] * page[1]),
            covered / span,
            span / (page[0] * page[1]),
            (width * height).max() / covered,
            np.log((np.median(gaps) + 1) / np.median(size)),
            np.log((gaps.min() + 1) / np.median(size)),
            float((gaps == 0).mean()),
            float(arrangement(boxes, page[0]) == "grid"),
            np.log1p(captions),
            np.log1p(parts / len(boxes)),
        ],
        np.float32,
    )


def _clear_between(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distance from every box to its nearest neighbour, 0 where they overlap."""
    low, high = corners[:, :2], corners[:, :2] + corners[:, 2:]
    apart = np.maximum(low[:, None] - high[None], low[None] - high[:, None])
    distance = np.hypot(*np.clip(apart, 0, None).transpose(2, 0, 1))
    np.fill_diagonal(distance, np.inf)
    return np.asarray(distance.min(axis=1), np.float64)
