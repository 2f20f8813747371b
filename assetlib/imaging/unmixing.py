"""How much of each pixel inks cover, and in which colour.

Depth is paper minus pixel, in levels: bare paper is 0, an ink that covers a
share a of the pixel adds a times its own depth. Three kinds of evidence say
what an ink's own depth is, the nearest first: a flat place close by (a marker
tone, a fill, a thick line), the strongest ink of that hue, pairs of inks.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.grounds import Paper

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

EDGE_REACH = 3.5  # pixels that the blur of a scanned edge reaches
FLAT_RANGE = 4.0  # levels within 3x3 that still are one flat tone on a clean scan
FLAT_NOISE = 4.5  # the same in standard deviations of grain
LEAST_CORE = 24.0  # levels; fainter marks do not define an ink of their own
SAME_HUE = 0.975  # cosine between two depths of one ink
MOST_INKS = 8
INK_SHARE = 0.004  # share of core strength from which a hue is an ink
COLOUR_ERROR = 9.0  # levels that one ink may miss a pixel by before a second is sought
RAMP = ((0.25, 0.5), (0.5, 0.78), (0.75, 0.94))  # way out from paper, strength there at most, of a soft ramp


@dataclass(frozen=True, slots=True)
class Departure:
    """A picture as its departure from paper.

    `depth` float32 (H, W, 3) levels; `strength` float32 (H, W), its largest
    channel; `inked` bool (H, W).
    """

    depth: Floats
    strength: Floats
    inked: Mask
    paper: Paper


def cover(departure: Departure) -> tuple[Floats, Floats]:
    """Alpha, float32 (N,), and colour, float32 (N, 3), levels, of the N inked pixels."""
    inked, grain = departure.inked, departure.paper.grain
    depth = departure.depth[inked]
    flat = _flat_places(departure)
    inks = find_inks(departure)
    alpha, source = unmix(depth, inks, grain)
    if flat.any():
        _cover_near_flat(departure, flat, depth, alpha, source)
    alpha = np.minimum(alpha / _full_from(inks, grain), 1)
    own = departure.paper.colour - depth / np.maximum(alpha, 1e-3)[:, None]
    pure = departure.paper.colour - source
    trust = np.clip(2 * alpha - 1, 0, 1)[:, None]
    return alpha, trust * own + (1 - trust) * pure


def find_inks(departure: Departure) -> Floats:
    """The depths of the inks that stand out, the strongest first; float32 (K, 3), levels."""
    strength = departure.strength
    floor = max(LEAST_CORE, 5 * departure.paper.grain)
    peak = cv2.dilate(strength, np.ones((3, 3), np.uint8))
    core = departure.inked & (strength > floor) & (strength >= peak - max(2.0, 2 * departure.paper.grain))
    depths = departure.depth[core]
    if not depths.size:
        depths = departure.depth[departure.inked]
    if len(depths) > 200_000:
        depths = depths[:: len(depths) // 200_000 + 1]
    return _group_by_hue(depths)


def _group_by_hue(depths: Floats) -> Floats:
    size = np.maximum(np.linalg.norm(depths, axis=1), 1e-3)
    hue = depths / size[:, None]
    left = np.ones(len(depths), bool)
    inks: list[Floats] = []
    while left.any() and len(inks) < MOST_INKS and size[left].sum() > INK_SHARE * size.sum():
        centre = _commonest_hue(hue[left], size[left])
        member = left & (hue @ centre > SAME_HUE)
        if not member.any():
            break
        if size[member].sum() > INK_SHARE * size.sum():
            inks.append(_strongest(depths[member], size[member]))
        left &= ~member
    inks = inks or [_strongest(depths, size)]
    return np.stack(sorted(inks, key=lambda ink: -float(np.linalg.norm(ink))))


def _commonest_hue(hue: Floats, weight: Floats) -> Floats:
    bins = np.rint((hue + 1) * 12).astype(np.int64) @ np.array([625, 25, 1])
    counts = np.bincount(bins, weights=weight)
    near = hue[bins == int(counts.argmax())]
    centre = near.mean(axis=0)
    return np.asarray(centre / np.linalg.norm(centre), np.float32)


def _strongest(depths: Floats, size: Floats) -> Floats:
    """The ink's full depth: the mean of its upper few per cent, the very top left out as noise."""
    low, high = np.quantile(size, [0.95, 0.995])
    return np.asarray(depths[(size >= low) & (size <= high + 1e-3)].mean(axis=0), np.float32)


