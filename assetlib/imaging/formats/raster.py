"""PNG, JPEG, WebP, GIF, BMP: files that Pillow decodes."""

from __future__ import annotations

import contextlib
import warnings
from collections.abc import Iterator
from importlib import import_module

from PIL import ExifTags, Image, UnidentifiedImageError

from assetlib.errors import BadPicture
from assetlib.imaging.formats.colour import profile_name, to_srgb
from assetlib.imaging.formats.interface import (
    MAX_PIXELS,
    Ask,
    DeepPixels,
    Facts,
    Kind,
    Source,
    check_size,
    tell_ending,
)
from assetlib.imaging.metadata import (
    EmbeddedWords,
    find_iim,
    join_words,
    read_exif,
    read_iim,
    read_png_text,
    read_xmp,
)

_PNG_DEPTH = 24  # offset of the bit depth in a PNG file: signature 8, IHDR head 8, sides 8
_ON_ITS_SIDE = 5  # Exif orientations from here on swap width and height
_LEAST_RESOLUTION = 2.0  # pixels an inch; (1, 1) is what writers put where they know none


def open_reading(source: Source, kind: Kind) -> RasterReading:
    """The file, opened: header read, pixels not yet."""
    return RasterReading(source, kind)


class RasterReading:
    """A picture file opened by Pillow; `reader` is Pillow's format name, else `kind.name` in capitals."""

    def __init__(self, source: Source, kind: Kind, reader: str | None = None) -> None:
        self.source = source
        self.kind = kind
        with damage():
            self.opened = open_with_pillow(source, reader or kind.name.upper())
        check_size(*self.opened.size)
        self.orientation = 0

    def facts(self) -> Facts:
        """What the file is."""
        with damage():
            self._load()
        image, info = self.opened, self.opened.info
        return Facts(
            format=self.kind.name,
            media_type=self.kind.media_type,
            size=turned(image.size, self.orientation),
            bits=self.bits(),
            mode=image.mode,
            has_alpha=has_alpha(image),
            resolution=turned_resolution(info.get("dpi"), self.orientation),
            orientation_applied=self.orientation,
            icc=profile_name(info.get("icc_profile")),
            note=join_notes(tell_ending(self.source.path, self.kind), self._tell_frames()),
            words=pillow_words(image),
        )

    def image(self, ask: Ask) -> Image.Image:
        """The picture; for JPEG a reduced one where `max_side` allows it."""
        check_plain(ask)
        with damage():
            if ask.max_side:
                self.opened.draft("RGB", (ask.max_side, ask.max_side))
            self._load()
            return turn(to_srgb(self.opened), self.orientation)

    def deep(self, page: int) -> DeepPixels | None:
        """The pixels at 16 bits, for PNG files of that depth."""
        if self.bits() != 16:
            return None
        from assetlib.imaging.formats.deep import read_png

        with damage():
            self._load()
            return read_png(self.source.read(), self.orientation)

    def profile(self, page: int) -> bytes | None:
        """The ICC profile of the picture."""
        found = self.opened.info.get("icc_profile")
        return found if isinstance(found, bytes) else None

    def plain(self, page: int) -> Image.Image:
        """The picture with its colour values as stored, its orientation applied."""
        self._load()
        return turn(self.opened, self.orientation)

    def bits(self) -> int:
        """Bits a channel, as stored."""
        if self.kind.name == "PNG":
            return max(self.source.head()[_PNG_DEPTH], 1)
        return 1 if self.opened.mode == "1" else 8

    def _load(self) -> None:
        if self.orientation:
            return
        self.opened.load()  # before the Exif tags: in PNG they may stand after the pixels
        self.orientation = orientation(self.opened)

    def _tell_frames(self) -> str | None:
        if self.kind.name == "JPEG":  # extra pictures there are previews of the first
            return None
        with contextlib.suppress(Exception):
            frames = getattr(self.opened, "n_frames", 1)
            return f"an animation of {frames} pictures, the first is read" if frames > 1 else None
        return None


def open_with_pillow(source: Source, name: str) -> Image.Image:
    """The file opened by exactly one of Pillow's readers, its bomb check made an error."""
    plugin = {"TIFF": "Tiff", "WEBP": "WebP", "AVIF": "Avif"}.get(name)
    if plugin:  # otherwise Pillow imports all its readers to find this one
        import_module(f"PIL.{plugin}ImagePlugin")
    Image.MAX_IMAGE_PIXELS = MAX_PIXELS
    return Image.open(source.open(), formats=(name,))


