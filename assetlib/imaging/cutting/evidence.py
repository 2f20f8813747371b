"""What is measured of every group of parts before it is judged to be a drawing or not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.joins import Tree
from assetlib.imaging.cutting.pieces import Parts

Measured = NDArray[np.float32]
Numbers = NDArray[np.float64]

COARSE = 4  # working pixels a side of the squares in which ink is summed
ALIKE = 0.15  # difference of log width and height that counts as the same size
TREES = 3  # of a page at most, by as many ways
IN_LINE = 0.012  # of the page's longer side: edges that are in line


@dataclass(frozen=True, slots=True)
class PageGround:
    """The page that groups are measured on.

    `size` (width, height) in working pixels; `inked` is the integral picture of ink counted in
    squares of `COARSE` pixels, float64 (h + 1, w + 1); `lettering` (n,) how surely, 0..1, each part is.
    """

    size: tuple[int, int]
    boxes: NDArray[np.int64]
    areas: NDArray[np.int64]
    colours: NDArray[np.float32]
    inked: Numbers
    lettering: Numbers


@dataclass(frozen=True, slots=True)
class Habit:
    """What is typical of the elements of one way to see the page, in working pixels.

    `boxes` (n, 4) x0, y0, x1, y1 of its elements; `inside` and `outside` costs of joins within and
    between them.
    """

    boxes: Numbers
    inside: float
    outside: float


def survey(parts: Parts, lettering: Numbers) -> PageGround:
    """The ground of a page's parts; `lettering` (n,) tells how surely each is."""
    mask = (parts.labels > 0).astype(np.float32)
    height, width = mask.shape
    padded = cv2.copyMakeBorder(mask, 0, -height % COARSE, 0, -width % COARSE, cv2.BORDER_CONSTANT, value=0)
    coarse = cv2.resize(padded, None, fx=1 / COARSE, fy=1 / COARSE, interpolation=cv2.INTER_AREA) * COARSE**2
    inked = np.asarray(cv2.integral(coarse), np.float64)
    return PageGround((width, height), parts.boxes, parts.areas, parts.colours, inked, lettering)


@dataclass(frozen=True, slots=True)
class Nodes:
    """A tree's nodes as arrays, with what follows from the parts under them.

    `names` are equal in all trees of a page for groups of the same parts.
    """

    left: NDArray[np.int64]
    right: NDArray[np.int64]
    parent: NDArray[np.int64]
    boxes: Numbers
    gap: Numbers
    cost: Numbers
    away: Numbers
    area: Numbers
    count: Numbers
    colour: Numbers
    widest: Numbers
    lettering: Numbers
    names: NDArray[np.uint64]
    leaves: int


def tabulate(tree: Tree, ground: PageGround) -> Nodes:
    """The tree as arrays."""
    total = len(tree.parent)
    left, right = np.array(tree.left), np.array(tree.right)
    area = np.zeros(total)
    area[: tree.leaves] = ground.areas
    count = np.ones(total)
    colour = np.zeros((total, 3))
    colour[: tree.leaves] = ground.colours * ground.areas[:, None]
    lettering = np.zeros(total)
    lettering[: tree.leaves] = ground.lettering * ground.areas
    names = np.zeros(total, np.uint64)
    names[: tree.leaves] = np.random.default_rng(0).integers(0, 1 << 63, tree.leaves, np.uint64)
    gap = np.array(tree.gap)
    widest = gap.copy()
    for node in range(tree.leaves, total):
        a, b = tree.left[node], tree.right[node]
        area[node] = area[a] + area[b]
        count[node] = count[a] + count[b]
        colour[node] = colour[a] + colour[b]
        lettering[node] = lettering[a] + lettering[b]
        names[node] = names[a] ^ names[b]
        widest[node] = max(gap[node], widest[a], widest[b])
    parent = np.array(tree.parent)
    boxes = np.array(tree.boxes, float)
    costs = np.array(tree.cost)
    return Nodes(
        left,
        right,
        parent,
        boxes,
        gap,
        costs,
        np.array(tree.away),
        area,
        count,
        colour / area[:, None],
        widest,
        lettering / area,
        names,
        tree.leaves,
    )


