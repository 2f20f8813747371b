"""Trains the judges of sheet cutting on made sheets of the tuning half and writes their weights.

`python -m tests.bench.sheet_training gather FOLDER FIRST COUNT --half learn` keeps the parts of made sheets,
`train FOLDER` fits the judges on them; `gather FOLDER FIRST COUNT --half prove --evenly` keeps sheets of drawings
that those do not have, `compare FOLDER` tells how the present judges do on such. What is shipped learnt from both
(seeds 0 to 208 and 400 to 444). `sheetness FOLDER 0 COUNT` fits the judge that tells sheets from COUNT lone drawings.
Never run on the report half.
"""

from __future__ import annotations

import argparse
import heapq
import pickle
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting import verdicts
from assetlib.imaging.cutting.captions import (
    MarkLine,
    chain_lines,
    find_captions,
    lettering,
    measure_company,
    measure_lines,
)
from assetlib.imaging.cutting.evidence import Nodes, measure_nodes, survey, tabulate
from assetlib.imaging.cutting.frames import find_frames
from assetlib.imaging.cutting.furniture import find_furniture
from assetlib.imaging.cutting.grouping import WAYS, first_habit, first_look, grow_trees, measure_again
from assetlib.imaging.cutting.joins import join, sprout
from assetlib.imaging.cutting.layout import page_facts, see_page
from assetlib.imaging.cutting.linking import Linked
from assetlib.imaging.cutting.paper import find_ink
from assetlib.imaging.cutting.pieces import Parts, box_of, find_gaps, find_parts, without
from assetlib.imaging.cutting.second_look import ELEMENT, NONE, PART, SEVERAL, Look
from assetlib.imaging.cutting.sheetness import measure_page
from assetlib.imaging.cutting.sheets import reduced_facts
from tests.bench.sheet_maker import EXTRA, KINDS, PAPERS, MadeSheet, Page, drawing_for, make_sheet
from tests.bench.sheet_net import fit_net
from tests.bench.sheets import line as printed
from tests.bench.sheets import matches

LINE_NET, LINK_NET, GROUP_NET = (96, 48), (64, 32), (160, 64)  # hidden units
PAIRS = 200  # of a sheet's pairs of groups are learnt from
FOLDS = 3
NOT_DRAWN = 255  # the id of lettering and furniture on made sheets
TRAINED_ON = tuple(kind for kind in (*KINDS, *EXTRA) if kind not in ("frames", "panels"))
LARGEST = 2400  # pixels of a made sheet's width
SEEDS_APART = 100_000  # between two sheets of one kind in one file
# Sheets of these twice, of drawings in several parts three times: they are the hardest.
HARDEST = ("multi-part", "scan", "scan+line+captions", "nearly touching", "small and large", "multi-part")


def part_ids(parts: Parts, ids: NDArray[np.uint8]) -> NDArray[np.int64]:
    """The made id that most of each part's pixels have, 0 where nothing was drawn."""
    small = ids[:: parts.step, :: parts.step]
    if parts.step > 1:  # pooled ink can sit beside the sampled pixel
        height, width = parts.labels.shape
        padded = cv2.copyMakeBorder(
            ids, 0, -ids.shape[0] % parts.step, 0, -ids.shape[1] % parts.step, cv2.BORDER_CONSTANT
        )
        small = padded.reshape(height, parts.step, width, parts.step).max(axis=(1, 3))
    inked = (parts.labels > 0) & (small > 0)
    votes = np.bincount(
        parts.labels[inked].astype(np.int64) * 256 + small[inked], minlength=(parts.count + 1) * 256
    )
    votes = votes.reshape(parts.count + 1, 256)[1:]
    best = votes.argmax(axis=1)
    return np.where(votes.max(axis=1) >= 0.2 * parts.areas, best, 0)


def gather(folder: Path, first: int, count: int, half: str, evenly: bool) -> None:
    """Keep what training needs of `count` sheets of every kind and more of the hardest; `evenly` one of each."""
    folder.mkdir(parents=True, exist_ok=True)
    kinds = (*KINDS, *EXTRA) if evenly else (*TRAINED_ON, *HARDEST)
    for seed in range(first, first + count):
        again = [seed + SEEDS_APART * kinds[:k].count(kind) for k, kind in enumerate(kinds)]
        kept = [
            _reduced(make_sheet(kind, own, half, LARGEST)) for kind, own in zip(kinds, again, strict=True)
        ]
        (folder / f"{seed}.pickle").write_bytes(pickle.dumps(kept))


