"""A clean copy made ready for a buyer: told nothing but its pixels, colours and resolution."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms

from assetlib.errors import BadPicture

PREVIEW_SIZE = 640
"""Pixels of a preview's longer side: readable on a contact sheet, too small to paste."""
PREVIEW_QUALITY = 88
"""JPEG quality at which a thin line keeps its edge (looked at on line drawings)."""

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
# W3C PNG specification, third edition: the critical chunks, transparency, colour space, resolution.
# All others tell of the author's machine or of nothing (text, time, Exif, private chunks, animation).
_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS"}
_KEPT |= {b"iCCP", b"sRGB", b"gAMA", b"cHRM", b"cICP", b"sBIT", b"pHYs"}
_UPRIGHT = 1
_ORIENTATION = 0x0112
_UNREADABLE = (OSError, SyntaxError, ValueError, struct.error, zlib.error, Image.DecompressionBombError)


@dataclass(frozen=True)
class Delivery:
    """A picture as it goes into a bundle, with what the manifest says of it.

    `pixel_sha256` covers mode, size and decoded pixels, so that it outlives any
    change of metadata.
    """

    png: bytes
    preview: bytes
    width: int
    height: int
    has_alpha: bool
    pixel_sha256: str


def prepare(path: Path) -> Delivery:
    """The PNG at `path` without metadata, and a small JPEG on white.

    `BadPicture` when it is not a whole, upright PNG.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadPicture(f"{path} cannot be read: {error.strerror}.") from error
    try:
        png = strip(data)
        _refuse_turned(data)
        with Image.open(io.BytesIO(png), formats=["PNG"]) as opened:
            opened.load()
            return _delivery(png, opened)
    except _UNREADABLE as error:
        raise BadPicture(f"{path} is not a whole PNG: {error}.", "Make its clean copy again.") from error


def strip(png: bytes) -> bytes:
    """The PNG with only the chunks that decide how it looks; `ValueError` when it is damaged.

    Compressed pixel data are copied as they are, so pixels cannot change.
    """
    if not png.startswith(_SIGNATURE):
        raise ValueError("it does not begin like one")
    kept = [chunk for kind, chunk in _chunks(png) if kind in _KEPT]
    return _SIGNATURE + b"".join(kept)


def _chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Kind and whole bytes of each chunk up to IEND; what follows IEND is not part of the picture."""
    at, kind = len(_SIGNATURE), b""
    while kind != b"IEND":
        header = png[at : at + 8]
        if len(header) < 8:
            raise ValueError("it ends too early")
        length, kind = struct.unpack(">L4s", header)
        chunk = png[at : at + length + 12]
        if len(chunk) < length + 12 or struct.unpack(">L", chunk[-4:])[0] != zlib.crc32(chunk[4:-4]):
            raise ValueError("a part of it is damaged")
        yield kind, chunk
        at += len(chunk)


def _refuse_turned(data: bytes) -> None:
    """A turning noted in metadata would be lost with them, so a picture that needs one is refused."""
    with Image.open(io.BytesIO(data), formats=["PNG"]) as opened:
        if opened.getexif().get(_ORIENTATION, _UPRIGHT) != _UPRIGHT:
            raise ValueError("its metadata say that it is to be shown turned")


def _delivery(png: bytes, opened: Image.Image) -> Delivery:
    has_alpha = opened.has_transparency_data
    # a palette's numbers mean nothing without the palette
    palette_mode = "RGBA" if has_alpha else "RGB"
    pixels = opened.convert(palette_mode) if opened.mode == "P" else opened
    head = f"{pixels.mode} {pixels.width}x{pixels.height}\n".encode()
    return Delivery(
        png=png,
        preview=_preview(opened),
        width=opened.width,
        height=opened.height,
        has_alpha=has_alpha,
        pixel_sha256=hashlib.sha256(head + pixels.tobytes()).hexdigest(),
    )


def _preview(picture: Image.Image) -> bytes:
    flat = _on_white(_in_srgb(picture))
    flat.thumbnail((PREVIEW_SIZE, PREVIEW_SIZE), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=PREVIEW_QUALITY, subsampling=0)
    return out.getvalue()


def _on_white(picture: Image.Image) -> Image.Image:
    """8-bit RGB."""
    if picture.mode.startswith("I"):
        # 16-bit grey: Pillow would clip it, not scale it
        picture = Image.fromarray((np.asarray(picture).astype(np.uint32) >> 8).astype(np.uint8))
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    white = Image.new("RGBA", picture.size, "white")
    return Image.alpha_composite(white, picture.convert("RGBA")).convert("RGB")


def _in_srgb(picture: Image.Image) -> Image.Image:
    """The picture in sRGB where its profile can be read, else as it is."""
    profile = picture.info.get("icc_profile")
    if not profile or picture.mode not in ("RGB", "RGBA"):
        return picture
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        converted = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError):
        return picture
    return converted if converted is not None else picture
