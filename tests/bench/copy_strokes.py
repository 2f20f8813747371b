"""Drawings by hand-made strokes, to be looked at: everyday things and figures, outlines that do not quite close.

Drawn by other means than what anything here was trained or tuned on: each shape hides what lies behind it, then its
outline is drawn in one to three shaky strokes that may stop short of one another.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Rng = np.random.Generator
Points = Sequence[tuple[float, float]]
FINER = 2
UNIT = 100.0
MARGIN = 0.04  # of a side that stays bare around a drawing
WIDEST_GAP = 0.12  # of an outline's length that its last stroke stops short by, at most


class Hand:
    """A hand drawing on `side` pixels; places are 0 to 100 across and down."""

    def __init__(self, rng: np.random.Generator, side: int) -> None:
        self.rng = rng
        self.scale = side * FINER / UNIT * (1 - 2 * MARGIN)
        self.start = side * FINER * MARGIN
        self.line = np.zeros((side * FINER, side * FINER), np.float32)
        self.tone = np.zeros_like(self.line)
        self.solid = np.zeros(self.line.shape, bool)
        self.pen = float(rng.uniform(0.55, 1.3))
        self.shake = float(rng.uniform(0.05, 0.45))
        self.careless = float(rng.choice([0.0, 0.15, 0.45]))

    def _path(self, points: Points, closed: bool, bend: bool) -> NDArray[np.float64]:
        at = np.array([*points, points[0]] if closed else points, float)
        steps = np.linspace(0, len(at) - 1, max(2, 24 * (len(at) - 1)))
        if bend and len(at) > 2:
            at = _rounded(at, closed, steps)
        else:
            at = np.stack([np.interp(steps, np.arange(len(at)), at[:, k]) for k in (0, 1)], axis=1)
        drift = np.stack([_slow(self.rng, len(at)) for _ in (0, 1)], axis=1) * self.shake
        return at + drift

    def shape(
        self, points: Points, bend: bool = True, dark: float = 0, hole: bool = False, gap: bool = True
    ) -> None:
        """A closed outline before what was drawn; `dark` lays a tone in it, a `hole` is seen through."""
        path = self._path(points, True, bend)
        mask = np.zeros(self.line.shape, np.uint8)
        cv2.fillPoly(mask, [np.rint(path * self.scale + self.start).astype(np.int32)], 1)
        self.line[mask > 0] = 0
        self.tone[mask > 0] = dark
        self.solid[mask > 0] = not hole
        start = int(self.rng.integers(len(path)))
        path = np.roll(path[:-1], start, axis=0)
        path = np.vstack([path, path[:1]])
        if gap and self.rng.random() < self.careless:
            path = path[: round(len(path) * (1 - self.rng.uniform(0.01, WIDEST_GAP)))]
        self._ink(path)

    def stroke(self, points: Points, bend: bool = True) -> None:
        """An open stroke."""
        self._ink(self._path(points, False, bend))

    def _ink(self, path: NDArray[np.float64]) -> None:
        weight = self.pen * self.scale * (1 + 0.25 * _slow(self.rng, len(path)))
        if self.rng.random() < 0.5:  # the pen lifts
            ends = np.minimum(np.arange(len(path)), np.arange(len(path))[::-1]) / max(1, len(path) / 8)
            weight = weight * np.clip(0.45 + ends, 0.45, 1)
        at = np.rint((path * self.scale + self.start) * 16).astype(int)
        for k in range(len(at) - 1):
            thick = max(1, round(float(weight[k])))
            cv2.line(self.line, tuple(at[k].tolist()), tuple(at[k + 1].tolist()), 1.0, thick, cv2.LINE_AA, 4)

    def drawn(self) -> tuple[Floats, Floats]:
        """Line and tone, float32 (side, side), 0 to 1."""
        size = (self.line.shape[1] // FINER, self.line.shape[0] // FINER)
        line, tone = (cv2.resize(v, size, interpolation=cv2.INTER_AREA) for v in (self.line, self.tone))
        return np.asarray(line, np.float32), np.asarray(tone, np.float32)


def _slow(rng: np.random.Generator, count: int) -> NDArray[np.float64]:
    coarse = rng.normal(0, 1, max(3, count // 14))
    return np.interp(np.linspace(0, len(coarse) - 1, count), np.arange(len(coarse)), coarse)


def _rounded(at: NDArray[np.float64], closed: bool, steps: NDArray[np.float64]) -> NDArray[np.float64]:
    """A Catmull-Rom curve through the points."""
    before = at[-2:-1] if closed else at[:1]
    after = at[1:2] if closed else at[-1:]
    knots = np.vstack([before, at, after])
    k = np.minimum(steps.astype(int), len(at) - 2)
    t = (steps - k)[:, None]
    p0, p1, p2, p3 = (knots[k + j] for j in range(4))
    return np.asarray(
        0.5
        * (
            2 * p1
            + (p2 - p0) * t
            + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2
            + (3 * p1 - p0 - 3 * p2 + p3) * t**3
        )
    )


def silhouette(hand: Hand) -> NDArray[np.bool_]:
    """What is not seen through, bool (side, side)."""
    side = hand.solid.shape[0] // FINER
    return np.asarray(hand.solid.reshape(side, FINER, side, FINER).mean(axis=(1, 3)) >= 0.5)


def oval(x: float, y: float, wide: float, tall: float | None = None) -> list[tuple[float, float]]:
    tall = wide if tall is None else tall
    return [(x + wide * math.cos(a), y + tall * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 11)[:-1]]


def box(left: float, top: float, right: float, low: float) -> list[tuple[float, float]]:
    return [(left, top), (right, top), (right, low), (left, low)]


def mug(hand: Hand) -> None:
    """A mug whose handle one sees through."""
    hand.shape([(64, 38), (84, 36), (92, 52), (84, 68), (63, 66)])
    hand.shape([(65, 44), (79, 43), (84, 52), (79, 61), (64, 60)], hole=True, gap=False)
    hand.shape([(22, 28), (68, 28), (65, 78), (45, 82), (26, 78)])
    hand.shape(oval(45, 28, 23, 6), gap=False)
    for k in range(int(hand.rng.integers(0, 3))):
        hand.stroke([(36 + 9 * k, 20), (33 + 9 * k, 13), (38 + 9 * k, 7)])


def chair(hand: Hand) -> None:
    """A chair with slats and legs."""
    count = int(hand.rng.integers(2, 6))
    for x in (26, 66):
        hand.shape(box(x, 8, x + 6, 60), bend=False)
    for y in np.linspace(10, 46, count):
        hand.shape(box(30, float(y), 68, float(y) + 4), bend=False)
    for x in (27, 40, 66, 78):
        hand.shape(box(x, 60, x + 5, 95 if x not in (40, 66) else 88), bend=False)
    hand.shape([(24, 54), (72, 54), (86, 64), (34, 64)], bend=False)


def van(hand: Hand) -> None:
    """A van with windows."""
    hand.shape(
        [(5, 30), (62, 28), (76, 44), (95, 50), (96, 72), (5, 73)], dark=float(hand.rng.choice([0, 0, 0.25]))
    )
    hand.shape([(60, 33), (66, 33), (75, 46), (60, 46)], bend=False)
    for k in range(int(hand.rng.integers(1, 4))):
        hand.shape(box(10 + 16 * k, 34, 23 + 16 * k, 46), bend=False)
    hand.stroke([(57, 30), (57, 70)])
    for x in (23, 78):
        hand.shape(oval(x, 73, 9), gap=False)
        hand.shape(oval(x, 73, 4), gap=False)


def man(hand: Hand) -> None:
    """A man standing, arms at his sides or akimbo."""
    rng = hand.rng
    akimbo = rng.random() < 0.4
    hand.shape([(42, 54), (51, 54), (50, 92), (41, 92)], bend=False)
    hand.shape([(50, 54), (59, 54), (60, 92), (52, 92)], bend=False)
    for x in (40, 56):
        hand.shape(oval(x + 3, 94, 6, 3))
    hand.shape([(38, 26), (62, 26), (61, 57), (39, 57)], dark=float(rng.choice([0, 0, 0.3])))
    for side in (-1, 1):
        x = 50 + 12 * side
        elbow = x + (14 if akimbo else 6) * side
        hand.shape(
            [
                (x, 27),
                (elbow, 40),
                (x if akimbo else elbow, 53),
                (x - 3 * side, 50),
                (elbow - 5 * side, 40),
                (x - 2 * side, 33),
            ]
        )
    hand.shape(oval(50, 14, 8, 10), gap=bool(rng.random() < 0.3))
    hand.stroke([(42, 10), (46, 3), (55, 4), (58, 11)])
    hand.stroke(oval(47, 13, 0.7))
    hand.stroke(oval(53, 13, 0.7))
    hand.stroke([(46, 18), (50, 20), (54, 18)])


def dog(hand: Hand) -> None:
    """A dog from its side."""
    for x in (28, 38, 62, 70):
        hand.shape(box(x, 58, x + 6, 86), bend=False)
    hand.shape([(22, 46), (45, 40), (72, 42), (77, 54), (70, 66), (30, 66)])
    hand.shape([(72, 46), (88, 30), (91, 32), (77, 52)])
    hand.shape([(8, 40), (14, 30), (28, 28), (32, 42), (26, 54), (12, 50)])
    hand.shape([(24, 28), (33, 33), (31, 47), (25, 44)], dark=0.35)
    hand.stroke(oval(17, 38, 0.9))
    hand.shape(oval(8, 43, 2.4, 2), dark=0.8)


def umbrella(hand: Hand) -> None:
    """An open umbrella with a crook."""
    hand.stroke([(50, 44), (50, 84), (55, 91), (62, 86)])
    hand.stroke([(53, 44), (53, 83), (56, 87), (59, 84)])
    hand.shape(
        [(8, 46), (20, 20), (50, 9), (80, 20), (93, 46), (78, 41), (64, 46), (50, 41), (36, 46), (22, 41)]
    )
    for x in (36, 64):
        hand.stroke([(x, 45), ((x + 50) / 2, 22), (50, 10)])


def scissors(hand: Hand) -> None:
    """Scissors with two eyes."""
    hand.shape([(48, 50), (30, 6), (36, 6), (54, 48)])
    hand.shape([(46, 50), (66, 6), (60, 5), (42, 48)])
    for x in (32, 62):
        hand.shape(oval(x, 72, 13, 18))
        hand.shape(oval(x, 73, 8, 12), hole=True, gap=False)
    hand.shape(oval(47, 49, 1.6), gap=False)


def house(hand: Hand) -> None:
    """A shop front."""
    hand.shape(box(14, 40, 86, 90), bend=False)
    hand.shape([(8, 42), (28, 14), (74, 14), (92, 42)], bend=False, dark=float(hand.rng.choice([0, 0.3])))
    hand.shape(box(62, 56, 76, 90), bend=False)
    hand.shape(box(22, 52, 52, 74), bend=False)
    hand.stroke([(37, 52), (37, 74)])
    hand.shape(oval(73, 73, 1), gap=False)


def phone_hand(hand: Hand) -> None:
    """A hand that holds a phone."""
    hand.shape([(30, 98), (28, 74), (22, 58), (30, 44), (66, 44), (72, 60), (64, 78), (62, 98)])
    hand.shape(box(34, 8, 64, 66), bend=False)
    hand.shape(box(37, 14, 61, 58), bend=False, gap=False)
    for k in range(4):
        hand.shape([(60, 30 + 9 * k), (70, 29 + 9 * k), (73, 33 + 9 * k), (69, 37 + 9 * k), (60, 37 + 9 * k)])
    hand.shape([(24, 56), (26, 36), (33, 34), (36, 52)])


def woman(hand: Hand) -> None:
    """A woman in a coat with a bag."""
    for x in (43, 53):
        hand.shape(box(x, 76, x + 6, 94), bend=False)
        hand.shape(oval(x + 4, 95, 5, 2.5))
    hand.shape([(40, 26), (60, 26), (68, 78), (33, 78)], dark=float(hand.rng.choice([0, 0.25])))
    hand.shape([(41, 27), (35, 40), (30, 55), (35, 57), (42, 42)])
    hand.shape([(59, 27), (67, 40), (72, 54), (67, 57), (59, 43)])
    hand.shape([(62, 58), (78, 58), (80, 72), (60, 72)], bend=False, dark=float(hand.rng.choice([0, 0.5])))
    hand.stroke([(66, 58), (70, 50), (74, 58)])
    hand.shape(
        [(38, 16), (42, 4), (58, 4), (62, 18), (60, 30), (40, 30)], dark=float(hand.rng.choice([0, 0.7]))
    )
    hand.shape(oval(50, 15, 7.5, 9.5))
    hand.stroke(oval(47, 14, 0.7))
    hand.stroke(oval(53, 14, 0.7))
    hand.stroke([(47, 19), (50, 21), (53, 19)])


def fence(hand: Hand) -> None:
    """A fence: two rails and pales."""
    for y in (40, 66):
        hand.shape(box(4, y, 96, y + 6), bend=False)
    for x in np.linspace(8, 84, int(hand.rng.integers(4, 7))):
        hand.shape([(x, 30), (x + 4, 24), (x + 8, 30), (x + 8, 86), (x, 86)], bend=False)


def lamp(hand: Hand) -> None:
    """A table lamp on its stem."""
    hand.shape(box(47, 44, 53, 84), bend=False)
    hand.shape(oval(50, 86, 20, 5))
    hand.shape([(34, 12), (66, 12), (80, 46), (20, 46)], bend=False, dark=float(hand.rng.choice([0, 0.2])))


THINGS: tuple[Callable[[Hand], None], ...] = (
    mug, chair, van, man, dog, umbrella, scissors, house, phone_hand, woman, fence, lamp,
)  # fmt: skip


def draw(rng: np.random.Generator, side: int, which: int | None = None) -> tuple[str, Floats, Floats]:
    """The name of a thing, its line and its tone, float32 (side, side), 0 to 1."""
    name, line, tone, _ = draw_known(rng, side, which)
    return name, line, tone


def draw_known(
    rng: np.random.Generator, side: int, which: int | None = None
) -> tuple[str, Floats, Floats, NDArray[np.bool_]]:
    """The same, and what of it is not seen through, bool (side, side)."""
    thing = THINGS[int(rng.integers(len(THINGS))) if which is None else which % len(THINGS)]
    hand = Hand(rng, side)
    thing(hand)
    return thing.__name__, *hand.drawn(), silhouette(hand)
