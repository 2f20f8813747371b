"""Which drawings of a page are the same as before."""

from __future__ import annotations

from collections.abc import Sequence

from assetlib.imaging.masks import Box, Region, likeness

SAME_DRAWING = 0.5
"""Likeness of two regions of a page (0 to 1) from which a piece is the same drawing as before."""


def match(new: Sequence[Region], old: Sequence[Region]) -> dict[int, int]:
    """For each new region the older one that is the same drawing: best overlap first, each used once."""
    overlaps = sorted(
        (
            (likeness(mine, other), i, j)
            for i, mine in enumerate(new)
            for j, other in enumerate(old)
            if _touch(mine.box, other.box)
        ),
        key=lambda row: (-row[0], row[1], row[2]),
    )
    matched: dict[int, int] = {}
    for overlap, i, j in overlaps:
        if overlap >= SAME_DRAWING and i not in matched and j not in matched.values():
            matched[i] = j
    return matched


def _touch(a: Box, b: Box) -> bool:
    return a[0] < b[0] + b[2] and b[0] < a[0] + a[2] and a[1] < b[1] + b[3] and b[1] < a[1] + a[3]
