"""Clean copies of drawings, ready to be laid onto a frame."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from sqlalchemy import select

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Original, Piece
from assetlib.errors import BadPicture, WrongUsage
from assetlib.imaging.formats.stored import Stored, read_stored
from assetlib.imaging.layering import elements
from assetlib.imaging.layering.elements import Cutout
from assetlib.library import Library
from assetlib.rules.shots import things
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.figures import Figure, Placed, is_front
from assetlib.services.bringing import clean_copies
from assetlib.services.pictures import picture_plan
from assetlib.services.versions import Pinned

_TOLD = ("people", "setting", "time", "shot_size")
"""Facets that file names suggest for whole sheets; a drawing's own title is asked for them instead."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing with its clean copy in memory. `judged` is the version and cut that the copy was made of."""

    code: str
    title: str
    drawing: Drawing
    cutout: Cutout
    line: float
    """Width of its lines in its own pixels."""
    judged: Pinned
    entry_id: int
    look: tuple[str, ...] = ()
    """What its clean copy says of itself and is worth a look."""

    def figure(self, head: str = "", role: str = "main") -> Figure:
        """What placing wants to know of it."""
        said = {name: tuple(values) for name, values in self.drawing.said.items()}
        width, height = self.cutout.size
        figure = Figure(width, height, self.title, head, said, elements.cut_sides(self.cutout), role)
        if role != "place":
            return figure
        floor = self.drawing.is_backdrop or not is_front(self.title)
        return replace(figure, has_floor=floor, open_side=elements.emptier_side(self.cutout.ink))


def drawing_of(card: Any) -> Drawing:
    """What is known in words of the drawing on a card."""
    facets = {name: values for name, values in card.facets.items() if name not in _TOLD}
    # a title's words are tags as well, and lose there what they meant together: a van key is no van
    words = things.stems_of(card.title)
    tags = tuple(tag for tag in card.tags if not things.stems_of(tag) <= words)
    return Drawing(card.title, tags, facets, card.role == "backdrop")


def load(lib: Library, code: str) -> Drawn:
    """A drawing by its code, its clean copy made when it is not there.

    Raises NotFound, AmbiguousCode, WrongUsage for a drawing in the attic, BadPicture for one that has no copy.
    """
    with lib.reading() as session:
        entry = queries.entry(session, code)
        if entry.in_attic:
            own = entry.code.code
            raise WrongUsage(
                f"{own} lies in the attic", f"put it back on the shelf: assetlib attic {own} --back"
            )
    copies = clean_copies.make(lib, code)
    cutout = elements.load_cutout(copies.ink, copies.mask, _stored(lib, copies.judged.cut_id), copies.body)
    card = copies.card
    return Drawn(
        card.code,
        card.title,
        drawing_of(card),
        cutout,
        elements.line_width(cutout.ink),
        copies.judged,
        card.id,
        copies.look,
    )


def _stored(lib: Library, cut_id: int) -> Stored | None:
    """What the original keeps of a drawing beyond 8 bits of sRGB.

    None where there is nothing, where a page was put right before it was cut, and for a drawing of several pieces.
    """
    with lib.reading() as session:
        rows = session.execute(
            select(Original.bits, Original.icc)
            .join(Piece, Piece.original_id == Original.id)
            .where(Piece.cut_id == cut_id)
        ).all()
        plan = picture_plan(lib, session, cut_id)
    if plan is None or len(rows) != 1 or not (rows[0].bits > 8 or rows[0].icc):
        return None
    (piece,) = plan.pieces
    if piece.page_fix is not None or piece.resolution is not None:
        return None
    try:
        stored = _page(piece.path, piece.page, piece.layer)
    except BadPicture:
        return None
    x, y, width, height = piece.box
    return stored and Stored(stored.pixels[y : y + height, x : x + width], stored.profile)


@lru_cache(maxsize=1)
def _page(path: str, page: int, layer: str | None) -> Stored | None:
    """The page that was read last: drawings come sheet by sheet, and an original never changes."""
    return read_stored(Path(path), page, layer)


def at_place(drawn: Drawn, spot: Placed) -> tuple[Cutout, tuple[int, int]]:
    """The cutout scaled and mirrored for its place, and its left upper corner in whole pixels."""
    cutout = elements.scaled(drawn.cutout, (round(spot.width), round(spot.height)), mirrored=spot.mirrored)
    return cutout, (round(spot.x), round(spot.y))


def enlarged(drawn: Drawn, spot: Placed) -> float:
    """How many times as large as its own pixels a drawing is laid."""
    return spot.height / drawn.cutout.size[1]


def mirrored(spot: Placed) -> Placed:
    """The same place, turned left to right."""
    return replace(spot, mirrored=not spot.mirrored)
