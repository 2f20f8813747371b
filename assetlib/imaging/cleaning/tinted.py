"""Underdrawing and stains: told from ink by their tint, and from colouring by what they do beside the ink."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Paper, estimate_paper, largest
from assetlib.imaging.pages.rings import RADIUS, WIDEST, find_rings
from assetlib.imaging.pages.stains import free_of_stain

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

MARK_FROM = 0.05  # share of the paper's light that is missing where something is
INK_FROM = 0.55  # share missing in ink
TINT_FROM = 0.07  # difference of the channels' shares in a coloured mark
NEUTRAL = 0.22  # the same, relative to its darkness, up to which ink is black
INK_SHARE = 0.15  # of all marks that must be black ink for the coloured ones to be its underdrawing
ONE_HUE = 0.8  # share of the coloured marks that must be of one hue
HUE_REACH = 28.0  # degrees
THIN = 0.006  # of the longer side: half of what an underdrawing's line is wide
THIN_SHARE = 0.75  # of the coloured marks that must be line
NEAR_INK, NEAR_SHARE = (
    0.02,
    0.5,
)  # of the longer side, and share of underdrawing so near the ink drawn over it
WISPS = 0.002  # of the longer side beyond an underdrawing in which its tint hangs on the ink
LEAST_INK = 0.18  # share of light in the channel that shows ink alone, from which there is some
LEAST = 0.0008  # of the page
BROWN = (15.0, 70.0)  # degrees of hue of coffee, tea and old paper
STAIN_DARK = 0.5  # share of light that a stain takes away at most
SPOT_DARK, SPOT_UNEVEN = 0.42, 0.07  # share that a spot takes away nearly everywhere, and its spread
SPOT_RIM = 9  # pixels, twice over, of its soft rim
STAIN_SIDE = 0.03  # of the longer side
REST_FROM, REST_TINT = 0.025, 0.02  # share of light that the faint rest of a stain takes away, and its tint
REST, MOST_REST = (
    0.02,
    1.5,
)  # of the longer side that it reaches beyond, and how much of it there is by the stain
CORNERS = 0.9  # of a box, about its middle: where corners of it are looked for
LEAST_TONE = 0.03  # share of light that a tone takes away
BY_LINE, BOUND = (
    0.45,
    0.2,
)  # share of light that a drawn outline takes, and share of a spot's rim that it runs along
BARE_RIM = 0.5  # share of a spot's rim beyond which there is paper
RED = 0.15  # of the blue light that a stain takes away: how much of the red it takes at least
STILL = 1 / 3  # share of a stain from which it still stands


def find_underdrawing(rgb: Pixels, paper: Paper) -> Iterator[Mask]:
    """One mask of the coloured lines under black ink, bool (H, W); nothing where colour is paint or the only ink."""
    missing = missing_light(rgb, paper)
    hue = underdrawing_hue(missing)
    if hue is not None:
        yield in_hue(missing, hue)


def underdrawing_hue(missing: Floats) -> float | None:
    """The hue of coloured lines under black ink, degrees; None where colour is paint or the only ink.

    `missing` float32 (H, W, 3) is the share of the paper's light that lacks.
    """
    black, coloured = _inked(missing)
    if coloured.sum() < LEAST * coloured.size or black.sum() < INK_SHARE * (black | coloured).sum():
        return None
    hue = _hue(missing)
    main = _main_hue(hue[coloured])
    same = coloured & (_apart(hue, main) < HUE_REACH)
    if same.sum() < ONE_HUE * coloured.sum() or not _is_line(same) or not _is_near(same, black):
        return None
    return main


def in_hue(missing: Floats, hue: float) -> Mask:
    """Where something of a hue, degrees, stands that is not black; bool (H, W)."""
    black, coloured = _inked(missing)
    same = coloured & (_apart(_hue(missing), hue) < HUE_REACH)
    soft = cv2.dilate(same.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    return np.asarray(soft & ~black, np.bool_)


def _inked(missing: Floats) -> tuple[Mask, Mask]:
    """Where it is black ink and where coloured, bool (H, W) both."""
    dark, tint = largest(missing), _tint(missing)
    black = (dark > INK_FROM) & (tint < NEUTRAL * dark + 0.05)
    coloured = (dark > MARK_FROM) & (tint > TINT_FROM) & (tint > NEUTRAL * dark)
    return np.asarray(black), np.asarray(coloured)


def stains_asked_for(rgb: Pixels, paper: Paper) -> Iterator[Mask]:
    """Masks of stains where somebody says that there are some: large rings too, each whole with its faint rest."""
    missing = missing_light(rgb, paper)
    brown = brown_at(missing, REST_FROM, REST_TINT)
    dark = largest(missing)
    black = ((dark > INK_FROM) & (_tint(missing) < NEUTRAL * dark + 0.05)).astype(np.uint8)
    black = cv2.dilate(black, np.ones((3, 3), np.uint8)) > 0
    reach = max(3, round(REST * max(brown.shape)))
    for mask in _stains(missing, WIDEST):
        near = cv2.dilate(mask.astype(np.uint8), np.ones((2 * reach + 1,) * 2, np.uint8)) > 0
        if (near & brown & ~mask).sum() > MOST_REST * mask.sum():
            near = cv2.dilate(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
        yield (mask | (near & brown)) & ~black


def stands(original: Pixels, cleaned: Pixels) -> bool:
    """Whether much of what is brown and pale as stains are still stands; both uint8 (H, W, 3) of the same place."""
    papers = estimate_paper(original)
    before, after = (
        brown_at(missing_light(rgb, papers), MARK_FROM, 0.5 * TINT_FROM) for rgb in (original, cleaned)
    )
    return bool(after.sum() > STILL * before.sum())


def brown_at(missing: Floats, dark_from: float, tint_from: float) -> Mask:
    """Where something pale is that has the hue of coffee, tea or old paper; bool (H, W)."""
    dark, tint = cv2.GaussianBlur(largest(missing), (0, 0), 1.5), _tint(missing)
    hue = _hue(missing)
    brown = (dark > dark_from) & (dark < STAIN_DARK) & (tint > tint_from)
    return np.asarray(brown & (hue > BROWN[0]) & (hue < BROWN[1]))


def find_stains(rgb: Pixels, paper: Paper) -> Iterator[Mask]:
    """Masks of rings and spots of coffee, tea and damp, bool (H, W): brownish, pale, soft, alone or across the ink."""
    yield from _stains(missing_light(rgb, paper), RADIUS[1])


def _stains(missing: Floats, widest: float) -> Iterator[Mask]:
    rings = cup_rings(missing, widest)
    if rings is not None:
        yield rings
        missing[rings] = 0
    yield from spots(missing)


def cup_rings(missing: Floats, widest: float = RADIUS[1]) -> Mask | None:
    """The rings that cups left, bool (H, W) all in one, or None; `missing` is the share of light that lacks."""
    rings = find_rings(missing, widest)
    return rings if rings.any() and _is_dirt(missing, rings) else None


def spots(missing: Floats) -> Iterator[Mask]:
    """Masks of what a spill leaves, bool (H, W): brownish, pale, soft; and of rings that are no circles."""
    dark = cv2.GaussianBlur(largest(missing), (0, 0), 1.5)
    brown = brown_at(missing, MARK_FROM, 0.5 * TINT_FROM)
    joined = cv2.morphologyEx(brown.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))
    _, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    longest = max(brown.shape)
    for k in range(1, len(stats)):
        x, y, width, height, area = (int(v) for v in stats[k])
        if min(width, height) < STAIN_SIDE * longest or area > 0.2 * brown.size:
            continue
        window = np.s_[y : y + height, x : x + width]
        own = labels[window] == k
        if not _is_dirt(missing[window], own):
            continue
        if _is_ring(own) or (_is_spot(own, dark[window]) and not _is_bound(labels, k, stats[k], dark)):
            mask = np.zeros(brown.shape, bool)
            mask[window] = own
            grown = cv2.dilate(mask.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
            yield grown & (dark < STAIN_DARK)


def without_stain(rgba: Pixels, mask: Mask, paper: Paper) -> tuple[Mask, Mask]:
    """Take the light back that a stain takes away, in place; where no ink is left, and where some is."""
    missing, own = free_of_stain(missing_light(np.ascontiguousarray(rgba[..., :3]), paper), mask)
    bare = own & (largest(missing) < LEAST_TONE)
    kept = own & ~bare
    ground = paper.field(mask.shape)[kept]
    rgba[kept, :3] = np.clip(np.rint(ground * (1 - missing[kept])), 0, 255).astype(np.uint8)
    return np.asarray(bare, np.bool_), np.asarray(kept, np.bool_)


def without_tint(rgba: Pixels, mask: Mask, paper: Paper) -> tuple[Mask, Mask]:
    """Make black ink that an underdrawing shows through neutral, in place; where no ink is left, and where some is.

    The channel in which the underdrawing hardly shows tells how much ink there is.
    """
    reach = max(3, 2 * round(WISPS * max(mask.shape)) + 1)
    near = cv2.dilate(mask.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0
    missing = missing_light(np.ascontiguousarray(rgba[..., :3]), paper)
    clear = int(np.median(missing[mask], axis=0).argmin())
    ink = missing[..., clear]
    tinted = near & (largest(missing) - ink > 0.3 * TINT_FROM)
    bare = tinted & (ink < LEAST_INK)
    kept = tinted & ~bare
    ground = paper.field(mask.shape)[kept]
    rgba[kept, :3] = np.clip(np.rint(ground * (1 - ink[kept])[:, None]), 0, 255).astype(np.uint8)
    return np.asarray((mask | bare) & ~kept, np.bool_), np.asarray(kept, np.bool_)


def missing_light(rgb: Pixels, paper: Paper) -> Floats:
    """The share of the paper's light that is missing, by channel, float32 (H, W, 3)."""
    return np.asarray(np.clip(1 - paper.flatten(rgb) / np.maximum(paper.colour, 8), 0, 1), np.float32)


