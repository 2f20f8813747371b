"""Vehicles, their insides, things and figures drawn by chance, with empty glass: what clip art cannot teach.

Clip art paints its glass, and sets have few hands, bags and people with their arms akimbo. Here are cars, vans,
buses, trams and lorries from the side, the front, the back and three quarters, two people through a windscreen, a
driver at a side window, the road seen from the back seat, a back seat; `opening_things` adds what has handles, rings
and bars, people, and what is framed and shows nothing behind it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from tests.bench.opening_sketch import GLASS, SIGHT, Pixels, Points, Sketch, box, disc, within
from tests.bench.opening_things import THINGS, bust, lettering, steering, wheel


def seat(s: Sketch, x: float, y: float, wide: float, tall: float) -> None:
    """A seat's back with its headrest, from `y` down, or both as one."""
    if s.rng.random() < 0.4:
        s.shape(box(x - wide, y - 9, x + wide, y + tall, 0, 1), black=s.blacks / 2, weight=0.7)
        if s.rng.random() < 0.2 + s.hatched:
            s.hatch(box(x - wide + 1, y - 8, x + wide - 1, y + tall * s.rng.uniform(0.2, 0.6)))
        return
    black, dark = 0.15 + s.blacks / 2, s.rng.random() < s.hatched
    head = wide * s.rng.uniform(0.4, 0.8)
    for part in (box(x - wide, y, x + wide, y + tall, 0, 1.5), box(x - head, y - 9, x + head, y - 1, 0, 1)):
        s.shape(part, black=black, weight=0.7)
        if dark:
            s.hatch(part)


def riders(s: Sketch, glass: Points, most: int) -> None:
    """Seats, people and a wheel behind the glass."""
    xs, ys = [p[0] for p in glass], [p[1] for p in glass]
    left, right, top, low = min(xs), max(xs), min(ys), max(ys)
    size = (low - top) / s.rng.uniform(42, 62)
    with s.inside(glass):
        for k in range(most):
            x = left + (right - left) * (k + 0.5 + s.rng.uniform(-0.12, 0.12)) / most
            if s.rng.random() < 0.5:
                seat(s, x, top + 20 * size, 14 * size, low - top)
            if s.rng.random() < 0.65:
                bust(s, x, top + (low - top) * s.rng.uniform(0.35, 0.6), size)
        if s.rng.random() < 0.4:
            steering(s, left + (right - left) * s.rng.uniform(0.2, 0.8), low - 4 * size, 9 * size)


def through_windscreen(s: Sketch) -> None:
    """People in a car, from its hood: pillars, dashboard or hood, a mirror, at times the rear wall with its windows."""
    rng = s.rng
    top, low = rng.uniform(-45, -30), rng.uniform(12, 34)
    wide, taper = rng.uniform(40, 58), rng.uniform(3, 16)
    pillar = rng.uniform(3, 8)
    glass = box(-wide, top, wide, low, 0, taper)
    if rng.random() < 0.5:
        glass = [glass[0], (0, top - rng.uniform(0, 5)), *glass[1:]]
    s.shape(box(-wide - pillar, top - pillar, wide + pillar, low + 4, 0, taper), black=s.blacks / 3)
    s.pane(glass, weight=1.2)
    with s.inside(glass):
        if rng.random() < 0.3:
            _rear_wall(s, top, low, wide)
        for x in (-wide * 0.45, wide * 0.45):
            if rng.random() < 0.75:
                seat(s, x, top + rng.uniform(10, 22), rng.uniform(9, 15), low - top)
            if rng.random() < 0.8:
                bust(
                    s,
                    x + rng.normal(0, 2),
                    top + (low - top) * rng.uniform(0.4, 0.65),
                    rng.uniform(0.55, 0.95),
                )
        if rng.random() < 0.6:
            steering(s, rng.choice([-1, 1]) * wide * 0.45, low - rng.uniform(0, 8), rng.uniform(9, 16))
    if rng.random() < 0.6:
        s.stroke([(0, top), (0, top + 6)], 1)
        s.shape(box(-11, top + 5, 11, top + 11, 0, 1), black=0.3 + s.blacks)
    hood = rng.random()
    if hood < 0.7:
        s.shape(
            [
                (-wide - 8, low + 18),
                (-wide, low),
                (0, low - rng.uniform(2, 9)),
                (wide, low),
                (wide + 8, low + 18),
            ],
            black=s.blacks / 3,
        )
        s.stroke([(-wide * 0.7, low + 14), (-wide * 0.4, low + 4), (0, low)], 0.6)
    if rng.random() < 0.5:
        for x in (-20, 15):
            s.stroke([(x, low), (x + rng.uniform(10, 25), low - rng.uniform(1, 12))], 1.2)
    for side in (-1, 1) if rng.random() < 0.4 else ():
        s.shape(disc(side * (wide + pillar + 5), low - 8, 6, 4), black=s.blacks)


