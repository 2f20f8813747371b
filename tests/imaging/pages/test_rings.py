"""Rings of cups are found by their circle, and nothing else is taken for one."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.pages.rings import find_rings

COFFEE = np.array((0.36, 0.5, 0.66), np.float32)  # share of red, green and blue that lacks
RED = np.array((0.3, 0.85, 0.85), np.float32)
INK = np.array((0.9, 0.9, 0.88), np.float32)


def arc(degrees: int, wide: int = 6) -> NDArray[np.float32]:
    """Part of a circle around the middle of a page of 600 x 800."""
    mask = np.zeros((600, 800), np.float32)
    cv2.ellipse(mask, (400, 300), (70, 70), 0, 0, degrees, 1.0, wide, cv2.LINE_AA)
    return mask


@pytest.mark.parametrize("degrees", [360, 200, 130])
def test_a_ring_or_a_good_part_of_one_is_found(degrees: int) -> None:
    mask = arc(degrees)
    found = find_rings(0.5 * mask[..., None] * COFFEE)
    assert found[mask > 0.5].mean() > 0.9
    assert found[mask == 0].mean() < 0.02


def test_a_ring_across_a_drawing_leaves_the_drawing() -> None:
    mask = arc(360)
    drawn = np.zeros((600, 800), np.float32)
    cv2.line(drawn, (300, 300), (600, 310), 1.0, 8)
    missing = np.maximum(0.5 * mask[..., None] * COFFEE, drawn[..., None] * INK)
    found = find_rings(missing)
    assert found[(mask > 0.5) & (drawn == 0)].mean() > 0.85
    assert found[drawn > 0].mean() < 0.1


@pytest.mark.parametrize(
    ("colour", "shape"),
    [(INK, "circle"), (RED, "circle"), (0.5 * COFFEE, "disc"), (0.5 * COFFEE, "box")],
    ids=["black circle", "red circle", "brown disc", "brown box"],
)  # fmt: skip
def test_what_is_drawn_is_no_ring(colour: NDArray[np.float32], shape: str) -> None:
    mask = np.zeros((600, 800), np.float32)
    if shape == "box":
        cv2.rectangle(mask, (250, 250), (550, 350), 1.0, 6)
    else:
        cv2.circle(mask, (400, 300), 70, 1.0, -1 if shape == "disc" else 6, cv2.LINE_AA)
    assert not find_rings(mask[..., None] * colour).any()
