"""Which enclosed areas of a drawing one looks through: a trained judge that sees the whole drawing.

A network sees line and body fitted into a square, so that a drawing is judged alike at every size; what it makes of
the places in and around an area, the area's own measurements and the other areas give how likely it is open.
Made by tests/bench/openings_training.py; OPENINGS_CARD.md says from what.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.judges import open_judge

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

JUDGE = Path(__file__).with_name("openings.onnx")
# pixels of the square that the judge sees, and of the drawing's longest side within it
SIDE, INNER = 288, 272
OUTSIDE = 255  # among the numbers of areas: no body
SHADED = 0.55  # how much darker than paper the outside is shown


def judge_areas(
    line: Pixels, body: Mask, labels: NDArray[np.int32], wanted: NDArray[np.int64], measured: Floats
) -> Floats:
    """The logit of each of N areas being open, float32 (N,); raises ModelBroken.

    `line` is alpha, uint8 (H, W); `body` bool (H, W); `labels` int32, at this or a smaller scale, holds the
    `wanted` (N,) labels; `measured` float32 (N, F) is what the judge was trained to be told of them.
    """
    seen, places, _ = see_areas(line, body, labels, wanted)
    paper, inside = 1 - seen.astype(np.float32) / 255, (places != OUTSIDE).astype(np.float32)
    picture = np.stack([paper, paper * (1 - SHADED * (1 - inside)), inside]) * 2 - 1
    numbers = np.arange(1, len(wanted) + 1, dtype=np.uint8)[:, None, None]
    within = (
        (places == numbers)
        .reshape(len(wanted), SIDE // 2, 2, SIDE // 2, 2)
        .mean(axis=(2, 4), dtype=np.float32)
    )
    given = {"picture": picture[None], "within": within[None], "measured": measured[None]}
    return np.asarray(open_judge(JUDGE, "judges openings").run(None, given)[0][0], np.float32)


def see_areas(
    line: Pixels,
    body: Mask,
    labels: NDArray[np.int32],
    wanted: NDArray[np.int64],
    shown: Floats | None = None,
) -> tuple[Pixels, Pixels, Pixels]:
    """What the judge is shown, uint8 (SIDE, SIDE): the line's alpha; which area is where, counted from 1.

    What is not body is `OUTSIDE` in the latter. Third, `shown` (H, W, 3) fitted alike, empty if not given.
    """
    box = cv2.boundingRect(body.astype(np.uint8))
    numbers = np.zeros(int(labels.max()) + 1, np.uint8)
    numbers[wanted] = np.arange(1, len(wanted) + 1)
    places = cv2.resize(numbers[labels], body.shape[::-1], interpolation=cv2.INTER_NEAREST)
    places = np.where(body, places, OUTSIDE)
    colour = _fit(shown, box, 255) if shown is not None else np.zeros(0, np.uint8)
    return _fit(line.astype(np.float32), box, 0), _fit(places.astype(np.uint8), box, OUTSIDE), colour


def _fit(layer: NDArray[np.uint8] | Floats, box: Sequence[int], around: int) -> Pixels:
    """What stands in a box, in the middle of the square; whole numbers stay what they are."""
    x, y, width, height = box
    part = layer[y : y + height, x : x + width]
    scale = INNER / max(width, height)
    size = max(1, round(width * scale)), max(1, round(height * scale))
    way = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    fitted = cv2.resize(part, size, interpolation=cv2.INTER_NEAREST if layer.dtype == np.uint8 else way)
    square = np.full((SIDE, SIDE, *layer.shape[2:]), around, np.uint8)
    top, left = (SIDE - size[1]) // 2, (SIDE - size[0]) // 2
    square[top : top + size[1], left : left + size[0]] = np.clip(np.rint(fitted), 0, 255)
    return square
