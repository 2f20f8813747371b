"""What judges make of a tree of groups, and what of that the next judge is told."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from assetlib.imaging.cutting.evidence import Habit, Measured, Nodes, Numbers

PART, ELEMENT, SEVERAL, NONE = range(4)  # what a group can be: the classes of the trained judges


@dataclass(frozen=True, slots=True)
class Look:
    """What was made of one tree: its habit, the verdicts (nodes, 4) on its nodes, and the nodes chosen as drawings."""

    nodes: Nodes
    way: int
    habit: Habit
    verdicts: Measured
    chosen: list[int]


def measure_looks(look: Look, others: list[Look]) -> Measured:
    """Measurements (nodes, 21) of what a first look made of every node, its relatives and its likes in other trees."""
    nodes, verdicts = look.nodes, look.verdicts
    joined, below = nodes.left >= 0, nodes.parent >= 0
    parent = np.where(below, nodes.parent, 0)
    other = np.where(nodes.left[parent] == np.arange(len(parent)), nodes.right[parent], nodes.left[parent])
    columns = [
        verdicts,
        np.where(below[:, None], verdicts[parent], 0),
        np.where(below[:, None], verdicts[other], 0),
        np.where(joined[:, None], np.minimum(verdicts[nodes.left], verdicts[nodes.right]), 0),
        np.stack([_chosen(look), _above_chosen(look)], axis=1),
        _seen_elsewhere(look, others),
    ]
    return np.concatenate(columns, axis=1).astype(np.float32)


def _chosen(look: Look) -> Numbers:
    found = np.zeros(len(look.nodes.parent))
    found[look.chosen] = 1
    return found


def _above_chosen(look: Look) -> Numbers:
    """1 for the nodes that hold chosen ones."""
    found = np.zeros(len(look.nodes.parent))
    for chosen in look.chosen:
        node = look.nodes.parent[chosen]
        while node >= 0 and not found[node]:
            found[node] = 1
            node = look.nodes.parent[node]
    return found


def _seen_elsewhere(look: Look, others: list[Look]) -> Numbers:
    """Of the other trees: how many hold the group, how many chose it, how surely it is a whole drawing there."""
    found = np.zeros((len(look.nodes.parent), 3))
    for other in others:
        order = np.argsort(other.nodes.names)
        names = other.nodes.names[order]
        at = np.minimum(np.searchsorted(names, look.nodes.names), len(names) - 1)
        same = names[at] == look.nodes.names
        node = order[at]
        found[:, 0] += same
        found[:, 1] += same * _chosen(other)[node]
        found[:, 2] += same * other.verdicts[node, ELEMENT]
    return found
