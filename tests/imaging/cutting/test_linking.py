"""How surely two groups of parts are of one drawing."""

from __future__ import annotations

import numpy as np

from assetlib.imaging.cutting.evidence import PageGround, survey
from assetlib.imaging.cutting.grouping import grow_trees
from assetlib.imaging.cutting.joins import grow_tree
from assetlib.imaging.cutting.linking import Linked
from assetlib.imaging.cutting.pieces import find_gaps, find_parts

Box = tuple[int, int, int, int]


def ground_of(
    *boxes: Box, size: tuple[int, int] = (1200, 900)
) -> tuple[PageGround, tuple[np.ndarray, np.ndarray]]:
    mask = np.zeros((size[1], size[0]), np.uint8)
    for x, y, w, h in boxes:
        mask[y : y + h, x : x + w] = 255
    parts = find_parts(mask, np.repeat(255 - mask[..., None], 3, axis=2))
    return survey(parts, np.zeros(parts.count)), find_gaps(parts)


FACE: tuple[Box, ...] = ((200, 200, 300, 300), (520, 240, 8, 30), (540, 235, 8, 30))


def test_a_pair_costs_the_same_whichever_is_named_first() -> None:
    ground, (pairs, gaps) = ground_of(*FACE)
    linked = Linked(ground)
    tree = grow_tree(ground.boxes, pairs, gaps, linked)
    one = linked.costs(tree, [0, 1], [1, 2], [20.0, 12.0])
    other = linked.costs(tree, [1, 2], [0, 1], [20.0, 12.0])
    assert np.allclose(one, other, rtol=1e-4)


def test_a_page_of_very_many_parts_is_grown_without_the_judge() -> None:
    few, found = ground_of(*FACE)
    many, found_many = ground_of(*((x, y, 6, 6) for x in range(0, 1200, 20) for y in range(0, 900, 20)))
    assert len(grow_trees(few, *found)) == len(grow_trees(many, *found_many)) + 1
