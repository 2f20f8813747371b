"""Things and people drawn by chance: rings, handles and bars that one sees through, screens that one does not."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from tests.bench.opening_sketch import GLASS, SIGHT, Points, Sketch, box, disc


def bust(s: Sketch, x: float, y: float, size: float) -> None:
    """Somebody down to the chest, 40 units wide at size 1, facing, turned or from behind."""
    rng = s.rng
    with s.place(x, y, size, float(rng.normal(0, 5)), int(rng.choice([-1, 1]))):
        wide = rng.uniform(18, 28)
        s.shape([(-6, 12), (-wide, 19), (-wide - 2, 60), (wide + 2, 60), (wide, 19), (6, 12)], black=s.blacks)
        s.stroke([(-6, 14), (0, rng.uniform(18, 30)), (6, 14)])
        if rng.random() < 0.6:
            s.stroke([(0, 26), (rng.uniform(-3, 3), 58)])
        s.shape(box(-5, 4, 5, 16))
        face = disc(0, 0, rng.uniform(9, 12), rng.uniform(12, 15))
        long = rng.uniform(0, 16)
        if rng.random() < 0.4:
            s.shape([(-13, -12), (0, -19), (13, -12), (14, 6 + long), (-14, 6 + long)], black=0.3 + s.blacks)
        s.shape(face)
        _face(s, face)
        _hat(s, face)


def _face(s: Sketch, face: Points) -> None:
    rng, turned = s.rng, s.rng.uniform(-4, 4)
    if rng.random() < 0.12:  # from behind
        s.shape(face, black=s.blacks)
        return
    for side in (-4, 4):
        s.stroke(disc(side + turned, -1, 0.7), 0.9)
        s.stroke([(side + turned - 2.5, -4), (side + turned, -5), (side + turned + 2.5, -4)], 0.6)
    s.stroke([(turned, 0), (turned + 1.5, 4), (turned, 4.5)], 0.5)
    s.stroke([(turned - 3, 8), (turned, 9), (turned + 3, 8)], 0.6)
    if rng.random() < 0.2:
        for side in (-4, 4):
            s.stroke([*disc(side + turned, -1, 3), (side + turned + 3, -1)], 0.5)


def _hat(s: Sketch, face: Points) -> None:
    choice = s.rng.random()
    if choice < 0.55:
        low = s.rng.uniform(-8, -3)
        s.shape(
            [(-12, low + 4), (-11, -13), (0, -17), (11, -13), (12, low + 4), (5, low - 2), (-4, low)],
            black=0.3 + s.blacks,
        )
    elif choice < 0.8:
        s.shape([(-12, -6), (-10, -16), (0, -19), (10, -16), (12, -6)], black=s.blacks)
        if choice < 0.7:
            s.shape([(-18, -5), (-12, -8), (12, -8), (14, -5)], black=s.blacks)
    if choice > 0.88:
        with s.inside(face):
            s.shape([(-14, 3), (-6, 6), (6, 6), (14, 3), (12, 20), (-12, 20)], black=0.6)


def steering(s: Sketch, x: float, y: float, wide: float) -> None:
    flat = s.rng.uniform(0.4, 1)
    s.stroke([*disc(x, y, wide, wide * flat), (x + wide, y)], s.rng.uniform(1, 3))
    s.stroke([(x - wide, y), (x, y + wide * 0.2), (x + wide, y)], 1)
    for side in (-1, 1) if s.rng.random() < 0.6 else ():
        s.shape(disc(x + side * wide * 0.8, y - wide * 0.4 * flat, wide * 0.25), weight=0.6)


def wheel(s: Sketch, x: float, y: float, wide: float, tall: float) -> None:
    s.shape(disc(x, y, wide, tall), black=0.3 + s.blacks)
    s.shape(disc(x, y, wide * 0.55, tall * 0.55), weight=0.7)
    if s.rng.random() < 0.5:
        s.shape(disc(x, y, wide * 0.15, tall * 0.15), black=0.5, weight=0.6)


def lettering(s: Sketch, left: float, top: float, right: float, low: float) -> None:
    """A few marks like a word in a box."""
    for x in np.arange(left, right, (right - left) / s.rng.integers(4, 9)):
        s.stroke([(x, top), (x + s.rng.uniform(-1, 1), low), (x + 1, (top + low) / 2)], 0.5)


def _limb(
    s: Sketch, start: tuple[float, float], bend: tuple[float, float], end: tuple[float, float], wide: float
) -> None:
    black, taper = s.blacks, s.rng.uniform(0.55, 0.85)
    middle = (1 + taper) / 2 * wide
    first, last = np.array(start), np.array(end)
    joint = np.array(bend)
    points = [first, 0.5 * (first + joint), joint, 0.5 * (joint + last), last]
    s.tube(
        [(float(x), float(y)) for x, y in points],
        [wide, 0.95 * wide, middle, 0.95 * middle, taper * wide],
        black=black,
    )


def person(s: Sketch, x: float, ground: float, tall: float) -> None:
    """Somebody standing, 100 units tall at size 1, arms hanging, akimbo, folded, raised or holding something."""
    rng, black = s.rng, s.blacks
    with s.place(x, ground, tall / 100, 0, int(rng.choice([-1, 1]))):
        wide, stand = rng.uniform(10, 15), rng.uniform(4, 14)
        behind = rng.random() < 0.5
        arms = [_arm_of(s, side, wide) for side in (-1, 1)]
        for arm in arms if behind else ():
            _limb(s, *arm, rng.uniform(5, 7.5))
        in_one = rng.random() < 0.3
        if in_one:
            trousers = [(-wide * 0.8, -50), (wide * 0.8, -50), (stand + 5, -2), (-stand - 5, -2)]
            s.shape(trousers, black=black)
            s.stroke([(0, -46), (rng.normal(0, 1), -2)])
        for side in () if in_one else (-1, 1):
            foot = side * stand + rng.normal(0, 3)
            _limb(
                s,
                (side * wide * 0.45, -48),
                (side * wide * 0.5 + rng.normal(0, 2), -25),
                (foot, -3),
                rng.uniform(8, 11),
            )
            s.shape(disc(foot + 2, -2, 6, 3), black=0.3 + black)
        hips = wide * rng.uniform(0.7, 1.0)
        long = rng.uniform(-52, -36)
        s.shape(
            [(-wide, -80), (-4, -84), (4, -84), (wide, -80), (hips + 2, long), (-hips - 2, long)], black=black
        )
        if rng.random() < 0.6:
            s.stroke([(0, -82), (rng.normal(0, 1), long + 1)])
        if rng.random() < 0.4:
            s.stroke([(-4, -84), (0, -76), (4, -84)])
        for arm in arms if not behind else ():
            _limb(s, *arm, rng.uniform(5, 7.5))
        for arm in arms:
            s.shape(disc(*arm[2], 3), weight=0.8)
        if rng.random() < 0.2:  # a tray or box before the chest
            s.shape(box(-14, -62, 14, rng.uniform(-58, -46), 0, rng.uniform(-3, 4)), black=black)
            for k in range(int(rng.integers(0, 4))):
                s.shape(disc(-9 + 6 * k, -63, 5, 4), weight=0.8)
        if rng.random() < 0.25:
            _bag(s, arms[1][2])
        s.shape(box(-3, -88, 3, -82), weight=0.7)
        with s.place(0, -93, 0.55):
            face = disc(0, 0, 10, 13)
            s.shape(face)
            _face(s, face)
            _hat(s, face)


def _arm_of(
    s: Sketch, side: int, wide: float
) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Shoulder, elbow and hand."""
    rng, shoulder = s.rng, (side * (wide - 2), -78.0)
    way = rng.random()
    if way < 0.3:  # akimbo
        return (
            shoulder,
            (side * (wide + rng.uniform(7, 14)), rng.uniform(-66, -58)),
            (side * (wide - rng.uniform(1, 5)), rng.uniform(-54, -47)),
        )
    if way < 0.6:  # hanging, close or somewhat apart
        out = rng.uniform(1, 8)
        return (
            shoulder,
            (side * (wide + out), -62.0),
            (side * (wide + rng.uniform(-2, out)), rng.uniform(-48, -42)),
        )
    if way < 0.75:  # across the chest
        return (
            shoulder,
            (side * (wide + rng.uniform(1, 6)), -62.0),
            (-side * rng.uniform(0, 8), rng.uniform(-72, -60)),
        )
    if way < 0.85:  # to the head
        return (
            shoulder,
            (side * (wide + rng.uniform(8, 14)), rng.uniform(-92, -76)),
            (side * rng.uniform(3, 7), rng.uniform(-96, -90)),
        )
    return (
        shoulder,
        (side * (wide + rng.uniform(4, 10)), rng.uniform(-76, -66)),
        (side * (wide + rng.uniform(8, 22)), rng.uniform(-100, -70)),
    )


