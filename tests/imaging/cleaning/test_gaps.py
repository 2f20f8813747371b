"""Areas that only a gap in the line between them joins are two; a band that is narrow in one place is one."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.gaps import part_at_gaps

Picture = NDArray[np.uint8]
PEN = 4.0


def ring(gap: float) -> NDArray[np.bool_]:
    """Two circles, the inner one open by so many degrees; bool (400, 400)."""
    line = np.zeros((400, 400), np.uint8)
    cv2.circle(line, (200, 200), 180, 1, 4)
    cv2.ellipse(line, (200, 200), (120, 120), 0, gap, 360, 1, 4)
    return line > 0


def parts(line: NDArray[np.bool_]) -> NDArray[np.int32]:
    outside = line.astype(np.uint8)
    cv2.floodFill(outside, None, (0, 0), 2)
    return part_at_gaps((outside == 0), line, PEN)


@pytest.mark.parametrize("gap", [0, 4, 8])
def test_the_hole_of_a_ring_is_parted_from_its_rim_where_the_inner_line_has_a_gap(gap: float) -> None:
    labels = parts(ring(gap))
    hole, rim = labels[200, 200], labels[200, 50]
    assert hole != rim
    assert min(hole, rim) > 0
    assert (labels == hole).sum() == pytest.approx(np.pi * 118**2, rel=0.05)


def test_a_wide_opening_joins_two_rooms() -> None:
    labels = parts(ring(60))
    assert labels[200, 200] == labels[200, 50]


def test_a_band_that_is_narrow_in_one_place_stays_one() -> None:
    line = np.zeros((400, 400), np.uint8)
    cv2.polylines(line, [np.array([(40, 150), (190, 150), (200, 190), (210, 150), (360, 150)])], False, 1, 4)
    cv2.polylines(line, [np.array([(40, 250), (190, 250), (200, 206), (210, 250), (360, 250)])], False, 1, 4)
    cv2.line(line, (40, 150), (40, 250), 1, 4)
    cv2.line(line, (360, 150), (360, 250), 1, 4)
    labels = parts(line > 0)
    assert labels[200, 80] == labels[200, 320] > 0
