"""Which parts of a page make one drawing: trees of joins, cut where the judged groups are likeliest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.evidence import Ground, Habit, Nodes, measure_nodes, survey, tabulate
from assetlib.imaging.merging import Tree, Way, grow_tree, parts_under
from assetlib.imaging.pieces import Parts, find_gaps
from assetlib.imaging.verdicts import judge

# By paper alone; small parts first; small parts and overlapping boxes first.
WAYS = (Way(0.0, 0.5), Way(0.5, 0.8), Way(1.0, 0.9))
TRIED = (1, 2)  # the judges learn from all three; by paper alone was the likeliest too seldom to pay its time
MOST_ELEMENTS = 90
LEAST_SIZE = 0.018  # of the page's longer side: a smaller group is a crumb, not an element
PART, ELEMENT, SEVERAL, NONE = range(4)  # what a group can be: the classes of the trained judges


@dataclass(frozen=True, slots=True)
class Grouping:
    """One way to see the page: its elements as lists of part numbers.

    `score` 0..1 tells how convincing they are, `several` 0..1 how surely the whole page is more than one.
    """

    elements: list[list[int]]
    score: float
    several: float


def group_parts(parts: Parts, gap: float | None = None) -> Grouping:
    """The most convincing grouping; with `gap` (working pixels) parts nearer than that are one."""
    if parts.count == 0:
        return Grouping([], 0.0, 0.0)
    pairs, gaps = find_gaps(parts)
    if gap is not None:
        tree = grow_tree(parts, pairs, gaps, Way(0.0, 0.0))
        return Grouping([parts_under(tree, node) for node in _cut_at(tree, gap)], 1.0, 1.0)
    ground = survey(parts)
    found = [see(grow_tree(parts, pairs, gaps, WAYS[k]), ground, k) for k in TRIED]
    return max(found, key=lambda grouping: grouping.score)


def see(tree: Tree, ground: Ground, way: int) -> Grouping:
    """The likeliest cut of one tree: judged twice, the second time knowing what the first found typical."""
    nodes = tabulate(tree, ground)
    habit = first_habit(nodes, ground)
    for judge_name in ("group", "group again"):
        verdicts = judge(judge_name, measure_nodes(nodes, ground, habit, way))
        chosen = likeliest(nodes, verdicts)
        habit = habit_of(nodes, chosen) or habit
    score = float(np.mean(verdicts[chosen, ELEMENT])) if chosen else 0.0
    return Grouping([parts_under(tree, node) for node in chosen], score, float(verdicts[-1, SEVERAL]))


def likeliest(nodes: Nodes, verdicts: NDArray[np.float32]) -> list[int]:
    """The element nodes of the likeliest cut: every node above it several, every node below it a part."""
    logs = np.log(np.maximum(verdicts, 1e-4)).astype(float)
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


def first_habit(nodes: Nodes, ground: Ground) -> Habit:
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
