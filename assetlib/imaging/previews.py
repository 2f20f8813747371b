"""Proofs: small pictures of a drawing on paper white."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, WebPImagePlugin

PROOF_SIDE = 512  # pixels of the longest side
PAPER_WHITE = (255, 255, 255)
_QUALITY = 85  # tuned by eye on thin pencil lines: at 75 they grow a halo
_EFFORT = 2  # WebP method: half the time of the default 4 for 4 % more bytes on openclipart
_GAP = 2.0  # whole-number reduction first, down to this many times the wanted size

assert WebPImagePlugin  # registers the writer, without Pillow's search through all its formats


def reduce_image(
    image: Image.Image, side: int = PROOF_SIDE, whole: tuple[int, int] | None = None
) -> Image.Image:
    """The picture with its longest side at most `side`; the picture itself where it is small.

    `whole` is the size of the original, where the picture was reduced from it
    already: the shape is taken from there.
    """
    width, height = whole or image.size
    if max(image.size) <= side:
        return image
    scale = side / max(width, height)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return image.resize(size, Image.Resampling.BICUBIC, reducing_gap=_GAP)


def lay_on_paper(image: Image.Image) -> Image.Image:
    """The picture over paper white, mode RGB or L."""
    if image.mode in ("L", "RGB"):
        return image
    coloured = image.convert("RGBA")
    paper = Image.new("RGB", image.size, PAPER_WHITE)
    paper.paste(coloured, mask=coloured.getchannel("A"))
    return paper


def encode_proof(image: Image.Image) -> bytes:
    """WebP bytes of a reduced picture, laid on paper white."""
    buffer = io.BytesIO()
    lay_on_paper(image).save(buffer, "WEBP", quality=_QUALITY, method=_EFFORT)
    return buffer.getvalue()


def make_proof(pixels: NDArray[np.uint8], side: int = PROOF_SIDE) -> tuple[bytes, tuple[int, int]]:
    """WebP bytes and (width, height) of the proof of a picture, uint8 (H, W, 4)."""
    reduced = reduce_image(Image.fromarray(pixels), side)
    return encode_proof(reduced), reduced.size
