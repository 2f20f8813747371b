"""From a map of owners to elements: their boxes and masks at full size, captions and reading order."""

from __future__ import annotations

from itertools import combinations, pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

Box = tuple[int, int, int, int]
Owners = NDArray[np.int32]

SAME_ROW = 0.5  # share of the lower of two heights that must lie side by side
ROW_HEIGHT = 1.6  # heights of the tallest of a row that all of it spans
CAPTION_REACH = 0.12  # of the page's longer side
OTHER_SIDE = 6.0  # caption heights that a caption on the unusual side counts farther
GRID_SHARE = 0.7  # of the elements that stand in a row and a column with others
IN_LINE = 0.02  # of the page's width
# Tuned on made pages (`python -m tests.bench.told --half tune --seed 33000` and 33200).
# Boxes; factor by which their sides differ; gap, by a middling side.
SEVERAL, LIKE_SIZE, CLEAR_GAP = 3, 2.5, 0.2


def outline(
    owned: Owners, number: int, around: Box, mask: NDArray[np.uint8], step: int
) -> tuple[Box, NDArray[np.bool_]] | None:
    """Full-size box and mask of one owner; `around` is its box in the map of owners, 1 / `step` of full size."""
    x, y, w, h = around
    ink = mask[y * step : (y + h) * step, x * step : (x + w) * step]
    tile = (owned[y : y + h, x : x + w] == number).astype(np.uint8)
    tile = np.asarray(cv2.resize(tile, (w * step, h * step), interpolation=cv2.INTER_NEAREST), np.uint8)
    own = cv2.bitwise_and(tile[: ink.shape[0], : ink.shape[1]], ink)
    bx, by, bw, bh = cv2.boundingRect(own)
    if bw == 0:
        return None
    own = np.ascontiguousarray(own[by : by + bh, bx : bx + bw])
    contours, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.zeros_like(own)
    cv2.drawContours(filled, contours, -1, 1, cv2.FILLED)
    others = (ink[by : by + bh, bx : bx + bw] > 0) & (own == 0)
    return (x * step + bx, y * step + by, bw, bh), (filled > 0) & ~others


def rows_of(boxes: list[Box]) -> list[list[int]]:
    """Indices of boxes by row from the top, each from left to right."""
    return [row for band in _bands(boxes) for row in _rows_in(boxes, band)]


def _bands(boxes: list[Box]) -> list[list[int]]:
    """Indices of boxes between strips of bare paper that run all across, from the top."""
    bands: list[list[int]] = []
    end = 0
    for k in sorted(range(len(boxes)), key=lambda k: boxes[k][1]):
        if bands and boxes[k][1] < end:
            bands[-1].append(k)
        else:
            bands.append([k])
        end = max(end, boxes[k][1] + boxes[k][3])
    return bands


def _rows_in(boxes: list[Box], band: list[int]) -> list[list[int]]:
    """The rows of a band. It is one row where all stand side by side and none far above another."""
    across = sorted(band, key=lambda k: boxes[k][0])
    side_by_side = all(boxes[a][0] + boxes[a][2] <= boxes[b][0] for a, b in pairwise(across))
    height = max(boxes[k][1] + boxes[k][3] for k in band) - min(boxes[k][1] for k in band)
    if side_by_side and height <= ROW_HEIGHT * max(boxes[k][3] for k in band):
        return [across]
    return _level_rows(boxes, band)


def _level_rows(boxes: list[Box], band: list[int]) -> list[list[int]]:
    """The rows of a band by how far boxes lie on one level, each from left to right."""
    downwards = sorted(band, key=lambda k: boxes[k][1] + boxes[k][3] / 2)
    rows: list[list[int]] = []
    for k in downwards:
        if rows and _level(boxes[k], [boxes[m] for m in rows[-1]]):
            rows[-1].append(k)
        else:
            rows.append([k])
    return [sorted(row, key=lambda m: boxes[m][0]) for row in rows]


def reading_order(boxes: list[Box]) -> list[int]:
    """Indices of boxes in reading order: row by row, left to right."""
    return [k for row in rows_of(boxes) for k in row]


def _level(box: Box, row: list[Box]) -> bool:
    top = float(np.median([y for _, y, _, _ in row]))
    end = float(np.median([y + h for _, y, _, h in row]))
    shared = min(box[1] + box[3], end) - max(box[1], top)
    return shared >= SAME_ROW * min(box[3], end - top)


def arrangement(boxes: list[Box], width: int) -> str:
    """'single', 'grid' or 'scatter'."""
    if len(boxes) < 2:
        return "single"
    rows = rows_of(boxes)
    row_of = {k: number for number, row in enumerate(rows) for k in row}
    middles = [x + w / 2 for x, _, w, _ in boxes]
    lefts = [x for x, _, _, _ in boxes]
    near = IN_LINE * width

    def in_column(k: int) -> bool:
        return len(rows) == 1 or any(
            row_of[m] != row_of[k] and min(abs(middles[m] - middles[k]), abs(lefts[m] - lefts[k])) < near
            for m in range(len(boxes))
        )

    placed = sum(len(rows[row_of[k]]) > 1 and in_column(k) for k in range(len(boxes)))
    return "grid" if placed >= GRID_SHARE * len(boxes) else "scatter"


def stand_apart(boxes: list[Box]) -> bool:
    """Whether three boxes or more are of like size and no two of them are near: drawings, not the parts of one."""
    if len(boxes) < SEVERAL:
        return False
    sides = np.sqrt([w * h for _, _, w, h in boxes])
    if sides.max() > LIKE_SIZE * sides.min():
        return False
    return all(_gap(a, b) >= CLEAR_GAP * float(np.median(sides)) for a, b in combinations(boxes, 2))


def _gap(a: Box, b: Box) -> int:
    """The widest upright or level strip of paper between two boxes, pixels; negative where they overlap."""
    return max(max(a[axis], b[axis]) - min(a[axis] + a[axis + 2], b[axis] + b[axis + 2]) for axis in (0, 1))


def match_captions(captions: list[Box], boxes: list[Box], long: int) -> list[Box | None]:
    """The caption of every box: the lettering nearest to it on the side where the sheet letters."""
    found: list[Box | None] = [None] * len(boxes)
    if not boxes:
        return found
    nearest = [min((_away(line, box), k) for k, box in enumerate(boxes)) for line in captions]
    sides = [_side(line, boxes[k]) for line, (_, k) in zip(captions, nearest, strict=True)]
    usual = max(set(sides), key=sides.count) if sides else "below"
    for line in captions:
        costs = [_away(line, box) + OTHER_SIDE * line[3] * (_side(line, box) != usual) for box in boxes]
        best = int(np.argmin(costs))
        if _away(line, boxes[best]) <= CAPTION_REACH * long:
            known = found[best]
            found[best] = line if known is None else _around(known, line)
    return found


def _away(a: Box, b: Box) -> float:
    across = max(a[0] - b[0] - b[2], b[0] - a[0] - a[2], 0)
    down = max(a[1] - b[1] - b[3], b[1] - a[1] - a[3], 0)
    return float(np.hypot(across, down))


def _side(line: Box, box: Box) -> str:
    if line[1] + line[3] / 2 >= box[1] + box[3]:
        return "below"
    if line[1] + line[3] / 2 <= box[1]:
        return "above"
    return "left" if line[0] + line[2] / 2 < box[0] + box[2] / 2 else "right"


def _around(a: Box, b: Box) -> Box:
    x, y = min(a[0], b[0]), min(a[1], b[1])
    return (x, y, max(a[0] + a[2], b[0] + b[2]) - x, max(a[1] + a[3], b[1] + b[3]) - y)
