"""Marks on a page told apart: what is drawn stays, what a cup, a hand or dust left does not."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.sheets import cut
from assetlib.imaging.pages.marks import INK, SOIL, drawn_at, judge_marks
from tests.bench.sheets import matches

Picture = NDArray[np.uint8]
Box = tuple[int, int, int, int]


def lay_paper(height: int = 1100, width: int = 800) -> NDArray[np.float32]:
    """Scanned paper with grain and a fall of light, 0..1."""
    rng = np.random.default_rng(5)
    y = np.linspace(1, 0.93, height, dtype=np.float32)[:, None, None]
    return np.asarray(0.95 * y + rng.normal(0, 0.008, (height, width, 3)), np.float32)


def draw_pot(page: NDArray[np.float32], x: int, y: int) -> Box:
    """A round pot with a handle and a band, in pen."""
    ink = (0.12, 0.12, 0.14)
    cv2.ellipse(page, (x + 65, y + 80), (65, 80), 0, 0, 360, ink, 4, cv2.LINE_AA)
    cv2.ellipse(page, (x + 65, y + 80), (40, 18), 0, 0, 360, ink, 4, cv2.LINE_AA)
    cv2.ellipse(page, (x + 130, y + 80), (40, 45), 0, -110, 110, ink, 4, cv2.LINE_AA)
    return (x - 2, y - 2, 174, 164)


def ring_on(page: NDArray[np.float32], x: int, y: int, radius: int) -> NDArray[np.float32]:
    mask = np.zeros(page.shape[:2], np.float32)
    cv2.circle(mask, (x, y), radius, 0.8, 7, cv2.LINE_AA)
    soft = cv2.GaussianBlur(mask, (0, 0), 2)[..., None]
    return np.asarray(page * (1 - soft * (1 - np.float32((0.74, 0.58, 0.38)))), np.float32)


def taken(page: NDArray[np.float32]) -> Picture:
    levels = np.clip(np.rint(cv2.GaussianBlur(page, (0, 0), 0.7) * 255), 0, 255).astype(np.uint8)
    return np.dstack([levels, np.full(levels.shape[:2], 255, np.uint8)])


def four_pots() -> tuple[NDArray[np.float32], list[Box]]:
    page = lay_paper()
    return page, [draw_pot(page, x, y) for y in (160, 680) for x in (120, 480)]


def test_a_ring_of_coffee_joins_no_drawings_and_is_none() -> None:
    page, boxes = four_pots()
    soiled = taken(ring_on(page, 370, 560, 180))
    found = [piece.box for piece in cut(soiled).pieces]
    assert matches(found, boxes) == 4
    assert len(found) == 4


def test_dust_is_no_drawing_and_dots_in_company_are() -> None:
    page, boxes = four_pots()
    rng = np.random.default_rng(2)
    for _ in range(60):
        at = (int(rng.integers(10, 790)), int(rng.integers(10, 1090)))
        cv2.circle(page, at, int(rng.integers(1, 3)), (0.35, 0.33, 0.3), -1, cv2.LINE_AA)
    found = [piece.box for piece in cut(taken(page)).pieces]
    assert matches(found, boxes) == len(found) == 4
    grid = [(330 + 18 * k + 9 * (row % 2), 430 + 16 * row) for row in range(9) for k in range(8)]
    snowed = [at for at in grid if np.hypot(at[0] - 397, at[1] - 494) < 68]
    for at in snowed:
        cv2.circle(page, at, 3, (0.1, 0.1, 0.1), -1, cv2.LINE_AA)
    with_snow = [piece.box for piece in cut(taken(page)).pieces]
    xs, ys = np.array(snowed).T
    snow = (int(xs.min()) - 3, int(ys.min()) - 3, int(np.ptp(xs)) + 7, int(np.ptp(ys)) + 7)
    assert matches(with_snow, [*boxes, snow]) == 5


def test_what_a_judged_page_says_of_ring_and_ink() -> None:
    page, _ = four_pots()
    ink = np.asarray(page.min(axis=2) < 0.3)
    ring = np.zeros(ink.shape, np.uint8)
    cv2.circle(ring, (370, 560), 180, 1, 4)
    marks = judge_marks(taken(ring_on(page, 370, 560, 180))[..., :3])
    small = marks.seen.shape[1::-1]
    at_ring = cv2.resize(ring, small, interpolation=cv2.INTER_NEAREST) > 0
    at_ink = (cv2.resize(ink.astype(np.uint8), small, interpolation=cv2.INTER_NEAREST) > 0) & ~at_ring
    told = marks.chances.argmax(axis=0)
    assert (told[at_ring] == SOIL).mean() > 0.8
    assert (told[at_ink] == INK).mean() > 0.9
    assert (drawn_at(marks)[at_ink] > 0).mean() > 0.97