def _rear_wall(s: Sketch, top: float, low: float, wide: float) -> None:
    s.shape(box(-wide - 20, top - 10, wide + 20, low + 10, 0, 0), bend=False, black=0.1)
    half = wide * s.rng.uniform(0.35, 0.6)
    s.pane(box(-half, top + 6, half, top + s.rng.uniform(18, 28), 0, -2))
    for side in (-1, 1):
        s.pane(
            [
                (side * (wide * 0.98), top + 4),
                (side * (half + 7), top + 7),
                (side * (half + 9), top + 26),
                (side * (wide * 0.98), low - 8),
            ]
        )


def side_window(s: Sketch) -> None:
    """Somebody at the window of a door, the camera beside it."""
    rng = s.rng
    top, low, left, right = (
        rng.uniform(-44, -32),
        rng.uniform(8, 22),
        rng.uniform(-54, -44),
        rng.uniform(40, 54),
    )
    slant = rng.uniform(6, 20)
    s.shape(
        [
            (left - 8, 48),
            (left - 6, low - 4),
            (left + slant - 4, top - 7),
            (right - 4, top - 7),
            (right + 6, low),
            (right + 8, 48),
        ]
    )
    count = int(rng.integers(1, 3))
    edges = np.linspace(left, right, count + 1)
    for k in range(count):
        first, last = edges[k] + 2, edges[k + 1] - 2
        glass = [(first + (slant if k == 0 else 1), top), (last - 2, top), (last, low), (first, low)]
        s.pane(glass, weight=1.1)
        with s.inside(glass):
            if rng.random() < 0.6:
                seat(s, last - rng.uniform(8, 18), top + rng.uniform(8, 20), 12, 80)
            if rng.random() < 0.85:
                bust(
                    s,
                    (first + last) / 2 + rng.uniform(-8, 8),
                    (top + low) / 2 + rng.uniform(-4, 8),
                    rng.uniform(0.7, 1.15),
                )
            if rng.random() < 0.4 and k == 0:
                steering(s, first + 12, low - 2, 12)
    s.stroke([(left - 6, low + 8), (0, low + 6), (right + 6, low + 7)], 0.7)
    s.shape(box(right - 26, low + 11, right - 10, low + 16), black=0.3 + s.blacks)
    if rng.random() < 0.6:
        s.shape(
            [(left, low), (left - 12, low - 6), (left - 14, low - 18), (left - 2, low - 16)], black=s.blacks
        )


def from_inside(s: Sketch) -> None:
    """The road through the windscreen, over heads and dashboard."""
    rng = s.rng
    top, low, wide = rng.uniform(-44, -34), rng.uniform(0, 16), rng.uniform(44, 58)
    if rng.random() < 0.5:  # the cabin round it
        s.shape(box(-60, top - 8, 60, 56), bend=False, black=s.blacks / 2)
    glass = box(-wide, top, wide, low, 0, rng.uniform(4, 14))
    kind = SIGHT if rng.random() < 0.3 else GLASS
    s.shape(glass, kind, weight=1.3)
    if kind == SIGHT:
        with s.inside(glass):
            for x in (-40, -8, 8, 40):
                s.stroke([(x * 0.2, (top + low) / 2), (x, low)], 0.7)
    s.shape(
        [(-58, 52), (-56, low + 2), (0, low - rng.uniform(0, 6)), (56, low + 2), (58, 52)],
        black=0.2 + s.blacks,
    )
    if rng.random() < 0.7:
        s.shape(box(-12, top + 3, 12, top + 10), black=0.3 + s.blacks)
    if rng.random() < 0.7:
        steering(s, rng.choice([-26, 26]), low + 14, 17)
    for x in rng.permutation([-30, 30])[: int(rng.integers(0, 3))]:
        if rng.random() < 0.5:
            seat(s, x, low - 4, 17, 60)
        with s.place(x, low - 2, rng.uniform(0.8, 1.2)):
            s.shape([(-8, 14), (-24, 22), (-28, 60), (28, 60), (24, 22), (8, 14)], black=s.blacks)
            s.shape(disc(0, 0, 11, 14), black=0.3 + s.blacks)


