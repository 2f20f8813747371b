"""The eight ways a sheet of paper can lie: four turns, each mirrored or not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Level = TypeVar("Level", bound=np.generic)


@dataclass(frozen=True, slots=True)
class Orientation:
    """A picture is first transposed, then flipped left to right, then top to bottom."""

    transpose: bool
    flip_x: bool
    flip_y: bool
    how: tuple[str, ...]
    """What was done to the picture, turns anticlockwise."""

    def apply(self, picture: NDArray[Level]) -> NDArray[Level]:
        """The picture (H, W) or (H, W, C) laid this way."""
        if self.transpose:
            picture = picture.swapaxes(0, 1)
        if self.flip_x:
            picture = picture[:, ::-1]
        if self.flip_y:
            picture = picture[::-1]
        return np.ascontiguousarray(picture)


ORIENTATIONS = (
    Orientation(False, False, False, ()),
    Orientation(False, True, False, ("mirrored",)),
    Orientation(False, True, True, ("turned 180",)),
    Orientation(False, False, True, ("mirrored", "turned 180")),
    Orientation(True, False, True, ("turned 90",)),
    Orientation(True, True, False, ("turned 270",)),
    Orientation(True, False, False, ("mirrored", "turned 90")),
    Orientation(True, True, True, ("mirrored", "turned 270")),
)


def frequency_moves(frequencies: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int8]]:
    """For each orientation, where its cosine coefficients come from and with which sign.

    ``frequencies`` is (K, 2), rows (down, across), and holds (v, u) wherever it holds (u, v). Returns
    an index (8, K) and a sign (8, K): the oriented picture's coefficient k is sign * original[index].
    A flip negates the odd frequencies along its axis; a transpose swaps the two.
    """
    place = {(int(u), int(v)): k for k, (u, v) in enumerate(frequencies)}
    index = np.empty((8, len(frequencies)), dtype=np.int64)
    sign = np.empty((8, len(frequencies)), dtype=np.int8)
    for o, orientation in enumerate(ORIENTATIONS):
        for k, (down, across) in enumerate(frequencies.tolist()):
            index[o, k] = place[(across, down)] if orientation.transpose else k
            odd = (across if orientation.flip_x else 0) + (down if orientation.flip_y else 0)
            sign[o, k] = -1 if odd % 2 else 1
    return index, sign
