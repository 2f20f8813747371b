"""The hash of what a picture looks like, whatever file it came in."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray
from PIL import Image

_STRIP = 1 << 20  # pixels converted at a time: keeps a large picture from being held twice


def hash_image(image: Image.Image) -> str:
    """SHA-256 in hex of "WxH RGBA8\\n" and the RGBA bytes, colour under zero alpha made zero."""
    width, height = image.size
    digest = hashlib.sha256(f"{width}x{height} RGBA8\n".encode())
    rows = max(1, _STRIP // width)
    for top in range(0, height, rows):
        strip = image.crop((0, top, width, min(top + rows, height)))
        digest.update(_plain_bytes(strip))
    return digest.hexdigest()


def hash_pixels(pixels: NDArray[np.uint8] | NDArray[np.uint16]) -> str:
    """The same from (H, W, 4) straight alpha; uint16 gives "RGBA16", big-endian values."""
    height, width = pixels.shape[:2]
    deep = pixels.dtype == np.uint16
    digest = hashlib.sha256(f"{width}x{height} RGBA{16 if deep else 8}\n".encode())
    rows = max(1, _STRIP // width)
    for top in range(0, height, rows):
        strip = np.where(pixels[top : top + rows, :, 3:] > 0, pixels[top : top + rows], 0)
        digest.update(strip.astype(">u2" if deep else np.uint8).tobytes())
    return digest.hexdigest()


def _plain_bytes(strip: Image.Image) -> bytes | memoryview:
    if strip.mode in ("L", "RGB"):
        return strip.convert("RGBA").tobytes()
    rgba = np.array(strip.convert("RGBA"))
    whole = rgba.view(np.uint32)
    whole[rgba[:, :, 3:] == 0] = 0
    return rgba.data.cast("B")
