"""The hash that others can compute too: imagehash's pHash of the drawing, trimmed to its ink, on white, in grey.

Whoever has no more than this hash of a picture can ask whether the library holds it: `imagehash.phash(picture)`, 64
bits or 16 hexadecimal digits, and `imagehash.phash(picture, hash_size=16)`, 256 bits or 64 digits. It knows drawings
as they lie; mirrored, turned and cropped ones are found by the codes of `fingerprints`, not by it.
"""

from __future__ import annotations

import re

import cv2
import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.uint64]
"""The 256 bits as four words, then the 64 bits as one: (5,), or (N, 5) of many drawings."""

NEAR = {64: 6, 256: 40}
"""Bits that may differ between hashes of so many bits. Tuned on openclipart: of 150 copies that were compressed, made
smaller, padded, scanned, recoloured or drawn heavier 94 % and 97 % stay within; of 303,810 pairs of drawings, true
doubles among them, 26 and 30 do."""

_WIDE, _SHORT = slice(0, 4), slice(4, 5)
_PART = {64: _SHORT, 256: _WIDE}


def take_hashes(rgb: NDArray[np.uint8]) -> tuple[int, bytes]:
    """imagehash's 64 bits as a number and 256 bits as 32 bytes, of a drawing (H, W, 3) that is trimmed and on white."""
    import imagehash
    from PIL import Image

    # reduced by the caller: imagehash's own filter is slow on larger pictures
    grey = Image.fromarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY))
    short, wide = imagehash.phash(grey), imagehash.phash(grey, hash_size=16)
    return int(str(short), 16), np.packbits(wide.hash).tobytes()


def words_of(phash: int, wide_hash: bytes) -> Words:
    """Both hashes of one drawing as words, (5,)."""
    return np.append(np.frombuffer(wide_hash, ">u8").astype(np.uint64), np.uint64(phash))


def read_hash(text: str) -> Words | None:
    """A hash as imagehash writes it, one word or four; None for anything else."""
    digits = text.strip().lower()
    if not re.fullmatch(r"[0-9a-f]{16}|[0-9a-f]{64}", digits):
        return None
    return np.frombuffer(bytes.fromhex(digits), ">u8").astype(np.uint64)


def recognised(asked: Words, held: Words) -> dict[int, int]:
    """Numbers of the drawings held (N, 5) that are near a hash, and how many bits apart, nearest first.

    The hash has one word, or four, or all five; then the longer is asked.
    """
    bits = 64 * min(len(asked), 4)
    apart = np.bitwise_count(held[:, _PART[bits]] ^ asked[: bits // 64]).sum(axis=1)
    near = np.flatnonzero(apart <= NEAR[bits])
    return {int(k): int(apart[k]) for k in near[np.argsort(apart[near], kind="stable")]}
