"""Recall, precision and cost of the search for doubles, over a folder of PNG drawings.

    python -m tests.bench.doubles [FOLDER] --part report --library 2000 --asked 200 [--cache FOLDER]

The folder is by default that of Debian's openclipart-png. Half of the drawings, by a digest of their name,
were tuned on (``--part tune``); the other half is reported on, and alone is asked for. A library larger than this
half is filled up with the other, and then with smaller pictures. Every second drawing is made a black line on
transparent ground first. ``--pairs`` looks at all pairs of the library instead and lists what is claimed.
``--siblings`` takes pairs of one series, by folder and name, and lists those that would be merged unasked.
"""

from __future__ import annotations

import argparse
import hashlib
import itertools
import json
import multiprocessing
import re
import sqlite3
import time
import zlib
from collections import Counter
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.comparing import compare_prints
from assetlib.imaging.doubles.fingerprints import FINGERPRINT_RECIPE, Fingerprint, fingerprint
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.doubles.sameness import confirm_same_picture
from tests.bench.derived_copies import TRANSFORMS, is_told, line_drawing

Pixels = NDArray[np.uint8]
FOLDER = Path("/usr/share/openclipart/png")
LARGEST = 700
LARGEST_FILE = 60_000_000
"""Pixels; a handful of larger files are left out for the time they take."""


def names(folder: Path, part: str, held_out: set[str], smallest: int = 0) -> list[str]:
    """Drawings of one half; ``held_out`` names are never tuned on. Those with a smaller longest side are left out."""
    chosen = []
    for path in sorted(folder.rglob("*.png")):
        name = path.relative_to(folder).as_posix()[:-4]
        tuned = hashlib.sha256(name.encode()).digest()[0] % 2 == 0 and name not in held_out
        size = _size(path)
        if size[0] * size[1] > LARGEST_FILE or max(size) < smallest:
            continue
        if part == "all" or (part == "tune") == tuned:
            chosen.append(name)
    return chosen


def _size(path: Path) -> tuple[int, int]:
    """Width and height as the header of the PNG has them (PNG specification, IHDR)."""
    with path.open("rb") as file:
        head = file.read(24)
    return int.from_bytes(head[16:20], "big"), int.from_bytes(head[20:24], "big")


def drawing(folder: Path, name: str, as_line: bool) -> Pixels:
    image = Image.open(folder / f"{name}.png").convert("RGBA").convert("RGBa")
    if max(image.size) > LARGEST:
        image.thumbnail((LARGEST, LARGEST))
    rgba = np.array(image.convert("RGBA"))
    return line_drawing(rgba, zlib.crc32(name.encode()) % 3) if as_line else rgba


def ask(args: argparse.Namespace, chosen: list[str], own: int) -> None:
    """Asks for copies of some of the first ``own`` drawings."""
    rng = np.random.default_rng(args.seed)
    prints = library(args, chosen)
    index = Index(prints)
    asked = rng.permutation([k for k, fp in enumerate(prints[:own]) if not fp.empty])[: args.asked].tolist()
    print(
        f"{'transform':18} {'n':>4} {'found':>6} {'told':>6} {'perhaps':>7} {'kind':>6} {'how':>6}   kinds",
        flush=True,
    )
    spent: Counter[str] = Counter()
    for number, (name, (transform, _)) in enumerate(TRANSFORMS.items()):
        if args.only and args.only not in name:
            continue
        counts: Counter[str] = Counter()
        for k in asked:
            if k % 2 == (name != "toned") and name in ("line art", "toned"):
                continue  # line art is made of colour, tones are laid under line
            own = np.random.default_rng([args.seed, number, k])
            others = [
                drawing(args.folder, chosen[(k + 1 + i) % len(chosen)], bool((k + 1 + i) % 2))
                for i in range(11 if "sheet" in name else 1 if "beside" in name else 0)
            ]
            copy = transform(drawing(args.folder, chosen[k], bool(k % 2)), own, others)
            one_copy(prints, index, k, copy, name, counts, spent)
        n = max(1, counts["n"])
        kinds = {kind: counts[kind] for kind in [*DoubleKind, "none"] if counts[kind]}
        print(
            f"{name:18} {counts['n']:4} {counts['found'] / n:6.3f} {counts['told'] / n:6.3f} "
            f"{counts['hint'] / n:7.3f} {counts['right'] / max(1, counts['told']):6.3f} "
            f"{counts['how'] / max(1, counts['told']):6.3f}   {kinds}",
            flush=True,
        )
    queries = max(1, spent["queries"])
    print(
        {key: round(spent[key] / queries * 1000, 1) for key in ("fingerprint", "candidates", "comparing")},
        "ms",
    )


