"""The exact join against faiss's flat binary range search, on fingerprints of real drawings.

    python -m tests.bench.join --count 100000 [--wide] [--stored]

Joined are the plain signs of the 63 lowest coefficients; ``--stored`` takes the codes of the index instead,
whose dead zone makes copies agree better and unrelated drawings crowd.

There are not enough real drawings: the codes are drawn so that their bits are as often set, and as often set
together, as those of drawings in FOLDER. Needs faiss-cpu, which nothing else does.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.fingerprints import codes_of, fingerprint
from assetlib.imaging.doubles.join import near, pairs_within
from tests.bench.doubles import FOLDER, drawing, names


def real_codes(folder: Path, count: int, wide: bool, stored: bool) -> NDArray[np.uint64]:
    """(N, W) codes of drawings: 64 bits of the ink of the whole, or imagehash's 256."""
    rows = []
    for k, name in enumerate(names(folder, "all", set())[:: max(1, 8121 // count)][:count]):
        made = fingerprint(drawing(folder, name, bool(k % 2)))
        if not made.empty:
            own = made.coefficients[:1]
            # a step of the dead zone's width and more makes every positive coefficient count
            code = codes_of(own if stored else np.sign(own) * np.int8(127))[0, :1]
            rows.append(np.frombuffer(made.wide_hash, np.uint64) if wide else code)
    return np.stack(rows)


def grown(codes: NDArray[np.uint64], count: int, rng: np.random.Generator) -> NDArray[np.uint64]:
    """``count`` codes whose bits are as often set, and as often set together, as those of the real ones.

    Signs of normal variables with the correlations sin(pi / 2 * c) give bits with the correlations c.
    """
    bits = np.unpackbits(np.ascontiguousarray(codes).view(np.uint8), axis=1).astype(np.float64)
    share = bits.mean(axis=0).clip(0.002, 0.998)
    together = np.nan_to_num(np.corrcoef(bits + rng.normal(0, 1e-3, bits.shape), rowvar=False))
    values, vectors = np.linalg.eigh(np.sin(np.pi / 2 * together))
    root = (vectors * np.sqrt(values.clip(0))).astype(np.float32)
    bound = np.array([NormalDist().inv_cdf(1 - p) for p in share], dtype=np.float32)
    out = []
    for start in range(0, count, 20_000):
        drawn = rng.standard_normal((min(20_000, count - start), bits.shape[1]), dtype=np.float32) @ root.T
        out.append(np.ascontiguousarray(np.packbits(drawn > bound, axis=1)).view(np.uint64))
    return np.concatenate(out)


def by_faiss(codes: NDArray[np.uint64], radius: int, asked: int) -> tuple[float, float]:
    """Processor seconds, and pairs i < j within the radius: ``asked`` codes searched, the rest by share."""
    import faiss

    faiss.omp_set_num_threads(1)
    index = faiss.IndexBinaryFlat(codes.shape[1] * 64)
    data = np.ascontiguousarray(codes).view(np.uint8)
    index.add(data)
    some = data[np.random.default_rng(2).permutation(len(data))[:asked]] if asked < len(data) else data
    total, start = 0, time.process_time()
    for first in range(0, len(some), 4096):
        limits, _, _ = index.range_search(some[first : first + 4096], radius + 1)
        total += int(limits[-1])
    share = len(data) / len(some)
    return (time.process_time() - start) * share, (total - len(some)) * share / 2


def peak_memory() -> float:
    """Largest memory of this process so far, MB; POSIX only."""
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--real", type=int, default=1500)
    parser.add_argument("--wide", action="store_true")
    parser.add_argument("--stored", action="store_true")
    parser.add_argument("--no-faiss", action="store_true")
    parser.add_argument(
        "--faiss-asked",
        type=int,
        default=100_000,
        help="codes that faiss searches; more are reckoned from these",
    )
    args = parser.parse_args()
    radius = 30 if args.wide else 10
    codes = grown(real_codes(FOLDER, args.real, args.wide, args.stored), args.count, np.random.default_rng(1))
    grown_to = peak_memory()
    start = time.process_time()
    found = len(pairs_within(codes, radius)[0])
    ours = time.process_time() - start
    print(f"peak memory {grown_to:.0f} MB before, {peak_memory():.0f} MB after")
    print(
        f"{args.count} codes of {codes.shape[1] * 64} bits, radius {radius}: join {ours:.2f} s, {found} pairs",
        flush=True,
    )
    flat = np.ascontiguousarray(codes[:, 0])
    start = time.process_time()
    near(flat[:8], flat, radius)
    print(f"one in eight orientations: {(time.process_time() - start) * 1000:.1f} ms")
    if not args.no_faiss:
        spent, theirs = by_faiss(codes, radius, args.faiss_asked)
        scaled = f", by a share of {args.faiss_asked} codes" if args.faiss_asked < args.count else ""
        print(f"faiss flat {spent:.2f} s, {theirs:.0f} pairs{scaled}; {spent / ours:.1f} times as long")


if __name__ == "__main__":
    main()
