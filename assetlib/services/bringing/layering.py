"""Layered files into elements: every visible group or layer on the top level can be a drawing of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.library import Library
from assetlib.rules.words.layer_drawings import SEPARATOR, LayerDrawing, drawings_in, has_ground
from assetlib.services import shelf
from assetlib.services.bringing.role_doubts import MayBe
from assetlib.services.versions import add_cut, current_cut

GROUND_LEFT_OUT = "ground left out"
"""Why a drawing was cut anew from its inner layers."""


@dataclass(frozen=True, slots=True)
class LayerElement:
    """A layer that became an element, or was one already."""

    code: str
    title: str
    layer: str
    is_new: bool


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What taking a file apart by its layers gives."""

    drawings: tuple[tuple[str, str], ...]
    """Title and top layer of each drawing; none where it is one drawing or has no layers."""
    left_out: tuple[str, ...]
    """Layers seen in the file that are no part of its one drawing: its ground."""
    changes: bool
    """Whether the entry becomes another picture than it is now."""


def foresee(lib: Library, given: str) -> Foreseen:
    """What `take_layers` would give; nothing is changed. Raises NotFound, AmbiguousCode."""
    with lib.reading() as session:
        entry = queries.entry(session, given, ("element", "sheet"))
        original, cut = _original_of(session, entry), current_cut(entry)
        if original is None and cut.reason == GROUND_LEFT_OUT:  # then its pieces are its inner layers
            original = session.get_one(Original, cut.pieces[0].original_id)
        drawings = drawings_in(original.layers) if original else []
        now = {piece.layer for piece in cut.pieces}
        if original is None or not drawings:
            return Foreseen((), (), False)
        if len(drawings) > 1:
            named = [
                (drawing.title or f"{entry.title} {order}", drawing.layers[0]["path"])
                for order, drawing in enumerate(drawings, 1)
            ]
            return Foreseen(tuple(named), (), entry.role == "element" and now == {None})
        left_out = tuple(layer["name"] for layer in _left_out(drawings[0], original.layers))
        return Foreseen((), left_out, bool(left_out) and now == {None})


def take_layers(lib: Library, given: str) -> list[LayerElement]:
    """The elements of a layered file, bottom layer last; drawings that are elements already keep their codes.

    The file itself is a sheet from then on. A file of a single layer, or of none, gives none; one whose layers are
    line, tone, colour and ground of one drawing stays that drawing, without its ground. Raises NotFound,
    AmbiguousCode.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("element", "sheet"))
        original = _original_of(session, entry)
        drawings = drawings_in(original.layers) if original else []
    if original is None or not drawings:
        return []
    if len(drawings) == 1:
        (only,) = drawings
        if _left_out(only, original.layers):
            _leave_ground(lib, entry.id, original.id, only)
        return []
    with lib.transaction(f"layers of {entry.title}") as session:
        sheet = session.get_one(Entry, entry.id)
        sheet.role, sheet.may_be = "sheet", None
        there = {path: entry for path, entry in _taken(session, original.id).items() if entry.id != sheet.id}
        found = [
            _take(lib, session, sheet, original.id, drawing, order, there)
            for order, drawing in enumerate(drawings, 1)
        ]
        refresh_text(session, [sheet.id])
    return found


def leave_paper(lib: Library, given: str) -> int:
    """Leave the paper layer of a file out where its layers are one drawing; how many drawings are in its layers.

    An element with several is one that may be more than one drawing from then on.

    Raises NotFound, AmbiguousCode.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("element", "sheet"))
        original = _original_of(session, entry)
        drawings = drawings_in(original.layers) if original else []
    if original is not None and len(drawings) == 1 and has_ground(original.layers):
        _leave_ground(lib, entry.id, original.id, drawings[0])
    elif len(drawings) > 1 and entry.role == "element":
        with lib.transaction(f"layers of {entry.title}") as session:
            session.get_one(Entry, entry.id).may_be = MayBe.LAYERS.value
    return len(drawings)


