"""A clean copy made ready for a buyer: told nothing but its pixels, colours and resolution."""

from __future__ import annotations

import hashlib
import io
import struct
import warnings
import zlib
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms

from assetlib.errors import BadPicture
from assetlib.imaging.embedding import PNG, embed, png_chunk, png_chunks
from assetlib.imaging.profiles import without_device

PREVIEW_SIZE = 640
"""Pixels of a preview's longer side: readable on a contact sheet, too small to paste."""
PREVIEW_QUALITY = 88
"""JPEG quality at which a thin line keeps its edge (looked at on line drawings)."""

GROUND = (206, 203, 196)
"""Of a contact sheet's squares: on it a white body and black ink are both seen (chosen by eye on line drawings)."""
THUMBNAIL_SIZE = 480
"""Pixels of a drawing's longer side on a contact sheet: 240 an inch where it stands five centimetres wide."""

_REDUCING_GAP = 3.0
"""Pillow's documentation: from 3 on, shrinking in two steps looks like shrinking in one."""
_BAND = 256
"""Rows hashed at a time, so that a large drawing is not copied whole."""

# W3C PNG specification, third edition: the critical chunks, transparency, colour space, resolution.
# All others tell of the author's machine or of nothing (text, time, Exif, private chunks, animation).
_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS"}
_KEPT |= {b"iCCP", b"sRGB", b"gAMA", b"cHRM", b"cICP", b"sBIT", b"pHYs"}
_LARGEST_PROFILE = 1 << 24
"""Bytes; those of printing presses have two or three million."""
_UPRIGHT = 1
_ORIENTATION = 0x0112
_METRE = 1  # unit of pHYs, W3C PNG specification, third edition, 11.3.4.3
_UNREADABLE = (OSError, SyntaxError, ValueError, struct.error, zlib.error, Image.DecompressionBombError)


@dataclass(frozen=True)
class Delivery:
    """A picture as it goes into a bundle, with what the manifest says of it.

    `pixel_sha256` covers mode, size and decoded pixels, so that it outlives any
    change of metadata.
    """

    png: bytes
    preview: bytes
    thumbnail: bytes
    """A JPEG on `GROUND`, for the contact sheet."""
    width: int
    height: int
    has_alpha: bool
    pixel_sha256: str
    pixels_per_metre: tuple[int, int] | None
    """Across and down, where the picture says how large it was drawn."""


def prepare(path: Path) -> Delivery:
    """The PNG at `path` without metadata, and two small JPEGs: on white, and on a contact sheet's ground.

    `BadPicture` when it is not a whole, upright PNG.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadPicture(f"{path} cannot be read: {error.strerror}.") from error
    try:
        png = strip(data)
        with warnings.catch_warnings():
            # large scans are no attack here; past Pillow's own limit they are still refused
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(png), formats=["PNG"]) as opened:
                opened.load()
                return _delivery(png, opened)
    except _UNREADABLE as error:
        raise BadPicture(f"{path} is not a whole PNG: {error}.", "Make its clean copy again.") from error


def worded(delivery: Delivery, png_words: str, preview_words: str) -> Delivery:
    """The same pictures with XMP packets in the PNG and in the preview."""
    return replace(
        delivery, png=embed(delivery.png, png_words), preview=embed(delivery.preview, preview_words)
    )


def strip(png: bytes) -> bytes:
    """The PNG with only the chunks that decide how it looks, and of a colour profile only what colours need.

    Compressed pixel data are copied as they are, so pixels cannot change.
    `ValueError` when it is damaged or needs its metadata to be shown upright.
    """
    if not png.startswith(PNG):
        raise ValueError("it does not begin like one")
    chunks = list(png_chunks(png))
    if any(kind == b"eXIf" and _is_turned(chunk[8:-4]) for kind, chunk in chunks):
        raise ValueError("its metadata say that it is to be shown turned, and would be taken out")
    return PNG + b"".join(_of_nobody(kind, chunk) for kind, chunk in chunks if kind in _KEPT)


def _of_nobody(kind: bytes, chunk: bytes) -> bytes:
    """A chunk that is kept, a colour profile without what it tells of the artist's screen."""
    if kind != b"iCCP":
        return chunk
    _, _, rest = chunk[8:-4].partition(b"\x00")
    try:
        plain = without_device(zlib.decompressobj().decompress(rest[1:], _LARGEST_PROFILE))
    except (ValueError, zlib.error):
        return b""  # not readable as a profile: nobody could show the picture by it
    # its name here is free text, and often that of a screen
    return png_chunk(b"iCCP", b"profile\x00\x00" + zlib.compress(plain, 9))


