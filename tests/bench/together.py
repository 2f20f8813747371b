"""Two writers, one of them cutting a sheet, and ten readers on one library: nothing lost, nothing said.

python -m tests.bench.together [--seconds 600]
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from PIL import Image, ImageDraw

from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.choosing import Choice, chosen
from assetlib.services.finding.showing import show
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.starting import start_library
from tests.cli.pages import three_shapes
from tests.services.test_together import run_together

ROUNDS = 20
"""What each process does before the time is looked at again; every batch starts its processes anew."""

READERS = 10
CUTS = 4
"""How often the sheet is cut in a batch, with other corrections each time; an even number ends with three drawings."""


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--seconds", type=float, default=600)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        print(together(Path(name), chosen.seconds))


def together(work: Path, seconds: float) -> str:
    """What happened, in one line; exits with what a process said, or with what was lost."""
    picture = Image.new("RGB", (200, 120), "white")
    ImageDraw.Draw(picture).line((10, 100, 190, 20), fill="black", width=3)
    picture.save(work / "ferry.png")
    three_shapes().save(work / "shapes.png")
    lib = start_library(work / "library")
    sheet = bring_in(lib, [work / "shapes.png"], Wishes(role="sheet")).added[0].code
    bring_in(lib, [work / "ferry.png"])
    batches = 0
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        # A drawing of its own for every batch: its tags show what that batch wrote.
        picture.putpixel((batches % 200, 5), (0, 0, 0))
        picture.save(work / f"gull {batches}.png")
        code = bring_in(lib, [work / f"gull {batches}.png"]).added[0].code
        if said := run_together(lib.folder, code, ROUNDS, writers=1, readers=READERS, sheet=sheet, cuts=CUTS):
            raise SystemExit("\n".join(said))
        if lost := {f"writer 0 {n}" for n in range(ROUNDS)} - set(show(lib, code).card.tags):
            raise SystemExit(f"lost: {sorted(lost)}")
        if len(on_shelf := chosen(lib, Choice(sheets=(sheet,))).codes) != 3:
            raise SystemExit(f"of the sheet there are {on_shelf}")
        batches += 1
    if not check(lib).clean:
        raise SystemExit("\n".join(map(str, check(lib).problems)))
    return (
        f"{batches} batches of 2 writers and {READERS} readers, {batches * ROUNDS} tags and {batches * CUTS} cuts "
        "written, none lost, nothing said"
    )


if __name__ == "__main__":
    main()
