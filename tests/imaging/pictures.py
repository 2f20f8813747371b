"""Pictures drawn for the tests of reading: every corner differs, so that turns and mirrorings show."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

INK, RED, SHADOW = (20, 30, 60, 255), (200, 40, 30, 255), (10, 10, 10, 90)


def draw_van(size: tuple[int, int] = (96, 64)) -> Image.Image:
    """A delivery van on transparent ground, RGBA: wheel lower left, red door right, soft shadow."""
    width, height = size
    image = Image.new("RGBA", size, (0, 0, 0, 0))
    pen = ImageDraw.Draw(image)
    pen.rectangle((8, 14, width - 20, height - 16), outline=INK, width=3)
    pen.rectangle((width - 34, 20, width - 24, height - 20), fill=RED)
    pen.ellipse((14, height - 24, 32, height - 6), fill=INK)
    pen.rectangle((6, height - 5, width - 12, height - 3), fill=SHADOW)
    return image


def draw_on_paper(size: tuple[int, int] = (96, 64)) -> Image.Image:
    """The same on white paper, RGB."""
    paper = Image.new("RGB", size, (255, 255, 255))
    van = draw_van(size)
    paper.paste(van, mask=van.getchannel("A"))
    return paper


def save(image: Image.Image, path: Path, **options: object) -> Path:
    """The path, after saving the picture there."""
    image.save(path, **options)
    return path


def deep_ramp(channels: int, size: tuple[int, int] = (40, 30)) -> NDArray[np.uint16]:
    """uint16 (H, W, channels) whose low bytes matter; the last of 2 or 4 channels is alpha."""
    width, height = size
    ramp = np.arange(width * height * channels, dtype=np.uint32).reshape(height, width, channels)
    return ((ramp * 4099 + 77) % 65536).astype(np.uint16)


def png_bytes(values: NDArray[np.uint16], colour_type: int) -> bytes:
    """A 16-bit PNG written by hand (PNG 3rd edition, 11.2): no library of the project is in between."""
    height, width = values.shape[:2]
    rows = values.astype(">u2").reshape(height, -1)
    raw = b"".join(b"\0" + row.tobytes() for row in rows)
    head = struct.pack(">IIBBBBB", width, height, 16, colour_type, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        _chunk(name, data) for name, data in ((b"IHDR", head), (b"IDAT", zlib.compress(raw)), (b"IEND", b""))
    )


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def claim_png(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose header claims this size."""
    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", head)
        + _chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + _chunk(b"IEND", b"")
    )
