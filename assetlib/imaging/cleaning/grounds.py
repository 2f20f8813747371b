"""What a drawing stands on: its kind, and the paper's colour at every pixel.

Paper is modelled as one colour times a smooth shading (lamp, book gutter,
vignette). Everything that departs from it by more than its own noise is ink.
"""

from __future__ import annotations

import enum
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.tones import find_tones

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

LUMINANCE = np.array([0.299, 0.587, 0.114], np.float32)  # ITU-R BT.601
SAMPLE_SIDE = 768  # longest side, pixels, of the sample that paper is judged from
BLOCKS = 48  # blocks along the longest side; shading is smooth at this scale
EVEN_WITHIN = 2.5  # levels that a fit wobbles by over evenly lit paper with ink on it
SATURATED_FROM = 250.0  # levels of paper from which noise is cut off at white
THREE_CHANNELS = 1.25  # the largest of three noisy channels against one, half of the noise shared
ONE_VALUE = 0.35  # share of pixels with exactly one value that no scan of shaded paper has
BORDER_WEIGHT = 12.0  # a block at the border counts so often: drawings keep off the edge
MODE_STEP = 8  # levels per histogram bin when the paper's colour is looked for
MODE_REACH = 0.22  # share of the paper's brightness that shading may take, first pass
DEEP_REACH = 0.40  # the same where shading is followed from block to block
EMPTY_ALPHA = 8  # alpha (of 255) up to which a pixel counts as empty
EMPTY_SHARE = 0.01  # share of empty pixels from which a ground counts as transparent
WHITE_FROM, WHITE_TINT = (
    234.0,
    8.0,
)  # darkest channel, and difference of channels, of paper that counts as white
DARK_BELOW = 96.0  # luminance under which a flat ground counts as dark
PAPER_CHROMA = 0.50  # (max-min)/max of the strongest kraft paper; tuned on made scans
PAPER_SHARE = 0.18  # share of blocks that must be bare for a ground to be paper
GROWTH = 24  # rounds, each one block, in which steep shading is followed from the bare blocks
NEXT_STEP = 0.05  # share of brightness that shading may change by within one block
FLAT_SPREAD = 12.0  # levels of spread within a block of bare paper
_CROSS = np.ones((3, 3), np.uint8)
BORDER_SHARE = 0.42  # the same along the border
MOST_SHARE = 0.7  # the same where the border is not


class Ground(enum.StrEnum):
    """What the drawing stands on."""

    TRANSPARENT = "transparent"
    WHITE = "white paper"
    OFF_WHITE = "off-white paper"
    FULL = "full picture"
    DARK = "dark ground"


@dataclass(frozen=True, slots=True)
class Paper:
    """The bare ground: one colour and its shading.

    `colour` is float32 (3,), levels 0-255. `shading` is float32 (H, W) or
    (H, W, 3), 1.0 where the paper has `colour`, or None where it is even.
    `grain` is the paper's noise, one standard deviation, in levels.
    """

    colour: Floats
    shading: Floats | None
    grain: float

    def flatten(self, rgb: Pixels) -> Floats:
        """The picture as if the paper were evenly lit; float32 (H, W, 3), levels."""
        flat = rgb.astype(np.float32)
        if self.shading is not None:
            flat /= self.shading
        return flat

    def field(self, shape: tuple[int, int]) -> Floats:
        """The bare paper, shading included; float32 (H, W, 3), levels."""
        bare = np.broadcast_to(self.colour, (*shape, 3)).astype(np.float32)
        return bare if self.shading is None else bare * self.shading


@dataclass(frozen=True, slots=True)
class _Blocks:
    """Median colour and spread of every block of a picture, and which are border."""

    median: Floats  # (rows, columns, 3)
    spread: Floats  # (rows, columns)
    border: Mask  # (rows, columns)


def largest(channels: Floats) -> Floats:
    """The largest of three channels, (..., 3) to (...); much faster than a maximum along a short axis."""
    return np.asarray(np.maximum(np.maximum(channels[..., 0], channels[..., 1]), channels[..., 2]))


def largest_apart(one: Floats, other: Floats) -> Floats:
    """How far two colours are apart in the channel that differs most, (..., 3) to (...), levels."""
    return largest(np.abs(one - other))