def _reduced(sheet: MadeSheet) -> dict[str, object]:
    ink = find_ink(sheet.rgba)
    parts = find_parts(ink.mask, ink.rgb)
    last = min(NOT_DRAWN, len(sheet.boxes) + 31)
    boxes = [cv2.boundingRect((sheet.ids == k).astype(np.uint8)) for k in range(1, last)]
    coded = cv2.imencode(".png", parts.labels.astype(np.uint16))[1]
    return {
        "kind": sheet.kind, "labels": coded, "parts": (parts.boxes, parts.areas, parts.colours, parts.step),
        "owners": part_ids(parts, sheet.ids), "boxes": np.array(boxes) / parts.step, "elements": len(sheet.boxes),
    }  # fmt: skip


def _parts_of(row) -> tuple[Parts, NDArray[np.int64]]:  # type: ignore[no-untyped-def]
    boxes, areas, colours, step = row["parts"]
    parts = Parts(
        cv2.imdecode(row["labels"], cv2.IMREAD_UNCHANGED).astype(np.int32), boxes, areas, colours, step
    )
    gone = find_furniture(parts)
    return without(parts, gone), row["owners"][~gone]


@dataclass(slots=True)
class Lettered:
    """A sheet's lines of marks with their measurements, true classes and weights in training.

    `chances` is how surely each is lettering by a judge that did not learn from this sheet.
    """

    parts: Parts
    lines: list[MarkLine]
    measured: NDArray[np.float32]
    classes: NDArray[np.int64]
    weights: NDArray[np.float64]
    chances: NDArray[np.float32]

    def rows(self):  # type: ignore[no-untyped-def]
        """As the first judge of lines sees them."""
        return self.measured, self.classes, self.weights

    def rows_again(self):  # type: ignore[no-untyped-def]
        """As the second does."""
        company = measure_company(self.parts, self.lines, self.measured, self.chances)
        return company, self.classes, self.weights

    def look(self) -> None:
        """Let the first judge look, for the second to learn from."""
        self.chances = verdicts.judge("line", self.measured)[:, 1]

    def look_again(self) -> None:
        """Let the second judge look, for the judges of groups to learn from."""
        self.chances = verdicts.judge("line again", self.rows_again()[0])[:, 1]


def lettered(parts: Parts, owners: NDArray[np.int64], boxes: NDArray[np.float64]) -> Lettered:
    """The lines of a sheet; one that is much of its drawing counts more than a crumb."""
    lines = chain_lines(parts)
    shares, weights = np.zeros(len(lines)), np.full(len(lines), 20 / max(20, len(lines)))
    for k, line in enumerate(lines):
        own, areas = owners[list(line.parts)], parts.areas[list(line.parts)]
        shares[k] = areas[own == NOT_DRAWN].sum() / areas.sum()
        drawn = own[(own > 0) & (own < NOT_DRAWN)]
        if len(drawn) and shares[k] <= 0.5:
            x0, y0, x1, y1 = line.box
            weights[k] *= 0.4 + 2 * min(1.0, max(x1 - x0, y1 - y0) / max(boxes[drawn[0] - 1, 2:]))
    measured = measure_lines(parts, lines) if lines else np.zeros((0, 1), np.float32)
    shape = np.broadcast_to(np.int32(0), parts.labels.shape)  # thousands of pages would not fit into memory
    return Lettered(
        replace(parts, labels=shape),
        lines,
        measured,
        (shares > 0.5).astype(int),
        weights,
        np.zeros(0, np.float32),
    )


def without_lettering(read: Lettered, parts: Parts, owners: NDArray[np.int64]):  # type: ignore[no-untyped-def]
    """What groups are formed of, once the captions are set aside."""
    lines = [
        replace(line, chance=float(chance)) for line, chance in zip(read.lines, read.chances, strict=True)
    ]
    kept = lettering(find_captions(parts, lines), parts.count) == 0
    rest = without(parts, ~kept)
    if not rest.count:
        return None
    return survey(rest, lettering(lines, parts.count)[kept]), *find_gaps(rest), owners[kept]


