"""Several rankings made into one."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

# Cormack, Clarke and Buettcher, Reciprocal rank fusion outperforms Condorcet and individual rank learning methods
# (SIGIR 2009): the constant they found good on their collections.
RANK_CONSTANT = 60

Thing = TypeVar("Thing", bound=Hashable)


@dataclass(frozen=True)
class Fused(Generic[Thing]):
    """One thing with its fused score and its place, from 1, in each ranking; None where it is missing."""

    thing: Thing
    score: float
    places: tuple[int | None, ...]


def fuse(
    rankings: Sequence[Sequence[Thing]],
    weights: Sequence[float] | None = None,
    constant: float = RANK_CONSTANT,
) -> list[Fused[Thing]]:
    """Everything that any ranking names, best first: a thing scores weight / (constant + place) in each.

    Equal scores keep the order in which the rankings, first to last, name the things. Raises ValueError if the weights
    are not as many as the rankings.
    """
    weights = [1.0] * len(rankings) if weights is None else weights
    if len(weights) != len(rankings):
        raise ValueError(f"{len(weights)} weights for {len(rankings)} rankings")
    places: dict[Thing, list[int | None]] = {}
    for number, ranking in enumerate(rankings):
        for place, thing in enumerate(ranking, 1):
            row = places.setdefault(thing, [None] * len(rankings))
            if row[number] is None:
                row[number] = place
    fused = [Fused(thing, _score(row, weights, constant), tuple(row)) for thing, row in places.items()]
    return sorted(fused, key=lambda f: -f.score)


def _score(places: list[int | None], weights: Sequence[float], constant: float) -> float:
    return sum(w / (constant + p) for p, w in zip(places, weights, strict=True) if p is not None)
