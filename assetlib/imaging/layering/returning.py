"""What came back in a frame's layers: which drawings are as they were pasted, which were altered, what is new.

`look_through` runs in a worker process: it takes plain values and gives plain values back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats import open_reading
from assetlib.imaging.formats.interface import Source
from assetlib.imaging.formats.layers import path_of, plain_name
from assetlib.imaging.formats.openraster import Node, OpenRasterReading
from assetlib.imaging.formats.psd import PsdReading
from assetlib.imaging.formats.raster import damage
from assetlib.imaging.layering import elements
from assetlib.imaging.layering.elements import Cutout
from assetlib.imaging.layering.layers import (
    OPAQUE,
    Layer,
    LayeredFrame,
    LayerGroup,
    Pixels,
    alone,
    as_plain,
    flatten,
)

_CODED = re.compile(r"·\s*([0-9A-Z]{3,})$")
"""How a pasted group is named: *dog sitting · 7K3*."""

_OURS = frozenset({"paper", "safe area", "backdrop"})
_RATIO = re.compile(r"\d+(?:\.\d+)?:\d+")

_LOOKED_AT = 320
"""Longest side in pixels at which two drawings are laid over each other."""
_NEIGHBOURS = 5
"""Pixels across, over which differences are averaged: what scaling does to edges evens out there."""
_ALTERED = 58.0
"""Grey levels of averaged difference from which something was drawn or rubbed out. Tuned on six drawings at two sizes:
scaled in three ways 28 at most (49 twice over, on a small one), with a stroke, a dot or a rubbed out corner from 71."""
_OTHER_SHAPE = 0.03
_GROUND = 128


_ENOUGH = 0.25
"""Share of a drawing that has to be there before a group without its code is taken for it; by judgement, no source."""
_LARGEST = 8000
"""Pixels of the longest side that a copy is laid out at to find a part of it."""
_COARSE = 480
"""Longest side in pixels at which the place of a part is looked for first."""


@dataclass(frozen=True, slots=True)
class Copy:
    """The clean copy of a drawing that may have been pasted: its code, and the files of its ink and body.

    `sizes` are widths and heights in pixels at which it was pasted, as far as its uses tell.
    """

    code: str
    ink: str
    mask: str
    sizes: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Returned:
    """A layer or group on the top level of a frame that came back.

    `state` is *unchanged*, *altered* (of the drawing with this code) or *new*; `cut_off` says that it ends at an edge
    of the frame: the program that saved it kept no more of what ran out of it.
    """

    path: str
    name: str
    state: str
    code: str = ""
    cut_off: bool = False
    box: tuple[int, int, int, int] = (0, 0, 0, 0)
    """x, y, width and height of all of it, also of what lies outside of the frame."""


def look_through(file: str, copies: tuple[Copy, ...], *, as_written: bool = False) -> list[Returned]:
    """What became of each visible layer of a layered frame; `copies` are the drawings that were pasted onto it.

    A group that was renamed is recognised by its look. A frame that was merged into one layer gives none: it is a flat
    one. Of a file that is `as_written`, byte for byte, no group is compared. Raises BadPicture, OSError.
    """
    size, layers = _top_layers(Path(file))
    known = _Known(copies, as_written)
    found = []
    for path, layer in layers:
        if layer.visible and not _is_ours(layer.name) and (note := _judged(path, layer, size, known)):
            found.append(note)
    merged = len(found) == 1 and found[0].state == "new" and found[0].box == (0, 0, *size)
    return [] if merged else found


def codes_named(file: str) -> list[str]:
    """The codes that the groups of a layered frame are named with. Raises OSError."""
    _, layers = _top_layers(Path(file))
    return list(dict.fromkeys(filter(None, (coded(layer.name) for _, layer in layers))))


def coded(name: str) -> str:
    """The code that a pasted group is named with; empty where it is not."""
    hit = _CODED.search(name.strip())
    return hit.group(1) if hit else ""


def _is_ours(name: str) -> bool:
    return name.casefold() in _OURS or bool(_RATIO.fullmatch(name))


class _Known:
    """The drawings that may have been pasted, each read when it is first asked for."""

    def __init__(self, copies: tuple[Copy, ...], as_written: bool) -> None:
        self.copies = {copy.code: copy for copy in copies}
        self.as_written = as_written
        self._read: dict[str, Cutout] = {}

    def cutout(self, code: str) -> Cutout:
        """The clean copy of a drawing."""
        if code not in self._read:
            copy = self.copies[code]
            self._read[code] = elements.load_cutout(Path(copy.ink), Path(copy.mask))
        return self._read[code]


def _judged(path: str, layer: Layer | LayerGroup, size: tuple[int, int], known: _Known) -> Returned | None:
    picture = alone(layer)
    if not picture.pixels.size:
        return None
    height, width = picture.pixels.shape[:2]
    left, top = max(0, picture.x), max(0, picture.y)
    right, bottom = min(size[0], picture.x + width), min(size[1], picture.y + height)
    if right <= left or bottom <= top:
        return None
    whole = picture.x, picture.y, width, height
    ends = picture.x, picture.y, size[0] - picture.x - width, size[1] - picture.y - height
    found = Returned(path, layer.name, "altered", coded(layer.name), 0 in ends, whole)
    if found.code and known.as_written:
        return replace(found, state="unchanged")
    line = _line_of(layer)
    if found.code in known.copies:
        same = _is_same(picture, known, found.code) or (
            line is not None and _is_same(line, known, found.code, line=True)
        )
        return replace(found, state="unchanged") if same else found
    for other in known.copies:
        if _is_same(picture, known, other, least=_ENOUGH):
            return replace(found, state="unchanged", code=other)
    return found if found.code else replace(found, state="new")


def _line_of(layer: Layer | LayerGroup) -> Layer | None:
    """What lies over the body of a group, where that is of one colour; else None.

    A clean copy may have been made anew since it was pasted, with another body under the same line.
    """
    if not isinstance(layer, LayerGroup) or len(layer.layers) < 2 or not isinstance(layer.layers[0], Layer):
        return None
    body = layer.layers[0].pixels
    seen = body[body[..., 3] > 0]
    if not seen.size or np.ptp(seen[:, :3], axis=0).any():
        return None
    line = alone(LayerGroup(layer.name, layer.layers[1:]))
    return replace(line, pixels=_firm(as_plain(line.pixels))) if line.pixels.size else None


def _firm(pixels: Pixels) -> Pixels:
    """A line within the bounds of what covers half at least: its faint rim grows and shrinks with scaling."""
    seen = Image.fromarray(np.ascontiguousarray(pixels[..., 3] > OPAQUE // 2))
    left, top, right, bottom = seen.getbbox() or (0, 0, pixels.shape[1], pixels.shape[0])
    return pixels[top:bottom, left:right]


def _is_same(picture: Layer, known: _Known, code: str, *, least: float = 0.0, line: bool = False) -> bool:
    """Whether a layer shows a clean copy, at whatever size, mirrored or not, with any body or none.

    Where the file carries a part of it, that part is compared, if it is this share of the whole at least. With `line`
    the layer is compared with the line alone.
    """
    height, width = picture.pixels.shape[:2]
    scale = min(1.0, _LOOKED_AT / max(width, height))
    small = max(1, round(width * scale)), max(1, round(height * scale))
    shown = _on_ground(picture.pixels, (width, height), small)
    cutout = known.cutout(code)
    cutout = _line_alone(cutout) if line else cutout
    for laid in _laid_like(as_plain(picture.pixels), cutout, known.copies[code].sizes, least):
        for body in (None,) if line else (elements.WHITE, elements.TONED, None):
            layers = elements.group(laid, "", (0, 0), body).layers
            made = flatten(LayeredFrame((width, height), layers))
            copy = _on_ground(made, (width, height), small)
            if np.abs(cv2.blur(shown - copy, (_NEIGHBOURS, _NEIGHBOURS))).max() < _ALTERED:
                return True
    return False


def _line_alone(cutout: Cutout) -> Cutout:
    """The line of a copy without its body."""
    ink = _firm(cutout.ink)
    return Cutout(ink, np.zeros(ink.shape[:2], np.uint8))


def _laid_like(
    pixels: Pixels, cutout: Cutout, sizes: Sequence[tuple[int, int]], least: float
) -> Iterator[Cutout]:
    """A clean copy as large as a picture, mirrored or not: all of it, or the part that the picture may be of it."""
    height, width = pixels.shape[:2]
    wide, high = cutout.size
    if abs(width * high / (height * wide) - 1) <= _OTHER_SHAPE + 2 / min(width, height):
        for mirrored in (False, True):
            yield elements.scaled(cutout, (width, height), mirrored=mirrored)
        return
    scales = (height / high, width / wide, 1.0)
    asked = [*sizes, *((round(wide * scale), round(high * scale)) for scale in scales)]
    for size in dict.fromkeys(asked):
        there = size[0] >= width and size[1] >= height and max(size) <= _LARGEST
        if not there or width * height < least * size[0] * size[1]:
            continue
        for mirrored in (False, True):
            laid = elements.scaled(cutout, size, mirrored=mirrored)
            x, y = _place_in(pixels, laid)
            here = np.s_[y : y + height, x : x + width]
            yield Cutout(laid.ink[here], laid.body[here])


def _place_in(part: Pixels, laid: Cutout) -> tuple[int, int]:
    """Where in a copy a part of it lies best, by its line: left and upper edge, roughly first, then exactly."""
    look, within = _darkness(part), _darkness(laid.ink)
    shrink = min(1.0, _COARSE / max(within.shape))
    rough = [
        cv2.resize(plane, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
        for plane in (within, look)
    ]
    if rough[1].shape[0] > rough[0].shape[0] or rough[1].shape[1] > rough[0].shape[1]:
        return 0, 0
    x, y = _best(*rough)
    reach = math.ceil(2 / shrink)
    spare = within.shape[1] - look.shape[1], within.shape[0] - look.shape[0]
    left, top = (
        max(0, min(round(at / shrink) - reach, most)) for at, most in zip((x, y), spare, strict=True)
    )
    right, bottom = (
        min(at + 2 * reach, most) + side
        for at, most, side in zip((left, top), spare, look.shape[::-1], strict=True)
    )
    x, y = _best(within[top:bottom, left:right], look)
    return left + x, top + y


def _best(within: np.ndarray, look: np.ndarray) -> tuple[int, int]:
    _, _, place, _ = cv2.minMaxLoc(cv2.matchTemplate(within, look, cv2.TM_SQDIFF))
    return int(place[0]), int(place[1])


def _darkness(pixels: Pixels) -> np.ndarray:
    """How dark each pixel is on white: float32 (h, w)."""
    grey = pixels[..., :3].mean(axis=2, dtype=np.float32)
    return np.asarray((255 - grey) * (pixels[..., 3].astype(np.float32) / 255), np.float32)


def _on_ground(pixels: np.ndarray, size: tuple[int, int], small: tuple[int, int]) -> np.ndarray:
    """A picture over a grey ground, made small: float32 (h, w), grey levels."""
    ground = Image.new("RGBA", size, (_GROUND, _GROUND, _GROUND, 255))
    ground.alpha_composite(Image.fromarray(np.ascontiguousarray(pixels)))
    return np.asarray(ground.convert("L").resize(small, Image.Resampling.BOX), np.float32)


# --- reading layers with all that lies outside of the frame ------------------------------


def _top_layers(file: Path) -> tuple[tuple[int, int], list[tuple[str, Layer | LayerGroup]]]:
    """The size of a frame and the layers on its top level from the top, each with its path as originals keep it."""
    size, layers = read_layers(file)
    taken: set[str] = set()
    return size, [(path_of("", plain_name(layer.name), taken), layer) for layer in reversed(layers)]


def read_layers(file: Path) -> tuple[tuple[int, int], list[Layer | LayerGroup]]:
    """The size of a layered file and the layers on its top level, the lowest first. Raises BadPicture, OSError."""
    source = Source(file)
    try:
        reading = open_reading(source)
        with damage():
            if isinstance(reading, PsdReading):
                return reading.size, list(_of_psd(reading.file))
            if isinstance(reading, OpenRasterReading):
                return reading.size, list(_of_stack(reading, reading.nodes))
    finally:
        source.close()
    raise BadPicture("it has no layers", "Save it as PSD or OpenRaster.")


def _of_psd(group: object) -> Iterator[Layer | LayerGroup]:
    for layer in group:  # type: ignore[attr-defined]
        if layer.is_group():
            yield LayerGroup(layer.name, tuple(_of_psd(layer)), visible=layer.visible)
            continue
        drawn = layer.composite(force=True) if layer.has_mask() or layer.has_effects() else layer.topil()
        pixels = np.zeros((0, 0, 4), np.uint8) if drawn is None else np.asarray(drawn.convert("RGBA"))
        yield Layer(layer.name, pixels, layer.left, layer.top, layer.visible, opacity=layer.opacity)


def _of_stack(reading: OpenRasterReading, nodes: Sequence[Node]) -> Iterator[Layer | LayerGroup]:
    """The layers of a stack, the lowest first; the file has the highest first."""
    for node in reversed(nodes):
        opacity = round(node.opacity * OPAQUE)
        if node.is_stack:
            within = tuple(_of_stack(reading, node.children))
            yield LayerGroup(node.name, within, visible=node.visible, opacity=opacity)
        elif (stored := reading.stored(node)) is not None:
            picture, (x, y) = stored
            yield Layer(node.name, np.asarray(picture), x, y, node.visible, opacity=opacity)
