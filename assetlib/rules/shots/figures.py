"""Drawings that are to be placed on a frame: what they are, and where they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assetlib.rules.shots import things
from assetlib.rules.shots.phrases import word_set

Facets = dict[str, tuple[str, ...]]

_AIR = word_set("gull bird pigeon sun moon star cloud balloon")
_GROUNDED = word_set("vehicle animal boat furniture building")
_BY_A_PERSON = {
    "bicycle": 0.62, "vehicle": 1.2, "dog": 0.38, "cat": 0.2, "horse": 1.0, "animal": 0.4, "suitcase": 0.42,
    "furniture": 0.5, "crate": 0.25, "ladder": 1.5, "umbrella": 0.6, "boat": 3.0,
}  # fmt: skip
"""How high things are beside a standing grown-up: rounded from everyday sizes, from memory."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing to be placed: width and height of its ink in pixels, what it is, and where it was cut.

    `cut` names sides (left, top, right, bottom) where the drawing runs straight out: a sleeve, a car's body.
    """

    width: int
    height: int
    title: str
    head: str = ""
    facets: Facets | None = None
    cut: tuple[str, ...] = ()
    role: str = "main"
    """*main*, *beside* (another thing, farther off), *held* (in the hands of the first) or *place*."""
    side: str = ""
    """*left* or *right* where the line says on which side of the frame it stands."""
    distance: str = ""
    """*far*, *near* or *aside* where the line says so (`distances`)."""
    has_floor: bool = True
    """Of a place, whether its ground is drawn, as backdrops have it; a row of shops by itself ends at its foot."""
    open_side: str = ""
    """Of a place, the side (*left* or *right*) on which it leaves most free where things stand far off."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a drawing stands: its left upper corner and size in pixels of the frame, and whether it is mirrored."""

    x: float
    y: float
    width: float
    height: float
    mirrored: bool = False


def kind_of(figure: Figure) -> str:
    """What kind of drawing this is for placing: person, crowd, hand, setup, air, standing or thing."""
    facets = figure.facets or {}
    if facets.get("camera_position") or "over the shoulder" in facets.get("shot_type", ()):
        return "setup"
    keys = things.keys_shown((figure.title,)) | {figure.head}
    named = things.things_in(figure.title)
    first = {named[0].key, *things.above(named[0].key)} if named else {figure.head}
    if not keys.isdisjoint(("rear-view-mirror", "dashboard")):
        return "setup"
    if "hand" in first or not first.isdisjoint(("face", "eye", "foot")):
        return "hand"
    if not keys.isdisjoint(("crowd", "queue")):
        return "crowd"
    if "person" in first or is_person(named):
        return "person"
    if not keys.isdisjoint(_AIR):
        return "air"
    return "standing" if not keys.isdisjoint(_GROUNDED) else "thing"


def is_person(named: Sequence[things.Thing]) -> bool:
    """Whether what a title names first is somebody."""
    return any("person" in (thing.key, *things.above(thing.key)) for thing in named[:2])


def is_front(title: str) -> bool:
    """Whether a title names the front of buildings first: it ends at its foot where no ground is drawn with it."""
    first = things.things_in(title)[:1]
    return bool(first) and not {"building", "street-front"}.isdisjoint(
        (first[0].key, *things.above(first[0].key))
    )


def is_boat(figure: Figure) -> bool:
    """Whether it floats."""
    return "boat" in things.keys_shown((figure.title,))


def by_a_person(figure: Figure) -> float:
    """How high a thing is beside a standing person; 0 where it is not known."""
    named = things.things_in(figure.title)
    keys = (named[0].key, *things.above(named[0].key)) if named else (figure.head,)
    return next((_BY_A_PERSON[key] for key in keys if key in _BY_A_PERSON), 0.0)
