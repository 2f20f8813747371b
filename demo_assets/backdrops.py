"""Two backdrops drawn through a camera: a bakery street down one vanishing point, a ferry quay between two."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

import math
from collections.abc import Sequence

from PIL import Image

from .pen import INK, Pen

SIZE = (2400, 1350)
UNIT = 10.0  # pixels for each pen unit
NEAREST = 1.2  # metres: what comes closer to the eye is cut off

Spot = tuple[float, float, float]


class View:
    """A camera that stands upright: metres east, up and north of its feet become pen units round the middle."""

    def __init__(self, pen: Pen, eye: float, lens: float, turn: float, centre: float, horizon: float) -> None:
        self.pen, self.eye, self.lens = pen, eye, lens
        self.turn, self.centre, self.horizon = math.radians(turn), centre, horizon

    def spot(self, p: Spot) -> tuple[float, float, int]:
        """Where the point stands on the paper, as a corner of a path."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        across, deep = p[0] * c - p[2] * s, max(p[0] * s + p[2] * c, NEAREST)
        return self.centre + self.lens * across / deep, self.horizon + self.lens * (self.eye - p[1]) / deep, 1

    def size(self, p: Spot) -> float:
        """Pen units for one metre at that point."""
        return self.lens / max(p[0] * math.sin(self.turn) + p[2] * math.cos(self.turn), NEAREST)

    def face(self, corners: Sequence[Spot], tint: str | None = "white", w: float = 1) -> None:
        self.pen.shape([self.spot(p) for p in corners], tint, w)

    def line(self, a: Spot, b: Spot, w: float = 0.8, ink: bool = True) -> None:
        self.pen.line([self.spot(a), self.spot(b)], w, (0.8, 0.6), ink=ink)

    def hatch(self, corners: Sequence[Spot], gap: float, turn: float = -60, w: float = 0.5) -> None:
        self.pen.hatch([self.spot(p) for p in corners], gap, turn, w)


def _finish(pen: Pen) -> Image.Image:
    """The whole picture in grey, uncropped."""
    ink = pen.ink.resize(SIZE, Image.Resampling.BOX)
    return ink.point([round(255 - v * (255 - INK[0]) / 255) for v in range(256)])


def _pane(view: View, x: float, y: float, z0: float, z1: float, tall: float, dark: bool = False) -> None:
    """A window in a wall that runs along the street at x."""
    view.face([(x, y, z0), (x, y + tall, z0), (x, y + tall, z1), (x, y, z1)], "black" if dark else "white", 0.8)
    mid = (z0 + z1) / 2
    view.line((x, y, mid), (x, y + tall, mid), 0.7, not dark)
    view.line((x, y + tall * 0.55, z0), (x, y + tall * 0.55, z1), 0.7, not dark)
    view.line((x, y - 0.1, z0 - 0.1), (x, y - 0.1, z1 + 0.1), 1.1)


def _house(view: View, side: int, z0: float, z1: float, tall: float, seed: int) -> None:
    """One house of the street: its gable toward us, its front along the street."""
    x, far = side * 4.6, side * 12.0
    view.face([(x, 0, z0), (x, tall, z0), (far, tall, z0), (far, 0, z0)])
    view.hatch([(x, 0, z0), (x, tall, z0), (far, tall, z0), (far, 0, z0)], 1.9, -55, 0.5)
    view.face([(x, 0, z0), (x, tall, z0), (x, tall, z1), (x, 0, z1)])
    view.face([(x - side * 0.25, tall, z0 - 0.1), (x - side * 0.25, tall + 0.45, z0 - 0.1), (x - side * 0.25, tall + 0.45, z1), (x - side * 0.25, tall, z1)])
    count = max(2, round((z1 - z0) / 2.2))
    step = (z1 - z0) / count
    floor = 3.6
    while floor + 1.9 < tall:
        for k in range(count):
            a = z0 + step * (k + 0.28)
            _pane(view, x, floor, a, a + step * 0.44, 1.6, (seed + k + int(floor)) % 3 != 0)
        floor += 2.7


