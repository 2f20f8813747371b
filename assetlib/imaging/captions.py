"""Lettering on a sheet: lines of small parts on one baseline."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pieces import Parts

# Tuned on made sheets (tests/bench/sheets.py, tuning half).
TALLEST = 0.05  # of the page's longer side: the height of a letter
SHORTEST = 4  # working pixels
WORD_SPACE = 1.1  # of the line's height: the widest space inside a line
BASELINE = 0.16  # of the line's height: how far bottoms may wander
ON_BASELINE = 0.6  # share of letters whose bottoms agree
SAME_HEIGHT = 0.3  # relative difference of line heights between captions of one sheet


@dataclass(frozen=True, slots=True)
class Line:
    """A line of lettering: x0, y0, x1, y1 in working pixels and the parts that it is made of."""

    box: tuple[int, int, int, int]
    parts: tuple[int, ...]
    height: float


def find_captions(parts: Parts) -> list[Line]:
    """The captions of a page: lines that look like lettering and of which the page has several alike."""
    lines = [line for line in chain_lines(parts) if _reads_as_text(parts, line)]
    return _in_agreement(parts, _standing_free(parts, lines))


def chain_lines(parts: Parts) -> list[Line]:
    """Small parts strung together from left to right wherever they share a line."""
    tallest = TALLEST * max(parts.labels.shape)
    boxes = parts.boxes
    small = np.flatnonzero((boxes[:, 3] <= tallest) & (boxes[:, 2] <= 12 * tallest))
    order = small[np.argsort(boxes[small, 0], kind="stable")]
    chains: list[list[int]] = []
    ends: list[tuple[int, int, int, int]] = []  # y0, y1, x1 of each chain, and its tallest letter
    for part in order.tolist():
        x, y, w, h = boxes[part].tolist()
        best, best_space = -1, float("inf")
        for k in range(len(chains) - 1, -1, -1):
            y0, y1, x1, high = ends[k]
            shared = min(y + h, y1) - max(y, y0)
            space = x - x1
            if shared >= 0.4 * min(h, y1 - y0) and space < WORD_SPACE * max(high, h) and space < best_space:
                if max(y + h, y1) - min(y, y0) <= 1.8 * max(high, h):
                    best, best_space = k, space
        if best < 0:
            chains.append([part])
            ends.append((y, y + h, x + w, h))
        else:
            y0, y1, x1, high = ends[best]
            chains[best].append(part)
            ends[best] = (min(y, y0), max(y + h, y1), max(x1, x + w), max(high, h))
    return [_line(parts, chain) for chain in chains]


def _line(parts: Parts, chain: list[int]) -> Line:
    boxes = parts.boxes[chain]
    low, high = boxes[:, :2].min(axis=0), (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
    return Line((int(low[0]), int(low[1]), int(high[0]), int(high[1])), tuple(chain), float(high[1] - low[1]))


def _reads_as_text(parts: Parts, line: Line) -> bool:
    x0, y0, x1, y1 = line.box
    width, height = x1 - x0, y1 - y0
    if height < SHORTEST:
        return False
    boxes = parts.boxes[list(line.parts)]
    letters = boxes[boxes[:, 3] >= 0.4 * height]
    if len(letters) == 0:
        return False
    bottoms = letters[:, 1] + letters[:, 3]
    steady = float((np.abs(bottoms - np.median(bottoms)) <= max(1.5, BASELINE * height)).mean())
    return steady >= ON_BASELINE and width >= 0.25 * height and width < 0.6 * parts.labels.shape[1]


def _standing_free(parts: Parts, lines: list[Line]) -> list[Line]:
    """Lines whose middle lies in no larger part's box."""
    kept = []
    for line in lines:
        x0, y0, x1, y1 = line.box
        cx, cy = (x0 + x1) / 2, (y0 + y1) / 2
        large = parts.boxes[parts.boxes[:, 3] > 1.5 * line.height]
        inside = (
            (large[:, 0] <= cx)
            & (cx <= large[:, 0] + large[:, 2])
            & (large[:, 1] <= cy)
            & (cy <= large[:, 1] + large[:, 3])
        )
        if not inside.any():
            kept.append(line)
    return kept


def _in_agreement(parts: Parts, lines: list[Line]) -> list[Line]:
    """Lines of the height that most lines have, where they are many enough to be a habit of the sheet."""
    if not lines:
        return []
    heights = np.array([line.height for line in lines])
    worth = np.array([min(4, len(line.parts)) for line in lines], float)
    near = np.abs(np.log(heights[:, None] / heights[None])) < SAME_HEIGHT
    votes = (near * worth).sum(axis=1)
    habit: NDArray[np.bool_] = near[int(votes.argmax())]
    large = int((parts.boxes[:, 2:].max(axis=1) > 2.5 * np.median(heights[habit])).sum())
    wordy = sum(
        len(line.parts) >= 2 or (line.box[2] - line.box[0]) > 1.5 * line.height
        for line, near_ in zip(lines, habit, strict=True)
        if near_
    )
    if wordy < max(2, 0.25 * large):
        return []
    return [line for line, near_ in zip(lines, habit, strict=True) if near_]