def true_classes(nodes, owners, areas, boxes):  # type: ignore[no-untyped-def]
    """The class of every node, and how much it counts in training."""
    total = len(nodes.parent)
    kinds = [set() for _ in range(total)]
    junk = np.zeros(total)
    for leaf in range(nodes.leaves):
        if 0 < owners[leaf] < NOT_DRAWN:
            kinds[leaf] = {int(owners[leaf])}
        else:
            junk[leaf] = areas[leaf]
    for node in range(nodes.leaves, total):
        kinds[node] = kinds[nodes.left[node]] | kinds[nodes.right[node]]
        junk[node] = junk[nodes.left[node]] + junk[nodes.right[node]]
    share = np.zeros(total)
    for node in range(total):
        if len(kinds[node]) == 1:
            share[node] = _overlap(nodes.boxes[node], boxes[next(iter(kinds[node])) - 1])
    # An element with foreign lettering hanging on is still one if the box hardly changes.
    pure = np.array([len(own) == 1 for own in kinds]) & ((junk == 0) | (share > 0.85))
    classes = np.full(total, SEVERAL)
    weights = np.ones(total)
    parent = nodes.parent
    for node in range(total - 1, -1, -1):
        up = parent[node]
        if not kinds[node]:
            classes[node] = NONE
            weights[node] = 0.5
        elif pure[node]:
            same_above = up >= 0 and pure[up] and classes[up] in (ELEMENT, PART)
            classes[node] = PART if same_above else ELEMENT
            if not same_above and share[node] < 0.7:
                weights[node] = 0.1  # only a fragment: the tree holds no better
    return classes, weights


def _overlap(a, b):  # type: ignore[no-untyped-def]
    w = min(a[2], b[0] + b[2]) - max(a[0], b[0])
    h = min(a[3], b[1] + b[3]) - max(a[1], b[1])
    shared = max(0, w) * max(0, h)
    return shared / max(1, (a[2] - a[0]) * (a[3] - a[1]) + b[2] * b[3] - shared)


class Example:
    """A sheet's parts, and its trees: of each, the nodes in `kept`, their true classes and weights in training."""

    def __init__(self, graph, boxes, rng) -> None:  # type: ignore[no-untyped-def]
        self.ground, self.pairs, self.gaps, self.owners = graph
        self.boxes, self.rng = boxes, rng
        self.nodes: list[Nodes] = []
        self.picked: list[tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]] = []
        self.looks: list[Look] = []

    def pair_rows(self):  # type: ignore[no-untyped-def]
        """Measurements, classes and weights of pairs of groups, as the judge of links sees them."""
        measured, classes = pure_joins(self.ground, self.pairs, self.gaps, self.owners)
        few = self.rng.random(len(classes)) < PAIRS / max(PAIRS, len(classes))
        return measured[few], classes[few], np.full(few.sum(), max(20, few.sum()) ** -0.5)

    def grow(self) -> None:
        """Let the judge of links grow its tree, beside the others, for the judges of groups to learn from."""
        for tree in grow_trees(self.ground, self.pairs, self.gaps):
            nodes = tabulate(tree, self.ground)
            self.nodes.append(nodes)
            self.picked.append(pick_nodes(nodes, self))

    def rows(self):  # type: ignore[no-untyped-def]
        """Measurements, classes and weights as the first judge sees them."""
        return self._picked(
            [
                measure_nodes(nodes, self.ground, first_habit(nodes, self.ground), way)
                for way, nodes in enumerate(self.nodes)
            ]
        )

    def look(self) -> None:
        """Let the first judge look, for the second to learn from."""
        self.looks = [first_look(nodes, self.ground, way) for way, nodes in enumerate(self.nodes)]

    def rows_again(self):  # type: ignore[no-untyped-def]
        """The same as the second judge sees them."""
        return self._picked(measure_again(self.looks, self.ground))

    def _picked(self, measured):  # type: ignore[no-untyped-def]
        rows = [own[kept] for own, (kept, _, _) in zip(measured, self.picked, strict=True)]
        return np.concatenate(rows), *(np.concatenate([one[k] for one in self.picked]) for k in (1, 2))


def pick_nodes(nodes: Nodes, sheet: Example):  # type: ignore[no-untyped-def]
    """Which nodes of a tree to learn from, their classes and weights."""
    ground = sheet.ground
    classes, weights = true_classes(nodes, sheet.owners, ground.areas, sheet.boxes)
    small = (nodes.boxes[:, 2:] - nodes.boxes[:, :2]).max(axis=1) / max(ground.size)
    weights = weights * np.where(classes == PART, np.clip(small * 8, 0.03, 1), 1)
    # Every sheet counts about alike, however many parts it has; of the countless crumbs a few will do.
    weights *= 30 / max(30, weights.sum())
    chance = np.where((classes == PART) & (small < 0.03), 0.12, 1.0)
    kept = np.flatnonzero(sheet.rng.random(len(chance)) < chance)
    return kept, classes[kept], (weights / chance)[kept]


