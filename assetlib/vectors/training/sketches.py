"""Rough sketches for measuring: line art redrawn stroke by stroke, as a hand with a pencil would.

Training never sees these: its rough views (views.py) shake whole pictures; here the lines are thinned, followed, cut
into strokes and every stroke is drawn anew with its own wobble, overshoot, pressure and, at times, a second try.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
Points = NDArray[np.float64]
_SHORTEST_PATH = 5  # pixels; shorter specks are dropped
_STEPS = np.array([(-1, 0), (0, 1), (1, 0), (0, -1), (-1, 1), (1, 1), (1, -1), (-1, -1)])


def thinned(ink: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The lines one pixel wide: Zhang and Suen, A fast parallel algorithm for thinning digital patterns (1984)."""
    picture = np.pad(ink, 1).astype(np.uint8)
    while True:
        removed = 0
        for odd in (False, True):
            p = [
                np.roll(picture, s, (0, 1))
                for s in ((1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1))
            ]
            around = sum(p)
            turns = sum((p[i] == 0) & (p[(i + 1) % 8] == 1) for i in range(8))
            first, second = (
                (p[0] * p[2] * p[4], p[2] * p[4] * p[6])
                if not odd
                else (p[0] * p[2] * p[6], p[0] * p[4] * p[6])
            )
            gone = (
                (picture == 1) & (around >= 2) & (around <= 6) & (turns == 1) & (first == 0) & (second == 0)
            )
            picture[gone] = 0
            removed += int(gone.sum())
        if not removed:
            return picture[1:-1, 1:-1].astype(bool)


def paths(thin: NDArray[np.bool_]) -> list[Points]:
    """Lines as points (x, y), followed from their ends where they have ends."""
    left = np.pad(thin, 1)
    neighbours = (
        cv2.filter2D(left.astype(np.uint8), -1, np.ones((3, 3), np.uint8), borderType=cv2.BORDER_CONSTANT) - 1
    )
    rows, columns = np.nonzero(left)
    order = np.argsort(neighbours[rows, columns] != 1, kind="stable")
    found = []
    for start in order:
        if left[rows[start], columns[start]]:
            path = _follow(left, int(rows[start]), int(columns[start]))
            if len(path) >= _SHORTEST_PATH:
                found.append(np.array(path, np.float64)[:, ::-1] - 1)
    return found


def _follow(left: NDArray[np.bool_], row: int, column: int) -> list[tuple[int, int]]:
    path = []
    direction = np.array((0, 0))
    while True:
        path.append((row, column))
        left[row, column] = False
        open_steps = [s for s in _STEPS if left[row + s[0], column + s[1]]]
        if not open_steps:
            return path
        step = max(open_steps, key=lambda s: float(s @ direction) / float(np.hypot(*s)))
        direction = step
        row, column = row + int(step[0]), column + int(step[1])


def _strokes(path: Points, generator: np.random.Generator) -> list[Points]:
    cut, start = [], 0
    while start < len(path) - 2:
        length = int(generator.integers(18, 80))
        cut.append(path[start : start + length])
        start += length - 2
    return cut


def _redrawn(stroke: Points, shake: float, generator: np.random.Generator) -> Points:
    """The stroke with corners rounded, a slow drift, and ends that run over or stop short."""
    width = min(7, len(stroke) | 1)
    kernel = np.ones(width) / width
    ends = np.pad(stroke, ((width // 2, width // 2), (0, 0)), mode="edge")
    smooth = np.column_stack([np.convolve(ends[:, i], kernel, "valid") for i in (0, 1)])
    count = len(smooth)
    knots = generator.normal(0, shake, (max(2, count // 14 + 2), 2))
    along = np.linspace(0, len(knots) - 1, count)
    drift = np.column_stack([np.interp(along, np.arange(len(knots)), knots[:, i]) for i in (0, 1)])
    drawn = smooth + drift + generator.normal(0, shake * 0.5, 2)
    over = generator.uniform(-1.5, 4.5)
    if over > 0 and count > 4:
        tangent = drawn[-1] - drawn[-4]
        drawn = np.vstack([drawn, drawn[-1] + tangent / (np.hypot(*tangent) + 1e-6) * over])
    elif count > 8:
        drawn = drawn[: int(over) - 1]
    return drawn


def _hatch(sheet: Picture, tone: Picture, generator: np.random.Generator) -> None:
    dark = cv2.erode((tone < 110).astype(np.uint8), np.ones((9, 9), np.uint8))
    side = len(sheet)
    angle = generator.uniform(0.5, 1.1)
    step = np.array([np.cos(angle), -np.sin(angle)])
    normal = step[::-1] * np.array([-1, 1])
    for offset in np.arange(-side, side, generator.uniform(5, 8)):
        points = (
            side / 2
            + normal * offset
            + step * np.arange(-side, side, 2.0)[:, None]
            + generator.normal(0, 0.7, 2)
        )
        inside = (points >= 0).all(1) & (points < side - 1).all(1)
        points = points[inside]
        drawn = dark[points[:, 1].astype(int), points[:, 0].astype(int)] > 0
        for run in np.split(np.arange(len(points)), np.flatnonzero(np.diff(drawn.astype(int))) + 1):
            if len(run) > 3 and drawn[run[0]]:
                ends = (points[[run[0], run[-1]]] * 16).astype(np.int32)
                cv2.line(sheet, ends[0].tolist(), ends[1].tolist(), 110, 1, cv2.LINE_AA, 4)


def rough_sketch(lines: Picture, tone: Picture, seed: int) -> Picture:
    """A rough sketch uint8 (S, S), 255 = paper, of line art (S, S); dark parts of `tone` may be hatched."""
    generator = np.random.default_rng(seed)
    side = len(lines)
    sheet = np.full((side, side), 255, np.uint8)
    shake = generator.uniform(0.9, 2.2)
    if generator.random() < 0.4:
        _hatch(sheet, tone, generator)
    for path in paths(thinned(lines < 140)):
        for stroke in _strokes(path, generator):
            if generator.random() < 0.07:
                continue
            for _ in range(1 + int(generator.random() < 0.35)):
                points = (_redrawn(stroke, shake, generator) * 16).astype(np.int32)
                layer = np.full_like(sheet, 255)
                grey, width = int(generator.uniform(10, 120)), int(generator.integers(1, 3))
                cv2.polylines(layer, [points.reshape(-1, 1, 2)], False, grey, width, cv2.LINE_AA, 4)
                np.minimum(sheet, layer, out=sheet)
    turn = cv2.getRotationMatrix2D(
        (side / 2, side / 2), generator.uniform(-6, 6), generator.uniform(0.9, 1.0)
    )
    turn[:, 1] *= generator.uniform(0.93, 1.07)
    return np.asarray(cv2.warpAffine(sheet, turn, (side, side), borderValue=255), np.uint8)