def _bag(s: Sketch, hand: tuple[float, float]) -> None:
    x, y = hand
    long, wide = s.rng.uniform(4, 12), s.rng.uniform(6, 11)
    s.shape(
        [(x - wide * 0.5, y + long), (x - 1, y), (x + 1, y), (x + wide * 0.5, y + long)], GLASS, bend=False
    )
    s.shape(box(x - wide, y + long, x + wide, y + long + s.rng.uniform(12, 20), 0, 1), black=s.blacks)


def people(s: Sketch) -> None:
    """One to six people beside one another or a crowd in two rows, facing or in profile, at times on a ground line."""
    rng = s.rng
    count = int(rng.choice([1, 1, 1, 2, 3, 4, 6]))
    apart, profiles = rng.uniform(12, 34), float(rng.choice([0, 0.3, 1]))
    size = min(1.0, 100 / (20 + apart * (count - 1)))
    rows = 2 if count > 2 and rng.random() < 0.4 else 1
    for row in range(rows):
        for k in rng.permutation(count):
            x = (k - (count - 1) / 2 + row * 0.5) * apart * size + rng.normal(0, 1.5)
            draw = queuer if rng.random() < profiles else person
            draw(s, x, 46 - 8 * (rows - 1 - row) + rng.normal(0, 1), size * rng.uniform(86, 102))
    if rng.random() < 0.25:
        s.stroke([(-54, 48), (54, 48)])


