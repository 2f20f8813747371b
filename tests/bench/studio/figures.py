"""People of the studio library: who does what, alone and in company, each with what it shows and how an artist calls it."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from demo_assets import animals, hands, people, props
from demo_assets.heads import Look
from demo_assets.pen import Pen, box
from demo_assets.people import BAKER, DECKHAND, LOOKS, Pose, person

Drawn = Callable[[Pen], None]


@dataclass(frozen=True)
class Drawing:
    """One drawing: how it is drawn, what it shows as words, and the title that an artist would write."""

    draw: Drawn
    shows: frozenset[str]
    title: str


@dataclass(frozen=True)
class Who:
    """A kind of person: what it is called, what it is, and how it is drawn."""

    name: str
    words: str
    look: Look
    coat: str = "coat"
    trousers: str = "black"
    size: float = 1.0
    apron: bool = False


CAST = (
    Who("baker", "baker man", BAKER, "white", apron=True),
    Who("deckhand", "deckhand sailor man", DECKHAND),
    Who("man", "man", LOOKS[0], "black", "white"),
    Who("bald man", "man bald beard", LOOKS[4]),
    Who("old man", "man old", replace(LOOKS[9], beard=True)),
    Who("woman", "woman", LOOKS[1], "black", "white"),
    Who("woman with glasses", "woman glasses", LOOKS[8]),
    Who("old woman", "woman old", Look("bun", dark=False, old=True, glasses=True), "black", "white"),
    Who("boy", "boy child", LOOKS[10], size=0.72),
    Who("girl", "girl child", LOOKS[7], "black", size=0.72),
    Who("courier", "courier man cap", Look("short", hat="peak"), "black"),
    Who("woman in a bobble hat", "woman hat", LOOKS[5]),
)

JUMPING = Pose(((-16, -36), (-18, -50)), ((16, -36), (19, -49)), ((-14, 16), (-20, 30)), ((14, 16), (20, 28)))
DANCING = Pose(((-18, -28), (-26, -40)), ((16, -16), (10, -4)), ((-6, 24), (-8, 46)), ((14, 16), (8, 30)), (2, -31), (-1, 2))
SWEEPING = Pose(((4, -20), (13, -16)), ((12, -20), (18, -6)), ((-6, 24), (-12, 45)), ((8, 24), (8, 46)), (3, -29), (-2, 3), 7.5, (1, 1))
CLIMBING = Pose(((-11, -36), (-9, -48)), ((11, -26), (9, -38)), ((-7, 16), (-6, 30)), ((7, 24), (6, 46)))


def _bench(pen: Pen) -> None:
    pen.shape(box(-14, 9, 28, 14, 2), "white")
    for x in (-10, 24):
        pen.line([(x, 14), (x, 32)], 1.4)


def _umbrella(pen: Pen) -> None:
    with pen.place(14, -52, 0.62):
        props.umbrella(pen)


def _suitcase(pen: Pen) -> None:
    with pen.place(26, 32, 0.5):
        props.suitcase(pen)


def _laptop(pen: Pen) -> None:
    with pen.place(22, -6, 0.34):
        props.laptop_three_quarter(pen)


def _cup(pen: Pen) -> None:
    with pen.place(6, -24, 0.28):
        hands.paper_cup(pen)


def _paper(pen: Pen) -> None:
    pen.shape([(-12, -32, 1), (0, -29, 1), (12, -32, 1), (12, -12, 1), (0, -9, 1), (-12, -12, 1)], "white")
    for y in (-27, -23, -19, -15):
        pen.line([(-9, y), (-2, y + 1)], 0.5)
        pen.line([(3, y + 1), (9, y)], 0.5)


def _parcel(pen: Pen) -> None:
    pen.shape(box(-12, -22, 12, -4), "white")
    pen.line([(0, -22), (0, -4)], 0.8)


def _phone(pen: Pen) -> None:
    pen.shape(box(-2.4, -25.5, 3.4, -17.5, 1), "white", 0.8)


def _broom(pen: Pen) -> None:
    pen.line([(12, -24), (24, 40)], 1.4)
    pen.shape([(20, 36, 1), (30, 35, 1), (34, 50, 1), (18, 50, 1)], "white")


def _ladder(pen: Pen) -> None:
    for x in (-14, 14):
        pen.line([(x, -62), (x, 58)], 1.6)
    for y in range(-54, 56, 16):
        pen.line([(-14, y), (14, y)], 1.1)


def _post(pen: Pen) -> None:
    pen.line([(13, -50), (13.5, 0), (13, 50)], 1.6)


def _rope(pen: Pen) -> None:
    pen.line([(20, -16), (34, -14), (46, 2), (60, 44)], 1.7)
    pen.line([(20, -13), (33, -9), (42, 12), (50, 46)], 1.0)


def _dog(pen: Pen) -> None:
    with pen.place(56, 26, 0.8):
        animals.dog_walking(pen)
    pen.line([(14, -4), (34, 4), (62, 14)], 0.7)


def _bicycle(pen: Pen) -> None:
    with pen.place(20, 22, 0.75):
        props.bicycle(pen)


def _none(pen: Pen) -> None:
    """Nothing in hand."""


@dataclass(frozen=True)
class Act:
    """Something a person does: its words, how artists put it, pose, view and what is at hand, behind or before."""

    words: str
    says: tuple[str, ...]
    pose: Pose = people.STANDING
    turn: float = 0.2
    view: str = "front"
    before: Drawn = _none
    behind: Drawn = _none
    flips: bool = False
    lying: bool = False


SIDE = "profile"
ACTS = (
    Act("standing front", ("standing", "stands, front view", "full figure, front")),
    Act("standing back view-back", ("from behind", "back view", "seen from the back"), view="back", turn=0),
    Act("walking profile", ("walking", "walks", "walk cycle, side view"), people.WALKING, 1, flips=True),
    Act("running profile", ("running", "runs", "sprint"), people.RUNNING, 1, flips=True),
    Act("waving", ("waving", "waves hello", "wave"), people.WAVING),
    Act("pointing", ("pointing", "points the way", "point to side"), people.POINTING, 0.6, flips=True),
    Act("seated bench profile", ("seated on a bench", "sits on bench", "bench, sitting"), people.SEATED, 1, behind=_bench),
    Act("seated bench laptop typing profile", ("on bench with laptop", "sits, laptop on knees", "w/ laptop"), people.SEATED, 1,
        behind=_bench, before=_laptop),
    Act("leaning post", ("leaning on a post", "leans", "leaning"), people.LEANING, -0.4, behind=_post),
    Act("phone looking", ("looking at phone", "checks her phone", "on the phone screen"), people.PHONING, before=_phone),
    Act("carrying tray bread", ("with a tray of loaves", "carries tray", "w tray"), people.CARRYING, 0.3, before=partial(people.tray, x=0, y=-10)),
    Act("carrying parcel box", ("carrying a parcel", "delivers a box", "holding package"), people.CARRYING, 0.2, before=_parcel),
    Act("umbrella holding", ("with umbrella", "under an umbrella", "w/ umbrella"), people.WAVING, before=_umbrella),
    Act("suitcase luggage", ("with suitcase", "and suitcase on wheels", "w/ luggage"), before=_suitcase),
    Act("bag shopping", ("with a shopping bag", "waits with bag", "holding bag"), before=partial(people.bag, x=14, y=2)),
    Act("rucksack back view-back", ("from behind with rucksack", "w/ rucksack, back view", "rucksack on back"), view="back", turn=0,
        before=partial(people.rucksack, x=0, y=-17)),
    Act("coffee cup drinking holding", ("with coffee", "drinking coffee to go", "holds a paper cup"), people.PHONING, before=_cup),
    Act("newspaper reading", ("reading a newspaper", "reads the paper", "w/ newspaper"), people.PHONING, before=_paper),
    Act("rope hauling pulling profile", ("hauling a rope", "pulls rope", "tugging at the rope"), people.HAULING, 1, before=_rope),
    Act("dog walking profile", ("walking the dog", "walks dog", "and dog on a lead"), people.WALKING, 1, before=_dog, flips=True),
    Act("bicycle pushing profile", ("with bicycle", "pushing a bike", "and bike"), people.WALKING, 1, before=_bicycle),
    Act("jumping", ("jumping", "jumps for joy", "jump"), JUMPING),
    Act("dancing", ("dancing", "dances", "dance step"), DANCING),
    Act("sweeping broom profile", ("sweeping", "sweeps the floor", "w/ broom"), SWEEPING, 1, before=_broom),
    Act("climbing ladder back view-back", ("climbing a ladder", "climbs ladder", "up a ladder"), CLIMBING, 0, "back", behind=_ladder),
    Act("lying asleep sleeping", ("lying asleep", "sleeps on the ground", "lying down"), lying=True),
)  # fmt: skip


def draw_person(pen: Pen, who: Who, act: Act, flip: bool = False) -> None:
    """One person at one thing; flipped it faces left."""
    with pen.place(0, 14 * (1 - who.size), who.size, 90 if act.lying else 0, flip=flip):
        act.behind(pen)
        person(pen, who.look, act.pose, coat=who.coat, trousers=who.trousers, turn=act.turn, view=act.view,
               long=5 + 6 * ("woman" in who.words), apron=who.apron and act.view == "front" and act.turn < 1)
        act.before(pen)


def singles(seed: int = 0) -> Iterator[Drawing]:
    """Each of the cast at everything, those that go somewhere now to the right and now to the left.

    The seed says who goes which way and which of the titles is taken.
    """
    for w, who in enumerate(CAST):
        for a, act in enumerate(ACTS):
            flip = act.flips and (w * 3 + a + seed) % 4 > 1
            shows = {"person", "n1", *who.words.split(), *act.words.split()}
            says = act.says[(w + a + seed) % 3].replace("her phone", "her phone" if "woman" in who.words else "phone")
            title = f"{who.name.capitalize()} {says}"
            if act.flips:
                shows |= {"right to left" if flip else "left to right"}
                title += (", R to L" if flip else ", L to R") if (w + a + seed) % 3 == 0 else (", to the left" if flip else "")
            yield Drawing(partial(draw_person, who=who, act=act, flip=flip), frozenset(shows), title)


def draw_row(pen: Pen, cast: tuple[Who, ...], act: Act, gap: float, flip: bool = False) -> None:
    """Several people side by side at the same thing."""
    with pen.place(0, 0, 1, flip=flip):
        for k, who in enumerate(cast):
            with pen.place((k - (len(cast) - 1) / 2) * gap, (k % 2) * 2):
                draw_person(pen, who, act)


def draw_facing(pen: Pen, one: Who, other: Who) -> None:
    """Two people turned to each other, talking."""
    with pen.place(-18, 0):
        person(pen, one.look, people.STANDING, coat=one.coat, trousers=one.trousers, turn=0.95)
    with pen.place(18, 0, flip=True):
        person(pen, other.look, people.PHONING, coat=other.coat, trousers=other.trousers, turn=0.95)


NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five"}
TOGETHER = (
    ("walking", ACTS[2], 24), ("running", ACTS[3], 30), ("waving", ACTS[4], 30), ("from behind", ACTS[1], 24),
    ("sitting on a bench", ACTS[6], 34), ("standing", ACTS[0], 24), ("jumping", ACTS[21], 40), ("dancing", ACTS[22], 40),
    ("with umbrellas", ACTS[12], 44), ("looking at phones", ACTS[9], 26),
)  # fmt: skip


def groups(seed: int = 0) -> Iterator[Drawing]:
    """Two to five of a kind or mixed at the same thing, pairs in talk, queues and crowds."""
    kinds = (("women", "woman", (5, 6, 7, 11)), ("men", "man", (2, 3, 4, 10)), ("children", "child boy girl", (8, 9, 8, 9)),
             ("people", "man woman", (2, 5, 3, 6)))  # fmt: skip
    for k, (plural, words, cast) in enumerate(kinds):
        for t, (says, act, gap) in enumerate(TOGETHER):
            many = 2 + (k + t + seed) % 4
            flip = act.flips and (t + seed) % 2 == 1
            members = tuple(CAST[cast[i % len(cast)]] for i in range(many))
            shows = {"person", f"n{many}", "several", *words.split(), *act.words.split()}
            if act.flips:
                shows |= {"right to left" if flip else "left to right"}
            number = NUMBERS[many] if (k + t + seed) % 3 else str(many)
            title = f"{number} {plural} {says}" + (" R to L" if flip else "")
            yield Drawing(partial(draw_row, cast=members, act=act, gap=gap, flip=flip), frozenset(shows), title.capitalize())
    for one, other in ((0, 5), (2, 6), (5, 7), (3, 1), (10, 11), (4, 7), (2, 3), (5, 11)):
        a, b = CAST[one], CAST[other]
        shows = {"person", "n2", "several", "talking", "standing", *a.words.split(), *b.words.split()}
        title = f"{a.name.capitalize()} and {b.name} {('talking', 'in conversation', 'chat')[one % 3]}"
        yield Drawing(partial(draw_facing, one=a, other=b), frozenset(shows), title)
    yield from _crowds()


def _crowds() -> Iterator[Drawing]:
    for seed, rows, says in ((1, (5, 5), "Crowd, two rows"), (2, (7, 6, 5), "Big crowd from the front"), (4, (4, 4, 3), "Crowd of commuters"),
                             (7, (3, 4), "Onlookers, small crowd"), (9, (6, 6), "Audience standing")):  # fmt: skip
        shows = frozenset({"person", "crowd", "several", "front", "man", "woman"})
        yield Drawing(partial(people.crowd, seed=seed, rows=rows), shows, says)
    yield Drawing(people.crowd_back, frozenset({"person", "crowd", "several", "back", "view-back"}), "Crowd from behind, watching")
    yield Drawing(people.queue, frozenset({"person", "queue", "several", "profile", "waiting", "n6"}), "Queue of six, side view")
    yield Drawing(partial(_flipped, draw=people.queue), frozenset({"person", "queue", "several", "profile", "waiting", "n6"}),
                  "People queueing, facing left")  # fmt: skip


def _flipped(pen: Pen, draw: Drawn) -> None:
    with pen.place(flip=True):
        draw(pen)