def back_seat(s: Sketch) -> None:
    """People on the back seat before the rear window."""
    rng = s.rng
    s.shape(box(-58, -40, 58, 46, 0, 6))
    half = rng.uniform(28, 46)
    s.pane(box(-half, -32, half, rng.uniform(-16, -4), 0, rng.uniform(-2, 4)))
    for side in (-1, 1) if rng.random() < 0.5 else ():
        s.pane([(side * 54, -26), (side * (half + 4), -28), (side * (half + 4), -4), (side * 56, 4)])
    s.shape(box(-50, -2, 50, 50, 0, 3), black=s.blacks / 3)
    for x in (-24, 24):
        if rng.random() < 0.8:
            bust(s, x, rng.uniform(-6, 4), rng.uniform(0.65, 0.9))
    for x in (-60, 60) if rng.random() < 0.6 else ():
        seat(s, x, -10, 16, 70)


def profile(s: Sketch) -> None:
    """A car, van, bus, tram or lorry from the side."""
    choice = s.rng.random()
    with s.place(0, 0, 1, 0, int(s.rng.choice([-1, 1]))):
        if choice < 0.45:
            _car(s)
        elif choice < 0.75:
            _van(s)
        else:
            _bus(s)


def _car(s: Sketch) -> None:
    rng = s.rng
    belt, low, roof = rng.uniform(-6, 2), rng.uniform(14, 20), rng.uniform(-28, -18)
    nose, tail = rng.uniform(-56, -50), rng.uniform(48, 56)
    foot, head = rng.uniform(-26, -12), rng.uniform(-12, 2)
    end, rear = rng.uniform(12, 34), rng.uniform(22, 50)
    rear = max(rear, end + 3)
    deck = belt + rng.uniform(-2, 3)
    s.shape(
        [
            (nose, low),
            (nose - 1, belt + 8),
            (foot, belt),
            (head, roof),
            (end, roof),
            (rear, deck),
            (tail, deck + 3),
            (tail + 1, low),
        ]
    )
    inset = rng.uniform(1.5, 4)
    green = [
        (foot + 2 * inset, belt),
        (head + inset * 0.6, roof + inset),
        (end - inset * 0.4, roof + inset),
        (rear - 2 * inset, belt),
    ]
    posts = sorted(rng.uniform(0.3, 0.75, int(rng.integers(1, 3))))
    _panes(s, green, [0, *posts, 1], rng.uniform(0.012, 0.04), 1)
    s.stroke([(nose, belt + 9), (0, belt + 7), (tail, belt + 8)], 0.4)
    for post in posts:
        x = green[0][0] + post * (green[3][0] - green[0][0])
        s.stroke([(x, belt + 1), (x + 1, low - 2)], 0.5)
        s.shape(box(x + 3, belt + 5, x + 9, belt + 7), weight=0.5, black=0.3)
    s.shape(disc(nose + 4, belt + 11, 3, 2.5), weight=0.7)
    s.shape(box(tail - 5, belt + 6, tail, belt + 11), weight=0.7, black=s.blacks)
    size = rng.uniform(8, 11)
    for x in (nose + 19, tail - 20):
        wheel(s, x, low, size, size)