def measure_nodes(nodes: Nodes, ground: PageGround, habit: Habit, way: int) -> Measured:
    """Measurements (nodes, 63) of every node of the tree that was grown in a way, counted from 0."""
    columns = [
        *_own(nodes, ground),
        *_joining(nodes, ground),
        *_rising(nodes, ground),
        *_fitting(nodes, ground, habit),
    ]
    total = len(nodes.parent)
    columns += [np.full(total, float(way == k)) for k in range(TREES)]
    return np.stack(columns, axis=1).astype(np.float32)


def _sides(boxes: Numbers) -> tuple[Numbers, Numbers]:
    return np.maximum(1, boxes[:, 2] - boxes[:, 0]), np.maximum(1, boxes[:, 3] - boxes[:, 1])


def _log(values: Numbers) -> Numbers:
    return np.asarray(np.log(np.maximum(values, 1e-3)))


def _own(nodes: Nodes, ground: PageGround) -> list[Numbers]:
    width, height = _sides(nodes.boxes)
    long = max(ground.size)
    box = width * height
    foreign = np.maximum(0, _ink_within(nodes.boxes, ground) - nodes.area)
    return [
        _log(np.sqrt(box) / long),
        _log(np.maximum(width, height) / long),
        _log(np.minimum(width, height) / long),
        _log(width / height),
        nodes.area / box,
        np.log1p(nodes.count),
        _log(nodes.count / nodes.leaves),
        np.log1p(foreign / nodes.area),
        np.ptp(nodes.colour, axis=1) / 100,
        (nodes.left < 0).astype(float),
        _log((nodes.widest + 1) / long),
        _log((nodes.away + 1) / long),
        _log((nodes.away + 1) / (nodes.widest + 1)),
        _log((nodes.away + 1) / np.sqrt(box)),
        nodes.lettering,
    ]


def _ink_within(boxes: Numbers, ground: PageGround) -> Numbers:
    cells = np.round(boxes / COARSE).astype(int)
    x0, y0, x1, y1 = (np.clip(cells[:, k], 0, ground.inked.shape[1 - k % 2] - 1) for k in range(4))
    return np.asarray(
        ground.inked[y1, x1] - ground.inked[y0, x1] - ground.inked[y1, x0] + ground.inked[y0, x0]
    )


def _joining(nodes: Nodes, ground: PageGround) -> list[Numbers]:
    """How a node's two children stand to each other; zeros for a single part."""
    joined = nodes.left >= 0
    a, b = np.where(joined, nodes.left, 0), np.where(joined, nodes.right, 0)
    columns = _standing(nodes, ground, a, b, nodes.gap)
    return [np.where(joined, column, 0.0) for column in columns]


def _rising(nodes: Nodes, ground: PageGround) -> list[Numbers]:
    """How a node stands to the one that it joins next; zeros at the root."""
    below = nodes.parent >= 0
    parent = np.where(below, nodes.parent, 0)
    own = np.arange(len(parent))
    other = np.where(nodes.left[parent] == own, nodes.right[parent], nodes.left[parent])
    other = np.where(below, other, 0)
    size = np.sqrt(np.prod(_sides(nodes.boxes), axis=0))
    columns = _standing(nodes, ground, own, other, nodes.gap[parent])
    columns += [
        _log((nodes.gap[parent] + 1) / (nodes.widest + 1)),
        _log((nodes.gap[parent] + 1) / size),
        _log(size[parent] / size),
        _log(size[other] / size),
        _log((nodes.widest[other] + 1) / (nodes.gap[parent] + 1)),
    ]
    return [np.where(below, column, 0.0) for column in columns]


