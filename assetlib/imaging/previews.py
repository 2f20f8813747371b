"""Proofs: small pictures of a drawing on paper white."""

from __future__ import annotations

import io

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, WebPImagePlugin

PROOF_SIDE = 512  # pixels of the longest side
_QUALITY = 85  # tuned by eye on thin pencil lines: at 75 they grow a halo
_EFFORT = 0  # WebP method: a third less time than at 2, the same to the eye, 29 % more bytes on openclipart

assert WebPImagePlugin  # registers the writer, without Pillow's search through all its formats

Pixels = NDArray[np.uint8]


def reduce_pixels(pixels: Pixels, side: int = PROOF_SIDE, whole: tuple[int, int] | None = None) -> Pixels:
    """The picture, uint8 (H, W, 4) with straight alpha, its longest side at most `side`; itself where it is small.

    `whole` is the (width, height) of the original, where the picture was reduced from it already: the
    shape is taken from there.
    """
    height, width = pixels.shape[:2]
    if max(width, height) <= side:
        return pixels
    width, height = whole or (width, height)
    scale = side / max(width, height)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    # multiplied by alpha first, or colour hidden under transparency would show at the edges
    mixed = cv2.cvtColor(pixels, cv2.COLOR_RGBA2mRGBA)
    small = cv2.resize(mixed, size, interpolation=cv2.INTER_AREA)
    return np.asarray(cv2.cvtColor(small, cv2.COLOR_mRGBA2RGBA), np.uint8)


def reduce_image(image: Image.Image, side: int = PROOF_SIDE) -> Image.Image:
    """The same of a Pillow picture; what is small is given back as it is."""
    if max(image.size) <= side:
        return image
    return Image.fromarray(reduce_pixels(np.asarray(image.convert("RGBA")), side))


def lay_on_paper(pixels: Pixels) -> Pixels:
    """The picture, uint8 (H, W, 4), over paper white: (H, W, 3)."""
    mixed = cv2.cvtColor(pixels, cv2.COLOR_RGBA2mRGBA)
    bare = cv2.bitwise_not(mixed[..., 3])
    return np.asarray(cv2.add(cv2.cvtColor(mixed, cv2.COLOR_RGBA2RGB), cv2.merge([bare] * 3)), np.uint8)


def encode_pixels(pixels: Pixels) -> bytes:
    """WebP bytes of a reduced picture, uint8 (H, W, 4), laid on paper white."""
    buffer = io.BytesIO()
    Image.fromarray(lay_on_paper(pixels)).save(buffer, "WEBP", quality=_QUALITY, method=_EFFORT)
    return buffer.getvalue()


def encode_proof(image: Image.Image) -> bytes:
    """The same of a Pillow picture."""
    return encode_pixels(np.asarray(image.convert("RGBA")))
