"""The delivery van, and car interiors as cameras on hood, door and seat see them; about 100 units wide."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Callable

from .heads import Look, head
from .pen import Pen, arc, box
from .people import BAKER, LOOKS

GLASS = [(-56, 26, 1), (-44, -30), (-30, -36), (0, -38), (30, -36), (44, -30), (56, 26, 1)]


def wheel(pen: Pen, x: float, y: float, r: float, flat: float = 1) -> None:
    """A road wheel."""
    pen.shape(arc(x, y, r * flat, r), "black")
    pen.shape(arc(x, y, r * 0.56 * flat, r * 0.56), "white", 0.9)
    pen.dot(x, y, r * 0.14)


def steering(pen: Pen, x: float, y: float, r: float) -> None:
    """A steering wheel nearly facing us."""
    pen.line(arc(x, y, r, r * 0.82), 2.6, (1, 1))
    pen.line([(x - r, y), (x, y + r * 0.2), (x + r, y)], 1.6)
    pen.shape(arc(x, y + r * 0.1, r * 0.26, r * 0.2), "white", 0.9)


def _bust(pen: Pen, x: float, y: float, who: int, size: float, *, coat: str = "coat", turn: float = 0,
          look: Look | None = None) -> None:
    with pen.place(x, y, size):
        pen.shape([(-8, 14), (-22, 19), (-29, 32), (-31, 58, 1), (31, 58, 1), (29, 32), (22, 19), (8, 14)], coat)
        ink = coat != "black"
        pen.line([(-7, 15), (0, 28), (7, 15)], 0.9, ink=ink)
        pen.line([(0, 28), (1, 57)], 0.7, ink=ink)
        pen.line([(-23, 36), (-20, 57)], 0.7, ink=ink)
        pen.line([(23, 36), (20, 57)], 0.7, ink=ink)
        pen.tube([(0, 6), (0, 17)], [6, 7], "skin", w=0.8)
        head(pen, 0, -6, 32, look or LOOKS[who], turn, fine=size > 0.5)


def _mirror(pen: Pen) -> None:
    pen.line([(0, -38), (0, -31)], 1.6)
    pen.shape(box(-11, -32, 11, -25, 3), "black", 0.9)
    pen.line([(-7, -29), (-1, -30)], 0.6, ink=False)


def _hood(pen: Pen) -> None:
    pen.shape([(-66, 40, 1), (-58, 25), (-30, 20), (0, 18.5), (30, 20), (58, 25), (66, 40, 1)], "white")
    pen.line([(-44, 38), (-34, 26), (0, 23.6)], 0.7)
    pen.line([(-20, 22), (8, 20.4)], 1.6)
    pen.line([(12, 20.6), (40, 22)], 1.6)


def _through_glass(pen: Pen, left: Callable[[], None], right: Callable[[], None]) -> None:
    pen.fill(GLASS, "white")
    with pen.inside(GLASS):
        for x in (-25, 25):
            pen.shape(box(x - 12, -31, x + 12, 34, 6), "white", 0.8)
            pen.hatch(box(x - 11, -30, x + 11, -6, 5), 2, -60, 0.45)
        left()
        right()
        steering(pen, 25, 23, 15)
        for x in (13, 37):
            pen.shape(arc(x, 14, 3.8, 3.2), "skin", 0.8)
    pen.shape(GLASS, None, 1.5)
    pen.line([(-50, 24), (-39, -27), (-29, -32)], 0.8)
    pen.line([(50, 24), (39, -27), (29, -32)], 0.8)
    _mirror(pen)


def hood_mount_two(pen: Pen) -> None:
    """Two-shot through the windscreen, camera on the hood."""
    _through_glass(pen, lambda: _bust(pen, -25, -3, 1, 0.76, coat="coat", turn=0.35),
                   lambda: _bust(pen, 25, -2, 0, 0.78, coat="black", turn=-0.3, look=BAKER))
    _hood(pen)


def hood_mount_driver(pen: Pen) -> None:
    """The driver alone through the windscreen."""
    _through_glass(pen, lambda: None, lambda: _bust(pen, 25, -3, 4, 0.78, coat="coat", turn=-0.1))
    _hood(pen)


def hood_mount_sleeping(pen: Pen) -> None:
    """The passenger leans asleep against the door."""
    def asleep() -> None:
        with pen.place(-30, -2, 1, -16):
            _bust(pen, 0, 0, 11, 0.74, coat="coat", turn=0.1)
    _through_glass(pen, asleep, lambda: _bust(pen, 25, -3, 3, 0.76, coat="black"))
    _hood(pen)


def drivers_side(pen: Pen) -> None:
    """The driver in profile through the side window, camera on the door."""
    window = [(-50, 16, 1), (-34, -30), (-18, -36), (30, -37), (44, -30), (50, 16, 1)]
    pen.shape([(-62, 44, 1), (-58, 14), (-38, -36), (-16, -43), (34, -43), (50, -36), (60, 14), (62, 44, 1)], "white")
    pen.fill(window, "white")
    with pen.inside(window):
        pen.shape(box(16, -26, 40, 40, 7), "white", 0.9)
        pen.hatch(box(20, -24, 38, 14, 5), 2, -60, 0.45)
        _bust(pen, 4, -1, 6, 0.92, coat="black", turn=-1)
        pen.line(arc(-34, 14, 5, 17, turn=14), 2.4, (1, 1))
        pen.tube([(-4, 18), (-18, 20), (-31, 6)], [6, 5, 4], "coat", tip=True)
        pen.shape(arc(-33, 4, 4, 3.4), "skin", 0.8)
    pen.shape(window, None, 1.3)
    pen.line([(-58, 22), (0, 20), (60, 21)], 0.9)
    pen.shape(box(26, 26, 42, 31, 2), "black", 0.8)
    pen.shape([(-50, 16, 1), (-62, 10), (-66, -2), (-54, -4), (-47, 6)], "white")


def back_seat(pen: Pen) -> None:
    """Two on the back seat, seen from between the front seats."""
    pen.shape(box(-58, -34, 58, 36, 10), "white")
    pen.shape([(-46, -20, 1), (46, -20, 1), (42, -4, 1), (-42, -4, 1)], "white", 0.8)
    pen.line([(-30, -18), (-24, -6)], 0.6)
    _bust(pen, -22, -2, 8, 0.8, coat="black", turn=0.4)
    _bust(pen, 23, 2, 10, 0.72, coat="coat", turn=-0.3)
    for x in (-62, 62):
        pen.shape(box(x - 17, -14, x + 17, 46, 8), "black")
        pen.shape(box(x - 11, -34, x + 11, -15, 6), "black")
    pen.line([(-58, 2), (-52, 30)], 0.8, ink=False)


def over_shoulder_drive(pen: Pen) -> None:
    """Over the driver's shoulder onto the road."""
    pen.shape([(-60, 16, 1), (-52, -32), (0, -37), (52, -32), (60, 16, 1)], "white", 1.3)
    with pen.inside([(-60, 16, 1), (-52, -32), (0, -37), (52, -32), (60, 16, 1)]):
        pen.line([(-60, -8), (-10, -10), (60, -8)], 0.8)
        pen.line([(-40, 16), (-4, -10)], 1)
        pen.line([(44, 16), (2, -10)], 1)
        for k in range(4):
            pen.line([(1 + k * 2.2, 14 - k * 6.4), (0.6 + k * 1.4, 10 - k * 5.6)], 1.6)
        for x, tall in ((-50, 16), (-38, 10), (32, 11), (46, 18)):
            pen.shape(box(x - 6, -9 - tall, x + 6, -8), "white", 0.8)
            pen.hatch(box(x - 4, -7 - tall, x + 2, -10), 2.4, -60, 0.5)
    _mirror(pen)
    pen.shape([(-66, 44, 1), (-62, 18), (0, 13), (62, 18), (66, 44, 1)], "black")
    with pen.place(26, 26, 1):
        steering(pen, 0, 0, 17)
    head(pen, 44, -8, 34, LOOKS[5], view="back")
    pen.shape([(18, 46, 1), (24, 22), (40, 12), (60, 14), (72, 24), (74, 46, 1)], "coat")


