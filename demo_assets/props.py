"""Things that stand about: laptops, bread, cups, crates, a ferry, a bicycle, quay gear; about 100 units wide."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from itertools import pairwise

from .hands import paper_cup, steam
from .pen import Path, Pen, arc, box


def _keys(pen: Pen, left: tuple[float, float], right: tuple[float, float], down: tuple[float, float], rows: int = 4) -> None:
    """Rows of keys on a slanting board: dashes between the left and right edge, moving by `down` in all."""
    for k in range(rows):
        t = (k + 0.5) / rows
        x0, y0 = left[0] + down[0] * t, left[1] + down[1] * t
        x1, y1 = right[0] - down[0] * t, right[1] + down[1] * t
        for i in range(11):
            a, b = (i + 0.12) / 11, (i + 0.78) / 11
            pen.line([(x0 + (x1 - x0) * a, y0 + (y1 - y0) * a), (x0 + (x1 - x0) * b, y0 + (y1 - y0) * b)], 0.9, (1, 1))


def laptop_front(pen: Pen) -> None:
    pen.shape([(-46, 14, 1), (46, 14, 1), (60, 38, 1), (60, 41), (-60, 41), (-60, 38, 1)], "case")
    pen.line([(-60, 38), (0, 37.4), (60, 38)], 0.7)
    _keys(pen, (-40, 16), (40, 16), (-8, 13))
    pen.shape([(-12, 31, 1), (12, 31, 1), (14, 36, 1), (-14, 36, 1)], "case", 0.6)
    pen.shape(box(-46, -42, 46, 14, 3), "case")
    pen.shape(box(-42, -38, 42, 10, 1), "screen", 0.7)
    pen.shape(box(-37, -33, -4, -6, 1), "white", 0.7)
    pen.line([(-37, -10), (-26, -22), (-18, -14), (-12, -20), (-4, -11)], 0.7)
    pen.hatch([(-37, -10), (-26, -22), (-18, -14), (-12, -20), (-4, -11), (-4, -6), (-37, -6)], 1.8, -50, 0.45)
    for y, end in ((-30, 34), (-24, 28), (-18, 32), (-12, 20)):
        pen.line([(2, y), (end, y)], 0.6)
    pen.shape(box(-37, -1, -20, 5, 2), "black", 0.6)
    pen.line([(-14, 2), (16, 2)], 0.6)


def laptop_three_quarter(pen: Pen) -> None:
    pen.shape([(-50, 18, 1), (22, 6, 1), (56, 26, 1), (56, 29), (-18, 44), (-20, 41, 1)], "case")
    pen.line([(-20, 41), (56, 26)], 0.7)
    for k in range(4):
        x, y = -40 + k * 6, 18.6 + k * 4
        for i in range(10):
            a, b = i / 10, (i + 0.66) / 10
            pen.line([(x + 62 * a, y - 10.4 * a), (x + 62 * b, y - 10.4 * b)], 0.9, (1, 1))
    pen.shape([(0, 33, 1), (18, 29.4, 1), (26, 31.4, 1), (8, 35.6, 1)], "case", 0.6)
    pen.shape([(-50, 18, 1), (-56, -30, 1), (14, -42, 1), (22, 6, 1)], "case")
    pen.shape([(-46.5, 13, 1), (-51.5, -27, 1), (10.5, -37.6, 1), (17.4, 2, 1)], "screen", 0.7)
    pen.line([(-46, -18), (-18, -23)], 0.9)
    for k in range(4):
        pen.line([(-45 + k * 0.8, -10 + k * 5), (0 - k * 4, -17.6 + k * 5.2)], 0.55)
    pen.hatch([(-12, -28), (8, -31), (10, -18), (-10, -15)], 2, -60, 0.5)


def laptop_back(pen: Pen) -> None:
    pen.shape([(-48, 22, 1), (48, 22, 1), (54, 30, 1), (-54, 30, 1)], "black", 0.9)
    pen.shape([(-45, -36, 1), (-42, -39), (0, -40), (42, -39), (45, -36, 1), (50, 24, 1), (-50, 24, 1)], "case")
    pen.shape([(-5, -12), (0, -16), (6, -11), (4, -4), (-3, -4)], "white", 0.8)
    pen.line([(-2, -13), (2, -15)], 0.5)
    pen.hatch([(20, -34), (40, -34), (45, 20), (30, 20)], 2.6, -55, 0.45)


def laptop_closed(pen: Pen) -> None:
    pen.shape([(-52, 8, 1), (8, -18, 1), (54, 2, 1), (54, 6), (-4, 36), (-52, 13)], "case")
    pen.line([(-52, 9), (-4, 31), (54, 3)], 0.9)
    pen.line([(-4, 31), (-4, 36)], 0.8)
    pen.shape(arc(2, 4, 5, 3, turn=-8), "white", 0.7)


def coffee_cup(pen: Pen) -> None:
    steam(pen, -2, -31, 18)
    paper_cup(pen)


def mug(pen: Pen) -> None:
    steam(pen, -4, -26, 20)
    pen.shape([(18, -8), (32, -8), (33, 12), (17, 15), (17, 9), (25, 6), (25, -2), (18, -2)], "cup")
    pen.shape([(-21, -18, 1), (-20, 18), (-12, 26), (12, 26), (20, 18), (21, -18, 1)], "cup")
    pen.shape(arc(0, -18, 21, 5.4), "white")
    pen.shape([(-15, -17), (0, -20), (15, -17), (8, -14.4), (-8, -14.4)], "black", 0.6)
    pen.hatch([(9, -8), (18, -10), (17, 18), (10, 23)], 2, -60, 0.5)


def loaf(pen: Pen, x: float = 0, y: float = 0, size: float = 1) -> None:
    """A round-topped loaf with three slashes."""
    with pen.place(x, y, size, heavy=1):
        pen.shape([(-30, 10), (-28, -4), (-14, -13), (8, -14), (27, -5), (31, 9), (24, 15), (-24, 15.5)], "bread")
        for cx in (-14, 0, 14):
            pen.shape([(cx - 5, 3), (cx, -5), (cx + 6, -9), (cx + 3, -1)], "white", 0.7)
        pen.line([(-22, 12), (0, 13), (20, 12)], 0.5)


def croissant(pen: Pen) -> None:
    pen.shape([(-40, 16), (-34, -2), (-18, -16), (0, -20), (18, -16), (34, -2), (40, 16), (33, 17), (24, 8), (12, 5), (0, 4), (-12, 5), (-24, 8), (-33, 17)], "bread")
    for x0, y0, x1, y1 in ((-30, -6, -23, 8), (-17, -16, -12, 5), (-1, -20, 1, 4), (16, -17, 13, 5), (30, -6, 24, 8)):
        pen.line([(x0, y0), ((x0 + x1) / 2 + 2, (y0 + y1) / 2), (x1, y1)], 0.9)
    for x, y in ((-24, -4), (-8, -12), (8, -12), (24, -4)):
        pen.line([(x - 2, y), (x + 1, y + 5)], 0.5)


def bread_basket(pen: Pen) -> None:
    for x, y, turn, tall in ((-20, -8, -18, 46), (-4, -10, -4, 54), (12, -9, 9, 50), (24, -6, 22, 42)):
        with pen.place(x, y, 1, turn):
            pen.shape([(-6, 10), (-7, -tall + 6), (0, -tall), (7, -tall + 6), (6, 10)], "bread")
            for k in range(3):
                pen.line([(-4, -tall + 16 + k * 10), (4, -tall + 10 + k * 10)], 0.8)
    pen.shape([(-36, -8, 1), (36, -8, 1), (28, 34), (0, 37), (-28, 34)], "paper")
    for y in (2, 12, 22, 31):
        pen.line([(-34 + y * 0.2, y), (0, y + 2), (34 - y * 0.2, y)], 0.7)
        for k in range(-4, 5):
            pen.line([(k * 7 + (y % 4), y - 7), (k * 6.8 + (y % 4), y - 1)], 0.6)
    pen.shape([(-39, -12), (39, -12), (39, -5), (-39, -5)], "paper")


def _crate(pen: Pen, x: float, y: float, full: bool) -> None:
    if full:
        for cx in (-24, -8, 8, 24):
            pen.shape([(x + cx - 9, y - 8), (x + cx - 8, y - 17), (x + cx, y - 21), (x + cx + 8, y - 17), (x + cx + 9, y - 8)], "bread")
            pen.line([(x + cx - 4, y - 13), (x + cx + 3, y - 17)], 0.7)
    pen.shape(box(x - 38, y - 10, x + 38, y + 11, 2), "white")
    for k in range(6):
        pen.shape(box(x - 33 + k * 11.4, y - 2, x - 25 + k * 11.4, y + 7, 1), "black" if not full else "white", 0.6)
    pen.shape(box(x - 9, y - 8, x + 9, y - 4, 1.5), "black", 0.6)


def bread_crate(pen: Pen) -> None:
    _crate(pen, 0, 0, True)


def bread_crates(pen: Pen) -> None:
    """Three crates of loaves in a stack, one beside it."""
    _crate(pen, 62, 28, True)
    for k, (x, y) in enumerate(((0, 28), (-2, 6), (1, -16))):
        _crate(pen, x, y, k == 2)


def alarm_clock(pen: Pen) -> None:
    """An old clock with bells, at four in the morning."""
    for side in (-1, 1):
        pen.line([(side * 17, 24), (side * 24, 36)], 2)
        with pen.place(side * 19, -29, 1, side * 34):
            pen.shape([(-12, 4, 1), (-9, -5), (0, -8), (9, -5), (12, 4, 1)], "black")
    pen.line([(-6, -37), (0, -40), (6, -37)], 1.4)
    pen.shape(arc(0, 0, 31), "case", 1.3)
    pen.shape(arc(0, 0, 25), "white", 0.8)
    for k in range(12):
        pen.line([arc(0, 0, 22, 22, k * 30, k * 30 + 1)[0], arc(0, 0, 19, 19, k * 30, k * 30 + 1)[0]], 1)
    pen.line([(0, 0), (10, 6)], 2)
    pen.line([(0, 0), (0, -17)], 1.3)
    pen.dot(0, 0, 2)


def bicycle(pen: Pen) -> None:
    for x in (-30, 32):
        pen.line(arc(x, 18, 20, 20, 0, 372), 1.6, (1, 1))
        pen.line(arc(x, 18, 17.6, 17.6, 0, 372), 0.5, (1, 1))
        for a in range(10, 180, 34):
            p, q = arc(x, 18, 17, 17, a, a + 1)[0], arc(x, 18, 17, 17, a + 180, a + 181)[0]
            pen.line([p, q], 0.35)
    for path in ([(-30, 18), (-14, -14), (22, -16)], [(-30, 18), (0, 20), (22, -14)], [(0, 20), (-16, -22)], [(32, 18), (20, -28)]):
        for a, b in pairwise(path):
            pen.line([a, b], 1.7, (0.9, 0.9))
    pen.shape([(-24, -24), (-8, -25), (-8, -21.4), (-20, -20)], "black", 0.9)
    pen.line([(20, -28), (24, -33), (33, -32), (34, -28)], 1.7)
    pen.shape(arc(0, 20, 5), "white", 0.9)
    pen.line([(-4, 28), (0, 20), (5, 12)], 1.2)
    pen.shape([(22, -26, 1), (46, -26, 1), (42, -8, 1), (25, -8, 1)], "paper", 0.9)
    for k in range(4):
        pen.line([(26 + k * 5, -25), (27.5 + k * 4, -9)], 0.6)
    pen.line([(23, -20), (45, -20)], 0.6)
    pen.line([(24, -14), (43.6, -14)], 0.6)


def suitcase(pen: Pen) -> None:
    pen.line([(-10, -26), (-9, -46), (9, -46), (10, -26)], 1.5)
    for x in (-15, 15):
        pen.shape(arc(x, 38, 4), "black")
    pen.shape(box(-24, -28, 24, 36, 5), "case", 1.2)
    for x in (-12, 0, 12):
        pen.line([(x, -24), (x + 0.5, 32)], 0.7)
    pen.shape(box(-5, -24, 5, -17, 1), "black", 0.7)


def umbrella(pen: Pen) -> None:
    pen.line([(0, -30), (0, 34), (-3, 41), (-10, 40), (-11, 34)], 1.7)
    pen.shape([(-46, 2, 1), (-38, -22), (-16, -38), (0, -41), (16, -38), (38, -22), (46, 2, 1), (32, -4), (17, 2, 1), (0, -5), (-17, 2, 1), (-32, -4)], "coat")
    pen.line([(0, -41), (-14, -20), (-17, 1)], 0.8)
    pen.line([(0, -41), (14, -20), (17, 1)], 0.8)
    pen.line([(0, -41), (0, -47)], 1.4)
    pen.hatch([(17, 0), (14, -20), (4, -36), (18, -36), (37, -20), (44, 0), (32, -5)], 2.4, -65, 0.5)


def street_lamp(pen: Pen) -> None:
    pen.tube([(0, 50), (0, -28)], [2.4, 1.5], "black")
    pen.shape([(-8, 52, 1), (-5, 44), (5, 44), (8, 52, 1)], "black")
    pen.line([(-6, -28), (6, -28)], 1.6)
    pen.shape([(-6, -30, 1), (-9, -46, 1), (9, -46, 1), (6, -30, 1)], "white")
    pen.shape([(-11, -46, 1), (0, -55), (11, -46, 1)], "black", 0.9)
    for x0, y0, x1, y1 in ((-14, -38, -24, -36), (-13, -32, -21, -25), (14, -38, 24, -36), (13, -32, 21, -25), (-14, -44, -23, -49), (14, -44, 23, -49)):
        pen.line([(x0, y0), (x1, y1)], 0.7)


def bollard_rope(pen: Pen) -> None:
    """A quay bollard with two turns of mooring rope."""
    pen.line([(14, 16), (34, 22), (58, 14), (80, 20)], 2)
    pen.shape([(-24, 34, 1), (-18, 26), (18, 26), (24, 34, 1)], "black")
    pen.shape([(-14, 28, 1), (-13, -10, 1), (13, -10, 1), (14, 28, 1)], "black")
    pen.shape([(-20, -10), (-22, -20), (-12, -26), (12, -26), (22, -20), (20, -10), (0, -7)], "black")
    pen.line([(-12, -21), (0, -23), (10, -21)], 0.9, ink=False)
    for y in (4, 11, 18):
        pen.shape([(-17, y - 4), (0, y - 1), (17, y - 4), (18, y + 2), (0, y + 5), (-18, y + 2)], "white", 0.8)
        for k in range(-3, 4):
            pen.line([(k * 5 - 1, y - 2 + abs(k) * -0.5), (k * 5 + 1.5, y + 3.4 - abs(k) * 0.5)], 0.5)


def life_ring(pen: Pen) -> None:
    pen.shape(arc(0, 0, 36), "white", 1.2)
    for a in (45, 135, 225, 315):
        outer, inner = arc(0, 0, 35.4, 35.4, a - 17, a + 17), arc(0, 0, 19, 19, a + 17, a - 17)
        pen.shape([*outer, *inner], "scarf" if pen.colours else "black", 0.8)
    pen.shape(arc(0, 0, 19), "white", 1)
    pen.line(arc(0, 0, 40, 40, 50, 130), 0.9)
    pen.line(arc(0, 0, 40, 40, 230, 310), 0.9)


def _rail(pen: Pen, x0: float, y0: float, x1: float, y1: float, posts: int, tall: float = 7) -> None:
    pen.line([(x0, y0 - tall), (x1, y1 - tall)], 0.9, (1, 1))
    pen.line([(x0, y0 - tall / 2), (x1, y1 - tall / 2)], 0.5, (1, 1))
    for k in range(posts + 1):
        x, y = x0 + (x1 - x0) * k / posts, y0 + (y1 - y0) * k / posts
        pen.line([(x, y), (x, y - tall)], 0.7, (1, 1))


def _waves(pen: Pen, x0: float, x1: float, y: float) -> None:
    x = x0
    while x < x1:
        w = pen.rng.uniform(8, 15)
        dy = pen.rng.uniform(-1.5, 2.5)
        pen.line([(x, y + dy), (x + w * 0.3, y + dy - 1.6), (x + w * 0.6, y + dy + 0.8), (x + w, y + dy - 0.6)], 0.8)
        x += w + pen.rng.uniform(2, 7)


def ferry_profile(pen: Pen) -> None:
    """A small car ferry from the side, steaming right."""
    pen.shape([(-14, -32, 1), (-12, -47, 1), (2, -47, 1), (2, -32, 1)], "black")
    pen.line([(-12, -43), (2, -43)], 1.4, ink=False)
    pen.line([(-7, -50), (-16, -56), (-30, -55), (-40, -60)], 0.8)
    pen.line([(0, -51), (-8, -58), (-22, -62)], 0.7)
    pen.line([(28, -38), (28, -56)], 1.1)
    pen.line([(24, -50), (32, -50)], 0.8)
    pen.shape([(12, -22, 1), (13, -38, 1), (40, -38, 1), (47, -22, 1)], "white")
    pen.shape([(17, -28, 1), (18, -34, 1), (38, -34, 1), (41, -28, 1)], "black", 0.7)
    for x in (24, 31):
        pen.line([(x, -34), (x, -28)], 0.8, ink=False)
    pen.shape([(-50, -8, 1), (-49, -24, 1), (54, -24, 1), (60, -8, 1)], "white")
    for k in range(9):
        pen.shape(box(-43 + k * 10.5, -20, -36.5 + k * 10.5, -13, 1.6), "black" if k % 4 else "white", 0.7)
    _rail(pen, -50, -24, 10, -24, 9, 6)
    pen.shape([(-78, -8, 1), (84, -9, 1), (70, 17), (66, 20), (-70, 20), (-76, 14)], "white")
    pen.shape([(-76, 9), (75, 8), (69, 18), (66, 20), (-70, 20)], "black", 0.9)
    _rail(pen, 60, -8, 83, -9, 3, 6)
    _rail(pen, -78, -8, -50, -8, 4, 6)
    pen.line([(-60, -1), (50, -1.4)], 0.6)
    _waves(pen, -96, 98, 22)
    _waves(pen, -70, 60, 28)


def ferry_bow(pen: Pen) -> None:
    """The ferry coming toward us, three-quarter from the bow."""
    pen.shape([(-2, -50, 1), (0, -66, 1), (15, -66, 1), (16, -50, 1)], "black")
    pen.shape([(-28, -30, 1), (-26, -50, 1), (24, -50, 1), (40, -44, 1), (42, -28, 1)], "white")
    pen.line([(24, -50), (25, -30)], 0.8)
    pen.shape([(-24, -36, 1), (-23, -46, 1), (21, -46, 1), (21, -36, 1)], "black", 0.7)
    for x in (-12, 0, 11):
        pen.line([(x, -46), (x, -36)], 0.9, ink=False)
    pen.shape([(-44, 0, 1), (-42, -30, 1), (26, -30, 1), (64, -22, 1), (66, 4, 1)], "white")
    pen.line([(26, -30), (28, 0)], 0.9)
    for x in (-36, -22, -8, 6):
        pen.shape(box(x, -23, x + 9, -11, 1.6), "black", 0.7)
    for k in range(4):
        pen.shape([(33 + k * 8, -21 + k * 1.6, 1), (38 + k * 8, -20 + k * 1.6, 1), (38 + k * 8, -9 + k * 1.6, 1), (33 + k * 8, -10 + k * 1.6, 1)], "black", 0.6)
    pen.shape([(-52, -3, 1), (-20, -6), (14, -5), (34, -2, 1), (82, 4, 1), (78, 32), (70, 38), (4, 38), (-34, 36), (-44, 30)], "white", 1.1)
    pen.line([(34, -2), (20, 16), (8, 38)], 1)
    pen.shape([(-46, 24), (-12, 27), (14, 27), (79, 26), (70, 38), (4, 38), (-34, 36)], "black", 0.8)
    pen.shape([(-40, 6, 1), (10, 5, 1), (4, 20, 1), (-36, 20, 1)], "white", 0.9)
    for y in (10, 15):
        pen.line([(-38, y), (7, y)], 0.6)
    _waves(pen, -66, 94, 40)
    _waves(pen, -40, 70, 47)


def gangway(pen: Pen) -> None:
    pen.shape([(-60, 30, 1), (40, -18, 1), (58, -12, 1), (-40, 38, 1)], "white")
    for k in range(9):
        t = k / 9
        pen.line([(-57 + 100 * t, 29 - 48 * t), (-37 + 97 * t, 36 - 49 * t)], 0.6)
    for dx, dy in ((0, 0), (19, 7)):
        pen.line([(-60 + dx, 6 + dy), (40 + dx, -42 + dy)], 1.3)
        pen.line([(-60 + dx, 18 + dy), (40 + dx, -30 + dy)], 0.7)
        for k in range(5):
            x, y = -60 + 25 * k + dx, 30 - 12 * k + dy
            pen.line([(x, y), (x, y - 24)], 1)


def bench(pen: Pen) -> None:
    for x in (-40, 36):
        pen.line([(x, 8), (x - 3, 34)], 2)
        pen.line([(x + 10, 4), (x + 11, 26)], 1.4)
    for y in (-22, -12):
        pen.shape(box(-50, y, 52, y + 6, 1), "paper", 0.9)
    pen.shape([(-50, 2, 1), (52, 2, 1), (58, 12, 1), (-58, 12, 1)], "paper")
    pen.line([(-54, 7), (55, 7)], 0.6)
    for x in (-38, 40):
        pen.line([(x, -24), (x, 2)], 1.2)


def ticket_machine(pen: Pen) -> None:
    pen.shape([(18, -44, 1), (28, -40), (28, 46, 1), (18, 50, 1)], "black", 0.9)
    pen.shape(box(-22, -46, 20, 50, 3), "white")
    pen.shape(box(-15, -38, 12, -16, 2), "screen", 0.9)
    pen.line([(-11, -32), (6, -32)], 0.7)
    pen.line([(-11, -27), (8, -27)], 0.5)
    pen.shape(box(-11, -23, -2, -19, 1), "black", 0.5)
    for r in range(3):
        for c in range(3):
            pen.shape(box(-15 + c * 6, -10 + r * 6, -11 + c * 6, -6 + r * 6, 0.8), "white", 0.6)
    pen.line([(8, -9), (8, 3)], 1.8)
    pen.shape(box(-14, 16, 11, 28, 2), "black", 0.8)
    pen.shape([(-6, 18, 1), (4, 18, 1), (5, 31, 1), (-5, 31, 1)], "white", 0.6)


def satchel(pen: Pen) -> None:
    strap: Path = [(-24, -6), (-14, -38), (14, -38), (24, -6)]
    pen.line(strap, 1.6)
    pen.shape(box(-30, -10, 30, 30, 5), "case")
    pen.shape([(-31, -12, 1), (31, -12, 1), (30, 8), (22, 14), (-22, 14), (-30, 8)], "case")
    for x in (-14, 14):
        pen.line([(x, 4), (x, 20)], 1.8)
        pen.shape(box(x - 3, 13, x + 3, 19, 1), "white", 0.7)


def gull(pen: Pen) -> None:
    """A gull gliding to the left, both wings up."""
    pen.shape([(2, -6), (6, -24), (18, -38), (42, -50, 1), (34, -30), (22, -12), (16, -4)], "white")
    pen.shape([(32, -45), (42, -50, 1), (36, -36)], "black", 0.6)
    pen.shape([(-30, -6), (-26, -11), (-19, -11), (-12, -7), (4, -8), (20, -5), (40, 0, 1), (38, 5, 1), (20, 6), (2, 9), (-16, 6), (-26, 0)], "white")
    pen.line([(20, -4), (39, 2.4)], 0.5)
    pen.shape([(-8, -4), (-10, -18), (-24, -34), (-52, -44, 1), (-42, -26), (-28, -8), (-12, 2), (2, 3), (8, -2), (4, -7)], "white")
    pen.fill([(-7, -5), (4, -7), (6, -4), (-4, 0)], "white")
    pen.shape([(-39, -39), (-52, -44, 1), (-44, -29)], "black", 0.6)
    pen.line([(-36, -28), (-20, -16), (-8, -8)], 0.5)
    pen.shape([(-29.5, -7, 1), (-39, -3, 1), (-28, -2.4)], "black", 0.7)
    pen.dot(-24.5, -7, 1.2)
