"""Pages found in photographs whose corners are known: OpenCV's own homography put them there."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.pages import find_page, flatten

Picture = NDArray[np.uint8]
TILTED = [(150, 110), (900, 80), (1010, 700), (90, 660)]


def draw_page(width: int = 900, height: int = 640, paper: int = 244, ink: int = 30) -> Picture:
    """A page with a ring, a box and a cross."""
    page = np.full((height, width, 3), paper, np.uint8)
    cv2.circle(page, (200, 200), 90, (ink,) * 3, 6)
    cv2.rectangle(page, (480, 330), (760, 540), (ink,) * 3, 6)
    cv2.line(page, (500, 80), (700, 200), (ink,) * 3, 6)
    return page


def photograph(page: Picture, corners: list[tuple[int, int]], table: tuple[int, int, int]) -> Picture:
    """The page on a rough table in falling light, 1100 by 780."""
    rng = np.random.default_rng(3)
    ground = np.float32(table) + rng.normal(0, 9, (780, 1100, 1)).astype(np.float32)
    size = page.shape[1], page.shape[0]
    source = np.float32([[0, 0], [size[0], 0], size, [0, size[1]]])
    matrix = cv2.getPerspectiveTransform(source, np.float32(corners))
    seen = cv2.warpPerspective(page, matrix, (1100, 780), flags=cv2.INTER_AREA)
    on_page = cv2.warpPerspective(np.ones(page.shape[:2], np.float32), matrix, (1100, 780))[..., None]
    light = np.linspace(0.7, 1, 1100, dtype=np.float32)[None, :, None]
    shot = (ground * (1 - on_page) + seen * on_page) * light + rng.normal(0, 1.5, (780, 1100, 3))
    return np.clip(shot, 0, 255).astype(np.uint8)


@pytest.mark.parametrize("table", [(120, 84, 52), (70, 80, 95), (25, 25, 25)], ids=["wood", "slate", "black"])
def test_corners_lie_within_a_hundredth_of_the_page(table: tuple[int, int, int]) -> None:
    page = find_page(photograph(draw_page(), TILTED, table))
    assert page is not None
    assert np.abs(page.corners - np.array(TILTED)).max() < 8


def test_a_finger_at_the_rim_does_not_move_the_page() -> None:
    shot = photograph(draw_page(), TILTED, (120, 84, 52))
    cv2.line(shot, (540, 779), (540, 650), (205, 150, 120), 60)
    page = find_page(shot)
    assert page is not None
    assert np.abs(page.corners - np.array(TILTED)).max() < 9


def test_white_line_on_a_black_page_is_found() -> None:
    page = find_page(photograph(draw_page(paper=24, ink=235), TILTED, (150, 120, 90)))
    assert page is not None
    assert np.abs(page.corners - np.array(TILTED)).max() < 9


def test_a_black_card_on_a_black_desk_is_found() -> None:
    rng = np.random.default_rng(4)
    shot = np.full((780, 1100, 3), 33, np.float32) + rng.normal(0, 2, (780, 1100, 1)).astype(np.float32)
    card = draw_page(paper=18, ink=220)
    source = np.float32([[0, 0], [900, 0], [900, 640], [0, 640]])
    matrix = cv2.getPerspectiveTransform(source, np.float32(TILTED))
    on_card = cv2.warpPerspective(np.ones(card.shape[:2], np.float32), matrix, (1100, 780))[..., None]
    shot = shot * (1 - on_card) + cv2.warpPerspective(card, matrix, (1100, 780)) * on_card
    page = find_page(np.clip(shot + rng.normal(0, 1.5, shot.shape), 0, 255).astype(np.uint8))
    assert page is not None
    assert np.abs(page.corners - np.array(TILTED)).max() < 9


@pytest.mark.parametrize("across", [False, True], ids=["from the left", "from above"])
def test_a_page_half_in_shadow_on_a_pale_table_is_found(across: bool) -> None:
    shot = photograph(draw_page(), TILTED, (196, 188, 176)).astype(np.float32)
    y, x = np.mgrid[:780, :1100].astype(np.float32)
    way = (y - 380) / 14 if across else (x - 520) / 14
    light = 1 - 0.45 / (1 + np.exp(way))
    page = find_page(np.clip(shot * light[..., None], 0, 255).astype(np.uint8))
    assert page is not None
    assert np.abs(page.corners - np.array(TILTED)).max() < 9


def scanned(picture: Picture) -> Picture:
    """A scan of a picture: grain, and a margin in shadow."""
    rng = np.random.default_rng(4)
    shade = 1 - 0.2 * np.exp(-np.arange(picture.shape[1]) / 60)[None, :, None]
    return np.clip(picture * shade + rng.normal(0, 2.5, picture.shape), 0, 255).astype(np.uint8)


def test_a_flat_scan_holds_no_page() -> None:
    assert find_page(scanned(draw_page())) is None


def test_a_drawn_sign_on_its_paper_is_no_page() -> None:
    sign = draw_page()
    cv2.rectangle(sign, (60, 50), (840, 590), (150, 60, 50), -1)
    assert find_page(scanned(sign)) is None


def test_a_drawing_on_transparent_ground_is_no_page() -> None:
    page = draw_page()
    alpha = np.zeros(page.shape[:2], np.uint8)
    alpha[100:500, 100:700] = 255
    assert find_page(np.dstack([page, alpha])) is None


def test_the_flattened_page_is_upright_in_its_own_proportions_and_light() -> None:
    shot = photograph(draw_page(), TILTED, (120, 84, 52))
    page = find_page(shot)
    assert page is not None
    flat = flatten(shot, page)
    assert flat.shape[1] / flat.shape[0] == pytest.approx(900 / 640, rel=0.12)
    seen = cv2.resize(flat, (900, 640), interpolation=cv2.INTER_AREA).astype(np.int16)
    bare = np.array([seen[y, x, 1] for y, x in ((60, 60), (60, 860), (600, 60), (600, 860))])
    assert bare.min() > 235
    assert np.ptp(bare) < 12
    assert seen[110, 200, 1] < 120  # the top of the ring
    assert seen[330, 620, 1] < 120  # the upper side of the box


def test_alpha_is_kept() -> None:
    shot = photograph(draw_page(), TILTED, (120, 84, 52))
    page = find_page(np.dstack([shot, np.full(shot.shape[:2], 255, np.uint8)]))
    assert page is not None
    assert flatten(np.dstack([shot, np.full(shot.shape[:2], 255, np.uint8)]), page).shape[2] == 4


def test_a_sign_drawn_in_a_broad_line_on_ruled_paper_is_no_page() -> None:
    paper = np.full((900, 1300, 3), 250, np.uint8)
    paper[60::40] = (200, 222, 226)
    drawn = np.array([[200, 380], [830, 130], [1080, 560], [430, 790]], np.int32)
    cv2.polylines(paper, [drawn], True, (24, 24, 26), 26, cv2.LINE_AA)
    assert find_page(scanned(paper)) is None


def test_a_page_in_the_tint_of_its_table_is_found_by_its_edges() -> None:
    corners = [(170, 120), (900, 90), (1000, 690), (110, 650)]
    seen = photograph(draw_page(paper=226), corners, (186, 184, 180))
    found = find_page(seen)
    assert found is not None
    assert np.hypot(*(found.corners - np.array(corners)).T).max() < 9
