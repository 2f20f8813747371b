"""How clean the clean copies are. Run by hand: `python -m tests.bench.clean PART [--tune] [--count N]`.

PART: ink, body, openings, panes (with --icons FOLDER). Figures come from odd seeds and the
second half of the drawings; `--tune` takes the other half, which the judge of openings was trained on.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from pebble import ProcessPool

from assetlib.imaging.cleaning.body import LINE_ALPHA, fill_body
from assetlib.imaging.cleaning.ink import compose, lift
from assetlib.imaging.cleaning.openings import Opening, propose_openings
from assetlib.vectors.training.collect import icon_svg
from tests.bench import drawn, panes, scans

DARK_GROUNDS = ((0, 0, 0), (20, 24, 40), (60, 50, 48))
WRONGLY = (0.01, 0.02, 0.05, 0.1, 0.2)  # shares of closed areas opened, at which holes are counted
RESAMPLED = 300
WORKERS, STALLED = 2, 60  # processes, seconds
PANE_WIDTH, PANE_PEN = 400, 2.5  # pixels
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
            ink = drawn.as_ink(drawn.cut_gaps(line, gaps, rng))
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


@dataclass(frozen=True, slots=True)
class Judged:
    """One line drawing: the scores from which its true holes open and of its closed areas, and which were opened."""

    group: str
    name: str
    kind: str
    holes: NDArray[np.float64]
    opened: NDArray[np.bool_]
    closed: NDArray[np.float64]
    wrongly: NDArray[np.bool_]


def measure_openings(tune: bool, count: int, each: bool, kept_apart: Path | None) -> None:
    """Print how many true holes are among the proposals, how many are opened, and how many closed areas are.

    A true hole is enclosed and bare: glass, shades and glows painted half transparent are neither hole nor
    closed area. Icons and signs are told apart: their triangle or letter may as well be paint as hole.
    """
    paths = drawn.list_drawings(0 if tune else 1, count, kept_apart)
    judged: list[Judged] = []
    lost: Counter[str] = Counter()
    with ProcessPool(max_workers=WORKERS, max_tasks=200) as pool:
        asked = [
            pool.schedule(_judge_drawing, args=(k, path), timeout=STALLED) for k, path in enumerate(paths)
        ]
        for answer in asked:
            error = answer.exception()
            if error is None:
                judged += answer.result()
            else:  # a broken drawing takes its process down
                lost[type(error).__name__] += 1
    print(f"{len(paths)} drawings, not judged {dict(lost)}")
    for one in judged if each else ():
        print(one.kind, one.name, len(one.holes), one.opened.sum(), len(one.closed), one.wrongly.sum())
    for group in (*sorted({one.group for one in judged}), ""):
        _print_openings(group or "all", [one for one in judged if group in (one.group, "")])


def _judge_drawing(number: int, path: Path) -> list[Judged]:
    """Both ways of making a line of one drawing; in a process that a broken drawing may end."""
    cv2.setNumThreads(1)
    text = path.read_text(encoding="utf-8", errors="replace")
    lines = _lines_of(number, lambda width, pen: drawn.rasterise(text, width, pen))
    name = path.relative_to(drawn.SOURCE).as_posix()
    return [_judge_line(name, kind, colour, line) for kind, colour, line in lines]


def _judge_line(name: str, kind: str, colour: NDArray[np.uint8], line: NDArray[np.uint8]) -> Judged:
    painted, gaps, glass = drawn.paint_of(colour)
    ink = drawn.as_ink(line)
    body = fill_body(ink)
    openings = propose_openings(ink, ink, body)
    least = 0.002 * painted.sum()
    holes, opened, closed, wrongly = [], [], [], []
    owners, areas = _owners(openings, line.shape), np.array([o.mask.sum() for o in openings], np.int64)
    scores, is_open = np.array([o.score for o in openings]), np.array([o.is_open for o in openings], bool)
    count_of, labels, stats, _ = cv2.connectedComponentsWithStats(gaps.astype(np.uint8), connectivity=4)
    for label in range(1, count_of):
        if stats[label, cv2.CC_STAT_AREA] < least:
            continue
        x, y, width, height = stats[label, :4]
        window = np.s_[y : y + height, x : x + width]
        hole = (labels[window] == label) & (line[window] < 64)
        under = hole & body[window]
        # too fine, or outside anyway
        if hole.sum() < least / 2 or under.sum() < 0.5 * hole.sum():
            continue
        held = np.bincount(owners[window][under], minlength=len(openings) + 1)
        holes.append(_covered_from(scores, held, areas))
        opened.append(_covered_from(np.where(is_open, scores, -1.0), held, areas) >= 0)
    for opening in openings:
        area = opening.mask.sum()
        paint = area - (opening.mask & gaps).sum()
        if area >= least and paint > 0.6 * area and (opening.mask & glass).sum() <= 0.4 * area:
            closed.append(opening.score)
            wrongly.append(opening.is_open)
    return Judged(
        "icons and signs" if name.startswith(drawn.ICONS) else "things and figures", name, kind,
        np.array(holes, float), np.array(opened, bool), np.array(closed, float), np.array(wrongly, bool),
    )  # fmt: skip


def _print_openings(group: str, judged: list[Judged]) -> None:
    """Found among the proposals, opened by default, wrongly opened, and what other thresholds would give.

    In brackets nine tenths of what comes out when as many drawings are drawn again at random.
    """
    by_name: dict[str, list[Judged]] = defaultdict(list)
    for one in judged:
        by_name[one.name].append(one)
    groups, rng = list(by_name.values()), np.random.default_rng(0)
    again = [
        _shares([one for k in rng.integers(0, len(groups), len(groups)) for one in groups[k]])
        for _ in range(RESAMPLED)
    ]
    low, high = np.nanquantile(again, (0.05, 0.95), axis=0)
    texts = [f"{v:.3f} ({a:.2f}-{b:.2f})" for v, a, b in zip(_shares(judged), low, high, strict=True)]
    holes, closed = (sum(len(getattr(one, what)) for one in judged) for what in ("holes", "closed"))
    with_holes = sum(any(len(one.holes) for one in own) for own in groups)
    print(
        f"{group}: {holes} holes in {with_holes} of {len(groups)} drawings, {closed} closed areas\n"
        f"   proposed {texts[0]}, opened {texts[1]}, wrongly opened {texts[2]}\n"
        f"   every drawing counted alike: opened {texts[3]}, wrongly opened {texts[4]}\n"
        "   opened where others are wrongly: "
        + ", ".join(f"{share:.2f}: {text}" for share, text in zip(WRONGLY, texts[5:], strict=True))
    )


def _shares(judged: list[Judged]) -> list[float]:
    """Proposed, opened, wrongly; opened and wrongly by drawing; opened at each of `WRONGLY`."""
    holes, closed, opened, wrongly = (
        np.concatenate([getattr(one, what) for one in judged])
        for what in ("holes", "closed", "opened", "wrongly")
    )
    if not len(holes) or not len(closed):
        return [np.nan] * (5 + len(WRONGLY))
    levels = np.quantile(closed, 1 - np.array(WRONGLY))
    alike = [
        float(np.mean([getattr(one, what).mean() for one in judged if len(getattr(one, what))]))
        for what in ("opened", "wrongly")
    ]
    at_levels = [float((holes > level).mean()) for level in levels]
    return [float((holes >= 0).mean()), float(opened.mean()), float(wrongly.mean()), *alike, *at_levels]


def measure_panes(icons: Path) -> None:
    """Print how many panes of vehicles open, looked up by eye, and how many of their other areas; none trained on."""
    told: dict[str, list[tuple[int, int, int, int]]] = defaultdict(list)
    stored = json.loads((icons / panes.SET / "icons.json").read_text(encoding="utf-8"))
    for named, points in panes.looked_at().items():
        source, name = named.split(":")
        if source == panes.SET:
            text = icon_svg(stored["icons"][name], stored)
        else:
            text = (drawn.SOURCE / name).read_text("utf-8")
        colour, line = (drawn.rasterise(text, PANE_WIDTH, pen) for pen in (None, PANE_PEN))
        if colour is None or line is None:
            continue
        colour = drawn.with_margin(colour)
        for _, alpha in drawn.lines_of(colour, drawn.stroked_to(colour, line), PANE_PEN):
            told[source].append(_judge_panes(colour, alpha, points))
    for source, rows in told.items():
        seen, opened, others, wrongly = np.sum(rows, axis=0)
        print(
            f"{source}: {opened} of {seen} panes opened ({opened / seen:.2f}), {wrongly} of {others} other areas "
            f"({wrongly / others:.3f}) in {len(rows)} line drawings"
        )


def _judge_panes(
    colour: NDArray[np.uint8], line: NDArray[np.uint8], points: Sequence[tuple[float, float]]
) -> tuple[int, int, int, int]:
    """Panes, panes opened, other areas, other areas opened."""
    ink = drawn.as_ink(line)
    openings = propose_openings(ink, ink, fill_body(ink))
    owners = _owners(openings, line.shape)
    height, width = line.shape
    places = [(int(y * height), int(x * width)) for x, y in points]
    # a line may run through the point itself
    near = [owners[max(0, y - 2) : y + 3, max(0, x - 2) : x + 3].max() for y, x in places]
    least = 0.002 * (colour[..., 3] > drawn.BARE).sum()
    others = [o for k, o in enumerate(openings, start=1) if k not in near and o.mask.sum() >= least]
    opened = sum(bool(k) and openings[k - 1].is_open for k in near)
    return len(near), opened, len(others), sum(o.is_open for o in others)


def _owners(openings: Sequence[Opening], shape: tuple[int, ...]) -> NDArray[np.int64]:
    """Which opening is where, counted from 1, int64 (H, W); 0 where none is."""
    owners = np.zeros(shape, np.int64)
    for k, opening in enumerate(openings, start=1):
        x, y, width, height = opening.box
        owners[y : y + height, x : x + width][opening.mask[y : y + height, x : x + width]] = k
    return owners


def _covered_from(scores: NDArray[np.float64], held: NDArray[np.int64], areas: NDArray[np.int64]) -> float:
    """The highest score from which openings that lie within a hole make up half of it; -1 where none do.

    `held` is how much of the hole each opening holds, the first what no opening holds; `areas` how large each is.
    """
    within = np.flatnonzero(held[1:] > 0.6 * areas)
    within = within[np.argsort(-scores[within], kind="stable")]
    enough = np.flatnonzero(np.cumsum(held[1:][within]) > 0.5 * held.sum())
    return float(scores[within[enough[0]]]) if enough.size else -1.0


def _line_drawings(
    tune: bool, count: int, kept_apart: Path | None
) -> Iterator[tuple[int, str, str, NDArray[np.uint8], NDArray[np.uint8]]]:
    """Number, name, way of drawing, colour RGBA and line alpha of drawings whose line encloses what is painted."""
    for number, path in enumerate(drawn.list_drawings(0 if tune else 1, count, kept_apart)):
        name = path.relative_to(drawn.SOURCE).as_posix()
        for kind, colour, line in _lines_of(number, partial(drawn.render, path)):
            yield number, name, kind, colour, line


def _lines_of(
    number: int, render: Callable[[int, float | None], NDArray[np.uint8] | None]
) -> Iterator[tuple[str, NDArray[np.uint8], NDArray[np.uint8]]]:
    """Way of drawing, colour RGBA and line alpha of one drawing in the width and pen of its number."""
    width, pen = (300, 500, 700, 900)[number % 4], (1.5, 3.0, 4.0, 6.0, 2.2, 8.0)[number % 6]
    colour, line = render(width, None), render(width, pen)
    if colour is None or line is None or colour.shape != line.shape or max(colour.shape) > 2000:
        return
    colour, line = drawn.with_margin(colour), drawn.with_margin(line)
    solid = colour[..., 3] > 127
    # a drawing that is itself mere line has no paint to tell its body and holes by
    if not 1500 < solid.sum() < 0.9 * solid.size or drawn.fill_holes(solid).sum() > 1.35 * solid.sum():
        return
    for kind, alpha in drawn.lines_of(colour, line[..., 3], pen):
        yield kind, colour, alpha


def _psnr(error: float) -> float:
    return 10 * float(np.log10(255**2 / max(error, 1e-4)))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("part", choices=["ink", "body", "openings", "panes"])
    parser.add_argument("--tune", action="store_true")
    parser.add_argument("--each", action="store_true", help="a line for every picture")
    parser.add_argument("--kept-apart", type=Path, help="JSON lists of drawings never to look at")
    parser.add_argument("--count", type=int, default=6)
    parser.add_argument("--icons", type=Path, help="node_modules/@iconify-json, for panes")
    asked = parser.parse_args()
    cv2.setNumThreads(1)
    if asked.part == "panes":
        if asked.icons is None:
            parser.error("panes needs --icons")
        measure_panes(asked.icons)
        return
    parts = {"ink": measure_ink, "body": measure_body, "openings": measure_openings}
    parts[asked.part](asked.tune, asked.count, asked.each, asked.kept_apart)


if __name__ == "__main__":
    main()