def queuer(s: Sketch, x: float, ground: float, tall: float) -> None:
    """Somebody standing or walking, seen from the side, 100 units tall at size 1."""
    rng, black = s.rng, s.blacks
    with s.place(x, ground, tall / 100, 0, int(rng.choice([-1, 1]))):
        deep, step = rng.uniform(8, 12), rng.uniform(0, 16)
        far_arm, near_arm = (
            ((0.0, -78.0), (rng.uniform(-10, 2), -62.0), (rng.uniform(-8, 14), rng.uniform(-52, -44)))
            for _ in range(2)
        )
        if rng.random() < 0.5:
            _limb(s, *far_arm, 5)
        trousers = 0.3 + black if rng.random() < 0.5 else 0.0
        for foot in (-step, step):
            s.tube([(0, -46), (foot * 0.4, -24), (foot, -3)], [deep * 1.2, deep, deep * 0.8], black=trousers)
            s.shape(
                [(foot - 4, -4), (foot + 3, -5), (foot + 10, -1), (foot + 9, 1), (foot - 4, 1)],
                black=0.4 + black,
            )
        long = rng.uniform(-50, -30)
        coat = [(-deep, -74), (-3, -84), (5, -82), (deep, -70), (deep + 1, long), (-deep - 1, long)]
        s.shape(coat, black=black)
        if rng.random() < 0.5:
            s.stroke([(deep - 3, -70), (deep - 3, long)])
        if rng.random() < 0.75:
            _limb(s, *near_arm, rng.uniform(5.5, 8))
            s.shape(disc(*near_arm[2], 3), weight=0.8)
            if rng.random() < 0.3:
                _bag(s, near_arm[2])
        s.shape(box(-3, -88, 4, -82), weight=0.7)
        s.shape([(-6, -88), (-6, -97), (2, -100), (6, -97), (8, -92), (6, -90), (6, -86), (-1, -85)])
        s.stroke([(4, -94), (5, -94)], 1)
        s.shape(
            [(-8, -86), (-8, -98), (0, -103), (7, -98), (1, -96), (-1, -90), (-3, -86)], black=0.3 + black
        )


