"""Lettering on a sheet: small marks strung together on one line, judged by look and by habit of the sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.evidence import close
from assetlib.imaging.cutting.pieces import Parts
from assetlib.imaging.cutting.verdicts import judge

Measured = NDArray[np.float32]

# Tuned on made sheets (tests/bench/sheets.py, tuning half).
TALLEST = 0.036  # of the page's longer side: the height of a letter
SHORTEST = 4  # working pixels
WORD_SPACE = 1.1  # of the line's height: the widest space inside a line
# Differences between captions of one sheet: of log heights, of mean levels, of line heights to what they stand by.
SAME_HEIGHT, SAME_TONE, SAME_PLACE = 0.2, 40, 0.25
LOOKS = 16  # measurements of a line's own look, before those of its surroundings
FAR = 12.0  # line heights; beyond it no neighbour matters
SURE, LIKELY = 0.5, 0.25  # the lesser is enough where the sheet is lettered so
# letters and lines, and by how much log heights of lines written by one hand differ
SEVERAL, LIKE_HEIGHT = 3, 0.1
PATTERN, ALIKE = 5, 0.06  # marks of a pattern at least, and by how much of their size they differ
MOST_PER_DRAWING = 3  # lines of lettering a drawing may have


@dataclass(frozen=True, slots=True)
class MarkLine:
    """Marks on one line: x0, y0, x1, y1 in working pixels, the parts that it is made of, and how
    surely, 0..1, they are lettering."""

    box: tuple[int, int, int, int]
    parts: tuple[int, ...]
    chance: float = 0.0


def read_lines(parts: Parts) -> list[MarkLine]:
    """All lines of marks on a page, judged twice: the second time knowing what the first made of the others."""
    lines = chain_lines(parts)
    if not lines:
        return []
    measured = measure_lines(parts, lines)
    first = judge("line", measured)[:, 1]
    chances = judge("line again", measure_company(parts, lines, measured, first))[:, 1]
    return [replace(line, chance=float(chance)) for line, chance in zip(lines, chances, strict=True)]


def find_captions(parts: Parts, lines: list[MarkLine]) -> list[MarkLine]:
    """The lines that are lettering, of all that were read on a page."""
    usual = np.array([_height(line) for line in lines if line.chance > SURE])
    found = [
        line
        for line in lines
        if (line.chance > SURE or (line.chance > LIKELY and _is_usual(line, usual)))
        and not _is_pattern(parts, line)
    ]
    return found if len(found) <= MOST_PER_DRAWING * (2 + _drawing_count(parts, found)) else []


def lettering(lines: list[MarkLine], count: int) -> NDArray[np.float64]:
    """How surely, 0..1, each of `count` parts is lettering by the lines that hold it; 0 on none of them."""
    chances = np.zeros(count)
    for line in lines:
        chances[list(line.parts)] = line.chance
    return chances


def _height(line: MarkLine) -> int:
    return line.box[3] - line.box[1]


def _is_usual(line: MarkLine, usual: NDArray[np.int64]) -> bool:
    """Whether several letters stand on a line as high as several of the heights of what surely is lettering."""
    if min(len(line.parts), len(usual)) < SEVERAL:
        return False
    return int((np.abs(np.log(usual / _height(line))) < LIKE_HEIGHT).sum()) >= SEVERAL


def _is_pattern(parts: Parts, line: MarkLine) -> bool:
    """Whether a line repeats one mark: dots and stitches are alike as letters never are."""
    areas = parts.areas[list(line.parts)]
    return len(areas) >= PATTERN and float(areas.std()) < ALIKE * float(areas.mean())


def _drawing_count(parts: Parts, found: list[MarkLine]) -> int:
    """How many parts outside the lines are larger than lettering: tiny drawings can look like it."""
    if not found:
        return 0
    rest = np.ones(parts.count, bool)
    rest[[part for line in found for part in line.parts]] = False
    height = float(np.median([_height(line) for line in found]))
    return int((rest & (parts.boxes[:, 2:].max(axis=1) > 1.5 * height)).sum())


def chain_lines(parts: Parts) -> list[MarkLine]:
    """Small parts strung together from left to right wherever they share a line."""
    tallest = TALLEST * max(parts.labels.shape)
    boxes = parts.boxes
    small = np.flatnonzero((boxes[:, 3] <= tallest) & (boxes[:, 2] <= 12 * tallest))
    chains: list[list[int]] = []
    ends: list[tuple[int, int, int, int]] = []  # y0, y1, x1 of each chain, and its tallest letter
    reached: list[int] = []  # chains that no space yet parts from what is still to come
    for part in small[np.argsort(boxes[small, 0], kind="stable")].tolist():
        x, y, w, h = boxes[part].tolist()
        reached = [k for k in reached if x - ends[k][2] < WORD_SPACE * tallest]
        best = _chain_before(reached, ends, x, y, h)
        if best < 0:
            reached.append(len(chains))
            chains.append([part])
            ends.append((y, y + h, x + w, h))
        else:
            y0, y1, x1, high = ends[best]
            chains[best].append(part)
            ends[best] = (min(y, y0), max(y + h, y1), max(x1, x + w), max(high, h))
    lines = [_line(parts, chain) for chain in chains]
    return [line for line in lines if _height(line) >= SHORTEST]


def _chain_before(reached: list[int], ends: list[tuple[int, int, int, int]], x: int, y: int, h: int) -> int:
    """The chain, of those within reach, that a mark at x, y of height h continues, or -1."""
    best, best_space = -1, float("inf")
    for k in reached:
        y0, y1, x1, high = ends[k]
        if y1 <= y or y0 >= y + h:
            continue
        space, tall = x - x1, max(high, h)
        if space >= min(best_space, WORD_SPACE * tall):
            continue
        level = min(y + h, y1) - max(y, y0) >= 0.4 * min(h, y1 - y0)
        if level and max(y + h, y1) - min(y, y0) <= 1.8 * tall:
            best, best_space = k, space
    return best


def _line(parts: Parts, chain: list[int]) -> MarkLine:
    boxes = parts.boxes[chain]
    low, high = boxes[:, :2].min(axis=0), (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
    return MarkLine((int(low[0]), int(low[1]), int(high[0]), int(high[1])), tuple(chain))


def measure_lines(parts: Parts, lines: list[MarkLine]) -> Measured:
    """Measurements (n, 29) of lines: their own look, their surroundings, and how many are like them."""
    own = np.array([_look(parts, line) for line in lines], np.float32)
    around = np.array([_surroundings(parts, line) for line in lines], np.float32)
    return np.concatenate([own, around, _habits(parts, lines, own, around)], axis=1)


def _look(parts: Parts, line: MarkLine) -> list[float]:
    x0, y0, x1, y1 = line.box
    width, height = x1 - x0, y1 - y0
    chain = list(line.parts)
    boxes, areas = parts.boxes[chain].astype(float), parts.areas[chain]
    tall = boxes[boxes[:, 3] >= 0.4 * height]
    bottoms, tops = tall[:, 1] + tall[:, 3], tall[:, 1]
    spaces = boxes[1:, 0] - np.maximum.accumulate(boxes[:, 0] + boxes[:, 2])[:-1]
    colour = parts.colours[chain].mean(axis=0)
    return [
        np.log(height / max(parts.labels.shape)),
        np.log(height),
        np.log(width / height),
        np.log(len(chain)),
        _agreeing(bottoms, height),
        _agreeing(tops, height),
        float(np.std(tall[:, 3]) / height) if len(tall) else 1.0,
        float(np.median(boxes[:, 2]) / height),
        float(areas.sum() / (width * height)),
        float(areas.mean() / height**2),
        float(spaces.mean() / height) if len(spaces) else 0.0,
        float(spaces.max() / height) if len(spaces) else 0.0,
        float(np.ptp(colour)) / 100,
        float(parts.colours[chain].std(axis=0).max()) / 50,
        min(y0, parts.labels.shape[0] - y1) / parts.labels.shape[0],
        min(x0, parts.labels.shape[1] - x1) / parts.labels.shape[1],
    ]


def _agreeing(edges: NDArray[np.float64], height: int) -> float:
    """Share of letter edges within a sixth of the line's height of their median."""
    if len(edges) == 0:
        return 0.0
    return float((np.abs(edges - np.median(edges)) <= max(1.5, height / 6)).mean())


