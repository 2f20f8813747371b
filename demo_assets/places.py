"""Street fronts and quays as elements, about 140 units wide."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from .pen import Path, Pen, arc, box
from .people import LOOKS, PHONING, STANDING, person


def _awning(pen: Pen, x0: float, x1: float, y: float, deep: float, strips: int) -> None:
    lean, w = deep * 0.35, (x1 - x0) / strips
    for k in range(strips):
        a, b = x0 + k * w, x0 + (k + 1) * w
        c, d = x0 - lean + k * (x1 - x0 + 2 * lean) / strips, x0 - lean + (k + 1) * (x1 - x0 + 2 * lean) / strips
        pen.shape([(a, y, 1), (b, y, 1), (d, y + deep, 1), ((c + d) / 2, y + deep + 3.4), (c, y + deep, 1)],
                  "black" if k % 2 else "white", 0.8)


def _window(pen: Pen, x: float, y: float, w: float, h: float, dark: bool = False) -> None:
    pen.shape(box(x, y, x + w, y + h), "black" if dark else "white", 0.9)
    ink = not dark
    pen.line([(x + w / 2, y + 1), (x + w / 2, y + h - 1)], 0.8, ink=ink)
    pen.line([(x + 1, y + h * 0.45), (x + w - 1, y + h * 0.45)], 0.8, ink=ink)
    pen.shape(box(x - 2, y + h, x + w + 2, y + h + 2.6), "white", 0.8)


def _door(pen: Pen, x: float, y: float, w: float, h: float, glass: bool = True) -> None:
    pen.shape(box(x, y, x + w, y + h), "white")
    if glass:
        pen.shape(box(x + 3, y + 4, x + w - 3, y + h * 0.58), "white", 0.7)
        pen.hatch(box(x + 4, y + 5, x + w - 4, y + h * 0.5), 2.4, -55, 0.45)
    pen.shape(box(x + 3, y + h * 0.68, x + w - 3, y + h - 4), "white", 0.6)
    pen.dot(x + w - 2.4, y + h * 0.62, 1)


def _shelf(pen: Pen, x0: float, x1: float, y: float) -> None:
    x = x0 + 5
    while x < x1 - 4:
        pen.shape([(x - 4.6, y), (x - 3.6, y - 5), (x, y - 6.4), (x + 3.6, y - 5), (x + 4.6, y)], "bread", 0.7)
        pen.line([(x - 1.4, y - 3), (x + 1.6, y - 5)], 0.5)
        x += 10.5
    pen.line([(x0, y + 0.6), (x1, y + 0.6)], 0.9)


def bakery_night(pen: Pen) -> None:
    """The bakery before dawn: dark wall, the window alight."""
    pen.shape([(-60, 58, 1), (-60, -58, 1), (60, -58, 1), (60, 58, 1)], "black")
    for x in (-44, -12, 20):
        _window(pen, x, -50, 20, 24, True)
        pen.line([(x, -50, 1), (x + 20, -50, 1), (x + 20, -26, 1), (x, -26, 1), (x, -50, 1)], 0.8, ink=False)
    pen.shape(box(-50, -14, 16, 44), "white")
    pen.line([(-17, -13), (-17, 43)], 1)
    _shelf(pen, -48, 14, 12)
    _shelf(pen, -48, 14, 30)
    _shelf(pen, -48, 14, 43)
    with pen.inside(box(-50, -14, 16, 12)):
        with pen.place(-2, 28, 0.62):
            person(pen, LOOKS[0], STANDING, coat="white")
        for x in (-40, -28):
            pen.line([(x, -14), (x, -6)], 0.7)
            pen.shape([(x - 4, -2, 1), (x - 2, -7), (x + 2, -7), (x + 4, -2, 1)], "black", 0.7)
    _door(pen, 26, -8, 24, 66)
    _awning(pen, -54, 54, -22, 13, 10)
    pen.shape([(-70, 58, 1), (70, 58, 1), (76, 64, 1), (-76, 64, 1)], "white")
    for x in (-40, -22, -4):
        pen.line([(x, 67), (x - 8, 74)], 0.6)


def _gable(pen: Pen, x: float, w: float, top: float, kind: str) -> None:
    if kind == "step":
        roof: Path = [(x, top, 1), (x + w * 0.18, top, 1), (x + w * 0.18, top - 8, 1), (x + w * 0.36, top - 8, 1), (x + w * 0.36, top - 16, 1),
                      (x + w * 0.64, top - 16, 1), (x + w * 0.64, top - 8, 1), (x + w * 0.82, top - 8, 1), (x + w * 0.82, top, 1), (x + w, top, 1)]
    elif kind == "point":
        roof = [(x, top, 1), (x + w / 2, top - 22, 1), (x + w, top, 1)]
    else:
        roof = [(x, top - 4, 1), (x + w, top - 4, 1)]
    pen.shape([(x, 46, 1), *roof, (x + w, 46, 1)], "white")
    if kind == "flat":
        pen.shape(box(x - 2, top - 7, x + w + 2, top - 2), "white", 0.9)


def shop_row(pen: Pen) -> None:
    """Three shop fronts side by side."""
    for x, w, top, kind in ((-78, 50, -34, "point"), (-28, 56, -40, "flat"), (28, 50, -28, "step")):
        _gable(pen, x, w, top, kind)
        for k in (0, 1):
            _window(pen, x + w * (0.16 + 0.42 * k), top + 8, w * 0.24, 16)
        pen.shape(box(x + 3, 1, x + w - 3, 8), "black" if kind == "flat" else "white", 0.9)
        pen.line([(x + w * 0.3, 4.4), (x + w * 0.7, 4.4)], 1.4, ink=kind != "flat")
        left = kind != "step"
        pen.shape(box(x + 4 if left else x + w * 0.42, 14, x + w * 0.6 if left else x + w - 4, 38), "white", 0.9)
        _door(pen, x + w * 0.67 if left else x + 5, 13, w * 0.26, 33)
    pen.hatch(box(-70, 16, -54, 34), 2.4, -55, 0.5)
    pen.hatch(box(-20, 16, -4, 34), 2.4, -55, 0.5)
    _awning(pen, -74, -32, 8, 8, 6)
    pen.line([(-90, 46.5), (92, 46)], 1.2)
    pen.line([(-86, 52), (88, 51.4)], 0.7)


def bakery_door(pen: Pen) -> None:
    """The back door of the bakery, ajar, light falling out."""
    pen.shape(box(-34, -52, 34, 46), "white")
    for x, y in ((-28, -40), (-30, -8), (24, -28), (20, 22), (-29, 26), (26, -2)):
        pen.line([(x, y), (x + 7, y), (x + 7, y + 4)], 0.6)
        pen.line([(x - 3, y + 4), (x + 9, y + 4.4)], 0.6)
    pen.shape(box(-18, -38, 18, 46), "black")
    pen.shape([(-14, -34, 1), (4, -34, 1), (4, 46, 1), (-14, 46, 1)], "white", 0.8)
    pen.shape([(4, -34, 1), (17, -38, 1), (17, 52, 1), (4, 46, 1)], "white")
    pen.dot(14, 8, 1.3)
    pen.shape([(-14, 46, 1), (4, 46, 1), (-12, 62, 1), (-40, 62, 1)], "white", 0.7)
    pen.line([(0, -50), (0, -44)], 1.2)
    pen.shape([(-8, -38, 1), (-5, -45), (5, -45), (8, -38, 1)], "black")


def quay_edge(pen: Pen) -> None:
    """A stretch of quay with piles, ladder and bollards."""
    pen.shape([(-84, -2, 1), (84, -8, 1), (84, 4, 1), (-84, 12, 1)], "white")
    for k in range(10):
        x = -76 + k * 17
        pen.line([(x, -1 - k * 0.55), (x - 2, 11 - k * 0.7)], 0.7)
    for k in range(6):
        x = -72 + k * 29
        pen.shape([(x, 12 - k * 1.4, 1), (x + 9, 11.5 - k * 1.4, 1), (x + 8.6, 42, 1), (x + 0.6, 42, 1)], "white")
        pen.hatch([(x + 5, 12 - k * 1.4), (x + 9, 12 - k * 1.4), (x + 8.6, 42), (x + 5, 42)], 1.8, -60, 0.5)
    for x in (14, 22):
        pen.line([(x, 2), (x, 40)], 1.1)
    for y in (8, 15, 22, 29, 36):
        pen.line([(14, y), (22, y)], 1)
    for x, y in ((-48, -4), (46, -8)):
        pen.shape([(x - 5, y + 2, 1), (x - 4, y - 7), (x - 6.4, y - 11), (x, y - 14), (x + 6.4, y - 11), (x + 4, y - 7), (x + 5, y + 2, 1)], "black")
    x = -90.0
    while x < 88:
        pen.line([(x, 44), (x + 4, 42.6), (x + 8, 44.6), (x + 12, 43.6)], 0.8)
        x += pen.rng.uniform(14, 20)


def ferry_shelter(pen: Pen) -> None:
    """A waiting shelter of glass with two who wait."""
    pen.shape(box(-60, -30, 60, 40), "white", 0.9)
    for x in (-20, 20):
        pen.line([(x, -30), (x, 40)], 0.9)
    for x in (-50, 30):
        pen.line([(x, 12), (x + 14, -16)], 0.5)
        pen.line([(x + 5, 14), (x + 19, -14)], 0.5)
    pen.shape(box(-54, 16, -24, 20, 1), "white")
    for x in (-50, -28):
        pen.line([(x, 20), (x, 40)], 1.2)
    for x, who, pose, coat in ((2, 1, PHONING, "black"), (40, 6, STANDING, "coat")):
        with pen.place(x, 6, 0.7):
            person(pen, LOOKS[who], pose, coat=coat, trousers="white" if coat == "black" else "black", turn=-0.3)
    for x in (-60, 60):
        pen.tube([(x, -32), (x, 43)], [1.8, 1.8], "black")
    pen.shape([(-72, -34, 1), (-66, -44, 1), (66, -46, 1), (74, -35, 1)], "white")
    pen.shape([(-72, -34, 1), (74, -35, 1), (74, -30, 1), (-72, -29, 1)], "black")
    pen.line([(-76, 43), (80, 42)], 1.1)


def apartment_windows(pen: Pen) -> None:
    """A house front asleep, one window alight."""
    pen.shape(box(-44, -56, 44, 56), "black")
    pen.shape(box(-50, -62, 50, -54), "white")
    for r in range(4):
        for c in range(3):
            x, y = -36 + c * 27, -46 + r * 25
            if (r, c) == (3, 1):
                continue
            lit = (r, c) == (1, 2)
            pen.shape(box(x, y, x + 17, y + 17), "white" if lit else "black", 0.9)
            if lit:
                pen.line([(x + 8.5, y), (x + 8.5, y + 17)], 1)
                pen.shape(arc(x + 4.5, y + 10, 2.6, 3), "black", 0.5)
            else:
                pen.line([(x, y, 1), (x + 17, y, 1), (x + 17, y + 17, 1), (x, y + 17, 1), (x, y, 1)], 0.7, ink=False)
    pen.shape(box(-8, 32, 8, 56), "white")
    pen.dot(5, 45, 1)
    pen.line([(-58, 57), (58, 56.4)], 1.2)


def sign_post(pen: Pen) -> None:
    """A street corner with a sign post and a bin."""
    pen.line([(0, 50), (0, -48)], 2.2)
    pen.shape([(-2, -48, 1), (34, -50, 1), (42, -44, 1), (34, -38, 1), (-2, -37, 1)], "white")
    pen.line([(5, -43), (28, -44)], 1.5)
    pen.shape([(2, -32, 1), (-28, -31, 1), (-36, -26, 1), (-28, -21, 1), (2, -21, 1)], "black")
    pen.line([(-24, -26), (-6, -26.4)], 1.5, ink=False)
    pen.shape([(14, 14, 1), (38, 14, 1), (35, 50, 1), (17, 50, 1)], "white")
    pen.shape(arc(26, 14, 12, 3), "black", 0.8)
    for x in (20, 26, 32):
        pen.line([(x, 20), (x - (x - 26) * 0.2, 47)], 0.7)
    pen.line([(-30, 51), (56, 50)], 1)