def _van(s: Sketch) -> None:
    rng = s.rng
    roof, low, nose, tail = (
        rng.uniform(-38, -24),
        rng.uniform(16, 22),
        rng.uniform(-56, -50),
        rng.uniform(48, 56),
    )
    bonnet, head = rng.uniform(-44, -36), rng.uniform(-34, -24)
    belt = roof + rng.uniform(16, 22)
    is_lorry = rng.random() < 0.35
    s.shape([(nose, low), (nose, belt + 8), (bonnet, belt + 3), (head, roof), (tail, roof), (tail + 1, low)])
    inset = rng.uniform(2, 4)
    door = rng.uniform(-14, -4)
    foot, front = (bonnet + inset, belt), (head + inset * 0.6, roof + inset)
    behind = [(door - inset, roof + inset), (door - inset, belt)]
    s.pane([foot, front, *behind])
    if rng.random() < 0.4:
        riders(s, [foot, (head + inset, roof + inset), *behind], 1)
    s.stroke([(door, roof + 1), (door, low)], 0.6)
    if is_lorry:
        s.shape(box(door + 2, roof - rng.uniform(0, 14), tail, low - 4), bend=False)
    elif rng.random() < 0.5:
        count = int(rng.integers(1, 4))
        _panes(s, box(door + 3, roof + inset, tail - 4, belt), np.linspace(0, 1, count + 1), 0.03, 0)
    if rng.random() < 0.6:  # a sign on its side
        x, y = (door + tail) / 2, (belt + low) / 2 + rng.uniform(-10, 2) * (not is_lorry)
        sign = (
            disc(x, y, rng.uniform(8, 16), rng.uniform(5, 9))
            if rng.random() < 0.6
            else box(x - 15, y - 7, x + 15, y + 7)
        )
        s.shape(sign, weight=0.8)
        lettering(s, x - 8, y - 3, x + 8, y + 3)
    s.shape(box(door - 9, belt + 6, door - 3, belt + 8), black=0.4, weight=0.6)
    s.shape(disc(nose + 4, belt + 13, 3, 4), weight=0.7)
    if rng.random() < 0.5:
        s.stroke([(nose, low - 6), (tail, low - 6)], 0.5)
    size = rng.uniform(8, 11)
    for x in (nose + 18, tail - 18):
        wheel(s, x, low, size, size)


def _bus(s: Sketch) -> None:
    rng = s.rng
    roof, low, half = rng.uniform(-36, -24), rng.uniform(12, 22), rng.uniform(50, 58)
    s.shape(box(-half, roof, half, low, 0, rng.uniform(0, 4)))
    belt = roof + (low - roof) * rng.uniform(0.4, 0.6)
    count = int(rng.integers(3, 8))
    _panes(
        s, box(-half + 3, roof + rng.uniform(3, 8), half - 3, belt), np.linspace(0, 1, count + 1), 0.02, 0.25
    )
    if rng.random() < 0.6:
        left = rng.uniform(-half + 6, half - 24)
        s.shape(box(left, roof + 5, left + 16, low - 2), bend=False, weight=0.7)
        for k in (0, 1):
            s.pane(box(left + 1.5 + 7 * k, roof + 7, left + 7 + 7 * k, belt + rng.uniform(0, 12)))
    s.stroke([(-half, belt + 5), (half, belt + 5)], 0.5)
    if rng.random() < 0.5:
        lettering(s, -15, belt + 8, 20, belt + 13)
    size = rng.uniform(5, 9)
    for x in (-half + 20, half - 20):
        wheel(s, x, low, size, size)


def _panes(s: Sketch, face: Points, edges: Sequence[float], apart: float, peopled: float) -> None:
    """Windows side by side in a face, now and then with somebody behind."""
    with_people = s.rng.random() < 0.35
    for first, last in pairwise(edges):
        glass = within(
            [face[0], face[3], face[2], face[1]] if face[0][1] > face[1][1] else face,
            first + apart,
            0,
            last - apart,
            1,
        )
        bend = bool(s.rng.random() < 0.8)
        s.pane(glass, bend=bend)
        if with_people and s.rng.random() < peopled:
            riders(s, glass, 1)


