"""Where drawings stand on a frame: by the body for people, by the ground for what stands, by the edge for what is cut.

All numbers are shares of the frame's height unless said otherwise: common practice of board artists, no source.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from assetlib.rules.shots import things
from assetlib.rules.shots.figures import Facets, Figure, Placed, by_a_person, is_boat, kind_of
from assetlib.rules.shots.frame_sizes import Frame

HEADS = 7.5
"""Heads to a standing figure's height (the usual canon of drawing books, from memory)."""

# Heads of a standing figure that a shot shows from the top of the head down.
_THIRD = 0.38  # of the width: where the first of two stands, a little inside the third

_HEADS_SHOWN = {"ECU": 0.7, "CU": 1.5, "MCU": 2.3, "MS": 3.4, "MWS": 5.5}
_SEATED_SHORTER = 1.75  # heads that sitting takes off a figure: the thighs lie
_HEADROOM = {"ECU": -0.1, "CU": 0.05, "MCU": 0.06, "MS": 0.08, "MWS": 0.08, "FS": 0.08, "WS": 0.0, "EWS": 0.0}
_WHOLE = {"FS": 0.85, "WS": 0.58, "EWS": 0.25}
_CROWD = {"WS": 0.6, "EWS": 0.3}
_PAVEMENT = 0.06  # of the height: how far behind the first one a wall meets the ground
_WATERLINE = 0.78
_EYES = 0.065  # of a standing figure's height, from the top: half a head
_GROUND = {"WS": 0.9, "EWS": 0.8, "FS": 0.93}
_USUAL = "MS"

# How large a thing is drawn, as a share of the frame's height, and of its width at most.
_THING = {"ECU": 0.9, "CU": 0.75, "MCU": 0.7, "MS": 0.6, "MWS": 0.55, "FS": 0.6, "WS": 0.36, "EWS": 0.2,
          "product shot": 0.7}  # fmt: skip
_WIDEST = {"ECU": 0.95, "CU": 0.85, "MCU": 0.8, "MS": 0.75, "MWS": 0.7, "FS": 0.8, "WS": 0.55, "EWS": 0.35,
           "product shot": 0.8}  # fmt: skip
_HAND = 0.95
_SMALL_ANIMAL = 0.92  # of what a thing has
_BEHIND = 0.4  # a large thing beside the first one stands farther off
_FAR_OFF = 0.3  # what the line puts far off
_FAR_PERSON = 0.45  # of the first one's height
_HORIZON = 0.62  # where what is far off, or on the water behind somebody, meets the ground
_ASIDE = 0.12  # of the width: how far from the middle stands what stands at a place of the scene
_OWN_HANDS = 0.85  # hands that are the viewer's own reach into the frame from below
_MIRROR = 0.8  # of the width: a mirror hangs in the frame
_MEETING = {"FS": 0.15, "WS": 0.15, "EWS": 0.15}
_MEETING_CLOSE = 0.45
"""Share of the narrower of two drawings that the other may cover: people in a two-shot do, a dog and a van do not."""
_SEEN = 0.85  # of a drawing that is moved aside stays inside the frame
_IN_THE_AIR = 0.2
_SMALLEST_PERSON, _LARGEST_PERSON = 0.14, 0.85
_HELD = 0.24  # of the holding figure's height
_MOST_OVER = 1.8  # times the frame that a backdrop may reach over it
_MOST_CUT = 0.3  # share of its height that a drawing which fills the frame may lose

_MIDDLE = 0.08  # of the width: what stands no farther from the middle stands on no side
_SIDES = {"left": 0.3, "right": 0.7}
_OTHER = {"left": "right", "right": "left"}


