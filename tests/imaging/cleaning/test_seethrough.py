"""What is told of a copy whose see-through areas may not be as they should; areas are known from how they are made."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.copying import make_copy
from assetlib.imaging.cleaning.ink import lift
from assetlib.imaging.cleaning.openings import Opening
from assetlib.imaging.cleaning.seethrough import doubts, without_large
from assetlib.imaging.cleaning.sureness import Sure

Picture = NDArray[np.uint8]
Mask = NDArray[np.bool_]
WHOLE = np.zeros((400, 400), np.bool_)
WHOLE[50:350, 50:350] = True


def area(number: int, box: tuple[int, int, int, int], is_open: bool, score: float | None = None) -> Opening:
    x, y, width, height = box
    mask = np.zeros(WHOLE.shape, np.bool_)
    mask[y : y + height, x : x + width] = True
    return Opening(number, box, mask, is_open, float(is_open) if score is None else score)


def lattice(*opened: int) -> list[Opening]:
    """Nine cells in three rows."""
    return [
        area(3 * row + column + 1, (60 + 40 * column, 60 + 40 * row, 34, 34), 3 * row + column + 1 in opened)
        for row in range(3)
        for column in range(3)
    ]


def ink_around(areas: list[Opening]) -> Picture:
    ink = np.zeros((*WHOLE.shape, 4), np.uint8)
    for one in areas:
        x, y, width, height = one.box
        cv2.rectangle(ink, (x - 2, y - 2), (x + width + 1, y + height + 1), (0, 0, 0, 255), 3)
    return ink


def told(areas: list[Opening], body: Mask = WHOLE, *decided: int) -> str:
    return "; ".join(doubts(body, areas, decided))


def test_one_open_cell_of_a_lattice_is_told_with_what_mends_it() -> None:
    said = told(lattice(5))
    assert said.startswith("areas that look the same are not treated the same: 5 open, 1,2,3,4,… filled")
    assert "--shut-like 5" in said
    assert "--open-like 1" in said


def test_a_lattice_that_is_alike_is_not_told() -> None:
    assert told(lattice()) == ""
    assert told(lattice(*range(1, 10))) == ""


def test_what_a_person_switched_is_beyond_doubt() -> None:
    assert told(lattice(5), WHOLE, 5) == ""


def test_switching_one_area_leaves_the_doubt_about_another() -> None:
    assert "5 open" in told(lattice(5), WHOLE, 3)
    assert "5,9 open" in told(lattice(5, 9), WHOLE, 9)
    assert "2 open" in told(
        [area(1, (60, 60, 80, 80), True, 0.2), area(2, (200, 60, 80, 40), True, 0.2)], WHOLE, 1
    )


def test_what_else_is_open_is_told_once_a_person_filled_what_looked_open() -> None:
    glass, wall = area(1, (60, 60, 40, 40), True, 0.9), area(2, (200, 60, 80, 40), False, 0.8)
    assert told([glass, replace(wall, is_open=True)]) == ""
    assert "others are see-through still: 1 (--shut 1" in told([glass, wall], WHOLE, 2)
    assert told([glass, wall], WHOLE, 1, 2) == ""


def test_posts_on_both_sides_are_alike() -> None:
    posts = [area(1, (60, 60, 24, 260), False), area(2, (316, 60, 24, 260), True)]
    assert "not treated the same: 2 open, 1 filled" in told(posts)
    assert told([posts[0], replace(posts[1], is_open=False)]) == ""


def test_areas_of_other_sizes_may_differ() -> None:
    assert told([area(1, (60, 60, 100, 100), False), area(2, (170, 60, 40, 40), True)]) == ""


def test_a_large_opening_behind_a_line_alone_is_filled_and_told_and_a_frame_stays_open() -> None:
    crown = [area(1, (53, 53, 294, 150), True)]
    (filled,) = without_large(ink_around(crown), WHOLE, crown)
    assert not filled.is_open
    assert "1 filled (--open 1" in told([filled])
    framed = [area(1, (90, 90, 220, 220), True)]
    assert without_large(ink_around(framed), WHOLE, framed) == tuple(framed)


def test_what_was_hard_to_judge_is_told() -> None:
    assert "1 filled (--open 1" in told([area(1, (60, 60, 80, 80), False, 0.12)])
    assert "1 open (--shut 1" in told([area(1, (60, 60, 80, 80), True, 0.2)])
    assert told([area(1, (60, 60, 80, 80), False, 0.01), area(2, (200, 60, 80, 40), True, 0.9)]) == ""


def test_a_copy_opened_by_hand_where_its_like_is_filled_is_sure_once_all_are_switched() -> None:
    picture = np.full((420, 420, 4), 255, np.uint8)
    cv2.rectangle(picture, (60, 60), (360, 360), (10, 10, 10, 255), 4)
    for left in (100, 240):
        cv2.rectangle(picture, (left, 120), (left + 80, 200), (10, 10, 10, 255), 4)
    ink = lift(picture)
    switched = make_copy(picture, ink, picture, ((140, 160, True), (280, 160, True)), ((0, 0), (0, 0)), False)
    assert switched.sure.level is Sure.SURE
