"""A small classifier trained with numpy alone: hidden layers of rectified units, weighted cross-entropy.

Adam with decoupled decay (Loshchilov and Hutter 2019), dropout (Srivastava and others 2014).
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Rows = NDArray[np.float32]
RATE, DECAY, BATCH = 2e-3, 0.1, 512


def fit_net(
    name: str, measured: Rows, classes: NDArray[np.int64], weights: Rows, kinds: int, hidden: tuple[int, ...],
    epochs: int = 16, left_out: float = 0.2, seed: int = 1,
) -> dict[str, Rows]:  # fmt: skip
    """The trained arrays as `assetlib.imaging.cutting.verdicts` reads them; prints the loss.

    `left_out` is the share of hidden units that a training step does without.
    """
    rng = np.random.default_rng(seed)
    mean, scale = measured.mean(axis=0), measured.std(axis=0) + 1e-3
    rows = np.clip((measured - mean) / scale, -4, 4).astype(np.float32)
    sizes = (rows.shape[1], *hidden, kinds)
    net = [rng.normal(0, (2 / a) ** 0.5, (a, b)).astype(np.float32) for a, b in pairwise(sizes)]
    net += [np.zeros(b, np.float32) for b in sizes[1:]]
    moments = [(np.zeros_like(part), np.zeros_like(part)) for part in net]
    weights = (weights / weights.mean()).astype(np.float32)
    held = rng.random(len(rows)) < 0.08
    train, test = np.flatnonzero(~held), np.flatnonzero(held)
    steps, done = epochs * (len(train) // BATCH + 1), 0
    for _ in range(epochs):
        order = rng.permutation(train)
        for start in range(0, len(order), BATCH):
            pick = order[start : start + BATCH]
            done += 1
            rate = RATE * 0.5 * (1 + np.cos(np.pi * done / steps))
            _step(
                net,
                moments,
                _slopes(net, rows[pick], classes[pick], weights[pick], rng, left_out),
                rate,
                done,
            )
    print(
        f"{name}: {len(rows)} rows, held-out loss {_loss(net, rows[test], classes[test], weights[test]):.4f}",
        flush=True,
    )
    layers = len(hidden) + 1
    found = {f"{name}.w{k}": net[k] for k in range(layers)} | {
        f"{name}.b{k}": net[layers + k] for k in range(layers)
    }
    return found | {f"{name}.mean": mean.astype(np.float32), f"{name}.scale": scale.astype(np.float32)}


def _forward(
    net: list[Rows], rows: Rows, rng: np.random.Generator | None = None, left_out: float = 0.0
) -> tuple[list[Rows], Rows]:
    """What every layer holds, and the probabilities; with `rng` some hidden units are left out."""
    layers = len(net) // 2
    held = [rows]
    for k in range(layers - 1):
        values = np.maximum(held[-1] @ net[k] + net[layers + k], 0)
        if rng is not None:
            values *= (rng.random(values.shape, np.float32) >= left_out) / np.float32(1 - left_out)
        held.append(values)
    out = held[-1] @ net[layers - 1] + net[-1]
    out = np.exp(out - out.max(axis=1, keepdims=True))
    return held, out / out.sum(axis=1, keepdims=True)


def _loss(net: list[Rows], rows: Rows, classes: NDArray[np.int64], weights: Rows) -> float:
    _, out = _forward(net, rows)
    return float((-np.log(out[np.arange(len(out)), classes] + 1e-9) * weights).sum() / weights.sum())


def _slopes(
    net: list[Rows], rows: Rows, classes: NDArray[np.int64], weights: Rows, rng: np.random.Generator,
    left_out: float,
) -> list[Rows]:  # fmt: skip
    layers = len(net) // 2
    held, out = _forward(net, rows, rng, left_out)
    out[np.arange(len(out)), classes] -= 1
    back = out * (weights / len(rows))[:, None]
    slopes: list[Rows] = [np.empty(0, np.float32)] * len(net)
    for k in range(layers - 1, -1, -1):
        slopes[k], slopes[layers + k] = held[k].T @ back, back.sum(axis=0)
        if k:
            back = (back @ net[k].T) * (held[k] > 0) / np.float32(1 - left_out)
    return slopes


def _step(
    net: list[Rows], moments: list[tuple[Rows, Rows]], slopes: list[Rows], rate: float, done: int
) -> None:
    for part, (first, second), slope in zip(net, moments, slopes, strict=True):
        first += 0.1 * (slope - first)
        second += 0.001 * (slope * slope - second)
        part -= rate * (first / (1 - 0.9**done) / (np.sqrt(second / (1 - 0.999**done)) + 1e-8) + DECAY * part)
