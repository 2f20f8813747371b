"""Paper and what is drawn on it: the ground of a page, and the mask of its ink."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.pieces import WORK_SIDE, pool
from assetlib.imaging.pages.marks import PAPER, Marks, drawn_at, judge_marks
from assetlib.imaging.pages.rings import LOOKED_AT as RINGS_AT
from assetlib.imaging.pages.rings import find_rings
from assetlib.imaging.pages.stains import free_of_stain
from assetlib.imaging.pixels import colours, shrink

Picture = NDArray[np.uint8]

# All tuned on made sheets (tests/bench/sheets.py, tuning half).
BLOCK = 16  # pixels a side of the squares whose medians trace the fall of light on a scan
LEAST_CONTRAST = 14.0  # levels; below lies JPEG ringing
NOISE_REACH = 5.0  # standard deviations of the grain that still count as paper
GRAINY = 1.2  # levels of noise above which the page is softened first
FAINT_ALPHA = 24  # alpha that a soft eraser leaves behind
WHITE_PAPER = 200  # levels; toned paper below may be drawn on in white
SPREAD = 7.0  # levels by which neighbouring blocks of paper may differ
SPREAD_AT_RIM = 22.0
SAME_TINT = 0.05  # difference of the channels' ratios between shadow and paper
RIM_DEPTH = 0.14  # of the shorter side, where folds and lifted edges darken the paper
MOST_OFF = 16.0  # levels between paper and the smooth surface through it
RING_LETS = 0.38  # share of red light that a ring takes away at most: line that it lies on takes more
FREED_AT = 1800  # pixels of the longer side at which what lies under a ring is told
FREED_FROM = 0.1  # share of light from which it is drawn
ASKED_RIM = 0.03  # of the shorter side
MOST_SPREADS = 40
FAR, FAR_COARSER = 12.0, 4  # blocks over which paper far away is averaged, and how coarsely
MOST_BLOCKS = 2_000  # as many say what surface the paper is
RIM_SHARE = 0.5  # of the page's rim in one colour: that is the ground
PAGE_SHARE = 0.05  # of the whole page, where the drawing runs off its rim
STRIP_PIXELS = 1 << 21  # that are held against their paper at a time
SAMPLES = 40_000  # pixels looked at to tell a flat ground from a scanned one
TOOTH = 0.995  # share of the bare paper that is no darker than its tooth, folds and crumples make it
CORE = 2.0  # times that level: a drawing on such paper is somewhere as dark as that
DARK_PAPER = 90.0  # levels
DARKEST_STAINED = 120.0  # levels of paper that shows a ring
MOST_TOOTH = 40.0  # levels: what seems rougher is a shadow, or paper that the judge cannot read
FROM_DRAWN = 9  # pixels at the judge's scale beyond what is drawn, from which paper is bare


@dataclass(frozen=True, slots=True)
class Ink:
    """Where a page is drawn on: `mask` uint8 (H, W) of 0 and 255; `rgb` the page flattened on its paper.

    `marks` are what its marks were judged to be, None where they were not.
    """

    mask: Picture
    rgb: Picture
    flat: bool
    marks: Marks | None = None


def find_ink(rgba: Picture, judged: bool = True) -> Ink:
    """The ink of a straight-alpha page, uint8 (H, W, 4), whatever its ground.

    Of a photographed or scanned one what is judged to be no drawing is left out, where `judged`.
    """
    if has_clear_ground(rgba):
        return Ink(_opaque(rgba), _flatten(rgba), True)
    rgb = _flatten(rgba) if int(rgba[..., 3].min()) < 255 else colours(rgba)
    ground = flat_ground(rgb)
    if ground is not None:
        return Ink(_differing(rgb, np.asarray(ground, np.uint8), LEAST_CONTRAST), rgb, True)
    return _scanned_ink(rgb, judged)


def has_clear_ground(rgba: Picture) -> bool:
    """Whether the transparency is the ground, not a margin around an opaque page."""
    alpha = rgba[..., 3]
    opaque = _opaque(rgba)
    share = cv2.countNonZero(opaque) / max(1, alpha.size)
    if share > 0.97:
        return False
    _, _, w, h = cv2.boundingRect(opaque)
    filled = cv2.countNonZero(opaque) >= 0.97 * max(1, w * h)
    return not (filled and w * h > 0.5 * alpha.size)


def _opaque(rgba: Picture) -> Picture:
    return np.asarray(cv2.threshold(rgba[..., 3], FAINT_ALPHA, 255, cv2.THRESH_BINARY)[1], np.uint8)


def _flatten(rgba: Picture) -> Picture:
    """The picture on white, in integers as a page may have 24 million pixels."""
    alpha = cv2.merge([rgba[..., 3]] * 3)
    shown = cv2.multiply(colours(rgba), alpha, scale=1 / 255)
    return np.asarray(cv2.add(shown, cv2.bitwise_not(alpha)), np.uint8)


def flat_ground(rgb: Picture) -> tuple[int, int, int] | None:
    """The one colour of an unscanned ground, or None where the paper has grain or a fall of light."""
    rim = np.concatenate([side.reshape(-1, 3) for side in (rgb[:3], rgb[-3:], rgb[:, :3], rgb[:, -3:])])
    stride = max(1, int((rgb.shape[0] * rgb.shape[1] / SAMPLES) ** 0.5))
    inside = rgb[stride // 2 :: stride, stride // 2 :: stride].reshape(-1, 3)
    # Pale tones inside panels look like grain of the paper, so the rim is asked first.
    for pixels, least in ((rim, RIM_SHARE), (inside, PAGE_SHARE)):
        colour = _most_frequent(pixels)
        off = np.abs(pixels.astype(np.int16) - np.array(colour, np.int16)).max(axis=1)
        exact, close = float((off <= 1).mean()), float((off <= 24).mean())
        # On a scan many pixels are close to the commonest colour and few are exactly it.
        if exact > least and exact > 0.85 * close:
            return colour
    return None


def _most_frequent(pixels: Picture) -> tuple[int, int, int]:
    """The commonest colour of (n, 3) pixels."""
    codes = pixels.astype(np.int32) @ np.array([65536, 256, 1], np.int32)
    colours, counts = np.unique(codes, return_counts=True)
    best = int(colours[counts.argmax()])
    return (best >> 16, (best >> 8) & 255, best & 255)


def _differing(rgb: Picture, ground: NDArray[np.uint8], least: float) -> Picture:
    """Mask of pixels where some channel is further than `least` levels from the ground."""
    return _over(_distance(rgb, ground), least)


def _over(levels: Picture, least: float) -> Picture:
    return np.asarray(cv2.threshold(levels, least, 255, cv2.THRESH_BINARY)[1], np.uint8)


def _distance(rgb: Picture, ground: NDArray[np.uint8]) -> Picture:
    """How far every pixel is from the ground in the channel that differs most, levels."""
    if ground.ndim == 1:
        planes = [cv2.absdiff(rgb[..., k], float(ground[k])) for k in range(3)]
    else:
        planes = list(cv2.split(cv2.absdiff(rgb, ground)))
    return np.asarray(cv2.max(cv2.max(planes[0], planes[1]), planes[2]), np.uint8)


def _scanned_ink(rgb: Picture, judged: bool) -> Ink:
    paper, noise = scanned_paper(rgb)
    off = _off_paper(rgb, paper, noise > GRAINY)
    least = max(LEAST_CONTRAST, NOISE_REACH * noise * (0.5 if noise > GRAINY else 1))
    if not judged:
        return Ink(_over(off, least), rgb, False)
    marks = judge_marks(rgb)
    drawn = drawn_at(marks)
    tooth = _tooth(off, marks, drawn)
    is_dark = float(np.median(paper)) < DARK_PAPER  # chalk lies as thin as what was wiped away
    mask = _over(off, least if is_dark else max(least, tooth))
    large = cv2.resize(drawn, mask.shape[::-1], interpolation=cv2.INTER_LINEAR)
    mask = np.asarray(cv2.bitwise_and(mask, _over(large, 127)), np.uint8)
    if float(np.median(paper)) >= DARKEST_STAINED:
        _clear_rings(mask, rgb, paper, least)
    return Ink(_with_core(mask, off, CORE * tooth) if CORE * tooth > least else mask, rgb, False, marks)


def _off_paper(rgb: Picture, paper: Picture, softened: bool) -> Picture:
    """How far every pixel is from the paper there, levels; a strip at a time, as a page may have 70 million pixels."""
    height, width = rgb.shape[:2]
    across = np.asarray(cv2.resize(paper, (width, paper.shape[0]), interpolation=cv2.INTER_LINEAR), np.uint8)
    is_white = float(np.median(paper)) >= WHITE_PAPER
    off = np.empty((height, width), np.uint8)
    strip = max(1, STRIP_PIXELS // width)
    for top in range(0, height, strip):
        end = min(height, top + strip)
        low, high = max(0, top - 1), min(height, end + 1)
        soft = rgb[low:high]
        if softened:
            soft = np.asarray(cv2.GaussianBlur(soft, (3, 3), 0.8), np.uint8)
        soft = soft[top - low : end - low]
        ground = _stretched(across, slice(top, end), height)
        if is_white:  # nothing is drawn lighter than white paper: a narrow gutter is
            soft = np.asarray(cv2.min(soft, ground), np.uint8)
        off[top:end] = _distance(soft, ground)
    return off


def _stretched(rows: Picture, wanted: slice, height: int) -> Picture:
    """Some of the rows that a picture of few has when it is stretched to so many, as OpenCV places them."""
    down = rows.shape[0] / height
    places = np.array([[1, 0, 0], [0, down, (wanted.start + 0.5) * down - 0.5]])
    size = (rows.shape[1], wanted.stop - wanted.start)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(
        cv2.warpAffine(rows, places, size, flags=flags, borderMode=cv2.BORDER_REPLICATE), np.uint8
    )


def _tooth(off: Picture, marks: Marks, drawn: Picture) -> float:
    """How far, in levels, bare paper comes from its own ground: tooth, fibres, folds, what is left of print."""
    bare = (marks.chances[PAPER] > 0.5).astype(np.uint8)
    bare[cv2.dilate(drawn, np.ones((FROM_DRAWN, FROM_DRAWN), np.uint8)) > 0] = 0
    at = cv2.resize(bare, off.shape[::-1], interpolation=cv2.INTER_NEAREST)
    stride = max(1, int((off.size / (8 * SAMPLES)) ** 0.5))
    levels = off[::stride, ::stride][at[::stride, ::stride] > 0]
    return min(MOST_TOOTH, float(np.quantile(levels, TOOTH))) if len(levels) else 0.0


def _clear_rings(mask: Picture, rgb: Picture, paper: Picture, least: float) -> None:
    """Take the rings that cups left out of a mask of ink, in place; what is drawn under them comes in."""
    missing = _missing(rgb, paper, RINGS_AT)
    line = cv2.dilate((missing[..., 0] > RING_LETS).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    rings = find_rings(missing)
    if not (rings & ~line).any():
        return
    missing = _missing(rgb, paper, FREED_AT)
    size = missing.shape[1::-1]
    on_it = cv2.resize(rings.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0
    freed, own = free_of_stain(missing, on_it)
    drawn = freed.max(axis=2) > max(least / 255, FREED_FROM)
    # what goes on beyond the ring is drawn; what keeps to it is a rest of the ring
    beside = cv2.resize(mask, size, interpolation=cv2.INTER_AREA)
    beside[own] = 0
    _, labels = cv2.connectedComponents((drawn & own).astype(np.uint8) | (beside > 0).astype(np.uint8))
    goes_on = np.isin(labels, np.unique(labels[beside > 0])) & drawn
    shown = np.asarray(cv2.resize(goes_on.astype(np.uint8) * 255, mask.shape[::-1]), np.uint8)
    place = cv2.resize(own.astype(np.uint8), mask.shape[::-1], interpolation=cv2.INTER_NEAREST)
    cv2.copyTo(_over(shown, 127), place, mask)


def _missing(rgb: Picture, paper: Picture, side: int) -> NDArray[np.float32]:
    """The share of the paper's light that lacks, float32 (h, w, 3), at no more than `side` pixels a side."""
    scale = min(1.0, side / max(rgb.shape[:2]))
    size = max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale))
    small = shrink(rgb, size).astype(np.float32)
    ground = cv2.resize(paper, size, interpolation=cv2.INTER_LINEAR).astype(np.float32)
    return np.asarray(np.clip(1 - small / np.maximum(ground, 8), 0, 1), np.float32)


