"""Pages found, printed paper known and drawings cut on made photographs and scans, and how sheets are told.

`python -m tests.bench.pages [--pages 48] [--seed 1]` prints one line a page and the figures; even seeds are tuned on,
odd seeds are reported on. Found boxes are brought to the true page's size by its sides alone, so that a torn edge or
a curl that was not undone counts against them.
"""

from __future__ import annotations

import argparse
import time

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import cut
from assetlib.imaging.pages.fixing import judge_page
from tests.bench.page_papers import MEDIA, PRINTS, SOILS
from tests.bench.page_photos import MadePage, make_page
from tests.bench.sheets import matches

KINDS = ("grid", "scatter", "line art", "single", "multi-part", "single")
WITHIN = 0.01  # of the page's width: a corner that is right


def pages(count: int, first: int) -> list[tuple[MadePage, str, bool]]:
    """Made pages of every medium, print and soil, two in three photographed: with their print, and if sheets."""
    made = []
    for k in range(count):
        kind, medium = KINDS[k % len(KINDS)], MEDIA[5 * k % len(MEDIA)]
        printed = "plain" if medium in ("white on dark", "chalk") else PRINTS[k // 2 % len(PRINTS)]
        half = "report" if first % 2 else "tune"
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
        scale = page.size[0] / flat.shape[1], page.size[1] / flat.shape[0]
        boxes = [
            (round(x * scale[0]), round(y * scale[1]), round(w * scale[0]), round(h * scale[1]))
            for x, y, w, h in (piece.box for piece in result.pieces)
        ]
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