def handled(s: Sketch) -> None:
    """Cup, basket, bag, case, kettle, padlock: a body with a handle."""
    rng = s.rng
    wide, tall, thick = rng.uniform(18, 40), rng.uniform(16, 36), rng.uniform(2, 8)
    kind = int(rng.integers(5))
    black = 0.15 + s.blacks
    if kind == 0:  # at the side
        reach = rng.uniform(10, 20)
        s.ring(
            wide * 0.9,
            rng.uniform(-6, 4),
            reach,
            min(thick, reach * 0.45),
            rng.uniform(0.8, 1.2) * reach,
            black=s.blacks,
        )
    elif kind == 1:  # an arch over it
        rise = rng.uniform(14, 40)
        arch = [
            (-wide * 0.85, -tall),
            (-wide * 0.7, -tall - rise * 0.7),
            (0, -tall - rise),
            (wide * 0.7, -tall - rise * 0.7),
            (wide * 0.85, -tall),
        ]
        s.tube(arch, [thick] * 5, black=s.blacks)
    elif kind == 2:  # a low bow
        half, rise = wide * rng.uniform(0.25, 0.5), rng.uniform(8, 18)
        s.tube(
            [(-half, -tall + 2), (-half, -tall - rise), (half, -tall - rise), (half, -tall + 2)],
            [thick] * 4,
            black=s.blacks,
        )
    elif kind == 3:  # two straps
        for lift in (0, rng.uniform(3, 7)):
            half, rise = wide * rng.uniform(0.3, 0.5), rng.uniform(16, 30) - lift
            s.tube(
                [
                    (-half, -tall + 2),
                    (-half * 0.8, -tall - rise),
                    (half * 0.8, -tall - rise),
                    (half, -tall + 2),
                ],
                [thick * 0.6] * 4,
            )
    else:  # a long strap round all of it
        s.tube(
            [(-wide, -tall), (-wide * 0.6, -tall - 34), (wide * 0.6, -tall - 34), (wide, -tall)],
            [thick * 0.7] * 4,
            black=s.blacks,
        )
    s.shape(box(-wide, -tall, wide, tall, 0, rng.uniform(-6, 8)), black=black)
    for k in range(int(rng.integers(0, 5))):
        s.stroke([(-wide, -tall + 7 * k + 5), (0, -tall + 7 * k + 6), (wide, -tall + 7 * k + 5)], 0.6)
    if rng.random() < 0.4:
        s.shape(disc(0, 0, rng.uniform(4, 9)), weight=0.7)
    if rng.random() < 0.3:
        s.shape(disc(0, -tall, wide - 2, 4), weight=0.8, black=s.blacks)
    for k in range(int(rng.integers(2, 5)) if kind == 1 and rng.random() < 0.4 else 0):
        s.shape(disc(-wide * 0.6 + k * wide * 0.4, -tall - 2, 8, 5), weight=0.8)


def rings(s: Sketch) -> None:
    """Rings by themselves, in a row, with stripes, spokes or something hanging: life ring, tyre, keys, scissors."""
    rng = s.rng
    kind = int(rng.integers(4))
    if kind == 0:
        wide, thick = rng.uniform(30, 50), rng.uniform(8, 20)
        s.ring(0, 0, wide, thick, black=s.blacks)
        for turn in np.arange(0, 360, 90) + rng.uniform(0, 90) if rng.random() < 0.7 else ():
            with s.place(0, 0, 1, float(turn)):
                s.shape([(wide - thick, -6), (wide, -9), (wide, 9), (wide - thick, 6)], black=0.6)
    elif kind == 1:
        wide = rng.uniform(28, 50)
        s.ring(0, 0, wide, rng.uniform(3, 9), black=0.3)
        hub = rng.uniform(3, 8)
        for turn in np.linspace(0, 360, int(rng.integers(3, 13)), endpoint=False):
            with s.place(0, 0, 1, float(turn)):
                if rng.random() < 0.5:
                    s.stroke([(hub, 0), (wide - 2, 0)], 0.7, bend=False)
                else:
                    s.tube([(hub, 0), (wide - 3, 0)], [rng.uniform(2, 5)] * 2)
        s.shape(disc(0, 0, hub), black=0.3)
    elif kind == 2:
        for side in (-1, 1):
            with s.place(0, 6, 1, side * rng.uniform(12, 24)):
                s.tube([(0, -50), (0, 14)], [2, 6])
                s.ring(
                    side * 3, 26, rng.uniform(9, 13), rng.uniform(2, 4), rng.uniform(11, 17), black=s.blacks
                )
    else:
        s.ring(0, -26, rng.uniform(10, 18), rng.uniform(2, 5))
        for _ in range(int(rng.integers(1, 4))):
            with s.place(rng.normal(0, 6), -14, 1, float(rng.normal(0, 25))):
                s.shape(
                    [(-8, 0), (8, 0), (10, 14), (3, 18), (3, 52), (-3, 54), (-3, 18), (-10, 14)],
                    black=s.blacks,
                )
                s.shape(disc(0, 7, 3), GLASS)


