"""What is ink and what is paper, on pages whose ink is known."""

from __future__ import annotations

import cv2
import numpy as np

from assetlib.imaging.cutting.paper import find_ink, flat_ground, has_clear_ground, scanned_paper


def test_a_flat_ground_is_told_from_a_scan() -> None:
    page = np.full((300, 400, 3), (250, 248, 240), np.uint8)
    page[100:200, 100:300] = (30, 60, 90)
    assert flat_ground(page) == (250, 248, 240)
    rng = np.random.default_rng(1)
    grainy = np.clip(page + rng.normal(0, 4, page.shape), 0, 255).astype(np.uint8)
    assert flat_ground(grainy) is None


def test_pale_tones_inside_are_not_the_ground() -> None:
    page = np.full((400, 400, 3), 255, np.uint8)
    page[20:380, 20:380] = 236
    assert flat_ground(page) == (255, 255, 255)


def test_paper_is_followed_into_a_shadow() -> None:
    rng = np.random.default_rng(2)
    fall = 235 - 70 * np.exp(-np.arange(640) / 100)
    page = np.repeat(np.repeat(fall[None, :, None], 480, axis=0), 3, axis=2)
    page = page + rng.normal(0, 2, page.shape)
    page[200:260, 300:400] = 40
    picture = np.clip(page, 0, 255).astype(np.uint8)
    paper, noise = scanned_paper(picture)
    assert abs(int(paper[5, 1, 0]) - fall[24]) < 6
    assert 1.0 < noise < 3.5
    ink = find_ink(np.dstack([picture, np.full((480, 640), 255, np.uint8)])).mask > 0
    assert ink[205:255, 305:395].all()
    ink[195:265, 295:405] = False
    assert ink[:, 4:].mean() < 0.002  # a hair of the darkest edge may stay


def test_a_faint_alpha_is_no_ink() -> None:
    page = np.zeros((200, 200, 4), np.uint8)
    page[50:150, 50:60, 3] = 255
    page[10:20, 10:190, 3] = 12
    assert has_clear_ground(page)
    assert cv2.boundingRect(find_ink(page).mask) == (50, 50, 10, 100)


def test_an_opaque_page_with_a_clear_margin_keeps_its_paper() -> None:
    page = np.zeros((400, 400, 4), np.uint8)
    page[20:380, 20:380] = (255, 255, 255, 255)
    page[100:140, 100:200, :3] = 0
    assert cv2.boundingRect(find_ink(page).mask) == (100, 100, 100, 40)
