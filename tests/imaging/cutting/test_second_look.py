"""What a judge of groups is told of what was made of the page in other trees."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.evidence import survey, tabulate
from assetlib.imaging.cutting.grouping import WAYS, first_look
from assetlib.imaging.cutting.joins import Way, grow_tree
from assetlib.imaging.cutting.pieces import find_gaps, find_parts
from assetlib.imaging.cutting.second_look import Look, measure_looks

HELD, CHOSEN = -3, -2  # columns: how many other trees hold the group, how many chose it


def looks_at(boxes: list[tuple[int, int, int, int]], *ways: Way) -> list[Look]:
    mask = np.zeros((600, 900), np.uint8)
    for x, y, w, h in boxes:
        mask[y : y + h, x : x + w] = 255
    parts = find_parts(mask, np.repeat(255 - mask[..., None], 3, axis=2))
    ground = survey(parts, np.zeros(parts.count))
    trees = [grow_tree(parts.boxes, *find_gaps(parts), way) for way in ways]
    return [first_look(tabulate(tree, ground), ground, k) for k, tree in enumerate(trees)]


def told(look: Look, *others: Look) -> NDArray[np.float32]:
    return measure_looks(look, list(others))


# two large shapes with a crumb below between them: by paper alone the shapes join first, else the crumb does
SHAPES = [(10, 10, 100, 100), (118, 10, 100, 100), (50, 124, 12, 12)]


def test_without_other_trees_nothing_is_told_of_them() -> None:
    (look,) = looks_at(SHAPES, WAYS[0])
    assert not told(look)[:, HELD:].any()


def test_a_group_counts_as_held_where_another_tree_joins_the_same_parts_in_any_order() -> None:
    by_paper, small_first = looks_at(SHAPES, Way(0.0, 0.0), Way(1.0, 0.0))
    assert told(by_paper, small_first)[:, HELD].tolist() == [1, 1, 1, 0, 1]
    assert told(by_paper, by_paper, small_first)[:, HELD].tolist() == [2, 2, 2, 1, 2]


def test_what_another_tree_chose_is_told() -> None:
    first, second = looks_at(SHAPES, WAYS[0], WAYS[1])
    names = first.nodes.names[told(first, second)[:, CHOSEN] > 0]
    assert set(names.tolist()) == set(second.nodes.names[second.chosen].tolist()) & set(
        first.nodes.names.tolist()
    )
    assert second.chosen
