"""Forty pages put together by other means than those that anything was tuned on, and scans of dusty and empty paper.

Textures are photographs that Debian packages carry. Unpack them, without installing:
`mkdir T && cd T && apt-get download gimp-data krita-data mypaint-data-extras digikam-data sweethome3d`,
`for d in *.deb; do dpkg -x $d x; done; unzip -q x/usr/share/sweethome3d/sweethome3d.jar -d x/jar`, and for two tables
`pip download --no-deps scikit-image && unzip -q scikit_image*.whl 'skimage/data/*' -d x`.

`python -m tests.bench.foreign_pages T/x [--group 0] [--seed 0] [--quiet] [--keep FOLDER]`: group 0 is looked at and
tuned on, groups 1 and 2 are set aside (`--quiet` tells no page). `--dirt 24` measures on how many dusty scans nothing
is made a drawing, `--corners 60` on how many photographs the page is found, cutting none.
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import cut
from assetlib.imaging.pages.finding import find_page
from assetlib.imaging.pages.fixing import judge_page
from assetlib.services.bringing.cataloguing import SHEET_FROM
from tests.bench.foreign_papers import Textures, lay_page
from tests.bench.foreign_photos import Taken, photograph, scan
from tests.bench.page_papers import Box
from tests.bench.pages import WITHIN, true_box
from tests.bench.sheets import matches

# photographed?, many drawings?, medium, print, soil
PAGES = (
    (True, True, "ink", "plain", "none"),
    (True, True, "pencil", "plain", "crease"),
    (True, True, "ball-pen", "ruled", "none"),
    (True, True, "ink", "squared", "tape"),
    (True, True, "underdrawing", "plain", "ring"),
    (True, True, "marker", "plain", "torn"),
    (True, True, "wash", "plain", "holes"),
    (True, True, "white on dark", "plain", "none"),
    (True, False, "ink", "dotted", "ring"),
    (True, False, "pencil", "plain", "none"),
    (True, True, "ball-pen", "dotted", "holes"),
    (True, True, "wash", "plain", "ring"),
    (True, False, "ball-pen", "ruled", "torn"),
    (False, True, "ink", "plain", "none"),
    (False, True, "pencil", "plain", "crease"),
    (False, True, "ball-pen", "squared", "none"),
    (False, False, "ink", "ruled", "holes"),
    (False, True, "underdrawing", "plain", "tape"),
    (False, False, "wash", "plain", "none"),
    (False, True, "ink", "dotted", "ring"),
)
DIRT = (
    ("ink", "plain", "none"),
    ("empty", "plain", "none"),
    ("pencil", "plain", "crease"),
    ("ball-pen", "plain", "ring"),
    ("marker", "ruled", "none"),
    ("wash", "plain", "tape"),
)
FROM_DRAWING = 0.3  # of a found box: what shares less with every drawing is made of something else


def made(
    group: int, textures: Textures, seed: int = 0, only: tuple[bool, ...] = (True, False)
) -> Iterator[tuple[Taken, tuple[bool, bool, str, str, str]]]:
    """The twenty pages of a group, with what each is; of these `only` photographs (True), or scans (False)."""
    for k, page in enumerate(PAGES):
        if page[0] not in only:
            continue
        rng = np.random.default_rng([20261130, group, k, *([seed] if seed else [])])
        is_photo, many, medium, print_, soil = page
        half = "report" if group else "tune"
        flat = lay_page(rng, textures, many=many, medium=medium, print_=print_, soil=soil, half=half)
        name = f"{k:2d} {'photo' if is_photo else 'scan'} {medium}, {print_}, {soil}{'' if many else ', one'}"
        yield (photograph(flat, name, rng, textures) if is_photo else scan(flat, name, rng)), page


def dirty(count: int, group: int, textures: Textures) -> Iterator[Taken]:
    """So many dusty scans; every sixth is of empty paper."""
    for k in range(count):
        rng = np.random.default_rng([777, group, k])
        medium, print_, soil = DIRT[k % len(DIRT)]
        many = bool(rng.random() < 0.7)
        half = "report" if group else "tune"
        flat = lay_page(rng, textures, many=many, medium=medium, print_=print_, soil=soil, half=half)
        yield scan(flat, f"{k:2d} {medium}, {print_}, {soil}", rng)


def corner_error(found: NDArray[np.float64] | None, page: Taken) -> float:
    """The corner farthest off, by the page's width; a torn corner is right anywhere along its tear."""
    if page.corners is None or found is None:
        return 0.0 if page.corners is None and found is None else float("inf")
    width = float(np.hypot(*(page.corners[1] - page.corners[0])))
    tears = (page.torn if page.torn is not None else page.corners) - page.corners
    errors = []
    for turned in (np.roll(found, r, axis=0) for r in range(4)):
        away = turned - page.corners
        along = (away * tears).sum(axis=1) / np.maximum(1e-9, (tears**2).sum(axis=1))
        errors.append(np.hypot(*(away - np.clip(along, 0, 1)[:, None] * tears).T).max())
    return float(min(errors)) / width


def strays(boxes: list[Box], true: list[Box]) -> int:
    """How many boxes lie beside all drawings."""
    return sum(max((_shared(box, other) for other in true), default=0.0) < FROM_DRAWING for box in boxes)


def _shared(box: Box, other: Box) -> float:
    w = min(box[0] + box[2], other[0] + other[2]) - max(box[0], other[0])
    h = min(box[1] + box[3], other[1] + other[3]) - max(box[1], other[1])
    return max(0, w) * max(0, h) / max(1, box[2] * box[3])


