"""The body of a drawing: the silhouette under its line, and the white to lay there.

A ball that rolls in from outside cannot pass a gap narrower than itself. Rolled
in ever larger sizes, it finds the places that only a gap in the outline opens:
they are much wider inside than their mouth, which a bay between two limbs is not.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.loose_ends import behind_loose_ends
from assetlib.imaging.cleaning.open_outlines import behind_open_outlines
from assetlib.imaging.cleaning.rooms import judge_rooms, not_body
from assetlib.imaging.masks import window_around

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

LINE_ALPHA = 64  # alpha (of 255) from which ink holds the ball back
FAINT_ALPHA = 24  # the same beside it in grainy line
FIRM_ALPHA = 220  # the usual alpha of line without grain
MOST_REACH = 8  # pixels beyond a tone at which its line is looked for
BOUND = 0.6  # share of a tone's rim that line runs along where it is a part of the body
TOOTH, GRAINY = 5, 0.045  # pixels across the tooth of paper; how much closing it adds to line that is grainy
EDGE_ALPHA = 128  # alpha from which ink itself is body: the half-covered pixel
WORKING_SIDE = 900  # longest side, pixels, at which gaps are looked for
GAP_IN_SIZES = 0.03  # widest gap bridged as a share of the drawing's diagonal; tuned on made gaps
LEAST_GAP = 5.0  # pixels
# how much wider than its mouth a place must be to be body, by how many sides of the mouth are stroke ends
WIDER_INSIDE = (3.0, 1.0, 0.7)
LEAST_INSIDE = 0.7
ALONG = (1.0, 1.7, 2.4)  # line weights at which a stroke is looked for onward from its end
SLANTS = (-0.5, 0.0, 0.5)  # how far it may bend there
BESIDE = (-2.2, 2.2)  # line weights to both sides at which a line that passes by is looked for
RUNS_ON = 0.66
_SQUARE = np.ones((3, 3), np.uint8)
CROSSING = 3.0  # line weights; a longer run along the picture's edge is a line lying there, not crossing it
FULL_ALPHA = 245  # alpha under which white behind the line would show as a fringe of 10 levels
BARE = 7  # pixels across that hold no ink where a body ends without a line
BARE_SOFTNESS = 1.5  # pixels; the steps of a reduced picture do not show
PEEL = 5  # pixels that the soft side of a line is at most wide


class HasMask(Protocol):
    """What is needed of an opening: where it is and whether it is open."""

    @property
    def mask(self) -> Mask: ...

    @property
    def is_open(self) -> bool: ...


def fill_body(ink_rgba: Pixels, judged: bool = True) -> Mask:
    """The silhouette under the line, bool (H, W): what outlines enclose, gaps bridged, and the line itself.

    Without `judged` no rooms behind wide mouths are among it that only a network tells.
    """
    alpha = ink_rgba[..., 3]
    if not (alpha >= LINE_ALPHA).any():
        return np.asarray(alpha >= EDGE_ALPHA)
    factor = max(1, -(-max(alpha.shape) // WORKING_SIDE))
    whole = solid_line(alpha)
    line = reduced(whole, factor)
    outside, bare = _roll_in(_closed_at_edges(line), judged)
    if factor > 1:
        outside = _refined(outside, bare & ~outside, whole, factor)
    body = ~outside | (alpha >= EDGE_ALPHA)
    return body | _bound_tones(alpha, body)


def _bound_tones(alpha: Pixels, body: Mask) -> Mask:
    """Tones that line goes round for the most part, where it stays open; bool (H, W).

    A shadow beside a thing has paper around it, and lets through what it falls on.
    """
    reach = min(MOST_REACH, round(pen_weight(alpha >= LINE_ALPHA)) + 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    faint = ((alpha >= FAINT_ALPHA) & ~body).astype(np.uint8)
    broad = cv2.morphologyEx(faint, cv2.MORPH_OPEN, disc)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(broad, connectivity=4)
    found = np.zeros_like(body)
    held = (body | (alpha >= LINE_ALPHA)).astype(np.uint8)
    for k in range(1, count):
        window = window_around(stats[k, :4], reach)
        own = (labels[window] == k).astype(np.uint8)
        rim = (own == 0) & (cv2.dilate(own, _SQUARE) > 0)
        near = cv2.dilate(held[window], disc) > 0
        if rim.any() and float(near[rim].mean()) > BOUND:
            found[window] |= (cv2.dilate(own, disc) > 0) & (faint[window] > 0)
    return _closed(found, disc) if found.any() else found


def solid_line(alpha: Pixels) -> Mask:
    """Where line holds the ball back, bool (H, W); the tooth of paper that shows in pencil is no way through it."""
    line = alpha >= LINE_ALPHA
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (TOOTH, TOOTH))
    if not line.any() or float(np.median(alpha[line])) > FIRM_ALPHA:
        return line
    closed = _closed(line, disc)
    if np.count_nonzero(closed) < (1 + GRAINY) * np.count_nonzero(line):
        return line
    faint = (alpha >= FAINT_ALPHA) & (cv2.dilate(line.astype(np.uint8), disc) > 0)
    wide = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * TOOTH - 1, 2 * TOOTH - 1))
    return _closed(faint, wide)


def _closed(mask: Mask, disc: Pixels) -> Mask:
    """A mask closed by a disc, and not to the border of its picture."""
    room = disc.shape[0]
    framed = cv2.morphologyEx(np.pad(mask, room).astype(np.uint8), cv2.MORPH_CLOSE, disc)
    return np.asarray(framed[room:-room, room:-room] > 0)


def body_layer(rgba: Pixels, ink: Pixels, body: Mask, openings: Iterable[HasMask] = ()) -> Pixels:
    """White for under the line, uint8 (H, W, 4): empty outside the body and in open openings.

    It ends beneath the full line, so that no white shows along its soft side, and softly where no line is.
    """
    kept = body.copy()
    for opening in openings:
        if opening.is_open:
            kept &= ~opening.mask
    kept = _peeled(kept, ink[..., 3])
    layer = np.zeros_like(rgba)
    shown = np.where(kept, 255, 0).astype(np.uint8)
    bare = cv2.dilate(ink[..., 3], np.ones((BARE, BARE), np.uint8)) == 0
    shown[bare] = cv2.GaussianBlur(shown, (0, 0), BARE_SOFTNESS)[bare]
    layer[shown > 0, :3] = 255
    layer[..., 3] = shown
    return layer


def pen_weight(line: Mask) -> float:
    """The usual width of a drawing's lines in pixels."""
    depth = cv2.distanceTransform(np.pad(line, 1).astype(np.uint8), cv2.DIST_L2, 5)
    middle = (depth > 0) & (depth >= cv2.dilate(depth, np.ones((3, 3), np.uint8)))
    return max(1.0, 2 * float(np.median(depth[middle])) - 1) if middle.any() else 1.0


