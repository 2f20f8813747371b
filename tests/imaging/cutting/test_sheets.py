"""Sheets drawn here are cut into the drawings that were drawn."""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.cutting.numbering import Gap
from assetlib.imaging.cutting.overlay import overlay
from assetlib.imaging.cutting.placing import Box
from assetlib.imaging.cutting.sheets import Cut, CutSettings, cut, judge_sheet

Picture = NDArray[np.uint8]
Colour = tuple[int, int, int]
DEMO = Path(__file__).parents[3] / "demo_assets"
BLACK: Colour = (20, 20, 20)


def blank(width: int, height: int, colour: Colour = (255, 255, 255)) -> Picture:
    page = np.empty((height, width, 4), np.uint8)
    page[:] = (*colour, 255)
    return page


def draw_face(page: Picture, x: int, y: int, size: int, ink: Colour = BLACK) -> Box:
    """A round head whose eyes stand free inside; returns its box."""
    r = size // 2
    cv2.circle(page, (x + r, y + r), r - 3, (*ink, 255), 5)
    for dx in (-r // 3, r // 3):
        cv2.circle(page, (x + r + dx, y + r - r // 5), max(2, r // 10), (*ink, 255), -1)
    shown = np.abs(page[y : y + size, x : x + size, :3].astype(int) - page[0, 0, :3].astype(int)).max(axis=2)
    bx, by, bw, bh = cv2.boundingRect((shown > 30).astype(np.uint8))
    return (x + bx, y + by, bw, bh)


def draw_rows(page: Picture, rows: int, cols: int, ink: Colour = BLACK) -> list[Box]:
    height, width = page.shape[:2]
    size = min(width // cols, height // rows) * 6 // 10
    return [
        draw_face(page, c * width // cols + size // 3, r * height // rows + size // 3, size, ink)
        for r in range(rows)
        for c in range(cols)
    ]


def write(page: Picture, text: str, x: int, y: int, size: int) -> None:
    """Letter a line, its middle at x and its top at y."""
    image = Image.fromarray(page[..., :3].copy())
    font = ImageFont.load_default(size)
    ImageDraw.Draw(image).text((x, y), text, BLACK, font, anchor="mt")
    page[..., :3] = np.asarray(image)


def boxes_of(found: Cut) -> list[Box]:
    return [piece.box for piece in found.pieces]


def assert_boxes(found: list[Box], true: list[Box], within: int = 3) -> None:
    assert len(found) == len(true)
    for a, b in zip(found, true, strict=True):
        assert np.abs(np.array(a) - np.array(b)).max() <= within, (a, b)


GROUNDS = [((255, 255, 255), BLACK), ((0, 0, 0), (255, 255, 255)), ((238, 232, 214), (90, 40, 30))]


@pytest.mark.parametrize(("ground", "ink"), GROUNDS)
def test_rows_of_faces_are_found_in_reading_order(ground: Colour, ink: Colour) -> None:
    page = blank(1200, 900, ground)
    true = draw_rows(page, 3, 4, ink)
    found = cut(page)
    assert_boxes(boxes_of(found), true)
    assert [piece.order for piece in found.pieces] == list(range(1, 13))
    assert found.size == (1200, 900)
    assert found.kind == "grid"


def test_transparent_ground_is_paper() -> None:
    page = blank(1200, 900)
    true = draw_rows(page, 2, 3)
    page[..., 3] = 255 - page[..., 0]
    assert_boxes(boxes_of(cut(page)), true)


def test_a_one_bit_scan_is_cut() -> None:
    page = blank(1200, 900)
    true = draw_rows(page, 2, 3)
    page[..., :3] = np.where(page[..., :3] > 128, 255, 0)
    assert_boxes(boxes_of(cut(page)), true)


def test_a_shaded_and_grainy_scan_is_cut() -> None:
    page = blank(1200, 900)
    true = draw_rows(page, 2, 3)
    rng = np.random.default_rng(3)
    light = np.linspace(0.72, 0.98, 1200)[None, :, None]
    scan = page[..., :3] * light + rng.normal(0, 3, (900, 1200, 1))
    page[..., :3] = np.clip(scan, 0, 255)
    assert_boxes(boxes_of(cut(page)), true, within=4)


def test_a_large_page_gives_boxes_in_its_own_pixels() -> None:
    page = blank(4000, 3000)
    true = draw_rows(page, 2, 3)
    assert_boxes(boxes_of(cut(page)), true, within=4)


@pytest.mark.parametrize("colour", [(255, 255, 255), (0, 0, 0), (200, 190, 170)])
def test_an_empty_page_has_no_pieces(colour: Colour) -> None:
    found = cut(blank(500, 400, colour))
    assert found.pieces == ()
    assert found.kind == "empty"


def test_a_tiny_picture_is_no_error() -> None:
    assert cut(blank(1, 1)).pieces == ()
    assert judge_sheet(blank(3, 2)) == 0.0


@pytest.mark.parametrize("size", [(60, 1), (1, 60)])
def test_a_page_one_pixel_wide_is_no_error(size: tuple[int, int]) -> None:
    page = blank(*size)
    page[size[1] // 3 : size[1] // 2 + 1, size[0] // 3 : size[0] // 2 + 1, :3] = 0
    assert cut(page).kind in ("single", "empty")
    assert judge_sheet(page) == 0.0


def test_one_drawing_is_one_piece_and_no_sheet() -> None:
    page = blank(700, 600)
    true = draw_face(page, 100, 50, 500)
    found = cut(page)
    assert_boxes(boxes_of(found), [true])
    assert found.is_sheet == 0.0
    assert judge_sheet(page) < 0.5


def test_a_grid_of_faces_is_judged_a_sheet() -> None:
    page = blank(1400, 1000)
    draw_rows(page, 3, 4)
    assert judge_sheet(page) > 0.5
    assert cut(page).is_sheet > 0.5


def test_a_mask_holds_what_the_line_encloses_and_nothing_outside() -> None:
    page = blank(900, 500)
    draw_rows(page, 1, 2)
    piece = cut(page).pieces[0]
    h, w = piece.mask.shape
    assert (w, h) == piece.box[2:]
    assert piece.mask[h // 2, w // 2]
    assert not piece.mask[0, 0]


def test_frames_give_their_content() -> None:
    page = blank(1200, 800)
    true = []
    for row in range(2):
        for col in range(3):
            x, y = 30 + col * 390, 30 + row * 380
            cv2.rectangle(page, (x, y), (x + 350, y + 330), (*BLACK, 255), 3)
            true.append(draw_face(page, x + 80, y + 70, 180))
    found = cut(page)
    assert judge_sheet(page) > 0.5
    assert found.kind == "frames"
    assert_boxes(boxes_of(found), true)


def test_panels_filled_by_their_art_are_taken_whole() -> None:
    page = blank(1200, 800)
    true: list[Box] = []
    for row in range(2):
        for col in range(3):
            x, y = 30 + col * 390, 30 + row * 380
            page[y : y + 330, x : x + 350, :3] = (150 + 20 * col, 180, 160 + 30 * row)
            draw_face(page, x + 120, y + 60, 200)
            true.append((x, y, 350, 330))
    assert_boxes(boxes_of(cut(page)), true)


def test_captions_are_set_aside_and_given_to_their_drawings() -> None:
    page = blank(1500, 1100)
    true = draw_rows(page, 2, 3)
    for (x, y, w, h), text in zip(true, ["baker", "loaf", "van", "gull", "crate", "oven"], strict=True):
        write(page, f"{text} no. 3", x + w // 2, y + h + 18, 26)
    found = cut(page)
    assert_boxes(boxes_of(found), true)
    for piece in found.pieces:
        assert piece.caption_box is not None
        assert 0 < piece.caption_box[1] - (piece.box[1] + piece.box[3]) < 40


def test_a_caption_that_stands_lower_than_the_others_is_no_part_of_its_drawing() -> None:
    told = json.loads((DEMO / "expected.json").read_text())["sheets"]
    (arrows,) = [sheet for sheet in told if sheet["file"].startswith("sheets/arrows")]
    page = np.asarray(Image.open(DEMO / arrows["file"]).convert("RGBA"))
    assert_boxes(boxes_of(cut(page)), [tuple(element["box"]) for element in arrows["elements"]], within=6)


def test_a_pattern_of_dots_is_a_drawing() -> None:
    page = blank(1200, 1200)
    for x in range(640, 1100, 46):
        for y in range(80, 560, 46):
            cv2.circle(page, (x, y), 15, (*BLACK, 255), -1)
    faces = [draw_face(page, 80, 100, 300), draw_face(page, 80, 700, 300), draw_face(page, 640, 700, 300)]
    boxes = boxes_of(cut(page))
    assert_boxes(boxes, [faces[0], (625, 65, 31 + 9 * 46, 31 + 10 * 46), *faces[1:]], within=4)


def test_punch_holes_and_margin_rules_are_no_elements() -> None:
    page = blank(1400, 1000)
    true = draw_rows(page, 2, 3)
    for y in (300, 700):
        cv2.circle(page, (22, y), 12, (90, 90, 90, 255), -1)
    cv2.line(page, (50, 0), (50, 999), (200, 80, 80, 255), 2)
    assert_boxes(boxes_of(cut(page)), true)


def four_faces() -> tuple[Picture, list[Box]]:
    page = blank(1200, 1000)
    return page, draw_rows(page, 2, 2)


def test_join_and_drop_use_the_numbers_of_the_uncorrected_cut() -> None:
    page, true = four_faces()
    found = boxes_of(cut(page, CutSettings(join=((1, 2),), drop=(4,))))
    (ax, ay, _, ah), (bx, _, bw, _) = true[0], true[1]
    assert_boxes(found, [(ax, ay, bx + bw - ax, ah), true[2]])


def test_split_parts_two_drawings_that_touch() -> None:
    page = blank(1400, 700)
    draw_face(page, 100, 200, 300)
    cv2.circle(page, (545, 350), 149, (*BLACK, 255), 5)
    draw_face(page, 1000, 200, 300)
    assert len(cut(page).pieces) == 2
    found = boxes_of(cut(page, CutSettings(split=(1,))))
    assert_boxes(found[:2], [(101, 201, 298, 298), (394, 199, 302, 302)], within=12)
    assert len(found) == 3


def test_a_drawn_box_becomes_an_element_as_it_stands() -> None:
    page, true = four_faces()
    x, y, w, h = true[0]
    found = boxes_of(cut(page, CutSettings(boxes=((x - 10, y - 10, w // 2, h + 20),))))
    assert len(found) == 5
    assert abs(found[0][0] - x) <= 3
    assert found[0][2] < w * 0.6


def test_a_gap_joins_what_is_nearer() -> None:
    page, true = four_faces()
    between = true[1][0] - true[0][0] - true[0][2]
    assert len(cut(page, CutSettings(gap=between + 10)).pieces) < 4
    assert len(cut(page, CutSettings(gap=between / 2)).pieces) == 4


def test_corrections_of_numbers_that_are_not_there_change_nothing() -> None:
    page, true = four_faces()
    assert_boxes(boxes_of(cut(page, CutSettings(drop=(17,), split=(30,), join=((8, 9),)))), true)


def test_the_overlay_marks_every_piece() -> None:
    page, true = four_faces()
    found = cut(page)
    picture = np.asarray(overlay(page, found)).astype(int)
    assert picture.shape == (1000, 1200, 3)
    for x, y, w, h in true:
        edge = picture[y + h // 2, max(0, x - 6) : x + 2]
        assert np.ptp(edge, axis=1).max() > 60  # a coloured line stands left of the box
        assert np.ptp(picture[y + h + 30, x + w // 2]) < 20


def numbers_of(found: Cut) -> dict[int, tuple[int, ...]]:
    """The numbers of every element by the left side of its box."""
    return {piece.box[0]: piece.numbers for piece in found.pieces}


def test_another_gap_later_leaves_every_drawing_that_stays_its_number() -> None:
    page = blank(2000, 700)
    draw_face(page, 100, 200, 300)
    cv2.circle(page, (545, 350), 149, (*BLACK, 255), 5)  # touches the face
    draw_face(page, 1000, 200, 300)
    draw_face(page, 1340, 200, 100)  # close by
    draw_face(page, 1750, 200, 200)
    split = CutSettings(split=(1,))
    assert numbers_of(cut(page, split)) == {100: (4,), 396: (5,), 1000: (2,), 1750: (3,)}
    narrow = CutSettings(gap=20, split=(1,), made=(1, Gap(20)))
    assert numbers_of(cut(page, narrow)) == {100: (4,), 396: (5,), 1000: (6,), 1340: (7,), 1750: (3,)}
    first_narrow = CutSettings(gap=20, split=(1,), made=(Gap(20), 1))
    assert numbers_of(cut(page, first_narrow)) == {100: (6,), 396: (7,), 1000: (4,), 1340: (5,), 1750: (3,)}
    wide_again = CutSettings(gap=60, split=(1,), drop=(7,), made=(Gap(20), 1, Gap(60)))
    assert numbers_of(cut(page, wide_again)) == {100: (6,), 1000: (4, 5), 1750: (3,)}
    back = CutSettings(gap=20, split=(1,), drop=(7,), made=(Gap(20), 1, Gap(60)))
    assert numbers_of(cut(page, back)) == {100: (6,), 1000: (4,), 1340: (5,), 1750: (3,)}
