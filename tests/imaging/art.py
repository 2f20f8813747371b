"""Drawings made in the test, so that the right answer is known."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray


def van(seed: int = 1, side: int = 400) -> NDArray[np.uint8]:
    """A delivery van in black line on nothing, another one for each seed."""
    rng = np.random.default_rng(seed)
    page = np.zeros((side, side + side // 2, 4), np.uint8)
    ink = (0, 0, 0, 255)
    for _ in range(9):
        points = rng.uniform(0.1, 0.9, (4, 2)) * (page.shape[1], page.shape[0])
        cv2.polylines(page, [points.astype(np.int32)], bool(rng.integers(2)), ink, 5, cv2.LINE_AA)
    for _ in range(3):
        x, y = (rng.uniform(0.2, 0.8, 2) * (page.shape[1], page.shape[0])).astype(int).tolist()
        cv2.circle(page, (x, y), int(rng.integers(side // 14, side // 6)), ink, 5, cv2.LINE_AA)
    return page


def on_white(rgba: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The drawing on opaque white."""
    out = np.full_like(rgba, 255)
    out[..., :3] = 255 - rgba[..., 3:]
    return out


def disc(radius: int, colour: tuple[int, int, int] = (0, 0, 0)) -> NDArray[np.uint8]:
    """A plain disc on nothing."""
    page = np.zeros((300, 300, 4), np.uint8)
    cv2.circle(page, (150, 150), radius, (*colour, 255), -1, cv2.LINE_AA)
    return page