def _shop(view: View, side: int, z0: float, z1: float, lit: bool, awning: bool) -> None:
    x = side * 4.6
    door = z0 + (z1 - z0) * 0.72
    view.face([(x, 0, door), (x, 2.5, door), (x, 2.5, door + 1), (x, 0, door + 1)], "white", 0.9)
    view.face([(x, 0.9, door + 0.2), (x, 2.3, door + 0.2), (x, 2.3, door + 0.8), (x, 0.9, door + 0.8)], "white", 0.6)
    wall = [(x, 0.7, z0 + 0.4), (x, 2.5, z0 + 0.4), (x, 2.5, door - 0.3), (x, 0.7, door - 0.3)]
    view.face(wall, "white", 1)
    if lit:
        for y in (1.1, 1.7):
            view.line((x, y, z0 + 0.5), (x, y, door - 0.4), 0.8)
            z = z0 + 0.7
            while z < door - 0.6:
                px, py, _ = view.spot((x, y, z))
                s = view.size((x, y, z)) * 0.17
                view.pen.shape([(px - s, py), (px - s * 0.7, py - s), (px, py - s * 1.3), (px + s * 0.7, py - s), (px + s, py)], "white", 0.7)
                z += 0.52
    else:
        view.hatch(wall, 1.5, -60, 0.6)
    view.line((x, 2.95, z0 + 0.2), (x, 2.95, z1 - 0.2), 1.2)
    if awning:
        _awning(view, side, z0 + 0.3, door - 0.2)


def _awning(view: View, side: int, z0: float, z1: float) -> None:
    x, out = side * 4.6, side * 3.5
    for k in reversed(range(7)):
        a, b = z0 + (z1 - z0) * k / 7, z0 + (z1 - z0) * (k + 1) / 7
        tint = "black" if k % 2 else "white"
        view.face([(x, 3.1, a), (x, 3.1, b), (out, 2.5, b), (out, 2.5, a)], tint, 0.8)
        view.face([(out, 2.5, a), (out, 2.5, b), (out, 2.22, b), (out, 2.22, a)], tint, 0.7)
    view.face([(x, 3.1, z0), (out, 2.5, z0), (out, 2.22, z0), (x, 2.3, z0)], "white", 0.8)


def _lamp(view: View, x: float, z: float) -> None:
    pen, (px, py, _), s = view.pen, view.spot((x, 0, z)), view.size((x, 0, z))
    with pen.place(px, py, s):
        pen.shape([(-0.06, 0, 1), (-0.04, -3.4, 1), (0.04, -3.4, 1), (0.06, 0, 1)], "black", 0.8)
        pen.shape([(-0.14, -3.4, 1), (-0.24, -3.95, 1), (0.24, -3.95, 1), (0.14, -3.4, 1)], "white", 0.9)
        pen.shape([(-0.3, -3.95, 1), (0, -4.25, 1), (0.3, -3.95, 1)], "black", 0.8)
        pen.line([(-0.35, -3.75), (-0.6, -3.8)], 0.7)
        pen.line([(0.35, -3.75), (0.6, -3.8)], 0.7)


def _cobbles(view: View) -> None:
    rng = view.pen.rng
    z = 3.2
    while z < 26:
        for _ in range(7):
            x = rng.uniform(-2.9, 2.9)
            view.line((x, 0, z), (x + rng.uniform(0.2, 0.5), 0, z), 0.7)
            if rng.random() < 0.4:
                view.line((x, 0, z), (x * 1.0, 0, z + 0.25), 0.6)
        z *= 1.13


def bakery_street() -> Image.Image:
    """The bakery's street before dawn, one vanishing point."""
    pen = Pen(5101, UNIT, (SIZE[0] / UNIT, SIZE[1] / UNIT), weight=3.3)
    view = View(pen, 1.65, 95, 0, 8, 12)
    pen.line([(-4, 12), (20, 12)], 0.8)
    pen.shape([(1, 12, 1), (1, -9, 1), (4.5, -24, 1), (8, -9, 1), (8, 12, 1)], "white", 0.9)
    pen.hatch([(4.6, -20), (8, -9), (8, 12), (4.6, 12)], 1.4, -60, 0.45)
    pen.shape([(3.6, -4), (4.5, -6), (5.4, -4), (5.4, -1, 1), (3.6, -1, 1)], "black", 0.6)
    pen.shape([(18, -57), (23, -52), (23, -46), (18, -41, 1), (26, -43), (29, -49), (26, -55), (18, -57, 1)], "white", 0.8)
    left = ((3.0, 6.4, 7.0), (6.4, 12.4, 9.4), (12.4, 17, 7.4), (17, 23, 10.2), (23, 30, 8.0), (30, 40, 9))
    right = ((3.4, 8.6, 9.2), (8.6, 13, 6.6), (13, 19, 9.6), (19, 25, 7.4), (25, 31, 10), (31, 40, 8.2))
    for n in reversed(range(6)):
        for side, row in ((-1, left), (1, right)):
            z0, z1, tall = row[n]
            _house(view, side, z0, z1, tall, n * 3 + side)
            _shop(view, side, z0, z1, lit=(side, n) == (-1, 1), awning=(side, n) in ((-1, 1), (1, 2)))
        if n in (1, 3):
            _lamp(view, 3.4, right[n][1])
    for x in (-3.2, 3.2):
        view.line((x, 0.12, 1.6), (x, 0.12, 40), 1.1)
        view.line((x * 0.97, 0, 1.6), (x * 0.97, 0, 40), 0.8)
    _cobbles(view)
    return _finish(pen)


