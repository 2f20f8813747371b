"""A frame in layers, and its picture."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Pixels = NDArray[np.uint8]
AnyPixels = NDArray[np.uint8] | NDArray[np.uint16]
"""(h, w, 4), straight alpha, at 8 or 16 bits a channel."""

OPAQUE = 255
FULL = 65535
"""What 255 is at 16 bits a channel."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A picture on the frame: uint8 or uint16 (h, w, 4), straight alpha, its upper left corner at x, y of the frame.

    It may reach beyond the frame; what does is kept in layered files and not seen.
    """

    name: str
    pixels: AnyPixels
    x: int = 0
    y: int = 0
    visible: bool = True
    locked: bool = False
    opacity: int = OPAQUE
    """0 to 255."""
    profile: bytes | None = None
    """The ICC profile of its colours until the frame is made; sRGB where there is none."""


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
    """All layers of a frame, the lowest first, on a canvas of width and height in pixels.

    All layers are of one depth and in the colours of one profile: see `colours.framed`.
    """

    size: tuple[int, int]
    layers: tuple[Layer | LayerGroup, ...]
    resolution: float = 72.0
    """Pixels an inch."""
    profile: bytes | None = None
    """The ICC profile that colours are meant in; sRGB where there is none."""


def trimmed(layer: Layer) -> Layer:
    """The layer without empty borders; one empty pixel of an empty layer."""
    seen = Image.fromarray(np.ascontiguousarray(layer.pixels[..., 3] > 0))
    left, top, right, bottom = seen.getbbox() or (0, 0, 0, 0)
    return replace(layer, pixels=layer.pixels[top:bottom, left:right], x=layer.x + left, y=layer.y + top)


def is_deep(layers: tuple[Layer | LayerGroup, ...]) -> bool:
    """Whether a layer has 16 bits a channel, hidden ones too."""
    return any(
        is_deep(layer.layers) if isinstance(layer, LayerGroup) else layer.pixels.dtype == np.uint16
        for layer in layers
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
    pixels = _composed(layer.layers, (left, top), (right - left, bottom - top))
    return trimmed(Layer(layer.name, pixels, left, top))


def flatten(frame: LayeredFrame) -> AnyPixels:
    """The picture of a frame: (H, W, 4), straight alpha; plain *source over* (W3C Compositing 1, 5.1).

    uint8, or uint16 where a layer is.
    """
    return _composed(frame.layers, (0, 0), frame.size)


def _composed(
    layers: tuple[Layer | LayerGroup, ...], corner: tuple[int, int], size: tuple[int, int]
) -> AnyPixels:
    if is_deep(layers):
        ground = np.zeros((size[1], size[0], 4), np.float32)
        _lay_deep(ground, corner, layers)
        return np.rint(ground * FULL).astype(np.uint16)
    canvas = Image.new("RGBA", size)
    if canvas.width and canvas.height:
        _lay(canvas, corner, layers)
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
            picture = Image.fromarray(np.ascontiguousarray(part[0]))
            canvas.alpha_composite(_thinned(picture, layer.opacity), part[1])


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
) -> tuple[AnyPixels, tuple[int, int]] | None:
    """The part of a layer that lies on a canvas, and where; None where nothing does."""
    height, width = layer.pixels.shape[:2]
    x, y = layer.x - corner[0], layer.y - corner[1]
    left, top = max(0, -x), max(0, -y)
    right, bottom = min(width, size[0] - x), min(height, size[1] - y)
    if right <= left or bottom <= top:
        return None
    return layer.pixels[top:bottom, left:right], (x + left, y + top)


Floats = NDArray[np.float32]


def _lay_deep(ground: Floats, corner: tuple[int, int], layers: tuple[Layer | LayerGroup, ...]) -> None:
    """What `_lay` does, at 16 bits: onto a ground of straight alpha, float32 (H, W, 4), 0 to 1."""
    height, width = ground.shape[:2]
    for layer in layers:
        if not layer.visible:
            continue
        if isinstance(layer, LayerGroup):
            if layer.opacity == OPAQUE:
                _lay_deep(ground, corner, layer.layers)
                continue
            whole = np.zeros_like(ground)
            _lay_deep(whole, corner, layer.layers)
            part, (x, y) = whole, (0, 0)
        elif (found := _inside(layer, corner, (width, height))) is not None:
            part, (x, y) = as_deep(found[0]).astype(np.float32) / np.float32(FULL), found[1]
        else:
            continue
        part[..., 3] *= layer.opacity / OPAQUE
        _over(ground[y : y + part.shape[0], x : x + part.shape[1]], part)


def _over(below: Floats, above: Floats) -> None:
    """Lay a picture over another in place."""
    covers, shows = above[..., 3:], below[..., 3:] * (1 - above[..., 3:])
    alpha = covers + shows
    colours = above[..., :3] * covers + below[..., :3] * shows
    below[..., :3] = np.divide(colours, alpha, out=np.zeros_like(colours), where=alpha > 0)
    below[..., 3:] = alpha


def as_deep(pixels: AnyPixels) -> NDArray[np.uint16]:
    """The same picture at 16 bits a channel."""
    if pixels.dtype == np.uint16:
        return pixels.view(np.uint16)
    return pixels.astype(np.uint16) * np.uint16(257)


def as_plain(pixels: AnyPixels) -> Pixels:
    """The same picture at 8 bits a channel."""
    if pixels.dtype == np.uint8:
        return pixels.view(np.uint8)
    return ((pixels.astype(np.uint32) + 128) // 257).astype(np.uint8)