def judge_ground(rgba: Pixels) -> Ground:
    """What kind of ground the picture has; `rgba` is uint8 (H, W, 4), straight alpha."""
    if np.count_nonzero(rgba[..., 3] <= EMPTY_ALPHA) >= EMPTY_SHARE * rgba[..., 3].size:
        return Ground.TRANSPARENT
    blocks = _measure_blocks(_sample(rgba[..., :3]))
    colour = _paper_colour(blocks)
    if not _is_paper(blocks, colour):
        # a dark sheet may lie on a scanner's white, which then is the border
        is_dark = float(colour @ LUMINANCE) < DARK_BELOW
        return Ground.DARK if is_dark and _flat_paper(blocks, colour).mean() >= MOST_SHARE else Ground.FULL
    if float(colour @ LUMINANCE) < DARK_BELOW:
        return Ground.DARK
    return Ground.WHITE if _is_white(colour) else Ground.OFF_WHITE


def estimate_paper(rgb: Pixels) -> Paper:
    """The paper under a drawing, from its bare places; `rgb` is uint8 (H, W, 3)."""
    sample = _sample(rgb)
    blocks = _measure_blocks(sample)
    colour = _paper_colour(blocks)
    field = _fit_field(blocks, colour)
    bare, grain = _bare_pixels(sample, field)
    if not bare.any():
        return Paper(colour, None, 1.0)
    if float(np.ptp(field.reshape(-1, 3), axis=0).max()) < EVEN_WITHIN or _is_one_value(sample):
        return Paper(_exact_colour(sample[bare]), None, grain)
    tones = find_tones(rgb)
    if tones.mask.any():
        field = _fit_field(blocks, colour, ~tones.hide(blocks.spread.shape))
    field = _follow_bare_places(sample, field, grain, tones.hide(sample.shape))
    lightest = np.quantile(field.reshape(-1, 3), 0.98, axis=0).astype(np.float32)
    shading = _enlarge(field / lightest, rgb.shape[:2])
    return Paper(lightest, np.maximum(shading, 0.05), grain)


