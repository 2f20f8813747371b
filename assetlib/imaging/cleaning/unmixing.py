"""How much of each pixel inks cover, and in which colour.

Depth is paper minus pixel, in levels: bare paper is 0, an ink that covers a
share a of the pixel adds a times its own depth. Three kinds of evidence say
what an ink's own depth is, the nearest first: a flat place close by (a marker
tone, a fill, a thick line), the strongest ink of that hue, pairs of inks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import LUMINANCE, Paper, largest, largest_apart

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

EDGE_REACH = 3.5  # pixels that the blur of a scanned edge reaches
_SQUARE = np.ones((3, 3), np.uint8)
FLAT_RANGE = 4.0  # levels within 3x3 that still are one flat tone on a clean scan
FLAT_NOISE = 4.5  # the same in standard deviations of grain
# Pixels that a flat tone goes on where it is shaded or rings, levels that 3x3 pixels may differ by there and that it
# may differ from the tone by, and weight of colour against brightness in that. Tuned on made scans.
GOES_ON, UNEVEN, ALIKE, ALIKE_CHROMA = 8, 24, 10.0, 0.5
# Levels up to which a tone is so pale that what a coder leaves is much of it; twice that, and it is not. Blur in pixels
# that evens this out along an edge, and how much steeper the edge is made again. Tuned on made scans.
PALE, EVEN_OUT, STEEPEN = 60.0, 0.7, 1.7
LEAST_CORE = 24.0  # levels; fainter marks do not define an ink of their own
LABEL_REACH = 3.0  # levels within which a pixel shows an ink in full on a clean scan
FULL_WITHIN = 0.04  # the same as a share of the ink's own depth: nine tenths of a pale tone are not all of it
ROUNDING = 1.1  # levels that colours written in whole numbers are off by
TIED = 3.0  # levels
PALEST, PALEST_KNOWN = 18.0, 10.0  # levels from paper of the palest opaque tone, and of one that is an ink
GRAIN_REACH = 3.0  # standard deviations of grain that are not the drawing's own
ROWS_ENOUGH = 500  # rows of a picture that show whether its colour is blurred
# Levels of noise from which paint is averaged over so many pixels across; how much of the noise tells a shade.
PAINTED_NOISE, AVERAGED, SHADED_BY = 1.5, 9, 0.8
MOST_INKS = 10
MOST_CORES = 30_000  # line middles looked at for inks
MODE_STEP = 8  # levels per histogram bin in which inks are looked for
LEAST_PIXELS, INK_SHARE = 20, 0.002  # line middles, and share of them, that make a colour an ink
OUTWARD = (1.0, 2.0, 3.0)  # pixels beyond an edge pixel at which another ink is looked for
COLOUR_ERROR = 9.0  # levels that one ink may miss a pixel by before a second is sought
BLURRED_ERROR = 2.0  # times that in a picture with blurred colour: what is near tells more than its colour
BLURRED_CHROMA = 0.25  # weight of colour against brightness in a picture with blurred colour
# What halving colour with a box and enlarging it with a triangle, as libjpeg does, makes of one pixel on average.
HALVED = np.array([1, 4, 6, 4, 1], np.float32) / 16
ALIKE_WITHIN = 11  # pixels across which colour follows brightness; tuned on made scans
LEAST_SPREAD = 100.0  # levels squared; where brightness varies less, it says little of colour
# How steep edges are in colour, of their steepness in brightness: made scans have .93 and more, as JPEG .85 and less.
SHARP_CHROMA = 0.89
EDGE_WINDOW = np.ones((1, 9), np.uint8)  # pixels within which an edge rises, however a coder blurred it
LEAST_EDGE, EDGE_NOISE = 16.0, 6.0  # levels, and standard deviations of grain, that an edge rises by
LEAST_EDGES = 50  # pixels at edges, fewer tell nothing
UNEXPLAINED = 27.0  # levels that inks may miss a pixel by before it counts as a colour of its own
STRONG_SHARE = 0.4  # share of the strongest ink from which such a pixel is ink throughout
RAMP = ((0.25, 0.5), (0.5, 0.78), (0.75, 0.94))  # way out from paper, strength there at most, of a soft ramp


@dataclass(frozen=True, slots=True)
class Departure:
    """A picture as its departure from paper.

    `depth` float32 (H, W, 3) levels; `strength` float32 (H, W), its largest
    channel; `inked` bool (H, W). `noise` is what one ink varies by, in levels;
    `blurred` whether colour changes slower than brightness.
    """

    depth: Floats
    strength: Floats
    inked: Mask
    paper: Paper
    noise: float
    blurred: bool


@dataclass(frozen=True, slots=True)
class Inks:
    """`depths` float32 (K, 3) levels, strongest first; `has_own_hue` bool (K,); `core` bool (H, W), line middles."""

    depths: Floats
    has_own_hue: Mask
    core: Mask

    @property
    def own_hue(self) -> Floats:
        """The inks that are no paler shade of a stronger one; float32 (K, 3)."""
        return self.depths[self.has_own_hue]


def cover(departure: Departure) -> tuple[Floats, Floats]:
    """Alpha, float32 (N,), and colour, float32 (N, 3), levels, of the N inked pixels."""
    inked, grain = departure.inked, departure.noise
    depth = departure.depth[inked]
    metric = np.eye(3, dtype=np.float32)
    if departure.blurred:
        metric = mostly_brightness()
        departure = replace(departure, strength=largest(np.abs(departure.depth @ metric)))
    inks = find_inks(departure)
    pure, places = pure_places(departure, inks)
    alpha, source = np.ones(len(depth), np.float32), places[inked]
    rest = inked & ~pure
    if rest.any():
        mixed = unmix(departure.depth[rest], inks.own_hue, grain, metric, TIED if departure.blurred else 0.0)
        if pure.any():
            _cover_near_pure(departure, places, (pure, rest), mixed, metric)
        alpha[rest[inked]], source[rest[inked]] = mixed
    alpha = np.minimum(alpha / _full_from(inks.own_hue, grain), 1)
    own = departure.paper.colour - depth / np.maximum(alpha, 1e-3)[:, None]
    clean = departure.paper.colour - source
    # what an ink differs from its own colour by no more than the grain does is grain
    off = largest(np.abs((own - clean) @ metric))
    trust = np.clip(2 * alpha - 1, 0, 1) * np.clip(off / max(GRAIN_REACH * grain, 1e-3) - 1, 0, 1)
    return alpha, clean + trust[:, None] * (own - clean)


def mostly_brightness(weight: float = BLURRED_CHROMA) -> Floats:
    """Weights for differences, float32 (3, 3), where colour is blurred (JPEG, video) and brightness must decide.

    `weight` is that of colour against brightness.
    """
    brightness = np.outer(LUMINANCE, np.ones(3))
    return np.asarray(brightness + weight * (np.eye(3) - brightness), np.float32)


def sharpen_colour(depth: Floats) -> Floats:
    """The depth, float32 (H, W, 3), with colour as sharp as brightness, where it was coded at half the resolution.

    Within a few pixels ink and what it lies on differ along one line, so colour follows brightness linearly (the
    guided filter of He, Sun and Tang, 2010). The line is fitted to brightness blurred as colour was.
    """
    brightness = depth @ LUMINANCE
    coded = cv2.sepFilter2D(brightness, -1, HALVED, HALVED)
    colour = depth - brightness[..., None]
    mean = _mean_around(coded)
    spread = _mean_around(coded * coded) - mean * mean
    shared = _mean_around(colour * coded[..., None]) - _mean_around(colour) * mean[..., None]
    slope = shared / (np.maximum(spread, 0) + LEAST_SPREAD)[..., None]
    return np.asarray(depth + slope * (brightness - coded)[..., None], np.float32)


def _mean_around(values: Floats) -> Floats:
    return np.asarray(cv2.blur(values, (ALIKE_WITHIN, ALIKE_WITHIN)))


def chroma_is_blurred(depth: Floats, grain: float) -> bool:
    """True where edges are less steep in colour than in brightness, as after 4:2:0 coding."""
    rows = depth[:: 1 + depth.shape[0] // ROWS_ENOUGH]
    least = max(LEAST_EDGE, EDGE_NOISE * grain)
    edge, steepness = _edges(rows @ LUMINANCE, least)
    blurred, seen = 0.0, LEAST_EDGES
    for other in (1, 2):
        coloured, softer = _edges(rows[..., 0] - rows[..., other], least)
        both = edge & coloured
        if both.sum() > seen:
            seen = int(both.sum())
            blurred = float(np.median(softer[both] / steepness[both]))
    return 0 < blurred < SHARP_CHROMA


def _edges(channel: Floats, least: float) -> tuple[Mask, Floats]:
    """Where a channel changes by more than `least` levels along a row, bool (H, W), and how steeply, of 1 at once."""
    span = cv2.dilate(channel, EDGE_WINDOW) - cv2.erode(channel, EDGE_WINDOW)
    step = np.zeros_like(channel)
    step[:, 1:] = np.abs(np.diff(channel, axis=1))
    steepest = cv2.dilate(step, EDGE_WINDOW[:, 1:], anchor=(EDGE_WINDOW.size // 2 - 1, 0))
    return span > least, steepest / np.maximum(span, 1)


def find_inks(departure: Departure) -> Inks:
    """The inks that stand out as colours many pixels share, the strongest first."""
    strength, grain = departure.strength, departure.noise
    floor = max(LEAST_CORE, 5 * grain)
    peak = cv2.dilate(strength, _SQUARE)
    core = departure.inked & (strength > floor) & (strength >= peak - max(2.0, 2 * grain))
    depths = departure.depth[core]
    if not depths.size:
        depths = departure.depth[departure.inked]
    if len(depths) > MOST_CORES:
        depths = depths[:: len(depths) // MOST_CORES + 1]
    reach = max(COLOUR_ERROR, 3 * grain)
    modes = _common_depths(depths, reach)
    strongest = _strongest(depths)
    if all(np.abs(mode - strongest).max() > 2 * reach for mode in modes):
        modes.append(strongest)
    modes.sort(key=lambda mode: -float(np.linalg.norm(mode)))
    return Inks(np.stack(modes), np.array(_are_own_hue(modes, reach)), core)


def _common_depths(depths: Floats, reach: float) -> list[Floats]:
    """Depths that many cores share to within `reach` levels, the commonest first."""
    bins = (np.clip(depths + 256, 0, 511) // MODE_STEP).astype(np.int64)
    codes = bins @ np.array([4096, 64, 1])
    counts = np.bincount(codes, minlength=64**3)
    needed = LEAST_PIXELS + INK_SHARE * len(depths)
    modes: list[Floats] = []
    for code in np.argsort(counts)[::-1][: 8 * MOST_INKS]:
        if len(modes) == MOST_INKS or counts[code] < needed / 8:
            break
        near = largest_apart(depths, np.median(depths[codes == code], axis=0)) <= reach
        mode = np.median(depths[near], axis=0) if near.any() else depths[0]
        if near.sum() >= needed and all(np.abs(mode - known).max() > 2 * reach for known in modes):
            modes.append(mode.astype(np.float32))
    return modes


def _are_own_hue(modes: list[Floats], reach: float) -> list[bool]:
    """Which inks are no paler shade of a stronger one: a grey is one of black, a red is not."""
    own = []
    for k, mode in enumerate(modes):
        shades = [known * float(mode @ known / (known @ known)) for known in modes[:k]]
        own.append(all(np.abs(mode - shade).max() > reach for shade in shades))
    return own


def _strongest(depths: Floats) -> Floats:
    """The full depth of the strongest ink: the mean of the upper few per cent, the very top left out as noise."""
    size = np.sqrt(_dot(depths, depths))
    low, high = np.quantile(size, [0.97, 0.995])
    return np.asarray(np.median(depths[(size >= low) & (size <= high + 1e-3)], axis=0), np.float32)


def _dot(one: Floats, other: Floats) -> Floats:
    return np.asarray(np.einsum("nc,nc->n", one, other))


def unmix(
    depth: Floats, inks: Floats, grain: float, metric: Floats, tied: float = 0.0
) -> tuple[Floats, Floats]:
    """Coverage, float32 (N,), and the covering ink's depth, float32 (N, 3), of N depths.

    Of inks that explain a pixel equally well, to within `tied` levels, the strongest is taken: what a coder leaves
    around a line is a trace of that line sooner than much of a pale tone.
    """
    seen, known = depth @ metric, inks @ metric
    shares = np.clip(seen @ known.T / (known * known).sum(axis=1), 0, 1)
    errors = np.stack([largest_apart(seen, shares[:, k : k + 1] * known[k]) for k in range(len(inks))])
    best = np.argmax(errors <= errors.min(axis=0) + tied, axis=0)
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
        total = parts[:, 0] + parts[:, 1]
        parts /= np.maximum(total, 1)[:, None]
        missed = largest_apart(seen, parts @ known[[i, j]])
        better = (missed < error - 1) & (total > 0)
        error[better], alpha[better] = missed[better], np.minimum(total[better], 1)
        source[better] = (parts[better] @ inks[[i, j]]) / alpha[better][:, None]
    return alpha, source, error


def _cover_unexplained(depth: Floats, inks: Floats, alpha: Floats, source: Floats, error: Floats) -> None:
    """Take pixels that no inks explain as whole if they are strong, in place; faint ones stay as they are."""
    size = largest(np.abs(depth))
    odd = (error > UNEXPLAINED) & (size > np.abs(inks).max() * STRONG_SHARE)
    alpha[odd], source[odd] = 1, depth[odd]


def _full_from(inks: Floats, grain: float) -> float:
    """The coverage from which a grainy line counts as full."""
    return 1 - min(0.06, 2 * grain / float(np.linalg.norm(inks[0])))


def pure_places(departure: Departure, inks: Inks) -> tuple[Mask, Floats]:
    """Where one ink covers whole pixels, bool (H, W), and the depth of the ink there, float32 (H, W, 3)."""
    flat = _flat_places(departure)
    labels = _label(departure, inks.depths)
    wide = (labels > 0) & (cv2.dilate(labels, _SQUARE) == cv2.erode(labels, _SQUARE))
    by_wide = (labels > 0) & (cv2.dilate(labels * wide, np.ones((5, 5), np.uint8)) == labels)
    alone = np.concatenate([[False], inks.has_own_hue])[labels]
    pure = flat | by_wide | (inks.core & alone)
    # colour alone tells a flat tone too, however a coder blurred it
    strength = departure.strength
    if departure.blurred:
        strength = np.where(flat, largest(np.abs(departure.depth)), strength)
    pure &= strength > np.where(by_wide, PALEST_KNOWN, PALEST) + 4 * departure.noise
    if pure.any():
        pure[pure] = ~_fades(departure, pure)
        # a share of an ink's own hue is right beside it without more
        pure |= _going_on(departure, pure & flat & ~alone)
        # nine tenths of a tone look like all of it, and show as a light rim on dark ground
        pure &= (inks.core & alone) | ~_near_paper(departure, 1)
    places = departure.depth.copy()
    known = pure & (labels > 0)
    places[known] = inks.depths[labels[known].astype(np.int64) - 1]
    if departure.noise > PAINTED_NOISE:
        _keep_gradients(departure.depth, places, wide & pure & (labels > 0), departure.noise)
    return pure, places


def _keep_gradients(depth: Floats, places: Floats, wide: Mask, noise: float) -> None:
    """Give wide places of noisy pictures their colour by the mean around each pixel, in place.

    Noise lets many shades pass for one ink, and paint with gradients would come out in steps.
    """
    weight = cv2.blur(wide.astype(np.float32), (AVERAGED, AVERAGED))
    mean = cv2.blur(depth * wide[..., None], (AVERAGED, AVERAGED))[wide] / weight[wide][:, None]
    shaded = largest_apart(mean, places[wide]) > SHADED_BY * noise
    places[wide] = np.where(shaded[:, None], mean, places[wide])


def _label(departure: Departure, inks: Floats) -> NDArray[np.uint8]:
    """Which ink each inked pixel is in full, counted from 1, or 0; uint8 (H, W)."""
    metric = mostly_brightness() if departure.blurred else np.eye(3, dtype=np.float32)
    depth = departure.depth[departure.inked] @ metric
    best = np.full(len(depth), np.inf, np.float32)
    found = np.zeros(len(depth), np.uint8)
    for k, ink in enumerate(inks):
        missed = largest_apart(depth, ink @ metric)
        reach = max(min(LABEL_REACH, FULL_WITHIN * float(np.abs(ink).max())), 3 * departure.noise, ROUNDING)
        closer = (missed < best) & (missed < reach)
        best[closer], found[closer] = missed[closer], k + 1
    labels = np.zeros(departure.inked.shape, np.uint8)
    labels[departure.inked] = found
    return labels


def _flat_places(departure: Departure) -> Mask:
    """Where 5x5 pixels of ink have one colour; bool (H, W)."""
    flat = (_unevenness(departure) <= max(FLAT_RANGE, FLAT_NOISE * departure.noise)) & departure.inked
    return np.asarray(cv2.erode(flat.astype(np.uint8), _SQUARE, borderValue=1) > 0)


def _unevenness(departure: Departure) -> NDArray[np.uint8]:
    """How much 3x3 pixels differ in the channel that differs most; uint8 (H, W), levels."""
    levels = np.clip(departure.paper.colour - departure.depth, 0, 255).astype(np.uint8)
    return np.asarray(largest(cv2.morphologyEx(levels, cv2.MORPH_GRADIENT, _SQUARE)))


def _going_on(departure: Departure, flat: Mask) -> Mask:
    """Flat places of a tone and where it goes on in nearly its colour, shaded or shaken by ringing; bool (H, W)."""
    around = cv2.dilate(flat.astype(np.uint8), np.ones((2 * GOES_ON + 1, 2 * GOES_ON + 1), np.uint8)) > 0
    like = around & departure.inked & ~flat & (_unevenness(departure) <= UNEVEN)
    if not (like.any() and flat.any()):
        return flat
    tone = _nearest(flat, like)[1]
    apart = departure.depth[like] - departure.depth[tone[:, 0], tone[:, 1]]
    like[like] = largest(np.abs(apart @ mostly_brightness(ALIKE_CHROMA))) <= ALIKE
    grown = flat
    for _ in range(GOES_ON):
        grown = flat | (like & (cv2.dilate(grown.astype(np.uint8), _SQUARE) > 0))
    return grown


def _fades(departure: Departure, flat: Mask) -> Mask:
    """Which flat pixels stand on a soft ramp out of the paper; bool (number of flat pixels,)."""
    at = np.stack(np.nonzero(flat), axis=1)
    if departure.inked.all():
        return np.zeros(len(at), bool)
    away, paper = _nearest(~departure.inked, flat)
    own = departure.strength[flat]
    ramp = away > 4
    for way, most in RAMP:
        y, x = np.rint(paper + way * (at - paper)).astype(np.int64).T
        ramp &= departure.strength[y, x] < most * own
    return np.asarray(ramp)


def _nearest(targets: Mask, asked: Mask) -> tuple[Floats, NDArray[np.int64]]:
    """For the N asked pixels, distance to the nearest target, (N,), and its row and column, (N, 2)."""
    away, labels = cv2.distanceTransformWithLabels(
        (~targets).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    place = np.zeros(int(labels.max()) + 1, np.int64)
    place[labels[targets]] = np.flatnonzero(targets)
    return away[asked], np.stack(np.divmod(place[labels[asked]], targets.shape[1]), axis=1)


def _cover_near_pure(
    departure: Departure,
    places: Floats,
    parts: tuple[Mask, Mask],
    mixed: tuple[Floats, Floats],
    metric: Floats,
) -> None:
    """Correct the coverage of the pixels of the rest that lie close to pure places, in place."""
    (pure, rest), (alpha, source) = parts, mixed
    away, nearest = _nearest(pure, rest)
    near = np.flatnonzero(away <= EDGE_REACH)
    at = np.stack(np.nonzero(rest), axis=1)[near]
    place = nearest[near]
    tone, own = places[place[:, 0], place[:, 1]], departure.depth[at[:, 0], at[:, 1]]
    known, seen = tone @ metric, own @ metric
    share = np.clip(_dot(seen, known) / np.maximum(_dot(known, known), 1), 0, 1).astype(np.float32)
    missed = largest_apart(seen, share[:, None] * known)
    limit = np.maximum(COLOUR_ERROR, 0.1 * largest(np.abs(tone)))
    limit = limit * BLURRED_ERROR if departure.blurred else limit
    between = _meets_other(places, pure, (at, place), own, np.minimum(limit, missed + 2))
    # paper and a dark ink mix to what two inks may mix to, and paper is there
    between &= ~_near_paper(departure, 1)[rest][near]
    edge = ~between & (missed <= limit)
    if departure.blurred:
        clear = _without_fuzz(pure, at, share)
        pale = np.clip(2 - largest(np.abs(tone)) / PALE, 0, 1) * _near_paper(departure, 2)[rest][near]
        share = share + pale * np.minimum(clear - share, 0)
    alpha[near[between]], source[near[between]] = 1, own[between]
    alpha[near[edge]], source[near[edge]] = share[edge], tone[edge]


def _near_paper(departure: Departure, reach: int) -> Mask:
    """Where bare paper is at most `reach` pixels away, across corners too; bool (H, W)."""
    bare = (~departure.inked).astype(np.uint8)
    return np.asarray(cv2.dilate(bare, np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)) > 0)


def _without_fuzz(pure: Mask, at: NDArray[np.int64], share: Floats) -> Floats:
    """The share (N,) that the ink of pure places has in pixels `at` (N, 2) beside them, evened out along edges.

    A blur evens out what JPEG leaves beside an edge, and the edge is made steep again about its half.
    """
    shares = pure.astype(np.float32)
    shares[at[:, 0], at[:, 1]] = share
    even = cv2.GaussianBlur(shares, (5, 5), EVEN_OUT)[at[:, 0], at[:, 1]]
    return np.asarray(np.clip(0.5 + STEEPEN * (even - 0.5), 0, 1), np.float32)


def _meets_other(
    places: Floats, pure: Mask, lines: tuple[NDArray[np.int64], NDArray[np.int64]], own: Floats, limit: Floats
) -> Mask:
    """Which pixels mix the ink of their pure place with another one behind them to within `limit`; bool (N,)."""
    at, place = lines
    way = (at - place).astype(np.float32)
    way /= np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-3)[:, None]
    tone = places[place[:, 0], place[:, 1]]
    bottom = np.array(pure.shape) - 1
    meets = np.zeros(len(at), bool)
    for step in OUTWARD:
        y, x = np.clip(np.rint(at + step * way).astype(np.int64), 0, bottom).T
        apart = places[y, x] - tone
        differs = pure[y, x] & (largest(np.abs(apart)) > COLOUR_ERROR)
        mixed = _dot(own - tone, apart) / np.maximum(_dot(apart, apart), 1)
        missed = largest_apart(own - tone, np.clip(mixed, 0, 1)[:, None] * apart)
        meets |= differs & (missed <= limit)
    return meets