def head_on(s: Sketch) -> None:
    """A vehicle from the front, or from the back with doors."""
    rng = s.rng
    wide, top, low = rng.uniform(30, 50), rng.uniform(-50, -26), rng.uniform(24, 40)
    belt = top + (low - top) * rng.uniform(0.4, 0.58)
    waist = wide + rng.uniform(0, 6)
    for side in (-1, 1):
        tyre = side * (wide - rng.uniform(5, 9))
        s.shape(box(tyre - 6, low - 8, tyre + 6, low + 9), black=0.5 + s.blacks)
    s.shape(
        [
            (-wide + 7, top),
            (wide - 7, top),
            (wide, belt - 2),
            (waist, belt + 3),
            (waist - 1, low),
            (-waist + 1, low),
            (-waist, belt + 3),
            (-wide, belt - 2),
        ]
    )
    taper, inset = rng.uniform(2, 9), rng.uniform(3, 7)
    glass = box(-wide + inset, top + rng.uniform(4, 10), wide - inset, belt, 0, taper)
    doors = rng.random() < 0.3
    for first, last in ((0, 0.47), (0.53, 1)) if doors else ((0, 1),):
        pane = within(glass, first, 0, last, 1)
        s.pane(pane)
        if rng.random() < 0.4:
            riders(s, pane, 1 if doors else 2)
    if doors:
        s.stroke([(0, top + 2), (0, low - 4)], 0.7)
        for x in (-4, 4):
            s.shape(disc(x, belt + 10, 1.4), black=0.5, weight=0.6)
    middle = (belt + low) / 2
    for side in (-1, 1):
        lamp = (
            disc(side * (waist - 10), middle, rng.uniform(4, 7))
            if rng.random() < 0.7
            else box(side * (waist - 10) - 6, middle - 4, side * (waist - 10) + 6, middle + 3)
        )
        s.shape(lamp, weight=0.8)
        if rng.random() < 0.5:
            s.shape(disc(side * (waist - 10), middle, 2.2), black=0.5, weight=0.6)
    grille = box(-14, middle - 4, 14, middle + 5, 0, rng.uniform(-4, 4))
    s.shape(grille, black=0.2 + s.blacks, weight=0.8)
    if rng.random() < 0.5:
        s.hatch(grille)
    s.shape(box(-waist - 1, low - 7, waist + 1, low), weight=0.8)
    s.shape(box(-9, low - 9, 9, low - 3), weight=0.7)
    lettering(s, -6, low - 8, 6, low - 4)
    _on_top(s, wide, top, belt)


def _on_top(s: Sketch, wide: float, top: float, belt: float) -> None:
    """Mirrors, a sign on the roof, wipers."""
    rng = s.rng
    for side in (-1, 1) if rng.random() < 0.7 else ():
        s.shape(
            disc(side * (wide + 7), belt - rng.uniform(2, 14), rng.uniform(3, 6), rng.uniform(3, 9)),
            black=0.2 + s.blacks,
        )
    if rng.random() < 0.3:
        s.shape(box(-12, top - 8, 12, top, 0, 2))
        lettering(s, -8, top - 6, 8, top - 2)
    for x in (-14, 8) if rng.random() < 0.4 else ():
        s.stroke([(x, belt), (x + rng.uniform(6, 16), belt - rng.uniform(2, 9))], 1)


def three_quarter(s: Sketch) -> None:
    """A vehicle in perspective: a box with its wheels, and on it a cabin, or one tall box."""
    rng = s.rng
    long, wide, tall = rng.uniform(80, 110), rng.uniform(36, 46), rng.uniform(20, 28)
    is_tall = rng.random() < 0.45
    if is_tall:
        tall = rng.uniform(42, 60)
    turn, far = np.radians(rng.uniform(22, 68)), rng.uniform(150, 400)
    height = rng.uniform(0.02, 0.3) * far
    side = int(rng.choice([-1, 1]))

    def seen(x: float, y: float, z: float) -> tuple[float, float]:
        across, deep = x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn)
        scale = 0.82 * far / (far - deep)
        return float(side * across * scale), float(
            20 + (height * 0.12 - z) * scale - deep * height / far * 0.6
        )

    def face(points: Sequence[tuple[float, float, float]]) -> Points:
        return [seen(*point) for point in points]

    nose = rng.uniform(0, 8) if is_tall else rng.uniform(0, 3)
    front, back, half = long / 2, -long / 2, wide / 2
    top = [(back, half, tall), (front - nose, half, tall), (front - nose, -half, tall), (back, -half, tall)]
    flank = [(back, half, tall), (front - nose, half, tall), (front, half, 0), (back, half, 0)]
    face_on = [(front - nose, half, tall), (front - nose, -half, tall), (front, -half, 0), (front, half, 0)]
    s.shape(face(top), bend=False)
    s.shape(face(flank), bend=False)
    s.shape(face(face_on), bend=False)
    flank_seen, front_seen = face(flank), face(face_on)
    if is_tall:
        _tall_sides(s, flank_seen, front_seen)
    else:
        _cabin(s, face, front, back, half, tall)
    _front_of_box(s, front_seen, 0.6 if is_tall else 0.15)
    for x in (back + long * 0.2, front - long * 0.2):
        ring = [
            (x + 9 * np.cos(a), half, 9 * np.sin(a)) for a in np.linspace(0, 2 * np.pi, 14, endpoint=False)
        ]
        s.shape(face(ring), black=0.3 + s.blacks)
        s.shape(face([(x + 0.5 * (p[0] - x), half, 0.5 * p[2]) for p in ring]), weight=0.7)


