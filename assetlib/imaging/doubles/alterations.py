"""How two drawings differ that are laid over each other: what one lacks, and which has the heavier line."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.normalise import INK, Pixels, largest_group, steepness

HEAVIER = 0.25
"""Pixels of 128 by which the edges of a drawing of another line weight lie farther out or in."""

# All bounds were tuned on one half of openclipart, drawings in colour and as black line.
_ADDED = 0.006
"""Share of the ink from which lines are new, and not the edge of a hole."""

_LINED = 0.002
"""The same for lines within a hole."""

_MOST_APART, _MOST_IN_ONE, _LEAST_TOGETHER = 0.35, 0.30, 0.55
_BOTH_WAYS, _HARDLY, _SCATTERED = 0.01, 0.003, 0.45
_PLAIN_TO_SEE, _ALL_TOGETHER = 0.04, 0.85
_LEVELS = 60
_NEAR, _SPECK, _JOIN = (np.ones((side, side), np.uint8) for side in (5, 3, 7))

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Alteration:
    """Shares of the ink of two drawings together."""

    apart: float
    """Ink that only one of the two has; lines a little thicker or aside do not count."""
    largest: float
    """The largest group of it."""
    lost: float
    """The largest group that only the first has."""
    gained: float
    """The largest group that only the second has."""
    lined: float
    """Lines that stand where ink of the other is gone."""

    @property
    def word(self) -> str:
        """How a drawing of which a part differs was altered."""
        drawn = min(self.lost, self.gained) > _ADDED or self.lined > _LINED
        return "redrawn" if drawn else "erased"

    @property
    def is_plain(self) -> bool:
        """Whether a part was altered beyond doubt: one group, and nearly nothing else."""
        return _PLAIN_TO_SEE < self.largest <= _MOST_IN_ONE and self.largest > _ALL_TOGETHER * self.apart

    @property
    def is_both_ways(self) -> bool:
        """Whether each has something where the other has nothing; no other line weight or colour looks like this."""
        return min(self.lost, self.gained) > _BOTH_WAYS

    @property
    def is_scattered(self) -> bool:
        """Whether only one lacks something, here and there: lines that became too thin to be seen."""
        return min(self.lost, self.gained) <= _HARDLY and self.largest < _SCATTERED * self.apart

    @property
    def is_of_part(self) -> bool:
        """Whether no more than a part was altered: siblings of a series differ in more places than one."""
        return (
            self.apart <= _MOST_APART
            and self.largest <= _MOST_IN_ONE
            and self.largest >= min(_LEAST_TOGETHER * self.apart, self.apart - _ADDED)
        )


def find_alteration(one: Pixels, other: Pixels, seen: Mask | None = None) -> Alteration:
    """How two ink pictures (H, W), about 128 pixels and laid over each other, differ where both are seen."""
    mine, theirs = one > INK, other > INK
    if seen is not None:
        mine, theirs = mine & seen, theirs & seen
    fewer = cv2.subtract(one, other) > _LEVELS, cv2.subtract(other, one) > _LEVELS
    # another colour is lighter or darker, and is no hole
    lost = mine & ~theirs & (~_grown(theirs) | _without_specks(fewer[0]))
    gained = theirs & ~mine & (~_grown(mine) | _without_specks(fewer[1]))
    ink = max(1, int((mine | theirs).sum()))
    return Alteration(
        int((lost | gained).sum()) / ink,
        largest_group(lost | gained) / ink,
        largest_group(lost) / ink,
        largest_group(gained) / ink,
        (_lines_within(lost, theirs) + _lines_within(gained, mine)) / ink,
    )


def heavier(one: Pixels, other: Pixels) -> float:
    """How many pixels of 128 farther out edges lie in one ink picture (H, W) than in the other, on average."""
    edges = float(steepness(one).sum() + steepness(other).sum()) / 2
    more = float(one.sum(dtype=np.int64)) - float(other.sum(dtype=np.int64))
    return float(more / max(edges, 1.0) * 128 / max(one.shape))


def _grown(marks: Mask) -> Mask:
    return np.asarray(cv2.dilate(marks.astype(np.uint8), _NEAR) > 0)


def _without_specks(marks: Mask) -> Mask:
    return np.asarray(cv2.morphologyEx(marks.astype(np.uint8), cv2.MORPH_OPEN, _SPECK) > 0)


def _lines_within(hole: Mask, ink: Mask) -> int:
    closed = cv2.morphologyEx(hole.astype(np.uint8), cv2.MORPH_CLOSE, _JOIN)
    inner = cv2.erode(closed, _SPECK) > 0
    return int((inner & ~hole & ink).sum())
