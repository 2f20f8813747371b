"""Parts of ink, the gaps between them, and the order in which they join."""

from __future__ import annotations

import numpy as np

from assetlib.imaging.cutting.joins import Way, grow_tree, parts_under
from assetlib.imaging.cutting.pieces import MOST_PARTS, Parts, find_gaps, find_parts, without


def parts_of(*boxes: tuple[int, int, int, int], size: tuple[int, int] = (400, 300)) -> Parts:
    mask = np.zeros((size[1], size[0]), np.uint8)
    for x, y, w, h in boxes:
        mask[y : y + h, x : x + w] = 255
    return find_parts(mask, np.repeat(mask[..., None], 3, axis=2))


def test_hairlines_survive_the_working_scale() -> None:
    mask = np.zeros((3400, 1000), np.uint8)
    mask[1701, 100:900] = 255
    parts = find_parts(mask, np.repeat(mask[..., None], 3, axis=2))
    assert parts.step == 2
    assert parts.boxes.tolist() == [[50, 850, 400, 1]]


def test_gaps_are_the_clear_paper_between_neighbours() -> None:
    parts = parts_of((10, 10, 40, 40), (60, 10, 40, 40), (200, 10, 40, 40))
    pairs, gaps = find_gaps(parts)
    known = {tuple(pair): gap for pair, gap in zip(pairs.tolist(), gaps.tolist(), strict=True)}
    assert abs(known[(0, 1)] - 10) <= 2
    assert abs(known[(1, 2)] - 100) <= 3


def test_small_parts_join_their_neighbour_before_large_ones_join() -> None:
    parts = parts_of((10, 10, 100, 100), (118, 10, 100, 100), (50, 124, 12, 12))
    found = find_gaps(parts)
    by_paper = grow_tree(parts.boxes, *found, Way(0.0, 0.0))
    small_first = grow_tree(parts.boxes, *found, Way(1.0, 0.0))
    assert sorted(parts_under(by_paper, 3)) == [0, 1]
    assert sorted(parts_under(small_first, 3)) == [0, 2]


def test_parts_that_are_taken_out_leave_the_rest_renumbered() -> None:
    parts = parts_of((10, 10, 20, 20), (60, 10, 20, 20), (110, 10, 20, 20))
    rest = without(parts, np.array([False, True, False]))
    assert rest.boxes[:, 0].tolist() == [10, 110]
    assert rest.labels[15, 115] == 2
    assert rest.labels[15, 65] == 0


def test_of_countless_dots_of_one_size_only_so_many_are_parts() -> None:
    stipple = np.zeros((900, 900), np.uint8)
    for y, x in ((0, 0), (0, 1), (1, 0), (1, 1)):
        stipple[10 + y :: 10, 10 + x :: 10] = 255
    stipple[300:420, 300:420] = 255
    parts = find_parts(stipple, np.repeat(255 - stipple[..., None], 3, axis=2))
    assert parts.count == MOST_PARTS
    assert parts.areas.max() >= 120 * 120
