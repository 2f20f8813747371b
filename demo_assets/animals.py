"""Dogs, about 60 units high."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from .pen import Pen, arc


def dog_sitting(pen: Pen) -> None:
    pen.tube([(-20, 24), (-30, 22), (-34, 12)], [3, 2.6, 1.6], "white", tip=True)
    pen.shape([(-4, -14), (8, -10), (12, 6), (10, 28), (-14, 29), (-24, 24), (-22, 8), (-14, -6)], "white")
    pen.line([(-20, 8), (-8, 6), (-3, 16), (-8, 28)], 0.9)
    pen.shape([(-16, 24), (-2, 24), (0, 29.5), (-18, 29.5)], "white", 0.9)
    pen.tube([(6, 2), (8, 16), (8, 27)], [4, 3, 2.6], "white")
    pen.shape([(4.5, 26), (13, 25.5), (14, 29.5, 1), (4.5, 29.5, 1)], "white", 0.9)
    _dog_head(pen, 6, -22)
    pen.line([(-4, -11), (3, -7.5), (10, -10)], 2.4)


def _dog_head(pen: Pen, x: float, y: float, turn: float = 0) -> None:
    with pen.place(x, y, 1, turn):
        pen.shape([(-10, -6), (-4, -12), (4, -11), (8, -5), (20, -2), (22, 3), (19, 7), (8, 9), (-2, 11), (-10, 5)], "white")
        pen.shape(arc(20.5, -0.4, 2.6, 2.2), "black", 0.7)
        pen.dot(6, -4, 1.5)
        pen.line([(20, 3.6), (14, 5.6), (9, 4.6)], 0.7)
        pen.shape([(-9, -8), (-2, -9), (1, 0), (-3, 9, 1), (-9, 7), (-12, -1)], "black", 0.9)
        pen.line([(-7, -4), (-5, 3)], 0.6, ink=False)


def dog_walking(pen: Pen) -> None:
    pen.tube([(-30, -8), (-40, -16), (-42, -26)], [3, 2.4, 1.4], "white", tip=True)
    for leg in (((-20, 2), (-26, 14), (-32, 26)), ((14, 4), (20, 16), (25, 26))):
        pen.tube(leg, [5, 3.2, 2.5], "white", butt=True)
        pen.line([(leg[2][0] - 3, 27), (leg[2][0] + 5, 27.5)], 1.8)
    pen.shape([(-30, -14), (-8, -13), (14, -17), (24, -12), (22, 4), (6, 8), (-12, 5), (-28, 6), (-34, -2)], "white")
    for leg in (((-26, 2), (-22, 14), (-18, 26)), ((18, 4), (14, 16), (9, 26))):
        pen.tube(leg, [6, 3.4, 2.6], "white", butt=True)
        pen.line([(leg[2][0] - 3, 27), (leg[2][0] + 5, 27.5)], 1.8)
    pen.fill([(-28, -6), (-18, -10), (-20, 3), (-28, 3)], "white")
    pen.fill([(12, -6), (22, -8), (21, 4), (13, 5)], "white")
    _dog_head(pen, 26, -22, 6)
    pen.line([(14, -15), (19, -10), (25, -11)], 2.2)
    pen.hatch([(-26, -10), (-12, -10), (-14, -2), (-26, -2)], 2, -60, 0.6)


def dog_back(pen: Pen) -> None:
    pen.shape([(0, -16), (10, -12), (15, 4), (18, 24), (12, 30), (-12, 30), (-18, 24), (-15, 4), (-10, -12)], "white")
    pen.line([(-13, 12), (-6, 14), (-6, 29)], 0.9)
    pen.line([(13, 12), (6, 14), (6, 29)], 0.9)
    pen.tube([(0, 24), (10, 34), (22, 33)], [3, 2.6, 1.6], "white", tip=True)
    pen.shape([(0, -38), (9, -36), (12, -26), (9, -17), (0, -14), (-9, -17), (-12, -26), (-9, -36)], "white")
    for side in (-1, 1):
        pen.shape([(side * 8, -36), (side * 15, -32), (side * 17, -20, 1), (side * 11, -22)], "black", 0.9)
    pen.line([(-8, -14.5), (0, -12), (8, -14.5)], 2.2)


def dog_lying(pen: Pen) -> None:
    pen.shape([(-34, 12), (-28, 0), (-6, -4), (14, -2), (20, 8), (18, 16), (-30, 17)], "white")
    pen.line([(-28, 10), (-18, 4), (-12, 12), (-18, 16)], 0.9)
    pen.tube([(-32, 12), (-42, 14), (-46, 10)], [2.6, 2.2, 1.4], "white", tip=True)
    pen.tube([(12, 12), (24, 14), (36, 15)], [4, 3.2, 2.8], "white", tip=True)
    _dog_head(pen, 20, 3, 8)