def bars(s: Sketch) -> None:
    """Ladder, fence, railing, rack, chair, table, window frame: bars that cross."""
    rng = s.rng
    wide, tall = rng.uniform(20, 56), rng.uniform(20, 50)
    thick, across = rng.uniform(2, 7), rng.uniform(2, 6)
    upright, level = int(rng.integers(2, 8)), int(rng.integers(1, 6))
    black = float(rng.choice([0, 0, 0.5, 1]))
    with s.place(0, 0, 1, float(rng.normal(0, 10))):
        for y in np.linspace(-tall, tall, level + 2)[1:-1]:
            s.tube([(-wide, float(y)), (wide, float(y))], [across] * 2, black=black)
        if rng.random() < 0.5:
            for y in (-tall, tall):
                s.tube([(-wide, y), (wide, y)], [across] * 2, black=black)
        for x in np.linspace(-wide, wide, upright):
            s.tube([(float(x), -tall), (float(x), tall)], [thick] * 2, black=black)
        if rng.random() < 0.3:
            s.shape(box(-wide - 4, -tall - 9, wide + 4, -tall, 0, rng.uniform(-4, 4)), black=s.blacks)
        if rng.random() < 0.25:
            s.shape(box(-wide - 2, -6, wide + 2, 2), black=s.blacks)
    if rng.random() < 0.15:
        person(s, 0, 56, 90)


def bicycle(s: Sketch) -> None:
    rng = s.rng
    wide = rng.uniform(18, 23)
    bar = rng.uniform(1.2, 4)
    for x in (-30, 30):
        s.ring(x, 18, wide, rng.uniform(1.5, 4), black=0.5)
        for turn in np.linspace(0, 360, int(rng.integers(0, 14)), endpoint=False):
            with s.place(x, 18, 1, float(turn)):
                s.stroke([(1, 0), (wide - 2, 0)], 0.4, bend=False)
    for path in (
        [(-30, 18), (-10, -20), (20, -20), (-2, 20), (-30, 18)],
        [(-10, -20), (-2, 20)],
        [(20, -20), (30, 18)],
        [(20, -20), (18, -34)],
    ):
        for first, last in pairwise(path):
            s.tube([first, last], [bar, bar], black=0.3)
    s.shape([(-20, -26), (-2, -27), (-8, -21)], black=0.6)
    s.tube([(10, -36), (24, -34)], [bar, bar])
    if rng.random() < 0.4:
        s.shape(box(22, -30, 42, -16, 0, -2))


def animal(s: Sketch) -> None:
    """Four legs and a tail, standing, sitting or lying."""
    rng = s.rng
    ground = rng.uniform(26, 40)
    for x in (-26, -18, 18, 26):
        _limb(
            s,
            (x, 4),
            (x + rng.normal(0, 3), 0.5 * ground),
            (x + rng.normal(0, 4), ground),
            rng.uniform(6, 10),
        )
    curl = rng.uniform(-30, 10)
    s.tube([(-28, 0), (-40, -6), (-46, curl), (-38, curl - 8)], [6, 5, 4, 2], black=s.blacks)
    s.shape([(-34, -10), (0, -14), (32, -12), (36, 4), (0, 12), (-34, 10)], black=s.blacks / 2)
    s.shape([(26, -6), (28, -24), (44, -26), (56, -14), (50, -6), (36, -2)], black=s.blacks / 2)
    s.shape([(28, -24), (24, -8), (34, -10), (36, -24)], black=0.3 + s.blacks)
    s.stroke(disc(43, -19, 1), 1)
    if rng.random() < 0.3:
        s.stroke([(-50, ground), (50, ground)])


