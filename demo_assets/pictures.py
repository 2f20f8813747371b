"""The pictures of the README, made from the demo by the commands themselves, so that they show what is so.

    python -m demo_assets.pictures [DEMO LIBRARY]

Without a library `assetlib demo` builds one first. Writes demo_assets/readme/: a sheet with its cuts numbered, a clean
copy over a street, and lines of the shot list with what each finds.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PIL import Image, ImageChops, ImageDraw, ImageFont

HERE = Path(__file__).parent
TARGET = HERE / "readme"
WIDTH = 1200
"""Pixels across of every picture: as wide as a README is shown on a screen of twice the dots."""
MARGIN = 24
PAPER, INK, QUIET, EDGE = (250, 248, 243), (38, 36, 33), (120, 114, 105), (226, 221, 211)
COLOURS = 96
"""Of a picture's palette: line art loses nothing by it, and is a fifth of the size."""

SHEET = "hands phones"
STREET = "bakery street 1pt_bg.png"
PASTED = (("Dog sitting", 0.63, 0.965, 0.2), ("Deckhand pointing the way", 0.4, 0.93, 0.45))
"""Title of a drawing, where its feet stand in the street, shares across and down, and its height, a share too."""
ABOUT = 0.16
"""Share of a drawing that is shown of its sheet on each side."""
NIGHT = (176, 186, 204)
"""The tone that the street is laid under, as a night exterior is: on it one sees what shows through and what not."""
LINES = (
    "INT. VAN, NIGHT - hood mount, two-shot, driver and baker",
    "INSERT - CU, thumbs typing on a phone",
    "EXT. SHOP ROW, DAWN - WS, dog sitting on the pavement waits for the van",
)
SHOWN = 5
"""Drawings shown of what a line finds."""


def main(given: Sequence[str]) -> None:
    """Make the pictures; the demo's library is built where none is named."""
    with tempfile.TemporaryDirectory(prefix="assetlib-readme-") as folder:
        library = Path(given[0]) if given else Path(folder) / "demo"
        if not given:
            _assetlib("demo", library)
        TARGET.mkdir(exist_ok=True)
        _save(sheet_with_cuts(library), "sheet.png")
        _save(copy_over_street(library, Path(folder) / "copies"), "street.png")
        _save(lines_and_finds(library), "lines.png")


def sheet_with_cuts(library: Path) -> Image.Image:
    """The picture that `cut --dry-run` shows of a sheet."""
    (code,) = (row["code"] for row in _found(library, SHEET, "--as", "sheet")[:1])
    told = _assetlib("--library", library, "cut", code, "--dry-run")
    path = next(line.partition(": ")[2] for line in told.splitlines() if line.startswith("numbered boxes: "))
    with Image.open(path) as opened:
        return _as_wide(opened.convert("RGB"), WIDTH)


def copy_over_street(library: Path, folder: Path) -> Image.Image:
    """Drawings as they stand on their sheet, and their clean copies pasted over a street."""
    with Image.open(HERE / "backdrops" / STREET) as opened:
        street = _toned(opened.convert("RGB"), NIGHT).convert("RGBA")
    for title, across, down, high in PASTED:
        drawing = _clean_copy(library, title, folder)
        height = round(high * street.height)
        drawing = drawing.resize(
            (round(drawing.width * height / drawing.height), height), Image.Resampling.LANCZOS
        )
        street.alpha_composite(
            drawing, (round(across * street.width - drawing.width / 2), round(down * street.height - height))
        )
    side = 320
    scene = _as_wide(street.convert("RGB"), WIDTH - side - 3 * MARGIN)
    page = Image.new("RGB", (WIDTH, scene.height + 2 * MARGIN), PAPER)
    page.paste(scene, (2 * MARGIN + side, MARGIN))
    cell = (scene.height - MARGIN * (len(PASTED) - 1)) // len(PASTED)
    for number, (title, *_) in enumerate(PASTED):
        page.paste(_on_its_sheet(title, (side, cell)), (MARGIN, MARGIN + number * (cell + MARGIN)))
    return page