def dash_phone(pen: Pen) -> None:
    """The dashboard with a phone in its holder."""
    pen.shape([(-66, 34, 1), (-64, -8), (-30, -18), (30, -20), (64, -12), (66, 34, 1)], "black")
    for x in (-42, -18):
        pen.shape(arc(x, 2, 11, 10), "white", 0.9)
        pen.line([(x, 2), (x + 5, -5)], 1.2)
        for a in range(150, 400, 40):
            pen.line(arc(x, 2, 9, 8, a, a + 2)[:2], 1)
    pen.shape(box(2, 10, 30, 24, 2), "white", 0.9)
    pen.hatch(box(4, 12, 28, 22, 1), 2, 0, 0.5)
    pen.shape(box(36, -34, 54, 0, 3), "white")
    pen.shape(box(38, -30, 52, -5, 1), "white", 0.6)
    pen.line([(41, -8), (44, -16), (47, -18), (49, -27)], 1.6)
    pen.dot(49, -27, 1.8)
    pen.line([(45, 0), (45, 8)], 3)


def mirror_eyes(pen: Pen) -> None:
    """Eyes in the rear-view mirror."""
    glass = box(-40, -13, 40, 13, 8)
    pen.line([(0, -30), (0, -13)], 3)
    pen.shape(box(-43, -16, 43, 16, 10), "black")
    pen.fill(glass, "white")
    with pen.inside(glass):
        head(pen, 2, 4, 78, LOOKS[1], 0.1, fine=True)
    pen.shape(glass, None, 0.9)


