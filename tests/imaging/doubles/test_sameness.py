"""Only what shows the same everywhere is confirmed as the same picture."""

from __future__ import annotations

import io
from collections.abc import Callable

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.doubles.sameness import confirm_same_picture
from tests.imaging.art import on_white, van

Pixels = NDArray[np.uint8]


def _shop(pips: int = 3, wall: tuple[int, int, int] = (214, 120, 60)) -> Pixels:
    """A shop front in colour with a number of loaves on its sign."""
    page = np.zeros((420, 520, 4), np.uint8)
    cv2.rectangle(page, (60, 60), (460, 380), (*wall, 255), -1)
    cv2.rectangle(page, (60, 60), (460, 380), (20, 20, 20, 255), 6)
    cv2.rectangle(page, (100, 200), (240, 380), (90, 140, 190, 255), -1)
    for pip in range(pips):
        cv2.circle(page, (120 + 60 * pip, 120), 18, (250, 230, 160, 255), -1, cv2.LINE_AA)
    return page


def _jpeg(picture: Pixels) -> Pixels:
    out = io.BytesIO()
    alpha = picture[..., 3:] / 255
    flat = picture[..., :3] * alpha + 255 * (1 - alpha)
    Image.fromarray(flat.astype(np.uint8)).save(out, "JPEG", quality=60)
    return np.array(Image.open(out).convert("RGBA"))


def _half(picture: Pixels) -> Pixels:
    return np.asarray(cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), np.uint8)


def _padded(picture: Pixels) -> Pixels:
    return np.pad(picture, ((33, 90), (10, 71), (0, 0)))


@pytest.mark.parametrize("change", [np.copy, _jpeg, _half, _padded])
def test_a_copy_is_confirmed(change: Callable[[Pixels], Pixels]) -> None:
    assert confirm_same_picture(_shop(), change(_shop()))


@pytest.mark.parametrize("change", [np.copy, on_white, _padded])
def test_a_copy_of_a_line_drawing_is_confirmed(change: Callable[[Pixels], Pixels]) -> None:
    assert confirm_same_picture(van(3), change(van(3)))


@pytest.mark.parametrize(
    "other",
    [
        _shop(pips=4),
        _shop(wall=(120, 214, 60)),
        _shop(wall=(184, 100, 50)),
        _shop()[:, ::-1],
    ],
    ids=["one loaf more", "another hue", "darker", "mirrored"],
)
def test_a_sibling_is_not(other: Pixels) -> None:
    assert not confirm_same_picture(_shop(), np.ascontiguousarray(other))
    assert not confirm_same_picture(np.ascontiguousarray(other), _shop())


def test_another_ink_is_not() -> None:
    blue = van(5)
    blue[..., 2] = 90
    assert not confirm_same_picture(van(5), blue)


def test_hard_black_and_white_is_not() -> None:
    hard = on_white(van(6))
    hard[..., :3] = np.where(hard[..., :3] > 127, 255, 0)
    assert not confirm_same_picture(van(6), hard)


def test_empty_pages_are_nothing_to_each_other() -> None:
    empty = np.zeros((80, 80, 4), np.uint8)
    assert not confirm_same_picture(empty, empty)
