"""Flat pictures as PNG, TIFF and WebP, with their depth and their colour profile."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any, BinaryIO

import numpy as np
from PIL import Image

from assetlib.imaging.layering.layers import AnyPixels, LayeredFrame, as_plain, flatten

_SIGNATURE_AND_HEAD = 33
"""Bytes of a PNG file up to the end of its IHDR, behind which iCCP and pHYs stand (PNG specification, 5.6)."""
_INCH = 0.0254  # metres


def write_png(frame: LayeredFrame, file: BinaryIO) -> None:
    """A PNG at the depth of the frame."""
    file.write(png_of(_idle_alpha_left_out(flatten(frame)), frame.profile, level=3, dpi=frame.resolution))


def write_tiff(frame: LayeredFrame, file: BinaryIO) -> None:
    """A TIFF at the depth of the frame."""
    pixels = np.ascontiguousarray(_idle_alpha_left_out(flatten(frame)))
    dpi = frame.resolution, frame.resolution
    # through memory: libtiff, given a file, says nothing of why a full disk took no more, and writes to stderr
    data = io.BytesIO()
    if pixels.dtype == np.uint8:
        Image.fromarray(pixels).save(
            data, "TIFF", compression="tiff_adobe_deflate", icc_profile=frame.profile, dpi=dpi
        )
    else:
        from tifffile import imwrite  # Pillow writes no more than 8 bits of colour

        see_through: dict[str, Any] = {"extrasamples": ["unassalpha"]} if pixels.shape[2] == 4 else {}
        imwrite(
            data, pixels, photometric="rgb", compression="zlib", predictor=True, metadata=None,
            resolution=dpi, resolutionunit="INCH", iccprofile=frame.profile, **see_through,
        )  # fmt: skip
    file.write(data.getbuffer())


def write_webp(frame: LayeredFrame, file: BinaryIO) -> None:
    """A WebP, which has 8 bits a channel (RFC 9649), without loss."""
    pixels = np.ascontiguousarray(as_plain(_idle_alpha_left_out(flatten(frame))))
    Image.fromarray(pixels).save(file, "WEBP", lossless=True, exact=True, icc_profile=frame.profile)


def png_of(pixels: AnyPixels, profile: bytes | None, *, level: int, dpi: float | None = None) -> bytes:
    """A picture (h, w, 3 or 4) as the bytes of a PNG file of its depth; `level` of packing is 0 to 9."""
    import cv2  # Pillow writes no more than 8 bits of colour, and takes twice the time

    order = cv2.COLOR_RGBA2BGRA if pixels.shape[2] == 4 else cv2.COLOR_RGB2BGR
    turned = cv2.cvtColor(np.ascontiguousarray(pixels), order)
    packing = [cv2.IMWRITE_PNG_COMPRESSION, level, cv2.IMWRITE_PNG_STRATEGY, cv2.IMWRITE_PNG_STRATEGY_DEFAULT]
    # rows by what stands above them: as small as all filters tried together, on line art and on photographs
    done, encoded = cv2.imencode(
        ".png", turned, [*packing, cv2.IMWRITE_PNG_FILTER, cv2.IMWRITE_PNG_FILTER_UP]
    )
    if not done:
        raise ValueError("no PNG came of it")
    whole = encoded.tobytes()
    more = b""
    if profile:
        more += _chunk(b"iCCP", b"ICC profile\0\0" + zlib.compress(profile))
    if dpi:
        more += _chunk(b"pHYs", struct.pack(">IIB", *(round(dpi / _INCH),) * 2, 1))
    return whole[:_SIGNATURE_AND_HEAD] + more + whole[_SIGNATURE_AND_HEAD:]


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _idle_alpha_left_out(pixels: AnyPixels) -> AnyPixels:
    """A picture without transparency is written without it: printers' programs mind an idle alpha."""
    see_through = (pixels[..., 3] < np.iinfo(pixels.dtype).max).any()
    return pixels if see_through else pixels[..., :3]
