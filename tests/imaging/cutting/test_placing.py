"""Reading order, arrangement and the captions of boxes."""

from __future__ import annotations

from assetlib.imaging.cutting.placing import Box, arrangement, match_captions, reading_order


def test_reading_order_takes_rows_before_columns() -> None:
    boxes: list[Box] = [(300, 12, 50, 60), (10, 200, 50, 50), (10, 5, 50, 80), (200, 190, 40, 70)]
    assert reading_order(boxes) == [2, 0, 1, 3]


def test_a_row_of_uneven_drawings_is_read_from_left_to_right() -> None:
    row = [
        (0, 73, 40, 50),
        (45, 113, 40, 6),
        (90, 117, 35, 28),
        (130, 98, 38, 39),
        (175, 107, 36, 43),
        (220, 88, 38, 38),
    ]
    assert reading_order([*row, (0, 200, 260, 50)]) == [0, 1, 2, 3, 4, 5, 6]


def test_steps_are_read_from_the_top() -> None:
    assert reading_order([(0, 90, 100, 100), (150, 0, 100, 100)]) == [1, 0]


def test_arrangements_have_names() -> None:
    grid: list[Box] = [(x, y, 50, 50) for y in (0, 100, 200) for x in (0, 100, 200)]
    assert arrangement(grid, 300) == "grid"
    assert (
        arrangement([(0, 0, 50, 50), (90, 120, 40, 40), (210, 35, 30, 90), (400, 260, 40, 40)], 500)
        == "scatter"
    )
    assert arrangement(grid[:1], 300) == "single"
    assert arrangement([], 300) == "single"


def test_a_caption_between_two_rows_goes_where_the_sheet_letters() -> None:
    boxes: list[Box] = [(0, 0, 100, 100), (200, 0, 100, 60), (0, 140, 100, 100), (200, 140, 100, 100)]
    captions: list[Box] = [(20, 104, 60, 10), (220, 122, 60, 10), (20, 244, 60, 10), (220, 244, 60, 10)]
    assert match_captions(captions, boxes, 600) == captions


def test_lettering_far_from_all_belongs_to_none() -> None:
    assert match_captions([(0, 900, 80, 12)], [(0, 0, 100, 100)], 1000) == [None]
