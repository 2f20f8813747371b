"""Tones on a page: places that are darker than the paper across the edge that goes round them.

Light changes by and by and is the same on both sides of a line. A wash, a marker or a shade that a line or its own
edge goes round is darker than what lies across that edge, all along it. From the paper at the page's rim, how much
darker each place is than its neighbours is followed from place to place (Land and McCann's retinex, 1971, by places).
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

# Tuned on pages of tests/bench/copies.py, half 'practice'.
LOOKED_AT = 800  # pixels of the longer side
# Levels that 3x3 pixels differ by beyond the usual, and times the usual, at an edge.
CALM, CALM_TIMES = 3.0, 3.0
LEAST = 0.0002  # of the page that a place takes
MOST_PLACES = 600
ACROSS = 0.02  # of the longer side: how far apart the two sides of an edge are, at most
LEAST_EDGE = 10  # pairs of pixels along an edge that say how two places differ
DARKER = 0.03  # of the light that a tone lacks against paper
EDGES_AGREE = 0.6  # share of an edge along which a tone is darker than what lies across it
LARGEST = 0.5  # of the page
RIM = 0.012  # of the longer side that a tone reaches beyond its calm inside
# Share of a block near a tone, and of bare paper, from and up to which it hides the paper.
TONED, BARE = 0.2, 0.25


@dataclass(frozen=True, slots=True)
class Tones:
    """Where tones are, without their rims, and where bare paper is; bool (h, w), at most `LOOKED_AT` pixels a side."""

    mask: Mask
    bare: Mask

    def hide(self, size: tuple[int, ...]) -> Mask:
        """Which of so many rows and columns of blocks show no paper because of a tone; bool."""
        if not self.mask.any():
            return np.zeros(size[:2], np.bool_)
        reach = 2 * round(RIM * max(self.mask.shape)) + 1
        near = cv2.dilate(self.mask.astype(np.uint8), np.ones((reach, reach), np.uint8))
        area = (size[1], size[0])
        toned, bare = (
            cv2.resize(m.astype(np.float32), area, interpolation=cv2.INTER_AREA) for m in (near, self.bare)
        )
        return np.asarray((toned > TONED) & (bare < BARE), np.bool_)


def find_tones(rgb: Picture) -> Tones:
    """The tones of a page, uint8 (H, W, 3)."""
    scale = min(1.0, LOOKED_AT / max(rgb.shape[:2]))
    small = cv2.resize(rgb, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else rgb
    soft = cv2.GaussianBlur(small.astype(np.float32), (0, 0), 1.0)
    places, count = _places(soft)
    if count < 2:
        return Tones(np.zeros(soft.shape[:2], np.bool_), places > 0)
    edges = _edges(soft, places, count)
    darker = _followed(edges, places, count)
    sizes = np.bincount(places.ravel(), minlength=count + 1)
    tones = np.isfinite(darker) & (darker > DARKER) & (sizes < LARGEST * places.size)
    tones[np.unique(np.concatenate([places[0], places[-1], places[:, 0], places[:, -1]]))] = False
    tones[0] = False
    mask = tones[places]
    return Tones(np.asarray(mask), np.asarray((places > 0) & ~mask))


def _places(soft: Floats) -> tuple[NDArray[np.int32], int]:
    """Places without an edge in them, numbered from 1, int32 (h, w), 0 where there is an edge; and how many."""
    square = np.ones((3, 3), np.uint8)
    uneven = cv2.morphologyEx(soft, cv2.MORPH_GRADIENT, square).max(axis=2)
    usual = float(np.median(uneven))
    calm = (uneven <= max(CALM_TIMES * usual, usual + CALM)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(calm, connectivity=4)
    areas = stats[:, cv2.CC_STAT_AREA].copy()
    areas[0] = 0
    kept = np.flatnonzero(areas >= LEAST * labels.size)
    kept = kept[np.argsort(-areas[kept])][:MOST_PLACES]
    numbers = np.zeros(len(stats), np.int32)
    numbers[kept] = np.arange(1, len(kept) + 1)
    return numbers[labels], len(kept)


def _edges(soft: Floats, places: NDArray[np.int32], count: int) -> dict[tuple[int, int], tuple[int, float]]:
    """For two places with an edge between them: along how many pixels, and how much darker the first is than the other.

    Darker is the share of light, by its logarithm, in the channel that differs most; 0 where the edge disagrees.
    """
    known = places > 0
    weight = cv2.blur(known.astype(np.float32), (5, 5))
    light = cv2.blur(soft * known[..., None], (5, 5)) / np.maximum(weight, 0.02)[..., None]
    light = np.log(np.maximum(light, 4))
    away, nearest = cv2.distanceTransformWithLabels(
        (~known).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    at = np.zeros(int(nearest.max()) + 1, np.int64)
    at[nearest[known]] = np.flatnonzero(known)
    at = at[nearest]
    most = ACROSS * max(places.shape)
    firsts, others = [], []
    for here, there in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        apart = places.ravel()[at[here]] != places.ravel()[at[there]]
        meet = apart & (away[here] + away[there] <= most)
        firsts.append(at[here][meet])
        others.append(at[there][meet])
    first, other = np.concatenate(firsts), np.concatenate(others)
    a, b = places.ravel()[first], places.ravel()[other]
    swap = a > b
    first, other = np.where(swap, other, first), np.where(swap, first, other)
    a, b = np.minimum(a, b), np.maximum(a, b)
    step = light.reshape(-1, 3)[other] - light.reshape(-1, 3)[first]
    return _by_pair(a.astype(np.int64) * (count + 1) + b, step, count + 1)


def _by_pair(pair: NDArray[np.int64], step: Floats, base: int) -> dict[tuple[int, int], tuple[int, float]]:
    order = np.argsort(pair, kind="stable")
    pair, step = pair[order], step[order]
    bounds = [*np.flatnonzero(np.diff(pair, prepend=-1)).tolist(), len(pair)]
    found = {}
    for start, end in pairwise(bounds):
        if end - start < LEAST_EDGE:
            continue
        middle = np.median(step[start:end], axis=0)
        channel = int(np.abs(middle).argmax())
        value = float(middle[channel])
        agree = float((np.sign(step[start:end, channel]) == np.sign(value)).mean())
        number = int(pair[start])
        found[number // base, number % base] = (end - start, value if agree >= EDGES_AGREE else 0.0)
    return found


def _followed(
    edges: dict[tuple[int, int], tuple[int, float]], places: NDArray[np.int32], count: int
) -> NDArray[np.float64]:
    """How much darker than the paper each place is, (count + 1,), NaN where nothing leads to it."""
    beside: dict[int, list[tuple[int, int, float]]] = {}
    for (one, other), (length, step) in edges.items():
        beside.setdefault(one, []).append((other, length, -step))
        beside.setdefault(other, []).append((one, length, step))
    rim = np.concatenate([places[0], places[-1], places[:, 0], places[:, -1]])
    darker = np.full(count + 1, np.nan)
    start = int(np.bincount(rim[rim > 0], minlength=2).argmax()) if (rim > 0).any() else 1
    darker[start] = 0.0
    ways = [(-length, start, other, step) for other, length, step in beside.get(start, [])]
    ways.sort()
    while ways:
        _, known, place, step = heappop(ways)
        if np.isfinite(darker[place]):
            continue
        darker[place] = darker[known] + step
        for other, length, onward in beside.get(place, []):
            if not np.isfinite(darker[other]):
                heappush(ways, (-length, place, other, onward))
    return darker