def _block(view: View, lo: Spot, hi: Spot, tint: str = "white", shade: bool = False) -> None:
    """A box between two corners: its top where we see it, its south face, and the side that looks to the street."""
    (x0, y0, z0), (x1, y1, z1) = lo, hi
    if y1 < view.eye:
        view.face([(x0, y1, z0), (x1, y1, z0), (x1, y1, z1), (x0, y1, z1)], tint)
    view.face([(x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)], tint)
    x = x0 if x0 > 0 else x1  # the eye stands at x = 0
    side = [(x, y0, z0), (x, y1, z0), (x, y1, z1), (x, y0, z1)]
    view.face(side, tint)
    if shade:
        view.hatch(side, 1.7, -62, 0.5)


def _south_windows(view: View, xs: Sequence[float], y: float, z: float, wide: float, tall: float, dark: bool = True) -> None:
    for x in xs:
        view.face([(x, y, z), (x + wide, y, z), (x + wide, y + tall, z), (x, y + tall, z)], "black" if dark else "white", 0.8)


def _west_windows(view: View, x: float, y: float, zs: Sequence[float], wide: float, tall: float, dark: bool = False) -> None:
    for z in zs:
        view.face([(x, y, z), (x, y, z + wide), (x, y + tall, z + wide), (x, y + tall, z)], "black" if dark else "white", 0.8)
        view.line((x, y, z + wide / 2), (x, y + tall, z + wide / 2), 0.6, not dark)


def _terminal(view: View) -> None:
    """The ferry house: its corner toward us, one front to either vanishing point."""
    x0, x1, z0, z1 = 3.9, 10.0, 13.0, 27.0
    _block(view, (x0, 0, z0), (x1, 6.8, z1))
    view.face([(x0 - 0.5, 6.8, z0 - 0.5), (x1 + 0.4, 6.8, z0 - 0.5), (x1 + 0.4, 7.3, z0 - 0.5), (x0 - 0.5, 7.3, z0 - 0.5)], "white")
    view.face([(x0 - 0.5, 6.8, z0 - 0.5), (x0 - 0.5, 7.3, z0 - 0.5), (x0 - 0.5, 7.3, z1 + 0.4), (x0 - 0.5, 6.8, z1 + 0.4)], "black")
    _south_windows(view, (4.5, 8.0), 0.9, z0, 1.0, 1.9, dark=False)
    _south_windows(view, (4.5, 6.2, 8.0), 4.5, z0, 1.0, 1.5)
    for x in (4.5, 8.0):
        view.line((x + 0.5, 0.9, z0), (x + 0.5, 2.8, z0), 0.7)
    view.face([(6.0, 0, z0), (7.4, 0, z0), (7.4, 2.7, z0), (6.0, 2.7, z0)], "black", 0.9)
    view.line((6.7, 0, z0), (6.7, 2.7, z0), 0.9, ink=False)
    view.face([(4.4, 3.3, z0), (9.4, 3.3, z0), (9.4, 4.0, z0), (4.4, 4.0, z0)], "white", 0.9)
    view.line((5.2, 3.65, z0), (8.4, 3.65, z0), 2)
    _west_windows(view, x0, 1.0, (14.0, 16.6, 19.2, 21.8, 24.4), 1.5, 1.9)
    _west_windows(view, x0, 4.5, (14.0, 16.6, 19.2, 21.8, 24.4), 1.5, 1.5, dark=True)
    view.line((x0, 3.5, z0), (x0, 3.5, z1), 0.8)