def place(frame: Frame, figures: Sequence[Figure], said: Facets) -> tuple[Placed, ...]:
    """Where the drawings of one shot stand, in their order; `said` is what the line says of shot and camera."""
    size = shot_size(said)
    is_whole = not {"shot_size", "shot_type"} & set(said)
    if is_whole and any(kind_of(figure) in ("person", "crowd") for figure in figures):
        size = "FS"  # nobody is cut off where nothing says how close the camera is
    figures = _far_ones_in_the_open(figures)
    placed: list[Placed] = []
    first: tuple[Figure, Placed] | None = None
    mains = [figure for figure in figures if figure.role == "main"]
    for figure in figures:
        if figure.role == "place":
            whole = size in _WHOLE and not figure.has_floor
            spot = _on_its_foot(frame, figure, size) if whole else _covering(frame, figure)
        elif first is not None and figure.role == "held":
            spot = _held(figure, first[1])
        elif first is not None:
            spot = _beside(frame, figure, first, size)
        else:
            spot = _main(frame, figure, size, said, alone=len(mains) == 1 == len(_standing(figures)))
            first = (figure, spot)
        placed.append(spot)
    placed = _before_the_wall(frame, figures, placed, size)
    settled = _apart(frame, figures, _on_sides(frame, figures, placed), size)
    if is_whole:
        settled = [_inside(frame, figure, spot) for figure, spot in zip(figures, settled, strict=True)]
    return tuple(_with_what_is_held(figures, placed, settled))


def _far_ones_in_the_open(figures: Sequence[Figure]) -> Sequence[Figure]:
    """The figures with what the line puts far off on the side where the backdrop leaves most free."""
    free = next((figure.open_side for figure in figures if figure.role == "place" and figure.open_side), "")
    if not free or any(figure.side for figure in figures):
        return figures
    return [
        replace(figure, side=free) if figure.distance == "far" and figure.role == "beside" else figure
        for figure in figures
    ]


def _before_the_wall(
    frame: Frame, figures: Sequence[Figure], placed: Sequence[Placed], size: str
) -> list[Placed]:
    """The places with nothing that stands on the ground behind the foot of a wall."""
    if size not in _WHOLE or all(figure.has_floor for figure in figures if figure.role == "place"):
        return list(placed)
    foot = (_GROUND[size] - _PAVEMENT / 2) * frame.height
    return [
        replace(spot, y=max(spot.y, foot - spot.height))
        if figure.role == "beside" and kind_of(figure) in ("standing", "person", "crowd")
        else spot
        for figure, spot in zip(figures, placed, strict=True)
    ]


def _on_sides(frame: Frame, figures: Sequence[Figure], placed: Sequence[Placed]) -> list[Placed]:
    """The places with each drawing on the side that is said, and the others on the side that is free."""
    said = {figure.side for figure in figures if figure.side and _may_move(figure)}
    if not said:
        return list(placed)
    free = _OTHER[said.pop()] if len(said) == 1 else ""
    return [
        _to_side(frame, spot, side) if _may_move(figure) and (side := figure.side or free) else spot
        for figure, spot in zip(figures, placed, strict=True)
    ]


def _apart(frame: Frame, figures: Sequence[Figure], placed: Sequence[Placed], size: str) -> list[Placed]:
    """The places with drawings that cover too much of each other moved apart, as far as frame and sides let them."""
    spots = list(placed)
    # a crowd behind somebody who is near fills the frame, and the air is for birds
    free = ("air",) if size in _MEETING else ("air", "crowd")
    order = [
        place for place, figure in enumerate(figures) if _may_move(figure) and kind_of(figure) not in free
    ]
    order.sort(key=lambda place: round(spots[place].x + spots[place].width / 2))
    most = _MEETING.get(size, _MEETING_CLOSE)
    for left, right in itertools.pairwise(order):
        one, other = spots[left], spots[right]
        covered = one.x + one.width - other.x - most * min(one.width, other.width)
        if covered > 0:
            spots[left] = _kept_in(frame, replace(one, x=one.x - covered / 2))
            rest = covered - (one.x - spots[left].x)
            spots[right] = _kept_in(frame, replace(other, x=other.x + rest))
    return spots


def _kept_in(frame: Frame, spot: Placed) -> Placed:
    """The place moved back until most of the drawing is in the frame, across."""
    out = (1 - _SEEN) * spot.width
    return replace(spot, x=min(max(spot.x, -out), max(-out, frame.width - spot.width + out)))