def _surroundings(parts: Parts, line: MarkLine) -> list[float]:
    """Distances to larger parts up, down, left and right, and how large and how enclosing the nearest is."""
    x0, y0, x1, y1 = line.box
    height = y1 - y0
    large = parts.boxes[
        (parts.boxes[:, 3] > 1.6 * height) | (parts.boxes[:, 2] > max(1.6 * height, 1.3 * (x1 - x0)))
    ]
    if len(large) == 0:
        return [FAR, FAR, FAR, FAR, FAR, 0.0, 0.0]
    ax0, ay0 = large[:, 0], large[:, 1]
    ax1, ay1 = ax0 + large[:, 2], ay0 + large[:, 3]
    beside_x = np.maximum(np.maximum(ax0 - x1, x0 - ax1), 0)
    beside_y = np.maximum(np.maximum(ay0 - y1, y0 - ay1), 0)
    column, row = beside_x == 0, beside_y == 0
    sides = [
        _least((y0 - ay1)[column & (ay1 <= y0)], height),
        _least((ay0 - y1)[column & (ay0 >= y1)], height),
        _least((x0 - ax1)[row & (ax1 <= x0)], height),
        _least((ax0 - x1)[row & (ax0 >= x1)], height),
    ]
    reach = np.hypot(beside_x, beside_y)
    nearest = int(reach.argmin())
    inside = float(((beside_x == 0) & (beside_y == 0)).any())
    return [
        *sides,
        min(FAR, reach[nearest] / height),
        float(np.log(large[nearest, 2:].max() / height)),
        inside,
    ]


