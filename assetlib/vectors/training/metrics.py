"""Figures of retrieval quality from unit vectors: recall at k, average precision of keywords, precision of kin."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

Vectors = NDArray[np.float32]
SMALLEST_KEYWORD = 3  # a keyword counts if at least so many drawings of the gallery carry it


def ranks(queries: Vectors, gallery: Vectors) -> NDArray[np.int64]:
    """For query i the number of gallery rows nearer than row i; ties count half."""
    scores = queries @ gallery.T
    own = np.diagonal(scores)[:, None]
    above = (scores > own).sum(1)
    level = (scores == own).sum(1) - 1
    return np.asarray(above + level // 2, np.int64)


def average_precisions(scores: NDArray[np.float32], relevant: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Average precision of each row: scores (Q, N), relevant (Q, N) with at least one true a row."""
    order = np.argsort(-scores, axis=1, kind="stable")
    hits = np.take_along_axis(relevant, order, 1)
    precision = np.cumsum(hits, 1) / np.arange(1, hits.shape[1] + 1)
    return np.asarray((precision * hits).sum(1) / hits.sum(1), np.float64)


def keyword_table(
    keywords: Sequence[Sequence[str]], smallest: int = SMALLEST_KEYWORD
) -> tuple[list[str], NDArray[np.bool_]]:
    """The keywords that enough drawings carry, and who carries them, bool (K, N)."""
    counts = Counter(w for ws in keywords for w in set(ws))
    chosen = sorted(w for w, n in counts.items() if smallest <= n <= len(keywords) // 2)
    table = np.array([[w in ws for ws in keywords] for w in chosen], bool).reshape(len(chosen), len(keywords))
    return chosen, table


def kin_precision(gallery: Vectors, categories: Sequence[str], k: int = 10) -> NDArray[np.float64]:
    """For each drawing whose category holds two or more: share of its k nearest others in that category."""
    counts = Counter(categories)
    names = np.array(categories)
    scores = gallery @ gallery.T
    np.fill_diagonal(scores, -np.inf)
    nearest = np.argsort(-scores, axis=1)[:, :k]
    right = (names[nearest] == names[:, None]).mean(1)
    return np.asarray(right[[counts[c] > 1 for c in categories]], np.float64)


def interval(
    values: NDArray[np.generic], statistic: Callable[[NDArray[np.generic]], float], draws: int = 2000
) -> tuple[float, float]:
    """The middle 95 % of the statistic over bootstrap draws of the values, seed fixed."""
    generator = np.random.default_rng(7)
    picks = generator.integers(0, len(values), (draws, len(values)))
    results = np.array([statistic(values[p]) for p in picks])
    low, high = np.percentile(results, [2.5, 97.5])
    return float(low), float(high)