Chosen = tuple[str, tuple[int, int, int, int]]
"""The title that an element is to have, and its box x, y, w, h, which may reach out of the canvas."""


def take_chosen(lib: Library, given: str, chosen: Mapping[str, Chosen]) -> dict[str, str]:
    """Elements of chosen layers by their paths, and their codes by path.

    The file stays what it is; layers that are elements already keep their codes. Raises NotFound, AmbiguousCode.
    """
    with lib.transaction(f"layers of {given}") as session:
        source = queries.entry(session, given)
        original = _original_of(session, source)
        layers = {layer["path"]: layer for layer in original.layers} if original else {}
        there = _taken(session, original.id) if original else {}
        found = {}
        for order, (path, (title, box)) in enumerate(chosen.items(), 1):
            if original is not None and path in layers and layers[path]["box"][2] > 0:
                drawing = LayerDrawing(title, ({**layers[path], "box": box},))
                found[path] = _take(lib, session, source, original.id, drawing, order, there).code
    return found


def _left_out(drawing: LayerDrawing, layers: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """What is seen of a file and is no part of its one drawing."""
    kept = {layer["path"] for layer in drawing.layers}
    return [
        layer
        for layer in layers
        if layer["kind"] != "adjustment"
        and layer["visible"]
        and SEPARATOR not in layer["path"]
        and layer["path"] not in kept
    ]


def _leave_ground(lib: Library, entry_id: int, original_id: int, drawing: LayerDrawing) -> None:
    """Cut a drawing from its inner layers alone, bottom first."""
    parts = [_part(original_id, layer) for layer in reversed(drawing.layers)]
    with lib.transaction(f"ground left out of {drawing.layers[0]['name']}") as session:
        entry = session.get_one(Entry, entry_id)
        assert entry.current is not None
        entry.role = "element"
        cut = current_cut(entry)
        if [piece.layer for piece in cut.pieces] != [part.layer for part in parts]:
            add_cut(lib, session, entry.current, parts=parts, reason=GROUND_LEFT_OUT, ground="transparent")
        refresh_text(session, [entry_id])


def _part(original_id: int, layer: Mapping[str, Any], order: int | None = None) -> shelf.PiecePart:
    box = (layer["box"][0], layer["box"][1], layer["box"][2], layer["box"][3])
    return shelf.PiecePart(original_id, box, layer=layer["path"], reading_order=order)


def _original_of(session: Session, entry: Entry) -> Original | None:
    original: Original | None = session.scalar(
        select(Original)
        .join(Piece, Piece.original_id == Original.id)
        .where(Piece.cut_id == current_cut(entry).id, ~Piece.is_part)
    )
    return original


def _taken(session: Session, original_id: int) -> dict[str, Entry]:
    rows = session.execute(
        select(Piece.layer, Entry)
        .join(Cut, Cut.id == Piece.cut_id)
        .join(Version, Version.id == Cut.version_id)
        .join(Entry, Entry.id == Version.entry_id)
        .where(Piece.original_id == original_id, Piece.layer.is_not(None))
    )
    return {layer: entry for layer, entry in rows if layer is not None}


def _take(
    lib: Library,
    session: Session,
    sheet: Entry,
    original_id: int,
    drawing: LayerDrawing,
    order: int,
    there: dict[str, Entry],
) -> LayerElement:
    path = drawing.layers[0]["path"]
    if path in there:
        there[path].in_attic = False
        return LayerElement(there[path].code.code, there[path].title, path, False)
    title = drawing.title or f"{sheet.title} {order}"
    parts = [_part(original_id, layer, order) for layer in reversed(drawing.layers)]
    entry = shelf.add_entry(
        lib, session, role="element", title=title, title_source="layer", ground="transparent", parts=parts
    )
    refresh_text(session, [entry.id])
    return LayerElement(entry.code.code, title, path, True)
