"""The hash that others can compute: as imagehash has it, near for copies, far for other drawings."""

from __future__ import annotations

from pathlib import Path

import imagehash
import numpy as np
import pytest
from PIL import Image, ImageChops

from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.documented import read_hash, recognised, words_of
from assetlib.imaging.doubles.fingerprints import fingerprint
from tests.imaging.pictures import draw_on_paper, draw_van


def by_hand(picture: Image.Image, side: int) -> str:
    """What somebody with Pillow and imagehash alone makes of a picture on white paper."""
    grey = picture.convert("L")
    box = ImageChops.invert(grey).point(lambda level: 255 * (level > 32)).getbbox()
    assert box is not None
    return str(imagehash.phash(grey.crop(box), hash_size=side))


def held(*pictures: Image.Image) -> np.ndarray:
    prints = [fingerprint(np.array(picture.convert("RGBA"))) for picture in pictures]
    return np.stack([words_of(made.phash, made.wide_hash) for made in prints])


@pytest.mark.parametrize("side", [8, 16])
def test_somebody_without_assetlib_comes_to_a_near_hash(side: int) -> None:
    asked = read_hash(by_hand(draw_on_paper((960, 640)), side))
    assert asked is not None
    assert list(recognised(asked, held(draw_van((960, 640))))) == [0]


def test_the_nearest_comes_first_and_others_not_at_all() -> None:
    van = draw_on_paper((960, 640))
    other = van.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    small = van.resize((240, 160))
    words = held(other, small, van)
    assert list(recognised(words[2], words)) == [2, 1]
    assert recognised(words[2], words)[2] == 0


@pytest.mark.parametrize("text", ["", "van.png", "a" * 15, "g" * 16, "a" * 17, "0x" + "a" * 16, "a" * 63])
def test_what_is_no_hash_is_none(text: str) -> None:
    assert read_hash(text) is None


def test_hashes_are_read_as_imagehash_writes_them() -> None:
    made = imagehash.phash(draw_on_paper(), hash_size=16)
    words = read_hash(f" {str(made).upper()}\n")
    assert words is not None
    bits = np.unpackbits(words.astype(">u8").view(np.uint8)).astype(bool)
    assert (bits == made.hash.reshape(-1)).all()


def test_nothing_held_is_nothing_found() -> None:
    assert recognised(np.zeros(4, np.uint64), np.zeros((0, 5), np.uint64)) == {}


def test_what_is_recognised_is_kept_with_the_searched_file(tmp_path: Path) -> None:
    van = draw_on_paper((960, 640))
    prints = [fingerprint(np.array(p.convert("RGBA"))) for p in (van, Image.new("L", (90, 60), 255), van)]
    index, asked = Index(prints), words_of(prints[0].phash, prints[0].wide_hash)
    index.save(tmp_path / "1.npz")
    assert Index.load(tmp_path / "1.npz").recognised(asked) == index.recognised(asked) == {0: 0, 2: 0}
    assert Index([]).recognised(asked) == {}
