"""HEIC pictures, where the optional part for them is installed."""

from __future__ import annotations

from assetlib.errors import BadPicture
from assetlib.imaging.formats.interface import Kind, Source
from assetlib.imaging.formats.raster import RasterReading


def open_reading(source: Source, kind: Kind) -> RasterReading:
    """The file, opened. Raises BadPicture where the optional part is missing."""
    try:
        import pillow_heif
    except ImportError:
        raise BadPicture(
            "HEIC pictures need an optional part that is not installed",
            "Install it with `pip install 'assetlib[heic]'`, or save the picture as PNG.",
        ) from None
    pillow_heif.register_heif_opener(thumbnails=False)
    return RasterReading(source, kind, "HEIF")
