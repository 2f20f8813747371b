"""Details of a drawing: codes of its local features and where they are, a few hundred bytes that are searched.

What is cut, turned by any angle, altered or half hidden on a crowded page still has most of its details. Each is
a feature (Lowe 2004) in 128 bits: on which side of as many random planes its description lies (Charikar 2002).
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.normalise import Pixels

MOST_DETAILS = 48
MOST_OF_PAGE = 200
"""Details stored of a drawing and of a crowded page, largest first: these are left when it is reduced."""

SOUGHT_ON_PAGE = 1500
"""Details of a page that are looked for among those of the library."""

SIZE_STEPS = 16
"""Steps of a detail's size to the doubling."""

_SIGMA = 1.2
"""Blur of the first octave: portraits are small and sharp. As much is found as in portraits enlarged twofold, at a
quarter of the cost; measured on openclipart."""

_MOST_SEEN = 300
_CONTRAST = 0.02
_SMALLEST = 160
_BITS = 128
# Mean of the square roots of descriptions, in thousandths, over one half of openclipart.
_MEAN = bytes.fromhex(
    "432e242129201f2884452825372b2d48743923305a3d3748341f1e2f59392e2d5831272831252130ac5531344733315b"
    "9d522f406f4a39504328253b6d432f2d5830212431282731ac5b3133473431559d5039496f402f52432d2f436d3b2528"
    "43281f202921242e84482d2b372528457448373d5a30233a342d2e39592f1e1f"
)


@dataclass(frozen=True, slots=True, eq=False)
class Details:
    """Codes of local features, (D, 2), and their places, (D, 4).

    A place is across, down, size and direction: 255ths of the longer side of the portrait, 16ths of a doubling of
    size against that side from 160 down, 256ths of a turn.
    """

    codes: NDArray[np.uint64]
    spots: NDArray[np.uint8]

    def __len__(self) -> int:
        return len(self.codes)


def find_features(portrait: Pixels, most: int) -> tuple[list[cv2.KeyPoint], NDArray[np.float32]]:
    """Local features of an ink picture and their descriptions (N, 128).

    Looked for in the square root of the ink, where faint lines are nearly as strong as bold ones.
    """
    finder = cv2.SIFT_create(nfeatures=most, sigma=_SIGMA, contrastThreshold=_CONTRAST)  # type: ignore[attr-defined]  # not in OpenCV's stubs
    points, described = finder.detectAndCompute(cv2.LUT(portrait, _roots()), None)
    if described is None:
        return [], np.empty((0, 128), np.float32)
    return list(points), np.asarray(described, np.float32)


def details_of(portrait: Pixels, most: int) -> Details:
    """The details of an ink picture (H, W), largest first."""
    points, described = find_features(portrait, _MOST_SEEN if most <= MOST_DETAILS else SOUGHT_ON_PAGE)
    order = sorted(range(len(points)), key=lambda k: -points[k].size)[:most]
    longest = max(portrait.shape)
    places = np.array([(*points[k].pt, points[k].size, points[k].angle) for k in order], np.float32).reshape(
        -1, 4
    )
    spots = np.stack(
        [
            places[:, 0] * (255 / longest),
            places[:, 1] * (255 / longest),
            _SMALLEST + SIZE_STEPS * np.log2(np.maximum(places[:, 2], 0.1) / longest),
            (places[:, 3] * (256 / 360)) % 256,
        ],
        axis=1,
    )
    return Details(_codes(described[order]), np.clip(np.round(spots), 0, 255).astype(np.uint8))


@lru_cache(maxsize=1)
def _roots() -> Pixels:
    return np.round(255 * np.sqrt(np.arange(256) / 255)).astype(np.uint8)


@lru_cache(maxsize=1)
def _planes() -> NDArray[np.float32]:
    """(128, 128) entries 1 and -1 (Achlioptas 2003), the same on every machine."""
    blocks = [hashlib.sha256(f"assetlib details {k}".encode()).digest() for k in range(_BITS * 128 // 256)]
    bits = np.unpackbits(np.frombuffer(b"".join(blocks), np.uint8)).reshape(128, _BITS)
    return bits.astype(np.float32) * 2 - 1


def _codes(described: NDArray[np.float32]) -> NDArray[np.uint64]:
    total = np.maximum(described.sum(axis=1, keepdims=True), 1)
    away = np.sqrt(described / total) - np.frombuffer(_MEAN, np.uint8).astype(np.float32) / 1000
    return np.packbits(away @ _planes() > 0, axis=1).view(">u8").astype(np.uint64)