def lines_and_finds(library: Path) -> Image.Image:
    """Lines of the shot list, each over the drawings that it finds, the best first."""
    cell = (WIDTH - MARGIN * (SHOWN + 1)) // SHOWN
    row = 44 + cell + 84
    page = Image.new("RGB", (WIDTH, MARGIN + row * len(LINES)), PAPER)
    pen = ImageDraw.Draw(page)
    for number, line in enumerate(LINES):
        top = MARGIN + number * row
        pen.text((MARGIN, top), line, INK, ImageFont.load_default(22))
        for place, found in enumerate(_found(library, line)[:SHOWN]):
            x, y = MARGIN + place * (cell + MARGIN), top + 40
            pen.rectangle((x, y, x + cell - 1, y + cell - 1), "white", EDGE)
            with Image.open(found["proof"]) as opened:
                proof = opened.convert("RGB")
            proof.thumbnail((cell - 20, cell - 20), Image.Resampling.LANCZOS)
            page.paste(proof, (x + (cell - proof.width) // 2, y + (cell - proof.height) // 2))
            pen.text(
                (x, y + cell + 8), _short(f"{place + 1}  {found['title']}"), INK, ImageFont.load_default(16)
            )
            pen.text((x, y + cell + 30), _short(_how_it_fits(found)), QUIET, ImageFont.load_default(16))
    return page


def _short(text: str) -> str:
    return textwrap.shorten(text, 28, placeholder=" …")


def _how_it_fits(found: dict[str, Any]) -> str:
    """Which strip of the answer a drawing stands in, and what it lacks."""
    if found["fit"] == "partly":
        return f"in part, lacks {', '.join(found['unmet'])}" if found["unmet"] else "in part"
    return {"fits": "fits", "near": "only looks like it"}[found["fit"]]


def _clean_copy(library: Path, title: str, folder: Path) -> Image.Image:
    """The drawing's ink over its body, as `clean` writes it."""
    code = next(row["code"] for row in _found(library, title, "--as", "element") if row["title"] == title)
    _assetlib("--library", library, "clean", code, "--to", folder)
    with Image.open(next(folder.glob(f"*{code}*body.png"))) as opened:
        copy = opened.convert("RGBA")
    return copy.crop(copy.getbbox())


def _on_its_sheet(title: str, size: tuple[int, int]) -> Image.Image:
    """The drawing with what stands about it on its sheet, so that the paper is seen; a picture of a size."""
    expected = json.loads((HERE / "expected.json").read_text(encoding="utf-8"))
    sheet, box = next(
        (sheet["file"], e["box"])
        for sheet in expected["sheets"]
        for e in sheet["elements"]
        if e["title"] == title
    )
    scale = (1 + 2 * ABOUT) * max(box[2] / size[0], box[3] / size[1])
    wide, high = round(size[0] * scale), round(size[1] * scale)
    with Image.open(HERE / sheet) as opened:
        left = min(max(0, box[0] + (box[2] - wide) // 2), opened.width - wide)
        top = min(max(0, box[1] + (box[3] - high) // 2), opened.height - high)
        scrap = opened.convert("RGB").crop((left, top, left + wide, top + high))
    return scrap.resize(size, Image.Resampling.LANCZOS)


def _found(library: Path, *asked: str) -> list[dict[str, Any]]:
    """What `find` answers, the best first."""
    return list(json.loads(_assetlib("--library", library, "find", *asked, "--json"))["results"])


def _assetlib(*arguments: object) -> str:
    """What a command prints."""
    done = subprocess.run(
        [sys.executable, "-c", "from assetlib.cli.main import run; run()", *map(str, arguments)],
        stdout=subprocess.PIPE, encoding="utf-8", check=True, stdin=subprocess.DEVNULL,
        env={**os.environ, "COLUMNS": "1000", "PYTHONPATH": str(HERE.parent)},
    )  # fmt: skip
    return done.stdout


def _toned(picture: Image.Image, tone: tuple[int, int, int]) -> Image.Image:
    return ImageChops.multiply(picture, Image.new("RGB", picture.size, tone))


def _as_wide(picture: Image.Image, width: int) -> Image.Image:
    return picture.resize((width, round(picture.height * width / picture.width)), Image.Resampling.LANCZOS)


def _save(picture: Image.Image, name: str) -> None:
    path = TARGET / name
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(path, optimize=True)
    print(f"{path.relative_to(HERE.parent)}  {path.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main(sys.argv[1:])
