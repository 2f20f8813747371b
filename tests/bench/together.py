"""Two writers and five readers on one library for two minutes: nothing lost, nothing said.

python -m tests.bench.together [--seconds 120]
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from PIL import Image, ImageDraw

from assetlib.services.bringing.intake import bring_in
from assetlib.services.finding.showing import show
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.starting import start_library
from tests.services.test_together import run_together

ROUNDS = 20
"""What each process does before the time is looked at again; every batch starts its processes anew."""


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--seconds", type=float, default=120)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        print(together(Path(name), chosen.seconds))


def together(work: Path, seconds: float) -> str:
    """What happened, in one line; exits with what a process said, or with what was lost."""
    picture = Image.new("RGB", (200, 120), "white")
    ImageDraw.Draw(picture).line((10, 100, 190, 20), fill="black", width=3)
    picture.save(work / "ferry.png")
    lib = start_library(work / "library")
    batches = 0
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        # A drawing of its own for every batch: its tags show what that batch wrote.
        picture.putpixel((batches % 200, 5), (0, 0, 0))
        picture.save(work / f"gull {batches}.png")
        if batches == 0:
            bring_in(lib, [work / "ferry.png"])
        code = bring_in(lib, [work / f"gull {batches}.png"]).added[0].code
        if said := run_together(lib.folder, code, ROUNDS):
            raise SystemExit("\n".join(said))
        expected = {f"writer {writer} {n}" for writer in range(2) for n in range(ROUNDS)}
        if lost := expected - set(show(lib, code).card.tags):
            raise SystemExit(f"lost: {sorted(lost)}")
        batches += 1
    if not check(lib).clean:
        raise SystemExit("\n".join(map(str, check(lib).problems)))
    return f"{batches} batches of 2 writers and 5 readers, {batches * 2 * ROUNDS} tags written, none lost, nothing said"


if __name__ == "__main__":
    main()
