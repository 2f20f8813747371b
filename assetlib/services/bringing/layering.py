"""Layered files into elements: every visible group or layer on the top level can be a drawing of its own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.library import Library
from assetlib.rules.words.layer_names import part_named
from assetlib.services import shelf
from assetlib.services.versions import add_cut, current_cut

SAYS_NOTHING = re.compile(r"(layer|group|ebene|calque|capa|livello|background|copy|[\W\d_])*", re.IGNORECASE)
"""Layer names that programs give by themselves, in a few languages (from memory)."""

SEPARATOR = "/"
LIES_ON = 0.6
"""Share of the smaller of two layers that lies within the box of the other, where they are one drawing."""


@dataclass(frozen=True, slots=True)
class LayerElement:
    """A layer that became an element, or was one already."""

    code: str
    title: str
    layer: str
    is_new: bool


def take_layers(lib: Library, given: str) -> list[LayerElement]:
    """The elements of a layered file, bottom layer last; layers that are elements already keep their codes.

    The file itself is a sheet from then on. A file of a single layer, or of none, gives none; one whose layers are
    line, tone, colour and ground of one drawing stays that drawing, without its ground. Raises NotFound,
    AmbiguousCode.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("element", "sheet"))
        original = _original_of(session, entry)
        layers = _drawn_layers(original.layers) if original else []
        wanted = [layer for layer in layers if not _is_ground(layer)]
    if original is None or not wanted:
        return []
    if len(wanted) == 1 or is_one_drawing(wanted):
        if len(wanted) < len(layers) or any(layer["kind"] == "paper" for layer in original.layers):
            _leave_ground(lib, entry.id, original.id, wanted)
        return []
    with lib.transaction(f"layers of {entry.title}") as session:
        sheet = session.get_one(Entry, entry.id)
        sheet.role = "sheet"
        there = _taken(session, original.id)
        found = [
            _take(lib, session, sheet, original.id, layer, order, there)
            for order, layer in enumerate(wanted, 1)
        ]
        refresh_text(session, [sheet.id])
    return found


def take_chosen(lib: Library, given: str, titles: Mapping[str, str]) -> dict[str, str]:
    """Elements of chosen layers, by path with the titles they are to have, and their codes by path.

    The file stays what it is; layers that are elements already keep their codes. Raises NotFound, AmbiguousCode.
    """
    with lib.transaction(f"layers of {given}") as session:
        source = queries.entry(session, given)
        original = _original_of(session, source)
        layers = {layer["path"]: layer for layer in original.layers} if original else {}
        there = _taken(session, original.id) if original else {}
        found = {}
        for order, (path, title) in enumerate(titles.items(), 1):
            if original is not None and path in layers and layers[path]["box"][2] > 0:
                layer = {**layers[path], "name": title}
                found[path] = _take(lib, session, source, original.id, layer, order, there).code
    return found


def is_one_drawing(layers: list[dict[str, Any]]) -> bool:
    """Whether drawn layers are parts of one drawing: by their names, or lying on each other where names say nothing."""
    if all(part_named(layer["name"]) is not None for layer in layers):
        return True
    silent = all(
        part_named(layer["name"]) is not None or SAYS_NOTHING.fullmatch(layer["name"]) for layer in layers
    )
    return silent and all(_lies_on(layers[0]["box"], layer["box"]) for layer in layers[1:])


def _is_ground(layer: dict[str, Any]) -> bool:
    return part_named(layer["name"]) == "ground"


def _lies_on(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two boxes x, y, w, h cover each other for the most part."""
    across = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    down = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    smaller = min(one[2] * one[3], other[2] * other[3])
    return across > 0 and down > 0 and across * down > LIES_ON * smaller


def _leave_ground(lib: Library, entry_id: int, original_id: int, layers: list[dict[str, Any]]) -> None:
    """Cut a drawing from its inner layers alone, bottom first."""
    parts = [_part(original_id, layer) for layer in reversed(layers)]
    with lib.transaction(f"ground left out of {layers[0]['name']}") as session:
        entry = session.get_one(Entry, entry_id)
        assert entry.current is not None
        entry.role = "element"
        cut = current_cut(entry)
        if [piece.layer for piece in cut.pieces] != [part.layer for part in parts]:
            add_cut(lib, session, entry.current, parts=parts, reason="ground left out", ground="transparent")
        refresh_text(session, [entry_id])


def _part(original_id: int, layer: dict[str, Any], order: int | None = None) -> shelf.PiecePart:
    box = (layer["box"][0], layer["box"][1], layer["box"][2], layer["box"][3])
    return shelf.PiecePart(original_id, box, layer=layer["path"], reading_order=order)


def _original_of(session: Session, entry: Entry) -> Original | None:
    original: Original | None = session.scalar(
        select(Original)
        .join(Piece, Piece.original_id == Original.id)
        .where(Piece.cut_id == current_cut(entry).id, ~Piece.is_part)
    )
    return original


def _drawn_layers(layers: list[Any]) -> list[dict[str, Any]]:
    """Layers on the top level that hold a drawing: seen, with an area, neither paper nor adjustment."""
    return [
        layer
        for layer in layers
        if SEPARATOR not in layer["path"]
        and layer["visible"]
        and layer["kind"] in ("pixels", "group")
        and layer["box"][2] > 0
        and layer["box"][3] > 0
    ]


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
    layer: dict[str, Any],
    order: int,
    there: dict[str, Entry],
) -> LayerElement:
    path = layer["path"]
    if path in there:
        there[path].in_attic = False
        return LayerElement(there[path].code.code, there[path].title, path, False)
    name = " ".join(layer["name"].replace("_", " ").split())
    title = f"{sheet.title} {order}" if SAYS_NOTHING.fullmatch(name) else name
    entry = shelf.add_entry(
        lib,
        session,
        role="element",
        title=title,
        title_source="layer",
        ground="transparent",
        parts=[_part(original_id, layer, order)],
    )
    refresh_text(session, [entry.id])
    return LayerElement(entry.code.code, title, path, True)
