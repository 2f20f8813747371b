"""Trains the judge of openings on the tuning half of openclipart and on icon sets, and writes its weights.

`python -m tests.bench.openings_training gather FILE [--icons FOLDER] [--kept-apart FILE]` draws the line versions
and keeps what the network sees of them; `python -m tests.bench.openings_training train FILE` fits it, which wants
PyTorch and is quick only on a GPU. FOLDER holds the `icons.json` of `@iconify-json` packages (noto and fxemoji,
Apache-2.0; fluent-emoji-flat and flat-color-icons, MIT), each named after its set. Never run on the report half:
drawings whose bytes are the same as one of that half are left out.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import pickle
import re
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.body import LINE_ALPHA, fill_body
from assetlib.imaging.lookthrough import WEIGHTS, see_areas
from assetlib.imaging.openings import measure_areas
from tests.bench import drawn

WIDTH = 512  # pixels that drawings are rendered at
PENS = (1.5, 2.2, 3.0, 4.0, 6.0, 8.0)  # pixels, in drawings of one of these widths:
WIDTHS = (300, 500, 700, 900)
BARE = 16  # alpha up to which nothing is painted
GAPS = 4  # cut out of every second line
VARIANT = re.compile(r"skin-tone|^flag|-flag|(^|-)(light|medium-light|medium|medium-dark|dark)$")
KEPT = 6  # one drawing in so many is not trained on, and tells where the judge opens


@dataclass(frozen=True, slots=True)
class Example:
    """One line drawing: what the network sees, each area's measurements, share of hole, share of the paint."""

    number: int
    is_icon: bool
    picture: NDArray[np.uint8]
    places: NDArray[np.uint8]
    measured: NDArray[np.float32]
    hole: NDArray[np.float32]
    size: NDArray[np.float32]


def gather(file: Path, icons: Path | None, kept_apart: Path | None) -> None:
    """Keep examples of every drawing."""
    examples: list[Example] = []
    with tempfile.TemporaryDirectory() as folder:
        for number, path in enumerate(_drawings(kept_apart)):
            examples += _examples(number, path, False)
        for number, path in enumerate(_unpacked(icons, Path(folder)) if icons else (), start=20_000):
            examples += _examples(number, path, True)
    file.write_bytes(pickle.dumps(examples))


def _drawings(kept_apart: Path | None) -> Iterator[Path]:
    """The drawings of the tuning half that no other file repeats."""
    seen = {hashlib.sha256(path.read_bytes()).digest() for path in drawn.list_drawings(1, 100_000)}
    for path in drawn.list_drawings(0, 100_000, kept_apart):
        digest = hashlib.sha256(path.read_bytes()).digest()
        if digest not in seen and path.stat().st_size < 400_000:
            seen.add(digest)
            yield path


def _unpacked(icons: Path, folder: Path) -> Iterator[Path]:
    for file in sorted(icons.glob("*.json")):
        stored = json.loads(file.read_text())
        for name, icon in stored["icons"].items():
            if VARIANT.search(name) or icon.get("hidden"):
                continue
            width = icon.get("width", stored.get("width", 16))
            height = icon.get("height", stored.get("height", 16))
            box = f"{icon.get('left', 0)} {icon.get('top', 0)} {width} {height}"
            path = folder / f"{file.stem}-{name}.svg"
            path.write_text(
                '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
                f' viewBox="{box}" width="{width}" height="{height}">{icon["body"]}</svg>'
            )
            yield path
            path.unlink()


