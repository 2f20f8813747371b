"""Which parts of a page make one drawing: trees of joins, cut where the judged groups are likeliest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.evidence import Habit, Nodes, PageGround, measure_nodes, survey, tabulate
from assetlib.imaging.cutting.joins import Linkage, Tree, Way, grow_tree, parts_under
from assetlib.imaging.cutting.linking import Linked
from assetlib.imaging.cutting.pieces import Parts, find_gaps
from assetlib.imaging.cutting.second_look import ELEMENT, NONE, PART, SEVERAL, Look, measure_looks
from assetlib.imaging.cutting.verdicts import judge

# By paper and by how small and how overlapping a part is, more of the one or of the other.
WAYS = (Way(0.5, 0.8), Way(1.0, 0.9))
MOST_LINKED = 1200  # parts; with more the judged tree would take longer than it earns
# Tuned on made sheets of drawings that were not learnt from (tests/bench/sheet_training.py, `compare`).
TRUST, APART = 0.6, 0.37  # power that verdicts are raised to, weight of taking apart
MOST_ELEMENTS = 90
LEAST_SIZE = 0.018  # of the page's longer side: a smaller group is a crumb, not an element


@dataclass(frozen=True, slots=True)
class Grouping:
    """One way to see the page: its elements as lists of part numbers.

    `score` 0..1 tells how convincing they are, `several` 0..1 how surely the whole page is more than one.
    """

    elements: list[list[int]]
    score: float
    several: float


def group_parts(parts: Parts, lettering: NDArray[np.float64], gap: float | None = None) -> Grouping:
    """The most convincing grouping; with `gap` (working pixels) parts nearer than that are one.

    `lettering` (n,) tells how surely, 0..1, each part is lettering.
    """
    if parts.count == 0:
        return Grouping([], 0.0, 0.0)
    pairs, gaps = find_gaps(parts)
    if gap is not None:
        tree = grow_tree(parts.boxes, pairs, gaps, Way(0.0, 0.0))
        return Grouping([parts_under(tree, node) for node in _cut_at(tree, gap)], 1.0, 1.0)
    ground = survey(parts, lettering)
    trees = grow_trees(ground, pairs, gaps)
    first = [first_look(tabulate(tree, ground), ground, way) for way, tree in enumerate(trees)]
    looks = look_again(first, ground)
    found = [_grouping(tree, look) for tree, look in zip(trees, looks, strict=True)]
    return max(found, key=lambda grouping: grouping.score)


def grow_trees(ground: PageGround, pairs: NDArray[np.int64], gaps: NDArray[np.float64]) -> list[Tree]:
    """The trees of a page, one a way, the judged one last."""
    linkages: list[Linkage] = [*WAYS]
    if len(ground.boxes) <= MOST_LINKED:
        linkages.append(Linked(ground))
    return [grow_tree(ground.boxes, pairs, gaps, linkage) for linkage in linkages]


def first_look(nodes: Nodes, ground: PageGround, way: int) -> Look:
    """What the first judge makes of a tree."""
    habit = first_habit(nodes, ground)
    return _look(nodes, way, habit, judge("group", measure_nodes(nodes, ground, habit, way)))


def look_again(looks: list[Look], ground: PageGround) -> list[Look]:
    """What the second judge makes of every tree, knowing what the first made of all."""
    return [
        _look(look.nodes, look.way, look.habit, judge("group again", measured))
        for look, measured in zip(looks, measure_again(looks, ground), strict=True)
    ]


def measure_again(looks: list[Look], ground: PageGround) -> list[NDArray[np.float32]]:
    """Measurements of the nodes of each tree as the second judge has them."""
    return [
        np.concatenate(
            [
                measure_nodes(look.nodes, ground, look.habit, look.way),
                measure_looks(look, [other for other in looks if other is not look]),
            ],
            axis=1,
        )
        for look in looks
    ]


def _look(nodes: Nodes, way: int, habit: Habit, verdicts: NDArray[np.float32]) -> Look:
    """A look whose habit is that of what it chose."""
    chosen = likeliest(nodes, verdicts)
    return Look(nodes, way, habit_of(nodes, chosen) or habit, verdicts, chosen)


def _grouping(tree: Tree, look: Look) -> Grouping:
    score = float(np.mean(look.verdicts[look.chosen, ELEMENT])) if look.chosen else 0.0
    return Grouping(
        [parts_under(tree, node) for node in look.chosen], score, float(look.verdicts[-1, SEVERAL])
    )


def likeliest(nodes: Nodes, verdicts: NDArray[np.float32]) -> list[int]:
    """The element nodes of the likeliest cut: every node above it several, every node below it a part."""
    logs = np.log(_doubted(verdicts))
    below = np.zeros(len(logs))
    best = np.maximum(logs[:, ELEMENT], logs[:, NONE])
    whole = np.ones(len(logs), bool)
    within = np.logaddexp(logs[:, PART], logs[:, NONE])
    for node in range(nodes.leaves, len(logs)):
        a, b = nodes.left[node], nodes.right[node]
        below[node] = below[a] + below[b] + within[a] + within[b]
        apart = logs[node, SEVERAL] + best[a] + best[b]
        best[node] += below[node]
        if apart > best[node]:
            best[node], whole[node] = apart, False
    found, todo = [], [len(logs) - 1]
    while todo:
        node = todo.pop()
        if not whole[node]:
            todo += [int(nodes.left[node]), int(nodes.right[node])]
        elif logs[node, ELEMENT] >= logs[node, NONE]:
            found.append(node)
    return found


def _doubted(verdicts: NDArray[np.float32]) -> NDArray[np.float64]:
    """The verdicts less sure, and less ready to take a group apart, than the judges are on sheets they learnt from."""
    doubted = np.maximum(verdicts, 1e-6).astype(float) ** TRUST
    doubted[:, SEVERAL] *= APART
    return np.asarray(doubted / doubted.sum(axis=1, keepdims=True))


def habit_of(nodes: Nodes, chosen: list[int]) -> Habit | None:
    """What is typical of the chosen nodes."""
    if not chosen:
        return None
    inner = np.quantile(nodes.cost[chosen], 0.8)
    rising = [nodes.cost[nodes.parent[node]] for node in chosen if nodes.parent[node] >= 0]
    outer = float(np.quantile(rising, 0.2)) if rising else float(nodes.cost.max() * 3)
    return Habit(nodes.boxes[chosen], float(inner), outer)


def _cut_at(tree: Tree, cost: float) -> list[int]:
    """Nodes whose own joins cost less than `cost` and whose parent's does not."""
    above = [tree.cost[parent] if parent >= 0 else float("inf") for parent in tree.parent]
    return [k for k in range(len(above)) if tree.cost[k] < cost <= above[k]]


