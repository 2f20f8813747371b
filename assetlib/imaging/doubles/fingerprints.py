"""The fingerprint of a drawing: all that finding and checking its doubles needs, in a few kilobytes.

Four kinds of thing are kept. *Documented hashes* (`documented`): imagehash's pHash, 64 bits and 256 bits, of the
trimmed drawing on white. *Views*: low cosine coefficients of the ink of the whole
drawing, of its contours, of twelve crops and of its parts; their signs are the codes that are searched,
and flips and quarter turns of a drawing are sign flips and swaps of its coefficients. *Details*: codes of
local features, by which what is left of a drawing is found anywhere. *A portrait*: a small picture of the
ink and a smaller one of the colours, for checking what the search brings up.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.details import MOST_DETAILS, MOST_OF_PAGE, Details, details_of
from assetlib.imaging.doubles.documented import take_hashes
from assetlib.imaging.doubles.normalise import (
    INK,
    Box,
    Drawing,
    Pixels,
    cut,
    edge_map,
    extent,
    flatten,
    is_two_tone,
    normalise,
    reduce,
    scale_box,
    stretch,
    with_thin_lines,
)
from assetlib.imaging.doubles.orientations import frequency_moves
from assetlib.imaging.doubles.parts import Part, find_parts, with_more
from assetlib.imaging.doubles.seams import parts_along_seams

FINGERPRINT_RECIPE = "assetlib-fingerprint 5"
"""Name and version; another version means that stored fingerprints must be made again."""

CROP_SHARES = (0.05, 0.10, 0.20)
"""Shares of the drawing cut off one side, for each of the four sides."""

PORTRAIT_SIDE = 160
SHEET_SIDE = 288
CROWDED_SIDE = 448
"""Longest side of the portrait of a drawing, of one with many parts, and of one with more than most drawings have."""

COLOUR_SIDE = 32
SHEET_PARTS = 4
CROWDED_PARTS = 7
"""Parts from which a picture is looked at as a sheet, and as a page whose drawings may overlap: on openclipart 23 %
and 12 % of lone drawings have as many, and 99 % and 96 % of made pages."""

_MARGIN = 3  # pixels at work size
_FILLED = 0.985  # of the longer side: looking closer would show nothing new
_DCT_SIDE = 32
_CODED = 127
_LEVELS_PER_RMS = 32
_DEAD_ZONE = 3
"""Coefficients up to this many 32nds of their root mean square count as not positive: those that a
symmetric drawing has near zero keep their bit from copy to copy. Tuned on openclipart."""


class View(IntEnum):
    """What a code was made from."""

    WHOLE = 0
    CONTOUR = 1
    CROP = 2
    PART = 3


@dataclass(frozen=True, slots=True, eq=False)
class Fingerprint:
    """What is kept of one drawing."""

    recipe: str
    size: tuple[int, int]
    """Width and height of the picture, pixels."""
    box: Box | None
    """Where the ink stands in the picture; none where there is next to none."""
    ground: tuple[int, int, int]
    opaque: bool
    two_tone: bool
    """Whether it is hard black and white only."""
    phash: int
    """imagehash.phash of the trimmed drawing, 64 bits."""
    wide_hash: bytes
    """imagehash.phash with hash_size=16 of the same, 32 bytes."""
    kinds: NDArray[np.uint8]
    """(V,) View of each view."""
    boxes: NDArray[np.float32]
    """(V, 4) left, top, right, bottom of each view, shares of the picture."""
    coefficients: NDArray[np.int8]
    """(V, 127) cosine coefficients, 32 to their root mean square."""
    portrait: Pixels
    """(H, W) ink of the trimmed drawing, 0 paper to 255."""
    colours: Pixels
    """(32, 32, 3) the trimmed drawing, stretched."""
    details: Details
    """Of the portrait."""

    @property
    def empty(self) -> bool:
        """Whether there is too little ink to compare."""
        return self.box is None

    def aspects(self) -> NDArray[np.float32]:
        """(V,) natural logarithm of width over height of each view."""
        wide = (self.boxes[:, 2] - self.boxes[:, 0]) * self.size[0]
        high = (self.boxes[:, 3] - self.boxes[:, 1]) * self.size[1]
        return np.asarray(np.log(np.maximum(wide, 1e-6) / np.maximum(high, 1e-6)), dtype=np.float32)

    def to_bytes(self) -> bytes:
        """The fingerprint for storing; ``from_bytes`` reads it back."""
        box = self.box or (0, 0, 0, 0)
        recipe = self.recipe.encode()
        high, wide = self.portrait.shape
        head = _HEAD.pack(
            _MAGIC,
            len(recipe),
            *self.size,
            *box,
            *self.ground,
            self.opaque,
            self.two_tone,
            self.phash,
            self.wide_hash,
            len(self.kinds),
            high,
            wide,
            len(self.details),
        )
        body = (
            self.kinds.tobytes(),
            np.round(self.boxes * _WHOLE).astype("<u2").tobytes(),
            self.coefficients.tobytes(),
            (self.portrait >> 3).tobytes(),
            self.colours.tobytes(),
            self.details.codes.astype("<u8").tobytes(),
            self.details.spots.tobytes(),
        )
        return head + recipe + zlib.compress(b"".join(body), 6)

    @classmethod
    def from_bytes(cls, data: bytes) -> Fingerprint:
        """The fingerprint that ``to_bytes`` wrote; ValueError for anything else."""
        try:
            return cls._read(data)
        except (struct.error, zlib.error, IndexError, UnicodeDecodeError) as problem:
            raise ValueError("not a stored fingerprint") from problem

    @classmethod
    def _read(cls, data: bytes) -> Fingerprint:
        magic, name, *told = _HEAD.unpack_from(data)
        size, box, ground = tuple(told[:2]), tuple(told[2:6]), tuple(told[6:9])
        opaque, two_tone, phash, wide_hash, count, high, wide, details = told[9:]
        if magic != _MAGIC:
            raise ValueError("not a stored fingerprint")
        recipe = data[_HEAD.size : _HEAD.size + name].decode()
        body = zlib.decompress(data[_HEAD.size + name :])
        lengths = (
            count,
            count * 8,
            count * _CODED,
            high * wide,
            COLOUR_SIDE * COLOUR_SIDE * 3,
            details * 16,
            details * 4,
        )
        if len(body) != sum(lengths):
            raise ValueError("not a stored fingerprint: wrong length")
        kinds, boxes, coefficients, portrait, colours, found, spots = _split(body, lengths)
        return cls(
            recipe=recipe,
            size=size,
            box=box if any(box) else None,
            ground=ground,
            opaque=bool(opaque),
            two_tone=bool(two_tone),
            phash=phash,
            wide_hash=wide_hash,
            kinds=np.frombuffer(kinds, np.uint8),
            boxes=(np.frombuffer(boxes, "<u2") / np.float32(_WHOLE)).astype(np.float32).reshape(count, 4),
            coefficients=np.frombuffer(coefficients, np.int8).reshape(count, _CODED),
            portrait=_widened(np.frombuffer(portrait, np.uint8).reshape(high, wide)),
            colours=np.frombuffer(colours, np.uint8).reshape(COLOUR_SIDE, COLOUR_SIDE, 3),
            details=Details(
                np.frombuffer(found, "<u8").astype(np.uint64).reshape(details, 2),
                np.frombuffer(spots, np.uint8).reshape(details, 4),
            ),
        )


_HEAD = struct.Struct("<4sB2I4I3B??Q32sHHHH")
_MAGIC = b"alf3"
_WHOLE = 65535  # of a share of the picture, in 16 bits


def is_sheet(fingerprint: Fingerprint) -> bool:
    """Whether there are so many parts that each may be a drawing of its own."""
    return _part_count(fingerprint) >= SHEET_PARTS


def is_crowded(fingerprint: Fingerprint) -> bool:
    """Whether there are so many parts that it may be a page of drawings that overlap."""
    return _part_count(fingerprint) >= CROWDED_PARTS


def _part_count(fingerprint: Fingerprint) -> int:
    return int((fingerprint.kinds == View.PART).sum())


def _split(body: bytes, lengths: tuple[int, ...]) -> list[bytes]:
    pieces, start = [], 0
    for length in lengths:
        pieces.append(body[start : start + length])
        start += length
    return pieces


def _widened(levels: Pixels) -> Pixels:
    """Five bits spread over 0 to 255."""
    return np.asarray((levels << 3) | (levels >> 2), dtype=np.uint8)


def fingerprint(rgba: Pixels) -> Fingerprint:
    """The fingerprint of a picture (H, W, 4), straight alpha, any size."""
    if rgba.ndim != 3 or rgba.shape[2] != 4 or min(rgba.shape[:2]) < 1:
        raise ValueError(f"a picture must be (H, W, 4), this is {rgba.shape}")
    first = normalise(rgba)
    near, drawing = _closer(rgba, first)
    inner = cut(rgba, near)
    parts = find_parts(drawing)
    if len(parts) >= CROWDED_PARTS:
        finer = with_thin_lines(rgba, first)
        near, drawing = _closer(rgba, finer)
        inner = cut(rgba, near)
        if drawing is not finer:
            drawing = with_thin_lines(inner, drawing)
        parts = find_parts(drawing)
    height, width = inner.shape[:2]
    work = (drawing.ink.shape[1], drawing.ink.shape[0])
    whole = drawing.box or (0, 0, *work)
    fine, ink = _portrait(inner, drawing, whole, _portrait_side(len(parts)))
    if len(parts) >= CROWDED_PARTS:
        parts = with_more(parts, parts_along_seams(drawing))
    portrait = _widened((ink >> 3).astype(np.uint8))
    kinds, boxes, coefficients = _views(ink, drawing.ink.shape, whole, parts)
    phash, wide_hash = take_hashes(fine)
    box = scale_box(whole, width / work[0], height / work[1], (width, height))
    return Fingerprint(
        recipe=FINGERPRINT_RECIPE,
        size=(rgba.shape[1], rgba.shape[0]),
        box=_moved(box, near) if drawing.box else None,
        ground=drawing.ground,
        opaque=bool(int(rgba[..., 3].min()) == 255),
        two_tone=is_two_tone(inner),
        phash=phash,
        wide_hash=wide_hash,
        kinds=kinds,
        boxes=_shares_of(boxes, near, rgba.shape[:2]),
        coefficients=coefficients,
        portrait=portrait,
        colours=stretch(fine, COLOUR_SIDE),
        details=details_of(portrait, MOST_DETAILS if len(parts) < CROWDED_PARTS else MOST_OF_PAGE),
    )


def _portrait_side(parts: int) -> int:
    if parts < SHEET_PARTS:
        return PORTRAIT_SIDE
    return SHEET_SIDE if parts < CROWDED_PARTS else CROWDED_SIDE


def _closer(rgba: Pixels, drawing: Drawing) -> tuple[Box, Drawing]:
    """Where the ink stands in the picture, a margin about it, and the drawing made comparable once more there.

    A copy with more paper round it is looked at as finely as the original, so that both are trimmed alike.
    """
    full = (0, 0, rgba.shape[1], rgba.shape[0])
    if drawing.box is None:
        return full, drawing
    high, wide = drawing.ink.shape
    left, top, right, bottom = drawing.box
    grown = (
        max(left - _MARGIN, 0),
        max(top - _MARGIN, 0),
        min(right + _MARGIN, wide),
        min(bottom + _MARGIN, high),
    )
    near = scale_box(grown, full[2] / wide, full[3] / high, full[2:])
    if max((near[2] - near[0]) / full[2], (near[3] - near[1]) / full[3]) > _FILLED:
        return full, drawing
    closer = normalise(cut(rgba, near), ground=drawing.ground)
    return (full, drawing) if closer.box is None else (near, closer)


def _moved(box: Box, near: Box) -> Box:
    return box[0] + near[0], box[1] + near[1], box[2] + near[0], box[3] + near[1]


def _shares_of(boxes: NDArray[np.float32], near: Box, shape: tuple[int, ...]) -> NDArray[np.float32]:
    """Boxes in shares of a part of the picture, in shares of the picture."""
    span = np.array([near[2] - near[0], near[3] - near[1]] * 2, np.float32)
    start = np.array([near[0], near[1]] * 2, np.float32)
    return np.asarray((start + boxes * span) / np.array([shape[1], shape[0]] * 2, np.float32), np.float32)


def _portrait(rgba: Pixels, drawing: Drawing, box: Box, side: int) -> tuple[Pixels, Pixels]:
    """The trimmed drawing and its ink at portrait size, cut from the full picture where that is finer."""
    from assetlib.imaging.doubles.normalise import ink_map

    high, wide = drawing.ink.shape
    if max(box[2] - box[0], box[3] - box[1]) >= side or max(high, wide) == max(rgba.shape[:2]):
        return reduce(cut(drawing.rgb, box), side), reduce(cut(drawing.ink, box), side)
    ratio = (rgba.shape[1] / wide, rgba.shape[0] / high)
    near = scale_box(box, *ratio, (rgba.shape[1], rgba.shape[0]))
    fine = reduce(flatten(cut(rgba, near)), side)
    return fine, ink_map(fine, drawing.ground)


def _views(
    ink: Pixels, work: tuple[int, ...], whole: Box, parts: list[Part]
) -> tuple[NDArray[np.uint8], NDArray[np.float32], NDArray[np.int8]]:
    share = np.array([work[1], work[0], work[1], work[0]], np.float32)
    kinds = [View.WHOLE, View.CONTOUR]
    boxes = [np.array(whole, np.float32)] * 2
    small = [stretch(ink, _DCT_SIDE), stretch(edge_map(_contour_ground(ink)), _DCT_SIDE)]
    for crop, inner in _crops(ink):
        kinds.append(View.CROP)
        boxes.append(_inside(whole, inner))
        small.append(stretch(crop, _DCT_SIDE))
    for part in parts:
        kinds.append(View.PART)
        boxes.append(np.array(part.box, np.float32))
        small.append(stretch(part.ink, _DCT_SIDE))
    return np.array(kinds, np.uint8), np.stack(boxes) / share, coefficients_of(np.stack(small))


def _contour_ground(ink: Pixels) -> Pixels:
    """The ink with paper round it, so that a shape cut by its own box has a contour there too."""
    return np.asarray(cv2.copyMakeBorder(ink, 2, 2, 2, 2, cv2.BORDER_CONSTANT, value=0), np.uint8)


def _crops(ink: Pixels) -> list[tuple[Pixels, Box]]:
    high, wide = ink.shape
    crops = []
    for share in CROP_SHARES:
        x, y = round(share * wide), round(share * high)
        for box in ((x, 0, wide, high), (0, 0, wide - x, high), (0, y, wide, high), (0, 0, wide, high - y)):
            trimmed = _trim(ink, (box[0], box[1], max(box[2], box[0] + 1), max(box[3], box[1] + 1)))
            crops.append(
                (cut(ink, trimmed), tuple(v / s for v, s in zip(trimmed, (wide, high) * 2, strict=True)))
            )
    return crops


def _trim(ink: Pixels, box: Box) -> Box:
    inner = extent(cut(ink, box) > INK)
    if inner is None:
        return box
    return box[0] + inner[0], box[1] + inner[1], box[0] + inner[2], box[1] + inner[3]


def _inside(whole: Box, inner: tuple[float, ...]) -> NDArray[np.float32]:
    wide, high = whole[2] - whole[0], whole[3] - whole[1]
    return np.array(
        [
            whole[0] + inner[0] * wide,
            whole[1] + inner[1] * high,
            whole[0] + inner[2] * wide,
            whole[1] + inner[3] * high,
        ],
        np.float32,
    )


@lru_cache(maxsize=1)
def frequencies() -> NDArray[np.int64]:
    """(127, 2) the frequencies kept: the lowest 8 x 8 without the mean, then the next 64 outwards."""
    first = [(u, v) for u in range(8) for v in range(8) if (u, v) != (0, 0)]
    beyond = [(u, v) for u in range(16) for v in range(16) if max(u, v) >= 8 and u != v]
    beyond.sort(key=lambda f: (f[0] ** 2 + f[1] ** 2, min(f), f))
    return np.array(first + beyond[:64], dtype=np.int64)


@lru_cache(maxsize=1)
def _cosines() -> NDArray[np.float32]:
    """(16, 32) rows of the orthonormal type-II cosine transform (Ahmed, Natarajan and Rao 1974)."""
    k, n = np.arange(16)[:, None], np.arange(_DCT_SIDE)[None]
    rows = np.cos(np.pi * (2 * n + 1) * k / (2 * _DCT_SIDE)) * np.sqrt(2 / _DCT_SIDE)
    rows[0] /= np.sqrt(2)
    return np.asarray(rows, dtype=np.float32)


def coefficients_of(pictures: Pixels) -> NDArray[np.int8]:
    """(V, 127) levelled cosine coefficients of pictures (V, 32, 32).

    Drawings hold less the higher the frequency, about as 1/f, so each is raised by its frequency.
    """
    cosines, chosen = _cosines(), frequencies()
    full = cosines @ pictures.astype(np.float32) @ cosines.T
    raised = full[:, chosen[:, 0], chosen[:, 1]] * np.hypot(chosen[:, 0], chosen[:, 1]).astype(np.float32)
    rms = np.sqrt(np.mean(raised * raised, axis=1, keepdims=True)) + 1e-6
    return np.asarray(np.clip(np.round(raised * (_LEVELS_PER_RMS / rms)), -127, 127), dtype=np.int8)


def codes_of(coefficients: NDArray[np.int8]) -> NDArray[np.uint64]:
    """(V, 2) codes: 63 bits of the lowest coefficients, 64 bits of the next."""
    bits = np.zeros((len(coefficients), 128), dtype=np.uint8)
    bits[:, 1:] = coefficients > _DEAD_ZONE
    return np.packbits(bits, axis=1).view(">u8").astype(np.uint64)


@lru_cache(maxsize=1)
def _moves() -> tuple[NDArray[np.int64], NDArray[np.int8]]:
    return frequency_moves(frequencies())


def oriented(coefficients: NDArray[np.int8]) -> NDArray[np.int8]:
    """(8, V, 127) coefficients of the views laid in each of the eight orientations."""
    index, sign = _moves()
    return np.stack([coefficients[:, index[o]] * sign[o] for o in range(8)])


def oriented_codes(coefficients: NDArray[np.int8]) -> NDArray[np.uint64]:
    """(8, V, 2) codes of the views laid in each of the eight orientations."""
    return np.stack([codes_of(laid) for laid in oriented(coefficients)])
