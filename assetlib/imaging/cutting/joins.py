"""The tree in which the parts of a page join into ever larger groups."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

LEAST_GAP = 0.5  # working pixels; parts that almost touch still cost something to join
NO_NEIGHBOUR = 1e4  # working pixels, farther than any page is long

Corners = tuple[int, int, int, int]


@dataclass(slots=True)
class Tree:
    """Joins in order: node k < `leaves` is part k; each later node joins `left` and `right`.

    `gap` is the paper between the two in working pixels, `cost` that gap as weighed by the tree,
    `away` the paper to the nearest neighbour when the node came about; `boxes` are x0, y0, x1, y1;
    `parent` is -1 at a root.
    """

    leaves: int
    left: list[int] = field(default_factory=list)
    right: list[int] = field(default_factory=list)
    gap: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    away: list[float] = field(default_factory=list)
    boxes: list[Corners] = field(default_factory=list)
    parent: list[int] = field(default_factory=list)

    def add(self, left: int, right: int, gap: float, cost: float, away: float, box: Corners) -> int:
        """Number of the new node."""
        self.left.append(left)
        self.right.append(right)
        self.gap.append(gap)
        self.cost.append(cost)
        self.away.append(away)
        self.boxes.append(box)
        self.parent.append(-1)
        return len(self.parent) - 1


class Linkage(Protocol):
    """What weighs the joins of a tree."""

    def costs(self, tree: Tree, first: list[int], second: list[int], gaps: list[float]) -> list[float]:
        """Cost of joining each node of `first` with that of `second` across `gaps` pixels."""


@dataclass(frozen=True, slots=True)
class Way:
    """How a tree weighs a gap: times the smaller group's size to the power `small_first` (so a detached
    eye joins its face before two faces join), less up to `overlap_first` of it where boxes overlap."""

    small_first: float
    overlap_first: float

    def costs(self, tree: Tree, first: list[int], second: list[int], gaps: list[float]) -> list[float]:
        """Cost of joining each node of `first` with that of `second` across `gaps` pixels."""
        boxes = tree.boxes
        return [self.cost(boxes[a], boxes[b], gap) for a, b, gap in zip(first, second, gaps, strict=True)]

    def cost(self, a: Corners, b: Corners, gap: float) -> float:
        """Cost of joining groups with the boxes a and b across `gap` pixels."""
        smaller = min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))
        across, down = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        cost = (gap + LEAST_GAP) * float(smaller) ** (self.small_first / 2)
        if across <= 0 or down <= 0:
            return float(cost)
        return float(cost * (1 - self.overlap_first * across * down / smaller))


def grow_tree(
    boxes: NDArray[np.int64], pairs: NDArray[np.int64], gaps: NDArray[np.float64], linkage: Linkage
) -> Tree:
    """The tree of joins, cheapest first, of parts with `boxes` along the gaps between neighbours by `find_gaps`."""
    first, second, across = pairs[:, 0].tolist(), pairs[:, 1].tolist(), gaps.tolist()
    tree, near = sprout(boxes, first, second, across)
    heap = list(zip(linkage.costs(tree, first, second, across), first, second, strict=True)) if first else []
    heapq.heapify(heap)
    while heap:
        cost, a, b = heapq.heappop(heap)
        if tree.parent[a] >= 0 or tree.parent[b] >= 0:
            continue
        new = join(tree, near, a, b, cost)
        others = list(near[new])
        if others:
            costs = linkage.costs(tree, [new] * len(others), others, list(near[new].values()))
            for cost, other in zip(costs, others, strict=True):
                heapq.heappush(heap, (cost, new, other))
    return tree


def sprout(
    boxes: NDArray[np.int64], first: list[int], second: list[int], gaps: list[float]
) -> tuple[Tree, list[dict[int, float]]]:
    """A tree of parts alone, and for each its neighbours and the gaps to them."""
    near: list[dict[int, float]] = [{} for _ in boxes]
    for a, b, gap in zip(first, second, gaps, strict=True):
        near[a][b] = near[b][a] = gap
    tree = Tree(len(boxes))
    for (x, y, w, h), around in zip(boxes.tolist(), near, strict=True):
        tree.add(-1, -1, 0.0, 0.0, min(around.values(), default=NO_NEIGHBOUR), (x, y, x + w, y + h))
    return tree, near


def join(tree: Tree, near: list[dict[int, float]], a: int, b: int, cost: float) -> int:
    """Number of the new node that joins a and b, whose neighbours become its own."""
    gap = near[a][b]
    if len(near[a]) < len(near[b]):
        a, b = b, a
    merged, rest = near[a], near[b]
    near[a] = near[b] = {}
    for other, away in rest.items():
        merged[other] = min(away, merged.get(other, NO_NEIGHBOUR))
    merged.pop(a, None)
    merged.pop(b, None)
    box_a, box_b = tree.boxes[a], tree.boxes[b]
    box = (min(box_a[0], box_b[0]), min(box_a[1], box_b[1]), max(box_a[2], box_b[2]), max(box_a[3], box_b[3]))
    new = tree.add(a, b, gap, cost, min(merged.values(), default=NO_NEIGHBOUR), box)
    tree.parent[a] = tree.parent[b] = new
    for other, away in merged.items():
        near[other].pop(a, None)
        near[other].pop(b, None)
        near[other][new] = away
    near.append(merged)
    return new


def parts_under(tree: Tree, node: int) -> list[int]:
    """The parts that a node is made of."""
    found, todo = [], [node]
    while todo:
        at = todo.pop()
        if at < tree.leaves:
            found.append(at)
        else:
            todo += [tree.left[at], tree.right[at]]
    return found
