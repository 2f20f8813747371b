"""Doubles are told apart by what was done to them; unrelated drawings are left alone."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.doubles.fingerprints import fingerprint
from assetlib.imaging.doubles.judging import compare
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.formats import read_picture
from demo_assets import sheets
from tests.imaging.art import disc, on_white, van

VAN_SHEET = Path(sheets.__file__).parent / "sheets" / sheets.VAN.file
Pixels = NDArray[np.uint8]


def _padded(picture: Pixels) -> Pixels:
    return np.pad(picture, ((40, 90), (10, 70), (0, 0)))


def _half(picture: Pixels) -> Pixels:
    return np.asarray(cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), np.uint8)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(
    ("change", "how"),
    [(on_white, "other ground"), (_padded, "padded"), (_half, "resized"), (np.copy, "re-encoded")],
)
def test_same_picture(seed: int, change: object, how: str) -> None:
    drawing = van(seed)
    verdict = compare(fingerprint(drawing), fingerprint(change(drawing)))  # type: ignore[operator]
    assert verdict is not None
    assert verdict.kind is DoubleKind.SAME_PICTURE
    assert how in verdict.how


@pytest.mark.parametrize(
    ("turns", "mirrored", "how"),
    [
        (0, True, ("mirrored",)),
        (1, False, ("turned 90",)),
        (2, False, ("turned 180",)),
        (3, False, ("turned 270",)),
        (1, True, ("mirrored", "turned 90")),
    ],
)
def test_orientation_is_named(turns: int, mirrored: bool, how: tuple[str, ...]) -> None:
    drawing = van(4)
    laid = np.rot90(drawing[:, ::-1] if mirrored else drawing, turns).copy()
    verdict = compare(fingerprint(drawing), fingerprint(laid))
    assert verdict is not None
    assert verdict.kind is DoubleKind.SAME_DRAWING
    assert verdict.how[: len(how)] == how


def test_crop_is_named() -> None:
    drawing = van(5)
    xs = np.nonzero(drawing[..., 3])[1]
    cut = xs.max() - int(0.1 * (xs.max() - xs.min()))
    verdict = compare(fingerprint(drawing), fingerprint(drawing[:, :cut].copy()))
    assert verdict is not None
    assert verdict.kind is DoubleKind.SAME_DRAWING
    assert "cropped" in verdict.how


def _hard(picture: Pixels) -> Pixels:
    light = np.where(picture[..., 3:] > 0, picture[..., :3], 255).min(axis=2, keepdims=True) > 140
    return np.dstack([np.repeat(light, 3, axis=2) * 255, np.full(light.shape, 255)]).astype(np.uint8)


def _blue(picture: Pixels) -> Pixels:
    return np.dstack([np.full((*picture.shape[:2], 3), (20, 60, 150)), picture[..., 3]]).astype(np.uint8)


def _heavy(picture: Pixels) -> Pixels:
    white = on_white(picture)
    return np.asarray(cv2.erode(white, np.ones((3, 3), np.uint8)), np.uint8)


@pytest.mark.parametrize(
    ("change", "how"), [(_hard, "black and white"), (_blue, "recoloured"), (_heavy, "line weight")]
)
@pytest.mark.parametrize("seed", range(3))
def test_what_was_done_to_the_whole_drawing_is_named(seed: int, change: object, how: str) -> None:
    drawing = van(seed)
    verdict = compare(fingerprint(drawing), fingerprint(change(drawing)))  # type: ignore[operator]
    assert verdict is not None
    assert verdict.kind is DoubleKind.SAME_DRAWING
    assert how in verdict.how


def test_grey_areas_made_black_or_white_are_no_alteration() -> None:
    drawing = on_white(van(2))
    cv2.ellipse(drawing, (200, 60), (60, 30), 0, 0, 360, (190, 190, 190, 255), -1)
    cv2.ellipse(drawing, (80, 60), (40, 30), 0, 0, 360, (90, 90, 90, 255), -1)
    verdict = compare(fingerprint(drawing), fingerprint(_hard(drawing)))
    assert verdict is not None
    assert (verdict.kind, verdict.how) == (DoubleKind.SAME_DRAWING, ("black and white",))


@pytest.mark.parametrize("redrawn", [False, True])
def test_what_was_done_to_a_part_is_named(redrawn: bool) -> None:
    drawing = on_white(van(6))
    for k in range(8):  # luggage on the roof
        cv2.rectangle(drawing, (60 + 30 * k, 30), (84 + 30 * k, 60 + 3 * k), (0, 0, 0, 255), 3)
    altered = drawing.copy()
    altered[20:95, 50:180] = 255
    if redrawn:
        cv2.polylines(
            altered, [np.array([[60, 85], [90, 30], [120, 80], [160, 35]])], False, (0, 0, 0, 255), 4
        )
    verdict = compare(fingerprint(drawing), fingerprint(altered))
    assert verdict is not None
    assert (verdict.kind, verdict.how) == (DoubleKind.FAMILY, ("redrawn" if redrawn else "erased",))


def test_where_it_stands_on_a_sheet() -> None:
    sheet = np.full((1000, 1400, 4), 255, np.uint8)
    spots = [(40, 40), (540, 40), (1000, 40), (40, 520), (540, 520), (1000, 520)]
    boxes = []
    for seed, (x, y) in enumerate(spots, start=10):
        small = on_white(cv2.resize(van(seed), (390, 260), interpolation=cv2.INTER_AREA))
        sheet[y : y + 260, x : x + 390] = small
        ys, xs = np.nonzero(small[..., 0] < 200)
        boxes.append((x + xs.min(), y + ys.min(), x + xs.max(), y + ys.max()))
    verdict = compare(fingerprint(van(13)), fingerprint(sheet))
    assert verdict is not None
    assert verdict.kind is DoubleKind.CONTAINED
    assert verdict.box is not None
    assert np.abs(np.subtract(verdict.box, boxes[3])).max() < 12


def test_unrelated_drawings_are_nothing_to_each_other() -> None:
    prints = [fingerprint(van(seed)) for seed in range(20, 32)]
    found = [compare(a, b) for i, a in enumerate(prints) for b in prints[:i]]
    assert found == [None] * len(found)


def test_one_changed_block_is_not_the_same_picture() -> None:
    drawing = van(6)
    other = drawing.copy()
    cv2.rectangle(other, (200, 150), (240, 190), (0, 0, 0, 255), -1)
    verdict = compare(fingerprint(drawing), fingerprint(other))
    assert verdict is None or verdict.kind is not DoubleKind.SAME_PICTURE


def test_another_colour_is_not_the_same_picture() -> None:
    drawing = disc(100, (200, 30, 30))
    verdict = compare(fingerprint(drawing), fingerprint(disc(100, (30, 160, 30))))
    assert verdict is None or verdict.kind is DoubleKind.PERHAPS_FAMILY


def test_plain_discs_are_at_most_perhaps_family() -> None:
    turned = compare(fingerprint(disc(60, (10, 10, 10))), fingerprint(disc(120, (90, 20, 20))))
    assert turned is None or turned.kind is DoubleKind.PERHAPS_FAMILY


def test_an_empty_page_is_nothing_to_anything() -> None:
    empty = fingerprint(np.zeros((200, 200, 4), np.uint8))
    assert empty.empty
    assert compare(empty, empty) is None
    assert compare(empty, fingerprint(van())) is None


def test_hairlines_hold_a_drawing_together_on_a_sheet_of_heavy_ones() -> None:
    pale = np.full((200, 260, 4), 255, np.uint8)
    for box in ((10, 10, 250, 190), (30, 60, 110, 170), (130, 90, 230, 170)):
        cv2.rectangle(pale, box[:2], box[2:], (0, 0, 0, 255), 1)
    cv2.ellipse(pale, (190, 45), (30, 20), 0, 0, 360, (0, 0, 0, 255), 6)
    sheet = np.full((900, 1200, 4), 255, np.uint8)
    for place, seed in enumerate(range(20, 31)):
        y, x = 20 + 300 * (place // 4), 20 + 300 * (place % 4)
        black = cv2.erode(on_white(van(seed)), np.ones((9, 9), np.uint8))
        sheet[y : y + 160, x : x + 240] = cv2.resize(black, (240, 160), interpolation=cv2.INTER_AREA)
    sheet[640:840, 920:1180] = pale
    found = fingerprint(sheet).boxes * (1200, 900, 1200, 900)
    assert np.abs(found - (930, 650, 1171, 831)).max(axis=1).min() < 8


def _van_frame(number: int) -> Pixels:
    """A frame of the demo's van sheet, without its border."""
    sheet = read_picture(VAN_SHEET)
    left, top, wide, high = sheets.VAN.frames[number]
    return sheet[top + 14 : top + high - 14, left + 14 : left + wide - 14].copy()


