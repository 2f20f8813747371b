"""Doubles are told apart by what was done to them; unrelated drawings are left alone."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.fingerprints import fingerprint
from assetlib.imaging.judging import compare
from assetlib.imaging.matching import Kind
from tests.imaging.art import disc, on_white, van

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
    assert verdict.kind is Kind.SAME_PICTURE
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
    assert verdict.kind is Kind.SAME_DRAWING
    assert verdict.how[: len(how)] == how


def test_crop_is_named() -> None:
    drawing = van(5)
    xs = np.nonzero(drawing[..., 3])[1]
    cut = xs.max() - int(0.1 * (xs.max() - xs.min()))
    verdict = compare(fingerprint(drawing), fingerprint(drawing[:, :cut].copy()))
    assert verdict is not None
    assert verdict.kind is Kind.SAME_DRAWING
    assert "cropped" in verdict.how


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
    assert verdict.kind is Kind.CONTAINED
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
    assert verdict is None or verdict.kind is not Kind.SAME_PICTURE


def test_another_colour_is_not_the_same_picture() -> None:
    drawing = disc(100, (200, 30, 30))
    verdict = compare(fingerprint(drawing), fingerprint(disc(100, (30, 160, 30))))
    assert verdict is None or verdict.kind is Kind.PERHAPS_FAMILY


def test_plain_discs_are_at_most_perhaps_family() -> None:
    turned = compare(fingerprint(disc(60, (10, 10, 10))), fingerprint(disc(120, (90, 20, 20))))
    assert turned is None or turned.kind is Kind.PERHAPS_FAMILY


def test_an_empty_page_is_nothing_to_anything() -> None:
    empty = fingerprint(np.zeros((200, 200, 4), np.uint8))
    assert empty.empty
    assert compare(empty, empty) is None
    assert compare(empty, fingerprint(van())) is None
