"""Frames begun: for every shot that is served a layered paste-up, the first choice placed, the others hidden."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from assetlib.errors import AssetlibError
from assetlib.imaging.layering import colours, elements
from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup
from assetlib.imaging.layering.writing import write_frame
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.shots import distances, placing, sides, things
from assetlib.rules.shots.figures import Figure, Placed
from assetlib.rules.shots.frame_sizes import Frame
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.serving import MIRROR_IT, NO
from assetlib.services.jobs import cutouts, line_widths, pasting, pulling
from assetlib.services.jobs.cutouts import Drawn
from assetlib.services.jobs.pulling import NeedPulled, Offer, ShotPulled
from assetlib.services.keeping import upkeep
from assetlib.services.versions import Pinned

ENDINGS = (".psd", ".ora")
_CLOSE = ("ECU", "CU", "MCU", "product shot")
"""Sizes of shot that show so little behind that a wide backdrop would be wrong: it comes hidden."""

_MOVES = ("pan", "tilt", "dolly", "push in", "pull out", "crane", "zoom")
_PUSH, _SHIFT = 1.35, 0.12
"""How much nearer a push ends, and how far a pan goes as a share of the frame: common practice, no source."""

_HELD = re.compile(r"\b(?:on|in|under) (?:her|his|their|the) (?:knees?|lap|hands?|arms?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Plan:
    """How frames are to be made."""

    folder: Path
    frame: Frame
    round: int = 1
    body: str = pasting.OWN_BODY
    under: bool = False
    safe_area: bool = False
    ending: str = ".psd"


@dataclass(frozen=True, slots=True)
class Stood:
    """A drawing on a frame: which need it serves, where it stands, whether it is seen."""

    code: str
    title: str
    place: Placed
    visible: bool
    judged: Pinned
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Board:
    """One frame: its name without ending, and what stands on it. `made_of` is equal for frames made alike."""

    shot: Shot
    letter: str
    name: str
    stood: tuple[Stood, ...]
    picture: LayeredFrame = field(compare=False)
    pulled: ShotPulled | None = field(default=None, compare=False)
    """The shot with its drawings in the order in which they lie on the frame."""

    @property
    def made_of(self) -> str:
        """The drawings and their places in one text, to tell whether a frame would come out the same."""
        told = [f"{s.code} {s.visible:d} {s.place.x:.0f} {s.place.y:.0f} {s.place.width:.0f} {s.place.mirrored:d}"
                for s in self.stood]  # fmt: skip
        return f"{self.picture.size} {self.shot.text} | " + "; ".join(told)


def frame_name(shot: Shot, letter: str, round_: int) -> str:
    """The name of a frame's file without ending: `A_05a_r1` (spot, shot, frame, round)."""
    number = re.sub(r"[^\w-]+", "-", shot.number)
    number = (
        re.sub(r"^\d$", r"0\g<0>", number) if number.isdigit() else re.sub(r"^(\d)(?=\D)", r"0\1", number)
    )
    return "_".join(filter(None, [shot.spot, f"{number}{letter}", f"r{round_}"]))


def letters_of(shot: ShotPulled) -> tuple[str, ...]:
    """The frames of a shot: one, or first and last where the camera moves."""
    moves = set(shot.understood.get("camera_move", ()))
    return ("a", "b") if not moves.isdisjoint(_MOVES) else ("a",)


def boards(
    lib: Library, shots: Sequence[ShotPulled], plan: Plan, progress: Progress = SILENT
) -> Iterator[Board]:
    """The frames of all shots that are served or half served, in order."""
    begun = [shot for shot in shots if shot.served != NO]
    offered = {offer.card.id for shot in begun for need in shot.needs for offer in need.offers}
    # all copies that are missing at once: each alone would start a worker of its own
    upkeep.work_off(lib, (upkeep.CLEAN,), entries=sorted(offered), progress=progress)
    loaded: dict[str, Drawn | None] = {}
    standing = [_standing(lib, shot, plan, loaded) for shot in begun]
    usual = line_widths.usual_line(width for stood in standing for width in stood.lines())
    for stood in progress.track(standing, "beginning frames", len(standing)):
        ranked = line_widths.ranked(stood.shot, stood.marks(usual))
        stood = _standing(lib, pulling.settled(ranked), plan, loaded)
        for letter, spots in stood.spots.items():
            yield _board(stood, letter, plan, spots, usual)


