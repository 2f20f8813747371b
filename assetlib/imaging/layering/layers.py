"""A frame in layers, and its picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Pixels = NDArray[np.uint8]

OPAQUE = 255


@dataclass(frozen=True, slots=True)
class Layer:
    """A picture on the frame: uint8 (h, w, 4), straight alpha, its upper left corner at x, y (pixels of the frame).

    It may reach beyond the frame; what does is kept in layered files and not seen.
    """

    name: str
    pixels: Pixels
    x: int = 0
    y: int = 0
    visible: bool = True
    locked: bool = False
    opacity: int = OPAQUE
    """0 to 255."""


@dataclass(frozen=True, slots=True)
class LayerGroup:
    """Layers that belong together, the lowest first."""

    name: str
    layers: tuple[Layer | LayerGroup, ...]
    visible: bool = True
    locked: bool = False
    opacity: int = OPAQUE


@dataclass(frozen=True, slots=True)
class LayeredFrame:
    """All layers of a frame, the lowest first, on a canvas of width and height in pixels."""

    size: tuple[int, int]
    layers: tuple[Layer | LayerGroup, ...]
    resolution: float = 72.0
    """Pixels an inch."""
    profile: bytes | None = None
    """The ICC profile that colours are meant in; sRGB where there is none."""


def trimmed(layer: Layer) -> Layer:
    """The layer without empty borders; one empty pixel of an empty layer."""
    box = Image.fromarray(np.ascontiguousarray(layer.pixels[..., 3])).getbbox() or (0, 0, 0, 0)
    left, top, right, bottom = box
    pixels = layer.pixels[top:bottom, left:right]
    return Layer(
        layer.name, pixels, layer.x + left, layer.y + top, layer.visible, layer.locked, layer.opacity
    )


def extent(layers: tuple[Layer | LayerGroup, ...]) -> tuple[int, int, int, int]:
    """Corners (left, top, right, bottom) around all layers, hidden ones too; all 0 where there is nothing."""
    corners = [
        extent(layer.layers)
        if isinstance(layer, LayerGroup)
        else (layer.x, layer.y, layer.x + layer.pixels.shape[1], layer.y + layer.pixels.shape[0])
        for layer in layers
    ]
    filled = [box for box in corners if box[2] > box[0] and box[3] > box[1]]
    if not filled:
        return 0, 0, 0, 0
    lefts, tops, rights, bottoms = zip(*filled, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def alone(layer: Layer | LayerGroup) -> Layer:
    """A layer, or a group as one picture, trimmed to what is in it; that it is hidden or thin counts for nothing."""
    if isinstance(layer, Layer):
        return trimmed(Layer(layer.name, layer.pixels, layer.x, layer.y))
    left, top, right, bottom = extent(layer.layers)
    canvas = Image.new("RGBA", (right - left, bottom - top))
    if canvas.width and canvas.height:
        _lay(canvas, (left, top), layer.layers)
    return trimmed(Layer(layer.name, np.asarray(canvas), left, top))


def flatten(frame: LayeredFrame) -> Pixels:
    """The picture of a frame: uint8 (H, W, 4), straight alpha; plain *source over* (W3C Compositing 1, 5.1)."""
    canvas = Image.new("RGBA", frame.size)
    _lay(canvas, (0, 0), frame.layers)
    return np.asarray(canvas)


def _lay(canvas: Image.Image, corner: tuple[int, int], layers: tuple[Layer | LayerGroup, ...]) -> None:
    """Lay what is visible onto a canvas whose upper left corner is at `corner` of the frame."""
    for layer in layers:
        if not layer.visible:
            continue
        if isinstance(layer, LayerGroup):
            if layer.opacity == OPAQUE:
                _lay(canvas, corner, layer.layers)
            else:
                _lay_thin(canvas, corner, layer)
        elif (part := _inside(layer, corner, canvas.size)) is not None:
            canvas.alpha_composite(_thinned(part[0], layer.opacity), part[1])


def _lay_thin(canvas: Image.Image, corner: tuple[int, int], group: LayerGroup) -> None:
    """Lay a group that is partly see-through: as one picture, so that its layers do not shine through each other."""
    left, top, right, bottom = extent(group.layers)
    left, top = max(left, corner[0]), max(top, corner[1])
    right, bottom = min(right, corner[0] + canvas.width), min(bottom, corner[1] + canvas.height)
    if right > left and bottom > top:
        alone = Image.new("RGBA", (right - left, bottom - top))
        _lay(alone, (left, top), group.layers)
        canvas.alpha_composite(_thinned(alone, group.opacity), (left - corner[0], top - corner[1]))


def _thinned(picture: Image.Image, opacity: int) -> Image.Image:
    if opacity < OPAQUE:
        strength = [round(value * opacity / OPAQUE) for value in range(OPAQUE + 1)]
        picture.putalpha(picture.getchannel("A").point(strength))
    return picture


def _inside(
    layer: Layer, corner: tuple[int, int], size: tuple[int, int]
) -> tuple[Image.Image, tuple[int, int]] | None:
    """The part of a layer that lies on a canvas, and where; None where nothing does."""
    height, width = layer.pixels.shape[:2]
    x, y = layer.x - corner[0], layer.y - corner[1]
    left, top = max(0, -x), max(0, -y)
    right, bottom = min(width, size[0] - x), min(height, size[1] - y)
    if right <= left or bottom <= top:
        return None
    part = np.ascontiguousarray(layer.pixels[top:bottom, left:right])
    return Image.fromarray(part), (x + left, y + top)