def pure_joins(ground, pairs, gaps, owners):  # type: ignore[no-untyped-def]
    """Measurements of all pairs met while a tree is grown that joins only what is of one drawing, and whether each is.

    Pairs of two pieces of lettering are left out: nobody says which belong together.
    """
    first, second, across = pairs[:, 0].tolist(), pairs[:, 1].tolist(), gaps.tolist()
    tree, near = sprout(ground.boxes, first, second, across)
    linked, own, heap = Linked(ground), list(owners), []
    measured, classes = [np.zeros((0, 31), np.float32)], [np.zeros(0, np.int64)]

    def meet(a: list[int], b: list[int], gap: list[float]) -> None:
        drawn = [0 < own[i] < NOT_DRAWN or 0 < own[j] < NOT_DRAWN for i, j in zip(a, b, strict=True)]
        same = np.array([own[i] == own[j] for i, j in zip(a, b, strict=True)])
        measured.append(linked.measure(tree, a, b, gap)[drawn])
        classes.append(same[drawn].astype(np.int64))
        costs = WAYS[0].costs(tree, a, b, gap)
        for k in np.flatnonzero(same & drawn).tolist():
            heapq.heappush(heap, (costs[k], a[k], b[k]))

    if first:
        meet(first, second, across)
    while heap:
        cost, a, b = heapq.heappop(heap)
        if tree.parent[a] >= 0 or tree.parent[b] >= 0:
            continue
        new = join(tree, near, a, b, cost)
        own.append(own[a])
        if near[new]:
            meet([new] * len(near[new]), list(near[new]), list(near[new].values()))
    return np.concatenate(measured), np.concatenate(classes)


def compare(folder: Path) -> None:
    """F1 and share entirely right of the present weights on gathered sheets that were not trained on."""
    found: dict[str, list[tuple[int, int, int, float]]] = {}
    for path in sorted(folder.glob("*.pickle")):
        for row in pickle.loads(path.read_bytes()):
            parts, _ = _parts_of(row)
            seen = see_page(parts, None)
            boxes = [box_of(seen.parts, group) for group in seen.groups]
            true = [tuple(box) for box in row["boxes"].tolist() if box[2] > 0]
            found.setdefault(row["kind"], []).append((matches(boxes, true), len(boxes), len(true), 0.0))
    for kind, own in found.items():
        print(printed(kind, own))
    print(printed("all", [one for own in found.values() for one in own]))


def train(folder: Path) -> None:
    """Fit the judges of lines first, then on what they leave the judges of groups.

    What a judge learns from that another says of a sheet is said by one that did not learn from that sheet.
    """
    rows = [row for path in sorted(folder.glob("*.pickle")) for row in pickle.loads(path.read_bytes())]
    stored = dict(np.load(verdicts.WEIGHTS)) if verdicts.WEIGHTS.exists() else {}
    read = [lettered(*_parts_of(row), row["boxes"]) for row in rows]
    lined = [one for one in read if one.lines]
    _fit(stored, "line", lined, Lettered.rows, 2, LINE_NET, Lettered.look)
    _fit(stored, "line again", lined, Lettered.rows_again, 2, LINE_NET, Lettered.look_again)
    rng = np.random.default_rng(5)
    known = [
        Example(graph, row["boxes"], rng)
        for row, own in zip(rows, read, strict=True)
        if (graph := _graph(row, own)) is not None and len(graph[1])
    ]
    print(f"{len(known)} sheets", flush=True)
    del rows, read, lined
    _fit(stored, "link", known, Example.pair_rows, 2, LINK_NET, Example.grow)
    _fit(stored, "group", known, Example.rows, 4, GROUP_NET, Example.look)
    _fit(stored, "group again", known, Example.rows_again, 4, GROUP_NET)


def _graph(row, read: Lettered):  # type: ignore[no-untyped-def]
    """What groups are formed of on a sheet, None on one that teaches nothing about them."""
    parts, owners = _parts_of(row)
    if find_frames(parts) or (row["kind"] != "single" and row["elements"] < 2):
        return None
    return without_lettering(read, parts, owners)


