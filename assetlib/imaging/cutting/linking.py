"""How surely two groups of parts are of one drawing: the judge that a tree of joins is grown by."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.evidence import PageGround
from assetlib.imaging.cutting.joins import Tree
from assetlib.imaging.cutting.verdicts import judge

Measured = NDArray[np.float32]
EVEN = 10.0  # cost where both are as likely: of the order of gaps in working pixels
# What is known of a group, by column.
CORNERS, AREA, COLOUR, COUNT, WIDEST, AWAY, LETTERING = slice(0, 4), 4, slice(5, 8), 8, 9, 10, 11


class Linked:
    """The linkage of one page: joins cost the square root of the odds that the two are of different drawings."""

    def __init__(self, ground: PageGround) -> None:
        total = len(ground.boxes)
        self.ground = ground
        self.known = np.zeros((2 * total, 12), np.float32)
        self.known[:total, AREA] = ground.areas
        self.known[:total, COLOUR] = ground.colours
        self.known[:total, COUNT] = 1
        self.known[:total, LETTERING] = ground.lettering
        self.filled = 0

    def costs(self, tree: Tree, first: list[int], second: list[int], gaps: list[float]) -> list[float]:
        """Cost of joining each group of `first` with that of `second` across `gaps` pixels."""
        odds = judge("link", self.measure(tree, first, second, gaps)).astype(float) + 1e-6
        return list(map(float, EVEN * np.sqrt(odds[:, 0] / odds[:, 1])))

    def measure(self, tree: Tree, first: list[int], second: list[int], gaps: list[float]) -> Measured:
        """Measurements (n, 31) of pairs of groups, whichever is named first."""
        self._catch_up(tree)
        clear = np.array(gaps, np.float32)
        return _measure_pairs(self.known[first], self.known[second], clear, self.ground)

    def _catch_up(self, tree: Tree) -> None:
        """Fill in what is known of the nodes that were added to the tree."""
        known = self.known
        for node in range(self.filled, len(tree.parent)):
            known[node, CORNERS], known[node, AWAY] = tree.boxes[node], tree.away[node]
            if node < tree.leaves:
                continue
            a, b = known[tree.left[node]], known[tree.right[node]]
            area = a[AREA] + b[AREA]
            for column in (COLOUR, LETTERING):
                known[node, column] = (a[column] * a[AREA] + b[column] * b[AREA]) / area
            known[node, AREA], known[node, COUNT] = area, a[COUNT] + b[COUNT]
            known[node, WIDEST] = max(tree.gap[node], a[WIDEST], b[WIDEST])
        self.filled = len(tree.parent)


def _measure_pairs(first: Measured, second: Measured, gaps: Measured, ground: PageGround) -> Measured:
    swapped = (_sides(first).prod(axis=1) > _sides(second).prod(axis=1))[:, None]
    small, large = np.where(swapped, second, first), np.where(swapped, first, second)
    sides_small, sides_large = _sides(small), _sides(large)
    size_small, size_large = np.sqrt(sides_small.prod(axis=1)), np.sqrt(sides_large.prod(axis=1))
    shared = np.minimum(small[:, 2:4], large[:, 2:4]) - np.maximum(small[:, :2], large[:, :2])
    overlap = np.maximum(shared, 0).prod(axis=1)
    union = (np.maximum(small[:, 2:4], large[:, 2:4]) - np.minimum(small[:, :2], large[:, :2])).prod(axis=1)
    clear, gap, long = -shared.min(axis=1), np.log(gaps + 1), max(ground.size)
    columns = [
        gap,
        gap - np.log(long),
        gap - np.log(size_small),
        gap - np.log(size_large),
        np.log(size_small / size_large),
        np.log(size_small / long),
        np.log(size_large / long),
        overlap / size_small**2,
        (union - size_small**2 - size_large**2 + overlap) / union,
        np.abs(small[:, COLOUR] - large[:, COLOUR]).max(axis=1) / 100,
        np.clip(clear / size_small, -1.5, 1.5),
        np.clip(clear / (gaps + 2), -3, 1.5),
        np.clip(shared.max(axis=1) / size_small, -1.5, 1.5),
        np.log(small[:, AREA] / large[:, AREA]),
        np.full(len(gaps), np.log(len(ground.boxes))),
        *np.log(sides_small / sides_large).T,
        *np.clip(shared / size_small[:, None], -3, 1).T,
    ]
    for group, sides, size in ((small, sides_small, size_small), (large, sides_large, size_large)):
        columns += [
            group[:, AREA] / size**2,
            np.log(group[:, COUNT]),
            gap - np.log(group[:, WIDEST] + 1),
            gap - np.log(group[:, AWAY] + 1),
            group[:, LETTERING],
            np.log(sides[:, 0] / sides[:, 1]),
        ]
    return np.stack(columns, axis=1).astype(np.float32)


def _sides(groups: Measured) -> Measured:
    return np.asarray(np.maximum(1, groups[:, 2:4] - groups[:, :2]), np.float32)