def _with_core(mask: Picture, off: Picture, least: float) -> Picture:
    """The connected marks that are somewhere further than `least` levels from the paper."""
    step = max(1, -(-max(mask.shape) // WORK_SIDE))
    small, core = pool(mask, step), pool(_over(off, least), step)
    _, labels = cv2.connectedComponents(small, connectivity=8, ltype=cv2.CV_32S)
    has_core = np.zeros(int(labels.max()) + 1, np.uint8)
    has_core[labels[core > 0]] = 255
    has_core[0] = 0
    kept = np.asarray(has_core[labels], np.uint8)
    if step > 1:
        kept = np.asarray(cv2.resize(kept, None, fx=step, fy=step, interpolation=cv2.INTER_NEAREST), np.uint8)
    return np.asarray(cv2.bitwise_and(mask, kept[: mask.shape[0], : mask.shape[1]]), np.uint8)


def scanned_paper(rgb: Picture) -> tuple[Picture, float]:
    """The bare paper at 1/16 size, uint8 (h, w, 3), and the standard deviation of its grain in levels."""
    blocks, rough = _block_medians(rgb)
    rim = _rim(blocks, RIM_DEPTH)
    sure, surface = _smooth_fit(blocks)
    # Tones of the drawing may come near the paper's step by step, but not far from its surface.
    plausible = np.abs(blocks - surface).max(axis=2) < MOST_OFF
    paper = blocks
    for _ in range(MOST_SPREADS):
        paper, backing = _spread(blocks, sure)
        off = np.abs(blocks - paper)
        likely = plausible & (off.max(axis=2) < SPREAD)
        # At the rim paper may darken fast, down to a fold; a shadow keeps the paper's tint.
        tint = np.ptp((blocks + 1) / (paper + 1), axis=2)
        likely |= rim & (off.max(axis=2) < SPREAD_AT_RIM) & (tint < SAME_TINT) & (rough < SPREAD_AT_RIM)
        wider = sure | (likely & (backing > 0.02))
        if wider.sum() == sure.sum():
            break
        sure = wider
    calm = sure & (np.abs(blocks - paper).max(axis=2) < 4)
    return np.clip(np.round(paper), 0, 255).astype(np.uint8), _grain(rgb, calm)


def _spread(
    blocks: NDArray[np.float32], sure: NDArray[np.bool_]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """The paper as its sure blocks tell, near ones first, and how much sure paper lies near."""
    held = sure.astype(np.float32)
    backing = cv2.GaussianBlur(held, (0, 0), 1.5)
    near = cv2.GaussianBlur(blocks * held[..., None], (0, 0), 1.5) / (backing + 1e-6)[..., None]
    if float(backing.min()) >= 0.25:
        return np.asarray(near, np.float32), np.asarray(backing, np.float32)
    far = _far_around(blocks * held[..., None]) / (_far_around(held) + 1e-6)[..., None]
    trust = np.clip(backing * 4, 0, 1)[..., None]
    return np.asarray(near * trust + far * (1 - trust), np.float32), np.asarray(backing, np.float32)


def _far_around(values: NDArray[np.float32]) -> NDArray[np.float32]:
    """Values averaged over many blocks, worked out at a quarter of the scale: they change slowly."""
    small = cv2.resize(values, None, fx=1 / FAR_COARSER, fy=1 / FAR_COARSER, interpolation=cv2.INTER_AREA)
    mean = cv2.GaussianBlur(small, (0, 0), FAR / FAR_COARSER)
    return np.asarray(cv2.resize(mean, values.shape[1::-1], interpolation=cv2.INTER_LINEAR), np.float32)


def _rim(blocks: NDArray[np.float32], depth: float) -> NDArray[np.bool_]:
    height, width = blocks.shape[:2]
    deep = max(1, round(depth * min(height, width)))
    rim = np.ones((height, width), bool)
    rim[deep:-deep, deep:-deep] = False
    return rim


def _block_medians(rgb: Picture) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Median colour of every block, float32 (h, w, 3), and the range of levels inside it, (h, w)."""
    height, width = rgb.shape[0] // BLOCK, rgb.shape[1] // BLOCK
    height, width = max(1, height), max(1, width)
    quarter = shrink(rgb, (width * 4, height * 4))
    tiles = quarter.reshape(height, 4, width, 4, 3).transpose(0, 2, 1, 3, 4).reshape(height, width, 16, 3)
    green = np.sort(tiles[..., 1], axis=2).astype(np.float32)
    return np.median(tiles, axis=2).astype(np.float32), green[..., -2] - green[..., 1]


def _smooth_fit(blocks: NDArray[np.float32]) -> tuple[NDArray[np.bool_], NDArray[np.float32]]:
    """Which blocks lie on the smooth surface that most of the page's rim agrees with, and that surface.

    Where the drawing covers the rim, most of the page is asked instead.
    """
    height, width = blocks.shape[:2]
    x, y = np.meshgrid(np.linspace(-1, 1, width), np.linspace(-1, 1, height))
    terms = np.stack([np.ones_like(x), x, y, x * x, y * y, x * y], axis=-1).reshape(-1, 6).astype(np.float32)
    flat = blocks.reshape(-1, 3)
    rim = _rim(blocks, ASKED_RIM).ravel()
    centre = _commonest(flat[rim])
    keep = rim & (np.abs(flat - centre).max(axis=1) < 25)
    if keep.sum() < RIM_SHARE * rim.sum():
        centre = _commonest(flat)
        keep = np.abs(flat - centre).max(axis=1) < 25
    surface = np.broadcast_to(centre, flat.shape).astype(np.float32)
    for reach in (12.0, 9.0, 7.0):
        if keep.sum() < 12:
            break
        some = np.flatnonzero(keep)[:: 1 + int(keep.sum()) // MOST_BLOCKS]
        solved = np.linalg.lstsq(terms[some], flat[some], rcond=None)[0]
        surface = terms @ solved
        keep = np.abs(flat - surface).max(axis=1) < reach
    sure = np.abs(flat - surface).max(axis=1) < 7
    return sure.reshape(height, width), surface.reshape(blocks.shape).astype(np.float32)


def _commonest(flat: NDArray[np.float32]) -> NDArray[np.float32]:
    """The colour of the fullest 12-level bin."""
    bins = np.round(flat / 12).astype(np.int32)
    codes = bins @ np.array([10_000, 100, 1], np.int32)
    values, counts = np.unique(codes, return_counts=True)
    chosen = codes == values[counts.argmax()]
    return np.asarray(np.median(flat[chosen], axis=0), np.float32)


def _grain(rgb: Picture, calm: NDArray[np.bool_]) -> float:
    """Standard deviation of the bare paper: mean step between neighbours times sqrt(pi) / 2."""
    rows, cols = np.nonzero(calm)
    if len(rows) == 0:
        return 0.0
    chosen = slice(None, None, max(1, len(rows) // 300))
    spots = [
        rgb[r * BLOCK : r * BLOCK + BLOCK, c * BLOCK : c * BLOCK + BLOCK, 1]
        for r, c in zip(rows[chosen], cols[chosen], strict=True)
    ]
    steps = [np.abs(np.diff(spot[:, ::2].astype(np.int16), axis=1)).ravel() for spot in spots]
    return float(np.mean(np.concatenate(steps)) * 0.8862) if steps else 0.0
