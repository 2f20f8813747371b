"""Printed paper: ruling, squares and dots told from drawing by their regularity, and taken out.

A ruled line stands at the same height across the whole page, so the median over a strip of the page shows it and
hardly any of the drawing. Its own profile there is divided out, so that ink which crosses it stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.dots import find_dots, take_dots
from assetlib.imaging.pages.guesses import Picture
from assetlib.imaging.pages.light import is_dark, paper_light
from assetlib.imaging.pixels import colours, shrink

Floats = NDArray[np.float32]

LOOKED_AT = 2600  # pixels of the longer side that print is looked for at: its lines are still some wide
FOLLOWED_AT = 5200  # pixels of the longer side that its lines are followed at
CHUNK = 48  # pixels along a line whose paper is looked at together
PROFILED = 3  # every so manieth column says what a line lets back
PROFILES = 24  # lines that are asked for it
BESIDE = 3  # rows beside a line that are looked at with it
LETS_BACK = 0.995  # share of light: rows of a line's band that let back more are paper
LINE = 0.99  # the same of rows in which all that is lighter than the line goes
STRIPS = 10  # across the page, in which lines are followed
SHOWS = 0.012  # share of light that a printed line takes away at least, in the median of a strip
CLOSEST, WIDEST = 9, 0.09  # pixels, and share of the page, between two lines
LEAST_LINES = 7
REGULAR = 0.72  # share of the expected places that a line is seen at
REACH = 0.16  # of the distance between lines: how far one may be from its expected place
BARE, BARE_SHARE = 0.86, 0.6  # share of the paper's light, and of a page, that is hardly drawn on
HALF_WIDTH = 0.0022  # of the longer side: half of what a printed line is wide, softness included
LEFT_OVER = 0.05  # share of light: what is left of a line when it is divided out
REST = 0.6  # of what a line takes away: what is left of it at most where no drawing crosses it
DRAWN_ON = 0.93  # share of light below which something is drawn
SOFT = (0.25, 0.5, 0.25)
NEARLY_ALL = 0.3  # share of the strips that may hold no line where drawing stands in the others
DARK_PRINT = 0.35  # share of light: what is darker is drawn
STEEPEST = 3.0  # rows that a lone line rises or falls from strip to strip at most
SAME_EVERYWHERE = 0.8  # share of the strips that a lone margin line crosses
MIDWAY = 0.75  # of how dark lines are: as dark as that between them, and they are the paper's own tooth


@dataclass(frozen=True, slots=True)
class Print:
    """What is printed on a paper: `kind` is 'ruled', 'squared' or 'dotted'."""

    kind: str


@dataclass(frozen=True, slots=True)
class _Lines:
    """Lines along the rows of a picture: their heights at each strip's middle, float64 (lines, strips)."""

    heights: NDArray[np.float64]
    middles: NDArray[np.float64]


def find_print(picture: Picture) -> Print | None:
    """What is printed on the paper of a flat page, uint8 (H, W, 3 or 4), or None for plain paper."""
    rgb, _ = _looked_at(picture)
    if is_dark(rgb):
        return None
    light = _light(rgb)
    if float((light > BARE).mean()) < BARE_SHARE:
        return None
    if find_dots(light) is not None:
        return Print("dotted")
    down, across = _find_lines(_strips(light)), _find_lines(_strips(light.T))
    if down is None and across is None:
        return None
    return Print("squared" if down is not None and across is not None else "ruled")


def _looked_at(picture: Picture) -> tuple[Picture, float]:
    """The colours of a page, reduced to where print is looked for, and its scale."""
    scale = min(1.0, LOOKED_AT / max(picture.shape[:2]))
    size = max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale))
    return colours(shrink(picture, size)), scale


def take_out(picture: Picture, printed: Print) -> Picture:
    """The page without its print, of the shape given; ink that crosses it stays."""
    out = picture.copy()
    if printed.kind == "dotted":
        small, scale = _looked_at(picture)
        dots = find_dots(_light(small))
        if dots is not None:
            take_dots(out, dots, 1 / scale)
        return out
    scale = max(1.0, max(picture.shape[:2]) / FOLLOWED_AT)
    if scale > 1:  # where lines run is seen on a reduced copy just as well
        size = max(1, round(picture.shape[1] / scale)), max(1, round(picture.shape[0] / scale))
        light = _light(colours(shrink(picture, size)))
    else:
        light = _light(colours(picture))
    for turned in (False, True):
        field = light.T if turned else light
        strips = _strips(field)
        view = out.swapaxes(0, 1) if turned else out
        for found in (_find_lines(strips), _lone_lines(strips)):
            if found is not None:
                _divide_out(view, _Lines(found.heights * scale, found.middles * scale), scale)
    return out


