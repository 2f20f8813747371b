"""Pictures as their files keep them: 16 bits a channel, colours in their own profile."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from psd_tools.constants import ColorMode, Resource

from assetlib.errors import BadPicture
from assetlib.imaging.formats import open_reading
from assetlib.imaging.formats.colour import is_rgb
from assetlib.imaging.formats.interface import Source
from assetlib.imaging.formats.psd import PsdReading
from assetlib.imaging.formats.raster import RasterReading, damage
from assetlib.imaging.formats.tiff import TiffReading

FULL = 65535


@dataclass(frozen=True, slots=True)
class Stored:
    """Colour values as stored: uint8 or uint16 (H, W, 4), straight alpha, orientation applied.

    `profile` is the ICC profile that they are meant in; sRGB where there is none.
    """

    pixels: NDArray[np.uint8] | NDArray[np.uint16]
    profile: bytes | None


def read_stored(path: Path, page: int = 0, layer: str | None = None) -> Stored | None:
    """A picture with all that its file keeps of its colours, where that is more than plain sRGB of 8 bits.

    None where it is not, and for print colours, grey profiles and OpenRaster layers. Raises BadPicture.
    """
    source = Source(path)
    with contextlib.closing(source), damage():
        reading = open_reading(source)
        if isinstance(reading, PsdReading):
            return _of_psd(reading, layer)
        if layer is None and isinstance(reading, (RasterReading, TiffReading)):
            return _of_raster(reading, page)
    return None


def _of_raster(reading: RasterReading | TiffReading, page: int) -> Stored | None:
    deep, profile = reading.deep(page), reading.profile(page)
    if profile and not is_rgb(profile):
        return None
    if deep is not None:
        return Stored(deep, profile)
    image = reading.plain(page)
    if not profile or image.mode not in ("RGB", "RGBA") or "transparency" in image.info:
        return None
    return Stored(np.array(image.convert("RGBA")), profile)


def _of_psd(reading: PsdReading, layer: str | None) -> Stored | None:
    file = reading.file
    profile = file.image_resources.get_data(Resource.ICC_PROFILE)
    if file.color_mode != ColorMode.RGB or (profile and not is_rgb(profile)):
        return None
    if file.depth == 8 and not profile:
        return None
    shown: Any = file if layer is None else dict(reading.layers).get(layer)
    if shown is None:
        raise BadPicture(f"it has no layer '{layer}'")
    if layer is None and (file.has_preview() or not reading.layers):
        picture = np.concatenate([file.numpy("color"), file.numpy("shape")], axis=2)
    else:
        picture = _layer(shown, reading.size)
    return Stored(_whole(picture, file.depth), profile or None)


def _layer(shown: Any, size: tuple[int, int]) -> NDArray[np.float32]:
    """A layer or group, even a hidden one, alone on the whole canvas."""
    from psd_tools.composite import composite

    colour, _, alpha = composite(
        shown,
        0.0,
        viewport=(0, 0, *size),
        layer_filter=lambda part: part is shown or part.visible,
        force=True,
    )
    return np.concatenate([colour[..., :3], alpha], axis=2)


def _whole(picture: NDArray[np.float32], depth: int) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """Values of 0 to 1 as whole numbers; what has more than 16 bits is kept at 16."""
    kept = np.clip(picture, 0, 1)
    return np.rint(kept * 255).astype(np.uint8) if depth == 8 else np.rint(kept * FULL).astype(np.uint16)
