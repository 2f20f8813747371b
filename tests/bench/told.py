"""Sheets told from lone drawings, as bringing them in does: flat, scanned, photographed and soiled ones.

`python -m tests.bench.told [--count 200] [--half report] [--seed 30000]` judges so many sheets and so many drawings
and prints how many are told, and how many of the wrong ones are asked about. `--keep FILE` keeps what was measured,
for `python -m tests.bench.sheet_training again FILE`.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import JUDGED_SIDE, full_facts, reduced_facts, tell_sheet
from assetlib.imaging.pages.fixing import judge_page
from assetlib.imaging.previews import reduce_pixels
from assetlib.services.bringing.cataloguing import SHEET_FROM, UNSURE
from tests.bench.page_papers import MEDIA, PRINTS, SOILS
from tests.bench.page_photos import make_page
from tests.bench.sheet_maker import EXTRA, KINDS, make_sheet
from tests.bench.sheet_training import lone_picture

FLAT = tuple(kind for kind in (*KINDS, *EXTRA) if kind != "single")
PAGES = ("grid", "scatter", "line art", "multi-part", "frames", "grid+captions", "small and large")
LOOKED_AT = 1400  # pixels of the longer side that bringing in judges large pictures at


def pictures(count: int, first: int, half: str) -> Iterator[tuple[str, NDArray[np.uint8], bool]]:
    """So many sheets and as many lone drawings: what each is, its picture and whether it is a sheet."""
    for k in range(count):
        seed = first + 2 * k
        soiled = {
            "medium": MEDIA[k % len(MEDIA)], "print_": PRINTS[k // 3 % len(PRINTS)],
            "soil": SOILS[k // 2 % len(SOILS)], "photo": k % 3 != 0, "half": half,
        }  # fmt: skip
        if soiled["medium"] in ("white on dark", "chalk"):
            soiled["print_"] = "plain"
        if k % 2:
            page = make_page(PAGES[k // 2 % len(PAGES)], seed, **soiled)  # type: ignore[arg-type]
            yield page.name, page.rgba, len(page.boxes) > 1
            single = make_page("single", seed, **soiled)  # type: ignore[arg-type]
            yield single.name, single.rgba, False
        else:
            kind = FLAT[k // 2 % len(FLAT)]
            sheet = make_sheet(kind, seed, half, 2400)
            yield f"{kind} flat {seed}", sheet.rgba, len(sheet.boxes) > 1
            rng = np.random.default_rng([seed, 9])
            if k % 4:
                yield f"lone {seed}", lone_picture(rng, half), False
            else:
                yield f"single flat {seed}", make_sheet("single", seed, half, 2400).rgba, False


def as_brought_in(rgba: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The flat page as bringing it in judges it."""
    if rgba.shape[0] * rgba.shape[1] > 4 << 20:
        scale = LOOKED_AT / max(rgba.shape[:2])
        rgba = np.asarray(cv2.resize(rgba, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)
    judged = judge_page(rgba)
    return rgba if judged is None else judged[1]


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser()
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--half", default="report")
    options.add_argument("--seed", type=int, default=30_000)
    options.add_argument("--keep", type=Path)
    asked = options.parse_args()
    cv2.setNumThreads(1)
    kept, told = [], []
    for name, rgba, is_sheet in pictures(asked.count, asked.seed, asked.half):
        flat = as_brought_in(rgba)
        if asked.keep:
            kept.append((name, is_sheet, reduced_facts(reduce_pixels(flat, JUDGED_SIDE)), full_facts(flat)))
            asked.keep.write_bytes(pickle.dumps(kept))
            continue
        likeness = tell_sheet(flat, reduce_pixels(flat, JUDGED_SIDE))
        right = (likeness >= SHEET_FROM) == is_sheet
        doubted = UNSURE[0] <= likeness < UNSURE[1]
        told.append((is_sheet, right, doubted))
        if not right:
            print(f"{name:60s} {'sheet' if is_sheet else 'drawing'} {likeness:.2f}", flush=True)
    for kind, name in ((True, "sheets"), (False, "lone drawings")):
        own = [(right, doubted) for is_sheet, right, doubted in told if is_sheet == kind]
        if own:
            right = np.mean([one[0] for one in own])
            covered = np.mean([one[0] or one[1] for one in own])
            doubted = np.mean([one[1] for one in own])
            print(
                f"{name}: {len(own)}, told {right:.3f}, told or asked about {covered:.3f}, asked {doubted:.3f}"
            )


if __name__ == "__main__":
    main()
