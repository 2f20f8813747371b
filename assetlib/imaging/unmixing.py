"""How much of each pixel inks cover, and in which colour.

Depth is paper minus pixel, in levels: bare paper is 0, an ink that covers a
share a of the pixel adds a times its own depth. Three kinds of evidence say
what an ink's own depth is, the nearest first: a flat place close by (a marker
tone, a fill, a thick line), the strongest ink of that hue, pairs of inks.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.grounds import LUMINANCE, Paper

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
BLURRED_CHROMA = 0.25  # weight of colour against brightness in a picture with blurred colour
SHARP_CHROMA = 0.6  # fine colour change against coarse, relative to brightness, of an unblurred picture
UNEXPLAINED = 27.0  # levels that inks may miss a pixel by before it counts as a colour of its own
STRONG_SHARE = 0.4  # share of the strongest ink from which such a pixel is ink throughout
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
    alpha, source = unmix(depth, inks, grain, _metric(departure))
    if flat.any():
        _cover_near_flat(departure, flat, depth, alpha, source)
    alpha = np.minimum(alpha / _full_from(inks, grain), 1)
    own = departure.paper.colour - depth / np.maximum(alpha, 1e-3)[:, None]
    pure = departure.paper.colour - source
    trust = np.clip(2 * alpha - 1, 0, 1)[:, None]
    return alpha, trust * own + (1 - trust) * pure


def _metric(departure: Departure) -> Floats:
    """Weights for differences, float32 (3, 3): where colour is blurred (JPEG, video), brightness decides."""
    weight = BLURRED_CHROMA if _chroma_is_blurred(departure) else 1.0
    spread = np.eye(3, dtype=np.float32) - np.outer(np.ones(3), LUMINANCE)
    return np.asarray(np.outer(np.ones(3), LUMINANCE) + weight * spread, np.float32).T


def _chroma_is_blurred(departure: Departure) -> bool:
    """True where colour changes far slower than brightness from pixel to pixel, as after 4:2:0 coding."""
    luminance = departure.depth @ LUMINANCE
    chroma = departure.depth[..., 0] - departure.depth[..., 2]
    fine, coarse = [_roughness(chroma, step) / max(_roughness(luminance, step), 1e-3) for step in (1, 6)]
    return fine < SHARP_CHROMA * coarse


def _roughness(channel: Floats, step: int) -> float:
    change = np.abs(2 * channel[:, step:-step] - channel[:, : -2 * step] - channel[:, 2 * step :])
    return float(np.square(change).mean()) ** 0.5 if change.size else 0.0


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


def unmix(depth: Floats, inks: Floats, grain: float, metric: Floats) -> tuple[Floats, Floats]:
    """Coverage, float32 (N,), and the covering ink's depth, float32 (N, 3), of N depths."""
    seen, known = depth @ metric, inks @ metric
    shares = np.clip(seen @ known.T / (known * known).sum(axis=1), 0, 1)
    errors = np.stack([np.abs(seen - shares[:, k : k + 1] * known[k]).max(axis=1) for k in range(len(inks))])
    best = errors.argmin(axis=0)
    rows = np.arange(len(depth))
    alpha, source = shares[rows, best].astype(np.float32), inks[best]
    error = errors[best, rows]
    poor = np.flatnonzero(error > max(COLOUR_ERROR, 3 * grain))
    if len(poor) and len(inks) > 1:
        alpha[poor], source[poor], error[poor] = _unmix_pairs(
            seen[poor], known, inks, (alpha[poor], source[poor], error[poor])
        )
    _cover_unexplained(depth, inks, alpha, source, error)
    return alpha, source


def _unmix_pairs(
    seen: Floats, known: Floats, inks: Floats, sofar: tuple[Floats, Floats, Floats]
) -> tuple[Floats, Floats, Floats]:
    """Coverage, source and error by two inks in one pixel, where that explains it better."""
    alpha, source, error = sofar
    for i, j in combinations(range(len(inks)), 2):
        parts = np.clip(seen @ np.linalg.pinv(known[[i, j]]), 0, 1)
        total = parts.sum(axis=1)
        parts /= np.maximum(total, 1)[:, None]
        missed = np.abs(seen - parts @ known[[i, j]]).max(axis=1)
        better = (missed < error - 1) & (total > 0)
        error[better], alpha[better] = missed[better], np.minimum(total[better], 1)
        source[better] = (parts[better] @ inks[[i, j]]) / alpha[better][:, None]
    return alpha, source, error


def _cover_unexplained(depth: Floats, inks: Floats, alpha: Floats, source: Floats, error: Floats) -> None:
    """Take pixels that no inks explain as whole if they are strong, in place; faint ones stay as they are."""
    size = np.abs(depth).max(axis=1)
    odd = (error > UNEXPLAINED) & (size > np.abs(inks).max() * STRONG_SHARE)
    alpha[odd], source[odd] = 1, depth[odd]


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
