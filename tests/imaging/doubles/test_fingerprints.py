"""Fingerprints: documented hashes as imagehash has them, codes that turn with the drawing, bytes and back."""

from __future__ import annotations

import imagehash
import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.fingerprints import (
    FINGERPRINT_RECIPE,
    Fingerprint,
    codes_of,
    coefficients_of,
    fingerprint,
    frequencies,
    oriented_codes,
)
from assetlib.imaging.doubles.orientations import ORIENTATIONS
from tests.imaging.art import on_white, van


def test_bytes_and_back() -> None:
    made = fingerprint(van())
    read = Fingerprint.from_bytes(made.to_bytes())
    assert read.recipe == FINGERPRINT_RECIPE
    assert (read.size, read.box, read.ground, read.phash, read.wide_hash) == (
        made.size,
        made.box,
        made.ground,
        made.phash,
        made.wide_hash,
    )
    for name in ("kinds", "coefficients", "portrait", "colours"):
        assert np.array_equal(getattr(read, name), getattr(made, name))
    assert np.allclose(read.boxes, made.boxes, atol=1e-4)
    assert len(made.to_bytes()) < 12_000


@pytest.mark.parametrize("data", [b"", b"nothing of the kind", fingerprint(van()).to_bytes()[:-40]])
def test_other_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match="not a stored fingerprint"):
        Fingerprint.from_bytes(data)


def test_documented_hash_does_not_see_transparency() -> None:
    """imagehash's published behaviour: distance 0 for a copy, small for a resize."""
    drawing = van(2)
    on_paper = fingerprint(on_white(drawing))
    assert fingerprint(drawing).phash == on_paper.phash
    small = Image.fromarray(on_white(drawing)).resize((300, 200), Image.Resampling.BOX)
    assert (fingerprint(np.array(small)).phash ^ on_paper.phash).bit_count() <= 6


def test_documented_hash_is_imagehash_own() -> None:
    full = np.full((128, 128, 4), 255, np.uint8)
    full[:, :, :3] = np.random.default_rng(3).integers(0, 255, (128, 128, 1))
    grey = Image.fromarray(np.ascontiguousarray(full[..., 0]))
    assert fingerprint(full).phash == int(str(imagehash.phash(grey)), 16)


def test_coefficients_by_hand() -> None:
    """A picture that is one cosine across has that one coefficient (type-II transform by its formula)."""
    n = np.arange(32)
    row = 128 + 100 * np.cos(np.pi * (2 * n + 1) * 3 / 64)
    found = coefficients_of(np.tile(row, (32, 1)).astype(np.uint8)[None])[0]
    where = frequencies().tolist().index([0, 3])
    assert int(np.abs(found.astype(int)).argmax()) == where
    assert np.count_nonzero(np.abs(found.astype(int)) > 5) == 1


@pytest.mark.parametrize("o", range(8))
def test_codes_turn_with_the_picture(o: int) -> None:
    picture = np.random.default_rng(o).integers(0, 255, (32, 32)).astype(np.uint8)
    turned = ORIENTATIONS[o].apply(picture)
    expected = codes_of(coefficients_of(turned[None]))
    found = oriented_codes(coefficients_of(picture[None]))[o]
    assert int(np.bitwise_count(expected ^ found).sum()) <= 1


def test_index_finds_a_turned_copy_first(tmp_path) -> None:  # type: ignore[no-untyped-def]
    prints = [fingerprint(van(seed)) for seed in range(30)]
    index = Index(prints)
    copy = fingerprint(np.rot90(van(17)).copy())
    assert int(index.candidates(copy)[0]) == 17
    index.save(tmp_path / "codes.npz")
    assert Index.load(tmp_path / "codes.npz").candidates(copy).tolist() == index.candidates(copy).tolist()


def test_empty_index_finds_nothing() -> None:
    assert len(Index().candidates(fingerprint(van()))) == 0