def _with_what_is_held(
    figures: Sequence[Figure], before: Sequence[Placed], after: Sequence[Placed]
) -> list[Placed]:
    """The places after a move, with what is held moved as the first drawing was."""
    first = next((place for place, figure in enumerate(figures) if figure.role in ("main", "beside")), None)
    shift = after[first].x - before[first].x if first is not None else 0.0
    return [
        replace(spot, x=spot.x + shift) if figure.role == "held" else spot
        for figure, spot in zip(figures, after, strict=True)
    ]


def _inside(frame: Frame, figure: Figure, spot: Placed) -> Placed:
    """The place made so small and moved so far that the whole drawing is in the frame, and still on its foot."""
    if figure.role not in ("main", "beside") or kind_of(figure) in ("setup", "hand"):
        return spot
    share = min(1.0, frame.width / spot.width, frame.height / spot.height)
    width, height = spot.width * share, spot.height * share
    x = spot.x + (spot.width - width) / 2
    y = spot.y + spot.height - height
    return replace(
        spot,
        x=min(max(x, 0.0), frame.width - width),
        y=min(max(y, 0.0), frame.height - height),
        width=width,
        height=height,
    )


def _may_move(figure: Figure) -> bool:
    """Whether a drawing can stand on either side: not a backdrop, a set-up, or what is cut off at a side."""
    if figure.role not in ("main", "beside"):
        return False
    kind = kind_of(figure)
    return kind != "setup" and not (kind == "hand" and {"left", "right"} & set(figure.cut))


def _to_side(frame: Frame, spot: Placed, side: str) -> Placed:
    middle = (spot.x + spot.width / 2) / frame.width
    if abs(middle - 0.5) < _MIDDLE:
        middle = _SIDES[side]
    elif (middle < 0.5) != (side == "left"):
        middle = 1 - middle
    middle = min(middle, _SIDES[side]) if side == "left" else max(middle, _SIDES[side])
    return replace(spot, x=middle * frame.width - spot.width / 2)


def shot_size(said: Facets) -> str:
    """The size of shot that a line names, the first where it names several; an insert is a close-up."""
    for value in said.get("shot_size", ()):
        return value
    kinds = said.get("shot_type", ())
    if "insert" in kinds or "cutaway" in kinds:
        return "CU"
    return "WS" if "establishing" in kinds else _USUAL


def _standing(figures: Sequence[Figure]) -> list[Figure]:
    return [figure for figure in figures if figure.role in ("main", "beside")]


def _main(frame: Frame, figure: Figure, size: str, said: Facets, *, alone: bool) -> Placed:
    kind = kind_of(figure)
    across = 0.5 + _lead(said) if alone else _THIRD
    if alone and figure.distance == "aside" and size in ("FS", "WS", "EWS"):
        across += -_ASIDE if _lead(said) < 0 else _ASIDE
    if kind == "setup":
        if "rear-view-mirror" in things.keys_shown((figure.title,)):
            return _at(frame, figure, _fitted(frame, figure, _HAND, _MIRROR), 0.5, 0.5)
        return _filling(frame, figure, whole=_fills(figure))
    if kind in ("person", "crowd"):
        return _body(frame, figure, size, across, crowd=kind == "crowd")
    if kind == "hand":
        return _hand(frame, figure, size, own="point of view" in said.get("shot_type", ()))
    height = _fitted(frame, figure, _THING[size], _WIDEST[size])
    floats = is_boat(figure)
    if floats and size in ("WS", "EWS"):
        height = _fitted(frame, figure, 1.5 * _THING[size], 1.2 * _WIDEST[size])
    if floats and size in ("WS", "EWS", "FS"):
        return _at(frame, figure, height, across, _WATERLINE - height / frame.height / 2)
    if kind == "air":
        return _at(
            frame,
            figure,
            _fitted(frame, figure, _IN_THE_AIR, 0.4) if size in ("WS", "EWS") else height,
            across,
            0.4,
        )
    if kind == "standing" and size in ("WS", "EWS", "FS", "MS", "MWS"):
        ground = _GROUND.get(size, 0.86)
        return _at(frame, figure, height, across, ground - height / frame.height / 2)
    return _at(frame, figure, height, across, 0.54)


