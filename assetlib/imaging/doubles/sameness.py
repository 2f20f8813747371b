"""Whether two pictures are one and the same, looked at closely: what merging without being asked relies on."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.normalise import (
    Box,
    Pixels,
    flatten,
    ground_colour,
    ink_box,
    ink_map,
    is_two_tone,
    reduce,
)

SIDE = 512
"""Longest side, pixels, of the drawn part at which pictures are compared; the smaller one's where that is less."""

SMALLEST_SIDE = 24
"""Drawn parts smaller than this many pixels show too little to be sure of."""

# All bounds below, in levels of 255 unless said otherwise, were tuned on one half of openclipart: series such
# as cards, clocks and flags on one side, saved, resized and padded copies on the other.
LARGEST_STRAY = 45
"""What a pixel may lie outside of the range of the 3 x 3 pixels at its place in the other picture."""

LARGEST_STRAY_BLOCK = 9.0
"""The mean of that in any block, a 24th of the picture wide."""

LARGEST_BLOCK = 14.0
"""Difference of any colour channel's mean in such a block."""

LARGEST_GAIN = 0.06
"""Share by which the ink of the whole may differ in any colour channel: catches recoloured lines."""

LARGEST_SHIFT_OF_INK = 0.20
"""The same in any three by three blocks."""

_GROUND_APART = 6
_ASPECT_APART = 0.03
_MARGIN_SHARE = 0.04
_BLOCKS = 24
_FAINTEST_INK = 12.0
_WARP = 0.03
_WARP_PIXELS = 4.0
_FARTHEST = 6.0

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class _Laid:
    rgb: Pixels
    ground: tuple[int, int, int]
    box: Box

    @property
    def size(self) -> tuple[int, int]:
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


def confirm_same_picture(rgba_a: Pixels, rgba_b: Pixels) -> bool:
    """Whether two pictures (H, W, 4) show the same in every block, ink and colour, once trimmed and aligned.

    Saved again, resized, padded and put from nothing on white they still do, unless little is left of them;
    recoloured, made black and white only, redrawn in part or scanned they do not. Where it cannot be told the
    answer is no. Takes about 40 milliseconds.
    """
    if is_two_tone(rgba_a) != is_two_tone(rgba_b):
        return False
    a, b = _prepared(rgba_a), _prepared(rgba_b)
    if a is None or b is None or not _comparable(a, b):
        return False
    side = min(SIDE, max(a.size), max(b.size))
    one, other = _placed(a, side, a.size), _placed(b, side, a.size)
    return _agrees(one, _aligned(one, other), a.ground)


def _prepared(rgba: Pixels) -> _Laid | None:
    rgb = reduce(flatten(rgba), 2 * SIDE)
    ground = ground_colour(rgb)
    box = ink_box(ink_map(rgb, ground))
    return None if box is None else _Laid(rgb, ground, box)


def _comparable(a: _Laid, b: _Laid) -> bool:
    if max(abs(x - y) for x, y in zip(a.ground, b.ground, strict=True)) > _GROUND_APART:
        return False
    if min(max(a.size), max(b.size)) < SMALLEST_SIDE:
        return False
    play = sum(
        2 / min(sides) for sides in zip(a.size, b.size, strict=True)
    )  # a pixel more or less on either side
    apart = np.log(a.size[0] / a.size[1] * b.size[1] / b.size[0])
    return bool(abs(apart) <= _ASPECT_APART + play)


def _placed(laid: _Laid, side: int, shape: tuple[int, int]) -> Pixels:
    """The drawn part at the size of ``shape`` reduced to ``side``, with a margin of its ground."""
    wide, high = (max(4, round(value * side / max(shape))) for value in shape)
    margin = max(4, round(side * _MARGIN_SHARE))
    scale = wide / laid.size[0], high / laid.size[1]
    full = laid.rgb.shape[1], laid.rgb.shape[0]
    size = max(1, round(full[0] * scale[0])), max(1, round(full[1] * scale[1]))
    way = cv2.INTER_AREA if max(scale) <= 1 else cv2.INTER_LINEAR
    small = cv2.resize(laid.rgb, size, interpolation=way)
    start = laid.box[0] * size[0] / full[0], laid.box[1] * size[1] / full[1]
    matrix = np.array([[1, 0, margin - start[0]], [0, 1, margin - start[1]]], np.float32)
    frame = (wide + 2 * margin, high + 2 * margin)
    paper = [float(value) for value in laid.ground]
    return np.asarray(cv2.warpAffine(small, matrix, frame, borderValue=paper), np.uint8)


def _aligned(one: Pixels, other: Pixels) -> Pixels:
    """The other, moved by what its trimming was off; as it is where no small move fits."""
    soft = [
        cv2.GaussianBlur(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY).astype(np.float32), (0, 0), 1.5)
        for picture in (one, other)
    ]
    stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 30, 1e-4)
    start = np.eye(2, 3, dtype=np.float32)
    try:
        _, warp = cv2.findTransformECC(soft[0], soft[1], start.copy(), cv2.MOTION_AFFINE, stop, None, 1)
    except cv2.error:
        return other
    bent = float(np.abs(warp[:, :2] - np.eye(2)).max())
    if bent > _WARP + _WARP_PIXELS / max(one.shape) or float(np.abs(warp[:, 2]).max()) > _FARTHEST:
        return other
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = (one.shape[1], one.shape[0])
    return np.asarray(
        cv2.warpAffine(other, warp, size, flags=flags, borderMode=cv2.BORDER_REPLICATE), np.uint8
    )


def _agrees(one: Pixels, other: Pixels, ground: tuple[int, int, int]) -> bool:
    a, b = (np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.8), np.uint8) for picture in (one, other))
    block = max(4, max(one.shape) // _BLOCKS)
    stray = np.maximum(_outside(a, b), _outside(b, a)).astype(np.float32)
    if float(stray.max()) >= LARGEST_STRAY or float(_mean(stray, block).max()) >= LARGEST_STRAY_BLOCK:
        return False
    fine = a.astype(np.float32), b.astype(np.float32)
    if float(np.abs(_mean(fine[0], block) - _mean(fine[1], block)).max()) >= LARGEST_BLOCK:
        return False
    paper = np.asarray(ground, np.float32)
    return _same_ink(np.abs(fine[0] - paper), np.abs(fine[1] - paper), 3 * block)


def _outside(one: Pixels, other: Pixels) -> Pixels:
    """How far each pixel lies outside of the range that the other has about that place."""
    near = np.ones((3, 3), np.uint8)
    above, below = cv2.subtract(one, cv2.dilate(other, near)), cv2.subtract(cv2.erode(other, near), one)
    return np.asarray(np.maximum(above, below).max(axis=2), np.uint8)


def _mean(picture: Floats, side: int) -> Floats:
    return np.asarray(cv2.blur(picture, (side, side)), np.float32)


def _same_ink(one: Floats, other: Floats, side: int) -> bool:
    """Whether as much ink of each colour is there, in all and everywhere."""
    whole = one.sum(axis=(0, 1)), other.sum(axis=(0, 1))
    if float(np.abs(whole[0] - whole[1]).max()) >= LARGEST_GAIN * max(float(whole[0].max()), 1.0):
        return False
    near = _mean(one, side), _mean(other, side)
    much = np.maximum(near[0].max(axis=2), near[1].max(axis=2)).clip(_FAINTEST_INK)
    apart = np.abs(near[0] - near[1]).max(axis=2)
    return bool(float((apart / much).max()) < LARGEST_SHIFT_OF_INK)
