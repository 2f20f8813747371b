"""Quadrilaterals of long straight edges, for pages that no colour tells from what they lie on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Corners, Picture
from assetlib.imaging.pages.quads import is_page_shaped, meet

# Tuned on pages put together by other means (tests/bench/foreign_pages.py, group 0).
SHORTEST = 0.035  # of the diagonal: an edge that is looked at
TURN, AWAY = 2.5, 0.008  # degrees, and of the diagonal: edges that lie on one line
MOST_LINES = 9  # a way, lying and standing
APART = 0.2  # of the picture's side: between two opposite sides
PLACES = 40  # looked at along a side
COVERED = 0.35  # of a side that edges lie along, at least
GIVEN = 8


@dataclass(slots=True)
class _Line:
    """Edges that lie on one line: their ends (n, 2, 2), the way it runs (2,), a point of it, and how long they are."""

    edges: list[NDArray[np.float64]]
    way: NDArray[np.float64]
    at: NDArray[np.float64]
    length: float


def edge_quads(small: Picture) -> list[Corners]:
    """Corners (4, 2) of quadrilaterals along long straight edges of a picture uint8 (H, W, 3), the best first."""
    height, width = small.shape[:2]
    diagonal = float(np.hypot(height, width))
    lying, standing = _lines(_edges(small, SHORTEST * diagonal), diagonal)
    found = []
    for above, below in combinations(lying, 2):
        if abs(_middle(above, 0, width) - _middle(below, 0, width)) < APART * height:
            continue
        for left, right in combinations(standing, 2):
            if abs(_middle(left, 1, height) - _middle(right, 1, height)) < APART * width:
                continue
            corners = _corners(above, right, below, left)
            if corners is None or not is_page_shaped(corners) or not _within(corners, (width, height)):
                continue
            sides = (above, right, below, left)
            covered = [
                _covered(sides[k], corners[k], corners[(k + 1) % 4], AWAY * diagonal) for k in range(4)
            ]
            if min(covered) >= COVERED:
                found.append((sum(covered) + min(covered), corners))
    found.sort(key=lambda pair: -pair[0])
    return [corners for _, corners in found[:GIVEN]]


def _edges(small: Picture, shortest: float) -> NDArray[np.float64]:
    """The straight edges of a picture, (n, 2, 2), x and y of both ends (LSD, von Gioi and others 2010)."""
    grey = cv2.cvtColor(cv2.GaussianBlur(small, (0, 0), 1.0), cv2.COLOR_RGB2GRAY)
    found = cv2.createLineSegmentDetector(cv2.LSD_REFINE_STD).detect(grey)[0]
    edges = np.zeros((0, 2, 2)) if found is None else found.reshape(-1, 2, 2).astype(np.float64)
    long = np.hypot(*(edges[:, 1] - edges[:, 0]).T) >= shortest
    return np.asarray(edges[long])


def _lines(edges: NDArray[np.float64], diagonal: float) -> tuple[list[_Line], list[_Line]]:
    """Lines that the edges lie on, the longest first: lying ones and standing ones."""
    lengths = np.hypot(*(edges[:, 1] - edges[:, 0]).T)
    ways: tuple[list[_Line], list[_Line]] = ([], [])
    for k in np.argsort(-lengths):
        way = (edges[k, 1] - edges[k, 0]) / lengths[k]
        lines = ways[int(abs(way[1]) > abs(way[0]))]
        same = next((line for line in lines if _on(line, edges[k], way, AWAY * diagonal)), None)
        if same is None:
            lines.append(_Line([edges[k]], way, edges[k].mean(axis=0), float(lengths[k])))
        else:
            same.edges.append(edges[k])
            same.length += float(lengths[k])
    for lines in ways:
        lines.sort(key=lambda line: -line.length)
        del lines[MOST_LINES:]
    return ways


def _on(line: _Line, edge: NDArray[np.float64], way: NDArray[np.float64], away: float) -> bool:
    turn = abs(float(line.way[0] * way[1] - line.way[1] * way[0]))
    off = np.abs((edge - line.at) @ np.array([-line.way[1], line.way[0]]))
    return turn < np.sin(np.radians(TURN)) and float(off.max()) < away


def _middle(line: _Line, axis: int, size: int) -> float:
    """Where a line crosses the middle of the picture, the other way."""
    t = (size / 2 - line.at[axis]) / line.way[axis]
    return float(line.at[1 - axis] + t * line.way[1 - axis])


def _corners(above: _Line, right: _Line, below: _Line, left: _Line) -> Corners | None:
    pairs = ((left, above), (above, right), (right, below), (below, left))
    met = [meet(np.array([a.at, a.at + a.way]), np.array([b.at, b.at + b.way])) for a, b in pairs]
    return None if any(point is None for point in met) else np.array(met, np.float64)


def _within(corners: Corners, size: tuple[int, int]) -> bool:
    """Whether the corners lie in the picture, or nearly."""
    slack = 0.06 * max(size)
    return bool(np.all(corners > -slack) and np.all(corners < np.array(size) + slack))


def _covered(line: _Line, start: Corners, end: Corners, away: float) -> float:
    """Share of the places along a side that an edge lies at."""
    places = np.linspace(start, end, PLACES)
    along = (places - line.at) @ line.way
    ends = np.array([np.sort((edge - line.at) @ line.way) for edge in line.edges])
    met = (along[:, None] >= ends[None, :, 0] - away) & (along[:, None] <= ends[None, :, 1] + away)
    return float(met.any(axis=1).mean())
