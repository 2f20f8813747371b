"""Writes OpenRaster files (freedesktop.org OpenRaster specification 0.0.5)."""

from __future__ import annotations

import zipfile
from typing import BinaryIO
from xml.etree.ElementTree import Element, SubElement, tostring

import numpy as np
from PIL import Image

from assetlib.imaging.layering.flat import png_of
from assetlib.imaging.layering.layers import (
    AnyPixels,
    Layer,
    LayeredFrame,
    LayerGroup,
    as_plain,
    flatten,
    trimmed,
)

_MEDIA_TYPE = b"image/openraster"
_THUMBNAIL = 256
"""Largest side of the thumbnail, pixels (specification)."""
_QUICK = 1
"""PNG compression: higher levels take five times as long for a tenth fewer bytes of line art."""


def write_openraster(frame: LayeredFrame, file: BinaryIO) -> None:
    """Write the frame with all its layers, its merged picture and a thumbnail."""
    width, height = frame.size
    image = Element("image", version="0.0.5", w=str(width), h=str(height))
    image.set("xres", f"{frame.resolution:.0f}")
    image.set("yres", f"{frame.resolution:.0f}")
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr("mimetype", _MEDIA_TYPE)
        _write_stack(SubElement(image, "stack"), frame.layers, archive, frame.profile)
        archive.writestr("stack.xml", tostring(image, encoding="UTF-8", xml_declaration=True))
        merged = flatten(frame)
        archive.writestr("mergedimage.png", png_of(merged, frame.profile, level=_QUICK))
        small = Image.fromarray(as_plain(merged))
        small.thumbnail((_THUMBNAIL, _THUMBNAIL), reducing_gap=3.0)
        archive.writestr("Thumbnails/thumbnail.png", png_of(np.asarray(small), frame.profile, level=_QUICK))


def _write_stack(
    above: Element,
    layers: tuple[Layer | LayerGroup, ...],
    archive: zipfile.ZipFile,
    profile: bytes | None,
) -> None:
    """Layers into a stack, the highest first, as the specification has it."""
    for layer in reversed(layers):
        shared = {
            "name": layer.name,
            "opacity": f"{layer.opacity / 255:.4f}",
            "visibility": "visible" if layer.visible else "hidden",
            "composite-op": "svg:src-over",
        }
        if layer.locked:
            shared["edit-locked"] = "true"
        if isinstance(layer, LayerGroup):
            _write_stack(SubElement(above, "stack", shared), layer.layers, archive, profile)
            continue
        kept = trimmed(layer)
        name = f"data/layer{len(archive.namelist()):03}.png"
        SubElement(above, "layer", {**shared, "src": name, "x": str(kept.x), "y": str(kept.y)})
        archive.writestr(name, png_of(_picture(kept.pixels), profile, level=_QUICK))


def _picture(pixels: AnyPixels) -> AnyPixels:
    """A layer's picture; one empty pixel stands for an empty layer, for PNG knows no empty pictures."""
    return pixels if pixels.size else np.zeros((1, 1, 4), pixels.dtype)
