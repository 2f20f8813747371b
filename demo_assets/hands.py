"""Hands in close-up, about 100 units high: with phones, tablets, wheel, cup, key; pointing, scrolling, waving."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

import math
from collections.abc import Sequence

from .pen import Path, Pen, arc, box

FINGER = (4.9, 4.7, 4.4, 3.7)


def finger(pen: Pen, path: Path, halves: Sequence[float] = FINGER, nail: bool = False, cap: bool = False) -> None:
    """A finger along its centre line, tip last; the base stays open so that it grows out of the hand."""
    halves = halves if len(halves) == len(path) else [halves[0] + (halves[-1] - halves[0]) * i / (len(path) - 1) for i in range(len(path))]
    pen.tube(path, halves, "skin", tip=not cap, cap=cap)
    if nail:
        _nail(pen, path[-2], path[-1], halves[-1])


def _nail(pen: Pen, before: Sequence[float], tip: Sequence[float], half: float) -> None:
    a = math.degrees(math.atan2(tip[1] - before[1], tip[0] - before[0]))
    with pen.place(tip[0], tip[1], 1, a):
        pen.line([(-half * 0.5, -half * 0.55), (half * 0.45, -half * 0.5), (half * 0.72, 0), (half * 0.45, half * 0.5), (-half * 0.5, half * 0.55)], 0.5)


def sleeve(pen: Pen, wrist: tuple[float, float], turn: float, half: float = 12, length: float = 34, dark: bool = False, skin: float = 10) -> None:
    """A forearm running away from the wrist at `turn` degrees, and a sleeve over it with a cuff."""
    with pen.place(*wrist, 1, turn):
        pen.tube([(-6, 0), (skin + 4, 0.5)], [half, half * 1.04], "skin")
        end = skin + length
        body = [(skin, -half * 1.22, 1), (skin + 10, -half * 1.24), (end, -half * 1.5, 1), (end - 3, 0), (end + 2, half * 1.55, 1),
                (skin + 14, half * 1.36), (skin - 1, half * 1.26, 1), (skin - 2.4, 0)]
        pen.fill(body, "black" if dark else "coat")
        ink = not dark
        pen.line([(skin, -half * 1.22), (skin + 10, -half * 1.24), (end, -half * 1.5)], 1.1)
        pen.line([(skin - 1, half * 1.26), (skin + 14, half * 1.36), (end + 2, half * 1.55)], 1.35)
        pen.line([(skin, -half * 1.22), (skin - 2.4, 0), (skin - 1, half * 1.26)], 1.1)
        pen.line([(skin + 6, -half * 1.2), (skin + 4, 0), (skin + 5.5, half * 1.25)], 0.8, ink=ink)
        pen.line([(skin + 14, half * 1.2), (skin + 20, half * 0.5), (skin + 24, half * 0.1)], 0.8, ink=ink)
        pen.line([(skin + 17, -half * 1.1), (skin + 22, -half * 0.6)], 0.7, ink=ink)


def phone(pen: Pen, back: bool = False, app: str = "list", half: float = 15, tall: float = 31) -> None:
    """A telephone standing on its end, its middle at the origin; `app` is what its screen shows."""
    pen.shape(box(-half + 1.6, -tall + 1.2, half + 1.6, tall + 1.2, 4), "black", 0.8)
    pen.shape(box(-half, -tall, half, tall, 4), "case", 1.05)
    if back:
        pen.shape(box(-half + 3, -tall + 3, -half + 12, -tall + 12, 2.6), "white", 0.8)
        pen.dot(-half + 5.6, -tall + 5.6, 1.6)
        pen.dot(-half + 9.3, -tall + 9.3, 1.6)
        pen.line([(half - 5, -tall + 8), (half - 4, 4)], 0.5)
        return
    pen.shape(box(-half + 2.2, -tall + 4, half - 2.2, tall - 4, 1.2), "screen", 0.6)
    pen.line([(-2.5, -tall + 2), (2.5, -tall + 2)], 0.7)
    _screen(pen, app, half - 4, tall - 7)


def _screen(pen: Pen, app: str, hw: float, hh: float) -> None:
    if app == "list":
        for i in range(5):
            y = -hh + 4 + i * hh * 0.42
            pen.shape(box(-hw + 0.5, y - 2, -hw + 4.5, y + 2, 0.8), "black" if i % 2 else "white", 0.5)
            pen.line([(-hw + 7, y - 1), (hw - 1 - (i % 2) * 4, y - 1)], 0.55)
            pen.line([(-hw + 7, y + 1.4), (hw - 6, y + 1.4)], 0.4)
    elif app == "map":
        pen.line([(-hw, 2), (-3, -2), (2, -10), (hw, -14)], 0.6)
        pen.line([(-hw, 14), (0, 8), (hw, 10)], 0.6)
        pen.line([(-4, -hh), (-3, -2), (2, 9), (1, hh)], 1.6)
        pen.shape([(2, 4, 1), (-2, -2.5), (2, -6.5), (6, -2.5)], "black", 0.6)
        pen.fill(arc(2, -2.4, 1.3), "white")
    elif app == "call":
        pen.shape(arc(0, -8, 6.5), "white", 0.7)
        pen.line([(-5, -3.5), (0, -6), (5, -3.5)], 0.7)
        pen.fill(arc(0, -10, 2.6), "black")
        pen.dot(-5.5, 14, 2.6)
        pen.shape(arc(5.5, 14, 2.6), "white", 0.7)
    elif app == "picture":
        pen.line([(-hw, 6), (-4, -4), (1, 2), (5, -3), (hw, 5)], 0.7)
        pen.shape(arc(4, -12, 2.5), "white", 0.6)
        pen.hatch([(-hw, 6), (-4, -4), (1, 2), (5, -3), (hw, 5), (hw, 10), (-hw, 10)], 1.4, -50, 0.4)
        for y in (14, 17.5):
            pen.line([(-hw + 1, y), (hw - 3, y)], 0.5)


def _cradle(pen: Pen) -> None:
    """The palm behind the phone: thumb side left, heel of the hand right, as a left hand facing its owner."""
    pen.fill([(-17, 20), (-24, 34), (-21, 45), (-12, 57), (12, 57), (17, 44), (20, 30), (20, 12), (0, 5)], "skin")
    pen.line([(20.5, 20), (19, 34), (13.5, 46), (11.5, 58)], 1.35)


def hand_phone_front(pen: Pen, app: str = "list", dark: bool = True) -> None:
    """A left hand holding a phone, screen toward camera."""
    with pen.place(0, -12, 1, 5):
        sleeve(pen, (0, 56), 94, 12, 32, dark)
        _cradle(pen)
        phone(pen, app=app)
        for y, reach in ((23, 13), (14, 10.5), (4.5, 9.5), (-5.5, 10.5)):
            finger(pen, [(18.6, y + 2), (15, y), (reach, y - 1.6)], (4.6, 4.5, 3.9), cap=True)
        _thumb(pen, [(-16, 40), (-21, 22), (-19, 6), (-11.5, -7)])
        pen.line([(-24.6, 36), (-22.5, 43), (-16, 51), (-12.5, 58)], 1.15)


def _thumb(pen: Pen, path: Path) -> None:
    finger(pen, path, (9, 7, 5.4, 4.3), nail=True)
    x0, (x1, y1) = path[1][0], path[2][:2]
    pen.line([(x1 + 2 + (x1 - x0) * 0.1, y1 + 2.2), (x1 - 0.5, y1 + 2.6)], 0.5)


def hand_phone_back(pen: Pen, dark: bool = False) -> None:
    """A hand holding a phone, seen from behind the phone: four fingers across its back."""
    with pen.place(0, -12, 1, -6):
        sleeve(pen, (-6, 56), 98, 12, 30, dark)
        finger(pen, [(-17, 18), (-21, 4), (-17.5, -12)], (6, 5.4, 4.2))
        phone(pen, back=True)
        pen.shape([(-9, -6), (-18, 0), (-22, 14), (-21, 32), (-18, 46), (-17, 58), (6, 58), (8, 46), (12, 34), (10, 24), (6, 8)], "skin", 1.1)
        pen.fill([(-17, 50), (-17, 60), (6, 60), (7, 50)], "skin")
        for path in ([(-6, 20), (5, 24), (16, 21.5)], [(-9, 12), (5, 13), (19.5, 11.5)], [(-10, 4), (4, 2.5), (20, 2)], [(-11, -2.5), (3, -8.5), (18.5, -8)]):
            finger(pen, path, (5.6, 5, 4.5))
            pen.line([(path[1][0] - 1, path[1][1] - 3), (path[1][0] + 0.8, path[1][1] - 1)], 0.5)
        pen.line([(-13, 8), (-15, 18)], 0.55)
        pen.line([(-10, 16), (-12, 26)], 0.5)


def _fist_point(pen: Pen) -> None:
    """The hand pointing right, thumb side toward camera; wrist at (-24, 2)."""
    pen.shape([(-26, -8), (-12, -12), (4, -14.5), (12, -12), (15, -2), (14, 12), (6, 21), (-6, 20), (-16, 14), (-26, 12)], "skin", 1.1)
    pen.fill([(-30, -7.5), (-20, -8), (-20, 12), (-30, 11.5)], "skin")
    for path in ([(0, 16.5), (7, 18.5), (10, 16)], [(0, 9.5), (10, 12), (14.5, 9.5)], [(2, 2), (12, 4), (18, 2)]):
        finger(pen, path, (4.8, 4.7, 4.3))
    finger(pen, [(2, -8.5), (20, -9.5), (34, -8), (46, -6)], (5.8, 4.9, 4.3, 3.3), nail=False)
    pen.line([(33, -11.5), (33.6, -9.5)], 0.5)
    pen.line([(19, -13.5), (19.4, -11.5)], 0.5)
    pen.line([(41, -9), (46.5, -8.2), (47.4, -6.4)], 0.5)
    finger(pen, [(-18, 8), (-7, 6), (4, 3), (13, -0.5)], (7, 6, 5, 4), nail=True)
    pen.line([(1, 0), (2.5, 2)], 0.5)
    pen.line([(-2, -12.5), (3, -13.5), (7, -11)], 0.5)


def hand_pointing(pen: Pen, dark: bool = True) -> None:
    """A hand pointing to the right."""
    with pen.place(8, 0, 1, -8):
        sleeve(pen, (-24, 2), 176, 10.5, 32, dark, skin=8)
        _fist_point(pen)


def hand_scrolling(pen: Pen) -> None:
    """A phone in the left hand, the right forefinger on its screen."""
    with pen.place(-14, 2):
        hand_phone_front(pen, "picture", dark=False)
    with pen.place(31, 27, 0.92, 52, flip=True):
        sleeve(pen, (-24, 2), 178, 10.5, 26, True, skin=8)
        _fist_point(pen)
    for y in (-30, -20):
        pen.line([(-6, y + 4), (-7, y - 3)], 0.7)


def hand_thumbs_typing(pen: Pen) -> None:
    """Both hands under one phone, both thumbs typing."""
    for f in (False, True):
        with pen.place(0, 0, 1, 0, flip=f):
            sleeve(pen, (-26, 48), 122, 11, 28, f)
            pen.fill([(-8, 20), (-24, 12), (-34, 36), (-20, 54), (0, 40)], "skin")
            pen.line([(-18, -4), (-23, 14), (-33, 34), (-36, 44)], 1.1)
            pen.line([(-4, 36), (-13, 44), (-17, 57)], 1.2)
            for y in (16, 7, -2):
                finger(pen, [(-12, y), (-18.2, y - 1)], (4.4, 3.8), cap=True)
    with pen.place(0, -8):
        phone(pen, app="none", tall=32)
        pen.shape(box(-11.5, 8, 11.5, 27, 1), "white", 0.5)
        for y in (12.5, 17.5, 22.5):
            for x in (-8, -4, 0, 4, 8):
                pen.line([(x - 0.9, y), (x + 0.9, y)], 0.8)
        for y, x0, x1 in ((-22, -10, 4), (-14, -4, 10), (-6, -10, 1)):
            pen.shape(box(x0, y - 2.6, x1, y + 2.6, 2), "black" if x0 == -4 else "white", 0.6)
    for f in (False, True):
        with pen.place(0, 0, 1, 0, flip=f):
            path = [(-24, 36), (-20, 22), (-12, 13), (-4.5 if f else -6, 7 if f else 10)]
            finger(pen, path, (8, 6.4, 5.2, 4), nail=True)
            pen.line([(-30, 40), (-24, 47), (-16, 45)], 0.01)


def hand_tablet(pen: Pen) -> None:
    """Two hands holding a tablet, screen toward camera."""
    for f in (False, True):
        with pen.place(0, 6, 1, 0, flip=f):
            sleeve(pen, (-47, 36), 118, 11, 26, True)
            pen.fill([(-38, -8), (-50, 0), (-58, 22), (-44, 46), (-28, 30)], "skin")
            pen.line([(-42, -8), (-51, 2), (-58, 22), (-57, 36)], 1.15)
            pen.line([(-28, 28), (-33, 36), (-36, 48)], 1.25)
    with pen.place(0, 0):
        pen.shape(box(-46.5, -33, 47.5, 34.5, 4), "black", 0.8)
        pen.shape(box(-48, -34, 46, 33, 4), "case")
        pen.shape(box(-43, -29, 41, 28, 1), "screen", 0.6)
        _tablet_plan(pen)
    for f in (False, True):
        with pen.place(0, 6, 1, 0, flip=f):
            finger(pen, [(-50, 20), (-47, 8), (-40, -1), (-31, -7)], (8, 6.4, 5.2, 4.1), nail=True)


def _tablet_plan(pen: Pen) -> None:
    pen.line([(-42, 12), (-20, 6), (4, 10), (40, 0)], 0.7)
    pen.line([(-14, -28), (-10, 8), (-14, 27)], 0.7)
    pen.line([(18, -28), (14, 6), (20, 27)], 0.7)
    pen.line([(-11, 20), (-10, 8), (4, 10), (15, 6), (16, -12)], 1.8)
    pen.shape([(16, -10, 1), (11, -18), (16, -23), (21, -18)], "black", 0.6)
    pen.fill(arc(16, -18, 1.8), "white")
    pen.hatch([(-38, -24), (-18, -24), (-16, 0), (-38, 6)], 2.4, -45, 0.4)


def hand_tablet_point(pen: Pen) -> None:
    """A tablet in the left hand, seen at an angle, the right hand pointing at it."""
    sleeve(pen, (-36, 42), 116, 11, 24, False)
    pen.fill([(-20, 6), (-36, 12), (-46, 34), (-32, 50), (-14, 34)], "skin")
    pen.line([(-33, 6), (-40, 16), (-46, 34), (-46, 42)], 1.15)
    pen.line([(-14, 34), (-20, 42), (-24, 53)], 1.2)
    slab: Path = [(-30, -38, 1), (22, -46, 1), (34, 22, 1), (-22, 34, 1)]
    pen.shape([(x + 1.5, y + 2.2, 1) for x, y, *_ in slab], "black", 0.8)
    pen.shape(slab, "case")
    pen.shape([(-25, -33, 1), (18.5, -40, 1), (29, 18, 1), (-18.5, 28, 1)], "screen", 0.6)
    for i, k in enumerate((0.2, 0.42, 0.64)):
        y = -36 + 62 * k
        x = -22 + 7 * k
        pen.shape([(x, y, 1), (x + 12, y - 2, 1), (x + 14, y + 8, 1), (x + 1.4, y + 10, 1)], "black" if i == 1 else "white", 0.6)
        pen.line([(x + 18, y - 1), (x + 36, y - 4)], 0.6)
        pen.line([(x + 18.5, y + 3), (x + 31, y + 1)], 0.5)
    finger(pen, [(-36, 30), (-33, 18), (-26, 9), (-18, 4)], (8, 6.4, 5.2, 4.1), nail=True)
    with pen.place(45, 14, 0.95, 24, flip=True):
        sleeve(pen, (-24, 2), 177, 10.5, 24, True, skin=8)
        _fist_point(pen)


def hand_open(pen: Pen) -> None:
    """An open hand, palm to camera: wait, or hello."""
    sleeve(pen, (1, 46), 88, 11.5, 28, True)
    palm: Path = [(-15, 4), (-17, 16), (-16, 30), (-11, 46), (-11, 58), (12.5, 58), (13, 46), (17, 28), (18, 12), (15, 2), (0, -4)]
    pen.fill(palm, "skin")
    pen.line([(17.5, 6), (18, 20), (14.5, 38), (12.5, 48), (12.5, 57)], 1.35)
    pen.line([(-14, 32), (-11.5, 44), (-11, 57)], 1.1)
    finger(pen, [(13.5, 12), (17, -6), (21.5, -23)], (5.2, 4.6, 3.4))
    finger(pen, [(-10.5, 8), (-13.5, -14), (-15, -33)], (5.4, 4.9, 3.7))
    finger(pen, [(6.2, 6), (8.4, -16), (10, -36)], (5.4, 4.9, 3.7))
    finger(pen, [(-2.2, 6), (-2.6, -19), (-2.2, -42)], (5.4, 5, 3.8))
    pen.fill([(-14, 4), (16, 5), (15, 20), (-14, 22)], "skin")
    finger(pen, [(-8, 32), (-19, 18), (-26, 4), (-31, -7)], (8.5, 6.6, 5.2, 4))
    pen.fill([(-13, 16), (0, 10), (4, 40), (-8, 44), (-12, 36)], "skin")
    pen.line([(-10.5, 40), (-4.5, 30), (-4.5, 20), (-11, 13)], 0.7)
    pen.line([(-12, 12), (0, 13), (9, 7)], 0.6)
    pen.line([(-3, 20), (7, 17), (15, 14)], 0.6)
    for x, y in ((-14, -14), (-2.6, -19), (8.4, -16), (17, -6)):
        pen.line([(x - 2.6, y), (x + 2, y + 0.4)], 0.45)


def grip(pen: Pen) -> None:
    """The part of a hand closed over a rail that runs along y = 0; the wrist is below, at (-4, 44)."""
    pen.fill([(-21, 6), (-19, 22), (-14, 44), (7, 45), (14, 28), (19, 8), (0, 0)], "skin")
    pen.line([(-21.5, 6), (-20, 20), (-15, 34), (-14.5, 47)], 1.1)
    finger(pen, [(10, 34), (17, 22), (24, 11), (33, 6.5)], (7, 6, 5, 4), nail=True)
    pen.line([(12, 30), (8, 38), (7.5, 47)], 1.3)
    for x, top in ((-16.5, -6), (-7, -9), (2.8, -9.5), (12.3, -7.5)):
        finger(pen, [(x * 0.92, 13), (x, 2), (x + 0.6, top)], (5.2, 5.2, 4.6))
    pen.fill([(-17, 10), (14, 10), (11, 22), (-14, 22)], "skin")
    for x in (-11.5, -2, 7.4):
        pen.line([(x, 7), (x * 0.9, 12)], 0.6)
    for x in (-13, -5, 3.4):
        pen.line([(x * 0.9, 17), (x * 0.75, 25)], 0.45)


def hand_wheel(pen: Pen) -> None:
    """Two hands at ten and two on a steering wheel, as the driver sees them."""
    rim = arc(0, 54, 66, 58, 150, 390)
    pen.tube(rim, [4.6] * len(rim), "black")
    pen.line(arc(0, 54, 66.6, 58.6, 248, 292), 0.9, ink=False)
    pen.tube([(-62, 56), (-34, 48), (-10, 52)], [3.2, 4.5, 6])
    pen.tube([(62, 56), (34, 48), (10, 52)], [3.2, 4.5, 6])
    pen.shape([(-17, 42), (0, 38), (17, 42), (15, 60), (0, 67), (-15, 60)], "white")
    pen.line([(-8, 52), (0, 54), (8, 52)], 0.6)
    for f in (False, True):
        with pen.place(35 if f else -35, 2, 0.84, 15 if f else -15, flip=f):
            sleeve(pen, (-3.5, 44), 116, 10.5, 30, True)
            grip(pen)


def paper_cup(pen: Pen, lid: bool = True, dark_band: bool = True) -> None:
    """A paper cup to take away, about 56 units high, its middle at the origin."""
    pen.shape([(-17, -18, 1), (17, -18, 1), (12.5, 27, 1), (0, 28.8), (-12.5, 27, 1)], "cup")
    if dark_band:
        pen.shape([(-15.6, -6, 1), (0, -4.4), (15.6, -6, 1), (13.6, 14, 1), (0, 15.6), (-13.6, 14, 1)], "black", 0.6)
        pen.line([(-6, 5.5), (-2, 1), (1.5, 5), (5.5, 1)], 1, ink=False)
    if lid:
        pen.shape([(-18.5, -18, 1), (-18.5, -22), (-15.5, -23.5, 1), (-13.6, -28, 1), (0, -29), (13.6, -28, 1), (15.5, -23.5, 1), (18.5, -22), (18.5, -18, 1), (0, -16.8)], "white")
        pen.line([(-15.5, -23.5), (0, -22.4), (15.5, -23.5)], 0.6)
        pen.line([(-6, -27), (-2, -26.6)], 0.9)


def steam(pen: Pen, x: float, y: float, tall: float = 16) -> None:
    """Two curls of steam rising from x, y."""
    for dx, k in ((-4, 1), (4, 0.8)):
        pen.line([(x + dx, y), (x + dx - 3, y - tall * 0.3 * k), (x + dx + 3, y - tall * 0.65 * k), (x + dx, y - tall * k)], 0.7, (0.3, 0.2))


def hand_cup(pen: Pen) -> None:
    """A hand round a paper cup with steam."""
    steam(pen, -4, -38, 20)
    with pen.place(-6, -4):
        finger(pen, [(-14, 4), (-19, -4)], (4.6, 4), cap=True)
        paper_cup(pen, dark_band=False)
    sleeve(pen, (34, 32), 42, 11, 28, True)
    pen.fill([(10, -12), (24, -8), (34, 8), (42, 26), (28, 40), (14, 32), (6, 20)], "skin")
    pen.line([(12, -14), (25, -9), (34, 6), (43, 24)], 1)
    pen.line([(8, 29), (18, 34), (27, 42)], 1.35)
    for path in ([(14, 25), (3, 22), (-7, 22)], [(16, 17), (2, 13), (-11, 13)], [(17, 8), (2, 3.5), (-13, 4)], [(17, -3), (3, -7), (-11, -6)]):
        finger(pen, path, (5.4, 5, 4.2), nail=True)
    pen.line([(18, 2), (24, 8)], 0.5)
    pen.line([(17, 12), (23, 18)], 0.5)


def hand_key(pen: Pen) -> None:
    """A hand holding out a van key between thumb and forefinger."""
    sleeve(pen, (-26, 12), 152, 10.5, 28, False, skin=8)
    pen.shape([(-30, 2), (-16, -8), (0, -14), (10, -10), (14, 4), (10, 18), (0, 25), (-12, 26), (-24, 23)], "skin", 1.1)
    pen.fill([(-33, 4), (-20, -3), (-16, 22), (-28, 22)], "skin")
    for path in ([(-4, 21), (4, 23), (7, 19.5)], [(-3, 14), (7, 16), (11.5, 12.5)], [(-1, 6), (10, 8), (16, 4.5)]):
        finger(pen, path, (4.8, 4.7, 4.2))
    with pen.place(30, -6, 1, 14):
        pen.shape([(-5, -5), (3, -6), (7, 0), (3, 6), (-5, 5)], "black", 0.9)
        pen.fill(arc(1, 0, 1.6), "white")
        pen.shape([(6, -2, 1), (24, -2, 1), (27, 0, 1), (24, 2, 1), (21, 2, 1), (20, 3.6, 1), (18, 2, 1), (15, 3.4, 1), (13, 2, 1), (6, 2, 1)], "white", 0.8)
        pen.line(arc(-8, 6, 6, 6, 200, 480), 0.8)
        pen.shape([(-14, 9), (-8, 12), (-9, 27), (-16, 25)], "black", 0.8)
    finger(pen, [(0, -8), (12, -13), (22, -10), (28, -5)], (5.6, 4.9, 4.4, 3.5), nail=True)
    finger(pen, [(-14, 9), (0, 7), (14, 3), (27, 1)], (7.2, 5.8, 4.9, 3.8), nail=True)


def hand_loaf(pen: Pen) -> None:
    """Two hands offering a loaf in a paper bag."""
    with pen.place(0, -14, 1, -10):
        with pen.place(0, 0):
            pen.shape([(-9, -30), (-10, -44), (-2, -52), (7, -50), (11, -40), (10, -28)], "bread")
            for y in (-44, -37, -30):
                pen.line([(-6, y + 3), (0, y), (6, y - 3)], 0.8)
        bag: Path = [(-15, -30, 1), (-10, -27, 1), (-5, -31, 1), (0, -27, 1), (6, -31, 1), (11, -27, 1), (16, -30, 1), (17, 34, 1), (0, 36), (-17, 34, 1)]
        pen.shape(bag, "paper")
        pen.line([(-9, -24), (-10, 20)], 0.5)
        pen.hatch([(8, -24), (15, -26), (16, 32), (9, 33)], 2.2, -50, 0.45)
        pen.line([(-5, -4), (0, -9), (5, -4), (0, 1), (-5, -4)], 0.8)
    for f in (False, True):
        with pen.place(2, 4, 1, 0, flip=f):
            sleeve(pen, (-32, 34), 124, 11, 24, not f)
            pen.fill([(-16, -2), (-28, 4), (-38, 24), (-26, 44), (-12, 30)], "skin")
            pen.line([(-24, 0), (-31, 8), (-39, 26), (-42, 32)], 1.05)
            pen.line([(-8, 26), (-16, 34), (-22, 44)], 1.3)
            for path in ([(-20, 26), (-10, 25), (-2, 21)], [(-24, 18), (-12, 16), (-2.5, 12)], [(-26, 10), (-13, 6.5), (-4, 2)]):
                finger(pen, path, (5.2, 4.8, 4))
            finger(pen, [(-28, 14), (-22, 2), (-15, -7)], (6.4, 5.3, 4.1), nail=True)
