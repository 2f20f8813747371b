"""Clean copies looked at: made by the commands from pages as they come, judged by eye, and held against what is told.

`python -m tests.bench.copies make HALF --to FOLDER` makes pages, library, copies and contact sheets for looking at;
`report HALF --to FOLDER` holds the verdicts in `copies_looked_at.tsv`, written down before anything told was seen,
against what the copies say of themselves. A copy that came out other than it was looked at is named and not counted.
What is right of the half 'fresh' was written down from its pages alone, in `copies_right.tsv`, before copies were seen.
`drawn` measures bodies of things drawn by hand by what is known of them.
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from assetlib.catalogue import queries
from assetlib.errors import BadPicture
from assetlib.imaging.assembly import assemble
from assetlib.imaging.cleaning.copying import make_copy
from assetlib.imaging.cleaning.ink import lift
from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.pictures import picture_plan
from assetlib.services.versions import current_cut
from tests.bench import copy_pages, copy_pages_more
from tests.bench.copy_pages import HALVES, make_files
from tests.bench.copy_strokes import draw_known

Pixels = NDArray[np.uint8]
VERDICTS = Path(__file__).with_name("copies_looked_at.tsv")
BASES = {"tune": 811, "report": 40_417, "practice": 52_901, "fresh": 77_003}
PLANS = dict.fromkeys(("tune", "report"), copy_pages.PLAN) | dict.fromkeys(
    ("practice", "fresh"), copy_pages_more.PLAN
)
CELL, ACROSS, DOWN = 300, 2, 4  # pixels of a picture, copies on a contact sheet
WHITE, COLOURED = (255, 255, 255), (96, 140, 132)  # frames that copies are looked at on
PRINT_SIDE, SAME_WITHIN = (
    12,
    0.5,
)  # a copy is as it was looked at up to this mean difference, in sixteenths of grey
DRAWN_SEED, DRAWN_SIDE = 77, 600
USABLE, TOUCH, CANNOT = "usable", "touch", "cannot"


@dataclass(frozen=True, slots=True)
class Looked:
    """A copy: its name, its original and body copy as files, what it says of itself."""

    name: str
    original: Path
    body: Path
    sure: str
    why: tuple[str, ...]


def _ask(library: Path, *words: str) -> Any:
    command = [_tool(), *words, "--json"]
    done = subprocess.run(
        command,
        capture_output=True,
        text=True,
        env={**os.environ, "ASSETLIB_LIBRARY": str(library)},
        check=False,
    )
    try:
        return json.loads(done.stdout)
    except ValueError:
        raise SystemExit(f"{' '.join(words[:3])}: {done.stdout[-500:]} {done.stderr[-1500:]}") from None


def make(half: str, folder: Path) -> None:
    """Make the pages of a half, bring them in, cut them, make the copies, and lay them on contact sheets."""
    made = make_files(folder / "pages", half, BASES[half], PLANS[half])
    library = folder / "library"
    subprocess.run([_tool(), "start", str(library), "--artist", "A", "--contact", "a@b.example"], check=True)
    codes = {}
    for kind in ("sheets", "drawings"):
        answer = _ask(
            library,
            "intake",
            str(folder / "pages" / kind),
            "--as",
            kind.removesuffix("s").replace("drawing", "element"),
        )
        codes |= {Path(row["source"]).name: row["code"] for row in answer["added"]}
    rng = np.random.default_rng(BASES[half])
    wanted: list[tuple[str, str]] = []
    for file in made:
        code = codes.get(file.name)
        if code is None:
            print(f"{file.name} did not come in")
        elif file.is_sheet:
            (sheet,) = _ask(library, "cut", code)["sheets"]
            order = rng.permutation(len(sheet["elements"]))[: file.wanted]
            rows = [sheet["elements"][k] for k in sorted(order)]
            wanted += [(f"{Path(file.name).stem} {row['order']}", row["code"]) for row in rows]
        else:
            wanted.append((Path(file.name).stem, code))
    (folder / "wanted.json").write_text(json.dumps(wanted, indent=1))
    look(folder)


def look(folder: Path) -> list[Looked]:
    """The copies of a folder as they come out now, made where they are not, and laid on contact sheets."""
    looked = []
    with closing(Library.open(folder / "library")) as lib:
        for name, code in json.loads((folder / "wanted.json").read_text()):
            try:
                copy = clean_copies.make(lib, code)
            except BadPicture as failure:
                print(f"{name}: {failure.sentence}")
                continue
            original = folder / "originals" / f"{name}.png"
            if not original.exists():
                _write_original(lib, code, original)
            looked.append(Looked(name, original, copy.body, copy.sure, copy.sure_why))
    for k in range(0, len(looked), ACROSS * DOWN):
        _contact(looked[k : k + ACROSS * DOWN]).save(folder / f"contact-{k // (ACROSS * DOWN):02d}.png")
    return looked


def _write_original(lib: Library, code: str, target: Path) -> None:
    """What stands on the flat page in the drawing's box, paper and all."""
    target.parent.mkdir(exist_ok=True)
    with lib.reading() as session:
        plan = picture_plan(lib, session, current_cut(queries.entry(session, code)).id)
    assert plan is not None
    whole = replace(plan, pieces=tuple(replace(piece, mask=None) for piece in plan.pieces))
    picture = Image.fromarray(assemble(whole))
    picture.thumbnail((2 * CELL, 2 * CELL))
    picture.save(target)


