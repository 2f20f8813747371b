"""A drawing made comparable: on paper, its ink as a map, trimmed to what is drawn.

All pictures here are ``uint8``, rows first. A box is ``(left, top, right, bottom)`` in pixels,
right and bottom exclusive, as Pillow has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]
Box = tuple[int, int, int, int]

WORK_SIDE = 320
"""Longest side, in pixels, at which boxes and parts are found. Tuned on openclipart."""

INK_FLOOR = 0.12
"""Share of the darkest ink under which a pixel is paper: keeps paper grain and JPEG ringing out."""

INK = 60
"""Ink above which a pixel is part of a mark."""

EMPTY_SHARE = 0.0004
"""Share of the picture under which marks are too few to tell one drawing from another."""

SPECK_SHARE = 0.0015
"""A blot with less than this share of all ink does not move the trimmed box (dust on a scan)."""

SPECK_SIDE = 8
"""Longest side in pixels of such a blot, a pixel of margin all round included."""

_CLOSE = np.ones((7, 7), np.uint8)
_FINER = 2
_GROWN = 0.02  # copies of a drawing are to be trimmed alike, whatever their size
_HARD_WITHIN = 8  # levels
_HARD_SHARE = 0.999
_TONES_SIDE = 1000
_BLOT_SHARE = 0.03
_RING_TOLERANCE = 20
_RING_AGREEMENT = 0.8
_LUMA = (0.299, 0.587, 0.114)  # ITU-R BT.601


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture on paper with its ink: ``rgb`` (H, W, 3), ``ink`` (H, W) 0 paper to 255 darkest."""

    rgb: Pixels
    ink: Pixels
    ground: tuple[int, int, int]
    box: Box | None
    """Where the ink stands; none where there is next to none."""


def flatten(rgba: Pixels) -> Pixels:
    """RGB (H, W, 3) of the picture laid on white paper, or on black where white would hide all of it."""
    alpha = np.ascontiguousarray(rgba[..., 3])
    rgb = np.ascontiguousarray(rgba[..., :3])
    if int(alpha.min(initial=255)) == 255:
        return rgb
    alpha3 = cv2.merge([alpha, alpha, alpha])
    darkness = cv2.multiply(cv2.bitwise_not(rgb), alpha3, scale=1 / 255)
    if _white_on_nothing(darkness, alpha):
        return np.asarray(cv2.multiply(rgb, alpha3, scale=1 / 255), dtype=np.uint8)
    return np.asarray(cv2.bitwise_not(darkness), dtype=np.uint8)


def _white_on_nothing(darkness: Pixels, alpha: Pixels) -> bool:
    covered = cv2.mean(alpha)[0]
    return covered > 0 and max(cv2.mean(darkness)[:3]) < 0.02 * covered


def reduce(picture: Pixels, side: int) -> Pixels:
    """The picture with its longest side at most ``side`` pixels, averaged down; smaller ones as they are."""
    height, width = picture.shape[:2]
    scale = side / max(height, width)
    if scale >= 1:
        return picture
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def ground_colour(rgb: Pixels) -> tuple[int, int, int]:
    """The colour the drawing stands on: that of an even border, else the lightest common one."""
    ring = np.concatenate(
        [
            rgb[:2].reshape(-1, 3),
            rgb[-2:].reshape(-1, 3),
            rgb[:, :2].reshape(-1, 3),
            rgb[:, -2:].reshape(-1, 3),
        ]
    )
    middle = np.median(ring, axis=0)
    even = np.abs(ring - middle).max(axis=1) <= _RING_TOLERANCE
    if even.mean() < _RING_AGREEMENT:
        luma = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY)
        light = rgb[luma >= np.percentile(luma, 92)]
        middle = np.median(light, axis=0)
    return int(middle[0]), int(middle[1]), int(middle[2])


def ink_map(rgb: Pixels, ground: tuple[int, int, int]) -> Pixels:
    """How far each pixel stands off the ground, 0 to 255, stretched so that the strongest ink is 255.

    Mostly a difference of lightness; a share of the largest channel difference keeps a drawing whose
    colours are as light as its ground.
    """
    away = cv2.absdiff(rgb, np.full((1, 1, 3), ground, dtype=np.uint8) + np.zeros_like(rgb))
    ground_luma = sum(weight * value for weight, value in zip(_LUMA, ground, strict=True))
    luma = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY).astype(np.float32)
    strength = 0.7 * np.abs(luma - ground_luma) + 0.3 * away.max(axis=2)
    darkest = max(float(np.percentile(strength[::2, ::2], 99.5)), 0.5 * float(strength.max()), 24.0)
    floor = INK_FLOOR * darkest
    return np.asarray(np.clip((strength - floor) * (255 / (darkest - floor)), 0, 255), dtype=np.uint8)


def ink_box(ink: Pixels) -> Box | None:
    """The smallest box round the ink, specks left out; none where there is too little ink."""
    marks = np.asarray(ink > INK, dtype=np.uint8)
    total = int(marks.sum())
    if total < max(6, EMPTY_SHARE * marks.size):
        return None
    near = cv2.dilate(marks, np.ones((3, 3), np.uint8))
    _, _, stats, _ = cv2.connectedComponentsWithStats(near, connectivity=8)
    areas, sides = stats[1:, cv2.CC_STAT_AREA], stats[1:, 2:4].max(axis=1)
    large = areas >= max(9, SPECK_SHARE * near.sum())
    kept = stats[1:][large & ((sides > SPECK_SIDE) | (areas >= _BLOT_SHARE * near.sum()))]
    if len(kept) == 0:
        kept = stats[1:]
    height, width = ink.shape
    left, top = int(kept[:, 0].min()) + 1, int(kept[:, 1].min()) + 1
    right = int((kept[:, 0] + kept[:, 2]).max()) - 1
    bottom = int((kept[:, 1] + kept[:, 3]).max()) - 1
    left, top = (0 if left <= 1 else left), (0 if top <= 1 else top)
    right, bottom = (width if right >= width - 1 else right), (height if bottom >= height - 1 else bottom)
    return (left, top, max(right, left + 1), max(bottom, top + 1))


