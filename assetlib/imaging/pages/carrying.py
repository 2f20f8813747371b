"""Places on a page as one cut has it, found again on the same page as another has it: flattened otherwise, or not."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.masks import Region, pack_mask, unpack_mask
from assetlib.imaging.pages.fixing import PageFix
from assetlib.imaging.pages.fixing import page_size as size_of
from assetlib.imaging.pages.flattening import homography, page_size, seen_at

Points = NDArray[np.float64]
ROUNDS = 6
"""Steps that find a place between bowed sides; each leaves less than a tenth of what the last one was off by."""


def carried_points(
    points: Points, before: PageFix | None, now: PageFix | None, picture: tuple[int, int]
) -> Points:
    """Points (n, 2) of the page that one fix makes of a picture of (width, height), on the page of another fix."""
    if _lies(before) == _lies(now):
        return points
    return _on_page(_in_picture(points, before, picture), now, picture)


def carried(region: Region, before: PageFix | None, now: PageFix | None, picture: tuple[int, int]) -> Region:
    """A region of the page that one fix makes of a picture of (width, height), as it lies on the page of another."""
    if _lies(before) == _lies(now):
        return region
    x, y, w, h = region.box
    mask = np.ones((h, w), np.uint8) if region.mask is None else unpack_mask(region.mask).astype(np.uint8)
    outlines, _ = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    if not outlines:
        return region
    moved = [
        carried_points(np.add(line[:, 0], (x, y), dtype=np.float64), before, now, picture)
        for line in outlines
    ]
    low = np.floor(np.min([line.min(axis=0) for line in moved], axis=0)).astype(int)
    high = np.ceil(np.max([line.max(axis=0) for line in moved], axis=0)).astype(int) + 1
    drawn = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    cv2.fillPoly(drawn, [np.rint(line - low).astype(np.int32) for line in moved], 1)
    box = (int(low[0]), int(low[1]), drawn.shape[1], drawn.shape[0])
    return Region(region.page, box, pack_mask(drawn.astype(np.bool_)))


def carried_box(
    box: tuple[int, int, int, int], before: PageFix | None, now: PageFix | None, picture: tuple[int, int]
) -> tuple[int, int, int, int]:
    """The upright box, x, y, w, h, around where a box of one page lies on the page of another fix."""
    x, y, w, h = box
    way = np.linspace(0, 1, 9)
    rim = [(x + t * w, y + s * h) for t in way for s in way]
    there = carried_points(np.array(rim, np.float64), before, now, picture)
    low, high = np.floor(there.min(axis=0)).astype(int), np.ceil(there.max(axis=0)).astype(int)
    left, top = max(0, int(low[0])), max(0, int(low[1]))
    return left, top, max(1, int(high[0]) - left), max(1, int(high[1]) - top)


def carried_length(
    length: float, before: PageFix | None, now: PageFix | None, picture: tuple[int, int]
) -> float:
    """What a length in the middle of one page is on the page of another fix, along and across alike."""
    middle = np.array(size_of(before, picture), np.float64) / 2
    ends = middle + length / 2 * np.array([(-1, 0), (1, 0), (0, -1), (0, 1)])
    left, right, upper, lower = carried_points(ends, before, now, picture)
    return round(float((np.hypot(*(right - left)) * np.hypot(*(lower - upper))) ** 0.5), 2)


def _lies(fix: PageFix | None) -> object:
    """What of a fix moves places: print that is taken out does not."""
    return None if fix is None or fix.corners is None else (fix.corners, fix.bows)


def _in_picture(points: Points, fix: PageFix | None, picture: tuple[int, int]) -> Points:
    if fix is None or fix.corners is None:
        return points
    return seen_at(points, np.array(fix.corners, np.float64), fix.bows, picture)


def _on_page(points: Points, fix: PageFix | None, picture: tuple[int, int]) -> Points:
    """Where points of the picture lie on the page."""
    if fix is None or fix.corners is None:
        return points
    corners = np.array(fix.corners, np.float64)
    matrix = homography(corners, page_size(corners, picture))
    unbent = points
    for _ in range(ROUNDS if any(fix.bows) else 0):
        there = cv2.perspectiveTransform(unbent[:, None], matrix)[:, 0]
        unbent = unbent + points - seen_at(np.asarray(there, np.float64), corners, fix.bows, picture)
    return np.asarray(cv2.perspectiveTransform(unbent[:, None], matrix)[:, 0], np.float64)