def _tall_sides(s: Sketch, flank: Points, front: Points) -> None:
    """Windows along a bus or in a van's door, and its windscreen."""
    rng = s.rng
    low = rng.uniform(0.42, 0.58)
    count, first = (int(rng.integers(3, 7)), 0.04) if rng.random() < 0.5 else (1, rng.uniform(0.55, 0.75))
    edges = np.linspace(first, 0.97, count + 1)
    for left, right in pairwise(edges):
        s.pane(within(flank, left + 0.015, 0.12, right - 0.015, low), bend=bool(rng.random() < 0.7))
    if count == 1:
        s.stroke(within(flank, first, 0.02, first, 0.98)[::3], 0.6)
        if rng.random() < 0.5:
            s.shape(within(flank, 0.12, 0.3, 0.45, 0.7), weight=0.8)
    glass = within(front, 0.07, 0.1, 0.93, low + 0.04)
    s.pane(glass)
    if rng.random() < 0.4:
        riders(s, glass, 2)


def _cabin(
    s: Sketch, face: Callable[..., Points], front: float, back: float, half: float, tall: float
) -> None:
    rng = s.rng
    rise, slope = rng.uniform(14, 22), rng.uniform(8, 22)
    start, end = front - rng.uniform(16, 34), back + rng.uniform(0, 26)
    tail, narrow = rng.uniform(2, 16), rng.uniform(2, 6)
    high, top = tall + rise, half - narrow
    if end + tail > start - slope - 15:
        tail = 2
    roof = [
        (end + tail, top, high),
        (start - slope, top, high),
        (start - slope, -top, high),
        (end + tail, -top, high),
    ]
    flank = [
        (end + tail, top, high),
        (start - slope, top, high),
        (start, half - 1, tall),
        (end, half - 1, tall),
    ]
    screen = [
        (start - slope, top, high),
        (start - slope, -top, high),
        (start, 1 - half, tall),
        (start, half - 1, tall),
    ]
    for part in (roof, flank, screen):
        s.shape(face(part), bend=False)
    flank_seen, glass = face(flank), within(face(screen), 0.06, 0.1, 0.94, 0.93)
    edges = [0.04, *sorted(rng.uniform(0.35, 0.7, int(rng.integers(0, 3)))), 0.96]
    for left, right in pairwise(edges):
        if right - left > 0.1:
            s.pane(within(flank_seen, left + 0.02, 0.12, right - 0.02, 0.92), bend=bool(rng.random() < 0.7))
    s.pane(glass)
    if rng.random() < 0.4:
        riders(s, glass, 2)


def _front_of_box(s: Sketch, front: Points, top: float) -> None:
    """Lamps, grille, bumper and plate."""
    rng = s.rng
    high = top + (1 - top) * 0.2
    for left in (0.06, 0.74):
        s.shape(within(front, left, high, left + 0.2, high + (1 - top) * 0.3), weight=0.8)
    s.shape(within(front, 0.32, high, 0.68, high + (1 - top) * 0.3), weight=0.8, black=0.2 + s.blacks)
    if rng.random() < 0.7:
        s.shape(within(front, 0, 0.84, 1, 1), weight=0.8)
        s.shape(within(front, 0.38, 0.86, 0.62, 0.96), weight=0.6)


SCENES: tuple[tuple[float, Callable[[Sketch], None]], ...] = (
    (0.2, through_windscreen), (0.1, side_window), (0.07, from_inside), (0.05, back_seat),
    (0.2, profile), (0.14, head_on), (0.16, three_quarter),
)  # fmt: skip
WITH_GLASS = 0.5  # share of scenes that are of vehicles


def draw_scene(seed: int, width: int) -> tuple[str, Pixels, Pixels]:
    """What is drawn, its colours (RGBA, glass empty) and the alpha of its line, both `width` pixels square."""
    rng = np.random.default_rng(seed)
    shares, scenes = zip(*(SCENES if rng.random() < WITH_GLASS else THINGS), strict=True)
    scene = scenes[int(rng.choice(len(scenes), p=np.array(shares) / sum(shares)))]
    sketch = Sketch(rng, width)
    scene(sketch)
    return (scene.__name__, *sketch.done())
