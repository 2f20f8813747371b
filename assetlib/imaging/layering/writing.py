"""A frame into a file of the kind that its ending names."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

import numpy as np
from PIL import Image

from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging.layering.layers import LayeredFrame, flatten
from assetlib.imaging.layering.openraster import write_openraster
from assetlib.imaging.layering.psd import LARGEST_SIDE, write_psd

LAYERED = frozenset({".psd", ".ora"})
LARGEST_WEBP = 16_383
"""Pixels of a side that a WebP may have (WebP container specification)."""


def kind_of(path: Path) -> str:
    """The ending of a path in small letters. Raises WrongUsage for a kind that is not written."""
    ending = path.suffix.casefold().replace(".tiff", ".tif")
    if ending not in _WRITERS:
        raise WrongUsage(
            f"'{path.name}' names no kind of picture that is written",
            "end it .psd, .ora, .png, .tif or .webp",
        )
    return ending


def write_frame(frame: LayeredFrame, path: Path) -> None:
    """Write the frame beside `path`, synced, and then move it there in one go.

    Raises WrongUsage for a path that cannot be written, DiskFull; nothing half written is left.
    """
    ending = kind_of(path)
    _check_size(frame.size, ending)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            _WRITERS[ending](frame, file)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        if error.errno in (28, 122):  # ENOSPC, EDQUOT
            raise DiskFull(f"there is no room left for {path}", "make room, and run it again") from error
        raise WrongUsage(f"{path} cannot be written ({error.strerror})") from error


def _check_size(size: tuple[int, int], ending: str) -> None:
    largest = {".psd": LARGEST_SIDE, ".webp": LARGEST_WEBP}.get(ending)
    if min(size) < 1:
        raise WrongUsage(f"a frame of {size[0]} x {size[1]} pixels has nothing in it")
    if largest is not None and max(size) > largest:
        raise WrongUsage(f"{ending[1:].upper()} files end at {largest:,} pixels a side", "take .tif or .png")


def _flat(kind: str, **options: object) -> Callable[[LayeredFrame, BinaryIO], None]:
    def write(frame: LayeredFrame, file: BinaryIO) -> None:
        pixels = flatten(frame)
        # a picture without transparency is written without it: printers' programs mind an idle alpha
        image = Image.fromarray(
            pixels if (pixels[..., 3] < 255).any() else np.ascontiguousarray(pixels[..., :3])
        )
        dpi = (frame.resolution, frame.resolution)
        image.save(file, kind, icc_profile=frame.profile, dpi=dpi, **options)

    return write


_WRITERS: dict[str, Callable[[LayeredFrame, BinaryIO], None]] = {
    ".psd": write_psd,
    ".ora": write_openraster,
    ".png": _flat("PNG", compress_level=3),
    ".tif": _flat("TIFF", compression="tiff_adobe_deflate"),
    ".webp": _flat("WEBP", lossless=True, exact=True),
}
