"""Makes the studio library: two thirds titled and brought in as files, one third cut untitled from sheets.

    python -m tests.bench.studio.library FOLDER [--seed N]     (some minutes; FOLDER is kept and found again)

`truth.json` beside the library holds, by code, what each drawing shows and whether it is titled.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from pathlib import Path

from assetlib.cli.render import Bar
from assetlib.config import Settings
from assetlib.library import Library
from assetlib.services.bringing import cutting
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding import likeness
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.starting import start_library
from demo_assets.sheets import Item, Sheet, _cells, draw_sheet, render
from tests.bench.studio.figures import Drawing, groups, singles
from tests.bench.studio.things import creatures, hand_drawings, objects, streets, vehicles

SIZE = 460
"""Longest side of a single drawing, in pixels."""

A_SHEET = 12


def all_drawings(seed: int = 0) -> list[Drawing]:
    """Every drawing of the library, in one order; another seed makes another studio."""
    people = (*singles(seed), *groups(seed))
    return [*people, *hand_drawings(), *vehicles(seed), *creatures(), *streets(), *objects()]


def untitled(drawings: list[Drawing], seed: int = 0) -> list[int]:
    """Which third stays untitled: taken evenly, so that most of what it shows is titled elsewhere as well."""
    chosen = list(range(seed % 3, len(drawings), 3))
    random.Random(5 + seed).shuffle(chosen)
    return chosen


def make(folder: Path, seed: int = 0) -> None:
    """Build the library in `folder`, with what its drawings look like."""
    drawings = all_drawings(seed)
    bare = untitled(drawings, seed)
    lib = start_library(folder / "library", Settings(name="Studio", artist="Ida Brandt"))
    truth = _titled(lib, folder / "files", drawings, sorted(set(range(len(drawings))) - set(bare)))
    truth |= _cut(lib, folder / "sheets", drawings, bare)
    wanted = [row for row in upkeep.derivations(lib) if row.kind in ("proof", "vector")]
    upkeep.work_off(lib, wanted, progress=Bar())
    likeness.build(lib)
    lib.close()
    (folder / "truth.json").write_text(json.dumps(truth, indent=1, sort_keys=True), encoding="utf-8")


def _titled(lib: Library, folder: Path, drawings: list[Drawing], chosen: list[int]) -> dict[str, object]:
    folder.mkdir(parents=True, exist_ok=True)
    for number in Bar().track(chosen, "drawing", len(chosen)):
        art = render(f"{number} {drawings[number].title}", drawings[number].draw, SIZE, SIZE, 2.4)
        art.convert("LA").save(folder / f"IMG_{number:04}.png")
    report = bring_in(lib, [folder], Wishes(role="element"), progress=Bar())
    truth: dict[str, object] = {}
    for item in report.added:
        drawing = drawings[int(Path(item.source).stem.split("_")[1])]
        describe(lib, [item.code], Description(title=drawing.title))
        truth[item.code] = {"shows": sorted(drawing.shows), "titled": True, "title": drawing.title}
    return truth


def _cut(lib: Library, folder: Path, drawings: list[Drawing], chosen: list[int]) -> dict[str, object]:
    folder.mkdir(parents=True, exist_ok=True)
    truth: dict[str, object] = {}
    pages = [chosen[start : start + A_SHEET] for start in range(0, len(chosen), A_SHEET)]
    for number, page in Bar().track(list(enumerate(pages, 1)), "sheets", len(pages)):
        name = f"asset sheet_{number:02}.png"
        boxes = _draw_page(folder / name, [drawings[n] for n in page])
        (added,) = bring_in(lib, [folder / name], Wishes(role="sheet")).added
        (cut,) = cutting.cut_sheet(lib, added.code)
        for element in cut.elements:
            box = element.element.box
            nearest = max(range(len(page)), key=lambda n: _overlap(boxes[n], box))
            if element.code and _overlap(boxes[nearest], box):
                drawing = drawings[page[nearest]]
                truth[element.code] = {
                    "shows": sorted(drawing.shows),
                    "titled": False,
                    "title": drawing.title,
                }
    return truth


def _draw_page(path: Path, drawings: list[Drawing]) -> list[tuple[int, int, int, int]]:
    cells = _cells(4, 3)
    items = tuple(
        Item(f"{d.title} {x}", d.draw, x, y, 400, 400) for d, (x, y) in zip(drawings, cells, strict=False)
    )
    page, boxes = draw_sheet(Sheet(path.name, items))
    page.quantize(16).save(path)
    return boxes


def _overlap(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> int:
    wide = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    tall = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return max(0, wide) * max(0, tall)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=0)
    chosen = parser.parse_args()
    print(f"{len(all_drawings(chosen.seed))} drawings", file=sys.stderr)
    make(chosen.folder, chosen.seed)


if __name__ == "__main__":
    main()
