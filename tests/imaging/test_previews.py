"""Proofs are small and on paper white."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.previews import PROOF_SIDE, encode_pixels, encode_proof, reduce_image, reduce_pixels
from tests.imaging.pictures import draw_on_paper, draw_van


@pytest.mark.parametrize(
    ("size", "wanted"),
    [((2000, 1000), (512, 256)), ((300, 900), (171, 512)), ((96, 64), (96, 64)), ((9000, 2), (512, 1))],
)
def test_longest_side_is_bounded(size: tuple[int, int], wanted: tuple[int, int]) -> None:
    data = encode_proof(reduce_image(Image.new("RGBA", size, "white")))
    assert Image.open(io.BytesIO(data)).size == wanted
    assert max(wanted) <= PROOF_SIDE


def test_transparent_ground_becomes_paper_white() -> None:
    data = encode_proof(draw_van())
    proof = np.array(Image.open(io.BytesIO(data)))
    assert proof.shape == (64, 96, 3)
    assert np.abs(proof.astype(int) - np.array(draw_on_paper())).mean() < 3


def test_colour_hidden_under_zero_alpha_never_shows() -> None:
    pixels = np.array(draw_van((1600, 1200)))
    pixels[pixels[:, :, 3] == 0, :3] = (255, 0, 255)
    data = encode_pixels(reduce_pixels(pixels))
    clean = encode_pixels(reduce_pixels(np.array(draw_van((1600, 1200)))))
    shown, wanted = (np.array(Image.open(io.BytesIO(part))).astype(int) for part in (data, clean))
    assert np.abs(shown - wanted).max() <= 2


def test_small_pictures_are_left_as_they_are() -> None:
    image = draw_van()
    assert reduce_image(image) is image


def test_edges_are_not_tinted_by_what_is_hidden() -> None:
    pixels = np.array(draw_van((1600, 1200)))
    pixels[pixels[:, :, 3] == 0, :3] = (255, 0, 255)
    clean = reduce_pixels(np.array(draw_van((1600, 1200))))
    reduced = reduce_pixels(pixels)
    seen = reduced[..., 3] > 0
    assert reduced.shape == (384, 512, 4)
    assert (reduced[seen] == clean[seen]).all()