def _tint(missing: Floats) -> Floats:
    return np.asarray(largest(missing) + largest(-missing), np.float32)


def _hue(missing: Floats) -> Floats:
    """The hue of what a mark lets back, degrees 0..360, float32 (H, W)."""
    back = np.ascontiguousarray(1 - missing, dtype=np.float32)
    return np.asarray(cv2.cvtColor(back, cv2.COLOR_RGB2HSV)[..., 0], np.float32)


def _main_hue(hues: Floats) -> float:
    counts = np.bincount((hues / 10).astype(np.int64) % 36, minlength=36)
    wide = counts + np.roll(counts, 1) + np.roll(counts, -1)
    return float(wide.argmax()) * 10 + 5


def _apart(hue: Floats, other: float) -> Floats:
    off = np.abs(hue - np.float32(other)) % 360
    return np.asarray(np.minimum(off, 360 - off), np.float32)


def _is_line(marks: Mask) -> bool:
    reach = max(3, 2 * round(THIN * max(marks.shape)) + 1)
    wide = cv2.morphologyEx(marks.astype(np.uint8), cv2.MORPH_OPEN, np.ones((reach, reach), np.uint8))
    return float(1 - wide.sum() / max(1, int(marks.sum()))) > THIN_SHARE


def _is_near(marks: Mask, black: Mask) -> bool:
    away = cv2.distanceTransform((~black).astype(np.uint8), cv2.DIST_L2, 3)
    return float((away[marks] < NEAR_INK * max(marks.shape)).mean()) > NEAR_SHARE


