"""Cutouts keep their colours and their edges at another size."""

from __future__ import annotations

import numpy as np
import pytest

from assetlib.imaging.layering.elements import Cutout, emptier_side, scaled


def striped(colours: list[tuple[int, int, int]]) -> Cutout:
    """Bars of colours on nothing, each 40 pixels wide, with nothing between them."""
    ink = np.zeros((120, 80 * len(colours), 4), np.uint8)
    for place, colour in enumerate(colours):
        ink[20:100, 80 * place + 20 : 80 * place + 60] = (*colour, 255)
    return Cutout(ink, ink[..., 3].copy())


@pytest.mark.parametrize("share", [0.3, 0.5, 1.0])
@pytest.mark.parametrize("colours", [[(0, 0, 0)], [(200, 30, 40)], [(200, 30, 40), (10, 90, 220)]])
def test_no_dark_rim_comes_from_what_is_see_through(
    colours: list[tuple[int, int, int]], share: float
) -> None:
    cutout = striped(colours)
    small = scaled(cutout, (round(80 * len(colours) * share), round(120 * share)))
    assert small.ink.shape[:2] == small.body.shape == (round(120 * share), round(80 * len(colours) * share))
    for place, colour in enumerate(colours):
        part = small.ink[:, round(80 * place * share) : round(80 * (place + 1) * share)]
        seen = part[part[..., 3] > 60][:, :3].astype(int)
        assert len(seen)
        assert np.abs(seen - np.array(colour)).max() <= 8
    assert small.ink[..., 3].max() == 255
    assert small.ink[..., 3].min() == 0


def test_a_mirrored_cutout_is_the_other_way_round() -> None:
    cutout = striped([(200, 30, 40), (10, 90, 220)])
    turned = scaled(cutout, cutout.size, mirrored=True)
    assert np.array_equal(turned.ink, cutout.ink[:, ::-1])
    assert np.array_equal(turned.body, cutout.body[:, ::-1])


def test_the_emptier_half_of_a_backdrop_is_told_where_it_is_clearly_emptier() -> None:
    page = np.zeros((200, 300, 4), np.uint8)
    page[60:140, 200:290:10, 3] = 255
    assert emptier_side(page) == "left"
    assert emptier_side(page[:, ::-1]) == "right"
    assert emptier_side(np.maximum(page, page[:, ::-1])) == ""
    assert emptier_side(np.zeros((1, 1, 4), np.uint8)) == ""
