from __future__ import annotations

import numpy as np
import pytest

from assetlib.vectors.crop import SIDE, crop_to_ink


def sheet(height: int, width: int, box: tuple[int, int, int, int], alpha: bool) -> np.ndarray:
    """A dark block on white paper, or on empty ground."""
    picture = np.full((height, width, 4), 255, np.uint8)
    if alpha:
        picture[:] = (40, 40, 40, 0)
    left, top, right, bottom = box
    picture[top:bottom, left:right] = (40, 40, 40, 255)
    return picture


@pytest.mark.parametrize("alpha", [False, True])
def test_ink_fills_the_square_up_to_the_margin_wherever_it_stood(alpha: bool) -> None:
    near = crop_to_ink(sheet(300, 400, (10, 10, 110, 60), alpha))
    far = crop_to_ink(sheet(900, 800, (500, 700, 600, 750), alpha))
    assert near.shape == (SIDE, SIDE, 3)
    assert np.abs(near.astype(int) - far.astype(int)).max() < 8
    dark = np.flatnonzero((near < 128).all(2).any(0))
    assert 0.85 * SIDE < dark[-1] - dark[0] < 0.92 * SIDE


def test_the_shape_is_kept() -> None:
    dark = (crop_to_ink(sheet(300, 300, (50, 50, 250, 100), True)) < 128).all(2)
    assert dark.any(0).sum() / dark.any(1).sum() == pytest.approx(4, rel=0.05)


def test_colour_under_zero_alpha_does_not_show() -> None:
    assert (crop_to_ink(sheet(50, 50, (10, 10, 20, 20), True))[0, 0] == 255).all()


@pytest.mark.parametrize("alpha", [0, 255])
def test_a_blank_sheet_stays_blank(alpha: int) -> None:
    assert (crop_to_ink(np.full((40, 60, 4), (255, 255, 255, alpha), np.uint8)) == 255).all()


def test_a_single_dot_and_a_huge_sheet_are_cropped_too() -> None:
    assert (crop_to_ink(sheet(30, 30, (5, 5, 6, 6), False)) < 200).any()
    assert (crop_to_ink(sheet(5000, 300, (20, 100, 280, 4900), False)) < 200).any()
