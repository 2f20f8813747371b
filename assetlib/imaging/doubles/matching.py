"""Whether two drawings are doubles, and of what kind, by laying their portraits over each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.fingerprints import Fingerprint, View, codes_of, oriented_codes
from assetlib.imaging.doubles.normalise import Box, Pixels, cut, edge_map, largest_group, stretch

SIDE = 64
"""Pixels a side at which drawings are laid over each other."""

_MARGIN = 8
_BLOCK = 8
_HYPOTHESES = 3
_ASPECT_GATE = 0.30
_PLAIN_COVER = 0.85
_CONTOUR = 110
_DENSEST = 0.8
_FARTHEST = 46
"""Bits of 127 by which two views of doubles differ at most."""

LEAST_ALIKE, LEAST_ALIKE_CONTOUR, LEAST_ALIKE_PART = 0.55, 0.68, 0.85
"""Correlation of the softened ink, contours, and ink of a part, as they lie, under which no affine map makes them
agree: on openclipart nine of ten wrong pairs are under it, and one of a hundred doubles. Fitting takes most of the
time."""

FRAME = 0.2
"""Share of a picture on each side that is the frame of a sign or a card."""

_FEW_INSIDE = 40  # pixels of contour
Contours = tuple[NDArray[np.bool_], NDArray[np.bool_]]
_FINE_FRAME = 2 * _MARGIN + round(2 * SIDE * FRAME)
# Tuned on openclipart: copies with another line weight stay below, those with a part erased above.
_STRAY_SHARE = 0.02
_FINE_STRAY_SHARE = 0.04
_FINE_STRAY_OF_ALL = 0.7


class DoubleKind(StrEnum):
    """How two drawings belong together."""

    SAME_FILE = "same-file"
    SAME_PICTURE = "same-picture"
    SAME_DRAWING = "same-drawing"
    FAMILY = "family"
    PERHAPS_FAMILY = "perhaps-family"
    CONTAINED = "contained"


@dataclass(frozen=True, slots=True)
class PairVerdict:
    """What one drawing is to another, by what was done to it, and how sure that is (0 to 1)."""

    kind: DoubleKind
    how: tuple[str, ...]
    score: float
    box: Box | None = None
    """Where the first stands in the second, pixels of the second; only for contained."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """That view ``mine`` of the first, laid in an orientation, is view ``theirs`` of the second."""

    orientation: int
    mine: int
    theirs: int
    distance: int


@dataclass(frozen=True, slots=True)
class Agreement:
    """How two pictures agree once laid over each other; correlations from -1 to 1."""

    ink: float
    contour: float
    ink_most: float
    """Ink, the worst fifth of the blocks left out."""
    contour_most: float
    worst: float
    """Largest difference of ink in a block, 0 to 1."""
    covered: float
    """Share of the first one's contour that the second has too."""
    covers: float
    """Share of the second one's contour that the first has too."""
    detail: float
    """Share of the picture that is contour, in the poorer one."""
    moved: float
    """Largest entry of the affine map off the identity."""
    angle: float
    """Degrees the second is turned, anticlockwise."""
    warp: NDArray[np.float32]
    """(2, 3) from places in the first to places in the second, both framed at SIDE."""


def hypotheses(a: Fingerprint, b: Fingerprint, most: int = _HYPOTHESES) -> list[Hypothesis]:
    """The likeliest ways in which one is the other or a part of it, best first."""
    mine, theirs = oriented_codes(a.coefficients), codes_of(b.coefficients)
    apart = np.bitwise_count(mine[:, :, None, :] ^ theirs[None, None]).sum(axis=3).astype(np.int64)
    aspect_a, aspect_b = a.aspects(), b.aspects()
    laid = np.stack([aspect_a] * 4 + [-aspect_a] * 4)
    apart[np.abs(laid[:, :, None] - aspect_b[None, None]) > _ASPECT_GATE] = 1000
    apart += np.where(_comparable(a.kinds, b.kinds), 0, 1000)[None]
    order = np.argsort(apart, axis=None, kind="stable")[:most]
    places = np.stack(np.unravel_index(order, apart.shape), axis=1).tolist()
    return [Hypothesis(o, i, j, int(apart[o, i, j])) for o, i, j in places if apart[o, i, j] <= _FARTHEST]


