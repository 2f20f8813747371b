"""Dotted paper: small spots that stand in a grid, told by how often one stands where the grid has the next.

How many pairs of spots lie so far apart, across and down, is the autocorrelation of a map of them (Wiener-Khinchin,
by FFT). Only near pairs are counted, so paper may bend and lie askew.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Picture

Floats = NDArray[np.float32]
Points = NDArray[np.int64]

# Tuned on pages put together by other means (tests/bench/foreign_pages.py, group 0).
SOFT = 0.0005  # of the longer side: what spots are softened by, against grain
SPOT = 0.007  # of the longer side: what is longer in any direction is no dot
DARK = 0.035  # share of light that a dot takes away, or more, softened
GRAIN = 3.0  # times what spots of bare paper usually take away
MOST_SPOTS = 12_000
COARSER = 2  # pixels to one of the map that pairs are counted on
APART = (0.011, 0.05)  # of the longer side: between two dots (5 mm on A5 to A3 are .012 to .024 of it)
ASKEW = 0.1  # how far across the next one may lie, by how far down
LEAST_SHARE, CHANCE = 0.2, 6.0  # of spots that have a next one, and times as many as chance gives
FIRST = 0.6  # of the most: the nearest distance with so many is the grid's
ALIKE = 1.2  # times as wide as high, or high as wide, a grid may be
NEAR = 0.09  # of the distance: how far a dot may lie off its place
COVERED = 0.3  # of the dots that a page would hold
LEAST_DOTS = 49
BETWEEN = 0.45  # of how dark dots are: as dark as that half-way, and they are no dots
APART_AT_LEAST = 0.5  # of the distance: nearer than that to a dot there is no other
STEPS_ON = 12  # how far the grid is followed across a drawing
PROFILED = 200  # dots that say what one looks like
LIGHT_RIM = 0.7  # quantile of what stands around a dot that is paper where something is drawn there
OFF = 6  # pixels that a dot may lie off its place
DOT = 0.1  # share of light: where the usual dot takes away more is the dot
FITS, LEAST_FIT = 0.6, 0.7  # of a dot's darkness, and of its pixels that are so dark, from which there is one
TIE = 0.1  # weight of what is dark beside it: its middle fits best
NEARLY_PAPER = 0.93  # share of the paper's light
ALONE = 40  # levels that the paper around a dot differs by at most: a drawing that passes by stays whole


@dataclass(frozen=True, slots=True)
class Dots:
    """`places` int64 (n, 2), x and y, of dots in a picture; `apart` in its pixels, between two of them.

    `hidden` int64 (n, 2) are places where the grid has dots that were not seen alone: something is drawn there.
    """

    places: Points
    apart: float
    hidden: Points


def find_dots(light: Floats) -> Dots | None:
    """The dots printed on a page, or None; `light` float32 (H, W), 0..1, is how much light it lets back."""
    dark = _softened(light)
    spots = _spots(dark)
    if len(spots) < LEAST_DOTS:
        return None
    steps = _steps(spots, light.shape)
    if steps is None:
        return None
    kept = spots[_in_grid(spots, steps, light.shape)]
    apart = float(np.hypot(*steps.T).mean())
    enough = max(LEAST_DOTS, COVERED * light.size / apart**2)
    if len(kept) < enough or _is_ruled(dark, kept, steps):
        return None
    return Dots(kept, apart, _hidden(kept, spots, steps, dark.shape))


def _softened(light: Floats) -> Floats:
    """The share of light that is taken away, softened against grain."""
    dark = np.clip(1 - light, 0, 0.5)
    return np.asarray(cv2.GaussianBlur(dark, (0, 0), max(0.7, SOFT * max(light.shape))), np.float32)


def _spots(dark: Floats) -> Points:
    """Places, x and y, of what is small in every direction and darker than the paper around it."""
    long = max(7, round(SPOT * max(dark.shape))) | 1
    turned = np.eye(max(5, round(long * 0.72)) | 1, dtype=np.uint8)
    # a stroke outlasts an opening along itself, a dot none
    kernels = (np.ones((1, long), np.uint8), np.ones((long, 1), np.uint8), turned, turned[::-1].copy())
    stroke = np.zeros_like(dark)
    for kernel in kernels:
        cv2.max(stroke, cv2.morphologyEx(dark, cv2.MORPH_OPEN, kernel), stroke)
    alone = dark - stroke
    top = (alone >= cv2.dilate(alone, np.ones((long, long), np.uint8))) & (alone > 0)
    least = max(DARK, GRAIN * float(np.median(alone[top]))) if top.any() else DARK
    rows, columns = np.nonzero(top & (alone > least))
    strongest = np.argsort(-alone[rows, columns], kind="stable")[:MOST_SPOTS]
    return np.stack([columns, rows], axis=1)[strongest].astype(np.int64)


def _map(spots: Points, shape: tuple[int, ...]) -> Floats:
    drawn = np.zeros((shape[0] // COARSER + 1, shape[1] // COARSER + 1), np.float32)
    drawn[spots[:, 1] // COARSER, spots[:, 0] // COARSER] = 1
    return drawn


def _steps(spots: Points, shape: tuple[int, ...]) -> NDArray[np.float64] | None:
    """From one dot to the next across and to the next down, (2, 2), x and y in pixels; None where there is no grid."""
    drawn = _map(spots, shape)
    count = float(drawn.sum())
    far = round(APART[1] * max(shape) / COARSER)
    size = [cv2.getOptimalDFTSize(side + far) for side in drawn.shape]
    pairs = np.fft.irfft2(np.abs(np.fft.rfft2(drawn, size)) ** 2, size)
    window = np.roll(pairs, (far, far), axis=(0, 1))[: 2 * far + 1, : 2 * far + 1]
    near = cv2.boxFilter(window, -1, (3, 3), normalize=False)
    least = max(LEAST_SHARE * count, CHANCE * 9 * count**2 / drawn.size)
    found = [_step(field, far, max(shape), least) for field in (near, near.T)]
    if found[0] is None or found[1] is None:
        return None
    steps = np.array([found[0], found[1][::-1]]) * COARSER
    wide, high = np.hypot(*steps.T)
    return steps if 1 / ALIKE < wide / high < ALIKE else None


def _step(pairs: NDArray[np.float64], far: int, longest: int, least: float) -> tuple[float, float] | None:
    """The nearest step along the columns of a field of pairs, its middle at (far, far), that nearly the most make."""
    low = max(4, round(APART[0] * longest / COARSER))
    best = []
    for along in range(low, far):
        slack = max(1, round(ASKEW * along))
        column = pairs[far - slack : far + slack + 1, far + along]
        best.append((float(column.max()), along, int(column.argmax()) - slack))
    most = max(value for value, _, _ in best)
    if most < least:
        return None
    k = next(k for k, (value, _, _) in enumerate(best) if value >= FIRST * most)
    _, along, across = max(best[k : k + 3])
    return float(along), float(across)


def _in_grid(spots: Points, steps: NDArray[np.float64], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which spots have two neighbours of the four that a grid has, or one beside one that has two."""
    slack = max(1, round(NEAR * float(np.hypot(*steps[0])) / COARSER))
    around = np.ones((2 * slack + 1, 2 * slack + 1), np.uint8)
    kept = np.ones(len(spots), np.bool_)
    for least in (2, 1):
        there = cv2.dilate(_map(spots[kept], shape), around)
        met = np.zeros(len(spots), np.int64)
        for step in (*steps, *-steps):
            at = np.rint((spots + step) / COARSER).astype(np.int64)
            inside = np.all((at >= 0) & (at < np.array(there.shape[::-1])), axis=1)
            met[inside] += there[at[inside, 1], at[inside, 0]] > 0
        kept = met >= least
    return kept


