"""Rooms behind wide mouths: what is body though its outline stays open, what is a bay, and what is left in doubt."""

from __future__ import annotations

import re

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import fill_body
from assetlib.imaging.cleaning.copying import make_copy

Picture = NDArray[np.uint8]
Points = list[tuple[int, int]]
NO_RIM = ((0, 0), (0, 0))


def ink(side: int, *strokes: Points) -> Picture:
    """Black strokes on transparent ground, uint8 (side, side, 4)."""
    alpha = np.zeros((side, side), np.uint8)
    for stroke in strokes:
        cv2.polylines(alpha, [np.array(stroke, np.int32)], False, 255, max(2, side // 130), cv2.LINE_AA)
    picture = np.zeros((side, side, 4), np.uint8)
    picture[..., 3] = alpha
    return picture


def arc(x: int, y: int, wide: int, tall: int, start: float, end: float) -> Points:
    turns = np.radians(np.linspace(start, end, 90))
    return [(round(x + wide * np.cos(a)), round(y + tall * np.sin(a))) for a in turns]


def pot_without_foot(side: int = 500) -> Picture:
    """A round pot with lid, spout and handle whose foot is not drawn: its outline is open by a quarter."""
    return ink(
        side,
        arc(250, 270, 140, 120, 130, 410),
        arc(250, 150, 60, 22, 0, 360),
        arc(250, 118, 14, 14, 0, 360),
        [(116, 240), (60, 190), (40, 150), (58, 150), (90, 185), (126, 222)],
        arc(400, 255, 60, 55, -110, 110),
        arc(396, 255, 38, 34, -110, 110),
    )


def table(side: int = 500) -> Picture:
    """A table with four legs: three bays between them."""
    legs = [[(x, 200), (x, 430), (x + 22, 430), (x + 22, 200)] for x in (70, 160, 300, 405)]
    return ink(side, [(40, 150), (460, 150), (460, 200), (40, 200), (40, 150)], *legs)


def rain(side: int = 500) -> Picture:
    starts = [(x + (y // 70) % 2 * 30, y) for x in range(50, 450, 60) for y in range(40, 440, 70)]
    return ink(side, *[[(x, y), (x - 8, y + 34)] for x, y in starts])


def test_a_pot_without_its_foot_is_filled_and_ends_straight_below() -> None:
    body = fill_body(pot_without_foot())
    assert body[180:340, 200:300].all()
    assert not body[420:, :].any()
    ends = 270 + round(120 * np.sin(np.radians(130)))
    lowest = np.array([np.flatnonzero(body[:, x]).max() for x in range(190, 310)])
    assert np.abs(lowest - ends).max() <= 8


def test_bays_between_legs_stay_outside() -> None:
    body = fill_body(table())
    for x in (125, 240, 365):
        assert not body[230:430, x].any()
    for x in (81, 171, 311, 416):
        assert body[330, x]


def test_strokes_that_bound_nothing_fill_nothing() -> None:
    drawing = rain()
    assert fill_body(drawing).sum() <= 1.1 * (drawing[..., 3] > 63).sum()


def test_an_arch_alone_is_left_open_and_told() -> None:
    arch = ink(500, [(100, 380), (100, 100), (400, 100), (400, 380)])
    assert not fill_body(arch)[300, 250]
    (why,) = told(arch)
    assert why.startswith("a place is bare that may be body")


def told(drawing: Picture, *choices: tuple[int, int, bool]) -> list[str]:
    """What a copy says of itself that tells of rooms."""
    copy = make_copy(drawing, drawing, drawing, choices, NO_RIM, False)
    return [why for why in copy.sure.why if "outline stays" in why]


def test_a_place_that_may_be_body_is_told_with_the_option_that_settles_it() -> None:
    """A lid alone: perhaps that of a box, perhaps a shelf."""
    lid = ink(500, [(100, 160), (100, 100), (400, 100), (400, 160)])
    (why,) = told(lid)
    assert why.startswith("a place is bare that may be body")
    asked = re.search(r"--shut-at (\d+),(\d+)", why)
    assert asked
    x, y = int(asked[1]), int(asked[2])
    copy = make_copy(lid, lid, lid, ((x, y, False),), NO_RIM, False)
    assert copy.layer[y, x, 3] == 255
    assert not copy.layer[:90, :, 3].any()
    assert not copy.layer[200:, :, 3].any()
    assert told(lid, (x, y, False)) == []
