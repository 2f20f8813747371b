"""A frame into a file of the kind that its ending names."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging.layering.flat import write_png, write_tiff, write_webp
from assetlib.imaging.layering.layers import LayeredFrame
from assetlib.imaging.layering.openraster import write_openraster
from assetlib.imaging.layering.psd import LARGEST_SIDE, write_psd

LAYERED = frozenset({".psd", ".ora"})
SHALLOW = frozenset({".webp"})
"""Kinds that have 8 bits a channel and no more."""
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


_WRITERS: dict[str, Callable[[LayeredFrame, BinaryIO], None]] = {
    ".psd": write_psd,
    ".ora": write_openraster,
    ".png": write_png,
    ".tif": write_tiff,
    ".webp": write_webp,
}
