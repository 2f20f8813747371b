"""A made page before it is seen: what is drawn, what lies on it, and what each of its pixels is."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Labels = NDArray[np.uint8]
Rng = np.random.Generator

HEIGHT, WIDTH = 768, 1024
PAPER, INK, PRINT, SOIL, SPECK, OFF, UNDER = range(7)
UNSURE = 255  # as a label: the soft edge of a line, which counts as neither


class Sheet:
    """A page in the making: `light` float32 (H, W, 3) lets back; `label` uint8 (H, W) what each pixel is."""

    def __init__(self, rng: Rng) -> None:
        self.rng = rng
        self.ink = np.ones((HEIGHT, WIDTH, 3), np.float32)
        self.under = np.ones_like(self.ink)
        self.soil = np.ones_like(self.ink)
        self.label = np.zeros((HEIGHT, WIDTH), np.uint8)
        self.printed = ""  # ruled, squared or dotted

    def put(self, rgba: NDArray[np.uint8], x: float, y: float) -> None:
        """Lay a drawing down with its top left corner at x, y; what hangs over is left out."""
        x0, y0 = max(0, round(x)), max(0, round(y))
        part = rgba[: HEIGHT - y0, : WIDTH - x0].astype(np.float32) / 255
        h, w = part.shape[:2]
        if h > 0 and w > 0:
            self.ink[y0 : y0 + h, x0 : x0 + w] *= 1 - part[..., 3:] * (1 - part[..., :3])


def noise(shape: tuple[int, int], grain: float, rng: Rng) -> Floats:
    """Smooth noise of unit spread with blobs about `grain` pixels wide."""
    size = (max(2, round(shape[1] / grain)), max(2, round(shape[0] / grain)))
    coarse = rng.normal(0, 1, size[::-1]).astype(np.float32)
    return np.asarray(cv2.resize(coarse, shape[::-1], interpolation=cv2.INTER_CUBIC), np.float32)
