"""What is taken out of a clean copy unasked where it is beyond doubt, until it is put back.

That is underdrawing, what cups leave, and dust.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.blemishes import Blemish, Removal, as_removal, take_tinted
from assetlib.imaging.cleaning.body import LINE_ALPHA, pen_weight
from assetlib.imaging.cleaning.pagewide import PageGround, paper_at
from assetlib.imaging.cleaning.tinted import in_hue, missing_light
from assetlib.imaging.pages.marks import INK, OFF, PAPER, PRINT, SOIL, SPECK, UNDER

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Names = Collection[str]
Value = TypeVar("Value", bound=np.generic)

LEAST_TAKEN = 0.0002  # of a drawing's box that an underdrawing takes
SHOWS = 8  # alpha from which a mark is looked at
DUST, LEAST_DUST = 1.5, 4  # line weights and pixels that dust is wide at most
ALONE, LEAST_ALONE = 4.0, 14  # line weights and pixels that it is away from all drawing and all other dust
COMPANY = 2.0  # times its own size that all specks about one have, from which they are drawn
# Of a side: how deep a scanner's shade reaches and how much of it it runs along; pixels; and how dark it is, in levels.
RIM, RIM_SHARE, LEAST_RIM, RIM_DARK = 0.025, 0.2, 6, 110
# Share of a mark that was judged one kind, and that may have been judged drawn.
MOSTLY, LITTLE_DRAWN = 0.5, 0.2
STRAYS = {
    SPECK: Blemish.SPECK,
    SOIL: Blemish.STAIN,
    PRINT: Blemish.RULED_LINE,
    OFF: Blemish.TORN_EDGE,
}
LEFT_IN = "keep "
"""Before the kind of a blemish that was put back: it stays in the copy."""


def take_out(
    picture: Pixels, ground: PageGround, box: tuple[int, int, int, int], names: Names
) -> tuple[Removal, ...]:
    """Take a page's soil out of what stands in its box (x, y, width, height), in place; what was taken.

    `picture` uint8 (H, W, 4); `names` are the choices made for it, of which those after `LEFT_IN` are to stay.
    """
    soil = ground.soil
    if soil.stains is None and soil.hue is None:
        return ()
    removed, paper = [], paper_at(ground, box)
    if soil.stains is not None and LEFT_IN + Blemish.STAIN not in names:
        mask = _within(soil.stains, box, ground.size)
        if mask.any():
            removed.append(take_tinted(picture, mask, paper, Blemish.STAIN))
    if soil.hue is not None and LEFT_IN + Blemish.UNDERDRAWING not in names:
        mask = in_hue(missing_light(np.ascontiguousarray(picture[..., :3]), paper), soil.hue)
        if mask.sum() > LEAST_TAKEN * mask.size:
            removed.append(take_tinted(picture, mask, paper, Blemish.UNDERDRAWING))
    return tuple(removed)


def take_dust(
    ink: Pixels, ground: PageGround, box: tuple[int, int, int, int], names: Names
) -> tuple[Removal, ...]:
    """Take out of the ink in a box of a page, in place, what lies apart and is not drawn; what was taken.

    `ink` uint8 (H, W, 4). Dust is told by its size and place; what else of it is no drawing was judged on its page.
    """
    found = {Blemish.SPECK: find_dust(ink)}
    if ground.soil.kinds is not None:
        for blemish, mask in _strays(ink, _within(ground.soil.kinds, box, ground.size)).items():
            found[blemish] = mask | found[blemish] if blemish in found else mask
    removed = []
    for blemish, mask in found.items():
        if mask.any() and LEFT_IN + blemish not in names:
            ink[mask] = 0
            removed.append(as_removal(blemish, mask))
    return tuple(removed)


def _strays(ink: Pixels, told: NDArray[np.uint8]) -> dict[Blemish, Mask]:
    """Marks outside the drawing that hang on nothing drawn and were judged to be something else, by what they are.

    Each mask is bool (H, W); `told` uint8 (H, W) is what the pixels were judged to be.
    """
    _, labels = cv2.connectedComponents((ink[..., 3] > SHOWS).astype(np.uint8), connectivity=8)
    count = int(labels.max()) + 1
    sizes = np.stack(
        [np.bincount(labels.ravel(), (told == kind).ravel(), count) for kind in range(UNDER + 1)]
    )
    marked = np.maximum(sizes.sum(axis=0) - sizes[PAPER], 1)
    free = sizes[INK] + sizes[UNDER] < LITTLE_DRAWN * marked
    free[0] = False
    inside = (labels > 0) & ~_outside((labels > 0) & ~free[labels])
    free[np.unique(labels[inside & free[labels]])] = False
    found = {}
    for kind, blemish in STRAYS.items():
        own = free & (sizes[kind] >= MOSTLY * marked)
        if own.any():
            found[blemish] = np.asarray(own[labels], np.bool_)
    return found


def take_rim(ink: Pixels, names: Names) -> tuple[Removal, ...]:
    """Take the shade that a scanner leaves along a picture's edge out of its ink, in place; what was taken."""
    if LEFT_IN + Blemish.TORN_EDGE in names:
        return ()
    removed = []
    for turns in range(4):
        turned = np.rot90(ink, turns)
        shade = _shade_along(turned)
        if shade.any():
            turned[shade] = 0
            removed.append(as_removal(Blemish.TORN_EDGE, np.rot90(shade, -turns)))
    return tuple(removed)


