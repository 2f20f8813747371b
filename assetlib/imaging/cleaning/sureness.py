"""How sure a clean copy is: whether it can be used as it is, is to be looked at first and why, or cannot be made."""

from __future__ import annotations

import enum
from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import LINE_ALPHA, pen_weight
from assetlib.imaging.cleaning.grounds import EMPTY_ALPHA, Ground

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

# Tuned by looking at clean copies of made photographs, scans and the demo's drawings.
LOOKED_AT = 700  # pixels of the longest side
OPAQUE = 0.8  # share of the whole picture that is opaque ink: the paper was not taken away
RIM_SHARE = 0.5  # share of a side of the picture along which ink runs: a margin, not a drawing
LITTLE = 0.35  # share of what the outline goes round that is filled
ALIKE = 0.06  # share of the body that is not ink itself
THIN = 0.03  # line weight by the drawing's side up to which a drawing is drawn in line
CLOSE_BY = 0.10  # of the drawing's side: gaps up to that are no way out of an outline
SPECKS, SPECK_SIDE = 60, 0.004  # marks no larger than that, by the picture's side, that are dust or grain
SPECK_SHARE = 0.7  # of all marks
PALE = 40  # alpha of ink that hardly shows
UNBOUND = 0.13  # share of a line drawing's ink that bounds nothing: line with the outside on both sides
THICK, LEAST_THICK = (
    1.1,
    4,
)  # half widths, in line weights and pixels, of ink that is painted, not drawn in line

Rim = tuple[tuple[int, int], tuple[int, int]]
"""1 for top, bottom, left and right where bare page follows: the picture ends there because it was cut out."""
WHOLE: Rim = ((0, 0), (0, 0))


class Sure(enum.StrEnum):
    """What a clean copy says of itself."""

    SURE = "sure"
    LOOK = "look at it"
    CANNOT = "cannot"


@dataclass(frozen=True, slots=True)
class Sureness:
    """How sure a copy is, and why it is not."""

    level: Sure
    why: tuple[str, ...] = ()


def judge_copy(ink: Pixels, body: Mask, ground: Ground, rim: Rim = WHOLE) -> Sureness:
    """How sure a clean copy is: its ink uint8 (H, W, 4), its body bool (H, W), and the ground it was lifted from."""
    alpha, inside = _reduced(ink[..., 3]), _reduced(np.where(body, 255, 0).astype(np.uint8)) > 127
    if int(alpha.max(initial=0)) <= PALE:
        return Sureness(Sure.CANNOT, ("no ink was found",))
    if ground is Ground.FULL and (alpha > EMPTY_ALPHA).mean() > OPAQUE:
        return Sureness(
            Sure.CANNOT, ("no paper is seen: the picture is painted or photographed to its edges",)
        )
    why = [said for said, holds in _doubts(alpha, inside, ground, rim) if holds]
    return Sureness(Sure.LOOK if why else Sure.SURE, tuple(why))


def with_blemishes(sure: Sureness, seen: Iterable[str]) -> Sureness:
    """The same where kinds of blemish are seen in the ink that were not taken out."""
    why = tuple(f"{kind} is seen in it (--remove '{kind}')" for kind in seen)
    return with_doubts(sure, why)


def with_tried(sure: Sureness, nothing: Iterable[str], still: Iterable[str]) -> Sureness:
    """The same where kinds of blemish were to be taken out and none of it was, or much of it still stands."""
    why = [
        f"{kind} that cannot be taken out: nothing of it was found to take out in this drawing"
        for kind in nothing
    ]
    return with_doubts(sure, (*why, *(f"{kind} was taken out and is still seen" for kind in still)))


def with_doubts(sure: Sureness, why: tuple[str, ...]) -> Sureness:
    """The same where there are more reasons to look at it."""
    if not why or sure.level is Sure.CANNOT:
        return sure
    return Sureness(Sure.LOOK, (*sure.why, *why))