def _comparable(mine: NDArray[np.uint8], theirs: NDArray[np.uint8]) -> NDArray[np.bool_]:
    whole = (mine == View.WHOLE)[:, None], (theirs == View.WHOLE)[None]
    contour = (mine == View.CONTOUR)[:, None] & (theirs == View.CONTOUR)[None]
    other = (theirs != View.CONTOUR)[None], (mine != View.CONTOUR)[:, None]
    return np.asarray(contour | (whole[0] & other[0]) | (whole[1] & other[1]))


def view_of(fingerprint: Fingerprint, view: int) -> Pixels:
    """The ink of one view, cut from the portrait."""
    whole, box = fingerprint.boxes[0], fingerprint.boxes[view]
    high, wide = fingerprint.portrait.shape
    span = np.maximum(whole[2:] - whole[:2], 1e-6)
    near = np.concatenate([(box[:2] - whole[:2]) / span, (box[2:] - whole[:2]) / span]) * [
        wide,
        high,
        wide,
        high,
    ]
    left, top = min(max(round(near[0]), 0), wide - 1), min(max(round(near[1]), 0), high - 1)
    return cut(fingerprint.portrait, (left, top, max(left + 1, round(near[2])), max(top + 1, round(near[3]))))


def evened(ink: Pixels) -> Pixels:
    """The ink with its darkest at 255: a pale drawing is paler still beside the dark ones of a sheet."""
    darkest = float(np.percentile(ink, 99.5))
    return np.asarray(np.clip(ink * (255 / max(darkest, 32.0)), 0, 255), np.uint8)


def lay_over(first: Pixels, second: Pixels, by_contour: bool, least: float) -> Agreement | None:
    """How two ink pictures agree: stretched to one size, shifted, then fitted by an affine map.

    None where they correlate less than ``least`` once shifted.
    """
    one, other = _framed(first), _framed(second)
    fitted = (edge_map(one), edge_map(other)) if by_contour else (one, other)
    warp = _affine(_soft(fitted[0]), _soft(fitted[1]), least)
    if warp is None:
        return None
    moved = _warped(other, warp)
    return _agreement(one, moved, fitted[0] if by_contour else edge_map(one), edge_map(moved), warp)


def _framed(ink: Pixels, finer: int = 1) -> Pixels:
    small = stretch(ink, SIDE * finer)
    return np.asarray(
        cv2.copyMakeBorder(small, *(_MARGIN * finer,) * 4, cv2.BORDER_CONSTANT, value=0), dtype=np.uint8
    )


def _soft(picture: Pixels) -> NDArray[np.float32]:
    return np.asarray(cv2.GaussianBlur(picture.astype(np.float32), (0, 0), 1.5), dtype=np.float32)


def _affine(one: NDArray[np.float32], other: NDArray[np.float32], least: float) -> NDArray[np.float32] | None:
    """The map (2, 3) that takes places in one to places in the other; a plain shift where none fits."""
    inner = one[_MARGIN:-_MARGIN, _MARGIN:-_MARGIN]
    scores = cv2.matchTemplate(other, np.ascontiguousarray(inner), cv2.TM_CCOEFF_NORMED)
    _, best, _, place = cv2.minMaxLoc(scores[4:13, 4:13])
    if best < least:
        return None
    shift = np.array([[1, 0, place[0] - 4], [0, 1, place[1] - 4]], dtype=np.float32)
    stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 30, 3e-4)
    try:
        _, warp = cv2.findTransformECC(one, other, shift.copy(), cv2.MOTION_AFFINE, stop, None, 1)
    except cv2.error:
        return shift
    plausible = float(np.abs(warp[:, :2] - np.eye(2)).max()) < 0.35
    return np.asarray(warp if plausible else shift, dtype=np.float32)


