"""Small trained judges: what a line of marks or a group of parts is, from its measurements."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

WEIGHTS = Path(__file__).with_name("sheet_verdicts.npz")  # made by tests/bench/sheet_training.py


@cache
def _weights() -> dict[str, NDArray[np.float32]]:
    with np.load(WEIGHTS) as stored:
        return {name: stored[name] for name in stored.files}


def judge(name: str, measured: NDArray[np.float32]) -> NDArray[np.float32]:
    """Probabilities (n, classes) of one judge for measurements (n, features), float32."""
    weights = _weights()
    values = (measured - weights[f"{name}.mean"]) / weights[f"{name}.scale"]
    values = np.clip(values, -4, 4)  # what lies outside of all that was seen in training counts as its edge
    layer = 0
    while f"{name}.w{layer + 1}" in weights:
        values = np.maximum(values @ weights[f"{name}.w{layer}"] + weights[f"{name}.b{layer}"], 0)
        layer += 1
    values = values @ weights[f"{name}.w{layer}"] + weights[f"{name}.b{layer}"]
    values = np.exp(values - values.max(axis=1, keepdims=True))
    return np.asarray(values / values.sum(axis=1, keepdims=True), np.float32)