def reduced(line: Mask, factor: int) -> Mask:
    """The line at a smaller scale, nowhere broken by it: a cell with any line is line."""
    if factor == 1:
        return line
    rows, columns = -(-line.shape[0] // factor), -(-line.shape[1] // factor)
    padded = np.zeros((rows * factor, columns * factor), bool)
    padded[: line.shape[0], : line.shape[1]] = line
    return np.asarray(padded.reshape(rows, factor, columns, factor).any(axis=(1, 3)))


def _closed_at_edges(line: Mask) -> Mask:
    """The line framed by one empty pixel, and closed where a drawing runs out of the picture."""
    framed = np.pad(line, 1)
    weight = pen_weight(line)
    for edge, row in ((framed[0], line[0]), (framed[-1], line[-1])):
        _close_pairs(edge[1:-1], row, weight)
    for edge, row in ((framed[:, 0], line[:, 0]), (framed[:, -1], line[:, -1])):
        _close_pairs(edge[1:-1], row, weight)
    return framed


def _close_pairs(edge: Mask, row: Mask, weight: float) -> None:
    """Join the first crossing of a picture's edge with the second, the third with the fourth, in place."""
    steps = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(np.int8), [0]])))
    runs = [(start, end) for start, end in steps.reshape(-1, 2) if end - start <= CROSSING * weight]
    if len(runs) % 2 == 0 and len(runs) == len(steps) // 2:
        for (start, _), (_, end) in zip(runs[::2], runs[1::2], strict=True):
            edge[start:end] = True


