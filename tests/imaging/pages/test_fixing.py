"""Printed paper told from drawing, and pages made flat the same way every time."""

from __future__ import annotations

import json

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.pages.fixing import PageFix, fix_from, fix_page, judge_page
from tests.imaging.pages.test_finding import TILTED, draw_page, photograph, scanned

Picture = NDArray[np.uint8]


def print_on(page: Picture, kind: str) -> Picture:
    """The page on ruled, squared or dotted paper; ink over print."""
    height, width = page.shape[:2]
    paper = np.full_like(page, 255)
    blue = (175, 200, 232)
    for y in range(30, height, 26):
        if kind in ("ruled", "squared"):
            cv2.line(paper, (0, y), (width, y), blue, 1)
        for x in range(26, width, 26):
            if kind == "dotted":
                cv2.circle(paper, (x, y), 2, (150, 160, 175), -1)
    for x in range(26, width, 26):
        if kind == "squared":
            cv2.line(paper, (x, 0), (x, height), blue, 1)
    return np.asarray(np.rint(page.astype(np.float32) * paper / 255), np.uint8)


@pytest.mark.parametrize("kind", ["ruled", "squared", "dotted"])
def test_print_is_taken_out_and_ink_stays(kind: str) -> None:
    plain, printed = scanned(draw_page()), scanned(print_on(draw_page(), kind))
    judged = judge_page(printed)
    assert judged is not None
    fix, cleaned = judged
    assert fix.printed == kind
    dark = plain[..., 1] < 120
    assert (cleaned[..., 1][dark] < 150).mean() > 0.97
    bare = cv2.dilate(dark.astype(np.uint8), np.ones((9, 9), np.uint8)) == 0
    bare[:, :80] = False  # the scan's shaded margin
    left = (cleaned[..., 2].astype(int) < plain[..., 2].astype(int) - 14) & bare
    was = (printed[..., 2].astype(int) < plain[..., 2].astype(int) - 14) & bare
    assert left.mean() < 0.1 * was.mean() + 0.0005 or left.mean() < 0.002


