"""Clean copies made whole: light line on dark, what was pointed at, blemishes by tint, and how sure a copy is."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.blemishes import Blemish, clean, propose
from assetlib.imaging.cleaning.copying import Copy, make_copy
from assetlib.imaging.cleaning.grounds import Ground, judge_ground
from assetlib.imaging.cleaning.ink import lift
from assetlib.imaging.cleaning.polarity import ground_tone
from assetlib.imaging.cleaning.sureness import Sure

Picture = NDArray[np.uint8]
NO_RIM = ((0, 0), (0, 0))


def page(paper: tuple[int, int, int] = (250, 250, 248)) -> Picture:
    """Bare paper with a little grain, uint8 (420, 420, 4)."""
    rng = np.random.default_rng(2)
    grain = np.float32(paper) + rng.normal(0, 1.2, (420, 420, 1)).astype(np.float32)
    return np.dstack([np.clip(grain, 0, 255).astype(np.uint8), np.full((420, 420), 255, np.uint8)])


def draw_house(on: Picture, ink: tuple[int, int, int] = (20, 20, 24)) -> Picture:
    cv2.rectangle(on, (90, 120), (330, 340), (*ink, 255), 5)
    cv2.rectangle(on, (160, 170), (250, 250), (*ink, 255), 5)
    return on


def copied(picture: Picture, *choices: tuple[int, int, bool], white: bool = False) -> Copy:
    return make_copy(picture, lift(picture), picture, choices, NO_RIM, white)


def over(copy: Copy, ground: tuple[int, int, int]) -> NDArray[np.float32]:
    """The copy, body and ink, laid on a ground."""
    shown = np.empty((*copy.ink.shape[:2], 3), np.float32)
    shown[:] = ground
    for layer in (copy.layer, copy.ink):
        alpha = layer[..., 3:].astype(np.float32) / 255
        shown += alpha * (layer[..., :3] - shown)
    return shown


@pytest.mark.parametrize(
    "ground", [(26, 30, 38), (44, 70, 56), (10, 10, 12)], ids=["slate", "board", "black"]
)
def test_white_line_has_a_body_of_its_dark_ground(ground: tuple[int, int, int]) -> None:
    copy = copied(draw_house(page(ground), (238, 238, 232)))
    shown = over(copy, (200, 60, 60))
    assert np.abs(shown[300, 200] - ground).max() < 16  # the wall
    assert shown[120, 200].min() > 190  # its line
    assert np.abs(shown[20, 20] - (200, 60, 60)).max() < 2


def test_its_body_is_white_and_its_line_dark_on_request() -> None:
    shown = over(copied(draw_house(page((26, 30, 38)), (238, 238, 232)), white=True), (200, 60, 60))
    assert shown[300, 200].min() > 245
    assert shown[120, 200].max() < 90


def test_white_line_without_any_ground_is_no_blank_shape() -> None:
    drawing = draw_house(np.zeros((420, 420, 4), np.uint8), (250, 250, 250))
    shown = over(copied(drawing), (200, 60, 60))
    assert shown[300, 200].max() < 90


def test_black_line_has_a_white_body() -> None:
    assert over(copied(draw_house(page())), (200, 60, 60))[300, 200].min() > 245


def open_trunk() -> Picture:
    """A trunk on transparent ground whose outline is open by a seventh of its height."""
    drawing = np.zeros((420, 420, 4), np.uint8)
    points = np.array([[150, 380], [120, 80], [300, 80], [270, 380]], np.int32)
    cv2.polylines(drawing, [points], False, (20, 20, 20, 255), 4)
    cv2.line(drawing, (150, 380), (185, 380), (20, 20, 20, 255), 4)
    cv2.line(drawing, (230, 380), (270, 380), (20, 20, 20, 255), 4)
    return drawing


def test_an_empty_place_can_be_filled_by_its_number_or_by_pointing() -> None:
    drawing = open_trunk()
    plain = copied(drawing)
    filled = plain.layer[200, 210, 3] == 255
    pointed = copied(drawing, (210, 200, False))
    assert pointed.layer[200, 210, 3] == 255
    assert pointed.layer[200, 60, 3] == 0
    numbered = [opening for opening in plain.openings if opening.mask[200, 210]]
    assert filled or len(numbered) == 1


def test_what_lies_open_is_not_filled_by_pointing() -> None:
    copy = copied(open_trunk(), (30, 30, False))
    assert copy.layer[30, 30, 3] == 0


def test_the_mouth_of_a_place_pointed_at_is_closed_straight() -> None:
    drawing = np.zeros((420, 420, 4), np.uint8)
    cv2.polylines(
        drawing, [np.int32([(160, 100), (60, 330), (360, 330), (260, 100)])], False, (20, 20, 20, 255), 4
    )
    filled = copied(drawing, (210, 200, False)).layer[..., 3] == 255
    assert filled[200, 210]
    assert filled[324, 70:350].mean() > 0.95  # into its corners
    assert filled[106, 175:245].mean() > 0.9
    assert not filled[:95].any()


def test_a_place_between_lines_that_do_not_go_round_it_stays_empty() -> None:
    drawing = np.zeros((420, 420, 4), np.uint8)
    cv2.polylines(
        drawing, [np.int32([(100, 100), (60, 330), (360, 330), (320, 100)])], False, (20, 20, 20, 255), 4
    )
    cv2.circle(drawing, (200, 230), 30, (20, 20, 20, 255), 4)
    empty = copied(drawing).layer[..., 3]
    assert (copied(drawing, (130, 250, False)).layer[..., 3] == empty).all()


def test_painted_glass_of_a_drawing_with_alpha_has_a_number_and_opens() -> None:
    van = np.zeros((420, 420, 4), np.uint8)
    cv2.rectangle(van, (60, 120), (360, 330), (200, 40, 40, 255), -1)
    cv2.rectangle(van, (100, 150), (200, 220), (214, 230, 240, 255), -1)
    copy = copied(van)
    (glass,) = [opening for opening in copy.openings if opening.mask[185, 150]]
    assert not glass.is_open
    assert copy.ink[185, 150, 3] == 255
    opened = copied(van, (150, 185, True))
    assert opened.ink[185, 150, 3] == 0
    assert opened.layer[185, 150, 3] == 0
    assert opened.ink[280, 200, 3] == 255


def test_an_area_too_small_for_a_number_opens_by_pointing() -> None:
    picture = draw_house(page())
    cv2.rectangle(picture, (300, 300), (312, 312), (20, 20, 24, 255), 3)
    assert copied(picture).layer[306, 306, 3] == 255
    assert copied(picture, (306, 306, True)).layer[306, 306, 3] < 128


def underdrawn(colour: tuple[int, int, int]) -> Picture:
    picture = page()
    for shift in (-5, 4):
        cv2.rectangle(picture, (90 + shift, 120 + shift), (330 + shift, 340 - shift), (*colour, 255), 2)
        cv2.line(picture, (90 + shift, 120), (330 + shift, 340), (*colour, 255), 2)
    return draw_house(picture)


@pytest.mark.parametrize(
    "colour", [(235, 130, 130), (140, 175, 235), (240, 165, 110)], ids=["red", "blue", "orange"]
)
def test_underdrawing_is_seen_and_taken_out(colour: tuple[int, int, int]) -> None:
    picture = underdrawn(colour)
    assert "underdrawing" in propose(picture)
    cleaned, removed = clean(picture, [Blemish.UNDERDRAWING])
    assert removed
    levels = cleaned[..., :3].astype(int)
    assert (np.ptp(levels, axis=2) > 40).sum() < 0.06 * (
        np.ptp(picture[..., :3].astype(int), axis=2) > 40
    ).sum()
    assert levels[120, 200].max() < 60  # the ink


def test_a_drawing_in_red_alone_and_painted_colour_are_no_underdrawing() -> None:
    assert "underdrawing" not in propose(draw_house(page(), (200, 40, 40)))
    painted = draw_house(page())
    cv2.rectangle(painted, (100, 260), (320, 330), (235, 130, 130, 255), -1)
    assert "underdrawing" not in propose(painted)


def test_a_coffee_ring_is_seen_and_taken_out() -> None:
    picture = page()
    ring = np.zeros((420, 420), np.float32)
    cv2.circle(ring, (300, 110), 60, 1.0, 7)
    ring = cv2.GaussianBlur(ring, (0, 0), 1.5)[..., None]
    picture[..., :3] = np.rint(picture[..., :3] * (1 - ring * (1 - np.float32((0.8, 0.66, 0.48))))).astype(
        np.uint8
    )
    draw_house(picture)
    assert "stain" in propose(picture)
    cleaned, _ = clean(picture, [Blemish.STAIN])
    assert cleaned[50, 300, 2] > 225
    assert cleaned[120, 200, :3].max() < 60
    assert propose(draw_house(page())) == ()


def test_a_plain_drawing_is_sure() -> None:
    assert copied(draw_house(page())).sure.level is Sure.SURE


@pytest.mark.parametrize("made", ["photograph", "paper"])
def test_what_cannot_be_lifted_says_so(made: str) -> None:
    rng = np.random.default_rng(1)
    picture = page()
    if made == "photograph":
        rough = cv2.resize(
            rng.integers(0, 255, (14, 14, 3), np.uint8), (420, 420), interpolation=cv2.INTER_CUBIC
        )
        picture[..., :3] = rough
    copy = copied(picture)
    assert copy.sure.level is Sure.CANNOT
    assert copy.sure.why


def test_a_shadow_along_the_edge_is_to_be_looked_at() -> None:
    picture = draw_house(page())
    picture[:, :14, :3] = 60
    copy = copied(picture)
    assert copy.sure.level is Sure.LOOK
    assert "edge" in copy.sure.why[0]


def test_white_panes_in_dark_line_are_no_line_on_dark() -> None:
    """A van on transparent ground, drawn in dark line, its windows alone painted white."""
    van = np.zeros((420, 420, 4), np.uint8)
    for left in (90, 200):
        cv2.rectangle(van, (left, 150), (left + 80, 220), (255, 255, 255, 255), -1)
    cv2.rectangle(van, (60, 120), (340, 300), (20, 20, 24, 255), 3)
    assert over(copied(van), (200, 60, 60))[270, 200].min() > 245


def test_outlines_that_stay_open_are_told() -> None:
    lamp = page()
    cv2.line(lamp, (210, 210), (210, 340), (20, 20, 24, 255), 5)
    cv2.polylines(lamp, [np.int32([(120, 160), (160, 90), (260, 90)])], False, (20, 20, 24, 255), 5)
    cv2.line(lamp, (300, 210), (130, 210), (20, 20, 24, 255), 5)
    assert "some of its outlines stay open and unfilled" in copied(lamp).sure.why


def test_a_drawing_that_was_cut_out_close_may_end_straight() -> None:
    sheet = page()
    cv2.rectangle(sheet, (100, 100), (320, 320), (20, 20, 24, 255), 4)
    close = np.s_[98:323, 98:323]
    box, ink = sheet[close].copy(), lift(sheet)[close].copy()
    assert make_copy(box, ink, sheet, (), ((1, 1), (1, 1)), False).sure.level is Sure.SURE
    assert make_copy(box, ink, sheet, (), NO_RIM, False).sure.level is Sure.LOOK


@pytest.mark.parametrize(("where", "told"), [((90, 90, 340, 340), ("underdrawing",)), ((0, 0, 60, 420), ())])
def test_a_blemish_is_told_of_the_drawing_that_it_is_in(
    where: tuple[int, int, int, int], told: tuple[str, ...]
) -> None:
    sheet = page()
    cv2.rectangle(sheet, (97, 128), (338, 348), (236, 120, 118, 255), 4)
    draw_house(sheet)
    cv2.circle(sheet, (30, 200), 18, (20, 20, 24, 255), 4)
    own = np.zeros(sheet.shape[:2], bool)
    own[where[1] : where[3], where[0] : where[2]] = True
    ink = (sheet[..., :3].min(axis=2) < 200) & own
    assert propose(sheet, ink) == told


def test_a_tone_that_line_goes_round_is_body_where_its_outline_stays_open_and_a_shadow_is_not() -> None:
    picture = page((255, 255, 255))
    cv2.rectangle(picture, (100, 100), (320, 260), (222, 222, 224, 255), -1)  # a roof in pale grey
    cv2.polylines(
        picture,
        [np.array([(320, 100), (320, 260), (100, 260), (100, 100), (220, 100)])],
        False,
        (20, 20, 24, 255),
        4,
    )
    cv2.rectangle(picture, (100, 300), (320, 370), (222, 222, 224, 255), -1)  # and a shadow alone
    shown = over(copied(picture), (0, 120, 0))
    assert np.abs(shown[180, 210] - 222).max() < 12
    assert shown[340, 210, 0] < 60


def test_paper_left_white_within_a_tone_is_no_opening() -> None:
    picture = page((255, 255, 255))
    cv2.circle(picture, (210, 210), 150, (150, 150, 152, 255), -1)
    cv2.circle(picture, (210, 210), 150, (20, 20, 24, 255), 5)
    cv2.ellipse(picture, (160, 150), (40, 24), -30, 0, 360, (255, 255, 255, 255), -1)
    shown = over(copied(picture), (0, 120, 0))
    assert shown[150, 160].min() > 240


def test_a_dark_sheet_on_a_scanners_white_is_a_dark_ground() -> None:
    picture = draw_house(page((44, 48, 52)), (238, 236, 230))
    picture[:9, :, :3] = picture[-9:, :, :3] = picture[:, :9, :3] = (206, 204, 200)
    ink = lift(picture)
    assert judge_ground(picture) is Ground.DARK
    assert ground_tone(picture, ink) == pytest.approx((44, 48, 52), abs=4)