def _roll_in(framed: Mask, judged: bool) -> tuple[Mask, Mask]:
    """Where the ball gets to from outside, and where a point does, bool both, the frame taken off again."""
    line = np.pad(framed, 1)
    away = cv2.distanceTransform((~line).astype(np.uint8), cv2.DIST_L2, 5)
    bare = _reach(away, 0.0)
    reached = bare.copy()
    pen = pen_weight(line)
    drawn = cv2.boundingRect(line.astype(np.uint8))[2:]
    widest = max(LEAST_GAP, GAP_IN_SIZES * float(np.hypot(*drawn)))
    for radius in _radii(widest / 2):
        passed = reached & _reach(away, radius)
        reached &= ~_newly_shut(reached & ~passed, passed, (line, away, pen), radius)
    reached &= ~behind_loose_ends(line, reached, pen)
    reached &= ~behind_open_outlines(line, reached, pen)
    if judged:
        reached |= not_body(line, bare, bare & ~reached)
        reached &= ~judge_rooms(line, reached, pen).body
    return reached[2:-2, 2:-2], bare[2:-2, 2:-2]


def _radii(largest: float) -> list[float]:
    steps = [0.8]
    while steps[-1] * 1.35 < largest:
        steps.append(steps[-1] * 1.35)
    return [*steps, largest]


def _reach(away: Floats, radius: float) -> Mask:
    """Where a ball of a radius covers ground, coming from the upper left corner of the frame."""
    free = (away > radius).astype(np.uint8)
    free[0, :] = free[-1, :] = free[:, 0] = free[:, -1] = 1
    cv2.floodFill(free, None, (0, 0), 2, flags=4)
    centres = free == 2
    if radius < 1:
        return np.asarray(centres & (away > 0))
    to_centre = cv2.distanceTransform((~centres).astype(np.uint8), cv2.DIST_L2, 5)
    return np.asarray((to_centre <= radius) & (away > 0))


def _newly_shut(shut: Mask, passed: Mask, ground: tuple[Mask, Floats, float], radius: float) -> Mask:
    """Of places the ball no longer gets to, those behind a gap in a line, not in a bay between two."""
    line, away, pen = ground
    count, labels = cv2.connectedComponents(shut.astype(np.uint8), connectivity=4)
    inner = np.zeros(count, np.float32)
    np.maximum.at(inner, labels[shut], away[shut])
    rooms = np.flatnonzero(inner > LEAST_INSIDE * radius + 0.5)
    behind = np.zeros(count, bool)
    mouths = _mouths(labels, shut & (cv2.dilate(passed.astype(np.uint8), _SQUARE) > 0), away, rooms)
    for room, mouth in mouths.items():
        needed = WIDER_INSIDE[_stroke_ends(line, away, mouth, pen)]
        behind[room] = inner[room] > needed * radius + 0.5
    # a place without a mouth was cut off by the ball from another shut place
    whole = [room for room in rooms if room not in mouths]
    behind[whole] = inner[whole] > WIDER_INSIDE[0] * radius + 0.5
    behind[0] = False
    return np.asarray(behind[labels])