def _is_ring(own: Mask) -> bool:
    """A thin band along a circle or a good part of one; what is as square as round was drawn."""
    rows, columns = np.nonzero(own)
    height, width = own.shape
    if not 0.6 < width / height < 1.7 or _is_cornered(own):
        return False
    middle = np.array([height / 2, width / 2])
    away = np.hypot(rows - middle[0], columns - middle[1])
    radius = float(np.median(away))
    return float((np.abs(away - radius) < 0.16 * radius).mean()) > 0.85 and float(own.mean()) < 0.5


def _is_dirt(missing: Floats, own: Mask) -> bool:
    """Whether it takes red light away too, as coffee and tea do and orange paint hardly does."""
    red, blue = (float(missing[..., channel][own].mean()) for channel in (0, 2))
    return red > RED * blue


def _is_bound(labels: NDArray[np.int32], k: int, stat: NDArray[np.int32], dark: Floats) -> bool:
    """Whether line or other colour runs along a patch: it is a tone that was laid up to there."""
    x, y, width, height = (int(v) for v in stat[:4])
    room = 2 * SPOT_RIM
    window = np.s_[max(0, y - room) : y + height + room, max(0, x - room) : x + width + room]
    own = (labels[window] == k).astype(np.uint8)
    near = cv2.dilate(own, np.ones((SPOT_RIM, SPOT_RIM), np.uint8)) - own
    lines = cv2.dilate(dark[window], np.ones((SPOT_RIM, SPOT_RIM), np.uint8)) > BY_LINE
    rim = (near > 0) & (cv2.erode(1 - own, np.ones((3, 3), np.uint8)) == 0)
    if not rim.any():
        return False
    paper = cv2.erode(dark[window], np.ones((SPOT_RIM, SPOT_RIM), np.uint8)) < MARK_FROM
    return float(lines[rim].mean()) > BOUND or float(paper[rim].mean()) < BARE_RIM


def _is_cornered(own: Mask) -> bool:
    """Whether a band reaches into the corners of its turned box, where a ring has nothing."""
    points = np.argwhere(own)[:, ::-1].astype(np.float32)
    middle, (wide, tall), turn = cv2.minAreaRect(points)
    turned = cv2.boxPoints((middle, (CORNERS * wide, CORNERS * tall), turn))
    away = np.hypot(*(turned[:, None] - points[None]).transpose(2, 0, 1)).min(axis=1)
    return bool((away < (1 - CORNERS) * max(wide, tall)).sum() > 1)


def _is_spot(own: Mask, dark: Floats) -> bool:
    """A solid, even, pale patch without a drawn outline."""
    inner = cv2.erode(own.astype(np.uint8), np.ones((SPOT_RIM, SPOT_RIM), np.uint8), borderValue=0) > 0
    inside = dark[inner] if inner.any() else dark[own]
    return (
        float(own.mean()) > 0.5
        and float(np.quantile(inside, 0.95)) < SPOT_DARK
        and float(np.std(inside)) < SPOT_UNEVEN
    )
