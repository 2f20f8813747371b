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
ALONE = 40  # levels that the paper around a dot differs by at most: a drawing that passes by stays whole


@dataclass(frozen=True, slots=True)
class Dots:
    """`places` int64 (n, 2), x and y, of dots in a picture; `apart` in its pixels, between two of them."""

    places: Points
    apart: float


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
    return Dots(kept, apart)


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


def take_dots(out: Picture, dots: Dots, scale: float) -> None:
    """Lay paper over the dots of a page, uint8 (H, W, 3 or 4), in place; it is `scale` times as large as they say."""
    height, width = out.shape[:2]
    room = max(3, round(SPOT * max(height, width) / 2))
    for x, y in np.rint((dots.places + 0.5) * scale - 0.5).astype(np.int64):
        if not (2 * room <= x < width - 2 * room and 2 * room <= y < height - 2 * room):
            continue
        around = out[y - 2 * room : y + 2 * room + 1, x - 2 * room : x + 2 * room + 1, :3]
        ring = np.concatenate([around[0], around[-1], around[:, 0], around[:, -1]])
        if int(np.ptp(ring.max(axis=1).astype(np.int16))) < ALONE:
            out[y - room : y + room + 1, x - room : x + room + 1, :3] = np.median(ring, axis=0)
