"""The rendered drawings with their captions, as tensors on one device."""

from __future__ import annotations

import json
import lzma
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor

from assetlib.vectors.training import captions
from assetlib.vectors.training.compose import MEMBERS

# How often a drawing of a set is shown: openclipart is nearest to an artist's drawings, interface signs are farthest.
_SHARES = {"oc": 1.6, "peeps": 1.0, "hugeicons": 0.35, "carbon": 0.3, "mingcute": 0.35, "material-symbols": 0.5,
           "solar": 0.4, "tabler": 0.6, "mdi": 0.7, "fluent-color": 0.5}  # fmt: skip
_COPY_SCORE = (
    0.90  # likeness of 32 px thumbnails above which a training drawing counts as a copy of a held-out one
)


def read_drawings(path: Path) -> list[dict[str, Any]]:
    """The collected drawings, in order."""
    opener = lzma.open if path.suffix == ".xz" else open
    with opener(path, "rt", encoding="utf-8") as lines:
        return [json.loads(line) for line in lines]


def thumbnails(colour: Tensor) -> Tensor:
    """Unit vectors float (N, 1024) of the drawings on white at 32 px; uint8 (N, 192, 192, 4) in."""
    rows = []
    for part in colour.split(2048):
        picture = part.float().permute(0, 3, 1, 2) / 255
        grey = (picture[:, :3] * picture[:, 3:]).mean(1) + 1 - picture[:, 3]
        small = torch.nn.functional.adaptive_avg_pool2d(1 - grey, 32).flatten(1)
        rows.append(torch.nn.functional.normalize(small - small.mean(1, keepdim=True), dim=1))
    return torch.cat(rows)


@dataclass
class Corpus:
    """Training drawings: pictures uint8, captions as indices into `texts`."""

    drawings: list[dict[str, Any]]
    colour: Tensor  # (N, 4, S, S)
    lines: Tensor  # (N, 2, S, S)
    texts: list[str]
    caption_ids: Tensor  # (N, CAPTIONS), -1 where there are fewer
    caption_weights: Tensor  # (N, CAPTIONS)
    share: Tensor  # (N,)
    scene_members: Tensor  # (M, MEMBERS), -1 where there are fewer
    scene_text: Tensor  # (M,)
    scene_ground: Tensor  # (M,)


def load(
    drawings: list[dict[str, Any]],
    kept: np.ndarray,
    folder: Path,
    device: torch.device,
    scene_count: int,
    seed: int,
) -> Corpus:
    """The corpus of the kept rows."""
    rows = np.flatnonzero(kept)
    chosen = [drawings[i] for i in rows]
    colour = (
        _to_device(np.load(folder / "colour.npy", mmap_mode="r"), rows, device)
        .permute(0, 3, 1, 2)
        .contiguous()
    )
    lines = _to_device(np.load(folder / "line.npy", mmap_mode="r"), rows, device)
    texts: dict[str, int] = {}
    ids, weights = _captions(chosen, texts, seed)
    made = captions.scenes(chosen, scene_count, seed)
    members = np.full((scene_count, MEMBERS), -1, np.int64)
    for row, scene in enumerate(made):
        members[row, : len(scene.members)] = scene.members
    scene_text = [texts.setdefault(s.caption, len(texts)) for s in made]
    return Corpus(
        chosen, colour, lines, list(texts), torch.from_numpy(ids).to(device), torch.from_numpy(weights).to(device),
        torch.tensor([_SHARES.get(d["set"], 1.0) for d in chosen], device=device),
        torch.from_numpy(members).to(device), torch.tensor(scene_text, device=device),
        torch.tensor([s.ground for s in made], device=device),
    )  # fmt: skip


def _to_device(array: np.ndarray, rows: np.ndarray, device: torch.device) -> Tensor:
    parts = [
        torch.from_numpy(np.ascontiguousarray(array[part])).to(device)
        for part in np.array_split(rows, 64)
        if len(part)
    ]
    return torch.cat(parts)


def _captions(
    drawings: list[dict[str, Any]], texts: dict[str, int], seed: int
) -> tuple[np.ndarray, np.ndarray]:
    generator = random.Random(seed)
    ids = np.full((len(drawings), captions.CAPTIONS), -1, np.int64)
    weights = np.zeros((len(drawings), captions.CAPTIONS), np.float32)
    for row, drawing in enumerate(drawings):
        for column, (text, weight) in enumerate(captions.captions_of(drawing, generator)):
            ids[row, column] = texts.setdefault(text, len(texts))
            weights[row, column] = weight
    return ids, weights


def copies_of(heldout: Tensor, train: Tensor) -> Tensor:
    """Bool (N,): which training thumbnails show the same drawing as a held-out one, mirrored or not."""
    mirrored = heldout.view(-1, 32, 32).flip(2).flatten(1)
    best = torch.maximum((train @ heldout.T).amax(1), (train @ mirrored.T).amax(1))
    return best > _COPY_SCORE


def on_white(rgba: Tensor) -> Tensor:
    """Colour float (B, 3, S, S) on white from uint8 (B, 4, S, S)."""
    picture = rgba.float() / 255
    return picture[:, :3] * picture[:, 3:] + 1 - picture[:, 3:]
