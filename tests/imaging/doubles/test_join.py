"""The join finds exactly the pairs that comparing everything with everything finds."""

from __future__ import annotations

import numpy as np
import pytest

from assetlib.imaging.doubles.join import near, pairs_within


def _skewed_codes(seed: int, count: int, words: int) -> np.ndarray:
    """Codes with unequal bits, twins and near twins, as drawings have them."""
    rng = np.random.default_rng(seed)
    chance = rng.uniform(0.05, 0.7, 64 * words)
    bits = rng.random((count, 64 * words)) < chance
    bits[: count // 4] = bits[count // 2 : count // 2 + count // 4]
    flips = rng.random((count // 4, 64 * words)) < 0.05
    bits[: count // 4] ^= flips
    bits[:10] = bits[20:30]
    return np.packbits(bits, axis=1).view(np.uint64)


def _all_pairs(codes: np.ndarray, radius: int) -> list[tuple[int, int]]:
    return [
        (i, j)
        for i in range(len(codes))
        for j in range(i + 1, len(codes))
        if int(np.bitwise_count(codes[i] ^ codes[j]).sum()) <= radius
    ]


@pytest.mark.parametrize(("words", "radius"), [(1, 0), (1, 3), (1, 10), (1, 14), (4, 15), (4, 30)])
def test_join_is_exact(words: int, radius: int) -> None:
    codes = _skewed_codes(words + radius, 240, words)
    left, right = pairs_within(codes, radius)
    expected = _all_pairs(codes, radius)
    assert len(expected) >= 10
    assert list(zip(left.tolist(), right.tolist(), strict=True)) == expected


def test_no_codes_and_one_code_have_no_pairs() -> None:
    assert len(pairs_within(np.empty(0, np.uint64), 10)[0]) == 0
    assert len(pairs_within(np.array([5], np.uint64), 10)[0]) == 0


def test_one_against_all_counts_bits() -> None:
    codes = np.array([0b0, 0b1, 0b111, 0xFFFF_FFFF_FFFF_FFFF], dtype=np.uint64)
    assert near(np.array([0], np.uint64), codes, 1).tolist() == [0, 1]
    assert near(np.array([0, 0b111], np.uint64), codes, 1).tolist() == [0, 1, 2]
