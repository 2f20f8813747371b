"""How clean the clean copies are. Run by hand: `python -m tests.bench.clean PART [--tune] [--count N]`.

PART: ink, body, openings, ground, speed. Figures come from odd seeds and the
second half of the drawings; `--tune` takes the other half.
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.ink import compose, lift
from tests.bench import scans

DARK_GROUNDS = ((0, 0, 0), (20, 24, 40), (60, 50, 48))
DAMAGES = ("clean", "vignette", "grain", "jpeg", "all")


def measure_ink(tune: bool, count: int, each: bool) -> None:
    """Print PSNR on dark ground, fringe, empty paper and the way back per kind of ink and damage."""
    rows: dict[tuple[str, str], list[NDArray[np.float64]]] = defaultdict(list)
    for number in range(count):
        seed = 2 * number + (0 if tune else 1)
        rng = np.random.default_rng(10_000 + seed)
        for kind in ("black", "colour", "inks", "tones"):
            truth = _make(kind, seed, rng)
            for damage in DAMAGES:
                paper = str(rng.choice(list(scans.PAPERS)))
                score = _score(scans.scan(truth, paper, damage, rng))
                rows[kind, damage].append(score)
                if each:
                    print(seed, kind, paper, damage, np.round(score, 3))
    heads = ("dark dB", "worst", "fringe", "f.max", "empty", "back dB", "ms/MP")
    print(f"{'ink':8s}{'scan':10s}" + "".join(f"{head:>9s}" for head in heads))
    for (kind, damage), scores in rows.items():
        all_scores = np.array(scores)
        mean = all_scores.mean(axis=0)
        print(
            f"{kind:8s}{damage:10s}{np.median(all_scores[:, 0]):9.1f}{all_scores[:, 0].min():9.1f}{mean[1]:9.1f}"
            f"{all_scores[:, 1].max():9.0f}{mean[2]:9.4f}{mean[3]:9.1f}{mean[4]:9.0f}"
        )


def _make(kind: str, seed: int, rng: np.random.Generator) -> NDArray[np.uint8]:
    if kind in ("inks", "tones"):
        return scans.make_mixed(seed, kind == "tones")
    names = ["black", "soft black"] if kind == "black" else ["blue", "red", "brown", "green"]
    return scans.make_line(seed, str(rng.choice(names)))


def _score(made: scans.Scan) -> NDArray[np.float64]:
    started = time.process_time()
    lifted = lift(made.rgba)
    spent = 1e9 * (time.process_time() - started) / made.rgba[..., 0].size
    errors, fringes = [], []
    for ground in DARK_GROUNDS:
        want = compose(made.truth, None, ground).astype(np.float64)
        got = compose(lifted, None, ground).astype(np.float64)
        errors.append(np.mean((want - got) ** 2))
        edge = made.truth[..., 3] < 255
        fringes.append(np.quantile((got - want).max(axis=2)[edge], 0.9999))
    empty = (lifted[..., 3][made.truth[..., 3] == 0] == 0).mean()
    back = compose(lifted, None, made.paper).astype(np.float64)
    way_back = _psnr(float(np.mean((back - made.rgba[..., :3]) ** 2)))
    return np.array([_psnr(float(np.mean(errors))), max(fringes), empty, way_back, spent])


def _psnr(error: float) -> float:
    return 10 * float(np.log10(255**2 / max(error, 1e-4)))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("part", choices=["ink"])
    parser.add_argument("--tune", action="store_true")
    parser.add_argument("--each", action="store_true", help="a line for every picture")
    parser.add_argument("--count", type=int, default=6)
    asked = parser.parse_args()
    cv2.setNumThreads(1)
    {"ink": measure_ink}[asked.part](asked.tune, asked.count, asked.each)


if __name__ == "__main__":
    main()
