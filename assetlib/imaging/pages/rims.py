"""What reaches over a photographed page's rim and is not drawn on it: fingers, clips, table, the paper's own edge."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Picture
from assetlib.imaging.pages.light import is_dark, paper_light
from assetlib.imaging.pixels import colours, shrink

LOOKED_AT = 800  # pixels of the longer side
OFF_PAPER = 26.0  # levels that a finger differs from paper by, at least
OFF_TINT = 0.11  # natural logarithm of a channel's share: what tint differs from paper's
THICK = 0.011  # of the longer side: half of what a finger or clip is wide, more than a pen line
EDGE = 0.012  # of the longer side: what lies wholly so near the rim is the paper's edge or the table
GROWN = 0.006  # of the longer side, laid over beyond what is seen of it: the finger's shadow
SMALL_SHARE = 0.06  # of the page: what is larger is a drawing that runs off it
REACHES = 0.14  # of the shorter side: how far into the page a finger comes


def clear_rim(page: Picture, as_seen: Picture) -> Picture:
    """The flat page with what reaches over its rim laid over with paper; unchanged where nothing does.

    `as_seen` is the page before its light was evened: skin is as light as paper in shade, and not of its tint.
    """
    scale = min(1.0, LOOKED_AT / max(page.shape[:2]))
    size = max(1, round(page.shape[1] * scale)), max(1, round(page.shape[0] * scale))
    small, tints = (colours(shrink(one, size)) for one in (page, as_seen))
    gone = _over_the_rim(small, tints)
    if not gone.any():
        return page
    field = paper_light(small)
    dark = is_dark(small)
    bare = np.median(small.reshape(-1, 3), axis=0) if dark else np.median(field.reshape(-1, 3), axis=0)
    large = cv2.resize(gone.astype(np.uint8), page.shape[1::-1], interpolation=cv2.INTER_LINEAR) > 0
    out = page.copy()
    out[large, :3] = np.rint(bare).astype(np.uint8)
    return out


def _over_the_rim(small: Picture, as_seen: Picture) -> NDArray[np.bool_]:
    height, width = small.shape[:2]
    longest = max(height, width)
    usual = np.median(small.reshape(-1, 3), axis=0)
    off = np.abs(small.astype(np.float32) - usual.astype(np.float32)).max(axis=2)
    marks = ((cv2.GaussianBlur(off, (0, 0), 1.0) > OFF_PAPER) | _off_tint(as_seen)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(marks, connectivity=8)
    depth = cv2.distanceTransform(np.pad(marks, 1, mode="edge"), cv2.DIST_L2, 3)[1:-1, 1:-1]
    gone = np.zeros((height, width), bool)
    for k in range(1, len(stats)):
        x, y, w, h, area = (int(v) for v in stats[k])
        if min(x, y, width - x - w, height - y - h) > 1 or area > SMALL_SHARE * marks.size:
            continue
        own = labels == k
        if _is_edge(stats[k], (width, height), EDGE * longest) or _is_finger(
            own, depth, (x, y, w, h), longest
        ):
            gone |= own
    if not gone.any():
        return gone
    grown = round(GROWN * longest)
    return np.asarray(cv2.dilate(gone.astype(np.uint8), np.ones((2 * grown + 1,) * 2, np.uint8)) > 0)


def _off_tint(as_seen: Picture) -> NDArray[np.bool_]:
    """Where the tint is another than the paper's, whatever light falls there."""
    levels = cv2.LUT(cv2.GaussianBlur(as_seen, (0, 0), 1.5), np.log(np.arange(256, dtype=np.float32) + 12))
    tints = levels[..., (0, 2)] - levels[..., 1:2]
    away = np.abs(tints - np.median(tints.reshape(-1, 2), axis=0)).max(axis=2)
    return np.asarray(away > OFF_TINT, np.bool_)


def _is_edge(stat: NDArray[np.int32], size: tuple[int, int], deep: float) -> bool:
    x, y, w, h, _ = (int(v) for v in stat)
    return x + w <= deep or y + h <= deep or x >= size[0] - deep or y >= size[1] - deep


def _is_finger(
    own: NDArray[np.bool_], depth: NDArray[np.float32], box: tuple[int, ...], longest: int
) -> bool:
    """Solid, thick, not reaching far in."""
    height, width = own.shape
    x, y, w, h = box
    thick = float(depth[own].max()) >= THICK * longest
    reach = REACHES * min(height, width)
    far = min(x + w, y + h, width - x, height - y)
    solid = float(own[y : y + h, x : x + w].mean()) > 0.45
    return thick and solid and far <= reach