def train_sheetness(folder: Path, lone: int) -> None:
    """Fit the judge that tells sheets from single drawings, on gathered sheets and on `lone` drawings alone."""
    rng = np.random.default_rng(77)
    rows, classes = [], []
    for path in sorted(folder.glob("[0-9]*.pickle"))[:30]:
        for row in pickle.loads(path.read_bytes()):
            parts, _ = _parts_of(row)
            facts = page_facts(parts, see_page(parts, None))
            if len(facts[0]) > 1:
                rows.append(measure_page(*facts))
                classes.append(int(row["elements"] > 1))
    for _ in range(lone):
        facts = reduced_facts(lone_picture(rng, "tune"))
        if len(facts[0]) > 1:
            rows.append(measure_page(*facts))
            classes.append(0)
    told = np.array(classes)
    # Lone drawings are the rule at intake, and offering to cut one up annoys more than a sheet missed.
    weights = np.where(told == 1, len(told) / max(1, told.sum()), 1.5 * len(told) / max(1, (1 - told).sum()))
    print(f"{told.sum()} sheets, {(1 - told).sum()} lone drawings in several pieces")
    stored = dict(np.load(verdicts.WEIGHTS))
    stored |= fit_net("sheet", np.stack(rows), told, weights, 2, (6,), epochs=700, left_out=0)
    np.savez_compressed(verdicts.WEIGHTS, **stored)


def lone_picture(rng: np.random.Generator, half: str) -> NDArray[np.uint8]:
    """A drawing as artists keep one: cropped close or with room, on white, paper or transparent ground."""
    style = rng.choice(["colour", "colour", "line", "parted"])
    side = float(rng.integers(150, 900))
    page = Page(int(side * 2), int(side * 2), (255, 255, 255), rng, half)
    drawing = drawing_for(
        page, style, side, side, {"weight": side / rng.uniform(100, 300), "breaks": rng.choice([0, 0.15])}
    )
    rim = round(side * rng.choice([0, 0.02, 0.1, 0.3]))
    rgba = cv2.copyMakeBorder(drawing, rim, rim, rim, rim, cv2.BORDER_CONSTANT, value=(0, 0, 0, 0))
    if rng.random() < 0.5:
        return np.asarray(rgba, np.uint8)
    paper = np.array(PAPERS[rng.integers(len(PAPERS))], np.float32)
    alpha = rgba[..., 3:].astype(np.float32) / 255
    flat = rgba[..., :3] * alpha + paper * (1 - alpha)
    return np.concatenate([flat.astype(np.uint8), np.full((*flat.shape[:2], 1), 255, np.uint8)], axis=2)


def _fit(stored, name, sheets, rows, kinds, hidden, look=None):  # type: ignore[no-untyped-def]
    """Fit a judge on all sheets; before, let one look at each part of them that learnt from the others."""
    data = [rows(sheet) for sheet in sheets]
    for part in range(FOLDS if look is not None else 0):
        _fit_on(stored, name, [own for k, own in enumerate(data) if k % FOLDS != part], kinds, hidden)
        for sheet in sheets[part::FOLDS]:
            look(sheet)
    _fit_on(stored, name, data, kinds, hidden)


def _fit_on(stored, name, data, kinds, hidden):  # type: ignore[no-untyped-def]
    measured, classes, weights = (np.concatenate([one[k] for one in data if len(one[0])]) for k in range(3))
    for old in [key for key in stored if key.startswith(f"{name}.")]:
        del stored[old]  # a judge reads as many layers as there are
    stored |= fit_net(name, measured, classes, weights, kinds, hidden)
    np.savez_compressed(verdicts.WEIGHTS, **stored)
    verdicts._weights.cache_clear()


if __name__ == "__main__":
    cv2.setNumThreads(1)
    options = argparse.ArgumentParser()
    options.add_argument("what", choices=["gather", "train", "compare", "sheetness"])
    options.add_argument("folder", type=Path)
    options.add_argument("first", type=int, nargs="?", default=0)
    options.add_argument("count", type=int, nargs="?", default=10)
    options.add_argument("--half", default="learn", choices=["learn", "prove", "tune"])
    options.add_argument("--evenly", action="store_true")
    chosen = options.parse_args()
    if chosen.what == "gather":
        gather(chosen.folder, chosen.first, chosen.count, chosen.half, chosen.evenly)
    elif chosen.what == "train":
        train(chosen.folder)
    elif chosen.what == "compare":
        compare(chosen.folder)
    else:
        train_sheetness(chosen.folder, chosen.count)