def _sample(rgb: Pixels) -> Pixels:
    """Every n-th pixel: unlike averaging, keeps paper and ink apart and grain as it is."""
    step = max(1, -(-max(rgb.shape[:2]) // SAMPLE_SIDE))
    return np.ascontiguousarray(rgb[step // 2 :: step, step // 2 :: step])


def _measure_blocks(sample: Pixels) -> _Blocks:
    height, width = sample.shape[:2]
    side = max(4, max(height, width) // BLOCKS)
    rows, columns = max(1, height // side), max(1, width // side)
    fitted = cv2.resize(sample, (columns * side, rows * side), interpolation=cv2.INTER_NEAREST)
    cells = fitted.reshape(rows, side, columns, side, 3).swapaxes(1, 2).reshape(rows, columns, -1, 3)
    median = np.median(cells, axis=2).astype(np.float32)
    spread = np.median(largest(np.abs(cells - median[:, :, None])), axis=2).astype(np.float32)
    border = np.ones((rows, columns), bool)
    border[1:-1, 1:-1] = False
    return _Blocks(median, spread, border)


def _paper_colour(blocks: _Blocks) -> Floats:
    """The colour that most blocks share, or the white along the border where that colour is no paper; float32 (3,).

    A painted drawing may fill its page so well that its own colour is the commonest.
    """
    colour = _commonest(blocks)
    if not _is_paper(blocks, colour):
        along = _commonest(blocks, within=0.0)
        if _is_white(along) and _is_paper(blocks, along):
            return along
    return colour


def _is_white(colour: Floats) -> bool:
    return bool(np.ptp(colour) <= WHITE_TINT and colour.min() >= WHITE_FROM)


def _commonest(blocks: _Blocks, within: float = 1.0) -> Floats:
    """The colour that most blocks share, border blocks counting more and those `within` so often; float32 (3,)."""
    colours = blocks.median.reshape(-1, 3)
    weights = np.where(blocks.border, BORDER_WEIGHT, within).ravel()
    bins = np.minimum(colours // MODE_STEP, 31).astype(np.int64)
    histogram = np.zeros((32, 32, 32), np.float32)
    np.add.at(histogram, tuple(bins.T), weights)
    for axis in (0, 1, 2, 0, 1, 2):
        histogram = _spread_along(histogram, axis)
    peak = np.array(np.unravel_index(int(histogram.argmax()), histogram.shape))
    near = np.abs(bins - peak).max(axis=1) <= 1
    if not near.any():
        return np.full(3, 255, np.float32)
    return np.asarray(np.median(colours[near], axis=0), np.float32)


def _spread_along(histogram: Floats, axis: int) -> Floats:
    spread = histogram.copy()
    lower = [slice(None)] * 3
    upper = [slice(None)] * 3
    lower[axis], upper[axis] = slice(None, -1), slice(1, None)
    spread[tuple(upper)] += histogram[tuple(lower)]
    spread[tuple(lower)] += histogram[tuple(upper)]
    return spread


def _near_paper(blocks: _Blocks, colour: Floats, reach: float = MODE_REACH) -> Mask:
    """Blocks that may be the paper in light or shade: same hue, not too dark; (rows, columns)."""
    ratio = blocks.median / np.maximum(colour, 4.0)
    level = ratio.mean(axis=2)
    tint = ratio.max(axis=2) - ratio.min(axis=2)
    return np.asarray((np.abs(level - 1) < reach) & (tint < 0.08))


def _flat_paper(blocks: _Blocks, colour: Floats, reach: float = MODE_REACH) -> Mask:
    """Of the blocks that may be the paper those that nothing is drawn in; (rows, columns)."""
    return np.asarray(_near_paper(blocks, colour, reach) & (blocks.spread < FLAT_SPREAD))


def _is_paper(blocks: _Blocks, colour: Floats) -> bool:
    near = _flat_paper(blocks, colour)
    chroma = float((colour.max() - colour.min()) / max(float(colour.max()), 1.0))
    enough = near.mean() >= PAPER_SHARE and near[blocks.border].mean() >= BORDER_SHARE
    return bool(enough and (chroma <= PAPER_CHROMA or colour.max() < DARK_BELOW))


def _terms(rows: int, columns: int) -> Floats:
    """Polynomial terms up to the third degree at block centres; float32 (rows*columns, 10)."""
    y, x = np.meshgrid(np.linspace(-1, 1, rows), np.linspace(-1, 1, columns), indexing="ij")
    powers = [x**i * y**j for i in range(4) for j in range(4 - i)]
    return np.stack([p.ravel() for p in powers], axis=1).astype(np.float32)


def _fit_field(blocks: _Blocks, colour: Floats, bare: Mask | None = None) -> Floats:
    """A smooth paper colour per block; float32 (rows, columns, 3). Inked blocks are left out, and all but `bare`."""
    fitted, keep = _fit_polynomial(blocks, colour, bare)
    if not keep.any():
        return fitted
    near = _flat_paper(blocks, colour, DEEP_REACH)
    if bare is not None:
        near &= bare
    for _ in range(GROWTH):
        around = fitted + _blur_where(blocks.median - fitted, keep, 1.0)
        step = np.abs(blocks.median - around).max(axis=2)
        keep = (
            near
            & (step <= NEXT_STEP * colour.max())
            & (keep | (cv2.dilate(keep.astype(np.uint8), _CROSS) > 0))
        )
    return np.asarray(np.clip(fitted + _blur_where(blocks.median - fitted, keep, 0.8), 1, 255), np.float32)


def _blur_where(values: Floats, where: Mask, sigma: float) -> Floats:
    """Values blurred from the places that count, fading to 0 far from them; float32 (rows, columns, 3)."""
    weight = where.astype(np.float32)
    total = cv2.GaussianBlur(values * weight[..., None], (0, 0), sigma)
    return np.asarray(total / (cv2.GaussianBlur(weight, (0, 0), sigma)[..., None] + 0.02), np.float32)


def _fit_polynomial(blocks: _Blocks, colour: Floats, bare: Mask | None) -> tuple[Floats, Mask]:
    """A cubic through the bare blocks, float32 (rows, columns, 3), and which blocks lie on it."""
    rows, columns = blocks.median.shape[:2]
    terms = _terms(rows, columns)
    values = blocks.median.reshape(-1, 3)
    may = np.ones(len(values), bool) if bare is None else bare.ravel()
    keep = _near_paper(blocks, colour).ravel() & may
    fitted: Floats = np.tile(colour, (len(values), 1))
    damping = 1e-3 * np.eye(terms.shape[1], dtype=np.float32)
    damping[0, 0] = 0
    for _ in range(4):
        if keep.sum() < 3 * terms.shape[1]:
            break
        left = terms[keep].T @ terms[keep] + damping * keep.sum()
        fitted = colour + terms @ np.linalg.solve(left, terms[keep].T @ (values[keep] - colour))
        off = np.abs(values - fitted).max(axis=1)
        keep = may & (off <= max(2.0, 3 * 1.48 * float(np.median(off[keep]))))
    return fitted.reshape(rows, columns, 3), keep.reshape(rows, columns)


def _bare_pixels(sample: Pixels, field: Floats) -> tuple[Mask, float]:
    """Which sample pixels are bare paper, and the paper's noise in levels."""
    height, width = sample.shape[:2]
    paper = _enlarge(field, (height, width))
    off = largest_apart(sample.astype(np.float32), paper)
    near = off[off < 30]
    grain = _grain_from(near, saturated=float(field.max()) > SATURATED_FROM) if near.size else 1.0
    return np.asarray(off <= max(4.0, 3.5 * grain)), grain


def _is_one_value(sample: Pixels) -> bool:
    """True for a ground without any shading or noise, as a paint program leaves it."""
    codes = sample.astype(np.int64) @ np.array([65536, 256, 1])
    return float(np.unique(codes, return_counts=True)[1].max() / codes.size) > ONE_VALUE


def _grain_from(off: Floats, saturated: bool) -> float:
    """The paper's noise in levels; on pure white half of it is cut off by the scanner."""
    upper = float(np.quantile(off, 0.8)) / (0.84 if saturated else 1.28)  # quantiles of the normal law
    return upper / THREE_CHANNELS


def _exact_colour(bare: Pixels) -> Floats:
    """The one value a clean ground has, else the mean; float32 (3,)."""
    exact = [int(np.bincount(bare[:, c], minlength=256).argmax()) for c in range(3)]
    if min(float(np.mean(bare[:, c] == exact[c])) for c in range(3)) > 0.5:
        return np.array(exact, np.float32)
    return np.asarray(bare.mean(axis=0), np.float32)


def _enlarge(field: Floats, shape: tuple[int, int]) -> Floats:
    """The blocks' colours at every pixel, carried on straight from the outer blocks' middles to the edge."""
    rows, columns = field.shape[:2]
    height, width = shape
    padded = cv2.copyMakeBorder(field, 1, 1, 1, 1, cv2.BORDER_REPLICATE)
    if min(rows, columns) > 1:
        padded = 2 * padded - cv2.copyMakeBorder(field, 1, 1, 1, 1, cv2.BORDER_REFLECT_101)
        padded[1:-1, 1:-1] = field
    top, left = round(height / rows), round(width / columns)
    large = cv2.resize(padded, (width + 2 * left, height + 2 * top), interpolation=cv2.INTER_LINEAR)
    return np.ascontiguousarray(large[top : top + height, left : left + width])


def _follow_bare_places(sample: Pixels, field: Floats, grain: float, toned: Mask) -> Floats:
    """The field bent to the mean of bare paper nearby, where there is any that is not `toned`."""
    rows, columns = field.shape[:2]
    height, width = sample.shape[:2]
    for _ in range(2):
        paper = _enlarge(field, (height, width))
        off = sample.astype(np.float32) - paper
        bare = ((largest(np.abs(off)) <= 3 + 3 * grain) & ~toned).astype(np.float32)
        weight = cv2.resize(bare, (columns, rows), interpolation=cv2.INTER_AREA)
        total = cv2.resize(off * bare[..., None], (columns, rows), interpolation=cv2.INTER_AREA)
        enough = weight > 0.25
        field = field + _blur_where(total / np.maximum(weight, 0.25)[..., None], enough, 1.2)
    return np.clip(field, 1, 255).astype(np.float32)