class Told:
    """What was found on a page."""

    def __init__(self, page: Taken) -> None:
        began = time.process_time()
        judged = judge_page(page.rgba)
        self.fix, self.flat = judged if judged is not None else (None, page.rgba)
        self.cut = cut(self.flat)
        self.took = time.process_time() - began
        found = np.array(self.fix.corners) if self.fix is not None and self.fix.corners else None
        self.error = corner_error(found, page)
        self.boxes = [true_box(piece.box, page, self.fix) for piece in self.cut.pieces]  # type: ignore[arg-type]
        self.right = matches(self.boxes, page.boxes)
        self.printed = self.fix.printed if self.fix is not None and self.fix.printed else "plain"
        self.strays = strays(self.boxes, page.boxes)
        self.words = (
            f"{self.right} of {len(page.boxes)}, {len(self.boxes)} found, {self.strays} stray, {self.printed}, "
            f"sheet {self.cut.is_sheet:.2f}, {self.took:.1f} s"
        )


def _kinds(page: tuple[bool, bool, str, str, str]) -> list[str]:
    is_photo, _, medium, print_, _ = page
    kinds = ["all", "photographs" if is_photo else "scans"]
    if print_ != "plain":
        kinds.append("printed paper")
    if medium in ("pencil", "ball-pen", "underdrawing", "marker", "wash"):
        kinds.append("pencil, ball-pen, underdrawing, marker, wash")
    return kinds


def photographs(count: int, group: int, textures: Textures, seed: int) -> Iterator[Taken]:
    """So many photographs of pages, one seed after the other."""
    while count > 0:
        for page, _ in made(group, textures, seed, (True,)):
            if count > 0:
                yield page
            count -= 1
        seed += 1


def measure_corners(
    count: int, group: int, textures: Textures, seed: int, quiet: bool, keep: Path | None
) -> None:
    """Print on how many photographs all corners of the page are found."""
    right = []
    for page in photographs(count, group, textures, seed):
        found = find_page(page.rgba)
        error = corner_error(found.corners if found is not None else None, page)
        right.append(error < WITHIN)
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            cv2.imwrite(str(keep / f"{len(right):03d} {page.name}.jpg"), page.rgba[..., 2::-1])
        if not quiet:
            print(f"{page.name:48s} corners {100 * error:6.2f} %", flush=True)
    print(f"corners within {WITHIN:.0%}: {np.mean(right):.3f} of {len(right)}")


def measure(group: int, textures: Textures, seed: int, quiet: bool, keep: Path | None) -> None:
    """Print what was found on the pages of a group."""
    met: dict[str, np.ndarray] = defaultdict(lambda: np.zeros(3))
    corners, prints, clean, sheets = [], [], [], []
    for page, what in made(group, textures, seed):
        told = Told(page)
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            cv2.imwrite(str(keep / f"{page.name}.jpg"), page.rgba[..., 2::-1])
        for kind in _kinds(what):
            met[kind] += told.right, len(told.boxes), len(page.boxes)
        if what[0]:
            corners.append(told.error < WITHIN)
        prints.append(told.printed == what[3])
        clean.append(told.strays == 0)
        sheets.append((told.cut.is_sheet >= SHEET_FROM) == (len(page.boxes) > 1))
        if not quiet:
            print(f"{page.name:48s} corners {100 * told.error:6.2f} %  {told.words}", flush=True)
    print(
        f"corners within {WITHIN:.0%}, photographs: {np.mean(corners):.3f}   print told: {np.mean(prints):.3f}"
    )
    for kind, (right, found, true) in met.items():
        print(
            f"F1 {kind}: {2 * right / max(1, found + true):.3f}  ({right:.0f} of {true:.0f}, {found:.0f} found)"
        )
    print(f"pages without a drawing made of something else: {np.mean(clean):.3f}")
    print(f"told from a lone drawing: {np.mean(sheets):.3f}")


def measure_dirt(count: int, group: int, textures: Textures, quiet: bool, keep: Path | None) -> None:
    """Print on how many scans nothing but drawings became one."""
    clean, met = [], np.zeros(3)
    for page in dirty(count, group, textures):
        told = Told(page)
        clean.append(told.strays == 0)
        met += told.right, len(told.boxes), len(page.boxes)
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            cv2.imwrite(str(keep / f"dirt {page.name}.jpg"), page.rgba[..., 2::-1])
        if not quiet:
            print(f"{page.name:40s} {told.words}", flush=True)
    print(f"dusty scans without a drawing made of something else: {np.mean(clean):.3f} of {count}")
    print(f"F1 {2 * met[0] / max(1, met[1] + met[2]):.3f}")


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser()
    options.add_argument("textures", type=Path)
    options.add_argument("--group", type=int, default=0, choices=(0, 1, 2))
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--corners", type=int, default=0)
    options.add_argument("--dirt", type=int, default=0)
    options.add_argument("--quiet", action="store_true")
    options.add_argument("--keep", type=Path)
    asked = options.parse_args()
    cv2.setNumThreads(1)
    textures = Textures(asked.textures, asked.group)
    if asked.corners:
        measure_corners(asked.corners, asked.group, textures, asked.seed, asked.quiet, asked.keep)
    elif asked.dirt:
        measure_dirt(asked.dirt, asked.group, textures, asked.quiet, asked.keep)
    else:
        measure(asked.group, textures, asked.seed, asked.quiet, asked.keep)


if __name__ == "__main__":
    main()
