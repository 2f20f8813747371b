"""How well sheets are cut: F1 at IoU 0.75 by kind, sheets entirely right, seconds a sheet.

`python -m tests.bench.sheets [--sheets 10] [--half report] [--seed 1000] [--largest 3200] [--kinds scan,grid]`
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable

import cv2
import numpy as np

from assetlib.imaging.cutting.placing import Box
from assetlib.imaging.cutting.sheets import cut
from tests.bench.sheet_maker import EXTRA, KINDS, make_sheet

ENOUGH = 0.75


def overlap(a: Box, b: Box) -> float:
    """Intersection over union of two boxes x, y, w, h."""
    w = min(a[0] + a[2], b[0] + b[2]) - max(a[0], b[0])
    h = min(a[1] + a[3], b[1] + b[3]) - max(a[1], b[1])
    shared = max(0, w) * max(0, h)
    return shared / (a[2] * a[3] + b[2] * b[3] - shared)


def matches(found: list[Box], true: list[Box]) -> int:
    """How many true boxes are met, each by one found box of its own."""
    pairs = sorted(
        ((overlap(f, t), i, j) for i, f in enumerate(found) for j, t in enumerate(true)), reverse=True
    )
    used_found: set[int] = set()
    used_true: set[int] = set()
    for share, i, j in pairs:
        if share >= ENOUGH and i not in used_found and j not in used_true:
            used_found.add(i)
            used_true.add(j)
    return len(used_true)


def measure(
    kinds: Iterable[str], seeds: range, half: str, largest: int
) -> dict[str, list[tuple[int, int, int, float]]]:
    """Per kind and sheet: matched, found, true, seconds."""
    rows: dict[str, list[tuple[int, int, int, float]]] = {}
    for kind in kinds:
        for seed in seeds:
            sheet = make_sheet(kind, seed, half, largest)
            began = time.perf_counter()
            found = [piece.box for piece in cut(sheet.rgba).pieces]
            took = time.perf_counter() - began
            rows.setdefault(kind, []).append(
                (matches(found, sheet.boxes), len(found), len(sheet.boxes), took)
            )
    return rows


def line(name: str, rows: list[tuple[int, int, int, float]]) -> str:
    """One printed line: F1, precision, recall, share of sheets entirely right, seconds."""
    met, found, true = (sum(row[k] for row in rows) for k in range(3))
    right = float(np.mean([row[0] == row[1] == row[2] for row in rows]))
    seconds = float(np.mean([row[3] for row in rows]))
    f1 = 2 * met / max(1, found + true)
    quality = f"F1 {f1:.3f}  P {met / max(1, found):.3f}  R {met / max(1, true):.3f}  right {right:.2f}"
    return f"{name:20s} {quality}  {seconds:.2f} s  ({true} drawings)"


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser()
    options.add_argument("--sheets", type=int, default=10)
    options.add_argument("--half", default="report")
    options.add_argument("--seed", type=int, default=1000)
    options.add_argument("--largest", type=int, default=3200)
    options.add_argument("--kinds", default="")
    chosen = options.parse_args()
    cv2.setNumThreads(1)
    kinds = chosen.kinds.split(",") if chosen.kinds else [*KINDS, *EXTRA]
    rows: dict[str, list[tuple[int, int, int, float]]] = {}
    for kind in kinds:
        rows |= measure([kind], range(chosen.seed, chosen.seed + chosen.sheets), chosen.half, chosen.largest)
        print(line(kind, rows[kind]), flush=True)
    ten = [row for kind in KINDS for row in rows.get(kind, [])]
    if ten:
        print(line("all ten kinds", ten))
    large = make_sheet("scan", 7, chosen.half, 3200).rgba
    large = cv2.resize(large, (4000, 3000), interpolation=cv2.INTER_CUBIC)
    began = time.perf_counter()
    cut(large)
    print(f"4000 x 3000 scan: {time.perf_counter() - began:.2f} s")


if __name__ == "__main__":
    main()