def extent(marks: NDArray[np.bool_]) -> Box | None:
    """The box of all that is marked; None where nothing is."""
    left, top, wide, high = cv2.boundingRect(marks.astype(np.uint8))
    return (left, top, left + wide, top + high) if wide else None


def largest_group(marks: NDArray[np.bool_]) -> int:
    """How many pixels the largest group of marks has that stand close together."""
    if not marks.any():
        return 0
    _, labels = cv2.connectedComponents(cv2.morphologyEx(marks.astype(np.uint8), cv2.MORPH_CLOSE, _CLOSE))
    return int(np.bincount(labels[marks])[1:].max())


def scale_box(box: Box, scale_x: float, scale_y: float, size: tuple[int, int]) -> Box:
    """The box in a picture scaled by these factors, grown outwards to whole pixels, inside ``size`` (W, H)."""
    left, top = math.floor(box[0] * scale_x), math.floor(box[1] * scale_y)
    right, bottom = math.ceil(box[2] * scale_x), math.ceil(box[3] * scale_y)
    left, top = min(max(left, 0), size[0] - 1), min(max(top, 0), size[1] - 1)
    return (left, top, min(max(right, left + 1), size[0]), min(max(bottom, top + 1), size[1]))


def normalise(rgba: Pixels, side: int = WORK_SIDE, ground: tuple[int, int, int] | None = None) -> Drawing:
    """The drawing on paper at work size, its ink, its ground (found where not given) and the box round its ink."""
    rgb = reduce(flatten(_thinned(rgba, side)), side)
    ground = ground or ground_colour(rgb)
    ink = ink_map(rgb, ground)
    return Drawing(rgb, ink, ground, ink_box(ink))


def with_thin_lines(rgba: Pixels, drawing: Drawing) -> Drawing:
    """The same drawing with lines that are ink at ``_FINER`` times its size as dark as a mark.

    On a page of many drawings the hairlines of one are averaged away at work size, and it falls to pieces.
    """
    high, wide = drawing.ink.shape
    finer = normalise(rgba, _FINER * max(high, wide), drawing.ground).ink
    if finer.shape[0] <= high or finer.shape[1] <= wide:
        return drawing
    darkest = cv2.dilate(finer, np.ones((_FINER, _FINER), np.uint8))
    kept = cv2.resize(darkest, (wide, high), interpolation=cv2.INTER_NEAREST) > INK
    kept &= cv2.dilate(drawing.ink, np.ones((3, 3), np.uint8)) <= INK  # what is there gets no thicker
    ink = np.where(kept, np.uint8(INK + 1), drawing.ink)
    box = ink_box(ink)
    grown = drawing.box is None or np.abs(np.subtract(box or drawing.box, drawing.box)).max() > _GROWN * wide
    return replace(drawing, ink=ink, box=box if grown else drawing.box)


def _thinned(rgba: Pixels, side: int) -> Pixels:
    # Beyond eight times the work size every other pixel adds nothing but time.
    step = max(1, max(rgba.shape[:2]) // (8 * side))
    return rgba if step == 1 else np.ascontiguousarray(rgba[::step, ::step])


def is_two_tone(rgba: Pixels) -> bool:
    """Whether there is hard black and white only, nothing in between; judged by at most about a million pixels."""
    step = max(1, max(rgba.shape[:2]) // _TONES_SIDE)
    rgb = flatten(np.ascontiguousarray(rgba[::step, ::step]))
    hard = (rgb.max(axis=2) <= _HARD_WITHIN) | (rgb.min(axis=2) >= 255 - _HARD_WITHIN)
    return float(hard.mean()) > _HARD_SHARE


def cut(picture: Pixels, box: Box) -> Pixels:
    """The part of the picture inside the box, contiguous."""
    return np.ascontiguousarray(picture[box[1] : box[3], box[0] : box[2]])


def stretch(picture: Pixels, side: int) -> Pixels:
    """The picture at ``side`` x ``side`` pixels, its proportions given up."""
    height, width = picture.shape[:2]
    way = cv2.INTER_AREA if min(height, width) >= side else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(picture, (side, side), interpolation=way), dtype=np.uint8)


def edge_map(ink: Pixels) -> Pixels:
    """Where the ink changes, 0 to 255: faint and strong contours nearly alike, so that a coloured
    drawing and its line version look the same."""
    strength = steepness(ink)
    return np.asarray(255 * strength / (strength + 12.0), dtype=np.uint8)


def steepness(ink: Pixels) -> NDArray[np.float32]:
    """Levels that the ink changes by from one pixel to the next, (H, W)."""
    smooth = cv2.GaussianBlur(ink, (0, 0), 1.0)
    across = cv2.Scharr(smooth, cv2.CV_32F, 1, 0, scale=1 / 32)
    down = cv2.Scharr(smooth, cv2.CV_32F, 0, 1, scale=1 / 32)
    return np.asarray(cv2.magnitude(across, down), np.float32)
