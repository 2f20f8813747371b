"""Arrows as boards carry them: camera moves as hollow arrows, actors' moves as inked ones; about 90 units wide."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off

from __future__ import annotations

import math
from itertools import pairwise

from .pen import Path, Pen, arc, box, smooth, tube_sides


def _hollow(pen: Pen, centre: Path, start: float, end: float, head: float, tint: str = "white") -> None:
    """A broad arrow along a centre line, its shaft growing from `start` to `end` half-width."""
    n = len(centre)
    left, right = tube_sides(centre, [start + (end - start) * i / (n - 1) for i in range(n)])
    run = smooth(centre)
    dx, dy = run[-1] - run[max(-6, -len(run))]
    far = math.hypot(dx, dy) or 1.0
    ux, uy = dx / far, dy / far
    tip = (run[-1][0] + ux * head * 1.5, run[-1][1] + uy * head * 1.5, 1)
    barbs = [(run[-1][0] + s * uy * head, run[-1][1] - s * ux * head, 1) for s in (1, -1)]
    step = max(1, len(left) // 12)
    path: Path = [(*left[0], 1), *left[step:-1:step].tolist(), (*left[-1], 1), barbs[0], tip, barbs[1], (*right[-1], 1),
                  *right[-2:0:-step].tolist(), (*right[0], 1)]
    pen.shape(path, tint, 1.15)


def _point(pen: Pen, x: float, y: float, turn: float, size: float = 9) -> None:
    with pen.place(x, y, size, turn):
        pen.shape([(1.3, 0, 1), (-0.7, -0.85, 1), (-0.25, 0), (-0.7, 0.85, 1)], "black", 0.9)


def push_in(pen: Pen) -> None:
    """A frame within the frame, four arrows running into it."""
    pen.shape(box(-24, -14, 24, 14), "white", 0.8)
    for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        _hollow(pen, [(x * 58, y * 37), (x * 37, y * 23)], 5.5, 2.4, 6.5)


def pull_out(pen: Pen) -> None:
    pen.shape(box(-20, -12, 20, 12), "white", 0.8)
    for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        _hollow(pen, [(x * 24, y * 15), (x * 46, y * 29)], 2, 4.6, 9)


def pan_right(pen: Pen) -> None:
    """A broad arrow bent as a pan is, from left to right."""
    _hollow(pen, [(-52, 8), (-26, -4), (0, -8), (26, -4), (40, 2)], 8, 8, 17)


def pan_left(pen: Pen) -> None:
    with pen.place(flip=True):
        pan_right(pen)


def tilt_up(pen: Pen) -> None:
    _hollow(pen, [(8, 48), (-4, 22), (-7, 0), (-3, -22), (1, -32)], 8, 8, 17)


def track(pen: Pen) -> None:
    """A camera on rails, running right."""
    pen.line([(-62, 30), (66, 26)], 1.2)
    pen.line([(-62, 38), (66, 34)], 1.2)
    for k in range(9):
        pen.line([(-56 + k * 14, 27), (-58 + k * 14, 41)], 0.9)
    pen.shape([(-44, 16, 1), (-4, 15, 1), (-4, 24, 1), (-44, 25, 1)], "black")
    for x in (-36, -12):
        pen.shape(arc(x, 27, 4.6), "white")
    pen.line([(-24, 16), (-24, -6)], 2)
    pen.shape(box(-38, -24, -12, -6, 2), "white")
    pen.shape([(-12, -19, 1), (-3, -23, 1), (-3, -7, 1), (-12, -11, 1)], "white")
    pen.shape(arc(-33, -29, 6), "white", 0.9)
    pen.shape(arc(-20, -30, 7), "white", 0.9)
    _hollow(pen, [(10, -4), (40, -6)], 6, 6, 13)


def crane_up(pen: Pen) -> None:
    _hollow(pen, [(-46, 40), (-20, 38), (6, 26), (22, 2), (26, -18)], 3.5, 9, 18)
    pen.hatch([(-36, 43), (-16, 41), (8, 31), (14, 24), (4, 22), (-20, 34)], 2, -60, 0.5)


def zoom_dashed(pen: Pen) -> None:
    """Sight lines of a lens that opens: a cone in dashes with a small camera."""
    pen.shape(box(-58, -9, -38, 9, 2), "white")
    pen.shape([(-38, -4, 1), (-31, -8, 1), (-31, 8, 1), (-38, 4, 1)], "black")
    for s in (-1, 1):
        for k in range(5):
            a, b = k / 5, (k + 0.62) / 5
            pen.line([(-28 + 84 * a, s * (5 + 30 * a)), (-28 + 84 * b, s * (5 + 30 * b))], 1, (0.8, 0.6))
    pen.line([(-22, 0), (34, 0)], 1.5)
    _point(pen, 40, 0, 0)


def actor_walks(pen: Pen) -> None:
    """A dashed path that bends, with an inked head: walk from here to there."""
    run = smooth([(-54, 30), (-30, 34), (-6, 18), (8, -8), (34, -16), (44, -15)])
    cuts = [int(len(run) * k / 9) for k in range(10)]
    for a, b in pairwise(cuts):
        pen.line(run[a : a + int((b - a) * 0.66) + 1], 2, (0.8, 0.6))
    _point(pen, 52, -13, 8, 11)
    pen.line([(-60, 24), (-49, 37)], 1.8)
    pen.line([(-49, 25), (-59, 36)], 1.8)


def actor_turns(pen: Pen) -> None:
    pen.line(arc(0, 0, 34, 18, 150, 385), 2.2)
    _point(pen, 29.5, 9.5, 128, 11)
    pen.shape(arc(0, 0, 8, 6), "black")


def actor_exits(pen: Pen) -> None:
    """Out of the frame to the left."""
    pen.line([(-14, -36), (-14, -12)], 1.4)
    pen.line([(-14, 14), (-14, 36)], 1.4)
    pen.line([(48, 6), (20, -4), (-10, 0), (-38, 2)], 2.4)
    _point(pen, -42, 2, 178, 12)


def van_drives(pen: Pen) -> None:
    """A broad curved arrow in perspective on the road."""
    _hollow(pen, [(-44, 40), (-14, 34), (6, 18), (10, -4), (6, -16)], 12, 4.5, 11, "black")


def handheld(pen: Pen) -> None:
    pen.line([(-52, 4), (-42, -10), (-32, 8), (-22, -9), (-12, 8), (-2, -9), (8, 8), (18, -7), (28, 4), (40, 0)], 1.9)
    _point(pen, 46, 0, 0, 11)
