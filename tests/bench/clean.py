"""How clean the clean copies are. Run by hand: `python -m tests.bench.clean PART [--tune] [--count N]`.

PART: ink, body, openings. Figures come from odd seeds and the
second half of the drawings; `--tune` takes the other half.
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.body import LINE_ALPHA, fill_body
from assetlib.imaging.ink import compose, lift
from assetlib.imaging.openings import Opening, propose_openings
from tests.bench import drawn, scans

DARK_GROUNDS = ((0, 0, 0), (20, 24, 40), (60, 50, 48))
BARE = 16  # alpha up to which nothing is painted
ICONS = ("buttons/", "computer/", "logos/", "shapes/", "signs_and_symbols/")
DAMAGES = ("clean", "vignette", "grain", "jpeg", "all")


def measure_ink(tune: bool, count: int, each: bool, kept_apart: Path | None) -> None:
    """Print PSNR on dark ground, fringe, empty paper and the way back per kind of ink and damage."""
    del kept_apart  # made scans use no drawings
    rows: dict[tuple[str, str], list[NDArray[np.float64]]] = defaultdict(list)
    for number in range(count):
        seed = 2 * number + (0 if tune else 1)
        rng = np.random.default_rng(10_000 + seed)
        for kind in ("black", "colour", "inks", "tones"):
            truth = _make(kind, seed, rng)
            for damage in DAMAGES:
                paper = str(rng.choice(scans.TONE_PAPERS if kind == "tones" else list(scans.PAPERS)))
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


def measure_body(tune: bool, count: int, each: bool, kept_apart: Path | None) -> None:
    """Print the overlap of bodies with true silhouettes, outlines closed and cut, by way of making the line.

    The true silhouette is what paint and uncut line enclose: where the lines of two parts touch and shut in
    paper between them, that paper is a matter of openings. "painted" is the overlap with the paint's own
    silhouette, which such paper and open rings of paint are no part of.
    """
    overlaps: dict[tuple[str, int], list[tuple[float, float]]] = defaultdict(list)
    for number, _, kind, colour, line in _line_drawings(tune, count, kept_apart):
        rng = np.random.default_rng(number)
        solid = colour[..., 3] > 127
        truth = drawn.fill_holes(solid | (line >= LINE_ALPHA))
        for gaps in (0, 4, 10):
            ink = np.zeros_like(colour)
            ink[..., 3] = drawn.cut_gaps(line, gaps, rng)
            body = fill_body(ink)
            painted = drawn.fill_holes(solid) | (ink[..., 3] > 127)
            overlaps[kind, gaps].append((_overlap(body, truth), _overlap(body, painted)))
            if each:
                print(number, kind, gaps, *(round(share, 4) for share in overlaps[kind, gaps][-1]))
    print(f"{'line':9s}{'gaps':>5s}{'n':>5s}{'mean IoU':>10s}{'median':>9s}{'over .93':>10s}{'painted':>9s}")
    for (kind, gaps), values in sorted(overlaps.items()):
        found, painted = np.array(values).T
        share = float((found > 0.93).mean())
        print(
            f"{kind:9s}{gaps:5d}{len(found):5d}{found.mean():10.4f}{np.median(found):9.4f}{share:10.2f}"
            f"{painted.mean():9.4f}"
        )


def _overlap(one: NDArray[np.bool_], other: NDArray[np.bool_]) -> float:
    return float((one & other).sum() / max(1, (one | other).sum()))


def measure_openings(tune: bool, count: int, each: bool, kept_apart: Path | None) -> None:
    """Print how many true holes are among the proposals, how many are opened, and how many closed areas are.

    A true hole is enclosed and bare: glass, shades and glows painted half transparent are neither hole nor
    closed area. Icons and signs are told apart: their triangle or letter may as well be paint as hole.
    """
    found: dict[str, tuple[list[float], list[float], list[bool], list[bool]]] = {}
    for number, path, kind, colour, line in _line_drawings(tune, count, kept_apart):
        painted = colour[..., 3] > BARE
        gaps = drawn.fill_holes(painted) & ~painted
        glass = painted & (colour[..., 3] <= 127)
        ink = np.zeros_like(colour)
        ink[..., 3] = line
        body = fill_body(ink)
        openings = propose_openings(ink, ink, body)
        group = "icons and signs" if path.startswith(ICONS) else "things and figures"
        holes, closed, opened, wrongly = found.setdefault(group, ([], [], [], []))
        count_of, labels, stats, _ = cv2.connectedComponentsWithStats(gaps.astype(np.uint8), connectivity=4)
        least = 0.002 * painted.sum()
        for label in range(1, count_of):
            if stats[label, cv2.CC_STAT_AREA] < least:
                continue
            hole = (labels == label) & (line < 64)
            # too fine, or outside anyway
            if hole.sum() < least / 2 or (hole & body).sum() < 0.5 * hole.sum():
                continue
            holes.append(_covered_from(openings, hole & body))
            opened.append(_covers([opening for opening in openings if opening.is_open], hole & body))
        for opening in openings:
            area = opening.mask.sum()
            paint = area - (opening.mask & gaps).sum()
            if area >= least and paint > 0.6 * area and (opening.mask & glass).sum() <= 0.4 * area:
                closed.append(opening.score)
                wrongly.append(opening.is_open)
        if each:
            print(number, kind, path, len(openings), len(holes), sum(opened), len(closed), sum(wrongly))
    rows = dict(found)
    rows["all"] = tuple(list(chain.from_iterable(own)) for own in zip(*found.values(), strict=True))
    for group, own in rows.items():
        _print_openings(group, *(np.array(row) for row in own))


def _print_openings(
    group: str,
    holes: NDArray[np.float64],
    closed: NDArray[np.float64],
    opened: NDArray[np.bool_],
    wrongly: NDArray[np.bool_],
) -> None:
    """Found among the proposals, opened by default, wrongly opened, and what other thresholds would give."""
    print(
        f"{group}: {len(holes)} holes, proposed {(holes >= 0).mean():.3f}, opened {opened.mean():.3f};"
        f" {len(closed)} closed areas, wrongly opened {wrongly.mean():.3f}"
    )
    shares = (0.01, 0.02, 0.05, 0.1, 0.2)
    levels = [float(np.quantile(closed, 1 - share)) for share in shares]
    print(
        "   wrongly/opened at other thresholds: "
        + ", ".join(
            f"{share:.2f}/{(holes > level).mean():.3f} (from {level:.3f})"
            for share, level in zip(shares, levels, strict=True)
        )
    )


def _covered_from(openings: Iterable[Opening], hole: NDArray[np.bool_]) -> float:
    """The highest score from which openings that lie within a hole make up half of it; -1 where none do."""
    within = sorted(
        (o for o in openings if (o.mask & hole).sum() > 0.6 * o.mask.sum()), key=lambda o: -o.score
    )
    held = np.cumsum([int((o.mask & hole).sum()) for o in within])
    enough = np.flatnonzero(held > 0.5 * hole.sum())
    return within[int(enough[0])].score if enough.size else -1.0


def _covers(openings: Iterable[Opening], hole: NDArray[np.bool_]) -> bool:
    """True where openings that lie within a hole make up half of it."""
    return _covered_from(openings, hole) >= 0


def _line_drawings(
    tune: bool, count: int, kept_apart: Path | None
) -> Iterator[tuple[int, str, str, NDArray[np.uint8], NDArray[np.uint8]]]:
    """Number, name, way of drawing, colour RGBA and line alpha of drawings whose line encloses what is painted."""
    for number, path in enumerate(drawn.list_drawings(0 if tune else 1, count, kept_apart)):
        name = path.relative_to(drawn.SOURCE).as_posix()
        width, pen = (300, 500, 700, 900)[number % 4], (1.5, 3.0, 4.0, 6.0, 2.2, 8.0)[number % 6]
        colour, line = drawn.render(path, width), drawn.render(path, width, pen)
        if colour is None or line is None or colour.shape != line.shape or max(colour.shape) > 2000:
            continue
        colour, line = (np.pad(p, ((12, 12), (12, 12), (0, 0))) for p in (colour, line))
        solid = colour[..., 3] > 127
        # a drawing that is itself mere line has no paint to tell its body and holes by
        if not 1500 < solid.sum() < 0.9 * solid.size or drawn.fill_holes(solid).sum() > 1.35 * solid.sum():
            continue
        enclosed, true = drawn.fill_holes(line[..., 3] > 64), drawn.fill_holes(solid) | (line[..., 3] > 127)
        if (enclosed & true).sum() > 0.97 * (enclosed | true).sum():
            yield number, name, "svg", colour, line[..., 3]
        yield number, name, "contour", colour, drawn.draw_contours(colour, pen)


def _psnr(error: float) -> float:
    return 10 * float(np.log10(255**2 / max(error, 1e-4)))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("part", choices=["ink", "body", "openings"])
    parser.add_argument("--tune", action="store_true")
    parser.add_argument("--each", action="store_true", help="a line for every picture")
    parser.add_argument("--kept-apart", type=Path, help="JSON lists of drawings never to look at")
    parser.add_argument("--count", type=int, default=6)
    asked = parser.parse_args()
    cv2.setNumThreads(1)
    parts = {"ink": measure_ink, "body": measure_body, "openings": measure_openings}
    parts[asked.part](asked.tune, asked.count, asked.each, asked.kept_apart)


if __name__ == "__main__":
    main()
