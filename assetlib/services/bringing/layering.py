"""Layered files into elements: every visible group or layer on the top level can be a drawing of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.library import Library
from assetlib.services import shelf
from assetlib.services.versions import current_cut

SAYS_NOTHING = re.compile(r"(layer|group|ebene|calque|capa|livello|background|copy|[\W\d_])*", re.IGNORECASE)
"""Layer names that programs give by themselves, in a few languages (from memory)."""

SEPARATOR = "/"


@dataclass(frozen=True, slots=True)
class LayerElement:
    """A layer that became an element, or was one already."""

    code: str
    title: str
    layer: str
    is_new: bool


def take_layers(lib: Library, given: str) -> list[LayerElement]:
    """The elements of a layered file, bottom layer last; layers that are elements already keep their codes.

    A file of a single layer, or of none, gives none. The file itself is a sheet from then on.
    Raises NotFound, AmbiguousCode.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("element", "sheet"))
        original = _original_of(session, entry)
        wanted = _drawn_layers(original.layers) if original else []
    if original is None or len(wanted) < 2:
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
    box = (layer["box"][0], layer["box"][1], layer["box"][2], layer["box"][3])
    entry = shelf.add_entry(
        lib,
        session,
        role="element",
        title=title,
        title_source="layer",
        ground="transparent",
        parts=[shelf.PiecePart(original_id, box, layer=path, reading_order=order)],
    )
    refresh_text(session, [entry.id])
    return LayerElement(entry.code.code, title, path, True)
