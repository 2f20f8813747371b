"""Rulers along a picture: its pixels stay, and ticks stand where their pixels are."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.rulers import TICK, with_rulers

BLUE = (10, 20, 200)


@pytest.mark.parametrize("size", [(90, 60), (600, 500), (500, 2400), (3000, 20)])
def test_rulers_stand_beside_the_picture_and_count_its_pixels(size: tuple[int, int]) -> None:
    ruled = np.array(with_rulers(Image.new("RGB", size, BLUE)))
    rows, columns = np.nonzero((ruled == BLUE).all(axis=2))
    top, left = rows.min(), columns.min()
    assert (columns.max() - left + 1, rows.max() - top + 1) == size
    above = np.flatnonzero((ruled[top - 1, left:] == TICK).all(axis=1))
    beside = np.flatnonzero((ruled[top:, left - 1] == TICK).all(axis=1))
    assert above[0] == beside[0] == 0
    apart = 1 + int(np.argmax(np.diff(above) > 1)) if len(above) > 1 else 1
    step = int(above[apart] - above[0]) if len(above) > apart else 10
    assert str(step).strip("0") in ("1", "2", "5")
    first = above[:: max(1, apart)]
    assert (first % step == 0).all()
    assert (beside[:: max(1, apart)] % step == 0).all()
    assert first[-1] + step >= size[0]
