"""Reads tables of shot-list lines with the facets written down for each."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from assetlib.rules.shots.grammar import FACETS, read_line

HERE = Path(__file__).parent


class Count(NamedTuple):
    """Facet values found and meant, found only, meant only."""

    right: int
    extra: int
    missed: int

    @property
    def precision(self) -> float:
        return self.right / max(1, self.right + self.extra)

    @property
    def recall(self) -> float:
        return self.right / max(1, self.right + self.missed)


def read_table(name: str) -> list[tuple[str, set[tuple[str, str]]]]:
    """Lines and their (facet, value) pairs; an unknown facet or value is an error in the table."""
    rows = []
    for row in (HERE / name).read_text(encoding="utf-8").splitlines():
        if row and not row.startswith("# "):
            line, truth = row.split("\t")
            rows.append((line, set() if truth == "-" else _pairs(truth)))
    return rows


def _pairs(truth: str) -> set[tuple[str, str]]:
    pairs = set()
    for part in truth.split(";"):
        facet, values = part.strip().split("=")
        pairs |= {(facet, value.strip()) for value in values.split(",")}
    wrong = [(f, v) for f, v in pairs if v not in FACETS[f]]
    assert not wrong, wrong
    return pairs


def pairs_read(line: str) -> set[tuple[str, str]]:
    """The (facet, value) pairs the grammar reads in a line."""
    return {(facet, value) for facet, values in read_line(line).facets.items() for value in values}


def count(rows: list[tuple[str, set[tuple[str, str]]]]) -> Count:
    """The counts over a table."""
    right = extra = missed = 0
    for line, truth in rows:
        read = pairs_read(line)
        right, extra, missed = (
            right + len(read & truth),
            extra + len(read - truth),
            missed + len(truth - read),
        )
    return Count(right, extra, missed)
