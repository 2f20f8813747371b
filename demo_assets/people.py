"""Whole figures, 100 units high with the feet at y = 50: a jointed body in a coat, poses by where hands and feet are."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .heads import Look, head
from .pen import Path, Pen, arc, box

Spot = tuple[float, float]


@dataclass(frozen=True)
class Pose:
    """Elbow and wrist of each arm, knee and ankle of each leg, and how the trunk leans; x right, y down."""

    left_arm: tuple[Spot, Spot] = ((-14, -16), (-14, -1))
    right_arm: tuple[Spot, Spot] = ((14, -16), (14, -1))
    left_leg: tuple[Spot, Spot] = ((-6.5, 24), (-7, 46))
    right_leg: tuple[Spot, Spot] = ((6.5, 24), (7.5, 46))
    shoulder: Spot = (0, -31)
    hip: Spot = (0, 2)
    wide: float = 10
    toes: tuple[float, float] = (-1, 1)


STANDING = Pose()
WALKING = Pose(((-9, -17), (-3, -4)), ((7, -17), (14, -6)), ((-4, 24), (-17, 42)), ((9, 22), (13, 46)), (2, -31), (0, 2), 6.5, (1, 1))
PHONING = Pose(((-13, -17), (-3, -20)), ((12, -16), (5, -19)))
CARRYING = Pose(((-14, -15), (-9, -10)), ((14, -15), (9, -10)))
WAVING = Pose(((-13, -16), (-13, -1)), ((17, -33), (15, -50)))
LEANING = Pose(((-13, -18), (-2, -17)), ((12, -18), (-1, -14)), ((-8, 22), (-15, 46)), ((2, 24), (-3, 46)), (3, -30), (-1, 3), 9, (-1, -1))
SEATED = Pose(((-8, -14), (6, -2)), ((6, -14), (16, -3)), ((16, 4), (17, 28)), ((20, 5), (22, 28)), (0, -31), (-1, 2), 7, (1, 1))
POINTING = Pose(((-13, -16), (-13, -1)), ((19, -27), (33, -29)))
HAULING = Pose(((8, -22), (20, -16)), ((12, -20), (22, -13)), ((-10, 22), (-21, 44)), ((8, 24), (6, 46)), (6, -27), (-4, 3), 8, (1, 1))
RUNNING = Pose(((-10, -19), (-2, -13)), ((9, -18), (16, -26)), ((-3, 20), (-22, 24)), ((14, 16), (16, 42)), (6, -30), (0, 2), 6.5, (1, 1))


def _shoe(pen: Pen, x: float, y: float, toe: float) -> None:
    pen.shape([(x - 3 * toe, y - 3, 1), (x + 2 * toe, y - 3), (x + 7 * toe, y + 1.5), (x + 7 * toe, y + 4, 1), (x - 3.4 * toe, y + 4, 1)], "black", 0.8)


def _hand(pen: Pen, elbow: Spot, wrist: Spot) -> None:
    dx, dy = wrist[0] - elbow[0], wrist[1] - elbow[1]
    far = max((dx * dx + dy * dy) ** 0.5, 1)
    pen.shape(arc(wrist[0] + dx / far * 3.2, wrist[1] + dy / far * 3.2, 2.6, 3), "skin", 0.75)


def _leg(pen: Pen, hip: Spot, leg: tuple[Spot, Spot], toe: float, trousers: str) -> None:
    knee, ankle = leg
    _shoe(pen, ankle[0], ankle[1], toe)
    pen.tube([hip, knee, ankle], [6, 4.6, 3.6], trousers, butt=True)


def _arm(pen: Pen, shoulder: Spot, arm: tuple[Spot, Spot], coat: str) -> None:
    _hand(pen, *arm)
    pen.tube([shoulder, arm[0], arm[1]], [4.4, 3.7, 3], coat, tip=coat != "black", cap=coat == "black")
    if coat == "black":
        pen.line([(shoulder[0] + 1, shoulder[1] + 4), ((shoulder[0] + arm[0][0]) / 2 + 1, (shoulder[1] + arm[0][1]) / 2)], 0.7, ink=False)


def _trunk(pen: Pen, pose: Pose, coat: str, long: float) -> None:
    (sx, sy), (hx, hy), w = pose.shoulder, pose.hip, pose.wide
    path: Path = [(sx - 3, sy - 4), (sx + 3, sy - 4), (sx + w - 2.5, sy - 2), (sx + w - 0.4, sy + 4), ((sx + hx) / 2 + w * 0.86, -14),
                  (hx + w * 0.95, hy + long, 1), (hx - w * 0.95, hy + long + 0.6, 1), ((sx + hx) / 2 - w * 0.86, -14), (sx - w + 0.4, sy + 4), (sx - w + 2.5, sy - 2)]
    pen.shape(path, coat)
    ink = coat != "black"
    pen.line([(sx, sy - 2), ((sx + hx) / 2 + 0.5, -14), (hx + 0.4, hy + long - 1)], 0.7, ink=ink)
    pen.line([(sx - 3.4, sy - 4), (sx - 0.5, sy + 3), (sx + 3.6, sy - 4)], 0.8, ink=ink)


def person(pen: Pen, look: Look, pose: Pose = STANDING, *, coat: str = "coat", trousers: str = "black", turn: float = 0,
           view: str = "front", long: float = 5, apron: bool = False, tilt: float = 0) -> None:
    """One figure. The right arm is nearest in a walk; `long` is how far the coat falls below the hip."""
    (sx, sy), (hx, hy) = pose.shoulder, pose.hip
    side = pose.wide < 8.5
    left, right = (sx - pose.wide + (4 if side else 1), sy + 2), (sx + pose.wide - (4 if side else 1), sy + 2)
    if side or view == "back":
        _arm(pen, left if side else right, pose.left_arm if side else pose.right_arm, coat)
    gap = 2 if side else 4
    _leg(pen, (hx - gap, hy + 2), pose.left_leg, pose.toes[0], trousers)
    _leg(pen, (hx + gap, hy + 2), pose.right_leg, pose.toes[1], trousers)
    pen.tube([(sx + (1.5 if side else 0), sy - 8), (sx, sy - 2)], [3, 3.4], "skin", w=0.8)
    _trunk(pen, pose, coat, long)
    if apron:
        pen.shape([(hx - 6, -22, 1), (hx + 6, -22, 1), (hx + 8.5, 0), (hx + 9, 18, 1), (hx - 9, 18, 1), (hx - 8.5, 0)], "white", 0.9)
        pen.line([(hx - 8, -2), (hx, -0.5), (hx + 8, -2)], 0.6)
    head(pen, sx + (2 if side else 0), sy - 12.5, 15, look, turn if turn or not side else 1, tilt, view)
    if side:
        _arm(pen, right, pose.right_arm, coat)
    else:
        _arm(pen, left, pose.left_arm, coat)
        if view != "back":
            _arm(pen, right, pose.right_arm, coat)


def tray(pen: Pen, x: float, y: float, wide: float = 26) -> None:
    """A tray of loaves seen from slightly above."""
    pen.shape([(x - wide / 2, y, 1), (x + wide / 2, y, 1), (x + wide / 2 + 3, y + 5, 1), (x - wide / 2 - 3, y + 5, 1)], "white")
    for k in range(4):
        cx = x - wide / 2 + 4 + k * (wide - 8) / 3
        pen.shape(arc(cx, y - 2, 4.4, 3.4), "white", 0.9)
        pen.line([(cx - 2, y - 3.4), (cx + 0.5, y - 2)], 0.5)


def bag(pen: Pen, x: float, y: float) -> None:
    """A shopping bag hanging from a hand."""
    pen.line([(x - 4, y + 1), (x - 2, y - 6), (x + 2, y - 6), (x + 4, y + 1)], 0.6)
    pen.shape([(x - 6, y, 1), (x + 6, y, 1), (x + 7, y + 14, 1), (x - 6.5, y + 14.5, 1)], "white", 0.9)
    pen.hatch([(x + 1, y + 1), (x + 6, y + 1), (x + 6.5, y + 14), (x + 2, y + 14)], 1.6, -60, 0.5)


def rucksack(pen: Pen, x: float, y: float) -> None:
    """A rucksack on a back seen from behind."""
    pen.shape(box(x - 7, y - 8, x + 7, y + 10, 4), "white", 1)
    pen.shape(box(x - 4.5, y + 1, x + 4.5, y + 8, 1.5), "white", 0.7)
    pen.line([(x - 6, y - 4), (x, y - 2.5), (x + 6, y - 4)], 0.6)


LOOKS = (
    Look("short"), Look("bob", mouth="smile"), Look("bun", dark=False), Look("curly", glasses=True), Look("bald", beard=True),
    Look("long", hat="bobble"), Look("short", hat="peak", beard=True), Look("tail", dark=False), Look("bob", dark=False, glasses=True),
    Look("short", dark=False, old=True), Look("curly"), Look("long", dark=False),
)  # fmt: skip

BAKER = Look("short", hat="baker", mouth="smile")
DECKHAND = Look("short", hat="peak", beard=True)


def baker_tray(pen: Pen) -> None:
    person(pen, BAKER, CARRYING, coat="white", apron=True, turn=0.3)
    tray(pen, 0, -10)


def baker_walking(pen: Pen) -> None:
    person(pen, BAKER, WALKING, coat="white", turn=1)


def woman_phone(pen: Pen) -> None:
    person(pen, LOOKS[1], PHONING, coat="black", long=14, trousers="white", tilt=6)
    pen.shape(box(-2.4, -25.5, 3.4, -17.5, 1), "white", 0.8)


def man_waiting(pen: Pen) -> None:
    person(pen, LOOKS[3], STANDING, coat="coat", long=9)
    bag(pen, 14, 2)


def woman_walking(pen: Pen) -> None:
    person(pen, LOOKS[7], WALKING, coat="coat", long=12, turn=1)


def man_leaning(pen: Pen) -> None:
    person(pen, LOOKS[4], LEANING, coat="coat", turn=-0.4)
    pen.line([(13, -50), (13.5, 0), (13, 50)], 1.6)


def woman_seated(pen: Pen) -> None:
    pen.shape(box(-11, 9, 24, 14, 2), "white")
    person(pen, LOOKS[8], SEATED, coat="black", trousers="white", turn=1, long=3)
    for x in (-7, 20):
        pen.line([(x, 14), (x, 32)], 1.4)


def deckhand_pointing(pen: Pen) -> None:
    person(pen, DECKHAND, POINTING, coat="coat", turn=0.6)


def deckhand_rope(pen: Pen) -> None:
    person(pen, DECKHAND, HAULING, coat="coat", turn=1)
    pen.line([(20, -16), (34, -14), (46, 2), (60, 44)], 1.7)
    pen.line([(20, -13), (33, -9), (42, 12), (50, 46)], 1.0)


def boy_waving(pen: Pen) -> None:
    with pen.place(0, 14, 0.74):
        person(pen, LOOKS[10], WAVING, coat="coat", trousers="black", turn=0.2)


def woman_back(pen: Pen) -> None:
    person(pen, LOOKS[5], STANDING, view="back", coat="coat", long=8)
    rucksack(pen, 0, -17)


def man_back(pen: Pen) -> None:
    person(pen, LOOKS[0], STANDING, view="back", coat="black", long=10, trousers="white")


def crowd(pen: Pen, seed: int = 0, rows: Sequence[int] = (6, 5, 4)) -> None:
    """Commuters standing close, nearer rows lower and larger."""
    for r, count in enumerate(rows):
        size = 0.74 + 0.13 * r
        for k in range(count):
            n = (seed + r * 5 + k * 3) % len(LOOKS)
            with pen.place((k - (count - 1) / 2) * 30 * size + (r % 2) * 7, -14 + r * 13, size):
                pose = (STANDING, PHONING, STANDING, LEANING)[(k + r) % 4] if r < 2 else (PHONING, STANDING)[k % 2]
                person(pen, LOOKS[n], pose, coat=("coat", "black", "coat")[(k + r) % 3], trousers=("black", "white")[(k + r) % 2],
                       turn=(-0.4, 0.2, 0.5, 0)[(k + seed) % 4], long=4 + 5 * (k % 3))  # fmt: skip


def crowd_back(pen: Pen) -> None:
    for r, count in enumerate((5, 4)):
        size = 0.8 + 0.16 * r
        for k in range(count):
            with pen.place((k - (count - 1) / 2) * 29 * size, -10 + r * 16, size):
                person(pen, LOOKS[(r * 4 + k * 5 + 2) % 12], STANDING, view="back", coat=("black", "coat", "coat")[k % 3],
                       trousers=("white", "black")[k % 2], long=6)
                if k % 2 == r:
                    rucksack(pen, 0, -17)


def queue(pen: Pen) -> None:
    """People waiting one behind the other, seen from the side."""
    side = Pose(((-6, -16), (-2, -1)), ((5, -16), (6, 0)), ((-1.5, 24), (-3, 46)), ((2.5, 24), (4, 46)), (0.5, -31), (0, 2), 6.5, (1, 1))
    pen.line([(-62, 50.5), (0, 51.5), (66, 50)], 0.9)
    for k, x in enumerate((-48, -31, -12, 6, 26, 44)):
        with pen.place(x, (k % 2) * 1.5, 0.98 - 0.05 * (k % 3)):
            person(pen, LOOKS[(k * 5 + 1) % 12], side, coat=("coat", "black", "coat")[k % 3], trousers=("black", "white")[k % 2], turn=1, long=5 + 4 * (k % 2))
            if k in (1, 4):
                bag(pen, 7, 3)


def two_talking(pen: Pen) -> None:
    with pen.place(-17, 0):
        person(pen, LOOKS[2], STANDING, coat="coat", turn=0.95, long=12)
    with pen.place(17, -1, flip=True):
        person(pen, LOOKS[6], PHONING, coat="black", turn=0.95, trousers="white")


def couple_running(pen: Pen) -> None:
    with pen.place(-16, 2, 0.94):
        person(pen, LOOKS[11], RUNNING, coat="coat", turn=1)
    with pen.place(16, 0):
        person(pen, LOOKS[0], RUNNING, coat="black", trousers="white", turn=1)
