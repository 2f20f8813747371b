"""Nearest vectors by exact search over a memory-mapped file.

A file is written once under its generation's number and never changed: readers that hold the old one mapped are not
disturbed, also where a mapped file cannot be replaced. Arithmetic is float32; on float16 it was 7 to 16 times slower.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.errors import NoVectors

_NAME = re.compile(r"^vectors-(\d{9})\.npy$")
_SCORES = (
    16_000_000  # scores held at a time, 64 MB: one product for one query on any library up to 16 million
)
_GATHERED = 16_384  # rows copied together at a time when only some are allowed
_KEEP = 2  # generations left on disk, so that a reader that opened the one before can finish


@dataclass(frozen=True)
class VectorFile:
    """One generation, opened: `vectors` float32 (N, D) mapped from disk, `ids` int64 (N,)."""

    vectors: NDArray[np.float32]
    ids: NDArray[np.int64]
    generation: int

    @classmethod
    def write(
        cls, folder: Path, ids: NDArray[np.int64], vectors: NDArray[np.float16], generation: int
    ) -> VectorFile:
        """The new generation, opened, after writing it beside the older ones; the oldest are cleared away.

        `ids` int64 (N,), `vectors` float16 or float32 (N, D). Raises FileExistsError if the generation exists.
        """
        if len(ids) != len(vectors):
            raise ValueError(f"{len(ids)} ids for {len(vectors)} vectors")
        folder.mkdir(parents=True, exist_ok=True)
        path = _path(folder, generation)
        if path.exists():
            raise FileExistsError(path)
        _write_whole(_ids_path(path), np.ascontiguousarray(ids, np.int64))
        _write_whole(path, np.ascontiguousarray(vectors, np.float32))
        _clear_old(folder, generation)
        return cls._open_path(path, generation)

    @classmethod
    def open(cls, folder: Path) -> VectorFile:
        """The newest readable generation in the folder; raises NoVectors if there is none."""
        for generation in sorted(_generations(folder), reverse=True):
            try:
                return cls._open_path(_path(folder, generation), generation)
            except (OSError, ValueError):
                continue
        raise NoVectors(
            "there is nothing yet that looks could be compared with",
            "`assetlib upkeep` looks at the drawings",
        )

    @classmethod
    def _open_path(cls, path: Path, generation: int) -> VectorFile:
        # An empty array cannot be mapped.
        vectors = np.load(path) if path.stat().st_size < 4096 else np.load(path, mmap_mode="r")
        ids = np.load(_ids_path(path))
        if vectors.ndim != 2 or vectors.dtype != np.float32 or len(ids) != len(vectors):
            raise ValueError(f"{path.name} is damaged")
        return cls(vectors, ids, generation)

    def search(
        self, queries: NDArray[np.float32], k: int, allowed: NDArray[np.bool_] | None = None
    ) -> tuple[NDArray[np.float32], NDArray[np.int64]]:
        """Scores float32 (Q, K) falling and ids int64 (Q, K), K the smaller of `k` and what is allowed.

        `queries` (Q, D); the score is the inner product; `allowed` bool (N,) in the order of `ids`. Equal scores come
        in the order of the file.
        """
        queries = np.ascontiguousarray(np.atleast_2d(queries), np.float32)
        if not len(queries):
            return np.zeros((0, 0), np.float32), np.zeros((0, 0), np.int64)
        if allowed is not None:
            rows = np.flatnonzero(allowed)
            if len(rows) <= len(self.ids) // 8:
                return self._search_rows(queries, k, rows)
        count = min(k, len(self.ids) if allowed is None else int(np.count_nonzero(allowed)))
        best, rows = _Best(len(queries), count), np.arange(len(self.ids))
        step = max(1, _SCORES // len(queries))
        for start in range(0, len(self.ids), step):
            block = self.vectors[start : start + step]
            scores = queries @ block.T
            if allowed is not None:
                scores[:, ~allowed[start : start + step]] = -np.inf
            best.add(scores, rows[start : start + len(block)])
        return best.scores, self.ids[best.rows]

    def _search_rows(
        self, queries: NDArray[np.float32], k: int, rows: NDArray[np.int64]
    ) -> tuple[NDArray[np.float32], NDArray[np.int64]]:
        best = _Best(len(queries), min(k, len(rows)))
        for part in np.array_split(rows, max(1, len(rows) // _GATHERED)):
            best.add(queries @ self.vectors[part].T, part)
        return best.scores, self.ids[best.rows]


class _Best:
    """The best so far for each query while blocks go by."""

    def __init__(self, queries: int, count: int) -> None:
        self.scores = np.full((queries, count), -np.inf, np.float32)
        self.rows = np.zeros((queries, count), np.int64)

    def add(self, scores: NDArray[np.float32], rows: NDArray[np.int64]) -> None:
        """Takes in the scores (Q, B) of file rows (B,)."""
        for query in range(len(scores)):
            self._add_one(query, scores[query], rows)

    def _add_one(self, query: int, scores: NDArray[np.float32], rows: NDArray[np.int64]) -> None:
        count = self.scores.shape[1]
        if not count:
            return
        chosen = np.flatnonzero(scores > self.scores[query, -1])
        if len(chosen) > 4 * count:
            chosen = _top(scores, chosen, count)
        merged = np.concatenate([self.scores[query], scores[chosen]])
        where = np.concatenate([self.rows[query], rows[chosen]])
        order = np.argsort(-merged, kind="stable")[:count]
        self.scores[query], self.rows[query] = merged[order], where[order]


def _top(scores: NDArray[np.float32], chosen: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    # Every one at least as good as the count-th: equal scores are all kept, so that the file's order decides.
    candidates = scores[chosen]
    least = np.partition(candidates, len(candidates) - count)[len(candidates) - count]
    return np.asarray(chosen[candidates >= least])


def _generations(folder: Path) -> list[int]:
    if not folder.is_dir():
        return []
    return [int(m.group(1)) for m in map(_NAME.match, os.listdir(folder)) if m]


def newest_generation(folder: Path) -> int:
    """Number of the newest generation in the folder, 0 if there is none."""
    return max(_generations(folder), default=0)


def _path(folder: Path, generation: int) -> Path:
    return folder / f"vectors-{generation:09d}.npy"


def _ids_path(path: Path) -> Path:
    return path.with_name(path.name.replace("vectors-", "ids-"))


def _write_whole(path: Path, array: NDArray[np.generic]) -> None:
    partial = path.with_suffix(".partial")
    with partial.open("wb") as file:
        np.save(file, array)
        file.flush()
        os.fsync(file.fileno())
    partial.rename(path)


def _clear_old(folder: Path, newest: int) -> None:
    for generation in sorted(_generations(folder))[:-_KEEP]:
        if generation >= newest:
            continue
        for path in (_path(folder, generation), _ids_path(_path(folder, generation))):
            try:
                path.unlink(missing_ok=True)
            except OSError:
                continue  # still mapped by another process on a system that locks mapped files: cleared next time
