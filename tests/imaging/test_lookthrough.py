"""The trained judge of openings: what it is shown, and laws that its verdicts keep."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.body import fill_body
from assetlib.imaging.lookthrough import INNER, SIDE, judge_areas, see_areas
from assetlib.imaging.openings import measure_areas


def scissors() -> NDArray[np.uint8]:
    """A pair of scissors in line: two ring handles, whose holes are open, and two blades, which are not."""
    alpha = np.zeros((420, 400), np.uint8)
    for x, way in ((130, 1), (270, -1)):
        cv2.ellipse(alpha, (x, 330), (55, 65), 0, 0, 360, 255, 4)
        cv2.ellipse(alpha, (x, 330), (35, 45), 0, 0, 360, 255, 4)
        blade = np.array([[x + 10 * way, 268], [x + 110 * way, 30], [x + 60 * way, 268]])
        cv2.polylines(alpha, [blade], True, 255, 4)
    line = np.zeros((420, 400, 4), np.uint8)
    line[..., 3] = alpha
    return line


def test_the_drawing_is_shown_in_the_middle_of_the_square_at_full_size() -> None:
    line = scissors()
    body = fill_body(line)
    labels, _, wanted = measure_areas(line, body)
    picture, places = see_areas(line[..., 3], body, labels, wanted)
    assert picture.shape == (2, SIDE, SIDE)
    rows = np.flatnonzero(picture[1].max(axis=1) > 0)
    assert abs((rows[-1] - rows[0] + 1) - INNER) <= 1
    assert abs(rows[0] - (SIDE - 1 - rows[-1])) <= 1
    assert set(np.unique(places)) == set(range(len(wanted) + 1))


@pytest.mark.parametrize("factor", [1, 2])
def test_ring_handles_are_likelier_open_than_what_the_rings_are_made_of(factor: int) -> None:
    line = cv2.resize(scissors(), None, fx=factor, fy=factor, interpolation=cv2.INTER_LINEAR)
    body = fill_body(line)
    labels, measured, wanted = measure_areas(line, body)
    scores = judge_areas(line[..., 3], body, labels, wanted, measured)
    assert scores.shape == wanted.shape
    scale = labels.shape[0] / 420
    at = {
        name: scores[list(wanted).index(labels[round(y * scale), round(x * scale)])]
        for name, (x, y) in {"hole": (130, 330), "ring": (130, 275)}.items()
    }
    assert at["hole"] > at["ring"]