def _tool() -> str:
    return str(Path(sys.executable).with_name("assetlib"))


def _contact(looked: list[Looked]) -> Image.Image:
    """Originals, and their copies on white and on a colour, side by side."""
    page = Image.new("RGB", (ACROSS * (3 * CELL + 28), DOWN * (CELL + 24)), (60, 60, 60))
    pen = ImageDraw.Draw(page)
    for k, one in enumerate(looked):
        x, y = (k % ACROSS) * (3 * CELL + 28), (k // ACROSS) * (CELL + 24)
        grounds = ((one.original, (200, 200, 205)), (one.body, WHITE), (one.body, COLOURED))
        for j, (path, ground) in enumerate(grounds):
            with Image.open(path) as opened:
                page.paste(_fit(opened.convert("RGBA"), ground), (x + j * (CELL + 4), y + 18))
        pen.text((x + 4, y + 3), one.name, fill="white")
    return page


def _fit(picture: Image.Image, colour: tuple[int, int, int]) -> Image.Image:
    picture.thumbnail((CELL, CELL), Image.Resampling.LANCZOS)
    ground = Image.new("RGBA", (CELL, CELL), colour)
    ground.alpha_composite(picture, ((CELL - picture.width) // 2, (CELL - picture.height) // 2))
    return ground.convert("RGB")


def _print(body: Path) -> str:
    """What a copy looks like, small, over grey: a hexadecimal digit a place."""
    with Image.open(body) as opened:
        picture = opened.convert("RGBA")
    ground = Image.new("RGBA", picture.size, (128, 128, 128))
    ground.alpha_composite(picture)
    small = ground.convert("L").resize((PRINT_SIDE, PRINT_SIDE), Image.Resampling.BOX)
    return "".join(f"{value >> 4:x}" for value in small.tobytes())


def _as_looked_at(one: str, other: str) -> bool:
    apart = [abs(int(a, 16) - int(b, 16)) for a, b in zip(one, other, strict=True)]
    return sum(apart) / len(apart) <= SAME_WITHIN


def note(half: str, folder: Path, verdicts: dict[str, str]) -> None:
    """Keep verdicts by name, with what the copies looked like; those of the half that were there are replaced."""
    kept = [row for row in _verdicts() if row["half"] != half]
    for one in look(folder):
        kept.append(
            {"half": half, "name": one.name, "verdict": verdicts[one.name], "print": _print(one.body)}
        )
    with VERDICTS.open("w", newline="") as file:
        writer = csv.DictWriter(
            file, ["half", "name", "verdict", "print"], delimiter="\t", lineterminator="\n"
        )
        writer.writeheader()
        writer.writerows(kept)


def _verdicts() -> list[dict[str, str]]:
    if not VERDICTS.exists():
        return []
    with VERDICTS.open(newline="") as file:
        return list(csv.DictReader(file, delimiter="\t"))


def report(half: str, folder: Path, each: bool) -> None:
    """Print how many copies can be used, and how well they say so themselves."""
    known = {row["name"]: row for row in _verdicts() if row["half"] == half}
    judged = []
    for one in look(folder):
        row = known.get(one.name)
        if row is None or not _as_looked_at(row["print"], _print(one.body)):
            print(f"to be looked at again: {one.name}")
            continue
        judged.append((row["verdict"], one))
        if each:
            print(f"{row['verdict']:8s} {one.sure:10s} {one.name:34s} {'; '.join(one.why)}")
    counts = {verdict: [one for own, one in judged if own == verdict] for verdict in (USABLE, TOUCH, CANNOT)}
    print(
        f"{len(judged)} looked at: " + ", ".join(f"{len(own)} {verdict}" for verdict, own in counts.items())
    )
    print(f"can be used as they are: {len(counts[USABLE]) / max(1, len(judged)):.2f}")
    for told, group in (
        ("cannot", counts[CANNOT]),
        ("cannot or want a touch", counts[CANNOT] + counts[TOUCH]),
    ):
        share = sum(one.sure != "sure" for one in group) / max(1, len(group))
        print(f"of {len(group)} that {told}, told: {share:.2f}")
    sure = [verdict for verdict, one in judged if one.sure == "sure"]
    print(
        f"of {len(sure)} told sure: as they are {sure.count(USABLE) / max(1, len(sure)):.2f}, "
        f"with a touch {1 - sure.count(CANNOT) / max(1, len(sure)):.2f}"
    )


def measure_drawn(count: int) -> None:
    """Print how well bodies of things drawn by hand, openings as proposed, meet what of them is not seen through."""
    for way in ("transparent", "paper"):
        shares = []
        for k in range(count):
            rng = np.random.default_rng([DRAWN_SEED, k])
            _, line, _, solid = draw_known(rng, DRAWN_SIDE, k)
            picture = _laid(line, way, rng)
            ink = lift(picture)
            copy = make_copy(picture, ink, picture, (), ((0, 0), (0, 0)), False)
            found = (copy.layer[..., 3] > 127) | (ink[..., 3] > 127)
            wanted = solid | (line > 0.5)
            shares.append(float((found & wanted).sum() / (found | wanted).sum()))
        print(
            f"{way}: mean IoU {np.mean(shares):.4f}, over .93 {np.mean(np.array(shares) > 0.93):.2f} of {count}"
        )


def _laid(line: NDArray[np.float32], way: str, rng: np.random.Generator) -> Pixels:
    """A line as black ink, uint8 (H, W, 4), on transparent ground or on grainy paper."""
    picture = np.full((*line.shape, 4), 255, np.uint8)
    if way == "transparent":
        picture[..., :3], picture[..., 3] = 20, np.rint(255 * line)
    else:
        grain = rng.normal(0, 1.5, (*line.shape, 1))
        picture[..., :3] = np.clip(250 - 230 * line[..., None] + grain, 0, 255)
    return picture


def main() -> None:
    """Make, note or report."""
    options = argparse.ArgumentParser()
    options.add_argument("what", choices=("make", "note", "report", "drawn"))
    options.add_argument("half", choices=HALVES, nargs="?", default="report")
    options.add_argument("--to", type=Path, help="a folder for pages, library and contact sheets")
    options.add_argument("--count", type=int, default=48)
    options.add_argument("--verdicts", type=Path, help="a JSON file of verdicts by name, for note")
    options.add_argument("--each", action="store_true")
    asked = options.parse_args()
    if asked.what == "drawn":
        measure_drawn(asked.count)
    elif asked.to is None:
        options.error("name a folder with --to")
    elif asked.what == "make":
        make(asked.half, asked.to)
    elif asked.what == "note":
        note(asked.half, asked.to, json.loads(asked.verdicts.read_text()))
    else:
        report(asked.half, asked.to, asked.each)


if __name__ == "__main__":
    main()
