"""Pixels at 16 bits a channel: Pillow would give the high bytes alone."""

from __future__ import annotations

import io
import struct
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np
from numpy.typing import NDArray
from PIL import TiffImagePlugin

from assetlib.imaging.formats.interface import DeepPixels, check_size

if TYPE_CHECKING:
    from tifffile import TiffPage

FULL = 65535

# TIFF 6.0: sections 8 (tags), 14 (differencing), and 22 (planes)
_PLAIN, _DIFFERENCES, _APART, _REVERSED = 1, 2, 2, 2
_SHORT, _LONG = 3, 4
_HEAD = struct.Struct("<2sHLH")
_TAG = struct.Struct("<HHLL")


def read_png(data: bytes, orientation: int) -> DeepPixels:
    """The pixels of a 16-bit PNG: uint16, (H, W, 4), straight alpha, turned."""
    import cv2

    pixels = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_UNCHANGED)
    if pixels is None:
        raise ValueError("not a whole PNG")
    if pixels.ndim == 3:  # OpenCV counts colours from blue
        pixels = cv2.cvtColor(pixels, cv2.COLOR_BGRA2RGBA if pixels.shape[2] == 4 else cv2.COLOR_BGR2RGB)
    return turn_array(to_deep_rgba(np.asarray(pixels, np.uint16)), orientation)


def read_tiff(file: BinaryIO, page: int, orientation: int) -> DeepPixels | None:
    """The pixels of a page of a TIFF at 16 bits, as `read_png` gives them; None for print colours."""
    from tifffile import PHOTOMETRIC, TiffFile

    with TiffFile(file) as opened:
        frame: Any = opened.pages[page]
        if frame.photometric not in (PHOTOMETRIC.MINISBLACK, PHOTOMETRIC.MINISWHITE, PHOTOMETRIC.RGB):
            return None
        if frame.dtype != np.uint16 or frame.imagedepth != 1 or frame.fillorder == _REVERSED:
            return None
        values = _values(frame, opened.byteorder)
        if frame.photometric == PHOTOMETRIC.MINISWHITE:
            values = FULL - values
        return turn_array(_to_straight(to_deep_rgba(values), frame.extrasamples), orientation)


def _values(frame: TiffPage, byteorder: str) -> DeepPixels:
    """What a page holds: uint16 (H, W, C), its strips or tiles unpacked and put together.

    OpenCV and Pillow both mix up 16-bit pages whose colours lie in planes of their own.
    """
    height, width, channels = frame.imagelength, frame.imagewidth, frame.samplesperpixel
    apart = frame.planarconfig == _APART and channels > 1
    out = np.zeros((height, width, channels), np.uint16)
    wide, high = (
        (frame.tilewidth, frame.tilelength) if frame.is_tiled else (width, min(frame.rowsperstrip, height))
    )
    check_size(wide, high)
    across, down = -(-width // wide), -(-height // high)
    for number, (offset, length) in enumerate(zip(frame.dataoffsets, frame.databytecounts, strict=True)):
        plane, place = divmod(number, across * down)
        y, x = place // across * high, place % across * wide
        rows = high if frame.is_tiled else min(high, height - y)
        frame.parent.filehandle.seek(offset)
        packed = frame.parent.filehandle.read(length)
        samples = 1 if apart else channels
        raw = _unpacked(packed, frame.compression, wide * samples * 2, rows) if length else b""
        part = np.frombuffer(raw.ljust(rows * wide * samples * 2, b"\0"), f"{byteorder}u2")
        part = part.reshape(rows, wide, samples)
        if frame.predictor == _DIFFERENCES:
            part = np.cumsum(part, axis=1, dtype=np.uint16)
        where = np.s_[y : y + rows, x : x + wide, plane : plane + 1 if apart else channels]
        out[where] = part[: height - y, : width - x]
    return out


def _unpacked(packed: bytes, compression: int, width: int, height: int) -> bytes:
    """The bytes of a strip or tile, `height` rows of `width`, unpacked by Pillow's libtiff.

    Bytes are what they are, so they are given to it as a picture in 8-bit grey.
    """
    if compression == _PLAIN:
        return packed[: width * height]
    tags = (
        (256, _LONG, width), (257, _LONG, height), (258, _SHORT, 8), (259, _SHORT, compression),
        (262, _SHORT, 1), (273, _LONG, 0), (277, _SHORT, 1), (278, _LONG, height), (279, _LONG, len(packed)),
    )  # fmt: skip
    start = _HEAD.size + len(tags) * _TAG.size + 4
    head = _HEAD.pack(b"II", 42, 8, len(tags))
    listed = b"".join(_TAG.pack(tag, kind, 1, start if tag == 273 else value) for tag, kind, value in tags)
    with TiffImagePlugin.TiffImageFile(io.BytesIO(head + listed + bytes(4) + packed)) as opened:
        return opened.tobytes()


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
