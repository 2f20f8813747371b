"""Trains the judges of sheet cutting on made sheets of the tuning half and writes their weights.

`python -m tests.bench.sheet_training gather FOLDER FIRST COUNT` keeps the parts of made sheets;
`python -m tests.bench.sheet_training train FOLDER` fits the judges. Never run on the report half.
"""

from __future__ import annotations

import argparse
import pickle
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging import verdicts
from assetlib.imaging.captions import chain_lines, find_captions, measure_lines
from assetlib.imaging.evidence import Ground, Nodes, measure_nodes, survey, tabulate
from assetlib.imaging.frames import find_frames
from assetlib.imaging.furniture import find_furniture
from assetlib.imaging.grouping import ELEMENT, NONE, PART, SEVERAL, WAYS, first_habit, habit_of, likeliest
from assetlib.imaging.layout import box_of, page_facts, see_page
from assetlib.imaging.merging import grow_tree
from assetlib.imaging.paper import find_ink
from assetlib.imaging.pieces import Parts, find_gaps, find_parts, without
from assetlib.imaging.sheetness import measure_page
from assetlib.imaging.sheets import reduced_facts
from tests.bench.sheet_maker import EXTRA, KINDS, PAPERS, MadeSheet, Page, drawing_for, make_sheet
from tests.bench.sheet_net import fit_net
from tests.bench.sheets import line as printed
from tests.bench.sheets import matches

NOT_DRAWN = 255  # the id of lettering and furniture on made sheets
TRAINED_ON = tuple(kind for kind in (*KINDS, *EXTRA) if kind not in ("frames", "panels"))


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


def gather(folder: Path, first: int, count: int) -> None:
    """Keep what training needs of `count` sheets of every kind."""
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(first, first + count):
        kept = [_reduced(make_sheet(kind, seed, "tune", 2300)) for kind in TRAINED_ON]
        (folder / f"{seed}.pickle").write_bytes(pickle.dumps(kept))


def _reduced(sheet: MadeSheet) -> dict[str, object]:
    ink = find_ink(sheet.rgba)
    parts = find_parts(ink.mask, ink.rgb)
    boxes = [
        cv2.boundingRect((sheet.ids == k).astype(np.uint8))
        for k in range(1, NOT_DRAWN)
        if k <= len(sheet.boxes) + 30
    ]
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


def line_rows(parts: Parts, owners: NDArray[np.int64]):  # type: ignore[no-untyped-def]
    """Measurements, classes and weights of a sheet's lines of marks."""
    lines = chain_lines(parts)
    if not lines:
        return None
    areas = [parts.areas[list(line.parts)] for line in lines]
    shares = [
        (own * (owners[list(line.parts)] == NOT_DRAWN)).sum() / own.sum()
        for own, line in zip(areas, lines, strict=True)
    ]
    weights = np.full(len(lines), 20 / max(20, len(lines)))
    return measure_lines(parts, lines), (np.array(shares) > 0.5).astype(int), weights


def without_lettering(parts: Parts, owners: NDArray[np.int64]):  # type: ignore[no-untyped-def]
    """What groups are formed of, once the captions are set aside."""
    lettered = np.zeros(parts.count, bool)
    for line in find_captions(parts):
        lettered[list(line.parts)] = True
    rest = without(parts, lettered)
    return (survey(rest), *find_gaps(rest), owners[~lettered]) if rest.count else None


class _Bare:
    """As much of `Parts` as a tree is grown from."""

    def __init__(self, ground: Ground) -> None:
        self.boxes, self.count = ground.boxes, len(ground.boxes)


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


@dataclass(frozen=True, slots=True)
class Example:
    """One tree of one sheet, with the true class and the weight in training of the nodes in `kept`."""

    nodes: Nodes
    ground: Ground
    way: int
    kept: NDArray[np.int64]
    classes: NDArray[np.int64]
    weights: NDArray[np.float64]

    def rows(self, judged):  # type: ignore[no-untyped-def]
        """Measurements, classes and weights; with `judged` as the second judge sees them."""
        habit = first_habit(self.nodes, self.ground)
        if judged is not None:
            verdicts_ = judged(measure_nodes(self.nodes, self.ground, habit, self.way))
            habit = habit_of(self.nodes, likeliest(self.nodes, verdicts_)) or habit
        return measure_nodes(self.nodes, self.ground, habit, self.way)[self.kept], self.classes, self.weights


