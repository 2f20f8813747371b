"""A pen that draws shapes over one another and knows what stays bare: what training drawings are made with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

Points = Sequence[tuple[float, float]]
Pixels = NDArray[np.uint8]

FINER = 2  # drawn so much larger than asked for
TURN = 12  # points of a straight side
UNSURE = 100  # alpha of what counts neither as open nor as closed
BODY, GLASS, SIGHT = "body", "glass", "sight"  # closed, open, neither


class Sketch:
    """A drawing in units of 100 across, in a pen and manner of its own."""

    def __init__(self, rng: np.random.Generator, width: int) -> None:
        self.rng = rng
        self.unit = FINER * width / 124
        side = FINER * width
        self.colour = np.zeros((side, side, 4), np.uint8)
        self.line = np.zeros((side, side), np.uint8)
        self.clip = np.ones((side, side), bool)
        self.pen = float(rng.uniform(0.35, 1.5))
        self.wobble = float(rng.choice([0, 0.15, 0.3, 0.6]))
        self.blacks = float(rng.choice([0, 0.1, 0.4]))
        self.hatched = float(rng.choice([0, 0.3, 0.8]))
        self.round = float(rng.choice([0.05, 0.1, 0.16, 0.22]))
        self.frame = np.eye(3)

    @contextmanager
    def place(self, x: float, y: float, size: float = 1, turn: float = 0, side: int = 1) -> Iterator[None]:
        """Draw at another place, size, angle (degrees) and, with side -1, mirrored."""
        was, angle = self.frame, np.radians(turn)
        cos, sin = np.cos(angle) * size, np.sin(angle) * size
        self.frame = was @ np.array([[cos * side, -sin, x], [sin * side, cos, y], [0, 0, 1]])
        yield
        self.frame = was

    @contextmanager
    def inside(self, points: Points, bend: bool = True) -> Iterator[None]:
        """Draw only within a shape."""
        was, mask = self.clip, np.zeros(self.line.shape, np.uint8)
        cv2.fillPoly(mask, [self._outline(points, True, bend)], 1)
        self.clip = was & (mask > 0)
        yield
        self.clip = was

    def shape(
        self, points: Points, kind: str = BODY, *, bend: bool = True, black: float = 0, weight: float = 1
    ) -> None:
        """A closed shape; `black` is how likely it is filled."""
        outline = self._outline(points, True, bend)
        mask = np.zeros(self.line.shape, np.uint8)
        cv2.fillPoly(mask, [outline], 1)
        inner = (mask > 0) & self.clip
        if kind == BODY:
            self.colour[inner] = [*self.rng.integers(60, 255, 3), 255]
        else:
            self.colour[inner] = (255, 255, 255, UNSURE if kind == SIGHT else 0)
        is_black = kind == BODY and self.rng.random() < black
        self.line[inner] = 255 if is_black else 0
        self._stroke(outline, weight, True)

    def stroke(self, points: Points, weight: float = 0.6, bend: bool = True) -> None:
        self._stroke(self._outline(points, False, bend), weight, False)

    def tube(self, points: Points, widths: Sequence[float], black: float = 0, weight: float = 1) -> None:
        """A limb or bar along a line, as wide as said at each point."""
        line = np.array(points, float)
        ahead = np.gradient(line, axis=0)
        aside = np.stack([-ahead[:, 1], ahead[:, 0]], 1) / np.linalg.norm(ahead, axis=1, keepdims=True)
        half = np.array(widths, float)[:, None] / 2
        outline = np.vstack([line + half * aside, (line - half * aside)[::-1]])
        self.shape([(float(x), float(y)) for x, y in outline], black=black, weight=weight)

    def ring(
        self, x: float, y: float, wide: float, thick: float, tall: float | None = None, black: float = 0
    ) -> None:
        """A ring that one sees through."""
        high = tall or wide
        self.shape(disc(x, y, wide, high), black=black)
        self.shape(disc(x, y, wide - thick, high - thick), GLASS)

    def hatch(self, points: Points, weight: float = 0.4) -> None:
        """Slanting strokes within a shape, as for a shade or the shine of glass."""
        xs, ys = zip(*points, strict=True)
        left, right, top, low = min(xs), max(xs), min(ys), max(ys)
        start = left + self.rng.uniform(0, 0.6) * (right - left)
        step, slant = self.rng.uniform(1.2, 4), self.rng.uniform(0.2, 0.8) * (low - top)
        ends = self.rng.uniform(0, 0.5, 2) * (low - top)
        with self.inside(points):
            for k in range(int(self.rng.integers(2, 9))):
                x = start + k * step
                self.stroke([(x + slant, top + ends[0]), (x, low - ends[1])], weight, bend=False)

    def pane(self, points: Points, bend: bool = True, weight: float = 0.8) -> None:
        """Glass, sometimes with its shine."""
        self.shape(points, GLASS, bend=bend, weight=weight)
        if self.rng.random() < self.hatched:
            self.hatch(points)

    def done(self) -> tuple[Pixels, Pixels]:
        """Colour, RGBA with glass empty, and alpha of the line, at the size asked for."""
        ink = self.colour.copy()
        touched = self.line > 127
        ink[touched & (ink[..., 3] == 0)] = (0, 0, 0, 255)
        size = (self.line.shape[1] // FINER, self.line.shape[0] // FINER)
        return (
            np.asarray(cv2.resize(ink, size, interpolation=cv2.INTER_NEAREST), np.uint8),
            np.asarray(cv2.resize(self.line, size, interpolation=cv2.INTER_AREA), np.uint8),
        )

    def _stroke(self, outline: NDArray[np.int32], weight: float, closed: bool) -> None:
        drawn = np.zeros_like(self.line)
        width = max(1, round(weight * self.pen * self.unit * float(self.rng.uniform(0.8, 1.2))))
        cv2.polylines(drawn, [outline], closed, 255, width, cv2.LINE_AA)
        np.maximum(self.line, np.where(self.clip, drawn, 0), out=self.line)

    def _outline(self, points: Points, closed: bool, bend: bool) -> NDArray[np.int32]:
        """Pixels of a line through points, round at the inner ones with `bend`."""
        given = np.array([(*point, 1) for point in points], float) @ self.frame.T
        points = given[:, :2]
        line = _rounded(points, closed, self.round) if bend and len(points) > 2 else _straight(points, closed)
        if self.wobble:
            # the same wobble wherever the same line is drawn, so that shapes which meet still meet
            turn = line / 9
            away = np.stack([np.sin(2.1 * turn[:, 1] + turn[:, 0]), np.sin(1.7 * turn[:, 0] - turn[:, 1])], 1)
            line = line + self.wobble * away
        return np.rint((line + 62) * self.unit).astype(np.int32)


def _straight(points: NDArray[np.float64], closed: bool) -> NDArray[np.float64]:
    ends = np.vstack([points, points[:1]]) if closed else points
    steps = np.linspace(0, 1, TURN, endpoint=False)[:, None]
    return np.vstack([*(a + steps * (b - a) for a, b in pairwise(ends)), ends[-1:]])


def _rounded(points: NDArray[np.float64], closed: bool, first: float) -> NDArray[np.float64]:
    """Corners cut three times (Chaikin 1974), at first by a share of the sides that meet there."""
    for share in (first, 0.25, 0.25):
        after = np.roll(points, -1, axis=0) if closed else points[1:]
        before = points if closed else points[:-1]
        cut = np.stack([(1 - share) * before + share * after, share * before + (1 - share) * after], 1)
        cut = cut.reshape(-1, 2)
        points = cut if closed else np.vstack([points[:1], cut, points[-1:]])
    return points


def box(left: float, top: float, right: float, low: float, slant: float = 0, taper: float = 0) -> Points:
    """Corners of a box, its top moved by `slant` and narrower by `taper` on both sides."""
    return [(left + slant + taper, top), (right + slant - taper, top), (right, low), (left, low)]


def disc(x: float, y: float, wide: float, tall: float | None = None) -> Points:
    angles = np.linspace(0, 2 * np.pi, 14, endpoint=False)
    return [(x + wide * float(np.cos(a)), y + (tall or wide) * float(np.sin(a))) for a in angles]


def within(corners: Points, left: float, top: float, right: float, low: float) -> Points:
    """A box, in shares of a four-cornered face from its top left one on, as corners."""
    a, b, c, d = (np.array(corner) for corner in corners)

    def at(u: float, v: float) -> tuple[float, float]:
        point = (1 - v) * ((1 - u) * a + u * b) + v * ((1 - u) * d + u * c)
        return float(point[0]), float(point[1])

    return [at(left, top), at(right, top), at(right, low), at(left, low)]