def unmix(depth: Floats, inks: Floats, grain: float) -> tuple[Floats, Floats]:
    """Coverage, float32 (N,), and the covering ink's depth, float32 (N, 3), of N depths."""
    shares = np.clip(depth @ inks.T / (inks * inks).sum(axis=1), 0, 1)
    errors = np.stack([np.abs(depth - shares[:, k : k + 1] * inks[k]).max(axis=1) for k in range(len(inks))])
    best = errors.argmin(axis=0)
    rows = np.arange(len(depth))
    alpha, source = shares[rows, best].astype(np.float32), inks[best]
    poor = np.flatnonzero(errors[best, rows] > max(COLOUR_ERROR, 3 * grain))
    if len(poor):
        alpha[poor], source[poor] = _unmix_pairs(depth[poor], inks, alpha[poor], source[poor], errors[best[poor], poor])
    return alpha, source


def _unmix_pairs(depth: Floats, inks: Floats, alpha: Floats, source: Floats, error: Floats) -> tuple[Floats, Floats]:
    """As `unmix`, by two inks in one pixel where that explains it better."""
    for i in range(len(inks)):
        for j in range(i + 1, len(inks)):
            pair = inks[[i, j]]
            parts = np.clip(depth @ np.linalg.pinv(pair), 0, 1)
            total = parts.sum(axis=1)
            mixed = parts @ pair
            missed = np.abs(depth - mixed).max(axis=1)
            better = (missed < error - 1) & (total > 0)
            error[better] = missed[better]
            alpha[better] = np.minimum(total[better], 1)
            source[better] = mixed[better] / np.maximum(total[better], 1)[:, None] / alpha[better][:, None]
    unexplained = error > 3 * COLOUR_ERROR
    alpha[unexplained], source[unexplained] = 1, depth[unexplained]
    return alpha, source


def _full_from(inks: Floats, grain: float) -> float:
    """The coverage from which a grainy line counts as full."""
    return 1 - min(0.06, 2 * grain / float(np.linalg.norm(inks[0])))


def _flat_places(departure: Departure) -> Mask:
    """Where 5x5 pixels of ink have one colour that does not fade to paper; bool (H, W)."""
    grain = departure.paper.grain
    levels = np.clip(departure.paper.colour - departure.depth, 0, 255).astype(np.uint8)
    spread = cv2.morphologyEx(levels, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)).max(axis=2)
    flat = (spread <= max(FLAT_RANGE, FLAT_NOISE * grain)) & departure.inked
    flat = cv2.erode(flat.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=1) > 0
    if flat.any():
        flat[flat] = ~_fades(departure, flat)
    return np.asarray(flat)


def _fades(departure: Departure, flat: Mask) -> Mask:
    """Which flat pixels stand on a soft ramp out of the paper; bool (number of flat pixels,)."""
    at = np.stack(np.nonzero(flat), axis=1)
    away, nearest = _nearest(~departure.inked)
    if nearest is None:
        return np.zeros(len(at), bool)
    paper = nearest[flat]
    own = departure.strength[flat]
    ramp = away[flat] > 4
    for way, most in RAMP:
        y, x = np.rint(paper + way * (at - paper)).astype(np.int64).T
        ramp &= departure.strength[y, x] < most * own
    return np.asarray(ramp)


def _nearest(targets: Mask) -> tuple[Floats, NDArray[np.int64] | None]:
    """Distance to the nearest target, (H, W), and its row and column, (H, W, 2); None without targets."""
    if not targets.any():
        return np.full(targets.shape, np.inf, np.float32), None
    away, labels = cv2.distanceTransformWithLabels(
        (~targets).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    place = np.zeros((int(labels.max()) + 1, 2), np.int64)
    place[labels[targets]] = np.stack(np.nonzero(targets), axis=1)
    return away, place[labels]


def _cover_near_flat(departure: Departure, flat: Mask, depth: Floats, alpha: Floats, source: Floats) -> None:
    """Correct coverage at and around flat places, in place."""
    inked = departure.inked
    flat_away, place = _nearest(flat)
    assert place is not None  # the caller has flat places
    near = np.flatnonzero(flat_away[inked] <= EDGE_REACH)
    paper_away = cv2.distanceTransform(inked.astype(np.uint8), cv2.DIST_L2, 5)[inked][near]
    y, x = place[inked][near].T
    tone = departure.depth[y, x]
    own = depth[near]
    share = (own * tone).sum(axis=1) / np.maximum((tone * tone).sum(axis=1), 1)
    missed = np.abs(own - np.clip(share, 0, 1)[:, None] * tone).max(axis=1)
    peak = cv2.dilate(departure.strength, np.ones((3, 3), np.uint8))[inked][near]
    alone = peak <= 1.15 * departure.strength[y, x] + 2 * departure.paper.grain + 2
    edge = alone & (missed <= np.maximum(COLOUR_ERROR, 0.1 * departure.strength[y, x])) & (paper_away <= EDGE_REACH)
    between = ~edge & (paper_away > flat_away[inked][near])
    inside = flat_away[inked][near] == 0
    full = near[between | inside]
    alpha[full], source[full] = 1, depth[full]
    edge &= ~inside
    alpha[near[edge]], source[near[edge]] = np.clip(share[edge], 0, 1), tone[edge]
