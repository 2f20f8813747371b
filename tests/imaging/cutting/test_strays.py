"""Hairs, crumbs and tooth of the paper are no drawings; what is drawn stays, small or thin as it may be."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import Cut, cut

Floats = NDArray[np.float32]


def scanned(page: Floats, grain: float = 2.0) -> Cut:
    """The cut of a scan of a page of levels (H, W), grain added."""
    rng = np.random.default_rng(3)
    noisy = page[..., None] + rng.normal(0, grain, (*page.shape, 3))
    rgb = np.clip(noisy, 0, 255).astype(np.uint8)
    return cut(np.dstack([rgb, np.full(page.shape, 255, np.uint8)]))


def paper() -> Floats:
    return np.full((1000, 1400), 238, np.float32)


def hair(page: Floats, x: int, y: int, seed: int = 1) -> None:
    rng = np.random.default_rng(seed)
    turn = rng.uniform(0, 6) + np.cumsum(rng.normal(0, 0.3, 30))
    bend = np.cumsum(np.stack([np.cos(turn), np.sin(turn)], axis=1) * 3, axis=0) + np.array((x, y))
    cv2.polylines(page, [np.rint(bend * 8).astype(np.int32)], False, 175.0, 1, cv2.LINE_AA, 3)


def cup(page: Floats, x: int, y: int) -> None:
    cv2.rectangle(page, (x, y), (x + 160, y + 200), 40.0, 6)
    cv2.ellipse(page, (x + 190, y + 100), (40, 50), 0, -90, 90, 40.0, 6)


def test_crumbs_and_hairs_beside_a_drawing_are_no_drawings() -> None:
    page = paper()
    cup(page, 200, 300)
    for seed, (x, y) in enumerate(((900, 150), (700, 800), (1100, 700))):
        hair(page, x, y, seed)
        cv2.ellipse(page, (x + 100, y - 60), (5, 4), 20, 0, 360, 120.0, -1)
    assert len(scanned(page).pieces) == 1


def test_a_drawing_does_not_reach_out_to_a_hair_or_a_crumb() -> None:
    page = paper()
    cup(page, 500, 300)
    hair(page, 900, 420)
    cv2.ellipse(page, (820, 700), (6, 4), 20, 0, 360, 120.0, -1)
    found = scanned(page).pieces
    assert len(found) == 1
    x, y, w, h = found[0].box
    assert abs(x - 497) < 8
    assert abs(y - 297) < 8
    assert abs(w - 236) < 14
    assert abs(h - 206) < 14


def test_dots_that_keep_company_are_drawn() -> None:
    page = paper()
    cup(page, 200, 300)
    rng = np.random.default_rng(5)
    for x, y in rng.uniform(0, 1, (40, 2)) * (220, 220) + (900, 300):
        cv2.circle(page, (round(x), round(y)), 5, 60.0, -1, cv2.LINE_AA)
    boxes = [piece.box for piece in scanned(page).pieces]
    assert any(box[0] > 850 and box[2] > 150 and box[3] > 150 for box in boxes)


def test_the_tooth_of_rough_paper_is_no_ink_and_pencil_on_it_is() -> None:
    rng = np.random.default_rng(7)
    tooth = cv2.GaussianBlur(rng.normal(0, 1, (1000, 1400)).astype(np.float32), (0, 0), 2)
    page = paper() - 7 * np.abs(tooth / tooth.std())
    drawn = np.full(page.shape, 255, np.float32)
    cup(drawn, 200, 300)
    cup(drawn, 900, 350)
    page = np.minimum(page, 130 + 0.45 * drawn)
    boxes = [piece.box for piece in scanned(page).pieces]
    assert len(boxes) == 2
    assert all(190 < box[2] < 290 and 180 < box[3] < 260 for box in boxes)


def test_a_thin_figure_beside_a_heavy_drawing_is_drawn() -> None:
    page = paper()
    cv2.circle(page, (380, 450), 190, 40.0, -1, cv2.LINE_AA)
    cv2.ellipse(page, (1000, 330), (34, 36), 0, 0, 360, 90.0, 2, cv2.LINE_AA)
    for path in (((1000, 366), (998, 470)), ((940, 400), (1062, 410)), ((950, 580), (998, 470), (1050, 585))):
        cv2.polylines(page, [np.array(path, np.int32)], False, 90.0, 2, cv2.LINE_AA)
    hair(page, 800, 800)
    boxes = [piece.box for piece in scanned(page).pieces]
    assert len(boxes) == 2
    assert any(box[0] > 900 and box[3] > 250 for box in boxes)