def _standing(
    nodes: Nodes, ground: PageGround, a: NDArray[np.int64], b: NDArray[np.int64], gap: Numbers
) -> list[Numbers]:
    """How the groups a and b stand to each other across `gap` pixels of paper."""
    box_a, box_b = nodes.boxes[a], nodes.boxes[b]
    size_a, size_b = np.prod(_sides(box_a), axis=0), np.prod(_sides(box_b), axis=0)
    smaller, larger = np.minimum(size_a, size_b), np.maximum(size_a, size_b)
    across = np.minimum(box_a[:, 2], box_b[:, 2]) - np.maximum(box_a[:, 0], box_b[:, 0])
    down = np.minimum(box_a[:, 3], box_b[:, 3]) - np.maximum(box_a[:, 1], box_b[:, 1])
    shared = np.clip(across, 0, None) * np.clip(down, 0, None)
    low, high = np.minimum(box_a[:, :2], box_b[:, :2]), np.maximum(box_a[:, 2:], box_b[:, 2:])
    union = (high - low).prod(axis=1)
    long = max(ground.size)
    clear = -np.minimum(across, down)  # width of the straight alley between the boxes, negative where none
    return [
        np.log1p(gap),
        _log((gap + 1) / long),
        _log((gap + 1) / np.sqrt(smaller)),
        _log((gap + 1) / np.sqrt(larger)),
        0.5 * _log(smaller / larger),
        _log(np.minimum(nodes.area[a], nodes.area[b]) / np.maximum(nodes.area[a], nodes.area[b])),
        shared / smaller,
        (union - size_a - size_b + shared) / union,
        np.abs(nodes.colour[a] - nodes.colour[b]).max(axis=1) / 100,
        np.clip(clear / np.sqrt(smaller), -1.5, 1.5),
        np.clip(clear / (gap + 2), -3, 1.5),
        np.clip(np.maximum(across, down) / np.sqrt(smaller), -1.5, 1.5),
        np.maximum(nodes.lettering[a], nodes.lettering[b]),
        np.abs(nodes.lettering[a] - nodes.lettering[b]),
    ]


def _fitting(nodes: Nodes, ground: PageGround, habit: Habit) -> list[Numbers]:
    """How a node fits the other elements that the page seems to have."""
    width, height = _sides(nodes.boxes)
    size = np.sqrt(width * height)
    typical_w, typical_h = _sides(habit.boxes)
    typical = np.sqrt(typical_w * typical_h)
    below = nodes.parent >= 0
    rise = np.where(below, nodes.cost[np.where(below, nodes.parent, 0)], nodes.cost.max() * 3)
    alike = close(_log(width), _log(typical_w), ALIKE) & close(_log(height), _log(typical_h), ALIKE)
    columns = [
        _log((nodes.cost + 0.5) / (habit.inside + 0.5)),
        _log((nodes.cost + 0.5) / (habit.outside + 0.5)),
        _log((rise + 0.5) / (habit.outside + 0.5)),
        _log(size / np.median(typical)),
        _log(size / np.quantile(typical, 0.9)),
        _log(np.maximum(width, height) / np.median(np.maximum(typical_w, typical_h))),
        np.full(len(size), float(np.std(_log(typical)))),
        np.full(len(size), np.log(len(typical))),
        np.full(len(size), float(np.log((habit.outside + 0.5) / (habit.inside + 0.5)))),
        np.log1p(alike.sum(axis=1)),
    ]
    return columns + _lining_up(nodes.boxes, habit.boxes, IN_LINE * max(ground.size))


def _lining_up(boxes: Numbers, others: Numbers, within: float) -> list[Numbers]:
    """How many elements share each node's top, bottom or middle height, and likewise across."""
    found = []
    for low, high in ((1, 3), (0, 2)):
        flush = close((boxes[:, low] + boxes[:, high]) / 2, (others[:, low] + others[:, high]) / 2, within)
        for edge in (low, high):
            flush |= close(boxes[:, edge], others[:, edge], within)
        found.append(np.log1p(flush.sum(axis=1)))
    return found


def close(values: NDArray[Any], others: NDArray[Any], within: float) -> NDArray[np.bool_]:
    """Which of n values differ by less from which of m others, (n, m); one at a time, for the sake of memory."""
    apart = values[:, None] - others[None]
    return np.asarray(np.abs(apart, out=apart) < within, bool)