def _lead(said: Facets) -> float:
    """How far from the middle something that moves stands, as a share of the width, so that it has room ahead."""
    ways = said.get("screen_direction", ())
    return -0.04 if "left to right" in ways else 0.04 if "right to left" in ways else 0.0


def _at(frame: Frame, figure: Figure, height: float, across: float, down: float) -> Placed:
    """A drawing of this height in pixels with its middle at shares of the frame's width and height."""
    width = height * figure.width / figure.height
    return Placed(across * frame.width - width / 2, down * frame.height - height / 2, width, height)


def _fitted(frame: Frame, figure: Figure, high: float, wide: float) -> float:
    """The height in pixels at which a drawing is as high as one share or as wide as the other, what comes first."""
    return min(high * frame.height, wide * frame.width * figure.height / figure.width)


def _body(frame: Frame, figure: Figure, size: str, across: float, *, crowd: bool) -> Placed:
    """A person by the body: what the shot does not show runs out below the frame."""
    headroom = _HEADROOM.get(size, 0.08) * frame.height
    if size in _HEADS_SHOWN and not (crowd and size == "ECU"):
        seated = "seated" in (figure.facets or {}).get("pose", ())
        heads = HEADS - (_SEATED_SHORTER if seated else 0)
        height = (frame.height - headroom) * heads / _HEADS_SHOWN[size]
        if crowd:
            # the last row of a crowd stands higher up than the first, so less of it is cut
            height *= 0.9
        return Placed(across * frame.width - height * figure.width / figure.height / 2, headroom,
                      height * figure.width / figure.height, height)  # fmt: skip
    whole = (_CROWD if crowd else _WHOLE).get(size, _WHOLE["FS"])
    height = _fitted(frame, figure, whole, 0.9)
    ground = _GROUND.get(size, 0.93) + (0.08 if crowd and size == "WS" else 0)
    return _at(frame, figure, height, across, ground - height / frame.height / 2)


def _hand(frame: Frame, figure: Figure, size: str, *, own: bool) -> Placed:
    """A hand or face: as large as the frame, its cut sleeve at the frame's edge; the viewer's own come from below."""
    share = _HAND if size in ("CU", "ECU", "MCU", "product shot") else 0.6
    if own:
        height = _fitted(frame, figure, min(share, _OWN_HANDS), 0.9)
        return _at(frame, figure, height, 0.5, 1.05 - height / frame.height / 2)
    height = _fitted(frame, figure, share, 0.9)
    spot = _at(frame, figure, height, 0.5, 0.5)
    return _to_edges(frame, spot, figure.cut)


def _to_edges(frame: Frame, spot: Placed, cut: tuple[str, ...]) -> Placed:
    """The spot moved so that one cut side meets the frame's edge: below before the sides, never above."""
    if "bottom" in cut or not cut:
        return replace(spot, y=frame.height - spot.height + 1)
    if "right" in cut and "left" not in cut:
        return replace(spot, x=frame.width - spot.width + 1)
    if "left" in cut and "right" not in cut:
        return replace(spot, x=-1.0)
    return spot


def _fills(figure: Figure) -> bool:
    """Whether a set-up meets all sides of the frame; a mirror or a dashboard stands in it."""
    return things.keys_shown((figure.title,)).isdisjoint(("rear-view-mirror", "dashboard"))


def _filling(frame: Frame, figure: Figure, *, whole: bool) -> Placed:
    """A set-up of the camera: as wide as the frame, and as high where that cuts little; it stands on the lower edge."""
    width = float(frame.width)
    height = width * figure.height / figure.width
    if height < frame.height * (1 - _MOST_CUT) or (not whole and height < frame.height):
        # a dashboard comes from below, and what meets no edge stands in the middle
        top = frame.height - height if "bottom" in figure.cut else (frame.height - height) / 2
        return Placed(0.0, top, width, height)
    if height < frame.height:
        width, height = width * frame.height / height, float(frame.height)
    if height > frame.height * (1 + _MOST_CUT):
        height = frame.height * (1 + _MOST_CUT)
        width = height * figure.width / figure.height
    top = (
        frame.height - height
        if "over the shoulder" in (figure.facets or {}).get("shot_type", ())
        else (frame.height - height) / 2
    )
    return Placed((frame.width - width) / 2, top, width, height)


