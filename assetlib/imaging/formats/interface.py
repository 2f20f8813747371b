"""What every picture format answers, and in which terms."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Protocol

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.metadata import NO_WORDS, EmbeddedWords

Pixels = NDArray[np.uint8]
"""uint8, (H, W, 4): straight alpha, sRGB, orientation applied."""

DeepPixels = NDArray[np.uint16]
"""uint16, (H, W, 4): straight alpha, orientation applied, colour values as stored."""

MAX_PIXELS = 200_000_000  # 14,000 x 14,000: an A1 page at 600 dpi; above it a file is taken for a bomb
MAX_SIDE = 65_000  # pixels; libjpeg's own limit is 65,500
HEAD_LENGTH = 1024  # bytes that are enough to recognise every kind


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a file: its number from 0 and its size in pixels."""

    number: int
    size: tuple[int, int]


@dataclass(frozen=True, slots=True)
class LayerInfo:
    """One layer of a layered file, outermost name first in its path.

    `kind` is one of "pixels", "group", "adjustment" (also what is clipped to the
    layer below), "paper". `box` is
    (x, y, width, height) in pixels of the picture, parts outside it cut off.
    """

    path: str
    name: str
    visible: bool
    kind: str
    box: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Facts:
    """What a file is, before anyone judges the drawing in it.

    `size` is (width, height) with the orientation applied; `resolution` is
    (x, y) in pixels an inch; `orientation_applied` is the Exif number (1: none);
    `icc` is the name of the colour profile; `note` is a sentence for the artist.
    """

    format: str
    media_type: str
    size: tuple[int, int]
    pages: int = 1
    bits: int = 8
    mode: str = "RGB"
    has_alpha: bool = False
    resolution: tuple[float, float] | None = None
    orientation_applied: int = 1
    icc: str | None = None
    layers: tuple[LayerInfo, ...] = ()
    note: str | None = None
    words: EmbeddedWords = field(default=NO_WORDS)


@dataclass(frozen=True, slots=True)
class Source:
    """A file to read: its path, and its bytes where they are held already."""

    path: Path
    data: bytes | None = None
    opened: list[BinaryIO] = field(default_factory=list, compare=False, repr=False)

    def open(self) -> BinaryIO:
        """The file, opened for reading from its beginning, until `close`."""
        if self.data is not None:
            return io.BytesIO(self.data)
        self.opened.append(self.path.open("rb"))
        return self.opened[-1]

    def close(self) -> None:
        """Nothing; closes what `open` has opened. Readings of this source end with it."""
        while self.opened:
            self.opened.pop().close()

    def head(self) -> bytes:
        """The first bytes, enough to recognise the kind."""
        if self.data is not None:
            return self.data[:HEAD_LENGTH]
        with self.path.open("rb") as file:
            return file.read(HEAD_LENGTH)

    def read(self) -> bytes:
        """All bytes."""
        return self.path.read_bytes() if self.data is None else self.data


@dataclass(frozen=True, slots=True)
class Ask:
    """Which picture of a file is wanted.

    `layer` is a path of `LayerInfo`, `together` are several that are shown over each other as their program shows
    them, and nothing else; `resolution` is in pixels an inch, for drawings without pixels of their own; `max_side`
    lets a cheaper reading do, whose longest side is not under it. `box` (x, y, width, height) is the part of
    a layered drawing's plane that a layer is wanted on, also outside of its canvas.
    """

    page: int = 0
    layer: str | None = None
    resolution: float | None = None
    max_side: int | None = None
    together: tuple[str, ...] = ()
    box: tuple[int, int, int, int] | None = None


class Reading(Protocol):
    """An opened picture file, decoded as late and as little as it is asked."""

    def facts(self) -> Facts:
        """What the file is."""
        ...

    def image(self, ask: Ask) -> Image.Image:
        """The picture of a page or layer: mode L, LA, RGB or RGBA, sRGB, orientation applied."""
        ...

    def deep(self, page: int) -> DeepPixels | None:
        """The pixels at 16 bits a channel, where the file has them."""
        ...


@dataclass(frozen=True, slots=True)
class Kind:
    """One row of the table: how a kind of file is recognised and which module reads it."""

    name: str
    media_type: str
    suffixes: tuple[str, ...]
    module: str
    recognises: Callable[[bytes], bool]


def check_size(width: int, height: int) -> None:
    """Nothing, for a size that is safe to decode.

    Raises BadPicture for sizes that only a damaged or hostile file claims.
    """
    if width < 1 or height < 1:
        raise BadPicture("the picture has no area", "Save it again from the program it was made in.")
    if width * height > MAX_PIXELS or max(width, height) > MAX_SIDE:
        raise BadPicture(
            f"the picture claims {width} x {height} pixels; the most that is read is "
            f"{MAX_PIXELS // 1_000_000} million",
            "Save it smaller, or cut into parts.",
        )


def tell_ending(path: Path, kind: Kind) -> str | None:
    """A sentence for a file whose name promises another kind than it holds; else None."""
    suffix = path.suffix.casefold()
    if not suffix or suffix in kind.suffixes:
        return None
    return f"named {suffix}, but it holds {kind.name}"
