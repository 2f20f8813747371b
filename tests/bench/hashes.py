"""Whether imagehash's hash of our normalised picture finds doubles as well as our own code of it.

    python -m tests.bench.hashes [FOLDER] --library 800 --asked 30 [--cache FOLDER]

Both are taken of one and the same picture: the ink of the trimmed drawing, paper left out, and both are asked in all
eight orientations. What is compared is how often the original is nearest, and among the 30 nearest that are looked at
closely (`candidates.MOST_CANDIDATES`), by the hash of the whole drawing alone. *stored* is imagehash's hash as it is
kept with each drawing, of the trimmed drawing on white, asked as it lies: what a picture is recognised by outside.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import cv2
import imagehash
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.doubles.candidates import ASPECT_GATE, MOST_CANDIDATES, Index
from assetlib.imaging.doubles.fingerprints import Fingerprint, fingerprint, oriented_codes
from tests.bench.derived_copies import TRANSFORMS
from tests.bench.doubles import FOLDER, drawing, library, names

Bits = NDArray[np.uint8]
"""(O, B) packed bits of a picture in O orientations, as it lies first."""


def own(count: int) -> Callable[[Fingerprint], Bits]:
    """Our code of the whole drawing: its first 64 bits, or all 128."""
    return lambda made: np.ascontiguousarray(
        oriented_codes(made.coefficients[:1])[:, 0, :count].astype(">u8")
    ).view(np.uint8)


def foreign(side: int) -> Callable[[Fingerprint], Bits]:
    """imagehash.phash of the same ink, in the eight orientations."""

    def taken(made: Fingerprint) -> Bits:
        lying = [
            np.rot90(flipped, k) for flipped in (made.portrait, made.portrait[:, ::-1]) for k in range(4)
        ]
        hashes = [imagehash.phash(Image.fromarray(np.ascontiguousarray(p)), hash_size=side) for p in lying]
        return np.stack([np.packbits(one.hash) for one in hashes])

    return taken


def stored(made: Fingerprint) -> Bits:
    """The 256 bits that are kept, one orientation."""
    return np.frombuffer(made.wide_hash, np.uint8)[None]


WAYS: dict[str, Callable[[Fingerprint], Bits]] = {
    "own 63": own(1),
    "own 127": own(2),
    "imagehash 64": foreign(8),
    "imagehash 256": foreign(16),
    "stored 256": stored,
}


def places(asked: Bits, held: Bits, near: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Numbers of the held (N, B), nearest first; those whose proportions differ too much last."""
    apart = np.bitwise_count(held[:, None] ^ asked[None]).sum(axis=2).min(axis=1).astype(np.int64)
    return np.argsort(apart + np.where(near, 0, 1000), kind="stable")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    parser.add_argument("folder", nargs="?", type=Path, default=FOLDER)
    parser.add_argument("--library", type=int, default=800)
    parser.add_argument("--asked", type=int, default=30)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cache", type=Path, help="folder in which fingerprints are kept for the next run")
    args = parser.parse_args()
    cv2.setNumThreads(1)
    every = names(args.folder, "report", set(), 200)
    chosen = [
        every[k] for k in np.random.default_rng(args.seed).permutation(len(every))[: args.library].tolist()
    ]
    prints = library(args, chosen)
    held = {way: np.stack([take(made)[0] for made in prints]) for way, take in WAYS.items()}
    aspects = np.array([float(made.aspects()[0]) for made in prints])
    index = Index(prints)
    numbers = [k for k, made in enumerate(prints) if not made.empty]
    asked = np.random.default_rng(args.seed).permutation(numbers)[: args.asked].tolist()
    print(f"{'transform':18}", *(f"{way:>16}" for way in WAYS), f"{'all our views':>14}", flush=True)
    totals: Counter[str] = Counter()
    spent: Counter[str] = Counter()
    for number, (name, (transform, _)) in enumerate(TRANSFORMS.items()):
        counts: Counter[str] = Counter()
        for k in asked:
            rng = np.random.default_rng([args.seed, number, k])
            others = [
                drawing(args.folder, chosen[(k + 1 + i) % len(chosen)], bool((k + 1 + i) % 2))
                for i in range(11)
            ]
            made = fingerprint(transform(drawing(args.folder, chosen[k], bool(k % 2)), rng, others))
            aspect = float(made.aspects()[0])
            either = np.minimum(abs(aspects - aspect), abs(aspects + aspect))
            for way, take in WAYS.items():
                start = time.process_time()
                bits = take(made)
                spent[way] += time.process_time() - start  # type: ignore[assignment]
                order = places(bits, held[way], either <= ASPECT_GATE)[:MOST_CANDIDATES]
                counts[way, "first"] += int(order[0] == k)  # type: ignore[index]
                counts[way, "near"] += int(k in order)  # type: ignore[index]
            counts["all"] += int(k in index.found(made))
        n = len(asked)
        cells = [f"{counts[way, 'first'] / n:8.2f}{counts[way, 'near'] / n:8.2f}" for way in WAYS]  # type: ignore[index]
        print(f"{name:18}", *cells, f"{counts['all'] / n:14.2f}", flush=True)
        totals.update(counts)
    n = len(asked) * len(TRANSFORMS)
    cells = [f"{totals[way, 'first'] / n:8.3f}{totals[way, 'near'] / n:8.3f}" for way in WAYS]  # type: ignore[index]
    print(f"{'all':18}", *cells, f"{totals['all'] / n:14.3f}")
    print({way: f"{spent[way] / n * 1000:.2f} ms" for way in WAYS}, "processor time a picture, hash alone")


if __name__ == "__main__":
    main()
