"""Reading pictures: one table of kinds, one small module for each.

A new format is one module with a function `open_reading(source, kind)` and one
line in `KINDS`. The content of a file decides its kind, never its name.
"""

from __future__ import annotations

import contextlib
import stat
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import cast

import numpy as np
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats import recognition as seen
from assetlib.imaging.formats.interface import (
    Ask,
    DeepPixels,
    Facts,
    Kind,
    LayerInfo,
    Page,
    Pixels,
    Reading,
    Source,
)

__all__ = [
    "KINDS",
    "SUFFIXES",
    "VECTOR",
    "Ask",
    "Facts",
    "Kind",
    "LayerInfo",
    "Page",
    "Reading",
    "Source",
    "check_file",
    "find_kind",
    "open_reading",
    "read_deep",
    "read_facts",
    "read_picture",
]

HELD_BYTES = 256 << 20  # files up to here are read whole

KINDS = (
    Kind("PNG", "image/png", (".png", ".apng"), "raster", seen.is_png),
    Kind("JPEG", "image/jpeg", (".jpg", ".jpeg", ".jpe", ".jfif"), "raster", seen.is_jpeg),
    Kind("GIF", "image/gif", (".gif",), "raster", seen.is_gif),
    Kind("WebP", "image/webp", (".webp",), "raster", seen.is_webp),
    Kind("BMP", "image/bmp", (".bmp", ".dib"), "raster", seen.is_bmp),
    Kind("TIFF", "image/tiff", (".tif", ".tiff"), "tiff", seen.is_tiff),
    Kind("AVIF", "image/avif", (".avif",), "raster", seen.is_avif),
    Kind("HEIC", "image/heic", (".heic", ".heif"), "heic", seen.is_heic),
    Kind("PSD", "image/vnd.adobe.photoshop", (".psd", ".psb"), "psd", seen.is_psd),
    Kind("OpenRaster", "image/openraster", (".ora",), "openraster", seen.is_openraster),
    Kind("PDF", "application/pdf", (".pdf", ".ai"), "pdf", seen.is_pdf),
    Kind("SVG", "image/svg+xml", (".svg",), "svg", seen.is_svg),
    Kind(
        "closed paint file",
        "application/octet-stream",
        (".clip", ".kra", ".procreate"),
        "closed",
        seen.is_closed,
    ),
)

VECTOR = frozenset({"image/svg+xml", "application/pdf"})
"""Media types without pixels of their own: a version of one names the resolution it was rendered at."""

SUFFIXES = frozenset(suffix for kind in KINDS for suffix in kind.suffixes)
"""The endings of file names, in lower case, that are brought in from a folder."""


def read_facts(path: str | Path) -> Facts:
    """What the file is: kind, size, pages, layers, colour, words. Raises BadPicture."""
    with _naming(Path(path)) as source:
        return open_reading(source).facts()


def read_picture(
    path: str | Path,
    *,
    page: int = 0,
    layer: str | None = None,
    resolution: float | None = None,
    max_side: int | None = None,
    together: tuple[str, ...] = (),
    box: tuple[int, int, int, int] | None = None,
) -> Pixels:
    """The picture: uint8, (H, W, 4), straight alpha, sRGB, orientation applied.

    `page` counts from 0; `layer` is the path of a `LayerInfo`, placed on the
    whole picture, `together` are those of several layers, blended with each other;
    `resolution` (pixels an inch) is for drawings without pixels
    of their own; with `max_side` a reduced picture of that longest side is
    given; `box` is where a layer is wanted that reaches out of it. Raises BadPicture.
    """
    with _naming(Path(path)) as source:
        image = open_reading(source).image(Ask(page, layer, resolution, max_side, together, box))
        if max_side is not None:
            image.thumbnail((max_side, max_side), reducing_gap=2.0)
        return as_pixels(image)


def as_pixels(image: Image.Image) -> Pixels:
    """A picture of Pillow as uint8 (H, W, 4), straight alpha."""
    if image.mode != "RGB":
        return np.array(image.convert("RGBA"))
    import cv2  # here: most that opens a file wants no pixels of it

    return np.asarray(cv2.cvtColor(np.asarray(image), cv2.COLOR_RGB2RGBA), np.uint8)


def read_deep(path: str | Path, page: int = 0) -> DeepPixels | None:
    """The page at 16 bits: uint16, (H, W, 4), straight alpha; None for sources of 8 bits.

    Colour values are as stored, without profile conversion. Raises BadPicture.
    """
    with _naming(Path(path)) as source:
        return open_reading(source).deep(page)


def open_reading(source: Source) -> Reading:
    """The opened file, by its content. Raises BadPicture."""
    kind = find_kind(source)
    module = import_module(f"{__name__}.{kind.module}")
    return cast(Reading, module.open_reading(source, kind))


def find_kind(source: Source) -> Kind:
    """The row of `KINDS` that the content of the file fits. Raises BadPicture."""
    head = source.head()
    if not head:
        raise BadPicture("the file is empty (0 bytes)", "Copy it again from where it came.")
    for kind in KINDS:
        if kind.recognises(head):
            return kind
    raise BadPicture("not a picture that can be read", "PNG, JPEG and TIFF are always read.")


def check_file(path: Path) -> int:
    """The size of a regular, readable file in bytes. Raises BadPicture."""
    try:
        status = path.stat()
    except FileNotFoundError:
        raise BadPicture("there is no such file") from None
    except PermissionError:
        raise BadPicture("no permission to read it", "Give yourself the right to read it.") from None
    except OSError as error:
        raise BadPicture(f"it cannot be reached ({error.strerror or error})") from None
    if not stat.S_ISREG(status.st_mode):
        raise BadPicture("not a file that can be read")
    return status.st_size


@contextlib.contextmanager
def _naming(path: Path) -> Iterator[Source]:
    """The file as a source; failures inside are told with its name in front."""
    try:
        size = check_file(path)
        with reading_errors():
            # Held in memory where it fits: no file stays open, and layered files are read in many places.
            source = Source(path, path.read_bytes() if size <= HELD_BYTES else None)
            with contextlib.closing(source):
                yield source
    except BadPicture as error:
        raise BadPicture(f"{path.name}: {error.sentence}", error.hint) from error.__cause__


@contextlib.contextmanager
def reading_errors() -> Iterator[None]:
    """Turns failures to read the file itself into BadPicture."""
    try:
        yield
    except PermissionError:
        raise BadPicture("no permission to read it", "Give yourself the right to read it.") from None
    except MemoryError:
        raise BadPicture("it needs more memory than there is", "Save it smaller.") from None
    except OSError as error:
        raise BadPicture(f"it cannot be read ({error.strerror or error})") from None