def test_other_people_in_one_car_are_family() -> None:
    two_shot, asleep = (fingerprint(_van_frame(number)) for number in (0, 2))
    verdict = compare(two_shot, asleep)
    assert verdict is not None
    assert (verdict.kind, verdict.how) == (DoubleKind.FAMILY, ("redrawn",))


@pytest.mark.parametrize("angle", [3, -3])
def test_turned_a_little_is_not_cropped(angle: int) -> None:
    drawing = _van_frame(0)
    high, wide = drawing.shape[:2]
    turn = cv2.getRotationMatrix2D((wide / 2, high / 2), angle, 1)
    turned = cv2.warpAffine(drawing, turn, (wide, high), borderValue=(255, 255, 255, 255))
    verdict = compare(fingerprint(drawing), fingerprint(np.asarray(turned, np.uint8)))
    assert verdict is not None
    assert (verdict.kind, verdict.how) == (DoubleKind.SAME_DRAWING, ("turned",))


def test_other_arms_and_no_tray_are_a_family_and_no_line_weight() -> None:
    folder = VAN_SHEET.parents[1] / "singles"
    one, other = (
        fingerprint(read_picture(folder / name)) for name in ("baker w tray 07.png", "baker no tray 07b.png")
    )
    for a, b in ((one, other), (other, one)):
        verdict = compare(a, b)
        assert verdict is not None
        assert verdict.kind is DoubleKind.FAMILY
        assert "line weight" not in verdict.how