def _mouths(
    labels: NDArray[np.int32], rim: Mask, away: Floats, rooms: NDArray[np.int64]
) -> dict[int, tuple[int, int]]:
    """The middle of each room's widest mouth, row and column."""
    rows, columns = np.nonzero(rim & np.isin(labels, rooms))
    order = np.argsort(away[rows, columns])
    return {int(labels[rows[k], columns[k]]): (int(rows[k]), int(columns[k])) for k in order}


def _stroke_ends(line: Mask, away: Floats, mouth: tuple[int, int], pen: float) -> int:
    """How many sides of a mouth, 0 to 2, are ends of strokes that run straight away from it."""
    reach = int(np.ceil(float(away[mouth]) + 2))
    row, column = mouth
    top, left = max(0, row - reach), max(0, column - reach)
    near = np.argwhere(line[top : row + reach + 1, left : column + reach + 1]) + np.array([top, left])
    if not len(near):
        return 0
    apart = near - np.array(mouth)
    first = int((apart**2).sum(axis=1).argmin())
    way = apart[first] / max(1.0, float(np.hypot(*apart[first])))
    across = apart @ way < -0.7 * np.hypot(apart[:, 0], apart[:, 1])
    ends = int(_is_end(line, near[first], way, pen))
    if across.any():
        other = near[across][int((apart[across] ** 2).sum(axis=1).argmin())]
        ends += _is_end(line, other, (other - mouth) / max(1.0, float(np.hypot(*(other - mouth)))), pen)
    return ends


def _is_end(line: Mask, contact: NDArray[np.int64], way: NDArray[np.float64], pen: float) -> bool:
    """True where ink runs on straight from the contact and not to both sides of it."""
    side = np.array([-way[1], way[0]])
    steps = pen * np.array(ALONG)
    slants = np.array(SLANTS)[:, None, None]
    onward = contact + steps[:, None] * (way + slants * side)
    runs_on = _ink_at(line, onward).any(axis=0).mean()
    beside = contact + 0.5 * pen * way + pen * np.array(BESIDE)[:, None] * side
    return bool(runs_on >= RUNS_ON and not _ink_at(line, beside).all())


def _ink_at(line: Mask, places: NDArray[np.float64]) -> Mask:
    bottom = np.array(line.shape) - 1
    rows, columns = np.moveaxis(np.clip(np.rint(places).astype(np.int64), 0, bottom), -1, 0)
    return np.asarray(line[rows, columns])


def _refined(outside: Mask, shut: Mask, line: Mask, factor: int) -> Mask:
    """The outside found at a smaller scale, made exact along the lines; bool (H, W).

    `shut` is what lies behind gaps at that scale.
    """
    height, width = line.shape
    large, behind = (
        np.repeat(np.repeat(mask, factor, axis=0), factor, axis=1)[:height, :width]
        for mask in (outside, shut)
    )
    count, labels = cv2.connectedComponents((~line).astype(np.uint8), connectivity=4)
    total = np.bincount(labels.ravel(), minlength=count)
    out = np.bincount(labels.ravel(), weights=large.ravel().astype(np.float32), minlength=count)
    share = out / np.maximum(total, 1)
    grown = cv2.dilate(large.astype(np.uint8), np.ones((2 * factor + 1, 2 * factor + 1), np.uint8)) > 0
    # a place without gaps is wholly in or out; one that a gap joins to the outside is divided at the gap
    whole, none = share > 0.9, share < 0.02
    return np.asarray(~line & ((whole[labels] & ~behind) | (grown & ~none[labels])))


def _peeled(kept: Mask, alpha: Pixels) -> Mask:
    """The body without the soft outer side of its line: it begins where the line is full or at its strongest."""
    layer = kept.copy()
    soft_side = min(PEEL, int(pen_weight(alpha >= LINE_ALPHA) / 2 + 1))
    for _ in range(soft_side):
        core = cv2.erode(layer.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0) > 0
        inner = cv2.dilate(alpha * core, np.ones((5, 5), np.uint8))
        layer &= core | (alpha >= FULL_ALPHA) | (alpha == 0) | (inner <= alpha)
    return layer
