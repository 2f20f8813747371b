"""Which parts of a page make one drawing: several ways of joining them, the most convincing taken."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.merging import Tree, grow_tree, parts_under
from assetlib.imaging.pieces import Parts, find_gaps

# Ways of weighing a gap (see `grow_tree`): by paper alone, small parts first, overlapping boxes first.
WAYS = ((0.0, 0.5), (0.5, 0.8), (1.0, 0.9))
MOST_ELEMENTS = 90
LEAST_SIZE = 0.018  # of the page's longer side: a smaller group is a crumb, not an element


@dataclass(frozen=True, slots=True)
class Grouping:
    """One way to see the page: the nodes of `tree` that stand for elements, and how convincing it is."""

    tree: Tree
    nodes: tuple[int, ...]
    score: float


def group_parts(parts: Parts, gap: float | None = None) -> Grouping:
    """The most convincing grouping; with `gap` (working pixels) parts nearer than that are one."""
    pairs, gaps = find_gaps(parts)
    if gap is not None:
        tree = grow_tree(parts, pairs, gaps, 0.0, 0.0)
        return Grouping(tree, _cut_at(tree, gap), 1.0)
    found = [choose_cut(grow_tree(parts, pairs, gaps, *way), parts) for way in WAYS]
    return max(found, key=lambda grouping: grouping.score)


def _cut_at(tree: Tree, cost: float) -> tuple[int, ...]:
    """Nodes whose own joins cost less than `cost` and whose parent's does not."""
    return tuple(
        k
        for k in range(len(tree.boxes))
        if tree.cost[k] < cost and (tree.parent[k] < 0 or tree.cost[tree.parent[k]] >= cost)
    )


def choose_cut(tree: Tree, parts: Parts) -> Grouping:
    """The cut of one tree that scores best."""
    least = LEAST_SIZE * max(parts.labels.shape)
    joins = sorted(range(tree.leaves, len(tree.boxes)), key=lambda k: tree.cost[k])
    boxes = np.array(tree.boxes, float)
    large = (boxes[:, 2:] - boxes[:, :2]).max(axis=1) >= least
    best, best_score = (len(tree.boxes) - 1,), -1.0
    costs = np.array([tree.cost[k] for k in joins] + [float(max(parts.labels.shape))])
    alive = set(range(tree.leaves))
    for k, join in enumerate(joins):
        count = sum(1 for node in alive if large[node])
        if k and 2 <= count <= MOST_ELEMENTS and costs[k] > costs[k - 1] * 1.05:
            nodes = [node for node in alive if large[node]]
            score = _score(boxes[nodes], costs[k - 1] if k else 0.5, costs[k], len(alive) - count)
            if score > best_score:
                best, best_score = tuple(alive), score
        alive -= {tree.left[join], tree.right[join]}
        alive.add(join)
    return Grouping(tree, best, best_score)


def _score(boxes: NDArray[np.float64], inside: float, outside: float, crumbs: int) -> float:
    sides = boxes[:, 2:] - boxes[:, :2]
    size = np.sqrt(sides[:, 0] * sides[:, 1])
    jump = np.log((outside + 2) / (inside + 2))
    uneven = float(np.std(np.log(size)))
    overlap = _overlap(boxes)
    return float(jump - 0.7 * uneven - 2.0 * overlap - 0.1 * crumbs / len(boxes))


def _overlap(boxes: NDArray[np.float64]) -> float:
    """Mean share of a box that lies in its most overlapping neighbour."""
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    shared = np.clip(high - low, 0, None).prod(axis=2)
    np.fill_diagonal(shared, 0)
    return float((shared.max(axis=1) / (boxes[:, 2:] - boxes[:, :2]).prod(axis=1)).mean())


def members(grouping: Grouping) -> list[list[int]]:
    """The parts of every element."""
    return [parts_under(grouping.tree, node) for node in grouping.nodes]