@contextlib.contextmanager
def damage() -> Iterator[None]:
    """Turns whatever a decoder raises on a damaged or hostile file into BadPicture.

    Decoders raise nearly every built-in exception on broken input, so all are caught.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    except (BadPicture, MemoryError):
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise BadPicture(
            f"the picture claims more than {MAX_PIXELS // 1_000_000} million pixels", "Save it smaller."
        ) from None
    except UnidentifiedImageError:
        raise BadPicture("damaged: its header cannot be read", "Save or copy it again.") from None
    except Exception as error:
        raise BadPicture(_tell_damage(error), "Save or copy it again.") from error


def _tell_damage(error: Exception) -> str:
    text = " ".join(str(error).split()).casefold()
    if isinstance(error, EOFError) or "truncated" in text or "not enough" in text:
        return "cut off: the file ends before the picture does"
    return f"damaged: its pixels cannot be decoded ({text or type(error).__name__})"


def check_plain(ask: Ask) -> None:
    """Nothing, for the only page of a file without layers. Raises BadPicture."""
    if ask.page:
        raise BadPicture(f"it has one page, not {ask.page + 1}")
    if ask.layer is not None:
        raise BadPicture("it has no layers")


def orientation(image: Image.Image) -> int:
    """The Exif orientation, 1 to 8; 1 where there is none or it is not valid."""
    try:
        number = image.getexif().get(ExifTags.Base.Orientation, 1)
    except Exception:  # damaged Exif blocks do not make the drawing unreadable
        return 1
    return number if isinstance(number, int) and 1 <= number <= 8 else 1


_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def turn(image: Image.Image, number: int) -> Image.Image:
    """The picture as its Exif orientation says it is to be seen (Exif 2.32, tag 0x0112)."""
    return image.transpose(_TURNS[number]) if number in _TURNS else image


def turned(size: tuple[int, int], number: int) -> tuple[int, int]:
    """The size after `turn`."""
    return (size[1], size[0]) if number >= _ON_ITS_SIDE else size


def has_alpha(image: Image.Image) -> bool:
    """True where the file can have transparent parts."""
    return image.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in image.info


def resolution(dpi: object) -> tuple[float, float] | None:
    """Pixels an inch across and down, None where the file does not really say."""
    if not (isinstance(dpi, tuple) and len(dpi) == 2):
        return None
    try:
        across, down = float(dpi[0]), float(dpi[1])
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not (_LEAST_RESOLUTION <= across < 1e5 and _LEAST_RESOLUTION <= down < 1e5):
        return None
    return round(across, 2), round(down, 2)


def turned_resolution(dpi: object, number: int) -> tuple[float, float] | None:
    """The resolution after `turn`: a page on its side was scanned across where it is now read down."""
    found = resolution(dpi)
    return (found[1], found[0]) if found and number >= _ON_ITS_SIDE else found


def pillow_words(image: Image.Image) -> EmbeddedWords:
    """The words that Pillow found in the file's metadata blocks."""
    info = image.info
    xmp = info.get("xmp") or info.get("XML:com.adobe.xmp")
    found = [read_xmp(xmp if isinstance(xmp, (bytes, str)) else None)]
    found.append(_iim_words(image))
    with contextlib.suppress(Exception):  # a damaged Exif block only loses its words
        exif = image.getexif()
        if exif:
            found.append(read_exif(exif))
    if image.format == "PNG":
        found.append(read_png_text(info))
    comment = info.get("comment")
    if isinstance(comment, (bytes, str)):
        found.append(read_png_text({"Description": comment}))
    return join_words(found)


def _iim_words(image: Image.Image) -> EmbeddedWords:
    resources = image.info.get("photoshop")
    if isinstance(resources, dict):  # JPEG: resources by number, already taken apart
        return read_iim(resources.get(0x0404, b""))
    if isinstance(resources, bytes):
        return read_iim(find_iim(resources))
    return EmbeddedWords()


def join_notes(*notes: str | None) -> str | None:
    """The notes as one sentence, None where there are none."""
    return "; ".join(note for note in notes if note) or None
