"""What it costs to check one new drawing for doubles in a large library: fingerprint, candidates, comparison.

    python -m tests.bench.check_cost [--count 100000] [--asked 40]

There are not enough real drawings: the library is filled up with fingerprints of real ones whose coefficients and
details are shaken so much that they are other drawings. Prints mean milliseconds of processor time, one thread.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.comparing import compare_prints
from assetlib.imaging.doubles.details import Details
from assetlib.imaging.doubles.fingerprints import Fingerprint, fingerprint
from tests.bench.doubles import FOLDER, drawing, names

REAL = 400
SHAKEN = 24.0
"""Standard deviation of what is added to coefficients, whose root mean square is 32."""

TURNED_OVER = 0.06
"""Share of the bits of details that are turned over."""


def shaken(print_: Fingerprint, rng: np.random.Generator) -> Fingerprint:
    """The fingerprint of a drawing that is not there, as unlike its model as unrelated drawings are."""
    moved = print_.coefficients + rng.normal(0, SHAKEN, print_.coefficients.shape)
    codes = print_.details.codes
    flips = np.packbits(rng.random((len(codes), 128)) < TURNED_OVER, axis=1).view(np.uint64)
    return replace(
        print_,
        coefficients=np.clip(np.round(moved), -127, 127).astype(np.int8),
        details=Details(codes ^ flips.reshape(codes.shape), print_.details.spots),
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--asked", type=int, default=40)
    parser.add_argument("--folder", type=Path, default=FOLDER)
    args = parser.parse_args()
    cv2.setNumThreads(1)
    chosen = names(args.folder, "report", set())[::9][: REAL + args.asked]
    pictures = [drawing(args.folder, name, bool(k % 2)) for k, name in enumerate(chosen)]
    real = [fingerprint(picture) for picture in pictures[:REAL]]
    real = [print_ for print_ in real if not print_.empty]
    rng = np.random.default_rng(3)
    library = [shaken(real[k % len(real)], rng) for k in range(args.count)]
    index = Index(library)
    index.candidates(real[0])  # the first search sorts the views
    spent = np.zeros(3)
    asked = pictures[REAL:]
    for picture in asked:
        marks = [time.process_time()]
        print_ = fingerprint(picture)
        marks.append(time.process_time())
        found = index.found(print_)
        marks.append(time.process_time())
        by_details = {number for number, voted in found.items() if voted}
        compare_prints(print_, {number: library[number] for number in found}, by_details)
        marks.append(time.process_time())
        spent += np.diff(marks)
    for what, seconds in zip(("fingerprint", "candidates", "comparison"), spent / len(asked), strict=True):
        print(f"{what:12} {seconds * 1000:6.1f} ms")
    print(
        f"whole check  {spent.sum() / len(asked) * 1000:6.1f} ms of processor time, {args.count:,} drawings"
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "index.npz"
        index.save(path)
        start = time.perf_counter()
        Index.load(path).candidates(real[0])
        sizes = [
            f"{file.suffix} {file.stat().st_size / 1e6:.0f} MB" for file in sorted(Path(folder).iterdir())
        ]
        print("searched files:", ", ".join(sizes))
        print(f"opening the searched file and a first search: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
