"""How vectors lie in the catalogue; apart from what computes them, which a search by words does not need."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

STORED = "<f2"
"""Little-endian float16, half the room of what is searched."""


def packed(vector: NDArray[np.floating]) -> bytes:
    """A vector (D,) as it is kept."""
    return bytes(vector.astype(STORED).tobytes())


def unpacked(rows: Sequence[bytes]) -> NDArray[np.float32]:
    """Kept vectors of one model as float32 (N, D)."""
    joined = np.frombuffer(b"".join(rows), STORED).astype(np.float32)
    return joined.reshape(len(rows), -1) if rows else np.zeros((0, 0), np.float32)