def _examples(number: int, path: Path, is_icon: bool) -> Iterator[Example]:
    """The line version and the contours of a drawing, in two line weights, the second with gaps."""
    rng = np.random.default_rng(number)
    colour = drawn.render(path, WIDTH)
    if colour is None or max(colour.shape) > 1200:
        return
    colour = np.pad(colour, ((8, 8), (8, 8), (0, 0)))
    solid, painted = colour[..., 3] > 127, colour[..., 3] > BARE
    if not 1500 < solid.sum() < 0.92 * solid.size or drawn.fill_holes(painted).sum() > 1.35 * painted.sum():
        return
    for gaps in (0, GAPS):
        pen = max(0.8, float(rng.choice(PENS)) * WIDTH / int(rng.choice(WIDTHS)))
        line = drawn.render(path, WIDTH, pen)
        if line is not None and line.shape[0] == colour.shape[0] - 16:
            alpha = np.pad(line[..., 3], 8)
            enclosed, true = drawn.fill_holes(alpha >= LINE_ALPHA), drawn.fill_holes(solid) | (alpha > 127)
            if (enclosed & true).sum() > 0.97 * (enclosed | true).sum():
                yield from _example(number, is_icon, colour, drawn.cut_gaps(alpha, gaps, rng))
        yield from _example(
            number, is_icon, colour, drawn.cut_gaps(drawn.draw_contours(colour, pen), gaps, rng)
        )


def _example(
    number: int, is_icon: bool, colour: NDArray[np.uint8], line: NDArray[np.uint8]
) -> Iterator[Example]:
    painted = colour[..., 3] > BARE
    bare = drawn.fill_holes(painted) & ~painted
    glass = painted & (colour[..., 3] <= 127)
    ink = np.zeros_like(colour)
    ink[..., 3] = line
    body = fill_body(ink)
    labels, measured, wanted = measure_areas(ink, body)
    if not len(wanted):
        return
    hole, pane, total = (_sums(mask, labels)[wanted] for mask in (bare, glass, np.ones_like(bare)))
    hole, pane, size = hole / total, pane / total, total / _sums(painted, labels).sum()
    # half-transparent paint is neither hole nor closed
    hole = np.where((hole < 0.4) & (pane > 0.4), 0.5, hole)
    picture, places = see_areas(line, body, labels, wanted)
    yield Example(
        number,
        is_icon,
        np.rint(picture * 255).astype(np.uint8),
        places,
        measured,
        hole.astype(np.float32),
        size.astype(np.float32),
    )


def _sums(mask: NDArray[np.bool_], labels: NDArray[np.int32]) -> NDArray[np.float64]:
    """How much of a mask stands in every labelled area, in pixels of the labels."""
    share = cv2.resize(mask.astype(np.float32), labels.shape[::-1], interpolation=cv2.INTER_AREA)
    return np.bincount(labels.ravel(), weights=share.ravel(), minlength=int(labels.max()) + 1)


def train(file: Path, steps: int) -> None:
    """Fit the network and write it; prints how many of the holes kept apart open at several shares of closed areas."""
    from tests.bench.openings_net import Data, fit, fold, score

    examples: list[Example] = pickle.loads(file.read_bytes())
    kept = [one for one in examples if not one.is_icon and one.number % KEPT == 0]
    network = fit(Data([one for one in examples if one.is_icon or one.number % KEPT]), steps)
    data = Data(kept)
    scores, hole, counted = score(network, data)
    closed = np.sort(scores[counted & ~hole])
    for share in (0.01, 0.02, 0.05, 0.1):
        level = closed[int(len(closed) * (1 - share))]
        print(f"wrongly {share:.2f}: opened {(scores[counted & hole] > level).mean():.3f}, from {level:.3f}")
    np.savez_compressed(WEIGHTS, **{name: own.astype(np.float16) for name, own in fold(network).items()})


if __name__ == "__main__":
    cv2.setNumThreads(1)
    options = argparse.ArgumentParser()
    options.add_argument("what", choices=["gather", "train"])
    options.add_argument("file", type=Path)
    options.add_argument("--icons", type=Path)
    options.add_argument("--kept-apart", type=Path, help="JSON lists of drawings never to look at")
    options.add_argument("--steps", type=int, default=4000)
    chosen = options.parse_args()
    if chosen.what == "gather":
        gather(chosen.file, chosen.icons, chosen.kept_apart)
    else:
        train(chosen.file, chosen.steps)
