"""The pixel hash knows a picture by its looks."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
from PIL import Image

from assetlib.imaging.formats import read_picture
from assetlib.imaging.pixels import hash_image, hash_pixels, hash_plain, plain_pixels
from tests.imaging.pictures import deep_ramp, draw_on_paper, draw_van, save


def test_hash_is_what_its_description_says() -> None:
    image = Image.new("RGB", (3, 2), (1, 2, 3))
    assert hash_image(image) == hashlib.sha256(b"3x2 RGBA8\n" + bytes((1, 2, 3, 255)) * 6).hexdigest()


def test_same_looks_same_hash_whatever_the_file(tmp_path: Path) -> None:
    hashes = {
        hash_pixels(read_picture(save(draw_on_paper(), tmp_path / f"van{suffix}")))
        for suffix in (".png", ".tif", ".bmp")
    }
    assert hashes == {
        hash_image(draw_on_paper()),
    }


def test_invisible_colour_does_not_count() -> None:
    pixels = np.array(draw_van())
    painted = pixels.copy()
    painted[pixels[:, :, 3] == 0, :3] = (9, 99, 199)
    assert hash_pixels(pixels) == hash_pixels(painted) == hash_image(Image.fromarray(painted))


def test_visible_change_and_shape_count() -> None:
    pixels = np.array(draw_van())
    changed = pixels.copy()
    changed[20, 8, 0] ^= 1
    hashes = {hash_pixels(pixels), hash_pixels(changed), hash_pixels(pixels.reshape(96, 64, 4))}
    assert len(hashes) == 3


def test_large_pictures_hash_as_in_one_piece() -> None:
    pixels = np.random.default_rng(3).integers(0, 256, (1500, 1100, 4), dtype=np.uint8)
    whole = np.where(pixels[:, :, 3:] > 0, pixels, 0).tobytes()
    wanted = hashlib.sha256(b"1100x1500 RGBA8\n" + whole).hexdigest()
    assert hash_pixels(pixels) == hash_image(Image.fromarray(pixels)) == wanted


def test_low_bytes_count_at_sixteen_bits() -> None:
    pixels = deep_ramp(4)
    changed = pixels.copy()
    changed[0, 0, 0] ^= 1
    assert changed[0, 0, 3] > 0
    assert hash_pixels(pixels) != hash_pixels(changed)


def test_plain_pixels_hide_no_colour_and_hash_alike() -> None:
    for image in (draw_van(), draw_on_paper(), draw_on_paper().convert("L"), draw_van().convert("LA")):
        pixels = plain_pixels(image)
        assert pixels.shape == (image.height, image.width, 4)
        assert not pixels[pixels[..., 3] == 0].any()
        assert hash_plain(pixels) == hash_image(image) == hash_pixels(np.array(image.convert("RGBA")))
