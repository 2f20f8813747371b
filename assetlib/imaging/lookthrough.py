"""Which enclosed areas of a drawing one looks through: a small trained judge that sees the whole drawing.

A convolutional network sees the line and the body, fitted into a square, and gives every place of it a
description; the descriptions within an area, the area's own measurements and a summary of the drawing
together give how likely it is open. Made by tests/bench/openings_training.py; evaluated with numpy alone.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

WEIGHTS = Path(__file__).with_name("opening_verdicts.npz")
SIDE, INNER = 256, 236  # pixels of the square, and of the drawing's longest side within it
AREAS_AT_ONCE = 60  # most areas that one drawing is judged by
INK_MIDDLE = 0.1  # taken off what the network sees, so that empty paper is not nought


def judge_areas(
    line: Pixels, body: Mask, labels: NDArray[np.int32], wanted: NDArray[np.int64], measured: Floats
) -> Floats:
    """The logit of each of N areas being open, float32 (N,).

    `line` is alpha, uint8 (H, W); `body` bool (H, W); `labels` int32, at this or a smaller scale, holds the
    `wanted` (N,) labels; `measured` float32 (N, F) is what the network was trained to be told of them.
    """
    picture, places = see_areas(line, body, labels, wanted)
    features, summary = _look(picture - INK_MIDDLE)
    return _weigh(features, summary, places, measured)


def see_areas(
    line: Pixels, body: Mask, labels: NDArray[np.int32], wanted: NDArray[np.int64]
) -> tuple[Floats, Pixels]:
    """What the network is shown: line and body, float32 (2, SIDE, SIDE), and which area is where, counted from 1."""
    box = _box_of(body)
    picture = np.stack([_fit(line.astype(np.float32) / 255, box), _fit(body.astype(np.float32), box)])
    numbers = np.zeros(int(labels.max()) + 1, np.uint8)
    numbers[wanted] = np.arange(1, len(wanted) + 1)
    places = cv2.resize(numbers[labels], body.shape[::-1], interpolation=cv2.INTER_NEAREST)
    return picture, _fit(places, box)


@cache
def _weights() -> dict[str, Floats]:
    with np.load(WEIGHTS) as stored:
        weights = {name: stored[name].astype(np.float32) for name in stored.files}
    # each tap of a kernel whole in memory, for matrix products
    taps = {
        name: np.ascontiguousarray(own.transpose(2, 3, 0, 1))
        for name, own in weights.items()
        if own.ndim == 4
    }
    return weights | taps


def _box_of(mask: Mask) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of what a mask marks, the latter two exclusive."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def _fit(layer: NDArray[Any], box: tuple[int, int, int, int]) -> NDArray[Any]:
    """What stands in a box, in the middle of the square; numbers of areas stay whole."""
    left, top, right, bottom = box
    part = layer[top:bottom, left:right]
    scale = INNER / max(part.shape)
    width, height = max(1, round(part.shape[1] * scale)), max(1, round(part.shape[0] * scale))
    way = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    if layer.dtype == np.uint8:
        way = cv2.INTER_NEAREST
    square = np.zeros((SIDE, SIDE), layer.dtype)
    y, x = (SIDE - height) // 2, (SIDE - width) // 2
    square[y : y + height, x : x + width] = cv2.resize(part, (width, height), interpolation=way)
    return square


def _look(picture: Floats) -> tuple[Floats, Floats]:
    """The description of every place, float32 (C, SIDE / 2, SIDE / 2), and of the whole, float32 (G,)."""
    weights = _weights()
    seen = [_convolve(picture, "down0")]
    level = 1
    while f"down{level}a.w" in weights:
        seen.append(_convolve(_convolve(seen[-1], f"down{level}a", stride=2), f"down{level}b"))
        level += 1
    summary = np.maximum(weights["whole.w"] @ seen[-1].mean(axis=(1, 2)) + weights["whole.b"], 0)
    features = seen[-1]
    for step, finer in enumerate(reversed(seen[1:-1])):
        larger = features.repeat(2, axis=1).repeat(2, axis=2)
        features = _convolve(np.concatenate([larger, finer]), f"up{step}")
    return features, summary


def _convolve(layer: Floats, name: str, stride: int = 1) -> Floats:
    """A 3x3 convolution and what is positive of it: (C, H, W) to (D, H / stride, W / stride)."""
    kernel, offset = _weights()[f"{name}.w"], _weights()[f"{name}.b"]
    _, height, width = layer.shape
    padded = np.pad(layer, ((0, 0), (1, 1), (1, 1)))
    tall, wide = height // stride, width // stride
    total = np.repeat(offset[:, None], tall * wide, axis=1)
    for row in range(3):
        for column in range(3):
            shifted = padded[:, row : row + height : stride, column : column + width : stride]
            total += kernel[row, column] @ shifted.reshape(len(layer), -1)
    return np.maximum(total, 0, out=total).reshape(-1, tall, wide)


def _weigh(features: Floats, summary: Floats, places: Pixels, measured: Floats) -> Floats:
    """The logit of every area, float32 (N,)."""
    weights = _weights()
    count = len(measured)
    quarters = (
        places.reshape(SIDE // 2, 2, SIDE // 2, 2).transpose(1, 3, 0, 2).reshape(4, -1).astype(np.int64)
    )
    within = np.zeros((count + 1, quarters.shape[1]), np.float32)
    for quarter in quarters:
        within[quarter, np.arange(quarters.shape[1])] += 0.25
    within = within[1:]
    amount = np.maximum(within.sum(axis=1, keepdims=True), 0.25)
    flat = features.reshape(len(features), -1).T
    mean = within @ flat / amount
    spread = np.sqrt(np.maximum(within @ (flat * flat) / amount, 0) + 1e-4)
    told = np.clip((measured - weights["mean"]) / weights["scale"], -4, 4)
    known = np.concatenate([mean, spread, np.tile(summary, (count, 1)), told], axis=1)
    hidden = np.maximum(known @ weights["first.w"].T + weights["first.b"], 0)
    return np.asarray((hidden @ weights["last.w"].T + weights["last.b"])[:, 0], np.float32)
