"""What a drawing looks like, as a vector, computed in a worker process from the pieces of its originals."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.assembly import PicturePlan, seen
from assetlib.vectors.encoders import DrawingEncoder, open_encoder

STORED = "<f2"
"""How vectors lie in the catalogue: little-endian float16, half the room of what is searched."""


@cache
def _encoder() -> DrawingEncoder:
    """One encoder a worker, on one thread: there are as many workers as cores."""
    return open_encoder(threads=1)


def look(plan: PicturePlan) -> bytes:
    """The vector of a version as it is kept. Raises BadPicture."""
    return _packed(seen(plan))


def look_at_file(path: str, sketch: bool = False) -> bytes:
    """The vector of any picture, kept as in the catalogue; a sketch loses its ground first. Raises BadPicture."""
    from assetlib.imaging.formats import read_picture
    from assetlib.imaging.ink import lift

    picture = read_picture(Path(path), max_side=1600)
    return _packed(lift(picture) if sketch else picture)


def _packed(picture: NDArray[np.uint8]) -> bytes:
    return bytes(_encoder().images([picture])[0].astype(STORED).tobytes())


def unpacked(rows: list[bytes]) -> NDArray[np.float32]:
    """Kept vectors of one model as float32 (N, D)."""
    joined = np.frombuffer(b"".join(rows), STORED).astype(np.float32)
    return joined.reshape(len(rows), -1) if rows else np.zeros((0, 0), np.float32)
