"""A version's picture, put together from the pieces of originals that it is made of.

The functions here run in worker processes: they take plain values and paths, and give plain values back.
"""

from __future__ import annotations

import io
import os
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.formats import read_picture

Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """A part of an original: where its bytes are and which of its oriented pixels are meant."""

    path: str
    box: tuple[int, int, int, int]
    page: int = 0
    layer: str | None = None
    resolution: float | None = None
    mask: bytes | None = None
    """1-bit PNG of the size of the box; None takes the whole box."""


@dataclass(frozen=True, slots=True)
class PicturePlan:
    """All pieces of a version, bottom first, and where a file made of it is to be written."""

    pieces: tuple[PiecePlan, ...]
    target: str = ""


def assemble(plan: PicturePlan) -> Pixels:
    """The picture of a version: uint8 (H, W, 4), straight alpha; what a mask leaves out is transparent.

    Raises BadPicture.
    """
    cut = [_cut(piece) for piece in plan.pieces]
    if len(cut) == 1:
        return cut[0]
    left = min(piece.box[0] for piece in plan.pieces)
    top = min(piece.box[1] for piece in plan.pieces)
    right = max(piece.box[0] + piece.box[2] for piece in plan.pieces)
    bottom = max(piece.box[1] + piece.box[3] for piece in plan.pieces)
    whole = Image.new("RGBA", (right - left, bottom - top))
    for piece, pixels in zip(plan.pieces, cut, strict=True):
        layer = Image.fromarray(pixels)
        whole.alpha_composite(layer, (piece.box[0] - left, piece.box[1] - top))
    return np.array(whole)


def _cut(piece: PiecePlan) -> Pixels:
    pixels = _crop(piece)
    if piece.mask is not None:
        pixels[~unpack_mask(piece.mask)] = 0
    return pixels


def _crop(piece: PiecePlan) -> Pixels:
    x, y, w, h = piece.box
    picture = read_picture(piece.path, page=piece.page, layer=piece.layer, resolution=piece.resolution)
    return picture[y : y + h, x : x + w].copy()


def pack_mask(mask: NDArray[np.bool_]) -> bytes:
    """A mask as a 1-bit PNG."""
    buffer = io.BytesIO()
    Image.fromarray(mask).save(buffer, "PNG", optimize=True)
    return buffer.getvalue()


def unpack_mask(data: bytes) -> NDArray[np.bool_]:
    """The mask of a 1-bit PNG: bool (h, w)."""
    return np.array(Image.open(io.BytesIO(data)).convert("1"), dtype=np.bool_)


def assemble_clean(plan: PicturePlan) -> Pixels:
    """The clean copy of a version: its ink on transparent ground, uint8 (H, W, 4), straight alpha.

    A piece that was cut out by a mask is lifted together with the paper around it, which tells what paper is.
    """
    from assetlib.imaging.ink import lift

    (piece, *others) = plan.pieces
    if others or piece.mask is None:
        return lift(assemble(plan))
    return lift(_crop(piece), unpack_mask(piece.mask))


def write_proof(plan: PicturePlan) -> str:
    """Write the proof of a version to the plan's target, synced; returns the target."""
    from assetlib.imaging.previews import encode_proof, reduce_image

    masked = any(piece.mask is not None for piece in plan.pieces)
    image = Image.fromarray(assemble_clean(plan) if masked else assemble(plan))
    return _write(plan.target, encode_proof(reduce_image(image)))


def write_clean(plan: PicturePlan) -> str:
    """Write the clean copy of a version to the plan's target as PNG, synced; returns the target."""
    buffer = io.BytesIO()
    Image.fromarray(assemble_clean(plan)).save(buffer, "PNG")
    return _write(plan.target, buffer.getvalue())


def _write(target: str, data: bytes) -> str:
    with open(target, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    return target
