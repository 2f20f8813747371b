"""How well the models of a library find the artist's own described drawings, and which of them does it better."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assetlib.catalogue import embedded, lookup
from assetlib.errors import TooFewDescribed
from assetlib.library import Library
from assetlib.services.finding import modelshelf
from assetlib.services.finding.modelshelf import Kept
from assetlib.vectors.encoders import open_encoder
from assetlib.vectors.stored import unpacked
from assetlib.vectors.training import metrics

Vectors = NDArray[np.float32]
Values = NDArray[np.float64]

FEWEST = 30
"""Described drawings below which figures say nothing: common sense, an interval is then wider than any difference."""

NEAREST = 10
"""How many of the nearest drawings are looked at for those of the same tag: about what a result page shows first."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A measured value between 0 and 1, with the middle 95 % of its bootstrap draws."""

    name: str
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Measured:
    """The figures of one model."""

    name: str
    recipe: str
    in_use: bool
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class ModelComparison:
    """All models on the same drawings; `better` is the recipe of the one that clearly serves them better, if any."""

    drawings: int
    models: tuple[Measured, ...]
    left_out: tuple[str, ...]
    """Models that have too few vectors to be measured."""
    better: str | None
    sentence: str


@dataclass(frozen=True, slots=True)
class _Drawings:
    """The described drawings, in one order: ids, titles, tags."""

    ids: list[int]
    titles: list[str]
    tags: list[list[str]]


def measure(lib: Library) -> ModelComparison:
    """The figures of the model in use and of every other that has vectors, on the drawings that the artist described.

    The words are those of the model alone: what is learned from the same drawings would know the answers.
    Raises TooFewDescribed.
    """
    with lookup.looking(lib.catalogue) as connection:
        used = modelshelf.in_use(lib, connection)
        kept = [used, *(other for other in modelshelf.available(lib) if other.recipe != used.recipe)]
        enough = [one for one in kept if len(embedded.described_with(connection, [one.recipe])) >= FEWEST]
        drawings = _drawings(connection, [one.recipe for one in enough or kept[:1]])
        if len(drawings.ids) < FEWEST:
            raise TooFewDescribed(
                f"only {len(drawings.ids)} drawings have tags of yours and are known by looks; "
                f"figures need {FEWEST} or more",
                "tag some more, run `assetlib upkeep`, and measure again",
            )
        values = [_values(connection, one, drawings) for one in enough]
    measured = tuple(
        Measured(one.described.name, one.recipe, one.recipe == used.recipe, _figures(found))
        for one, found in zip(enough, values, strict=True)
    )
    better, sentence = _verdict(measured, values, len(drawings.ids))
    left = tuple(one.recipe for one in kept if one not in enough)
    return ModelComparison(len(drawings.ids), measured, left, better, sentence)


def _drawings(connection: sqlite3.Connection, recipes: list[str]) -> _Drawings:
    rows = embedded.described_with(connection, recipes)
    return _Drawings([row[0] for row in rows], [row[1] for row in rows], [row[2] for row in rows])


def _values(connection: sqlite3.Connection, kept: Kept, drawings: _Drawings) -> dict[str, Values]:
    """What each figure is the mean of: by title, by tag, by drawing. The same order for every model."""
    encoder = open_encoder(kept.folder)
    gallery = unpacked([row[1] for row in lookup.vectors(connection, kept.recipe, drawings.ids)])
    titles = sorted({title for title in drawings.titles if any(letter.isalpha() for letter in title)})
    found = _first_places(encoder.text(titles) @ gallery.T, titles, drawings.titles)
    values = {f"title to drawing R@{k}": (found < k).astype(float) for k in (1, 5, 10)}
    tags, carried = metrics.keyword_table(drawings.tags)
    if tags:
        values["one tag, mAP"] = metrics.average_precisions(encoder.text(tags) @ gallery.T, carried)
        values[f"same tag, P@{NEAREST}"] = _kin(gallery, carried)
    return {name: value for name, value in values.items() if len(value)}


def _first_places(scores: Vectors, titles: list[str], of_drawings: list[str]) -> NDArray[np.int64]:
    """For each title, how many drawings come before the first that carries it; ties count as before."""
    carried = np.array([[own == title for own in of_drawings] for title in titles], bool)
    if not titles:
        return np.zeros(0, np.int64)
    best = np.where(carried, scores, -np.inf).max(1, keepdims=True)
    return np.asarray(((scores >= best) & ~carried).sum(1), np.int64)


def _kin(gallery: Vectors, carried: NDArray[np.bool_]) -> Values:
    """For each drawing with kin, the share of its nearest others that have a tag in common with it.

    Of as many nearest as there are kin where these are fewer than `NEAREST`, so that 1 can be reached.
    """
    shared = (carried.T.astype(np.int64) @ carried.astype(np.int64)) > 0
    np.fill_diagonal(shared, False)
    scores = gallery @ gallery.T
    np.fill_diagonal(scores, -np.inf)
    order = np.argsort(-scores, axis=1, kind="stable")
    shares = []
    for row in np.flatnonzero(shared.any(1)):
        count = min(NEAREST, int(shared[row].sum()))
        shares.append(float(shared[row, order[row, :count]].mean()))
    return np.array(shares)


def _figures(values: dict[str, Values]) -> tuple[Figure, ...]:
    return tuple(
        Figure(name, float(value.mean()), *metrics.interval(value, lambda drawn: float(drawn.mean())))
        for name, value in values.items()
    )


def _verdict(
    measured: Sequence[Measured], values: Sequence[dict[str, Values]], count: int
) -> tuple[str | None, str]:
    if len(measured) == 1:
        return None, f"{measured[0].name} is the only model that knows these {count} drawings."
    means = [_mean(found) for found in values]
    best = int(np.argmax(means))
    others = [number for number in range(len(values)) if number != best]
    second = max(others, key=lambda number: means[number])
    figures = f"{means[best]:.2f} against {means[second]:.2f} over all figures"
    if any(not _clearly(values[best], values[number]) for number in others):
        return None, (
            f"On these {count} drawings no model is clearly better ({figures}); "
            f"{measured[0].name}, which is in use, may stay."
        )
    return measured[best].recipe, (
        f"{measured[best].name} serves these {count} drawings better than {measured[second].name} ({figures})."
    )


def _mean(values: dict[str, Values]) -> float:
    return float(np.mean([value.mean() for value in values.values()]))


def _clearly(one: dict[str, Values], other: dict[str, Values]) -> bool:
    """Whether one is above the other in the mean of its figures, in 95 of 100 bootstrap draws and more."""
    draws = []
    for name, value in one.items():
        difference = value - other[name]
        generator = np.random.default_rng(7)
        picks = generator.integers(0, len(difference), (_DRAWS, len(difference)))
        draws.append(difference[picks].mean(1))
    return bool(np.percentile(np.mean(draws, axis=0), _DOUBT) > 0)


_DRAWS = 2000
_DOUBT = 2.5  # per cent of the draws that may lie below 0: the lower end of the usual 95 % interval
