"""What a drawing looks like, as a vector, computed in a worker process from the pieces of its originals."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.assembly import PicturePlan, seen
from assetlib.vectors.crop import flatten
from assetlib.vectors.encoders import DrawingEncoder, open_encoder
from assetlib.vectors.stored import packed

_ROOM = 4
"""Memory that a model may take, in sizes of its files: weights kept halved are whole in memory. One of 304 MB took
600 MB for pictures and 840 MB with words; this is half as much again."""


def room_for(size: int) -> int:
    """Bytes of memory that a worker needs for a model beside its pictures, from the bytes of the model's files."""
    return _ROOM * size


@cache
def _encoder(model: str) -> DrawingEncoder:
    """One encoder a worker, on one thread: there are as many workers as cores."""
    return open_encoder(Path(model) if model else None, threads=1)


def look(model: str, plan: PicturePlan) -> bytes:
    """The vector of a version as it is kept, by the model in the folder `model`. Raises BadPicture."""
    return _packed(seen(plan), model)


def look_and_lift(path: str, sketch: bool, model: str = "") -> tuple[bytes, bytes]:
    """The vector of any picture, and its ink to be laid over others, packed bits; a sketch loses its ground first.

    Of a photograph of paper only the paper is looked at. No bits for a picture that is no sketch, or that is blank.
    """
    from assetlib.imaging.formats import read_picture

    picture = read_picture(Path(path), max_side=1600)
    if not sketch:
        return _packed(picture, model), b""
    lifted = _lifted(picture)
    from assetlib.imaging.laying import ink_of

    ink = ink_of(flatten(lifted))
    return _packed(lifted, model), b"" if ink is None else np.packbits(ink).tobytes()


def _lifted(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The ink of a sketch off its paper, the paper found first where it lies in a photograph."""
    from assetlib.imaging import pages
    from assetlib.imaging.cleaning.ink import lift

    page = pages.find_page(picture)
    return lift(picture if page is None else pages.flatten(picture, page))


def _packed(picture: NDArray[np.uint8], model: str) -> bytes:
    return packed(_encoder(model).images([picture])[0])
