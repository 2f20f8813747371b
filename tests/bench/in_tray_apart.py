"""The in-tray's second set: sixty drawings set aside, as five sheets in a library of their own; run by hand.

python -m tests.bench.in_tray_apart LIBRARY      makes it; then: python -m tests.bench.in_tray LIBRARY --apart

Debian's openclipart-png, as in_tray_truth_apart.tsv names them. What the cutting takes apart is joined, as the artist
would, so that only describing is measured.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image

from assetlib.config import Settings
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.bringing.trying import CutSheet
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.starting import start_library
from tests.bench.sheet_drawings import CLIP_ART, fit, read_drawing
from tests.bench.sheet_page import Page

TRUTH = Path(__file__).with_name("in_tray_truth_apart.tsv")
SIZE, ACROSS, CELL = (2400, 2000), 4, (600, 660)
SEED = 1515
NAMES = {"a": "Ada", "b": "Berta", "c": "Cilli", "d": "Dora", "e": "Emmi"}
"""What the sheets' files are called by: names say nothing of what is drawn."""


def rows() -> list[list[str]]:
    """Sheet, place, drawing, caption or -, title, facts."""
    lines = TRUTH.read_text(encoding="utf-8").splitlines()
    return [line.split("\t") for line in lines if line and not line.startswith("#")]


def place_of(box: tuple[int, int, int, int]) -> int:
    """The place on its sheet, from 1, of what lies in a box x, y, w, h."""
    x, y, w, h = box
    return 1 + int((x + w / 2) // CELL[0]) + ACROSS * int((y + h / 2) // CELL[1])


def make_sheet(name: str) -> Image.Image:
    """One of the five sheets: twelve drawings in a grid, with their captions."""
    rng = np.random.default_rng([SEED, ord(name)])
    page = Page(*SIZE, (255, 255, 255), rng, "report")
    for _, place, drawing, caption, title, *_ in (row for row in rows() if row[0] == name):
        left, top = CELL[0] * ((int(place) - 1) % ACROSS), CELL[1] * ((int(place) - 1) // ACROSS)
        found = read_drawing(CLIP_ART / f"{drawing}.png")
        assert found is not None, drawing
        picture = fit(found, 420, 440)
        h, w = picture.shape[:2]
        page.put(picture, left + (CELL[0] - w) / 2, top + 500 - h)
        if caption == "c":
            page.write(title, left + CELL[0] / 2, top + 530, 30)
    return Image.fromarray(page.rgb)


def make_library(folder: Path) -> Library:
    """The library with the five sheets cut, nothing described."""
    lib = start_library(folder, Settings(artist="Ida Brandt", contact="ida@boards.example"))
    with tempfile.TemporaryDirectory() as made:
        for name in sorted({row[0] for row in rows()}):
            path = Path(made) / f"sheets for {NAMES[name]}.png"
            make_sheet(name).save(path)
            code = bring_in(lib, [path], Wishes(role="sheet")).added[0].code
            apart = _joins(cut_sheet(lib, code))
            if apart:
                cut_sheet(lib, code, CutSettings(join=apart))
    upkeep.work_off(lib)
    return lib


def _joins(cut: list[CutSheet]) -> tuple[tuple[int, ...], ...]:
    """Pieces by number that lie in one place of the grid, where there are several."""
    at: dict[int, list[int]] = {}
    for out in cut[0].elements:
        at.setdefault(place_of(out.element.box), []).extend(out.element.numbers)
    return tuple(tuple(numbers) for numbers in at.values() if len(numbers) > 1)


def main() -> None:
    """Makes the library."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("library", type=Path)
    lib = make_library(parser.parse_args().library)
    lib.close()


if __name__ == "__main__":
    main()