def van_front(pen: Pen) -> None:
    pen.shape([(-34, 30, 1), (-36, -4), (-30, -42), (-22, -47), (22, -47), (30, -42), (36, -4), (34, 30, 1)], "white")
    pen.shape([(-29, -8, 1), (-25, -38, 1), (25, -38, 1), (29, -8, 1)], "white")
    pen.hatch([(-22, -36), (-8, -36), (-16, -10), (-27, -10)], 2.4, -60, 0.5)
    for side in (-1, 1):
        pen.shape(arc(side * 24, 8, 7, 6), "white")
        pen.dot(side * 24, 8, 2.4)
        pen.shape([(side * 36, -12, 1), (side * 45, -14), (side * 46, -28), (side * 38, -28)], "black", 0.9)
        wheel(pen, side * 25, 34, 8, 0.7)
    pen.shape(box(-14, 4, 14, 13, 3), "black", 0.9)
    pen.shape(box(-35, 20, 35, 29, 3), "white")
    pen.shape(box(-9, 21, 9, 27, 1), "white", 0.7)


def van_profile(pen: Pen) -> None:
    pen.shape([(-62, 26, 1), (-63, -34), (-56, -42), (20, -43), (34, -36), (48, -10), (62, -4), (66, 10), (65, 26, 1)], "white")
    pen.shape([(22, -10, 1), (22, -34, 1), (32, -33), (43, -10, 1)], "white")
    pen.line([(18, -42), (18, 25)], 0.8)
    pen.line([(-8, -42), (-8, 25)], 0.8)
    pen.shape(arc(-34, -12, 15, 11), "white", 0.9)
    for k in (-1, 0, 1):
        pen.line([(-34 + k * 8 - 2, -17), (-34 + k * 8 + 3, -8)], 0.8)
    pen.shape(box(10, -2, 16, 1, 1), "black", 0.7)
    pen.line([(-62, 14), (0, 13), (65, 14)], 0.8)
    pen.shape(arc(62, 5, 3, 4), "white", 0.8)
    for x in (-38, 40):
        wheel(pen, x, 28, 12)


def van_back(pen: Pen) -> None:
    for x in (-40, -2):
        pen.shape(box(x, 24, x + 9, 40, 3), "black")
    pen.shape([(-46, 28, 1), (-48, -34), (-42, -42), (4, -44), (8, -40, 1), (10, 30, 1)], "white")
    pen.shape([(8, -40, 1), (40, -36), (52, -14), (56, 18, 1), (10, 30, 1)], "white")
    pen.line([(-20, -42), (-19, 28)], 1)
    pen.line([(11, 20), (34, 16), (56, 10)], 0.8)
    for x in (-42, -16):
        pen.shape(box(x, -34, x + 20, -10, 2), "white", 0.9)
        pen.hatch(box(x + 2, -32, x + 11, -12, 1), 2.2, -60, 0.5)
    pen.shape([(40, -14, 1), (38, -30, 1), (44, -28), (51, -13, 1)], "white", 0.8)
    pen.dot(-23, 2, 1.6)
    pen.dot(-15, 2, 1.6)
    pen.shape(box(-48, 22, 10, 30, 2), "white")
    wheel(pen, 40, 22, 11, 0.62)
