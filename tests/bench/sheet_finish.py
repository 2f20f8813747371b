"""What a scanner does to a page: tilt, shadow, grain, softness, JPEG."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]


def scan_page(
    rgba: Picture, ids: Picture, count: int, rng: np.random.Generator
) -> tuple[Picture, list[tuple[int, int, int, int]], Picture]:
    """The scanned page, and the boxes and ids of its drawings after the tilt."""
    rgb, ids = _tilt(np.ascontiguousarray(rgba[..., :3]), ids, rng)
    rgb = _soften(rgb, rng)
    rgb = _grain(_shade(rgb, rng), rng)
    if rng.random() < 0.6:
        coded = cv2.imencode(".jpg", rgb, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(55, 95))])[1]
        rgb = cv2.imdecode(coded, cv2.IMREAD_COLOR)
    boxes = [cv2.boundingRect((ids == number).astype(np.uint8)) for number in range(1, count + 1)]
    opaque = np.full((*rgb.shape[:2], 1), 255, np.uint8)
    return np.concatenate([rgb, opaque], axis=2), [tuple(box) for box in boxes if box[2]], ids


def _tilt(rgb: Picture, ids: Picture, rng: np.random.Generator) -> tuple[Picture, Picture]:
    if rng.random() < 0.4:
        return rgb, ids
    height, width = ids.shape
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), float(rng.normal(0, 0.7)), 1)
    ground = tuple(int(v) for v in rgb[2, 2])
    return (
        cv2.warpAffine(rgb, turn, (width, height), borderMode=cv2.BORDER_CONSTANT, borderValue=ground),
        cv2.warpAffine(ids, turn, (width, height), flags=cv2.INTER_NEAREST),
    )


def _soften(rgb: Picture, rng: np.random.Generator) -> Picture:
    return cv2.GaussianBlur(rgb, (0, 0), rng.uniform(0.3, 1.2))


def _shade(rgb: Picture, rng: np.random.Generator) -> NDArray[np.float32]:
    """A fall of light over the page, and often the dark of a fold or a lifted edge."""
    height, width = rgb.shape[:2]
    across, down = np.meshgrid(
        np.linspace(-1, 1, width, dtype=np.float32), np.linspace(-1, 1, height, dtype=np.float32)
    )
    light = 1 - rng.uniform(0, 0.06) * (across * rng.uniform(-1, 1) + down * rng.uniform(-1, 1) + 1)
    if rng.random() < 0.5:
        side = across if rng.random() < 0.5 else down
        edge = side * rng.choice([-1, 1])
        light -= rng.uniform(0.05, 0.35) * np.exp(-(1 - edge) / rng.uniform(0.02, 0.12))
    return rgb.astype(np.float32) * light[..., None]


def _grain(rgb: NDArray[np.float32], rng: np.random.Generator) -> Picture:
    strength = rng.uniform(0.5, 6)
    grey = rng.normal(0, strength, rgb.shape[:2]).astype(np.float32)
    if rng.random() < 0.5:
        grey = cv2.GaussianBlur(grey, (0, 0), 0.7) * 1.6
    return np.clip(np.round(rgb + grey[..., None]), 0, 255).astype(np.uint8)
