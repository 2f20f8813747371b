"""The figures of a model on a set of described drawings: words, kin, line art, sketches, mirrors."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assetlib.vectors.training import metrics
from assetlib.vectors.training.render import flatten
from assetlib.vectors.training.sketches import rough_sketch

Picture = NDArray[np.uint8]
Vectors = NDArray[np.float32]


@dataclass(frozen=True)
class ExamFigure:
    """One measured value with the middle 95 % of its bootstrap draws."""

    name: str
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Views:
    """Unit vectors (N, D) of the same drawings in several states, and of their titles."""

    colour: Vectors
    line: Vectors
    rough: Vectors
    mirrored: Vectors
    small: Vectors
    titles: Vectors


def rough_views(colour: Picture, line: Picture) -> Picture:
    """Sketches uint8 (N, S, S) of the drawings, each with its own seed."""
    return np.stack([rough_sketch(line[i, 0], flatten(colour[i]), 1000 + i) for i in range(len(colour))])


def drawing_words(drawing: dict[str, Any]) -> list[str]:
    """The keywords a drawing is asked by."""
    return list(drawing["keywords"])


def category(drawing: dict[str, Any]) -> str:
    """The first folder of the archive that a drawing stands in: animals, tools, people."""
    return str(drawing["folder"]).partition("/")[0]


def figures(
    views: Views, drawings: Sequence[dict[str, Any]], text: Callable[[list[str]], Vectors]
) -> list[ExamFigure]:
    """Every figure of the table in the model card."""
    out = []
    to_colour = metrics.ranks(views.titles, views.colour)
    for k in (1, 5, 10):
        out.append(_figure(f"title to coloured drawing R@{k}", (to_colour < k).astype(float)))
    out.append(
        _figure("title to line art R@10", (metrics.ranks(views.titles, views.line) < 10).astype(float))
    )
    words, table = metrics.keyword_table([drawing_words(d) for d in drawings])
    asked = text(words)
    for name, gallery in (("colour", views.colour), ("line", views.line)):
        out.append(_figure(f"one keyword mAP, {name}", metrics.average_precisions(asked @ gallery.T, table)))
    out.append(
        _figure("same category P@10", metrics.kin_precision(views.colour, [category(d) for d in drawings]))
    )
    for name, queries in (
        ("line art", views.line), ("rough sketch", views.rough), ("mirrored", views.mirrored), ("64 px", views.small),
    ):  # fmt: skip
        found = metrics.ranks(queries, views.colour)
        out.append(_figure(f"{name} to original R@1", (found < 1).astype(float)))
    return out


def _figure(name: str, values: NDArray[np.float64]) -> ExamFigure:
    low, high = metrics.interval(values, lambda v: float(v.mean()))
    return ExamFigure(name, float(values.mean()), low, high)
