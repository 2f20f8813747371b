"""A drawing as the model sees it: its ink only, on paper white, square."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

SIDE = 192  # pixels; the resolution the shipped model was trained at
MARGIN = 0.06  # of the side, left free on each side; as in training
_PAPER = 255
_SEEN = 12  # levels of grey off the paper from which a pixel counts as ink
_DOWNSIZE_FIRST = 2048  # longest side above which the picture is halved coarsely before the ink is looked for


def crop_to_ink(picture: NDArray[np.uint8], side: int = SIDE) -> NDArray[np.uint8]:
    """The ink on white, uint8 (side, side, 3), from uint8 (H, W, 4) with straight alpha.

    A drawing without ink comes back as blank paper.
    """
    flat = flatten(picture)
    box = ink_box(flat)
    out = np.full((side, side, 3), _PAPER, np.uint8)
    if box is None:
        return out
    left, top, right, bottom = box
    ink = flat[top:bottom, left:right]
    height, width = ink.shape[:2]
    scale = side * (1 - 2 * MARGIN) / max(height, width)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = cv2.resize(ink, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
    x, y = (side - size[0]) // 2, (side - size[1]) // 2
    out[y : y + size[1], x : x + size[0]] = small
    return out


def flatten(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture on white paper, uint8 (H, W, 3), made smaller first if it is very large."""
    longest = max(picture.shape[:2])
    if longest > _DOWNSIZE_FIRST:
        step = int(np.ceil(longest / _DOWNSIZE_FIRST))
        size = (max(1, picture.shape[1] // step), max(1, picture.shape[0] // step))
        picture = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
    alpha = cv2.extractChannel(picture, 3)
    if cv2.minMaxLoc(alpha)[0] == _PAPER:
        return np.ascontiguousarray(picture[..., :3])
    cover = cv2.merge([alpha, alpha, alpha])
    # Rounded like value * cover / 255, then the paper that is left over is added.
    inked = cv2.multiply(np.ascontiguousarray(picture[..., :3]), cover, scale=1 / _PAPER)
    return np.asarray(cv2.add(inked, cv2.bitwise_not(cover)), np.uint8)


def ink_box(flat: NDArray[np.uint8]) -> tuple[int, int, int, int] | None:
    """Left, top, right, bottom of everything that is not paper white; None for a blank sheet."""
    red, green, blue = cv2.split(flat)
    seen = cv2.compare(cv2.min(cv2.min(red, green), blue), _PAPER - _SEEN, cv2.CMP_LT)
    left, top, width, height = cv2.boundingRect(seen)
    return (left, top, left + width, top + height) if width else None