def examples(graph, boxes, rng):  # type: ignore[no-untyped-def]
    """The three trees of a sheet."""
    ground, pairs, gaps, owners = graph
    for k, way in enumerate(WAYS):
        nodes = tabulate(grow_tree(_Bare(ground), pairs, gaps, way), ground)
        classes, weights = true_classes(nodes, owners, ground.areas, boxes)
        small = np.maximum(
            nodes.boxes[:, 2] - nodes.boxes[:, 0], nodes.boxes[:, 3] - nodes.boxes[:, 1]
        ) / max(ground.size)
        weights = weights * np.where(classes == PART, np.clip(small * 8, 0.03, 1), 1)
        # Every sheet counts about alike, however many parts it has; of the countless crumbs a few will do.
        weights *= 30 / max(30, weights.sum())
        chance = np.where((classes == PART) & (small < 0.03), 0.12, 1.0)
        kept = np.flatnonzero(rng.random(len(chance)) < chance)
        yield Example(nodes, ground, k, kept, classes[kept], (weights / chance)[kept])


def held_out(path: Path) -> bool:
    """Whether a file of gathered sheets is kept for comparing ways of training."""
    return path.stem.isdigit() and int(path.stem) % 10 == 9


def compare(folder: Path) -> None:
    """F1 and share entirely right of the present weights on the held-out gathered sheets."""
    found: dict[str, list[tuple[int, int, int, float]]] = {}
    for path in sorted(folder.glob("*.pickle")):
        for row in pickle.loads(path.read_bytes()) if held_out(path) else []:
            parts, _ = _parts_of(row)
            seen = see_page(parts, None)
            boxes = [box_of(seen.parts, group) for group in seen.groups]
            true = [tuple(box) for box in row["boxes"].tolist() if box[2] > 0]
            found.setdefault(row["kind"], []).append((matches(boxes, true), len(boxes), len(true), 0.0))
    for kind, own in found.items():
        print(printed(kind, own))
    print(printed("all", [one for own in found.values() for one in own]))


def train(folder: Path) -> None:
    """Fit the line judge first, then on what it leaves the group judges."""
    rows = [
        row
        for path in sorted(folder.glob("*.pickle"))
        if not held_out(path)
        for row in pickle.loads(path.read_bytes())
    ]
    sheets = [(row, *_parts_of(row)) for row in rows]
    stored = dict(np.load(verdicts.WEIGHTS)) if verdicts.WEIGHTS.exists() else {}
    data = [lines for _, parts, owners in sheets if (lines := line_rows(parts, owners)) is not None]
    _fit(stored, "line", data, 2, (24,))
    graphs = [
        (graph, row["boxes"])
        for row, parts, owners in sheets
        if not find_frames(parts)
        and (row["kind"] == "single" or row["elements"] > 1)
        and (graph := without_lettering(parts, owners)) is not None
    ]
    del sheets
    rng = np.random.default_rng(5)
    known = [example for graph, boxes in graphs for example in examples(graph, boxes, rng)]
    print(f"{len(graphs)} sheets", flush=True)
    _fit(stored, "group", [example.rows(None) for example in known], 4, (80, 40))

    def judged(values: NDArray[np.float32]) -> NDArray[np.float32]:
        return verdicts.judge("group", values)

    _fit(stored, "group again", [example.rows(judged) for example in known], 4, (80, 40))


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
    stored |= fit_net("sheet", np.stack(rows), told, weights, 2, (6,), epochs=700)
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


def _fit(stored, name, data, kinds, hidden):  # type: ignore[no-untyped-def]
    measured, classes, weights = (np.concatenate([one[k] for one in data]) for k in range(3))
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
    chosen = options.parse_args()
    if chosen.what == "gather":
        gather(chosen.folder, chosen.first, chosen.count)
    elif chosen.what == "train":
        train(chosen.folder)
    elif chosen.what == "compare":
        compare(chosen.folder)
    else:
        train_sheetness(chosen.folder, chosen.count)