def _covering(frame: Frame, figure: Figure) -> Placed:
    """A backdrop over the whole frame; one that is much wider or higher stands in it whole."""
    scale = max(frame.width / figure.width, frame.height / figure.height)
    width, height = figure.width * scale, figure.height * scale
    if width > _MOST_OVER * frame.width or height > _MOST_OVER * frame.height:
        scale = min(frame.width / figure.width, frame.height / figure.height)
        width, height = figure.width * scale, figure.height * scale
        ground = 0.86 if width >= frame.width else 1.0
        return Placed((frame.width - width) / 2, ground * frame.height - height, width, height)
    return Placed((frame.width - width) / 2, (frame.height - height) / 2, width, height)


def _on_its_foot(frame: Frame, figure: Figure, size: str) -> Placed:
    """A place without a ground, such as a row of shops: as wide as the frame, its foot behind whoever stands there."""
    ground = (_GROUND[size] - _PAVEMENT) * frame.height
    height = max(frame.width * figure.height / figure.width, min(ground, frame.height))
    width = height * figure.width / figure.height
    return Placed((frame.width - width) / 2, ground - height, width, height)


def _beside(frame: Frame, figure: Figure, first: tuple[Figure, Placed], size: str) -> Placed:
    """Another thing: people share the first one's eye line, what stands shares its ground or stands farther off."""
    kind = kind_of(figure)
    leader, spot = first
    people = ("person", "crowd")
    right = spot.x + spot.width / 2 < 0.5 * frame.width
    across = 0.7 if right else 0.3
    if kind == "air":
        return _at(frame, figure, _fitted(frame, figure, _IN_THE_AIR, 0.4), across, 0.2)
    if kind in people and kind_of(leader) in people:
        height = spot.height * (0.62 if kind == "crowd" and size in ("CU", "MCU", "MS") else 1.0)
        height *= _FAR_PERSON if figure.distance == "far" else 1.0
        eye = spot.y + _EYES * spot.height
        width = height * figure.width / figure.height
        return Placed(across * frame.width - width / 2, eye - _EYES * height, width, height)
    ground = min(spot.y + spot.height, 0.92 * frame.height)
    height = _fitted(frame, figure, _BEHIND if kind != "thing" else 0.3, 0.55)
    if figure.distance == "far" or (is_boat(figure) and not is_boat(leader)):
        height = _fitted(frame, figure, _FAR_OFF, 0.4)
        ground = min(ground, _HORIZON * frame.height)
    elif kind in people:
        height = _fitted(frame, figure, _WHOLE.get(size, 0.8), 0.5)
        if (share := by_a_person(leader)) and size in _WHOLE:
            tall = min(
                max(spot.height / share, _SMALLEST_PERSON * frame.height), _LARGEST_PERSON * frame.height
            )
            height = min(height, tall)
    elif kind_of(leader) == "person" and (share := by_a_person(figure)):
        height = min(share * spot.height, 0.5 * frame.width * figure.height / figure.width)
    elif kind in ("standing", "thing"):
        # farther off stands higher up
        ground -= 0.06 * frame.height
    return _at(frame, figure, height, across, ground / frame.height - height / frame.height / 2)


def _held(figure: Figure, holder: Placed) -> Placed:
    """A thing in somebody's hands or on their knees: before the body, a third of the way down."""
    height = min(_HELD * holder.height, 0.9 * holder.width * figure.height / figure.width)
    width = height * figure.width / figure.height
    return Placed(holder.x + 0.62 * holder.width - width * 0.3, holder.y + 0.3 * holder.height, width, height)
