"""Files of paint programs whose format is closed: the flat picture inside stands in for the drawing."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator

from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats.colour import to_srgb
from assetlib.imaging.formats.interface import MAX_PIXELS, Ask, DeepPixels, Facts, Kind, Source, check_size
from assetlib.imaging.formats.raster import check_plain, damage, has_alpha
from assetlib.imaging.formats.zips import open_zip, read_entry

ADVICE = "Save it as PSD, OpenRaster or PNG to bring in its layers."
MOST_FOUND = 64  # pictures that are weighed; a file with more is no drawing
_PNG, _PNG_END = b"\x89PNG\r\n\x1a\n", b"IEND\xaeB`\x82"


def open_reading(source: Source, kind: Kind) -> StandInReading:
    """The largest flat picture inside the file. Raises BadPicture, with advice, where there is none."""
    return StandInReading(source, kind)


class StandInReading:
    """A flat picture from inside a closed file."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.kind = kind
        data = source.read()
        found = _from_zip(data) if data.startswith(b"PK") else _from_bytes(data)
        self.opened = max(found, key=lambda picture: picture.width * picture.height, default=None)
        if self.opened is None:
            raise BadPicture("a closed format with no flat picture inside", ADVICE)
        check_size(*self.opened.size)

    def facts(self) -> Facts:
        """What the file is; the note says that the picture only stands in for it."""
        assert self.opened is not None
        return Facts(
            format=self.kind.name,
            media_type=self.kind.media_type,
            size=self.opened.size,
            mode=self.opened.mode,
            has_alpha=has_alpha(self.opened),
            note=f"flat stand-in: only the picture inside was read. {ADVICE}",
        )

    def image(self, ask: Ask) -> Image.Image:
        """The stand-in."""
        check_plain(ask)
        assert self.opened is not None
        with damage():
            self.opened.load()
            return to_srgb(self.opened)

    def deep(self, page: int) -> DeepPixels | None:
        """None: a stand-in has 8 bits."""
        return None


def _from_zip(data: bytes) -> Iterator[Image.Image]:
    """The picture that is named as the merged drawing, else every picture inside: previews may be larger than it."""
    archive = open_zip(data)
    names = [item for item in archive.infolist() if item.filename.lower().endswith((".png", ".jpg", ".jpeg"))]
    names = [item for item in names if "merged" in item.filename.lower()] or names
    for item in names[:MOST_FOUND]:
        yield from _opened(read_entry(archive, item))


def _from_bytes(data: bytes) -> Iterator[Image.Image]:
    """PNG files that lie whole within the bytes."""
    at = -1
    for _ in range(MOST_FOUND):
        at = data.find(_PNG, at + 1)
        end = data.find(_PNG_END, at)
        if at < 0 or end < 0:
            return
        yield from _opened(data[at : end + len(_PNG_END)])


def _opened(data: bytes) -> Iterator[Image.Image]:
    """The picture, or nothing where it cannot be opened; damage shows when it is loaded."""
    try:
        Image.MAX_IMAGE_PIXELS = MAX_PIXELS
        yield Image.open(io.BytesIO(data), formats=("PNG", "JPEG"))
    except (OSError, Image.DecompressionBombError, zipfile.BadZipFile):
        return
