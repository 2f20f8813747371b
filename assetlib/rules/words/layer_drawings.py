"""Which layers of a file make which drawing: line, tone and colour of one, or several side by side."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assetlib.rules.words.layer_names import owner_and_part, part_named

Layers = list[Mapping[str, Any]]

SAYS_NOTHING = re.compile(
    r"(layer|group|folder|ebene|gruppe|calque|groupe|capa|grupo|livello|gruppo|background|copy|[\W\d_])*",
    re.IGNORECASE,
)
"""Layer names that programs give by themselves, in a few languages (from memory)."""

SEPARATOR = "/"
LIES_ON = 0.6
"""Share of the smaller of two layers that lies within the box of the other, where they are one drawing."""


@dataclass(frozen=True, slots=True)
class LayerDrawing:
    """Layers that make one drawing, the top one first, and what they are called; '' where the file's name serves."""

    title: str
    layers: tuple[Mapping[str, Any], ...]


def drawings_in(layers: Sequence[Mapping[str, Any]]) -> list[LayerDrawing]:
    """The drawings of a file, from its layers as `LayerInfo` lists them; grounds are in none of them."""
    level = _level(layers, "")
    while len(level) == 1 and level[0]["kind"] == "group":
        inner = _level(layers, level[0]["path"])
        if len(inner) < 2 or not all(layer["kind"] == "group" for layer in inner) or is_one_drawing(inner):
            break
        if any(lies_on(a["box"], b["box"]) for k, a in enumerate(inner) for b in inner[:k]):
            break  # parts of one thing in groups of their own
        level = inner
    if not level:
        return []
    if len(level) == 1 or is_one_drawing(level):
        return [LayerDrawing("", tuple(level))]
    return _by_owner(level)


def has_ground(layers: Sequence[Mapping[str, Any]]) -> bool:
    """Whether a file has a layer of bare paper that is seen; painted grounds are left to be asked about."""
    return any(layer["kind"] == "paper" and layer["visible"] for layer in layers)


def is_one_drawing(layers: Layers) -> bool:
    """Whether drawn layers are parts of one drawing: by their names, or lying on each other or on its line."""
    parts = [part_named(layer["name"]) for layer in layers]
    if all(part is not None for part in parts):
        # a pencil and a crayon are two drawings, a line and the shadow that it casts are one
        return len(set(parts)) > 1 or any(
            lies_on(a["box"], b["box"]) for k, a in enumerate(layers) for b in layers[:k]
        )
    lines = [layer["box"] for layer, part in zip(layers, parts, strict=True) if part == "line"]
    if lines:
        return all(any(lies_on(line, layer["box"]) for line in lines) for layer in layers)
    silent = all(
        part is not None or SAYS_NOTHING.fullmatch(layer["name"])
        for layer, part in zip(layers, parts, strict=True)
    )
    return silent and all(lies_on(layers[0]["box"], layer["box"]) for layer in layers[1:])


def lies_on(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two boxes x, y, w, h cover each other for the most part."""
    across = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    down = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    smaller = min(one[2] * one[3], other[2] * other[3])
    return across > 0 and down > 0 and across * down > LIES_ON * smaller


def _level(layers: Sequence[Mapping[str, Any]], above: str) -> Layers:
    """Layers right below a path that hold a drawing: seen, with an area, neither paper, ground nor adjustment."""
    start = f"{above}{SEPARATOR}" if above else ""
    level = [
        layer
        for layer in layers
        if layer["path"].startswith(start)
        and SEPARATOR not in layer["path"][len(start) :]
        and layer["visible"]
        and layer["kind"] in ("pixels", "group")
        and layer["box"][2] > 0
        and layer["box"][3] > 0
    ]
    whole = _around([layer["box"] for layer in level])
    return [layer for layer in level if not _is_ground(layer, whole)]


def _around(boxes: Sequence[Sequence[int]]) -> tuple[int, int]:
    """Width and height of what all boxes x, y, w, h lie in."""
    if not boxes:
        return 0, 0
    across = max(box[0] + box[2] for box in boxes) - min(box[0] for box in boxes)
    return across, max(box[1] + box[3] for box in boxes) - min(box[1] for box in boxes)


def _is_ground(layer: Mapping[str, Any], whole: tuple[int, int]) -> bool:
    """Whether a layer is called a ground and lies under all: *back* beside *front* and *side* is a drawing."""
    width, height = layer["box"][2:]
    return part_named(layer["name"]) == "ground" and width * height > LIES_ON * whole[0] * whole[1]


def _by_owner(level: Layers) -> list[LayerDrawing]:
    """Layers that name one thing, a part of it each, and lie on each other are together: *baker line*, *baker tone*."""
    found: dict[str, Layers] = {}
    for layer in level:
        owner, part = owner_and_part(layer["name"])
        key = owner if owner and part else layer["path"]
        if key in found and not any(lies_on(layer["box"], other["box"]) for other in found[key]):
            key = layer["path"]
        found.setdefault(key, []).append(layer)
    drawings = []
    for key, own in found.items():
        name = own[0]["name"] if len(own) == 1 else key
        title = " ".join(name.replace("_", " ").split())
        drawings.append(LayerDrawing("" if SAYS_NOTHING.fullmatch(title) else title, tuple(own)))
    return drawings