def test_ruling_is_told_behind_a_bench_whose_slats_repeat_more_strongly() -> None:
    page = np.full((900, 1200, 3), 255, np.uint8)
    for y in range(330, 520, 34):
        cv2.rectangle(page, (300, y), (860, y + 20), (20, 20, 24), 3)
    printed = page.copy()
    for k in range(17):
        cv2.line(printed, (0, round(60 + 48.5 * k)), (1200, round(60 + 48.5 * k)), (190, 205, 230), 1)
    cv2.line(printed, (140, 0), (146, 900), (235, 170, 175), 2)  # its margin, a little aslant
    printed = np.where(page < 200, page, printed)
    judged = judge_page(scanned(printed))
    assert judged is not None
    fix, cleaned = judged
    assert fix.printed == "ruled"
    off = np.abs(cleaned[..., :3].astype(int) - scanned(page)[..., :3]).max(axis=2)
    off[:, :80] = 0  # the scan's shaded margin
    drawn = cv2.dilate((page[..., 0] < 200).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    assert (off[~drawn] > 16).mean() < 0.001


def test_dots_that_a_drawing_crosses_are_taken_out_and_its_line_stays() -> None:
    page = np.full((1200, 900, 3), 255, np.uint8)
    cv2.rectangle(page, (200, 260), (700, 900), (20, 20, 24), 4)
    for x in range(240, 700, 60):
        cv2.line(page, (x, 260), (x, 900), (20, 20, 24), 2)
    dotted = page.copy()
    for y in range(20, 1200, 30):
        for x in range(18, 900, 30):
            cv2.circle(dotted, (x, y), 3, (170, 170, 172), -1, cv2.LINE_AA)
    printed = np.rint(dotted.astype(np.float32) * page / 255).astype(np.uint8)
    judged = judge_page(scanned(printed))
    assert judged is not None
    assert judged[0].printed == "dotted"
    inside = np.s_[280:880, 215:690]
    cleaned, plain = judged[1][inside][..., 1].astype(int), scanned(page)[inside][..., 1].astype(int)
    drawn = plain < 120
    was = scanned(printed)[inside][..., 1].astype(int)
    assert ((cleaned < plain - 30) & ~drawn).sum() < 0.2 * ((was < plain - 30) & ~drawn).sum()
    assert (cleaned[drawn] < 150).mean() > 0.97


def test_dots_on_rough_paper_are_told_from_its_tooth() -> None:
    rng = np.random.default_rng(5)
    page = draw_page(1200, 900)
    rough = cv2.GaussianBlur(rng.normal(0, 1, page.shape[:2]).astype(np.float32), (0, 0), 1.5)
    weave = 5 * rough / rough.std()
    dotted = page.copy()
    for y in range(15, 900, 34):
        for x in range(12, 1200, 34):
            cv2.circle(dotted, (x, y), 2, (150, 150, 156), -1, cv2.LINE_AA)
    bare, printed = (
        np.dstack([np.clip(one + weave[..., None], 0, 255), np.full(page.shape[:2], 255)]).astype(np.uint8)
        for one in (page, np.minimum(page, dotted))
    )
    told = judge_page(printed)
    assert judge_page(bare) is None
    assert told is not None
    fix, plain = told
    assert fix.printed == "dotted"
    assert np.abs(plain[117:850:34, 46:80:34, :3].astype(int) - 244).max() < 40  # dots beside the drawing
    assert plain[200, 290, :3].max() < 80  # the ring's line


def test_plain_paper_is_left_as_it_is() -> None:
    assert judge_page(scanned(draw_page())) is None


def test_hatching_and_a_grid_of_dots_in_a_drawing_are_no_print() -> None:
    page = draw_page()
    for x in range(490, 750, 9):
        cv2.line(page, (x, 340), (x, 530), (40, 40, 40), 2)
    for x in range(130, 270, 12):
        for y in range(130, 270, 12):
            cv2.circle(page, (x, y), 2, (40, 40, 40), -1)
    assert judge_page(scanned(page)) is None


def test_a_kept_fix_makes_the_same_page_again() -> None:
    shot = photograph(print_on(draw_page(), "ruled"), TILTED, (120, 84, 52))
    judged = judge_page(shot)
    assert judged is not None
    fix, page = judged
    assert fix.corners is not None
    again = fix_from(json.loads(json.dumps(fix.plain())))
    assert again == fix
    assert np.array_equal(fix_page(shot, again), page)


def test_nothing_kept_changes_nothing() -> None:
    page = draw_page()
    assert fix_from(None) is None
    assert fix_page(page, None) is page
    assert fix_from(PageFix().plain()) == PageFix()


def test_a_finger_over_the_rim_is_set_aside() -> None:
    shot = photograph(draw_page(), TILTED, (70, 80, 95))
    cv2.line(shot, (540, 779), (540, 650), (205, 140, 105), 56)
    judged = judge_page(shot)
    assert judged is not None
    page = judged[1]
    foot = page[-60:, :, :3].reshape(-1, 3)
    assert (foot.min(axis=1) > 200).mean() > 0.97


def test_a_curled_page_is_flattened() -> None:
    flat = draw_page()
    x = np.arange(900, dtype=np.float32)
    down = np.repeat((np.sin(x / 900 * np.pi) * 12)[None], 664, axis=0)
    rows = np.repeat(np.arange(664, dtype=np.float32)[:, None], 900, axis=1) - 12
    across = np.repeat(x[None], 664, axis=0)
    seen = cv2.remap(
        flat, across, rows + down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(60, 66, 74)
    )
    shot = cv2.copyMakeBorder(seen, 90, 90, 100, 100, cv2.BORDER_CONSTANT, value=(60, 66, 74))
    shot = np.clip(shot + np.random.default_rng(1).normal(0, 2, shot.shape), 0, 255).astype(np.uint8)
    judged = judge_page(shot)
    assert judged is not None
    fix, page = judged
    assert max(fix.bows) == pytest.approx(12, abs=4)
    assert (page[:8].min(axis=2) > 180).mean() > 0.95
    assert (page[-8:].min(axis=2) > 180).mean() > 0.95
