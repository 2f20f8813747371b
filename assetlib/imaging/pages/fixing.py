"""What is done to a picture so that it is a flat page: told once, kept with the cut, done again the same way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.finding import find_page, is_made
from assetlib.imaging.pages.flattening import page_size as flat_size
from assetlib.imaging.pages.flattening import straighten
from assetlib.imaging.pages.guesses import Picture
from assetlib.imaging.pages.light import even_light
from assetlib.imaging.pages.prints import Print, find_print, take_out
from assetlib.imaging.pages.rims import clear_rim


@dataclass(frozen=True, slots=True)
class PageFix:
    """What was done to a page: `corners` in pixels of the picture as it stands, clockwise from the top left, or None.

    `bows` are how far the middle of each side, from the top on clockwise, lies outside the straight line between its
    corners, in pixels. `printed` is what was taken out of the paper: 'ruled', 'squared', 'dotted' or nothing.
    """

    corners: tuple[tuple[float, float], ...] | None = None
    bows: tuple[float, ...] = ()
    printed: str = ""

    def plain(self) -> dict[str, Any]:
        """The fix as JSON keeps it."""
        return {
            "corners": [list(corner) for corner in self.corners] if self.corners else None,
            "bows": list(self.bows),
            "printed": self.printed,
        }

    def enlarged(self, across: float, down: float) -> PageFix:
        """The same fix for a picture that is so many times as wide and high."""
        corners = tuple((round(x * across, 2), round(y * down, 2)) for x, y in self.corners or ())
        bows = tuple(round(bow * (across + down) / 2, 2) for bow in self.bows)
        return PageFix(corners or None, bows, self.printed)

    @property
    def words(self) -> tuple[str, ...]:
        """What was done, as people call it."""
        said = ["photograph flattened"] if self.corners else []
        return (*said, *([f"{self.printed} paper taken out"] if self.printed else []))


def fix_from(values: dict[str, Any] | None) -> PageFix | None:
    """A fix as it was kept; None where nothing was done."""
    if not values:
        return None
    corners = values.get("corners")
    return PageFix(
        tuple((float(x), float(y)) for x, y in corners) if corners else None,
        tuple(float(bow) for bow in values.get("bows", ())),
        str(values.get("printed", "")),
    )


def judge_page(picture: Picture) -> tuple[PageFix, Picture] | None:
    """What a picture, uint8 (H, W, 3 or 4), needs to be a flat plain page, and that page; None where nothing."""
    page = find_page(picture)
    fix = PageFix()
    flat = picture
    if page is not None:
        corners = tuple((round(float(x), 2), round(float(y), 2)) for x, y in page.corners)
        fix = PageFix(corners, tuple(round(float(bow), 2) for bow in page.bows))
        flat = _flat(picture, fix)
    printed = find_print(flat) if page is not None or not is_made(picture) else None
    if printed is not None:
        fix, flat = PageFix(fix.corners, fix.bows, printed.kind), take_out(flat, printed)
    return None if fix == PageFix() else (fix, flat)


def fix_page(picture: Picture, fix: PageFix | None) -> Picture:
    """The page as the fix makes it of the picture, uint8 with as many channels."""
    if fix is None:
        return picture
    flat = _flat(picture, fix) if fix.corners else picture
    return take_out(flat, Print(fix.printed)) if fix.printed else flat


def _flat(picture: Picture, fix: PageFix) -> Picture:
    assert fix.corners is not None
    seen = straighten(picture, np.array(fix.corners, np.float64), fix.bows)
    return clear_rim(even_light(seen), seen)


def page_size(fix: PageFix | None, picture: tuple[int, int]) -> tuple[int, int]:
    """Width and height in pixels of the page that a fix makes of a picture of so many."""
    if fix is None or fix.corners is None:
        return picture
    return flat_size(np.array(fix.corners, np.float64), picture)


def outline(fix: PageFix) -> NDArray[np.int32]:
    """The page's outline in the picture, bowed sides and all, int32 (n, 1, 2), as OpenCV draws it."""
    corners = np.array(fix.corners, np.float64)
    bows = fix.bows or (0.0,) * 4
    points = []
    for k in range(4):
        start, end = corners[k], corners[(k + 1) % 4]
        way = (end - start) / max(1e-6, float(np.hypot(*(end - start))))
        outward = np.array([way[1], -way[0]])
        for t in np.linspace(0, 1, 24, endpoint=False):
            points.append(start + t * (end - start) + outward * bows[k] * 4 * t * (1 - t))
    return np.asarray(np.rint(np.array(points)), np.int32)[:, None]