def held(s: Sketch) -> None:
    """A phone, tablet, card, cup or loaf in one hand or two: fingers over an edge, nothing to look through."""
    rng = s.rng
    wide, tall = rng.uniform(11, 34), rng.uniform(18, 34)
    two = rng.random() < 0.4
    with s.place(0, -6, 1, float(rng.normal(0, 14))):
        for side in (-1, 1) if two else (rng.choice([-1, 1]),):
            _limb(
                s,
                (side * (wide + 4), 10),
                (side * (wide + 8), 34),
                (side * (wide * 0.7), 62),
                rng.uniform(16, 24),
            )
            s.shape(
                [
                    (side * (wide - 6), -4),
                    (side * (wide + 8), -8),
                    (side * (wide + 12), 14),
                    (side * (wide - 4), 26),
                    (side * (wide - 14), 18),
                ]
            )
        outer = box(-wide, -tall, wide, tall, 0, rng.uniform(-2, 3))
        s.shape(outer, black=0.2 + s.blacks)
        if rng.random() < 0.75:
            rim = rng.uniform(1.5, 4)
            picture(s, box(-wide + rim, -tall + rim * 1.5, wide - rim, tall - rim * 1.5))
        for side in (-1, 1) if two or rng.random() < 0.6 else (1,):
            for y in np.arange(-8, 14, rng.uniform(5, 7)) if rng.random() < 0.7 else ():
                s.tube(
                    [(side * (wide + 4), float(y)), (side * (wide - rng.uniform(3, 8)), float(y) + 1)], [6, 5]
                )
            if rng.random() < 0.6:
                s.tube(
                    [
                        (side * (wide + 2), 24),
                        (side * (wide - 2), 12),
                        (side * (wide - rng.uniform(4, 10)), 2),
                    ],
                    [8, 7, 5],
                )
    if rng.random() < 0.3:
        s.tube([(56, 40), (30, 14), (8, 0)], [18, 9, 6])
    if rng.random() < 0.25:  # cupped from below
        for side in (-1, 1):
            s.shape(
                [(side * 34, 60), (side * 30, 22), (side * 18, 6), (0, 20), (side * 4, 34), (side * 20, 60)]
            )
            for k in range(4):
                s.tube([(side * 20, 22 + 5 * k), (side * 4, 18 + 5 * k)], [6, 5], weight=0.8)


def picture(s: Sketch, inner: Points) -> None:
    """What may stand on a screen, page or sign: nothing, words, a map, a face, buttons, a landscape."""
    rng = s.rng
    s.shape(inner)
    xs, ys = [p[0] for p in inner], [p[1] for p in inner]
    left, right, top, low = min(xs), max(xs), min(ys), max(ys)
    wide, tall = right - left, low - top
    kind = int(rng.integers(7))
    with s.inside(inner):
        if kind == 1:
            for y in np.arange(top + 0.15 * tall, low, rng.uniform(0.12, 0.25) * tall):
                lettering(s, left + 0.1 * wide, float(y), right - 0.1 * wide, float(y) + 0.05 * tall)
        elif kind == 2:
            for _ in range(int(rng.integers(2, 6))):
                ends = rng.uniform(0, 1, 4)
                s.stroke(
                    [
                        (left, top + ends[0] * tall),
                        (left + ends[1] * wide, top + ends[2] * tall),
                        (right, top + ends[3] * tall),
                    ],
                    0.8,
                )
        elif kind == 3:
            bust(s, (left + right) / 2, (top + low) / 2, min(wide, tall) / rng.uniform(35, 60))
        elif kind == 4:
            for row in np.arange(0.12, 0.9, 0.26):
                for column in np.arange(0.12, 0.9, 0.3):
                    x, y = left + column * wide, top + row * tall
                    s.shape(box(x, y, x + 0.2 * wide, y + 0.16 * tall), black=s.blacks, weight=0.6)
        elif kind == 5:
            s.stroke(
                [
                    (left, low - 0.3 * tall),
                    (left + 0.3 * wide, top + 0.4 * tall),
                    (left + 0.5 * wide, low - 0.35 * tall),
                    (left + 0.7 * wide, top + 0.3 * tall),
                    (right, low - 0.3 * tall),
                ],
                0.7,
            )
            s.shape(disc(left + 0.75 * wide, top + 0.2 * tall, 0.08 * wide), weight=0.6)
    if rng.random() < s.hatched:
        s.hatch(inner)