def _least(distances: NDArray[np.int64], height: int) -> float:
    return min(FAR, float(distances.min()) / height) if len(distances) else FAR


def _habits(parts: Parts, lines: list[MarkLine], own: Measured, around: Measured) -> Measured:
    """How many lines of the page share height, colour and place with each, against the page's large parts."""
    alike, placed = _alike(parts, lines, own), _placed_alike(around)
    outside = around[:, 6] < 0.5
    wordy = outside & (own[:, 4] > 0.6) & ((own[:, 3] > 1.0) | (own[:, 2] > 0.7))
    near = around[:, 4] < 3
    large = _large_count(parts)
    counts = [
        (alike & wordy[None]).sum(axis=1),
        (alike & outside[None]).sum(axis=1),
        (alike & placed & (near & outside)[None]).sum(axis=1),
    ]
    shares = [np.log1p(count) for count in counts] + [np.log((count + 1) / large) for count in counts[:2]]
    return np.stack([*shares, np.full(len(lines), np.log(large))], axis=1).astype(np.float32)


def _alike(parts: Parts, lines: list[MarkLine], own: Measured) -> NDArray[np.bool_]:
    """Which lines (n, n) share height and colour."""
    tones = np.array([parts.colours[list(line.parts)].mean(axis=0) for line in lines])
    alike = close(own[:, 1], own[:, 1], SAME_HEIGHT)
    for levels in tones.T:
        alike &= close(levels, levels, SAME_TONE)
    return alike


def _placed_alike(around: Measured) -> NDArray[np.bool_]:
    """Which lines (n, n) stand as far from a larger part on some side."""
    placed = np.zeros((len(around), len(around)), bool)
    for distances in around[:, :4].T:
        placed |= close(distances, distances, SAME_PLACE)
    return placed


def _large_count(parts: Parts) -> int:
    return max(1, int((parts.boxes[:, 2:].max(axis=1) > 0.05 * max(parts.labels.shape)).sum()))


def measure_company(
    parts: Parts, lines: list[MarkLine], measured: Measured, chances: NDArray[np.float32]
) -> Measured:
    """Measurements (n, 37): those of `measure_lines`, and how surely the lines like each are lettering."""
    alike = _alike(parts, lines, measured)
    placed = alike & _placed_alike(measured[:, LOOKS : LOOKS + 4])
    np.fill_diagonal(alike, False)
    np.fill_diagonal(placed, False)
    large = _large_count(parts)
    heard = [group @ chances for group in (alike, placed)]
    columns = [
        np.log((chances + 1e-3) / (1.001 - chances)),
        *(np.log1p(sum_) for sum_ in heard),
        *(sum_ / (group.sum(axis=1) + 0.5) for sum_, group in zip(heard, (alike, placed), strict=True)),
        np.log((heard[0] + 0.5) / large),
        np.where(alike, chances[None], 0).max(axis=1),
        np.full(len(lines), np.log((chances.sum() + 0.5) / large)),
    ]
    return np.concatenate([measured, np.stack(columns, axis=1)], axis=1).astype(np.float32)