def _is_ruled(dark: Floats, dots: Points, steps: NDArray[np.float64]) -> bool:
    """Whether it is as dark half-way between two dots: then they are crossings of lines."""
    height, width = dark.shape
    dark = cv2.dilate(
        dark, np.ones((5, 5), np.uint8)
    )  # a line is thin, and half-way is not told to the pixel
    for step in steps:
        half = np.rint(dots + step / 2).astype(np.int64)
        inside = np.all((half >= 0) & (half < np.array([width, height])), axis=1)
        there, here = dark[half[inside, 1], half[inside, 0]], dark[dots[inside, 1], dots[inside, 0]]
        if np.median(there) > BETWEEN * np.median(here):
            return True
    return False


def _hidden(dots: Points, spots: Points, steps: NDArray[np.float64], shape: tuple[int, ...]) -> Points:
    """Where the grid goes on from the dots that were seen, a step at a time, at the nearest spot where there is one."""
    reach = max(1, round(APART_AT_LEAST * float(np.hypot(*steps[0])) / COARSER))
    around = np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)
    found: list[Points] = []
    edge = dots
    taken = cv2.dilate(_map(dots, shape), around)
    for _ in range(STEPS_ON):
        beside = np.rint((edge[:, None] + np.stack([*steps, *-steps])).reshape(-1, 2)).astype(np.int64)
        inside = np.all((beside >= 0) & (beside < np.array(shape[::-1])), axis=1)
        new = []
        for expected in beside[inside]:
            place, (x, y) = expected, expected // COARSER
            if not taken[y, x]:
                off = np.hypot(*(spots - expected).T)
                place = spots[off.argmin()] if off.min() <= reach * COARSER / 2 else expected
                x, y = place // COARSER
                taken[max(0, y - reach) : y + reach + 1, max(0, x - reach) : x + reach + 1] = 1
                new.append(place)
        if not new:
            break
        edge = np.stack(new)
        found.append(edge)
    return np.concatenate(found) if found else dots[:0]