@dataclass(frozen=True, slots=True)
class _Standing:
    """A shot with its drawings and where each stands on each of its frames."""

    shot: ShotPulled
    chosen: list[_Row]
    spots: dict[str, list[Placed]]

    def lines(self) -> Iterator[float]:
        """Widths of the lines that are seen on the first frame, backdrops left out."""
        first = next(iter(self.spots.values()), [])
        for (need, _, drawn, visible), spot in zip(self.chosen, first, strict=False):
            if visible and need.need.kind != "place":
                yield line_widths.width_of(drawn, spot)

    def marks(self, usual: float | None) -> dict[int, tuple[str, ...]]:
        """By entry, why a drawing is to be drawn over on the first frame."""
        first = next(iter(self.spots.values()), [])
        return {
            offer.card.id: tuple(
                line_widths.draw_over(drawn, spot, None if need.need.kind == "place" else usual)
            )
            for (need, offer, drawn, _), spot in zip(self.chosen, first, strict=False)
        }


def _standing(lib: Library, shot: ShotPulled, plan: Plan, loaded: dict[str, Drawn | None]) -> _Standing:
    chosen = _chosen(lib, shot, loaded)
    letters = letters_of(shot)
    said = {thing.key: side for thing, side in sides.sides_in(shot.shot.text)}
    far = distances.distances_in(shot.shot.text)
    figures = [
        replace(
            drawn.figure(need.need.head, _role(need, place)),
            side=said.get(need.need.head, ""),
            distance=far.get(need.need.head, ""),
        )
        for place, (need, _, drawn, _) in enumerate(chosen)
    ]
    first = next(
        (place for place, row in enumerate(chosen) if row[3] and figures[place].role == "main"), None
    )
    still = _spots(plan.frame, figures, shot, [row[3] for row in chosen], first)
    found = {}
    for letter in letters:
        moved = [
            _moved(_roomy(spot) if figure.role == "place" and len(letters) > 1 else spot,
                   plan.frame, shot, letter, len(letters))
            for spot, figure in zip(still, figures, strict=True)
        ]  # fmt: skip
        found[letter] = [
            cutouts.mirrored(spot) if MIRROR_IT in offer.alter else spot
            for spot, (_, offer, _, _) in zip(moved, chosen, strict=True)
        ]
    return _Standing(shot, chosen, found)


_Row = tuple[NeedPulled, Offer, Drawn, bool]


def _chosen(lib: Library, shot: ShotPulled, loaded: dict[str, Drawn | None]) -> list[_Row]:
    """Each drawing of each need, places last, with whether it is seen: the first of a need is."""
    rows: list[_Row] = []
    seen: set[str] = set()
    for need in shot.needs:
        free = not need.within
        for offer in need.offers:
            drawn = _loaded(lib, offer.card.code, loaded)
            if drawn is None or offer.card.code in seen:
                continue
            visible = free and not (need.need.kind == "place" and (_hides_place(shot) or _peopled(offer)))
            rows.append((need, offer, drawn, visible))
            seen.add(offer.card.code)
            free = False
    return rows


def _loaded(lib: Library, code: str, loaded: dict[str, Drawn | None]) -> Drawn | None:
    """A drawing with its clean copy; None where none can be made of it, which stops nothing."""
    if code not in loaded:
        try:
            loaded[code] = cutouts.load(lib, code)
        except AssetlibError:
            loaded[code] = None
    return loaded[code]


def _hides_place(shot: ShotPulled) -> bool:
    return placing.shot_size(shot.understood) in _CLOSE


def _peopled(offer: Offer) -> bool:
    """Whether somebody would have to be taken out of a backdrop first: it comes hidden."""
    taken_out = [text.removeprefix("take out the ") for text in offer.alter if text.startswith("take out")]
    return any(thing.lives for text in taken_out for thing in things.things_in(text))


def _role(need: NeedPulled, place: int) -> str:
    if need.need.kind == "place":
        return "place"
    if place and _HELD.search(need.need.text):
        return "held"
    return "main" if need.need.kind == "main" else "beside"


def _spots(
    frame: Frame, figures: list[Figure], shot: ShotPulled, seen: list[bool], first: int | None
) -> list[Placed]:
    """The places of the drawings that are seen, worked out together, and of each other one in its need's place."""
    visible = [place for place, shown in enumerate(seen) if shown]
    together = [_as_first(figures[place], place == first) for place in visible]
    found = dict(zip(visible, placing.place(frame, together, shot.understood), strict=True))
    for place, figure in enumerate(figures):
        if place in found:
            continue
        leader = [] if first is None or figure.role == "place" else [figures[first]]
        as_first = figure.role == "main" and (first is None or _same_need(figures, place, first))
        if as_first or not leader:
            (found[place],) = placing.place(frame, [_as_first(figure, True)], shot.understood)
        else:
            found[place] = placing.place(frame, [*leader, figure], shot.understood)[-1]
    return [found[place] for place in range(len(figures))]


