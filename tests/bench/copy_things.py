"""More things drawn by hand-made strokes, none of which anything was tuned on: for the second set of copies."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tests.bench.copy_strokes import Floats, Hand, Rng, box, oval


def ferry(hand: Hand) -> None:
    """A ferry from its side, with portholes and a rail one looks through."""
    hand.shape([(6, 62), (94, 58), (84, 84), (18, 84)], bend=False, dark=float(hand.rng.choice([0, 0.3])))
    hand.shape(box(24, 42, 70, 61), bend=False)
    hand.shape(box(32, 28, 58, 42), bend=False)
    hand.shape(box(44, 12, 54, 28), bend=False, dark=float(hand.rng.choice([0, 0.5])))
    for k in range(4):
        hand.shape(oval(30 + 11 * k, 51, 3), gap=False)
    for x in range(72, 92, 6):
        hand.stroke([(x, 48), (x, 59)], bend=False)
    hand.stroke([(70, 48), (91, 47)], bend=False)


def bicycle(hand: Hand) -> None:
    """A bicycle: wheels and frame are seen through."""
    for x in (24, 76):
        hand.shape(oval(x, 66, 19), gap=False)
        hand.shape(oval(x, 66, 16), hole=True, gap=False)
        for a in np.linspace(0, np.pi, 5)[:-1]:
            hand.stroke(
                [
                    (x - 15 * np.cos(a), 66 - 15 * np.sin(a)),
                    (x + 15 * np.cos(a), 66 + 15 * np.sin(a)),
                ],
                bend=False,
            )
    hand.shape([(24, 66), (40, 40), (68, 40), (48, 68)], bend=False, hole=True, gap=False)
    hand.stroke([(76, 66), (66, 32), (72, 28), (77, 31)])
    hand.stroke([(40, 40), (38, 33)])
    hand.shape(oval(38, 32, 7, 2.5))


def teapot(hand: Hand) -> None:
    """A teapot with its lid; one looks through its handle."""
    hand.shape([(68, 40), (88, 38), (92, 54), (78, 68), (66, 66)])
    hand.shape([(70, 45), (83, 44), (86, 53), (76, 61), (70, 60)], hole=True, gap=False)
    hand.shape([(30, 58), (14, 46), (8, 34), (15, 34), (22, 42), (34, 46)])
    hand.shape([(28, 40), (50, 33), (72, 40), (74, 62), (60, 76), (40, 76), (26, 62)])
    hand.shape([(36, 36), (50, 28), (64, 36), (50, 39)])
    hand.shape(oval(50, 25, 3.5))


def cat(hand: Hand) -> None:
    """A cat that sits, its tail around it."""
    hand.shape(
        [(64, 84), (84, 82), (90, 66), (84, 60), (80, 70), (66, 74)], dark=float(hand.rng.choice([0, 0.4]))
    )
    hand.shape([(38, 42), (60, 42), (72, 66), (70, 88), (34, 88), (32, 64)])
    hand.shape([(30, 30), (30, 10), (40, 18), (54, 18), (64, 10), (64, 30), (56, 44), (38, 44)])
    for x in (41, 54):
        hand.shape(oval(x, 28, 2.4, 3), gap=False)
    hand.shape([(45, 34), (50, 34), (47, 37)], bend=False, dark=0.8)
    for s in (-1, 1):
        for k in range(2):
            hand.stroke([(47 + 5 * s, 36 + 2 * k), (47 + 20 * s, 33 + 6 * k)])
    hand.stroke([(44, 62), (43, 88)])
    hand.stroke([(56, 62), (57, 88)])


def basket(hand: Hand) -> None:
    """A basket of loaves; one looks through under its handle."""
    hand.shape([(18, 50), (22, 18), (50, 6), (78, 18), (82, 50)])
    hand.shape([(24, 50), (28, 22), (50, 12), (72, 22), (76, 50)], hole=True, gap=False)
    for x in (34, 50, 66):
        hand.shape(oval(x, 48, 11, 7), dark=float(hand.rng.choice([0, 0.2])))
    hand.shape([(14, 50), (86, 50), (76, 86), (24, 86)], bend=False)
    for y in (60, 70, 79):
        hand.stroke([(18 + (y - 50) / 4, y), (82 - (y - 50) / 4, y)])
    for x in (32, 44, 56, 68):
        hand.stroke([(x, 51), (50 + (x - 50) * 0.8, 86)])


def tree(hand: Hand) -> None:
    """A tree with a round crown."""
    hand.shape(
        [(44, 58), (56, 58), (58, 84), (66, 92), (34, 92), (42, 84)], dark=float(hand.rng.choice([0, 0.4]))
    )
    hand.shape(
        [
            (20, 46),
            (14, 32),
            (28, 24),
            (34, 10),
            (52, 6),
            (68, 12),
            (76, 26),
            (88, 36),
            (80, 52),
            (62, 60),
            (36, 60),
        ],
        dark=float(hand.rng.choice([0, 0, 0.25])),
    )
    for x, y in ((36, 30), (56, 26), (64, 42), (42, 46)):
        hand.stroke([(x - 5, y), (x, y + 4), (x + 5, y)])


def ladder(hand: Hand) -> None:
    """A ladder: one looks through between its rungs."""
    for y in np.linspace(16, 84, int(hand.rng.integers(5, 8))):
        hand.shape(box(32, float(y), 68, float(y) + 4), bend=False)
    hand.shape([(34, 4), (40, 4), (34, 96), (26, 96)], bend=False)
    hand.shape([(60, 4), (66, 4), (74, 96), (66, 96)], bend=False)


def table(hand: Hand) -> None:
    """A table with a cloth and four legs."""
    for x in (20, 34, 64, 78):
        hand.shape(box(x, 46, x + 5, 92 if x in (20, 78) else 80), bend=False)
    hand.shape([(12, 40), (30, 26), (88, 26), (90, 40)], bend=False)
    hand.shape(
        [(12, 40), (90, 40), (88, 52), (70, 48), (52, 53), (34, 48), (14, 53)],
        dark=float(hand.rng.choice([0, 0.2])),
    )


def signpost(hand: Hand) -> None:
    """A signpost with two arms."""
    hand.shape(box(47, 8, 53, 94), bend=False)
    hand.shape([(50, 16), (82, 16), (92, 24), (82, 32), (50, 32)], bend=False)
    hand.shape(
        [(52, 38), (20, 38), (8, 46), (20, 54), (52, 54)], bend=False, dark=float(hand.rng.choice([0, 0.3]))
    )


def baker(hand: Hand) -> None:
    """A baker in an apron, a tray before him; one looks through between his legs."""
    for x in (39, 52):
        hand.shape(box(x, 66, x + 9, 94), bend=False)
        hand.shape(oval(x + 4, 95, 7, 3))
    hand.shape([(36, 32), (64, 32), (66, 70), (34, 70)])
    hand.shape([(40, 40), (60, 40), (64, 78), (36, 78)], dark=float(hand.rng.choice([0, 0.2])))
    hand.shape([(37, 33), (26, 44), (30, 58), (36, 56), (35, 46), (41, 40)])
    hand.shape([(63, 33), (74, 44), (70, 58), (64, 56), (65, 46), (59, 40)])
    hand.shape(box(18, 55, 82, 60), bend=False)
    hand.shape(oval(50, 20, 9, 11), gap=False)
    hand.shape([(38, 14), (34, 4), (44, 1), (56, 1), (66, 4), (62, 14)])
    hand.stroke(oval(46, 19, 0.7))
    hand.stroke(oval(54, 19, 0.7))
    hand.stroke([(45, 25), (50, 27), (55, 25)])


def balloon_child(hand: Hand) -> None:
    """A child with a balloon on a string."""
    hand.shape([(38, 54), (52, 54), (58, 78), (32, 78)], dark=float(hand.rng.choice([0, 0.3])))
    for x in (38, 47):
        hand.shape(box(x, 78, x + 5, 94), bend=False)
    hand.shape([(52, 56), (66, 44), (69, 47), (54, 62)])
    hand.shape(oval(45, 42, 9), gap=False)
    hand.stroke([(36, 40), (38, 31), (52, 31), (54, 40)])
    hand.stroke([(67, 44), (70, 34), (74, 26)])
    hand.shape(oval(76, 15, 10, 12), dark=float(hand.rng.choice([0, 0.4])))


def bench(hand: Hand) -> None:
    """A bench with slats: one looks through its back and under it."""
    for x in (16, 80):
        hand.shape(box(x, 22, x + 4, 88), bend=False)
    for y in (24, 34, 44):
        hand.shape(box(10, y, 90, y + 5), bend=False)
    hand.shape([(10, 58), (90, 58), (94, 66), (6, 66)], bend=False)


def keys(hand: Hand) -> None:
    """A key with a ring."""
    hand.shape(box(48, 47, 92, 53), bend=False)
    for x in (76, 84):
        hand.shape(box(x, 53, x + 5, 63), bend=False)
    hand.shape(oval(32, 50, 22), gap=False)
    hand.shape(oval(28, 50, 12), hole=True, gap=False)


def window(hand: Hand) -> None:
    """A window with panes and curtains."""
    hand.shape(box(14, 8, 86, 88), bend=False)
    hand.shape(box(20, 14, 80, 82), bend=False, gap=False)
    hand.stroke([(50, 14), (50, 82)], bend=False)
    hand.stroke([(20, 44), (80, 44)], bend=False)
    hand.shape([(20, 14), (38, 14), (32, 44), (22, 66), (20, 66)], dark=float(hand.rng.choice([0, 0.3])))
    hand.shape([(80, 14), (62, 14), (68, 44), (78, 66), (80, 66)], dark=float(hand.rng.choice([0, 0.3])))


def gull(hand: Hand) -> None:
    """A gull that flies."""
    hand.shape([(46, 42), (30, 18), (8, 12), (22, 26), (34, 48)])
    hand.shape([(54, 42), (72, 16), (94, 14), (80, 28), (64, 50)])
    hand.shape([(30, 52), (48, 40), (66, 44), (80, 40), (76, 50), (60, 62), (42, 62), (14, 66)])
    hand.shape([(78, 43), (90, 46), (78, 48)], bend=False, dark=0.6)
    hand.stroke(oval(73, 44, 0.7))


THINGS: tuple[Callable[[Hand], None], ...] = (
    ferry, bicycle, teapot, cat, basket, tree, ladder, table, signpost, baker, balloon_child, bench, keys, window,
    gull,
)  # fmt: skip


def draw(rng: Rng, side: int, which: int | None = None) -> tuple[str, Floats, Floats]:
    """The name of a thing, its line and its tone, float32 (side, side), 0 to 1."""
    thing = THINGS[int(rng.integers(len(THINGS))) if which is None else which % len(THINGS)]
    hand = Hand(rng, side)
    thing(hand)
    return thing.__name__, *hand.drawn()
