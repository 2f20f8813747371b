"""Where a page lies in a photograph: its four corners, or none where the picture is the page itself.

Several guesses of what is page (`guesses`) are each made a quadrilateral; the one whose sides stand best between
even paper and what is not that paper is drawn to the edge itself (`sides`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from assetlib.imaging.pages.edges import edge_quads
from assetlib.imaging.pages.guesses import Corners, Picture, guess_masks
from assetlib.imaging.pages.quads import quad_of
from assetlib.imaging.pages.sides import draw_to_edge, is_seen_whole, judge_quad, measure_bows
from assetlib.imaging.pixels import colours, shrink

LOOKED_AT = 640  # pixels of the longer side that the page is looked for at
REFINED_AT = 1500  # pixels of the longer side that its corners are placed at
LEAST_SIDE = 320  # pixels; in a smaller picture nobody photographed a page
LEAST_SURE = 0.27  # of photographs with less, most showed no page; tuned on made photographs
CLEAR_SHARE = 0.01  # share of transparent pixels from which a picture is no photograph
FLAT_SHARE = 0.35  # share of exactly one colour along the rim that no photograph has
DARK_SCENE, LIFT = (
    60.0,
    0.5,
)  # levels of the usual brightness under which dark levels are parted, and the power
REFINED = 3  # guesses that are drawn to the edge
DOUBTED = 0.6  # sureness below which long straight edges are looked at as well
LARGER, ENDING = (
    0.95,
    0.7,
)  # of the best's sureness, from which a larger page, or one that ends, is rather meant
SAME = 0.015  # of the diagonal: corners that are the same


@dataclass(frozen=True, slots=True)
class Page:
    """A page in a photograph.

    `corners` float64 (4, 2), x and y in pixels of the picture, clockwise from the top left of the page as it is
    seen; they may lie outside the picture where the page runs out of it. `sure` 0..1 tells how well its sides show.
    """

    corners: Corners
    sure: float
    bows: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    """How far the middle of each side lies outside the line between its corners, in pixels: paper curls."""


def find_page(picture: Picture) -> Page | None:
    """The page that lies in a picture, uint8 (H, W, 3 or 4), or None where the picture is flat or shows none."""
    if min(picture.shape[:2]) < LEAST_SIDE or is_made(picture):
        return None
    page = _find(picture, lambda same: same)
    dark = page is None and float(np.median(_reduced(picture, LOOKED_AT)[0])) < DARK_SCENE
    return _find(picture, lifted) if dark else page


def _find(picture: Picture, shown: Callable[[Picture], Picture]) -> Page | None:
    """The page as it is found in reduced copies, shown as they are or lifted."""
    small, scale = _reduced(picture, LOOKED_AT)
    small = shown(small)
    found: list[tuple[float, Corners]] = []
    for mask in guess_masks(small):
        corners = quad_of(mask)
        if corners is not None and not _known(corners, found):
            found.append((judge_quad(small, corners), corners))
    if max((sure for sure, _ in found), default=0.0) < DOUBTED:
        found += [(judge_quad(small, corners), corners) for corners in edge_quads(small)]
    found.sort(key=lambda pair: -pair[0])
    best = _best([pair for pair in found[:REFINED] if pair[0] > 0], small)
    if best is None or best[0] < LEAST_SURE:
        return None
    finer, up = _reduced(picture, REFINED_AT)
    finer = shown(finer)
    corners = draw_to_edge(finer, best[1] * (up / scale))
    ordered = _ordered(corners)
    bows = measure_bows(finer, ordered) / up
    return Page(ordered / up, best[0], (float(bows[0]), float(bows[1]), float(bows[2]), float(bows[3])))


def lifted(picture: Picture) -> Picture:
    """The picture with its dark levels parted: black card on a black desk differs by few of them."""
    levels = np.rint(255 * (np.arange(256) / 255) ** LIFT).astype(np.uint8)
    return np.asarray(cv2.LUT(picture, levels), np.uint8)


def _best(found: list[tuple[float, Corners]], small: Picture) -> tuple[float, Corners] | None:
    drawn = [draw_to_edge(small, corners) for _, corners in found]
    judged = [(judge_quad(small, corners), corners) for corners in drawn]
    judged += found
    judged = [pair for pair in judged if pair[0] > 0]
    if not judged:
        return None
    best = max(judged, key=lambda pair: pair[0])
    if is_seen_whole(small, best[1]):
        return best
    # the page may end before the picture does
    near = SAME * float(np.hypot(*small.shape[:2]))
    seen = [pair for pair in judged if pair[0] >= ENDING * best[0] and is_seen_whole(small, pair[1])]
    ending = [pair for pair in seen if _is_part(pair[1], best[1], near)]
    return max(ending, key=lambda pair: pair[0]) if ending else best


def _is_part(part: Corners, whole: Corners, near: float) -> bool:
    """Whether a quadrilateral is another one as far as a line across it."""
    outline = whole.astype(np.float32)
    away = [abs(cv2.pointPolygonTest(outline, (float(x), float(y)), True)) for x, y in part]
    shared = sum(min(float(np.hypot(*(corner - other))) for other in whole) < near for corner in part)
    return max(away) < near and shared in (2, 3)


def _known(corners: Corners, found: list[tuple[float, Corners]]) -> bool:
    return any(float(np.abs(corners - other).max()) < 3 for _, other in found)


def _reduced(picture: Picture, longest: int) -> tuple[Picture, float]:
    """A colour copy with at most so long a side, and its scale."""
    height, width = picture.shape[:2]
    scale = min(1.0, longest / max(height, width))
    return colours(shrink(picture, (max(1, round(width * scale)), max(1, round(height * scale))))), scale


def is_made(picture: Picture) -> bool:
    """Whether a picture comes from a program: transparent ground, or a rim in exactly one colour."""
    step = max(1, max(picture.shape[:2]) // LOOKED_AT)
    if picture.shape[2] == 4 and float((picture[::step, ::step, 3] < 250).mean()) > CLEAR_SHARE:
        return True
    rim = np.concatenate(
        [
            side.reshape(-1, picture.shape[2])[:, :3]
            for side in (picture[0], picture[-1], picture[:, 0], picture[:, -1])
        ]
    )
    codes = rim.astype(np.int32) @ np.array([65536, 256, 1], np.int32)
    return float(np.unique(codes, return_counts=True)[1].max()) > FLAT_SHARE * len(codes)


def _ordered(corners: Corners) -> Corners:
    """Clockwise on the screen, from the corner nearest to the upper left."""
    middle = corners.mean(axis=0)
    turns = np.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    around = corners[np.argsort(turns)]
    return np.asarray(np.roll(around, -int(around.sum(axis=1).argmin()), axis=0), np.float64)
