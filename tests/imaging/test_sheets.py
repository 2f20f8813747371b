"""Sheets drawn here are cut into the drawings that were drawn."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.placing import reading_order
from assetlib.imaging.sheets import Box, cut

Picture = NDArray[np.uint8]


def blank(width: int, height: int, colour: tuple[int, int, int] = (255, 255, 255)) -> Picture:
    page = np.empty((height, width, 4), np.uint8)
    page[:] = (*colour, 255)
    return page


def draw_face(page: Picture, x: int, y: int, size: int, ink: tuple[int, int, int] = (20, 20, 20)) -> Box:
    """A round head whose eyes stand free inside; returns its box."""
    r = size // 2
    cv2.circle(page, (x + r, y + r), r - 3, (*ink, 255), 5)
    for dx in (-r // 3, r // 3):
        cv2.circle(page, (x + r + dx, y + r - r // 5), max(2, r // 10), (*ink, 255), -1)
    shown = (
        np.abs(page[y : y + size, x : x + size, :3].astype(int) - page[0, 0, :3].astype(int)).max(axis=2) > 30
    )
    bx, by, bw, bh = cv2.boundingRect(shown.astype(np.uint8))
    return (x + bx, y + by, bw, bh)


def draw_rows(page: Picture, rows: int, cols: int, ink: tuple[int, int, int] = (20, 20, 20)) -> list[Box]:
    height, width = page.shape[:2]
    size = min(width // cols, height // rows) * 6 // 10
    return [
        draw_face(page, c * width // cols + size // 3, r * height // rows + size // 3, size, ink)
        for r in range(rows)
        for c in range(cols)
    ]


def assert_boxes(found: list[Box], true: list[Box], within: int = 3) -> None:
    assert len(found) == len(true)
    for a, b in zip(found, true, strict=True):
        assert np.abs(np.array(a) - np.array(b)).max() <= within, (a, b)


@pytest.mark.parametrize(
    ("ground", "ink"),
    [((255, 255, 255), (20, 20, 20)), ((0, 0, 0), (255, 255, 255)), ((238, 232, 214), (90, 40, 30))],
)
def test_rows_of_faces_are_found_in_reading_order(
    ground: tuple[int, int, int], ink: tuple[int, int, int]
) -> None:
    page = blank(1200, 900, ground)
    true = draw_rows(page, 3, 4, ink)
    assert_boxes([piece.box for piece in cut(page).pieces], true)


def test_transparent_ground_is_paper() -> None:
    page = blank(1200, 900)
    true = draw_rows(page, 2, 3)
    page[..., 3] = 255 - page[..., 0]
    assert_boxes([piece.box for piece in cut(page).pieces], true)


@pytest.mark.parametrize("colour", [(255, 255, 255), (0, 0, 0), (200, 190, 170)])
def test_an_empty_page_has_no_pieces(colour: tuple[int, int, int]) -> None:
    assert cut(blank(500, 400, colour)).pieces == ()


def test_a_mask_holds_what_the_line_encloses_and_nothing_outside() -> None:
    page = blank(900, 500)
    draw_rows(page, 1, 2)
    piece = cut(page).pieces[0]
    h, w = piece.mask.shape
    assert (w, h) == piece.box[2:]
    assert piece.mask[h // 2, w // 2]
    assert not piece.mask[0, 0]


def test_reading_order_takes_rows_before_columns() -> None:
    boxes: list[Box] = [(300, 12, 50, 60), (10, 200, 50, 50), (10, 5, 50, 80), (200, 190, 40, 70)]
    assert reading_order(boxes) == [2, 0, 1, 3]
