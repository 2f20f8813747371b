"""Pages found, printed paper known and drawings cut on made photographs and scans, and how sheets are told.

`python -m tests.bench.pages [--pages 48] [--seed 1]` prints one line a page and the figures; odd seeds are
tuned on, even seeds from 20000 on are reported on. Found boxes are carried back to the picture, and from there by the
true way to the true page, curl and all.
"""

from __future__ import annotations

import argparse
import time

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import cut
from assetlib.imaging.pages.fixing import PageFix, judge_page
from assetlib.imaging.pages.flattening import seen_at
from tests.bench.page_papers import MEDIA, PRINTS, SOILS, Box
from tests.bench.page_photos import MadePage, make_page
from tests.bench.sheets import matches

KINDS = ("grid", "scatter", "line art", "single", "multi-part", "single")
WITHIN = 0.01  # of the page's width: a corner that is right


def pages(count: int, first: int, half: str = "report") -> list[tuple[MadePage, str, bool]]:
    """Made pages of every medium, print and soil, two in three photographed: with their print, and if sheets."""
    made = []
    for k in range(count):
        kind, medium = KINDS[k % len(KINDS)], MEDIA[5 * k % len(MEDIA)]
        printed = "plain" if medium in ("white on dark", "chalk") else PRINTS[k // 2 % len(PRINTS)]
        page = make_page(
            kind, first + 2 * k, medium=medium, print_=printed, soil=SOILS[k % len(SOILS)], photo=k % 3 != 0, half=half
        )  # fmt: skip
        made.append((page, printed, kind != "single" and len(page.boxes) > 1))
    return made


def corner_error(found: NDArray[np.float64] | None, page: MadePage) -> float:
    """The corner farthest off, by the page's width; infinite where none was found, 0 where rightly none was."""
    if page.corners is None or found is None:
        return 0.0 if page.corners is None and found is None else float("inf")
    width = float(np.hypot(*(page.corners[1] - page.corners[0])))
    turns = (np.hypot(*(np.roll(found, r, axis=0) - page.corners).T).max() for r in range(4))
    return float(min(turns)) / width


def true_box(box: Box, page: MadePage, fix: PageFix | None) -> Box:
    """Where a box of the page as it was flattened lies on the true page."""
    x, y, w, h = box
    way = np.linspace(0, 1, 9)
    rim = [(x + t * w, y + s * h) for t in way for s in way]
    points = np.array(rim, np.float64)
    if fix is not None and fix.corners:
        picture = page.rgba.shape[1], page.rgba.shape[0]
        points = seen_at(points, np.array(fix.corners), fix.bows, picture)
    there = page.on_page(points).reshape(9, 9, 2)
    # the middle of each side, as a box turned by the flattening would grow at its corners
    low_x, high_x = np.median(there[0, :, 0]), np.median(there[-1, :, 0])
    low_y, high_y = np.median(there[:, 0, 1]), np.median(there[:, -1, 1])
    return (
        round(float(low_x)),
        round(float(low_y)),
        round(float(high_x - low_x)),
        round(float(high_y - low_y)),
    )


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser()
    options.add_argument("--pages", type=int, default=48)
    options.add_argument("--seed", type=int, default=1)
    asked = options.parse_args()
    cv2.setNumThreads(1)
    corners, prints, met, told = [], [], np.zeros(3), []
    for page, printed, is_sheet in pages(asked.pages, asked.seed):
        began = time.process_time()
        judged = judge_page(page.rgba)
        fix, flat = judged if judged is not None else (None, page.rgba)
        result = cut(flat)
        took = time.process_time() - began
        found = np.array(fix.corners) if fix is not None and fix.corners else None
        error = corner_error(found, page)
        boxes = [true_box(piece.box, page, fix) for piece in result.pieces]
        right = matches(boxes, page.boxes)
        corners.append(error < WITHIN)
        prints.append((fix.printed if fix is not None and fix.printed else "plain") == printed)
        if is_sheet:
            met += right, len(boxes), len(page.boxes)
        told.append((result.is_sheet, is_sheet))
        told_of = f"{right} of {len(page.boxes)}, {len(boxes)} found"
        print(f"{page.name:58s} corners {100 * error:.2f} %  {told_of}  {took:.2f} s", flush=True)
    print(f"corners within {WITHIN:.0%}: {np.mean(corners):.3f}   print told: {np.mean(prints):.3f}")
    print(f"sheets: F1 {2 * met[0] / max(1, met[1] + met[2]):.3f}")
    right = [(likeness >= 0.5) == truth for likeness, truth in told]
    print(f"told from a lone drawing by cutting alone: {np.mean(right):.3f}")


if __name__ == "__main__":
    main()