def _ferry(view: View) -> None:
    """The ferry at its berth beyond the quay, along the left vanishing direction."""
    x0, x1, z0, z1 = -13.5, -7.6, 15.0, 46.0
    _block(view, (x0, -1.2, z0), (x1, 2.4, z1))
    view.face([(x1, -1.2, z0), (x1, -1.2, z1), (x1, 0.1, z1), (x1, 0.1, z0)], "black")
    view.face([(x0, -1.2, z0), (x1, -1.2, z0), (x1, 0.1, z0), (x0, 0.1, z0)], "black")
    view.face([(x0 + 1, 0.4, z0), (x1 - 1, 0.4, z0), (x1 - 1, 2.1, z0), (x0 + 1, 2.1, z0)], "white", 0.9)
    _block(view, (x0 + 2, 7.0, z0 + 8), (x1 - 2, 9.6, z0 + 10.5), "black")
    for lo, hi in (((x0 + 0.6, 2.4, z0 + 3), (x1 - 0.6, 5.0, z1 - 4)), ((x0 + 1.2, 5.0, z0 + 5), (x1 - 1.2, 7.2, z0 + 12))):
        _block(view, lo, hi)
    for k in range(9):
        z = z0 + 4.5 + k * 2.6
        x = x1 - 0.6
        view.face([(x, 3.1, z), (x, 3.1, z + 1.4), (x, 4.2, z + 1.4), (x, 4.2, z)], "black", 0.7)
    _south_windows(view, (x0 + 1.1, x0 + 2.6, x0 + 4.1), 3.2, z0 + 3, 0.95, 1.0)
    _south_windows(view, (x0 + 1.5, x0 + 2.6, x0 + 3.7), 5.8, z0 + 5, 0.8, 0.8)


def ferry_quay() -> Image.Image:
    """The ferry quay by day, two vanishing points on the eye level of someone standing."""
    pen = Pen(5202, UNIT, (SIZE[0] / UNIT, SIZE[1] / UNIT), weight=3.3)
    view = View(pen, 1.7, 80, -30, -40, 14)
    pen.line([(-121, 14), (0, 13.8), (121, 14)], 0.8)
    island = [(-112, 14, 1), (-104, 9), (-92, 5), (-80, 8), (-66, 14, 1)]
    pen.shape(island, "white", 0.8)
    pen.hatch([(-94, 6), (-86, 6.6), (-80, 8.5), (-68, 13.8), (-98, 13.8)], 1.4, -50, 0.45)
    _sky(pen)
    for x, y in ((-112, 22), (-96, 19), (-108, 30), (-80, 24), (-100, 39)):
        pen.line([(x, y), (x + 2, y - 0.8), (x + 4, y + 0.4), (x + 7, y - 0.3)], 0.7)
    _ferry(view)
    near, far = view.spot((-6.6, 0, -1.4)), view.spot((-6.6, 0, 60))
    pen.fill([near, far, (125, 14.3, 1), (125, 70, 1), (-190, 70, 1)])
    view.face([(-6.6, -1.3, -0.5), (-6.6, -0.05, -0.5), (-6.6, -0.05, 60), (-6.6, -1.3, 60)], "black", 0.9)
    pen.fill([near, far, (125, 14.3, 1), (125, 70, 1), (-190, 70, 1)])
    for x, w in ((-6.6, 1.3), (-6.1, 0.8)):
        view.line((x, 0, -0.8), (x, 0, 60), w)
    _paving(view)
    _terminal(view)
    for z in (30, 20, 13, 8.2, 4.6):
        _bollard(view, -5.4, z)
    for z in (27, 16, 9.5):
        _lamp(view, -3.0, z)
    return _finish(pen)


def _sky(pen: Pen) -> None:
    for x, y, wide in ((-96, -34, 40), (-70, -29, 34), (-20, -50, 46), (-6, -45, 30)):
        pen.line([(x, y), (x + wide * 0.5, y - 0.8), (x + wide, y)], 0.6)
    for x, y, k in ((-52, -44, 1.0), (-40, -38, 0.7), (-60, -36, 0.6)):
        with pen.place(x, y, k):
            pen.line([(-6, -2), (-3, -3.6), (0, 0, 1), (3, -4), (6.4, -2.6)], 0.9)


def _paving(view: View) -> None:
    """Slabs of the quay: lines to both vanishing points."""
    for k in range(10):
        x = -4.6 + k * 1.9
        view.line((x, 0, (1.5 + 0.5 * x) / 0.866), (x, 0, 13 if x > 3.4 else 48), 0.5)
    for z in (1.0, 2.4, 4.0, 5.9, 8.2, 10.8, 14, 18, 23, 30, 40):
        view.line((-6.1, 0, z), (min((0.866 * z - 1.3) / 0.5, 14 if z < 13 else 3.9), 0, z), 0.5)


def _bollard(view: View, x: float, z: float) -> None:
    (px, py, _), s = view.spot((x, 0, z)), view.size((x, 0, z))
    with view.pen.place(px, py, s):
        view.pen.shape([(-0.24, 0.04, 1), (-0.17, -0.4), (-0.28, -0.52), (-0.2, -0.66), (0.2, -0.66), (0.28, -0.52), (0.17, -0.4), (0.24, 0.04, 1)], "black", 0.9)


BACKDROPS = {"bakery street 1pt_bg.png": bakery_street, "ferry_quay BG two point.png": ferry_quay}
