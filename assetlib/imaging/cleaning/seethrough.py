"""Doubts about what of a drawing is see-through: openings that do not go together, are large, or were hard to judge."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import LINE_ALPHA, pen_weight
from assetlib.imaging.cleaning.grouping import grouped
from assetlib.imaging.cleaning.openings import NEARLY_OPEN, OPEN_FROM, Opening, are_alike, in_line

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

# Chosen by looking at drawings of openclipart: few whose openings are right are told by them.
COUNTS = 0.004  # share of the body; what is smaller is hardly missed
ALIKE_SIZE = 1.6  # factor by which the pixels of areas of one kind differ
ALIKE_FILL = 1.2  # factor by which the shares of their boxes that they fill differ
BESIDE = 0.6  # of a side that cells of a lattice are apart at most
MIRRORED = 0.04  # of the drawing's width that mirrored areas are off
LARGE = 0.25  # share of what the outline encloses that one open area has
LINE_ONLY = (
    0.12  # share of an area's rim with nothing but line between it and the outside: no ring goes round it
)
DOUBTED = 0.01, 0.03  # share of the body from which an area that was hard to judge counts, shut and open
HARD = (0.09, 0.3)  # scores about OPEN_FROM that say little
REST = 0.001  # share of the body from which an open area counts where a person put others right
MOST_NAMED = 4


def doubts(body: Mask, openings: Sequence[Opening], decided: Collection[int] = ()) -> tuple[str, ...]:
    """Why what is see-through of a copy is to be looked at, each with the options of clean that settle it.

    `body` bool (H, W) with its openings filled; `decided` are the numbers of openings that a person switched.
    Those are beyond doubt; where one of them was open and was not to be, the judge is wrong in this drawing, and all
    else that is open is told.
    """
    whole = float(body.sum())
    counted = [o for o in openings if o.mask.sum() >= COUNTS * whole]
    said = _mixed(body, counted, decided)
    left = _still_open([o for o in openings if o.mask.sum() >= REST * whole], openings, decided)
    return said or left or _hard(whole, [o for o in counted if o.number not in decided])


def _still_open(
    counted: Sequence[Opening], openings: Sequence[Opening], decided: Collection[int]
) -> tuple[str, ...]:
    """What else is open where a person filled what looked open."""
    filled = any(o.number in decided and not o.is_open and o.score >= OPEN_FROM for o in openings)
    rest = [o for o in counted if o.is_open and o.number not in decided]
    if not filled or not rest:
        return ()
    numbers = _numbers(rest)
    return (
        f"others are see-through still: {numbers} (--shut {numbers}, or --open {numbers} where it is right)",
    )


def _mixed(body: Mask, counted: Sequence[Opening], decided: Collection[int]) -> tuple[str, ...]:
    for group in _groups(body, counted):
        opened, shut = [o for o in group if o.is_open], [o for o in group if not o.is_open]
        if any(all(o.number in decided for o in some) for some in (opened, shut)):
            continue
        fewer = opened if len(opened) <= len(shut) else shut
        others = shut if fewer is opened else opened
        first, second = ("shut", "open") if fewer is opened else ("open", "shut")
        return (
            f"areas that look the same are not treated the same: {_numbers(opened)} open, {_numbers(shut)} filled "
            f"(--{first}-like {fewer[0].number} or --{second}-like {others[0].number})",
        )
    return ()


def _groups(body: Mask, counted: Sequence[Opening]) -> list[list[Opening]]:
    """Areas of one kind: alike in size and shape, and side by side, in a row or column, or each other's mirror side."""
    x, _, width, _ = cv2.boundingRect(body.astype(np.uint8))
    sizes = [int(o.mask.sum()) for o in counted]

    def belong(k: int, j: int) -> bool:
        one, other = counted[k], counted[j]
        return _one_kind(one, other, sizes[k], sizes[j]) and _go_together(
            one.box, other.box, 2 * x + width, MIRRORED * width
        )

    group = grouped(len(counted), belong)
    return [[o for o, own in zip(counted, group, strict=True) if own == number] for number in set(group)]


def _one_kind(one: Opening, other: Opening, size: int, other_size: int) -> bool:
    """Whether two areas of so many pixels are alike in size, in shape, and in how they fill their boxes."""
    fills = sorted((size / (one.box[2] * one.box[3]), other_size / (other.box[2] * other.box[3])))
    small, large = sorted((size, other_size))
    return large <= ALIKE_SIZE * small and fills[1] <= ALIKE_FILL * fills[0] and are_alike(one.box, other.box)


def _go_together(one: Sequence[int], other: Sequence[int], across: int, slack: float) -> bool:
    mirrored = abs(2 * across - 2 * one[0] - one[2] - 2 * other[0] - other[2]) <= 4 * slack
    level = abs(one[1] - other[1]) <= slack and abs(one[3] - other[3]) <= slack
    return (mirrored and level) or in_line(one, other) or _beside(one, other)


def _beside(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two boxes are neighbours, aslant as well."""
    return all(
        max(one[a], other[a]) - min(one[a] + one[a + 2], other[a] + other[a + 2])
        <= BESIDE * min(one[a + 2], other[a + 2])
        for a in (0, 1)
    )


def without_large(ink: Pixels, body: Mask, openings: Sequence[Opening]) -> tuple[Opening, ...]:
    """The openings, those filled that are much of the drawing and have nothing but line between them and the outside.

    What is seen through has something round it. `ink` uint8 (H, W, 4), `body` bool (H, W) with its openings filled.
    """
    opened = [o for o in openings if o.is_open]
    filled = body.copy()
    for opening in opened:
        filled |= opening.mask
    large = [o for o in opened if o.mask.sum() > LARGE * filled.sum()]
    if not large:
        return tuple(openings)
    pen = pen_weight(ink[..., 3] >= LINE_ALPHA)
    outside = cv2.distanceTransform(np.pad(filled, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    bare = {o.number for o in large if _line_only(o.mask, outside, 1.5 * pen + 3) > LINE_ONLY}
    return tuple(replace(o, is_open=False, score=NEARLY_OPEN) if o.number in bare else o for o in openings)


def _line_only(mask: Mask, outside: NDArray[np.float32], reach: float) -> float:
    """The share of an area's rim that lies as near the outside as its outline is wide."""
    rim = mask & (cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8)) == 0)
    return float((outside[rim] <= reach).mean()) if rim.any() else 0.0


def _hard(whole: float, counted: Sequence[Opening]) -> tuple[str, ...]:
    low, high = HARD
    hard = [
        o for o in counted if low <= o.score <= high and o.mask.sum() >= DOUBTED[o.score >= OPEN_FROM] * whole
    ]
    if not hard:
        return ()
    states = [
        (name, [o for o in hard if o.is_open is state]) for name, state in (("open", True), ("filled", False))
    ]
    told = ", ".join(f"{_numbers(some)} {name}" for name, some in states if some)
    options = {"open": "--shut", "filled": "--open"}
    mend = " or ".join(f"{options[name]} {_numbers(some)}" for name, some in states if some)
    return (f"it was hard to tell whether it is see-through: {told} ({mend} where it is not right)",)


def _numbers(some: Sequence[Opening]) -> str:
    named = ",".join(str(o.number) for o in some[:MOST_NAMED])
    return named if len(some) <= MOST_NAMED else f"{named},…"
