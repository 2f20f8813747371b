"""The tree in which the parts of a page join into ever larger groups."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pieces import Parts

LEAST_GAP = 0.5  # working pixels; parts that almost touch still cost something to join


@dataclass(slots=True)
class Tree:
    """Joins in order: node k < n is part k; later nodes join `left` and `right` over `gap` pixels of paper.

    `cost` is the gap as weighed by the tree; `boxes` are x0, y0, x1, y1; `parent` is -1 at a root.
    """

    leaves: int
    left: list[int] = field(default_factory=list)
    right: list[int] = field(default_factory=list)
    gap: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    boxes: list[tuple[int, int, int, int]] = field(default_factory=list)
    areas: list[int] = field(default_factory=list)
    parent: list[int] = field(default_factory=list)


def grow_tree(
    parts: Parts,
    pairs: NDArray[np.int64],
    gaps: NDArray[np.float64],
    small_first: float,
    overlap_first: float,
) -> Tree:
    """The tree of joins, cheapest first.

    A join costs its gap, times the size of the smaller group to the power `small_first` (so a
    detached eye joins its face before two faces join), less up to the share `overlap_first` where
    one group's box lies in the other's.
    """
    tree = _leaves(parts)
    near: dict[int, dict[int, float]] = {k: {} for k in range(parts.count)}
    for (a, b), gap in zip(pairs.tolist(), gaps.tolist(), strict=True):
        near[a][b] = near[b][a] = gap
    heap = [
        (_cost(tree, a, b, gap, small_first, overlap_first), a, b)
        for (a, b), gap in zip(pairs.tolist(), gaps.tolist(), strict=True)
    ]
    heapq.heapify(heap)
    while heap:
        cost, a, b = heapq.heappop(heap)
        if tree.parent[a] >= 0 or tree.parent[b] >= 0:
            continue
        new = _join(tree, near, a, b, cost)
        for other, gap in near[new].items():
            heapq.heappush(heap, (_cost(tree, new, other, gap, small_first, overlap_first), new, other))
    return tree


def _leaves(parts: Parts) -> Tree:
    tree = Tree(parts.count)
    for (x, y, w, h), area in zip(parts.boxes.tolist(), parts.areas.tolist(), strict=True):
        tree.left.append(-1)
        tree.right.append(-1)
        tree.gap.append(0.0)
        tree.cost.append(0.0)
        tree.boxes.append((x, y, x + w, y + h))
        tree.areas.append(area)
        tree.parent.append(-1)
    return tree


def _cost(tree: Tree, a: int, b: int, gap: float, small_first: float, overlap_first: float) -> float:
    ax, ay, ax1, ay1 = tree.boxes[a]
    bx, by, bx1, by1 = tree.boxes[b]
    size_a, size_b = (ax1 - ax) * (ay1 - ay), (bx1 - bx) * (by1 - by)
    smaller = min(size_a, size_b)
    shared = max(0, min(ax1, bx1) - max(ax, bx)) * max(0, min(ay1, by1) - max(ay, by))
    cost = (gap + LEAST_GAP) * float(smaller) ** (small_first / 2)
    return cost * (1 - overlap_first * shared / smaller)


def _join(tree: Tree, near: dict[int, dict[int, float]], a: int, b: int, cost: float) -> int:
    new = len(tree.boxes)
    box_a, box_b = tree.boxes[a], tree.boxes[b]
    tree.left.append(a)
    tree.right.append(b)
    tree.gap.append(near[a][b])
    tree.cost.append(cost)
    tree.boxes.append(
        (min(box_a[0], box_b[0]), min(box_a[1], box_b[1]), max(box_a[2], box_b[2]), max(box_a[3], box_b[3]))
    )
    tree.areas.append(tree.areas[a] + tree.areas[b])
    tree.parent.append(-1)
    tree.parent[a] = tree.parent[b] = new
    merged = near.pop(a)
    for other, gap in near.pop(b).items():
        merged[other] = min(gap, merged.get(other, gap))
    merged.pop(a, None)
    merged.pop(b, None)
    for other, gap in merged.items():
        near[other].pop(a, None)
        near[other].pop(b, None)
        near[other][new] = gap
    near[new] = merged
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