def _light(rgb: Picture) -> Floats:
    """How much light every pixel, uint8 (H, W, 3), lets back against the paper around it, float32 (H, W), to 1.

    The channel in which a pixel differs most from its paper counts, so that a pale blue line shows.
    """
    field = np.maximum(paper_light(rgb), 8)
    light = np.ones(rgb.shape[:2], np.float32)
    for levels, paper in zip(cv2.split(rgb), cv2.split(field), strict=True):
        share = cv2.resize(paper, rgb.shape[1::-1])
        cv2.divide(levels, share, share, dtype=cv2.CV_32F)
        cv2.min(light, share, light)
    return light


@dataclass(frozen=True, slots=True)
class _Strips:
    """A page in strips across it: how much darker every row of each is than rows near it, (rows, STRIPS).

    `middles` (STRIPS,) are the strips' middles; by how many rows a strip lies askew say `shifts` (STRIPS,).
    """

    depth: Floats
    middles: NDArray[np.float64]
    shifts: NDArray[np.int64]


def _strips(light: Floats) -> _Strips:
    """A page by how much light it lets back, (H, W), measured for lines along its rows."""
    edges = np.linspace(0, light.shape[1], STRIPS + 1).astype(int)
    step = max(1, light.shape[1] // (STRIPS * 60))
    medians = np.stack([np.median(light[:, a:b:step], axis=1) for a, b in pairwise(edges)], axis=1)
    window = max(15, round(0.03 * light.shape[0])) | 1
    usual = np.stack([_running_high(column, window) for column in medians.T], axis=1)
    depth = np.asarray(usual - medians, np.float32)
    # strips may lie askew by some pixels: each is moved to its best match with the one before
    return _Strips(depth, (edges[:-1] + edges[1:]) / 2, _shifts(depth))


def _running_high(values: Floats, window: int) -> Floats:
    """The upper level of a run of values: paper between the lines."""
    row = np.ascontiguousarray(values[None].astype(np.float32))
    upper = cv2.dilate(cv2.GaussianBlur(row, (1, 1), 0), np.ones((1, max(3, window // 3)), np.uint8))
    return np.asarray(cv2.blur(cv2.erode(upper, np.ones((1, max(3, window // 3)), np.uint8)), (window, 1))[0])


def _find_lines(strips: _Strips) -> _Lines | None:
    """Evenly spaced lines along the rows of a page, or None."""
    level = _moved(strips.depth, strips.shifts)
    average, usual = level.mean(axis=0), np.quantile(level, NEARLY_ALL, axis=0).astype(np.float32)
    # the slats of a bench repeat more strongly than pale ruling does, and not across the whole page
    for repeats, shows in ((np.maximum(average, np.median(strips.depth, axis=1)), average), (usual, usual)):
        period = _period(repeats)
        found = None if period is None else _along(strips, _expected(shows, period), period)
        if found is not None:
            return found
    return None


def _along(strips: _Strips, rows: list[float], period: float) -> _Lines | None:
    """The lines of so many rows' distance that were expected at `rows`, as they run; None where they are none."""
    depth, shifts = strips.depth, strips.shifts
    if len(rows) < LEAST_LINES or _is_tooth(depth, shifts, rows, period):
        return None
    heights = np.full((len(rows), STRIPS), np.nan)
    reach = max(2, round(REACH * period))
    for k in range(STRIPS):
        for j, row in enumerate(rows):
            at = round(row) + shifts[k]
            low, high = max(0, at - reach), min(len(depth), at + reach + 1)
            if high - low < 3:
                continue
            best = low + int(depth[low:high, k].argmax())
            if depth[best, k] > SHOWS:
                heights[j, k] = best
    seen = np.isfinite(heights)
    below = heights - np.array(rows)[:, None]
    if seen.mean() < REGULAR or np.nanmedian(np.abs(below - _medians(below))) > 0.06 * period + 1:
        return None
    usual = np.array(rows)[:, None] + shifts[None]
    # where drawing stands in a strip its neighbours know better: the paper bends slowly
    off = np.where(seen, heights - usual, np.nan)
    calm = np.stack([_medians(off[max(0, j - 2) : j + 3]) for j in range(len(rows))])
    calm = np.where(np.isfinite(calm), calm, 0)
    agreeing = seen & (np.abs(off - calm) <= 2)
    return _Lines(np.where(agreeing, heights, usual + calm).astype(np.float64), strips.middles)


def _is_tooth(depth: Floats, shifts: NDArray[np.int64], rows: list[float], period: float) -> bool:
    """Whether it is nearly as dark between the lines, in every strip: they are none."""
    reach = max(2, round(REACH * period))
    darkest = cv2.dilate(depth, np.ones((2 * reach + 1, 1), np.uint8))
    here, between = (
        np.median(
            [
                darkest[np.clip(np.rint(np.array(rows) + by + shift).astype(int), 0, len(depth) - 1), k]
                for k, shift in enumerate(shifts)
            ]
        )
        for by in (0.0, period / 2)
    )
    return bool(between > MIDWAY * here)


def _medians(values: Floats) -> Floats:
    """The median of each column, NaN left out; NaN where a column has nothing else."""
    told = np.isfinite(values).any(axis=0)
    medians = np.full(values.shape[1], np.nan)
    medians[told] = np.nanmedian(values[:, told], axis=0)
    return medians


def _shifts(depth: Floats) -> NDArray[np.int64]:
    """How many rows each strip's lines lie below those of the middle strip."""
    shifts = np.zeros(depth.shape[1], np.int64)
    middle = depth.shape[1] // 2
    for way in (1, -1):
        at = middle
        while 0 <= at + way < depth.shape[1]:
            shifts[at + way] = shifts[at] + _shift(depth[:, at], depth[:, at + way])
            at += way
    return shifts


def _shift(one: Floats, other: Floats, most: int = 6) -> int:
    scores = [
        float((np.maximum(one, 0) * np.maximum(np.roll(other, -by), 0)).sum())
        for by in range(-most, most + 1)
    ]
    best = int(np.argmax(scores))
    return best - most if scores[best] > 1.05 * scores[most] else 0


def _period(level: Floats) -> float | None:
    """Rows between two lines, from where the page is most like itself moved down; None where nothing repeats."""
    # lines a pixel wide that lie half a pixel off are alike only where they are a little soft
    values = np.convolve(np.minimum(np.maximum(level, 0), np.quantile(level, 0.995)), SOFT, "same")
    values = values - values.mean()
    size = len(values)
    spectrum = np.abs(np.fft.rfft(values, 2 * size)) ** 2
    like = np.fft.irfft(spectrum)[:size] / max(1e-9, float((values**2).sum()))
    like = like * size / np.maximum(1, size - np.arange(size))
    low, high = CLOSEST, max(CLOSEST + 2, round(WIDEST * size))
    window = like[low : high + 1]
    peaks = [
        k for k in range(1, len(window) - 1) if window[k] >= window[k - 1] and window[k] >= window[k + 1]
    ]
    strong = [k for k in peaks if window[k] > 0.25 and window[k] > 0.8 * max(window[j] for j in peaks)]
    if not strong:
        return None
    first = float(strong[0] + low)
    far = [n for n in range(2, 9) if n * first + 3 < size]
    for n in far:  # the period grows exact over several lines
        near = round(n * first)
        around = like[max(1, near - 2) : near + 3]
        if len(around) == 5 and around.max() > 0.12:
            first = (near - 2 + int(around.argmax())) / n
    return first


def _expected(level: Floats, period: float) -> list[float]:
    """Heights at which lines stand: the phase at which the lines are strongest, as far as lines go."""
    count = int(len(level) / period)
    best, phase = -1.0, 0.0
    for tried in np.arange(0, period, 0.5):
        at = np.rint(tried + period * np.arange(count)).astype(int)
        score = float(np.minimum(level[np.minimum(at, len(level) - 1)], 0.3).sum())
        if score > best:
            best, phase = score, float(tried)
    rows = [phase + period * k for k in range(count + 1) if phase + period * k < len(level)]
    reach = max(2, round(REACH * period))
    shows = [level[max(0, round(r) - reach) : round(r) + reach + 1].max() > SHOWS for r in rows]
    if not any(shows):
        return []
    first, last = shows.index(True), len(shows) - 1 - shows[::-1].index(True)
    return rows[first : last + 1]


def _lone_lines(strips: _Strips) -> _Lines | None:
    """Lone lines that run through the whole page, as a margin does."""
    depth = strips.depth
    shifts = max((strips.shifts, _aslant(depth)), key=lambda way: _runs_through(depth, way))
    level = np.median(_moved(depth, shifts), axis=0)
    reach = max(3, round(0.004 * len(level)))
    top = cv2.dilate(level[None].astype(np.float32), np.ones((1, 2 * reach + 1), np.uint8))[0]
    found = []
    for row in np.flatnonzero((level >= top) & (level > 2 * SHOWS)):
        places = [
            (max(0, row + s - reach), depth[max(0, row + s - reach) : row + s + reach + 1, k])
            for k, s in enumerate(shifts)
        ]
        if np.mean([part.max(initial=0) > SHOWS for _, part in places]) >= SAME_EVERYWHERE:
            found.append(_followed(places, row + shifts))
    return _Lines(np.array(found, np.float64), strips.middles) if 0 < len(found) <= 80 else None


def _moved(depth: Floats, shifts: NDArray[np.int64]) -> Floats:
    """Every strip moved by its shift, (STRIPS, rows)."""
    return np.stack([np.roll(depth[:, k], -shift) for k, shift in enumerate(shifts)])


def _runs_through(depth: Floats, shifts: NDArray[np.int64]) -> float:
    """How much runs through nearly all strips, each moved by its shift."""
    nearly_all = np.partition(_moved(depth, shifts), int(NEARLY_ALL * STRIPS), axis=0)[
        int(NEARLY_ALL * STRIPS)
    ]
    return float((np.clip(nearly_all, 0, DARK_PRINT) ** 2).sum())


def _aslant(depth: Floats) -> NDArray[np.int64]:
    """The shifts of lines that run straight and a little aslant, whatever is drawn between them."""
    strips = np.arange(STRIPS) - STRIPS // 2
    ways = [np.rint(slant * strips).astype(np.int64) for slant in np.arange(-STEEPEST, STEEPEST + 0.1, 0.25)]
    return max(ways, key=lambda way: _runs_through(depth, way))


def _followed(places: list[tuple[int, Floats]], expected: NDArray[np.int64]) -> NDArray[np.float64]:
    """The heights of one line: where each strip is darkest near it, and where drawing is, as its neighbours say."""
    heights = np.array(
        [start + int(part.argmax()) if part.size else -1 for start, part in places], np.float64
    )
    off = heights - expected
    agreeing = np.abs(off - np.median(off)) <= 2
    return np.asarray(np.where(agreeing, heights, expected + np.median(off)))


def _divide_out(view: Picture, lines: _Lines, loose: float) -> None:
    """Take lines along the rows out of a picture (a view of it), in place, by the profile that they share.

    `loose` is by how many pixels a line may lie off.
    """
    height, width = view.shape[:2]
    half = max(2, round(HALF_WIDTH * max(height, width)) + 1)
    columns = np.arange(width)
    bands = []
    for heights in lines.heights:
        at = np.rint(np.interp(columns, lines.middles, heights)).astype(int)
        if at.min() >= half + 2 and at.max() < height - half - 2:
            bands.append(at)
    if not bands:
        return
    some = view[:, ::PROFILED]
    asked = bands[:: max(1, len(bands) // PROFILES)]
    usual = np.median([_profile(some, at[::PROFILED], half) for at in asked], axis=0)
    # the line may lie a little off: it is divided out by what lets back least of the rows near
    deep = cv2.erode(usual, np.ones((2 * round(loose) + 1, 1), np.uint8))
    near = cv2.erode(
        deep, np.ones((2 * BESIDE + 1, 1), np.uint8)
    )  # it is not told to the pixel where a line runs
    printed = np.flatnonzero(near.min(axis=1) < LETS_BACK)
    if len(printed):
        rows = np.arange(printed[0], printed[-1] + 1)
        for at in bands:
            _divide_band(view, at, rows - half, usual[rows], deep[rows], half)


def _paper_beside(view: Picture, at: NDArray[np.int64], half: int) -> Picture:
    """The paper along a line, uint8 (W, 3), from what lies above and below it."""
    columns = np.arange(view.shape[1])
    near = (np.clip(at + k * half, 0, len(view) - 1) for k in (-3, -2, 2, 3))
    a, b, c, d = (view[rows, columns, :3] for rows in near)
    # the second lightest of the four
    paper = np.maximum(
        np.minimum(np.maximum(a, b), np.maximum(c, d)), np.maximum(np.minimum(a, b), np.minimum(c, d))
    )
    # where ink runs along the line, the paper is what it is further along
    chunks, wide = max(1, view.shape[1] // CHUNK), min(CHUNK, view.shape[1])
    whole = paper[: chunks * wide].reshape(chunks, wide, 3)
    light = np.partition(whole, (3 * wide) // 4, axis=1)[:, (3 * wide) // 4]
    middles = wide * (np.arange(chunks) + 0.5)
    along = np.stack([np.interp(columns, middles, light[:, c]) for c in range(3)], 1).astype(np.uint8)
    inked = np.any(paper < 0.9 * along, axis=1, keepdims=True)
    return np.asarray(np.where(inked, along, paper), np.uint8)


def _profile(view: Picture, at: NDArray[np.int64], half: int) -> Floats:
    """What share of light a line lets back at each row of its band, float32 (2 half + 1, 3)."""
    rows = at[None] + np.arange(-half, half + 1)[:, None]
    paper = np.maximum(_paper_beside(view, at, half), 8).astype(np.float32)
    shares = view[rows, np.arange(view.shape[1])[None], :3] / paper
    edges = np.linspace(0, view.shape[1], STRIPS + 1).astype(int)
    strips = [np.median(shares[:, a:b], axis=1) for a, b in pairwise(edges)]
    return np.asarray(np.clip(np.median(strips, axis=0), 0.25, 1.0), np.float32)


def _divide_band(
    view: Picture, at: NDArray[np.int64], rows: NDArray[np.int64], usual: Floats, deep: Floats, half: int
) -> None:
    """Take one line out, in place, on `rows` counted from it: they let back `usual`, or `deep` where it lies off."""
    places = at[None] + rows[:, None], np.arange(view.shape[1])[None]
    band = view[places][..., :3]
    paper = _paper_beside(view, at, half)
    levels, bare = band.astype(np.float32), paper.astype(np.float32)
    part = np.minimum(levels / usual[:, None], np.maximum(bare, levels))
    # what is as light as the line, or lighter where it is printed, is the line alone
    least = bare * deep[:, None] - LEFT_OVER * 255
    over = levels - least
    gone = np.all(over >= 0, axis=2) & (
        (deep.min(axis=1) < LINE)[:, None] | (over <= 2 * LEFT_OVER * 255).all(axis=2)
    )
    gone |= _crosses_nothing(view, at, rows, bare) & np.all(
        bare - part <= 255 * np.maximum(REST * (1 - deep), LEFT_OVER)[:, None], axis=2
    )
    levels = np.where(gone[..., None], bare, part)
    out = view[places]
    out[..., :3] = np.rint(np.minimum(levels, 255))
    view[places] = out


def _crosses_nothing(
    view: Picture, at: NDArray[np.int64], rows: NDArray[np.int64], bare: Floats
) -> NDArray[np.bool_]:
    """Where nothing is drawn right above or right below a line's band: what is left in it is the line's, bool (W,)."""
    columns = np.arange(view.shape[1])
    sides = []
    for way, edge in ((-1, rows[0]), (1, rows[-1])):
        beside = np.stack([view[at + edge + way * k, columns, :3] for k in (1, 2)])
        sides.append(np.all(beside >= DRAWN_ON * bare, axis=(0, 2)))
    alone = (sides[0] & sides[1]).astype(np.uint8)[None]
    return np.asarray(cv2.erode(alone, np.ones((1, 2 * BESIDE + 1), np.uint8))[0] > 0)
