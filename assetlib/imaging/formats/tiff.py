"""TIFF: pages, deep pixels, print colours."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import cast

import numpy as np
from PIL import ExifTags, Image
from PIL.IptcImagePlugin import getiptcinfo
from PIL.TiffImagePlugin import TiffImageFile

from assetlib.errors import BadPicture
from assetlib.imaging.formats.colour import profile_name, to_srgb
from assetlib.imaging.formats.interface import (
    Ask,
    DeepPixels,
    Facts,
    Kind,
    Source,
    check_size,
    tell_ending,
)
from assetlib.imaging.formats.raster import (
    damage,
    has_alpha,
    open_with_pillow,
    pillow_words,
    turned_resolution,
)
from assetlib.imaging.metadata import EmbeddedWords, find_iim, gather_iim, join_words, read_iim, read_xmp

MOST_PAGES = 2000  # a longer chain of pages is a loop or a bomb

_BITS, _XMP, _PHOTOSHOP = 258, 700, 34377


def open_reading(source: Source, kind: Kind) -> TiffReading:
    """The file, opened: header of the first page read, pixels not yet."""
    return TiffReading(source, kind)


class TiffReading:
    """A TIFF file, read page by page."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.source = source
        self.kind = kind
        with damage():
            self.opened = cast(TiffImageFile, open_with_pillow(source, "TIFF"))
            self.tags = dict(self.opened.tag_v2)
            self.at = 0
            self.pages = min(self.opened.n_frames, MOST_PAGES)
        check_size(*self.opened.size)

    def facts(self) -> Facts:
        """What the file is; size, mode and words are those of the first page."""
        with damage():
            image = self._seek(0)
            number = self._orientation()
            image.load()
            return Facts(
                format=self.kind.name,
                media_type=self.kind.media_type,
                size=image.size,
                pages=self.pages,
                bits=self._bits(),
                mode=image.mode,
                has_alpha=has_alpha(image),
                resolution=turned_resolution(image.info.get("dpi"), number),
                orientation_applied=number,
                icc=profile_name(image.info.get("icc_profile")),
                note=tell_ending(self.source.path, self.kind),
                words=join_words((pillow_words(image), self._tag_words())),
            )

    def image(self, ask: Ask) -> Image.Image:
        """The picture of a page; Pillow applies the orientation of TIFF files itself."""
        if ask.layer is not None:
            raise BadPicture("it has no layers")
        deep = self.deep(ask.page)
        with damage():
            image = self._seek(ask.page)
            if deep is not None:  # Pillow mixes up 16-bit files whose colours lie in planes of their own
                shallow = Image.fromarray((deep >> 8).astype(np.uint8))
                shallow.info["icc_profile"] = image.info.get("icc_profile")
                return to_srgb(shallow)
            image.load()
            return to_srgb(image)

    def deep(self, page: int) -> DeepPixels | None:
        """The pixels of a page at 16 bits, where it has them."""
        with damage():
            self._seek(page)
            if self._bits() != 16:
                return None
            from assetlib.imaging.formats.deep import read_tiff

            return read_tiff(self.source.open(), page, self._orientation())

    def profile(self, page: int) -> bytes | None:
        """The ICC profile of a page."""
        found = self._seek(page).info.get("icc_profile")
        return found if isinstance(found, bytes) else None

    def plain(self, page: int) -> Image.Image:
        """A page with its colour values as stored, its orientation applied by Pillow."""
        image = self._seek(page)
        image.load()
        return image

    def _seek(self, page: int) -> Image.Image:
        if not 0 <= page < self.pages:
            raise BadPicture(f"it has {self.pages} pages, not {page + 1}")
        if page != self.at:
            self.opened.seek(page)
            self.tags = dict(self.opened.tag_v2)
            self.at = page
            check_size(*self.opened.size)
        return self.opened

    def _orientation(self) -> int:
        number = self.tags.get(ExifTags.Base.Orientation, 1)
        return number if isinstance(number, int) and 1 <= number <= 8 else 1

    def _bits(self) -> int:
        depths = self.tags.get(_BITS, (1,))
        return int(max(depths)) if isinstance(depths, tuple) and depths else 8

    def _tag_words(self) -> EmbeddedWords:
        resources = find_iim(_as_bytes(self.tags.get(_PHOTOSHOP)))
        xmp = read_xmp(_as_bytes(self.tags.get(_XMP)))
        return join_words((xmp, gather_iim(_iim_datasets(self.opened)), read_iim(resources)))


def _iim_datasets(image: TiffImageFile) -> Iterator[tuple[int, int, bytes]]:
    """The IPTC-IIM datasets of tag 33723, which Pillow reads past the type that writers declare for it."""
    for (record, number), values in (getiptcinfo(image) or {}).items():
        for value in values if isinstance(values, list) else [values]:
            yield record, number, value


def _as_bytes(value: object) -> bytes:
    """A tag's value as bytes; some writers declare such blocks as 32-bit numbers."""
    if isinstance(value, bytes):
        return value
    if isinstance(value, tuple) and all(isinstance(part, int) for part in value):
        return struct.pack(f"<{len(value)}I", *value)
    return b""