def take_dots(out: Picture, dots: Dots, scale: float) -> None:
    """Take the dots out of a page, uint8 (H, W, 3 or 4), in place; it is `scale` times as large as they say.

    Paper is laid over those that stand alone. What they have in common is divided out of the others, so that line
    that crosses them stays.
    """
    room = max(3, round(SPOT * max(out.shape[:2]) / 2))
    alone, crossed = [], []
    for at, seen in ((dots.places, True), (dots.hidden, False)):
        for x, y in np.rint((at + 0.5) * scale - 0.5).astype(np.int64):
            around = _around(out, x, y, 2 * room)
            if around is None:
                continue
            paper, bare = _paper_around(around)
            if seen and bare:
                alone.append((around[room:-room, room:-room], paper))
            else:
                crossed.append((x, y))
    if not alone:
        return
    usual = np.median([dot / np.maximum(paper, 8) for dot, paper in alone[:PROFILED]], axis=0)
    usual = np.clip(usual, 0.2, 1).astype(np.float32)
    for dot, paper in alone:
        dot[:] = paper
    for x, y in crossed:
        _divide_out(out, x, y, usual, room)


def _around(out: Picture, x: int, y: int, room: int) -> Picture | None:
    """The colours of what stands around a place (a view), or None at the rim of the page."""
    height, width = out.shape[:2]
    if not (room <= x < width - room and room <= y < height - room):
        return None
    return out[y - room : y + room + 1, x - room : x + room + 1, :3]


def _paper_around(around: Picture) -> tuple[Floats, bool]:
    """The paper around a dot by its rim, (3,), and whether nothing else stands there."""
    ring = np.concatenate([around[0], around[-1], around[:, 0], around[:, -1]])
    bare = int(np.ptp(ring.max(axis=1).astype(np.int16))) < ALONE
    return np.asarray(
        np.median(ring, axis=0) if bare else np.quantile(ring, LIGHT_RIM, axis=0), np.float32
    ), bare


def _divide_out(out: Picture, x: int, y: int, usual: Floats, room: int) -> None:
    """Divide the usual dot out of the place where it fits best, in place; where none is, nothing changes."""
    wide = _around(out, x, y, 2 * room)
    if wide is None:
        return
    paper, _ = _paper_around(wide)
    dark = 1 - (wide / np.maximum(paper, 8)).min(axis=2)
    own = 1 - usual.min(axis=2)
    dot = own > DOT
    best, start = LEAST_FIT, None
    side, off = 2 * room + 1, min(OFF, room)
    for down in range(room - off, room + off + 1):
        for across in range(room - off, room + off + 1):
            here = dark[down : down + side, across : across + side]
            fits = float((here >= FITS * own)[dot].mean()) - TIE * float((here[~dot] > DOT).mean())
            if fits > best:
                best, start = fits, (down, across)
    if start is None:
        return
    place = wide[start[0] : start[0] + side, start[1] : start[1] + side]
    freed = np.minimum(place / usual, np.maximum(paper, place))
    freed[(freed >= NEARLY_PAPER * paper).all(axis=2) & (own > 1 - NEARLY_PAPER)] = paper
    place[:] = np.rint(freed)