def one_copy(
    prints: list[Fingerprint],
    index: Index,
    k: int,
    copy: Pixels,
    name: str,
    counts: Counter[str],
    spent: Counter[str],
) -> None:
    start = time.process_time()
    made = fingerprint(copy)
    hashed = time.process_time()
    candidates = index.found(made)
    searched = time.process_time()
    by_details = {number for number, voted in candidates.items() if voted}
    matches = compare_prints(made, {number: prints[number] for number in candidates}, by_details)
    for key, value in (
        ("fingerprint", hashed - start),
        ("candidates", searched - hashed),
        ("comparing", time.process_time() - searched),
        ("queries", 1),
    ):
        spent[key] += value  # type: ignore[assignment]
    found = k in candidates
    verdict = next((match.verdict for match in matches if match.cut_id == k), None)
    counts["n"] += 1
    counts["found"] += found
    counts[verdict.kind if verdict else "none"] += 1
    sure = verdict is not None and verdict.kind is not DoubleKind.PERHAPS_FAMILY
    counts["told"] += found and sure
    counts["hint"] += found and verdict is not None and not sure
    counts["right"] += found and sure and verdict is not None and verdict.kind in TRANSFORMS[name][1]
    counts["how"] += sure and verdict is not None and is_told(name, verdict.how)


def library(args: argparse.Namespace, chosen: list[str]) -> list[Fingerprint]:
    """The fingerprints of the drawings, from the cache where there is one: all of them are made in one go."""
    if args.cache is None:
        return [fingerprint(drawing(args.folder, name, bool(k % 2))) for k, name in enumerate(chosen)]
    kept = Shelf(args.cache / f"{FINGERPRINT_RECIPE.replace(' ', '-')}.sqlite")
    return [kept.print_of(args.folder, name, bool(k % 2)) for k, name in enumerate(chosen)]


class Shelf:
    """Fingerprints of drawings that were made by an earlier run."""

    def __init__(self, path: Path) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        self._rows = sqlite3.connect(path, isolation_level=None)
        self._rows.execute("PRAGMA synchronous = OFF")
        self._rows.execute("CREATE TABLE IF NOT EXISTS prints (drawing TEXT PRIMARY KEY, data BLOB)")

    def print_of(self, folder: Path, name: str, as_line: bool) -> Fingerprint:
        """The fingerprint of a drawing, kept or made."""
        key = f"{folder}/{name}{' as line' if as_line else ''}"
        row = self._rows.execute("SELECT data FROM prints WHERE drawing = ?", (key,)).fetchone()
        if row is not None:
            return Fingerprint.from_bytes(row[0])
        made = fingerprint(drawing(folder, name, as_line))
        self._rows.execute("INSERT OR REPLACE INTO prints VALUES (?, ?)", (key, made.to_bytes()))
        return made


def series_of(name: str) -> str:
    """What siblings of a series share: the folder and the name, its numbers and its last word left out."""
    words = re.findall(r"[a-z]+", Path(name).name.lower())
    return f"{Path(name).parent.as_posix()}/{' '.join(words[:-1] or words)}"


def siblings(args: argparse.Namespace, chosen: list[str]) -> None:
    """Pairs of one series: what is claimed of them, and which of them ``--safe`` would merge."""
    series: dict[str, list[int]] = {}
    for k, name in enumerate(chosen):
        series.setdefault(series_of(name), []).append(k)
    every = [pair for members in series.values() for pair in itertools.combinations(members, 2)]
    order = np.random.default_rng(args.seed).permutation(len(every))[: args.siblings].tolist()
    prints = library(args, chosen)
    counts: Counter[str] = Counter()
    for number in order:
        i, j = every[number]
        # both in colour or both as lines: every second drawing of the library is a line drawing
        as_line = bool(i % 2)
        other = prints[j] if j % 2 == i % 2 else fingerprint(drawing(args.folder, chosen[j], as_line))
        matches = compare_prints(prints[i], {j: other}, {j})
        kind = matches[0].verdict.kind if matches else "none"
        counts[kind] += 1
        if kind is not DoubleKind.SAME_PICTURE:
            continue
        pictures = [drawing(args.folder, chosen[k], as_line) for k in (i, j)]
        if confirm_same_picture(*pictures):
            alike = "pixel for pixel the same" if np.array_equal(*pictures) else "not the same pixels"
            counts[f"merged, {alike}"] += 1
            print(f"merged, {alike}:", chosen[i], chosen[j], "as lines" if as_line else "", flush=True)
    print(len(order), "pairs of siblings", dict(counts))