def first_habit(nodes: Nodes, ground: PageGround) -> Habit:
    """The habit of the cut at one cost that leaves the widest jump and the evenest boxes."""
    sides = (nodes.boxes[:, 2:] - nodes.boxes[:, :2]).max(axis=1)
    large = sides >= LEAST_SIZE * max(ground.size)
    joins = np.argsort(nodes.cost[nodes.leaves :], kind="stable") + nodes.leaves
    alive = set(np.flatnonzero(large[: nodes.leaves]).tolist())
    best, best_score = Habit(nodes.boxes[-1:], float(nodes.cost[-1]), float(nodes.cost[-1] * 3)), -1.0
    before = 0.0
    for join in joins.tolist():
        cost = float(nodes.cost[join])
        if 2 <= len(alive) <= MOST_ELEMENTS and cost > before * 1.05:
            score = _evenness(nodes.boxes[list(alive)], before, cost)
            if score > best_score:
                best, best_score = Habit(nodes.boxes[list(alive)], before, cost), score
        alive -= {int(nodes.left[join]), int(nodes.right[join])}
        if large[join]:
            alive.add(join)
        before = max(before, cost)
    return best


def _evenness(boxes: NDArray[np.float64], inside: float, outside: float) -> float:
    sides = boxes[:, 2:] - boxes[:, :2]
    uneven = float(np.std(np.log(sides.prod(axis=1)))) / 2
    return float(np.log((outside + 2) / (inside + 2))) - 0.7 * uneven - 2.0 * _overlap(boxes)


def _overlap(boxes: NDArray[np.float64]) -> float:
    """Mean share of a box that lies in its most overlapping neighbour."""
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    shared = np.clip(high - low, 0, None).prod(axis=2)
    np.fill_diagonal(shared, 0)
    return float((shared.max(axis=1) / (boxes[:, 2:] - boxes[:, :2]).prod(axis=1)).mean())