def _same_need(figures: list[Figure], place: int, first: int) -> bool:
    return figures[place].head == figures[first].head


def _as_first(figure: Figure, first: bool) -> Figure:
    if figure.role in ("place", "held"):
        return figure
    return replace(figure, role="main" if first else "beside")


def _moved(spot: Placed, frame: Frame, shot: ShotPulled, letter: str, of: int) -> Placed:
    """The place in the first or last frame of a camera move."""
    if of < 2:
        return spot
    moves = shot.understood.get("camera_move", ())
    last = letter == "b"
    if "push in" in moves or "zoom" in moves:
        return _nearer(spot, frame) if last else spot
    if "pull out" in moves:
        return spot if last else _nearer(spot, frame)
    way = -1 if "right to left" in shot.understood.get("screen_direction", ()) else 1
    if "pan" in moves or "dolly" in moves:
        # the camera goes to the right, so what stands still goes to the left of the frame
        return replace(spot, x=spot.x + way * (-_SHIFT if last else _SHIFT) * frame.width / 2)
    return replace(spot, y=spot.y + (_SHIFT * frame.height if last else 0.0))


def _roomy(spot: Placed) -> Placed:
    """A backdrop large enough that a move of the camera never shows its edge."""
    grown = 1 + 2 * _SHIFT
    return replace(
        spot,
        x=spot.x - spot.width * _SHIFT,
        y=spot.y - spot.height * _SHIFT,
        width=spot.width * grown,
        height=spot.height * grown,
    )


def _nearer(spot: Placed, frame: Frame) -> Placed:
    """The place where the camera is nearer; what hung free in the air stays inside the frame."""
    middle, eye = frame.width / 2, frame.height * 0.42
    width, height = spot.width * _PUSH, spot.height * _PUSH
    x, y = middle + (spot.x - middle) * _PUSH, eye + (spot.y - eye) * _PUSH
    if spot.y > 0 and spot.y + spot.height < eye:
        x, y = max(0.0, min(x, frame.width - width)), max(0.02 * frame.height, y)
    return replace(spot, x=x, y=y, width=width, height=height)


def _board(stood_as: _Standing, letter: str, plan: Plan, spots: list[Placed], usual: float | None) -> Board:
    shot, chosen = stood_as.shot, stood_as.chosen
    order = {"place": 0, "beside": 1, "main": 2, "held": 3}
    rows = sorted(
        zip(chosen, spots, range(len(spots)), strict=True),
        key=lambda row: (order[_role(row[0][0], row[2])], -row[2]),
    )
    layers: list[Layer | LayerGroup] = [elements.paper(plan.frame.size)]
    stood = []
    for (need, _, drawn, visible), spot, _ in rows:
        under = plan.under and need.need.kind != "place"
        layers.append(pasting.laid_group(drawn, spot, plan.body, under=under, visible=visible))
        over = line_widths.draw_over(drawn, spot, None if need.need.kind == "place" else usual)
        notes = (*drawn.look, *over)
        stood.append(Stood(drawn.code, drawn.title, spot, visible, drawn.judged, notes))
    layers += pasting.guides(plan.frame, safe_area=plan.safe_area)
    layers.append(elements.written(f"{shot.shot.number}  {shot.shot.line}", plan.frame.size))
    layers.append(Layer("yours", np.zeros((0, 0, 4), np.uint8)))
    picture = colours.framed(plan.frame.size, layers)
    return Board(shot.shot, letter, frame_name(shot.shot, letter, plan.round), tuple(stood), picture, shot)


def free_path(folder: Path, name: str, ending: str) -> Path:
    """A path that is not taken: the name itself, or with `_2`, `_3` … behind it."""
    path, number = folder / f"{name}{ending}", 2
    while path.exists():
        path, number = folder / f"{name}_{number}{ending}", number + 1
    return path


def write_board(board: Board, path: Path) -> str:
    """Write a frame; returns the SHA-256 of its bytes. Raises WrongUsage, DiskFull."""
    write_frame(board.picture, path)
    return pasting.digest_of(path)
