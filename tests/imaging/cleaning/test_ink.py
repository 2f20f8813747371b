"""Ink lifted from paper: drawn with a known coverage and colour, so the right answer is known."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.ink import (
    Finish,
    Ground,
    compose,
    judge_finish,
    judge_ground,
    lift,
    lift_piece,
)

Pixels = NDArray[np.uint8]
Box = tuple[int, int, int, int]
WHITE, CREAM, KRAFT, SLATE = (255, 255, 255), (243, 236, 220), (186, 154, 112), (30, 34, 38)
BLACK, BLUE, RED, GREY = (0, 0, 0), (30, 60, 170), (190, 40, 40), (150, 150, 154)
NIGHT = (14, 18, 34)


def a_stroke(points: list[tuple[int, int]], width: int, side: int = 240) -> NDArray[np.float32]:
    """Coverage 0-1 of a polyline, smoothed at its edges."""
    grid = np.zeros((side * 4, side * 4), np.uint8)
    cv2.polylines(grid, [np.int32(points) * 4], False, 255, width * 4)
    return cv2.resize(grid, (side, side), interpolation=cv2.INTER_AREA).astype(np.float32) / 255


ZIGZAG = a_stroke([(30, 30), (200, 60), (60, 120), (210, 205)], 4)
HOOK = a_stroke([(40, 210), (70, 130), (180, 150), (200, 30)], 3)
PATCH = a_stroke([(60, 180), (110, 180)], 36)


def an_ink_layer(*coats: tuple[NDArray[np.float32], tuple[int, int, int]]) -> Pixels:
    """Inks laid one over the other; straight alpha."""
    side = coats[0][0].shape[0]
    layer = np.zeros((side, side, 4), np.float32)
    for coverage, colour in coats:
        layer *= 1 - coverage[..., None]
        layer += coverage[..., None] * np.float32([*colour, 1])
    layer[..., :3] /= np.maximum(layer[..., 3:], 1e-4)
    layer[..., 3] *= 255
    return np.rint(layer).clip(0, 255).astype(np.uint8)


def a_scan(layer: Pixels, paper: tuple[int, int, int], grain: float = 0, shade: float = 0) -> Pixels:
    picture = compose(layer, over=paper).astype(np.float32)
    height, width = picture.shape[:2]
    picture *= 1 - shade * np.linspace(0, 1, width, dtype=np.float32)[None, :, None] ** 2
    if grain:
        picture += np.random.default_rng(4).normal(0, grain, picture.shape)
    opaque = np.full((height, width, 1), 255, np.uint8)
    return np.concatenate([np.rint(picture).clip(0, 255).astype(np.uint8), opaque], axis=2)


def psnr(one: Pixels, other: Pixels) -> float:
    error = np.mean((one.astype(np.float64) - other) ** 2)
    return 10 * float(np.log10(255**2 / max(error, 1e-6)))


def fringe(lifted: Pixels, truth: Pixels) -> int:
    """How much lighter than right any pixel is on a dark ground, in levels."""
    return int((compose(lifted, over=NIGHT).astype(int) - compose(truth, over=NIGHT)).max())


@pytest.mark.parametrize("colour", [BLACK, BLUE, RED, (92, 58, 34)])
@pytest.mark.parametrize("paper", [WHITE, CREAM, KRAFT])
def test_one_ink_stands_on_a_dark_ground_as_if_drawn_there(colour: tuple[int, int, int], paper) -> None:
    truth = an_ink_layer((ZIGZAG, colour))
    lifted = lift(a_scan(truth, paper))
    assert psnr(compose(lifted, over=NIGHT), compose(truth, over=NIGHT)) > 60
    assert fringe(lifted, truth) <= 3


def test_several_inks_keep_their_own_colours() -> None:
    truth = an_ink_layer((HOOK, BLUE), (ZIGZAG, BLACK))
    lifted = lift(a_scan(truth, WHITE))
    assert psnr(compose(lifted, over=NIGHT), compose(truth, over=NIGHT)) > 50
    assert fringe(lifted, truth) <= 10


def test_a_grey_marker_tone_under_the_line_stays_grey_and_whole() -> None:
    truth = an_ink_layer((PATCH, GREY), (ZIGZAG, BLACK))
    lifted = lift(a_scan(truth, WHITE))
    assert tuple(lifted[180, 85]) == (*GREY, 255)
    assert psnr(compose(lifted, over=NIGHT), compose(truth, over=NIGHT)) > 45


def as_jpeg(picture: Pixels, quality: int) -> Pixels:
    """The picture after JPEG, whose colour is coded at half its resolution."""
    done, coded = cv2.imencode(".jpg", picture[..., 2::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert done
    decoded = cv2.imdecode(coded, cv2.IMREAD_COLOR)[..., ::-1]
    return np.concatenate([decoded, picture[..., 3:]], axis=2).astype(np.uint8)


@pytest.mark.parametrize("grain", [0.0, 2.0])
@pytest.mark.parametrize("hair", [1, 2])
def test_hairlines_over_broad_colour_are_not_taken_for_colour_that_a_coder_blurred(
    grain: float, hair: int
) -> None:
    hairlines = np.maximum.reduce([a_stroke([(x, 20), (x + 25, 220)], hair) for x in range(10, 210, 24)])
    broad = a_stroke([(30, 30), (200, 60), (60, 120), (210, 205)], 7)
    truth = an_ink_layer((broad, (120, 165, 225)), (hairlines, BLACK))
    lifted = lift(a_scan(truth, WHITE, grain))
    assert psnr(compose(lifted, over=NIGHT), compose(truth, over=NIGHT)) > 44


def test_a_pale_tone_beside_strong_lines_stays_whole_in_a_jpeg() -> None:
    line = np.maximum(a_stroke([(40, 195), (130, 165)], 2), a_stroke([(30, 30), (200, 60), (210, 205)], 5))
    truth = an_ink_layer((PATCH, (225, 222, 215)), (line, (92, 58, 34)))
    lifted = lift(as_jpeg(a_scan(truth, (249, 249, 247), 1.5, 0.1), 80))
    tone = (PATCH == 1) & (line == 0)
    assert (lifted[..., 3][tone] >= 250).mean() > 0.85


@pytest.mark.parametrize("quality", [80, 85, 90])
def test_a_pale_tone_of_a_jpeg_is_whole_and_has_hardly_a_light_rim(quality: int) -> None:
    corners = np.array([(25, 140), (150, 95), (222, 118), (190, 225), (60, 215)])
    grid = cv2.fillPoly(np.zeros((960, 960), np.uint8), [corners * 4], 255)
    tone = cv2.resize(grid, (240, 240), interpolation=cv2.INTER_AREA).astype(np.float32) / 255
    truth = an_ink_layer((tone, (200, 200, 202)), (HOOK, BLUE))
    lifted = lift(as_jpeg(a_scan(truth, WHITE), quality))
    lighter = compose(lifted, over=NIGHT).astype(int) - compose(truth, over=NIGHT)
    rim = (tone > 0) & (tone < 1)
    assert (lighter.max(axis=2)[rim] > 20).mean() < 0.04
    assert (lifted[..., 3][(tone == 1) & (HOOK == 0)] >= 240).mean() > 0.98


@pytest.mark.parametrize("paper", [WHITE, CREAM])
@pytest.mark.parametrize("quality", [65, 72, 80, 90])
def test_red_lines_of_a_jpeg_have_no_pale_rim(quality: int, paper: tuple[int, int, int]) -> None:
    truth = an_ink_layer((np.maximum(ZIGZAG, HOOK), (190, 40, 40)))
    assert fringe(lift(as_jpeg(a_scan(truth, paper), quality)), truth) <= 50


@pytest.mark.parametrize("colour", [BLUE, RED, (30, 120, 60)])
def test_thin_lines_of_a_jpeg_have_the_colour_of_their_ink_to_the_rim(colour: tuple[int, int, int]) -> None:
    truth = an_ink_layer((np.maximum(ZIGZAG, HOOK), colour))
    lifted = lift(as_jpeg(a_scan(truth, WHITE), 90))
    assert psnr(compose(lifted, over=NIGHT), compose(truth, over=NIGHT)) > 47


@pytest.mark.parametrize("quality", [60, 75, 90])
def test_a_shaded_ball_of_a_jpeg_is_whole_up_to_its_outline(quality: int) -> None:
    y, x = np.mgrid[0:240, 0:240].astype(np.float32)
    away = np.hypot(y - 120, x - 120)
    light = np.clip(1 - np.hypot(y - 160, x - 130) / 170, 0, 1)[..., None]
    page = np.full((240, 240, 4), 255, np.uint8)
    ball = away < 100
    page[ball, :3] = (np.float32((40, 56, 70)) + light * np.float32((130, 130, 125)))[ball]
    page[ball & (away > 96), :3] = (12, 12, 40)
    lifted = lift(as_jpeg(page, quality))
    assert (lifted[..., 3][away < 96] >= 250).mean() > 0.97
    assert lifted[..., 3][away > 112].max() < 8


@pytest.mark.parametrize(("grain", "shade"), [(2.0, 0), (0, 0.15), (2.0, 0.15)])
def test_paper_with_grain_and_shade_becomes_empty(grain: float, shade: float) -> None:
    truth = an_ink_layer((ZIGZAG, BLACK))
    lifted = lift(a_scan(truth, CREAM, grain, shade))
    bare = truth[..., 3] == 0
    assert (lifted[..., 3][bare] == 0).mean() > 0.995
    assert (lifted[..., 3][truth[..., 3] == 255] > 240).all()


def test_a_faint_line_is_not_taken_for_grain() -> None:
    truth = an_ink_layer((HOOK, (205, 205, 208)), (ZIGZAG, BLACK))
    lifted = lift(a_scan(truth, WHITE, grain=1.5))
    faint = (HOOK == 1) & (ZIGZAG == 0)
    assert (lifted[..., 3][faint] > 0).mean() > 0.98


def test_laying_the_clean_copy_back_on_its_paper_gives_the_scan() -> None:
    scan = a_scan(an_ink_layer((PATCH, GREY), (HOOK, BLUE), (ZIGZAG, BLACK)), CREAM)
    assert psnr(compose(lift(scan), over=CREAM), scan[..., :3]) > 50


def test_white_chalk_on_a_dark_ground_is_lifted_too() -> None:
    truth = an_ink_layer((ZIGZAG, (250, 250, 250)))
    lifted = lift(a_scan(truth, SLATE))
    assert psnr(compose(lifted, over=WHITE), compose(truth, over=WHITE)) > 55


def test_a_transparent_ground_passes_unchanged_with_its_white_fills() -> None:
    layer = an_ink_layer((PATCH, WHITE), (ZIGZAG, BLACK))
    lifted = lift(layer)
    seen = layer[..., 3] > 0
    assert np.array_equal(lifted[seen], layer[seen])
    assert (lifted[~seen] == 0).all()


def test_a_mask_keeps_out_the_neighbours_ink() -> None:
    scan = a_scan(an_ink_layer((ZIGZAG, BLACK)), WHITE)
    mine = np.zeros(scan.shape[:2], bool)
    mine[:100] = True
    lifted = lift(scan, mine)
    assert lifted[:100, :, 3].any()
    assert not lifted[100:].any()


@pytest.mark.parametrize("size", [(1, 1), (3, 400), (400, 2), (8, 8)])
def test_odd_sizes_and_blank_paper_come_back_empty(size: tuple[int, int]) -> None:
    assert not lift(np.full((*size, 4), 255, np.uint8)).any()


@pytest.mark.parametrize(
    ("paper", "expected"),
    [(WHITE, Ground.WHITE), (CREAM, Ground.OFF_WHITE), (KRAFT, Ground.OFF_WHITE), (SLATE, Ground.DARK)],
)
def test_grounds_are_told_apart(paper: tuple[int, int, int], expected: Ground) -> None:
    assert judge_ground(a_scan(an_ink_layer((ZIGZAG, RED)), paper, grain=1)) is expected


def test_a_drawing_without_ground_and_a_full_picture_are_told_apart() -> None:
    assert judge_ground(an_ink_layer((ZIGZAG, BLACK))) is Ground.TRANSPARENT
    y, x = np.mgrid[0:240, 0:240]
    street = np.stack([x, y, (x * 3 + y * 2) % 256, np.full_like(x, 255)], axis=2).astype(np.uint8)
    assert judge_ground(street) is Ground.FULL
    assert np.array_equal(lift(street), street)


def test_a_painted_drawing_that_fills_its_page_is_lifted_off_the_white_around_it() -> None:
    page = np.full((300, 240, 4), 255, np.uint8)
    cv2.ellipse(page, (120, 150), (119, 149), 0, 0, 360, (226, 204, 166, 255), -1)
    assert judge_ground(page) is Ground.WHITE
    lifted = lift(page)
    assert not lifted[:20, :20, 3].any()
    assert (lifted[150, 120] == (226, 204, 166, 255)).all()


def test_finishes_are_told_apart() -> None:
    line = an_ink_layer((ZIGZAG, BLACK))
    assert judge_finish(line) is Finish.CLEAN_LINE
    assert judge_finish(a_scan(line, WHITE)) is Finish.CLEAN_LINE
    assert judge_finish(a_scan(an_ink_layer((PATCH, GREY), (ZIGZAG, BLACK)), WHITE)) is Finish.TONE
    assert judge_finish(a_scan(an_ink_layer((PATCH, RED), (ZIGZAG, BLACK)), WHITE)) is Finish.COLOUR


def test_a_ground_that_was_judged_already_gives_the_same_finish() -> None:
    coats = (((ZIGZAG, BLACK),), ((PATCH, GREY), (ZIGZAG, BLACK)), ((PATCH, RED), (ZIGZAG, BLACK)))
    for picture in [an_ink_layer(*one) for one in coats] + [
        a_scan(an_ink_layer(*one), WHITE) for one in coats
    ]:
        assert judge_finish(picture, judge_ground(picture)) is judge_finish(picture)


def test_the_finish_is_the_same_with_and_without_paper() -> None:
    for coats in (((ZIGZAG, BLACK),), ((PATCH, GREY), (ZIGZAG, BLACK)), ((PATCH, RED), (ZIGZAG, BLACK))):
        layer = an_ink_layer(*coats)
        assert judge_finish(layer) is judge_finish(a_scan(layer, WHITE))


def test_searching_lines_are_rough() -> None:
    rng = np.random.default_rng(2)
    coats = []
    for _ in range(40):
        start = rng.integers(40, 200, 2)
        stroke = a_stroke([tuple(start), tuple(start + rng.integers(-60, 60, 2))], 2)
        coats.append((stroke * np.float32(rng.uniform(0.2, 0.9)), (60, 60, 64)))
    assert judge_finish(a_scan(an_ink_layer(*coats), WHITE)) is Finish.ROUGH


def _page_with(piece: Pixels, paper: tuple[int, int, int] = (236, 228, 208)) -> tuple[Pixels, Box]:
    """A page of bare paper, falling off to the right, with a piece in the middle of it."""
    page = np.empty((800, 1200, 4), np.float32)
    page[..., :3] = np.array(paper) * np.linspace(1, 0.85, 1200)[None, :, None]
    page[..., 3] = 255
    height, width = piece.shape[:2]
    alpha = piece[..., 3:].astype(np.float32) / 255
    here = page[200 : 200 + height, 600 : 600 + width]
    here[..., :3] += alpha * (piece[..., :3] - here[..., :3])
    return page.astype(np.uint8), (600, 200, width, height)


def test_a_piece_that_fills_its_box_is_lifted_off_the_paper_of_its_page() -> None:
    """A grey tone over most of the crop is ink, though nothing but the page says so."""
    piece = np.zeros((300, 300, 4), np.uint8)
    piece[:] = (190, 184, 168, 255)
    piece[:8] = piece[-8:] = piece[:, :8] = piece[:, -8:] = (20, 20, 20, 255)
    piece[100:200, 40:140] = 0
    page, box = _page_with(piece)
    x, y, w, h = box
    ink = lift_piece(page[y : y + h, x : x + w], np.ones((h, w), bool), page, box)
    assert (ink[110:190, 50:130, 3] == 0).mean() > 0.995
    assert (ink[20:90, 20:280, 3] > 0).all()
    assert ink[4, 150, 3] == 255


def test_a_panel_painted_to_its_edges_stays_whole() -> None:
    panel = np.full((300, 400, 4), 255, np.uint8)
    panel[:150, :, :3] = (200, 205, 215)
    panel[150:, :, :3] = np.linspace(60, 180, 400, dtype=np.uint8)[None, :, None]
    page, box = _page_with(panel, (255, 255, 255))
    x, y, w, h = box
    assert np.array_equal(lift_piece(page[y : y + h, x : x + w], np.ones((h, w), bool), page, box), panel)
