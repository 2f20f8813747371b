"""Bodies filled under drawn lines; every outline is drawn here, so its inside is known."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import body_layer, fill_body
from assetlib.imaging.cleaning.ink import compose
from assetlib.imaging.cleaning.openings import Opening

NIGHT = (14, 18, 34)


def an_outline(pen: int, side: int = 300) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """A round body in line, and everything within its line."""
    line = np.zeros((side, side, 4), np.uint8)
    alpha = np.zeros((side, side), np.uint8)
    centre, radius = (side // 2, side // 2), side // 3
    cv2.circle(alpha, centre, radius, 255, pen, cv2.LINE_AA)
    line[..., 3] = alpha
    full = np.zeros((side, side), np.uint8)
    cv2.circle(full, centre, radius, 255, -1)
    return line, (full > 0) | (alpha > 127)


def cut(line: NDArray[np.uint8], at: tuple[int, int], size: int) -> None:
    x, y = at
    line[y - size // 2 : y + size - size // 2, x - size // 2 : x + size - size // 2] = 0


def overlap(one: NDArray[np.bool_], other: NDArray[np.bool_]) -> float:
    return float((one & other).sum() / (one | other).sum())


@pytest.mark.parametrize("pen", [1, 3, 8])
@pytest.mark.parametrize("side", [120, 300, 1500])
def test_a_closed_outline_is_filled(pen: int, side: int) -> None:
    line, truth = an_outline(pen, side)
    assert overlap(fill_body(line), truth) > 0.985


@pytest.mark.parametrize("pen", [1, 3, 6])
def test_an_outline_with_small_gaps_is_filled(pen: int) -> None:
    line, truth = an_outline(pen)
    cut(line, (150, 50), 5)
    cut(line, (250, 150), 4)
    assert overlap(fill_body(line), truth) > 0.97


def test_a_bay_between_two_limbs_stays_outside() -> None:
    line = np.zeros((300, 300, 4), np.uint8)
    points = np.int32(
        [(50, 250), (50, 50), (250, 50), (250, 250), (170, 250), (170, 120), (130, 120), (130, 250)]
    )
    alpha = np.zeros((300, 300), np.uint8)
    cv2.polylines(alpha, [points], True, 255, 4)
    line[..., 3] = alpha
    body = fill_body(line)
    assert not body[200, 150]
    assert body[200, 90]
    assert body[200, 210]


def test_loose_lines_and_props_belong_to_the_body() -> None:
    line, truth = an_outline(3)
    alpha = line[..., 3].copy()
    cv2.line(alpha, (5, 5), (60, 5), 255, 3)
    cv2.circle(alpha, (20, 270), 12, 255, 2)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[5, 30]
    assert body[270, 20]
    assert not body[290, 290]
    assert overlap(body, truth) > 0.9


def test_a_figure_cut_off_by_the_edge_is_filled_down_to_it() -> None:
    line = np.zeros((200, 200, 4), np.uint8)
    alpha = np.zeros((200, 200), np.uint8)
    cv2.ellipse(alpha, (100, 200), (60, 140), 0, 0, 360, 255, 3)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[190, 100]
    assert not body[190, 10]


def a_torso_with_a_sleeve(gap: int) -> NDArray[np.uint8]:
    """A coat whose left sleeve begins `gap` pixels beside the end of its shoulder, on a page 300 x 400."""
    alpha = np.zeros((400, 300), np.uint8)
    coat = np.int32([(120, 130), (122, 110), (150, 95), (220, 95), (220, 370), (120, 370), (120, 250)])
    sleeve = np.int32([(120 - gap, 128), (60, 190), (52, 260), (90, 262), (120, 250)])
    for stroke in (coat, sleeve):
        cv2.polylines(alpha, [stroke], False, 255, 3, cv2.LINE_AA)
    line = np.zeros((400, 300, 4), np.uint8)
    line[..., 3] = alpha
    return line


@pytest.mark.parametrize("gap", [6, 16])
def test_a_sleeve_that_stands_away_from_its_shoulder_is_body(gap: int) -> None:
    body = fill_body(a_torso_with_a_sleeve(gap))
    assert body[220, 80]
    assert body[300, 170]
    assert not body[220, 30]
    assert not body[330, 80]


def test_a_belt_with_a_gap_leaves_no_slit_in_the_body() -> None:
    line = a_torso_with_a_sleeve(16)
    alpha = line[..., 3].copy()
    for left, right in ((120, 160), (178, 220)):
        cv2.line(alpha, (left, 300), (right, 300), 255, 3, cv2.LINE_AA)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[290:311, 169].all()


def test_a_body_ends_softly_where_no_line_is() -> None:
    line = a_torso_with_a_sleeve(16)
    layer = body_layer(line, line, fill_body(line))
    across_the_mouth = layer[115:145, 112, 3].astype(int)
    assert across_the_mouth[0] == 0
    assert across_the_mouth[-1] == 255
    assert np.abs(np.diff(across_the_mouth)).max() < 128


def test_a_forearm_that_runs_out_is_body_down_to_its_end() -> None:
    alpha = np.zeros((400, 300), np.uint8)
    cv2.circle(alpha, (150, 90), 60, 255, 3, cv2.LINE_AA)  # the fist
    cv2.line(alpha, (115, 140), (110, 330), 255, 3, cv2.LINE_AA)
    cv2.line(alpha, (185, 140), (190, 330), 255, 3, cv2.LINE_AA)
    cv2.line(alpha, (135, 260), (150, 275), 255, 3, cv2.LINE_AA)  # a crease
    line = np.zeros((400, 300, 4), np.uint8)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[300, 150]
    assert body[200, 150]
    assert not body[345, 150]
    assert not body[300, 60]


def a_ring_with_a_wide_gap(gap: int, inner: bool) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """A round outline whose pen was lifted for `gap` pixels, perhaps with a closed ring inside it."""
    line, truth = an_outline(3)
    cut(line, (250, 150), gap)
    if inner:
        alpha = np.zeros((300, 300), np.uint8)
        cv2.circle(alpha, (150, 150), 66, 255, 3, cv2.LINE_AA)
        line[..., 3] = np.maximum(line[..., 3], alpha)
    return line, truth


@pytest.mark.parametrize("inner", [False, True])
@pytest.mark.parametrize("gap", [16, 24, 36])
def test_a_stroke_that_was_lifted_and_set_down_again_closes_its_outline(gap: int, inner: bool) -> None:
    line, truth = a_ring_with_a_wide_gap(gap, inner)
    assert overlap(fill_body(line), truth) > 0.97


def test_a_wrist_open_above_its_cuff_is_body() -> None:
    """The stub that is left above the cuff soon runs into something closed and is an end all the same."""
    alpha = np.zeros((400, 300), np.uint8)
    cv2.polylines(
        alpha, [np.int32([(80, 300), (220, 300), (230, 380), (70, 380)])], True, 255, 3, cv2.LINE_AA
    )
    for stroke in ([(100, 300), (90, 60), (210, 60), (204, 220)], [(200, 254), (200, 300)]):
        cv2.polylines(alpha, [np.int32(stroke)], False, 255, 3, cv2.LINE_AA)
    line = np.zeros((400, 300, 4), np.uint8)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[70:370, 150].all()
    assert not body[237, 225]


def test_strokes_in_a_row_hold_nothing() -> None:
    alpha = np.zeros((300, 400), np.uint8)
    for left in (40, 130, 220):  # a dashed road under a wheel
        cv2.line(alpha, (left, 260), (left + 60, 260), 255, 3, cv2.LINE_AA)
    cv2.circle(alpha, (200, 120), 70, 255, 3, cv2.LINE_AA)
    line = np.zeros((300, 400, 4), np.uint8)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[120, 200]
    assert not body[225, 40:360].any()
    assert not body[280, 40:360].any()


def test_strokes_that_hold_nothing_get_no_body() -> None:
    alpha = np.zeros((400, 600), np.uint8)
    for y in (60, 90):  # a draught beside the figure
        cv2.line(alpha, (40, y), (120, y), 255, 3, cv2.LINE_AA)
    fork = np.int32([(330, 60), (400, 180), (470, 60)])
    spikes = np.int32([(60, 350), (70, 220), (80, 340), (100, 200), (120, 340), (130, 220), (140, 350)])
    cv2.polylines(alpha, [fork], False, 255, 3, cv2.LINE_AA)
    cv2.polylines(alpha, [spikes], True, 255, 3, cv2.LINE_AA)
    cv2.circle(alpha, (400, 300), 60, 255, 3, cv2.LINE_AA)
    line = np.zeros((400, 600, 4), np.uint8)
    line[..., 3] = alpha
    body = fill_body(line)
    assert not body[75, 80]
    assert not body[90, 400]
    assert not body[240, 85]
    assert body[300, 400]


def test_no_ink_has_no_body() -> None:
    assert not fill_body(np.zeros((40, 30, 4), np.uint8)).any()


@pytest.mark.parametrize("pen", [2, 3, 6])
def test_white_under_the_line_leaves_no_fringe_on_a_dark_ground(pen: int) -> None:
    line, _ = an_outline(pen)
    body = fill_body(line)
    layer = body_layer(line, line, body)
    y, x = np.mgrid[0:300, 0:300]
    outer_side = np.hypot(y - 150, x - 150) > 100 + 0.6
    seen = compose(line, layer, NIGHT).astype(int)[outer_side]
    assert (seen - np.array(NIGHT)).max() <= 10
    assert (compose(line, layer, NIGHT)[np.hypot(y - 150, x - 150) < 99 - pen] == 255).all()


def test_an_open_opening_has_no_white_in_it_and_a_closed_one_has() -> None:
    line, _ = an_outline(4)
    body = fill_body(line)
    window = np.zeros((300, 300), bool)
    window[130:170, 120:180] = True
    for is_open, expected in ((True, 0), (False, 255)):
        layer = body_layer(line, line, body, [Opening(1, (120, 130, 60, 40), window, is_open, 0.5)])
        assert layer[150, 150, 3] == expected
        assert layer[100, 150, 3] == 255


def _arc(side: int, missing: float) -> NDArray[np.uint8]:
    """A round outline of which a share is missing, uint8 (side, side, 4)."""
    line = np.zeros((side, side, 4), np.uint8)
    alpha = np.zeros((side, side), np.uint8)
    size = (side // 3, side // 3)
    cv2.ellipse(alpha, (side // 2, side // 2), size, 20, 0, 360 * (1 - missing), 255, 4, cv2.LINE_AA)
    line[..., 3] = alpha
    return line


@pytest.mark.parametrize("missing", [0.04, 0.09, 0.16])
def test_an_outline_that_stays_open_is_filled(missing: float) -> None:
    line = _arc(420, missing)
    full = np.zeros((420, 420), np.uint8)
    cv2.circle(full, (210, 210), 140, 255, -1)
    assert overlap(fill_body(line), full > 0) > 0.9


def test_a_small_drawing_with_a_gap_is_filled_on_a_large_page() -> None:
    line = np.zeros((1900, 1500, 4), np.uint8)
    alpha = np.zeros((1900, 1500), np.uint8)
    cv2.ellipse(alpha, (400, 500), (150, 110), 0, 20, 362, 255, 5, cv2.LINE_AA)
    line[..., 3] = alpha
    full = np.zeros((1900, 1500), np.uint8)
    cv2.ellipse(full, (400, 500), (150, 110), 0, 0, 360, 255, -1)
    assert overlap(fill_body(line), full > 0) > 0.9


def test_a_bay_that_body_goes_round_stays_open_however_narrow_its_mouth() -> None:
    """A horseshoe: its line has body on one side everywhere."""
    alpha = np.zeros((420, 420), np.uint8)
    for radius in (150, 105):
        cv2.ellipse(alpha, (210, 210), (radius, radius), 0, -72, 252, 255, 5, cv2.LINE_AA)
    for degrees in (-72, 252):
        ends = [
            (round(210 + r * np.cos(np.radians(degrees))), round(210 + r * np.sin(np.radians(degrees))))
            for r in (150, 105)
        ]
        cv2.line(alpha, ends[0], ends[1], 255, 5, cv2.LINE_AA)
    line = np.zeros((420, 420, 4), np.uint8)
    line[..., 3] = alpha
    body = fill_body(line)
    assert body[210, 210 + 127]
    assert not body[210, 210]


def test_grainy_pencil_line_encloses_its_body() -> None:
    rng = np.random.default_rng(5)
    line = np.zeros((500, 500), np.float32)
    cv2.ellipse(line, (250, 250), (170, 130), 0, 0, 360, 1.0, 5)
    tooth = cv2.resize(rng.uniform(0, 1, (330, 330)).astype(np.float32), (500, 500))
    ink = np.zeros((500, 500, 4), np.uint8)
    ink[..., 3] = np.rint(255 * line * np.clip(1.7 * tooth - 0.55, 0, 1))
    body = fill_body(ink)
    assert body[150:350, 150:350].all()
    assert not body[:100].any()