_Claim = dict[str, object]
_asked: tuple[list[str], list[Fingerprint], Index] | None = None
"""What the processes of `pairs` share: names, prints and their index, from before they were forked."""


def pairs(args: argparse.Namespace, chosen: list[str]) -> None:
    """Lists all that is claimed among the drawings of the library, each asked once."""
    global _asked
    prints = library(args, chosen)
    index = Index(prints)
    index.found(prints[0])  # sorted once, for all processes
    _asked = chosen, prints, index
    start = time.monotonic()
    numbers = range(len(chosen))
    if args.processes > 1:
        with multiprocessing.get_context("fork").Pool(args.processes) as pool:
            found = pool.map(_claims, numbers, chunksize=20)
    else:
        found = [_claims(number) for number in numbers]
    claimed = [claim for claims in found for claim in claims]
    counts = Counter(f"{c['kind']}{' (one folder)' if c['one_folder'] else ''}" for c in claimed)
    print(f"{time.monotonic() - start:.1f} s in {args.processes} processes", dict(counts))
    if args.out:
        args.out.write_text(json.dumps(claimed, indent=0))


def _claims(i: int) -> list[_Claim]:
    assert _asked is not None
    chosen, prints, index = _asked
    cv2.setNumThreads(1)
    # as at intake: each drawing is compared with those that came before it
    found = index.found(prints[i])
    earlier = {j: prints[j] for j in found if j < i}
    claims: list[_Claim] = []
    for match in compare_prints(prints[i], earlier, {j for j, voted in found.items() if voted}):
        j, verdict = match.cut_id, match.verdict
        claims.append(
            {
                "a": chosen[j],
                "b": chosen[i],
                "lines": [j % 2, i % 2],
                "kind": verdict.kind,
                "how": verdict.how,
                "score": round(verdict.score, 3),
                "one_folder": Path(chosen[i]).parent == Path(chosen[j]).parent,
            }
        )
    return claims


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    parser.add_argument("folder", nargs="?", type=Path, default=FOLDER)
    parser.add_argument("--part", choices=("tune", "report", "all"), default="report")
    parser.add_argument("--library", type=int, default=2000)
    parser.add_argument("--asked", type=int, default=200)
    parser.add_argument(
        "--smallest", type=int, default=200, help="pixels; icons of 32 to 100 are no drawings"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="")
    parser.add_argument("--pairs", action="store_true")
    parser.add_argument("--processes", type=int, default=1, help="that look at all pairs together")
    parser.add_argument("--siblings", type=int, help="so many pairs of one series instead")
    parser.add_argument("--cache", type=Path, help="folder in which fingerprints are kept for the next run")
    parser.add_argument("--held-out", type=Path, help="JSON list of names that are never tuned on")
    parser.add_argument("--out", type=Path, help="writes the claimed pairs as JSON")
    args = parser.parse_args()
    cv2.setNumThreads(1)
    held_out = set(json.loads(args.held_out.read_text())) if args.held_out else set()
    every = names(args.folder, args.part, held_out, args.smallest)
    order = np.random.default_rng(args.seed).permutation(len(every))[: args.library]
    chosen = [every[k] for k in order.tolist()]
    own = len(chosen)
    if own < args.library:
        chosen += _others(args, set(chosen), held_out)[: args.library - own]
    if args.siblings:
        siblings(args, chosen)
    elif args.pairs:
        pairs(args, chosen)
    else:
        ask(args, chosen, own)


def _others(args: argparse.Namespace, taken: set[str], held_out: set[str]) -> list[str]:
    """What a library is filled up with: the other half, then smaller pictures."""
    larger = names(args.folder, "all", held_out, args.smallest)
    rest = [name for name in larger if name not in taken]
    small = [name for name in names(args.folder, "all", held_out) if name not in taken.union(larger)]
    return rest + small


if __name__ == "__main__":
    main()