def _is_turned(exif_data: bytes) -> bool:
    exif = Image.Exif()
    exif.load(exif_data)
    return bool(exif.get(_ORIENTATION, _UPRIGHT) != _UPRIGHT)


def _delivery(png: bytes, opened: Image.Image) -> Delivery:
    small = _in_srgb(_shrunk(_direct(opened), PREVIEW_SIZE))
    return Delivery(
        png=png,
        preview=_flattened(small, PREVIEW_SIZE, "white"),
        thumbnail=_flattened(small, THUMBNAIL_SIZE, GROUND),
        width=opened.width,
        height=opened.height,
        has_alpha=opened.has_transparency_data,
        pixel_sha256=_pixel_hash(opened),
        pixels_per_metre=_resolution(png),
    )


def _resolution(png: bytes) -> tuple[int, int] | None:
    """What a pHYs chunk says, where it speaks of metres and not of the shape of a pixel alone."""
    for kind, chunk in png_chunks(png):
        if kind == b"pHYs":
            across, down, unit = struct.unpack(">LLB", chunk[8:-4])
            return (across, down) if unit == _METRE and min(across, down) > 0 else None
    return None


def _pixel_hash(picture: Image.Image) -> str:
    if picture.mode == "P":
        # a palette's numbers mean nothing without the palette
        picture = _direct(picture)
    pixels = hashlib.sha256(f"{picture.mode} {picture.width}x{picture.height}\n".encode())
    for top in range(0, picture.height, _BAND):
        band = (0, top, picture.width, min(top + _BAND, picture.height))
        pixels.update(picture.crop(band).tobytes())
    return pixels.hexdigest()


def _flattened(small: Image.Image, size: int, ground: str | tuple[int, int, int]) -> bytes:
    """A JPEG of at most `size` pixels, on `ground` where it can be seen through."""
    small = _shrunk(small, size)
    if small.mode == "RGBA":
        small = Image.alpha_composite(Image.new("RGBA", small.size, ground), small)
    out = io.BytesIO()
    small.convert("RGB").save(out, "JPEG", quality=PREVIEW_QUALITY, subsampling=0)
    return out.getvalue()


def _direct(picture: Image.Image) -> Image.Image:
    """8-bit RGB, or RGBA where anything can be seen through."""
    if picture.mode.startswith("I"):
        # 16-bit grey: Pillow would clip it, not scale it
        return Image.fromarray((np.asarray(picture) >> 8).astype(np.uint8)).convert("RGB")
    mode = "RGBA" if picture.has_transparency_data else "RGB"
    return picture if picture.mode == mode else picture.convert(mode)


def _shrunk(picture: Image.Image, longest: int) -> Image.Image:
    scale = min(1.0, longest / max(picture.size))
    size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
    return picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=_REDUCING_GAP)


def _in_srgb(picture: Image.Image) -> Image.Image:
    """The picture in sRGB where it has a profile that can be read, else as it is."""
    profile = picture.info.get("icc_profile")
    if not profile:
        return picture
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        converted = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError):
        # damaged, or a grey profile on what is RGB by now
        return picture
    return converted if converted is not None else picture