def _warped(picture: Pixels, warp: NDArray[np.float32]) -> Pixels:
    size = (picture.shape[1], picture.shape[0])
    return np.asarray(
        cv2.warpAffine(picture, warp, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP), np.uint8
    )


def _agreement(
    one: Pixels, other: Pixels, contour: Pixels, their_contour: Pixels, warp: NDArray[np.float32]
) -> Agreement:
    pair = cv2.GaussianBlur(one, (0, 0), 0.8), cv2.GaussianBlur(other, (0, 0), 0.8)
    soft = cv2.GaussianBlur(contour, (0, 0), 0.8), cv2.GaussianBlur(their_contour, (0, 0), 0.8)
    covered, covers, detail = _coverage(contour, their_contour)
    ink, ink_most, worst = _correlations(*pair)
    edge, edge_most, _ = _correlations(*soft)
    return Agreement(
        ink,
        edge,
        ink_most,
        edge_most,
        worst,
        covered,
        covers,
        detail,
        float(np.abs(warp[:, :2] - np.eye(2)).max()),
        math.degrees(math.atan2(warp[0, 1], warp[0, 0])),
        warp,
    )


def _correlations(one: Pixels, other: Pixels) -> tuple[float, float, float]:
    """Correlation of all, of all but the worst fifth of the blocks, and the worst block's difference."""
    a, b = _blocks(one), _blocks(other)
    inked = np.flatnonzero((a.max(axis=1) > 40) | (b.max(axis=1) > 40))
    if len(inked) < 4:
        return 0.0, 0.0, 1.0
    a, b = a[inked], b[inked]
    gap = np.abs(a - b).mean(axis=1)
    kept = np.argsort(gap, kind="stable")[: max(4, round(0.8 * len(inked)))]
    worst = float(np.abs(a.mean(axis=1) - b.mean(axis=1)).max()) / 255
    return _correlation(a, b), _correlation(a[kept], b[kept]), worst


def _blocks(picture: Pixels) -> NDArray[np.float32]:
    rows, columns = picture.shape[0] // _BLOCK, picture.shape[1] // _BLOCK
    tiles = picture.reshape(rows, _BLOCK, columns, _BLOCK).swapaxes(1, 2)
    return tiles.reshape(rows * columns, _BLOCK * _BLOCK).astype(np.float32)


def _correlation(one: NDArray[np.float32], other: NDArray[np.float32]) -> float:
    a, b = one - one.mean(), other - other.mean()
    size = math.sqrt(float((a * a).sum()) * float((b * b).sum()))
    return float((a * b).sum()) / size if size > 1 else 0.0


