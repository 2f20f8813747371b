"""Pixels at 16 bits a channel: Pillow would give the high bytes alone."""

from __future__ import annotations

from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.formats.interface import DeepPixels

FULL = 65535


def read_png(data: bytes, orientation: int) -> DeepPixels:
    """The pixels of a 16-bit PNG: uint16, (H, W, 4), straight alpha, turned."""
    from imagecodecs import png_decode

    return turn_array(to_deep_rgba(png_decode(data)), orientation)


def read_tiff(file: BinaryIO, page: int, orientation: int) -> DeepPixels | None:
    """The pixels of a page of a TIFF at 16 bits, as `read_png` gives them; None for print colours."""
    from tifffile import PHOTOMETRIC, PLANARCONFIG, TiffFile

    with TiffFile(file) as opened:
        frame = opened.pages[page]
        if frame.photometric not in (PHOTOMETRIC.MINISBLACK, PHOTOMETRIC.MINISWHITE, PHOTOMETRIC.RGB):
            return None
        values = frame.asarray()
        if values.ndim == 3 and frame.planarconfig == PLANARCONFIG.SEPARATE:
            values = np.moveaxis(values, 0, -1)
        if values.dtype != np.uint16 or values.ndim not in (2, 3):
            return None
        if frame.photometric == PHOTOMETRIC.MINISWHITE:
            values = FULL - values
        return turn_array(_to_straight(to_deep_rgba(values), frame.extrasamples), orientation)


def _to_straight(pixels: DeepPixels, extra: tuple[int, ...]) -> DeepPixels:
    """The pixels with colour divided by alpha, where TIFF says it was multiplied (ExtraSamples 1)."""
    if not extra or extra[0] != 1:
        return pixels
    alpha = pixels[:, :, 3:].astype(np.uint32)
    straight = pixels.copy()
    straight[:, :, :3] = np.minimum((pixels[:, :, :3] * FULL + alpha // 2) // np.maximum(alpha, 1), FULL)
    return straight


def to_deep_rgba(values: NDArray[np.uint16]) -> DeepPixels:
    """Grey, grey with alpha, RGB or RGBA values, (H, W) or (H, W, 1..4), as (H, W, 4)."""
    planes = values if values.ndim == 3 else values[:, :, None]
    height, width, channels = planes.shape
    rgba = np.full((height, width, 4), FULL, dtype=np.uint16)
    rgba[:, :, :3] = planes[:, :, :1] if channels < 3 else planes[:, :, :3]
    if channels in (2, 4):
        rgba[:, :, 3] = planes[:, :, -1]
    return rgba


def turn_array(pixels: DeepPixels, orientation: int) -> DeepPixels:
    """The pixels as their Exif orientation, 1 to 8, says they are to be seen."""
    if orientation >= 5:
        pixels = pixels.transpose(1, 0, 2)
    if orientation in (2, 3, 6, 7):
        pixels = pixels[:, ::-1]
    if orientation in (3, 4, 7, 8):
        pixels = pixels[::-1]
    return np.ascontiguousarray(pixels)