def _doubts(alpha: Pixels, inside: Mask, ground: Ground, rim: Rim) -> list[tuple[str, bool]]:
    line = alpha >= LINE_ALPHA
    drawn_in_line = _is_line(line)
    return [
        ("it is filled to its edges: hardly any paper shows", float((alpha > 200).mean()) > OPAQUE),
        ("it does not stand on paper", ground is Ground.FULL),
        ("ink runs along its edge, as a margin or shadow does", _runs_along(line, rim)),
        ("little of the outline is filled", drawn_in_line and _filled_share(line, inside) < LITTLE),
        ("some of its outlines stay open and unfilled", drawn_in_line and _unbound(line, inside) > UNBOUND),
        ("hardly any white lies under its lines", drawn_in_line and _is_hollow(line, inside)),
        ("specks are in it, of dust or grain", _is_specked(line)),
    ]


def _reduced(layer: Pixels) -> Pixels:
    scale = min(1.0, LOOKED_AT / max(layer.shape))
    if scale == 1:
        return layer
    size = max(1, round(layer.shape[1] * scale)), max(1, round(layer.shape[0] * scale))
    return np.asarray(cv2.resize(layer, size, interpolation=cv2.INTER_AREA), np.uint8)


def _is_line(line: Mask) -> bool:
    """Whether a drawing is drawn in lines, not painted."""
    width, height = cv2.boundingRect(line.astype(np.uint8))[2:]
    return pen_weight(line) <= max(3.0, THIN * max(width, height)) and float(line.mean()) < 0.5


def _unbound(line: Mask, inside: Mask) -> float:
    """Which share of the ink is thin line with the outside on both sides."""
    pen = pen_weight(line)
    room = int(pen) + 3
    ink = np.pad(line, room)
    body = np.pad(inside, room) | ink
    half = max(LEAST_THICK, round(THICK * pen))
    solid = cv2.morphologyEx(ink.astype(np.uint8), cv2.MORPH_OPEN, _disc(half)) > 0
    thin = ink & ~_near(solid, 1)
    bounded = cv2.morphologyEx((body & ~ink).astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)) > 0
    reach = round(pen) + 2
    loose = thin & ~_near(bounded | solid, reach) & _near(~body, reach)
    return float(loose.sum() / max(1, int(ink.sum())))


def _near(mask: Mask, reach: int) -> Mask:
    return np.asarray(cv2.dilate(mask.astype(np.uint8), _disc(reach)) > 0)


def _disc(reach: int) -> Pixels:
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1)), np.uint8)


def _runs_along(line: Mask, rim: Rim) -> bool:
    """Whether ink runs along the border of its page; a drawing that was cut out may end straight."""
    ends = (rim[0][0], rim[0][1], rim[1][0], rim[1][1])
    for side, is_cut in zip((line[:3], line[-3:], line[:, :3].T, line[:, -3:].T), ends, strict=True):
        along = side.any(axis=0)
        if not is_cut and float(along.mean()) > RIM_SHARE:
            return True
    return False


def _around(line: Mask) -> Mask:
    """All that the outline goes round when gaps of a tenth of the drawing are closed."""
    x, y, width, height = cv2.boundingRect(line.astype(np.uint8))
    reach = max(3, round(CLOSE_BY * max(width, height))) | 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
    window = np.pad(line[y : y + height, x : x + width], reach).astype(np.uint8)
    closed = cv2.morphologyEx(window, cv2.MORPH_CLOSE, disc)
    cv2.floodFill(closed, None, (0, 0), 2, flags=4)
    whole = np.zeros(line.shape, bool)
    whole[y : y + height, x : x + width] = closed[reach:-reach, reach:-reach] != 2
    return whole


def _filled_share(line: Mask, inside: Mask) -> float:
    """Which share of the paper that the outline goes round is body."""
    room = _around(line) & ~line
    if room.sum() < 0.15 * line.sum():
        return 1.0
    return float((inside & room).sum() / room.sum())


def _is_hollow(line: Mask, inside: Mask) -> bool:
    bare = inside & ~cv2.dilate(line.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    return float(bare.sum()) < ALIKE * float(inside.sum()) and _filled_share(line, inside) < 0.6


def _is_specked(line: Mask) -> bool:
    _, _, stats, _ = cv2.connectedComponentsWithStats(line.astype(np.uint8), connectivity=8)
    sides = stats[1:, 2:4].max(axis=1) if len(stats) > 1 else np.zeros(0)
    small = sides <= max(2.0, SPECK_SIDE * max(line.shape))
    return bool(small.sum() > SPECKS and small.mean() > SPECK_SHARE)