def _coverage(contour: Pixels, theirs: Pixels) -> tuple[float, float, float]:
    mine, other = contour > _CONTOUR, theirs > _CONTOUR
    near = cv2.dilate(np.stack([mine, other], axis=2).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    counts = int(mine.sum()), int(other.sum())
    covered = float((mine & near[..., 1]).sum()) / max(1, counts[0])
    covers = float((other & near[..., 0]).sum()) / max(1, counts[1])
    chance = near.mean(axis=(0, 1))
    return _beyond(covered, chance[1]), _beyond(covers, chance[0]), min(counts) / (SIDE * SIDE)


def _beyond(share: float, chance: float) -> float:
    """The share less what dense hatching would cover by chance, 1 where all is covered."""
    return max(0.0, (share - float(chance)) / max(1e-6, 1 - float(chance)))


def is_stray(mine: NDArray[np.bool_], theirs: NDArray[np.bool_]) -> bool:
    """Whether two contours (H, W) are apart in one place far more than elsewhere.

    A line that is thicker all over strays by a pixel all over, a loaf drawn anew in one place.
    """
    if largest_stray(mine, theirs, 2)[0] >= _STRAY_SHARE:
        return True
    share, of_all = largest_stray(mine, theirs, 1)
    return share >= _FINE_STRAY_SHARE and of_all >= _FINE_STRAY_OF_ALL


def met_finely(contours: Contours) -> float:
    """Share of its fine contour that each of two ink pictures has in common with the other, the lesser of the two.

    Less what would be met by chance. A coloured shape has one contour where its line has two: these are close enough
    here, and shade and fill do not matter.
    """
    shares = shares_met(contours)
    return min(shares) if shares else 0.0


def met_inside(contours: Contours) -> float:
    """The same for the middle of two ink pictures alone, the greater of the two shares; 1 where hardly a line is.

    Signs, cards and dials of a series have their frame in common and nothing within; of a drawing that was altered
    what is left within is still the other's.
    """
    if any(_few_inside(contour) for contour in contours):
        return 1.0
    shares = shares_met(contours, _FINE_FRAME)
    return max(shares) if shares else 1.0


def is_bare_inside(ink: Pixels) -> bool:
    """Whether the middle of an ink picture has hardly a line: slabs, frames and discs, whatever their edge."""
    return _few_inside(edge_map(_framed(ink, 2)) > _CONTOUR)


def _few_inside(contour: NDArray[np.bool_]) -> bool:
    return int(contour[_FINE_FRAME:-_FINE_FRAME, _FINE_FRAME:-_FINE_FRAME].sum()) < _FEW_INSIDE


def shares_met(contours: Contours, edge: int = 2 * _MARGIN) -> list[float]:
    """Share of each contour that the other meets, less ``edge`` pixels all round; none where any line would be met."""
    inner = [contour[edge:-edge, edge:-edge] for contour in contours]
    near = [cv2.dilate(contour.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0 for contour in inner]
    if max(float(other.mean()) for other in near) > _DENSEST:
        return []
    return [
        _beyond(int((contour & other).sum()) / max(1, int(contour.sum())), float(other.mean()))
        for contour, other in zip(inner, reversed(near), strict=True)
    ]


def lay_finely(first: Pixels, second: Pixels, warp: NDArray[np.float32]) -> tuple[Pixels, Pixels]:
    """Two ink pictures laid over each other by ``warp``, the map of ``lay_over``, framed, at twice SIDE.

    A tray of thin line holds little ink, and blocks of ink miss it.
    """
    finer = warp * np.float32(1)
    finer[:, 2] = 2 * warp[:, 2] + 0.5 * (
        warp[:, :2].sum(axis=1) - 1
    )  # pixels are counted from their middles
    return _framed(first, 2), _warped(_framed(second, 2), finer)


def contours_of(first: Pixels, second: Pixels) -> Contours:
    """Contours of two ink pictures."""
    return edge_map(first) > _CONTOUR, edge_map(second) > _CONTOUR


def largest_stray(mine: NDArray[np.bool_], theirs: NDArray[np.bool_], reach: int) -> tuple[float, float]:
    """The largest group of contour farther than ``reach`` pixels from the other's: of all contour, of all such."""
    around = np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)
    near = [cv2.dilate(contour.astype(np.uint8), around) > 0 for contour in (mine, theirs)]
    stray = (mine & ~near[1]) | (theirs & ~near[0])
    if not stray.any():
        return 0.0, 0.0
    largest = largest_group(stray)
    return largest / int((mine | theirs).sum()), largest / int(stray.sum())


@lru_cache(maxsize=1)
def _plain_shapes() -> tuple[Pixels, ...]:
    """Disc, ring, slab and frame: what many unrelated drawings share."""
    shapes = []
    for weight in (-1, 8, 18, 32):
        disc, slab = np.zeros((2, 256, 256), np.uint8)
        cv2.circle(disc, (128, 128), 100, 255, weight)
        cv2.rectangle(slab, (28, 28), (228, 228), 255, weight)
        reach = 100 + max(0, weight // 2)
        box = (128 - reach, 128 - reach, 129 + reach, 129 + reach)
        shapes += [_framed(cut(disc, box)), _framed(cut(slab, box))]
    return tuple(shapes)


def is_plain(ink: Pixels) -> bool:
    """Whether an ink picture is hardly more than a disc, a ring, a slab or a frame."""
    contour = edge_map(_framed(ink))
    return any(min(_coverage(contour, edge_map(shape))[:2]) > _PLAIN_COVER for shape in _plain_shapes())