def _shade_along(ink: Pixels) -> Mask:
    """Pale marks that touch the upper edge and keep to it, bool (H, W); nothing where they are few."""
    shade = np.zeros(ink.shape[:2], np.bool_)
    deep = max(LEAST_RIM, round(RIM * ink.shape[0]))
    strip = np.ascontiguousarray(ink[: 2 * deep])
    alpha = strip[..., 3]
    _, labels, stats, _ = cv2.connectedComponentsWithStats((alpha > SHOWS).astype(np.uint8), connectivity=8)
    low = (stats[:, 1] <= 1) & (stats[:, 1] + stats[:, 3] <= deep)
    low[0] = False
    near = low[labels]
    if float(near.any(axis=0).mean()) < RIM_SHARE:
        return shade
    dark = alpha[near] / 255 * (255 - strip[..., :3][near].min(axis=1))
    if float(np.median(dark)) < RIM_DARK:
        shade[: 2 * deep] = near
    return shade


def _within(mask: NDArray[Value], box: tuple[int, int, int, int], page: tuple[int, int]) -> NDArray[Value]:
    """A mask or map of a whole page, at whatever scale, at the pixels of a box."""
    x, y, width, height = box
    rows = np.minimum((np.arange(y, y + height) * mask.shape[0]) // page[0], mask.shape[0] - 1)
    columns = np.minimum((np.arange(x, x + width) * mask.shape[1]) // page[1], mask.shape[1] - 1)
    there: NDArray[Value] = mask[np.clip(rows, 0, None)][:, np.clip(columns, 0, None)]
    return there


def find_dust(ink: Pixels) -> Mask:
    """Tiny marks outside the drawing and far from it and from one another, bool (H, W); `ink` uint8 (H, W, 4)."""
    alpha = ink[..., 3]
    pen = pen_weight(alpha >= LINE_ALPHA)
    _, labels, stats, centres = cv2.connectedComponentsWithStats(
        (alpha > SHOWS).astype(np.uint8), connectivity=8
    )
    small = stats[:, 2:4].max(axis=1) <= max(LEAST_DUST, DUST * pen)
    small[0] = False
    drawn = (alpha > SHOWS) & ~small[labels]
    specks = np.flatnonzero(small)
    if not drawn.any() or not len(specks):
        return np.zeros(alpha.shape, np.bool_)
    far = max(LEAST_ALONE, ALONE * pen)
    away = cv2.distanceTransform((~drawn).astype(np.uint8), cv2.DIST_L2, 5)
    x, y = np.rint(centres[specks]).astype(np.int64).T
    alone = _outside(drawn)[y, x] & (away[y, x] > far)
    crowd = cv2.blur((np.isin(labels, specks) & (alpha > SHOWS)).astype(np.float32), (2 * int(far) + 1,) * 2)
    own = stats[specks, cv2.CC_STAT_AREA] / (2 * int(far) + 1) ** 2
    alone &= crowd[y, x] < COMPANY * own
    return np.asarray(np.isin(labels, specks[alone]), np.bool_)


def _outside(drawn: Mask) -> Mask:
    """What no outline goes round, bool (H, W): what is small inside a drawing may be an eye or a button."""
    framed = np.pad(cv2.morphologyEx(drawn.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8)), 1)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    return np.asarray(framed[1:-1, 1:-1] == 2, np.bool_)
