"""An intake killed at many random moments: after each the library is whole, and a rerun completes it.

    python -m tests.bench.kills 100 [--seed 1]

Prints how many intakes were still running when they were killed; stops with the failing moment otherwise.
"""

from __future__ import annotations

import argparse
import random
import shutil
import tempfile
from pathlib import Path

from PIL import Image, ImageDraw

from assetlib.services.keeping.starting import start_library
from tests.services.test_kills import DRAWINGS, assert_whole_after_rerun, kill_an_intake

EARLIEST, LATEST = 0.3, 6.0
"""Seconds after the start; later than in the tests, so that on a busy machine kills fall late in the work as well."""


def make_drawings(folder: Path) -> Path:
    """A folder of a dozen small line drawings, no two alike."""
    folder.mkdir()
    for number in range(DRAWINGS):
        picture = Image.new("RGB", (100 + number, 80), "white")
        ImageDraw.Draw(picture).ellipse((10, 10, 40 + 4 * number, 60), outline="black", width=2)
        picture.save(folder / f"drawing {number}.png")
    return folder


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("times", type=int, nargs="?", default=100)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    rng = random.Random(chosen.seed)
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        drawings = make_drawings(work / "drawings")
        start_library(work / "empty").close()
        running = 0
        for number in range(chosen.times):
            library = work / f"library {number}"
            shutil.copytree(work / "empty", library)
            after = rng.uniform(EARLIEST, LATEST)
            running += kill_an_intake(library, drawings, after)
            try:
                assert_whole_after_rerun(library, drawings, DRAWINGS)
            except AssertionError as error:
                raise SystemExit(f"killed after {after:.3f} s: {error}") from error
            shutil.rmtree(library)
    print(f"{chosen.times} kills, {running} while the intake ran: every library whole, every rerun complete")


if __name__ == "__main__":
    main()
