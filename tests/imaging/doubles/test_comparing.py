"""What the candidates of one drawing are to it: by portraits first, by local features where these leave it open."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.comparing import compare_prints
from assetlib.imaging.doubles.fingerprints import fingerprint
from assetlib.imaging.doubles.matching import DoubleKind
from tests.imaging.art import on_white, van

Pixels = NDArray[np.uint8]


def _kinds(asked: Pixels, library: list[Pixels]) -> dict[int, DoubleKind]:
    prints = {number: fingerprint(drawing) for number, drawing in enumerate(library)}
    return {match.cut_id: match.verdict.kind for match in compare_prints(fingerprint(asked), prints)}


def test_a_small_part_erased_makes_a_family() -> None:
    drawing = van(7)
    altered = drawing.copy()
    cv2.circle(drawing, (500, 320), 40, (0, 0, 0, 255), 5, cv2.LINE_AA)
    cv2.circle(drawing, (500, 320), 22, (0, 0, 0, 255), 5, cv2.LINE_AA)
    assert _kinds(altered, [drawing, van(8)]) == {0: DoubleKind.FAMILY}


def test_a_heavier_line_is_the_same_drawing() -> None:
    drawing = on_white(van(9))
    heavier = np.asarray(cv2.erode(drawing, np.ones((3, 3), np.uint8)), np.uint8)
    assert _kinds(heavier, [drawing]) == {0: DoubleKind.SAME_DRAWING}


def test_turned_by_any_angle_it_is_found_by_features() -> None:
    drawing = on_white(van(11))
    matrix = cv2.getRotationMatrix2D((300, 200), 25, 0.7)
    turned = cv2.warpAffine(drawing, matrix, (600, 400), borderValue=(255, 255, 255, 255))
    kinds = _kinds(np.asarray(turned, np.uint8), [van(12), drawing, van(13)])
    assert set(kinds) == {1}
    assert kinds[1] in {DoubleKind.SAME_DRAWING, DoubleKind.FAMILY}


def test_a_shared_part_alone_makes_no_double() -> None:
    one, other = van(14), van(15)
    shared = van(16, side=160)
    one[220:380, 340:580] = shared
    other[10:170, 20:260] = shared
    assert _kinds(one, [other]) == {}


def test_line_art_of_a_coloured_drawing_makes_a_family() -> None:
    page = np.full((400, 400, 3), 255, np.uint8)
    for colour, points in (
        ((200, 60, 40), [(40, 60), (300, 40), (360, 220), (80, 260)]),
        ((250, 230, 140), [(120, 110), (250, 100), (270, 180), (140, 200)]),
        ((250, 200, 60), [(60, 280), (200, 250), (330, 360), (100, 370)]),
    ):
        cv2.fillPoly(page, [np.array(points, np.int32)], colour, cv2.LINE_AA)
    line = 255 - cv2.dilate(cv2.Canny(page, 40, 110), np.ones((2, 2), np.uint8))
    opaque = np.full(line.shape, 255, np.uint8)
    coloured, bare = np.dstack([page, opaque]), np.dstack([line] * 3 + [opaque])
    assert _kinds(bare, [van(3), coloured]) == {1: DoubleKind.FAMILY}


def test_a_pale_drawing_of_several_pieces_is_found_on_a_sheet() -> None:
    sheet = np.full((900, 1200, 4), 255, np.uint8)
    pale = on_white(van(21))
    pale[..., :3] = 255 - (255 - pale[..., :3]) // 2
    pale[:, 290:310] = 255  # two pieces, that stay one drawing
    for number, (x, y) in enumerate((x, y) for y in (30, 330, 630) for x in (30, 430, 830)):
        drawing = pale if number == 4 else on_white(van(30 + number))
        sheet[y : y + 220, x : x + 330] = cv2.resize(drawing, (330, 220), interpolation=cv2.INTER_AREA)
    assert _kinds(sheet, [pale]) == {0: DoubleKind.CONTAINED}


def test_cut_off_on_every_side_it_is_the_same_drawing() -> None:
    drawing = on_white(van(23))
    rows, columns = np.nonzero(drawing[..., 0] < 200)
    top, bottom, left, right = rows.min(), rows.max(), columns.min(), columns.max()
    y, x = round(0.06 * (bottom - top)), round(0.06 * (right - left))
    middle = drawing[top + y : bottom - y, left + x : right - x].copy()
    match = compare_prints(fingerprint(middle), {1: fingerprint(drawing)}, {1})[0]
    assert match.verdict.kind is DoubleKind.SAME_DRAWING
    assert "cropped" in match.verdict.how


def _sign(inside: int) -> Pixels:
    """A sign: a heavy frame with another figure in it for each number."""
    page = np.full((400, 400, 4), 255, np.uint8)
    cv2.rectangle(page, (20, 20), (380, 380), (0, 0, 0, 255), 14, cv2.LINE_AA)
    cv2.rectangle(page, (50, 50), (350, 350), (0, 0, 0, 255), 6, cv2.LINE_AA)
    points = np.random.default_rng(inside).uniform(110, 290, (5, 2)).astype(np.int32)
    cv2.polylines(page, [points], True, (0, 0, 0, 255), 8, cv2.LINE_AA)
    return page


def test_signs_in_one_frame_are_at_most_perhaps_a_family() -> None:
    kinds = _kinds(_sign(0), [_sign(number) for number in range(1, 8)])
    assert set(kinds.values()) <= {DoubleKind.PERHAPS_FAMILY}