def screens(s: Sketch) -> None:
    """What is framed as a window is and shows nothing behind it: laptop, picture, mirror, sign, drum, machine."""
    rng = s.rng
    kind = int(rng.integers(6))
    wide, tall = rng.uniform(20, 50), rng.uniform(18, 40)
    with s.place(0, -8, 1, float(rng.normal(0, 8))):
        if kind == 1:
            slant = rng.uniform(4, 18)
            s.shape([(-wide, tall), (wide, tall), (wide + slant, tall + 18), (-wide - slant, tall + 18)])
            for k in range(int(rng.integers(0, 5))):
                s.stroke([(-wide - k, tall + 3 + 3 * k), (wide + k, tall + 3 + 3 * k)], 0.5)
            s.shape(box(-8, tall + 12, 8, tall + 17), weight=0.6)
        if kind == 2:
            s.tube([(0, tall), (0, 60)], [rng.uniform(3, 8)] * 2, black=s.blacks)
        rim = rng.uniform(1.5, 7)
        outer, inner = box(-wide, -tall, wide, tall), box(-wide + rim, -tall + rim, wide - rim, tall - rim)
        if kind == 5:
            outer, inner = disc(0, 0, wide, tall), disc(0, 0, wide - rim, tall - rim)
        s.shape(outer, black=0.2 + s.blacks)
        picture(s, inner)
    if rng.random() < 0.25:
        bust(s, -36, 10, 0.8)


def building(s: Sketch) -> None:
    """A house, shop or shelter; whether its windows are open is left unsaid, its walls, boards and awnings are shut."""
    rng = s.rng
    wide, top = rng.uniform(28, 54), rng.uniform(-50, -20)
    s.shape(box(-wide, top, wide, 50), bend=False, black=s.blacks / 2)
    if rng.random() < 0.5:
        s.shape(
            [(-wide - 4, top), (0, top - rng.uniform(8, 24)), (wide + 4, top)], bend=False, black=s.blacks
        )
    count = int(rng.integers(2, 5))
    for row in np.arange(top + 8, 14, 24):
        for x in np.linspace(-wide, wide, count + 2)[1:-1]:
            s.shape(
                box(float(x) - 6, float(row), float(x) + 6, float(row) + 14), SIGHT, bend=False, weight=0.8
            )
            s.stroke([(float(x), float(row)), (float(x), float(row) + 14)], 0.6)
    s.shape(box(-8, 22, 8, 50), SIGHT if rng.random() < 0.5 else "body", bend=False)
    if rng.random() < 0.5:
        for k in range(8):
            left = -wide + k * wide / 4
            s.shape(
                [(left, 14), (left + wide / 4, 14), (left + wide / 4, 24), (left, 24)],
                black=(k % 2) * 0.9,
                weight=0.8,
            )
    if rng.random() < 0.4:
        s.shape(box(-wide * 0.7, 4, wide * 0.7, 13), bend=False)
        lettering(s, -wide * 0.5, 6, wide * 0.5, 11)
    if rng.random() < 0.3:
        person(s, rng.uniform(-30, 30), 54, rng.uniform(34, 50))


THINGS: tuple[tuple[float, Callable[[Sketch], None]], ...] = (
    (0.28, people), (0.15, handled), (0.09, rings), (0.11, bars), (0.05, bicycle), (0.08, animal), (0.16, held),
    (0.09, screens), (0.05, building),
)  # fmt: skip
