"""Which drawings of a library may be doubles of one another: arrays of codes, searched without an index."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.fingerprints import Fingerprint, View, codes_of, oriented_codes

MOST_CANDIDATES = 30
"""Candidates handed on to verification for one drawing, nearest first."""

NEAR = 18
"""Bits of the first 63 that may differ between two views. Tuned on openclipart."""

NEAR_WIDE = 46
"""Bits of all 127 that may differ: the second, wider filter."""

ASPECT_GATE = 0.22
"""How far the logarithms of two views' proportions may lie apart."""


class Index:
    """The codes of many drawings, numbered from 0 in the order in which they came."""

    def __init__(self, fingerprints: Iterable[Fingerprint] = ()) -> None:
        self._pieces: list[tuple[NDArray[np.uint64], NDArray[np.float32], NDArray[np.uint8]]] = []
        self._sorted: _Views | None = None
        for fingerprint in fingerprints:
            self.add(fingerprint)

    def __len__(self) -> int:
        return len(self._pieces)

    def add(self, fingerprint: Fingerprint) -> None:
        """Takes a drawing in; an empty one gets a number and is never found."""
        count = 0 if fingerprint.empty else len(fingerprint.kinds)
        self._pieces.append((codes_of(fingerprint.coefficients[:count]), fingerprint.aspects()[:count],
                             fingerprint.kinds[:count]))
        self._sorted = None

    def candidates(self, fingerprint: Fingerprint, limit: int = MOST_CANDIDATES) -> NDArray[np.int64]:
        """Numbers of the drawings that may be doubles of this one, likeliest first."""
        return self._nearest(fingerprint, limit)[0]

    def pairs(self, fingerprints: Iterable[Fingerprint], limit: int = MOST_CANDIDATES
              ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Pairs (i, j), i < j, of drawings in the index that may be doubles.

        ``fingerprints`` are those the index was built from, in the same order; each is asked once.
        """
        found: set[tuple[int, int]] = set()
        for i, fingerprint in enumerate(fingerprints):
            found.update((min(i, j), max(i, j)) for j in self._nearest(fingerprint, limit + 1)[0].tolist() if j != i)
        ordered = np.array(sorted(found), dtype=np.int64).reshape(-1, 2)
        return ordered[:, 0], ordered[:, 1]

    def save(self, path: Path) -> None:
        """Writes the arrays as one .npz file."""
        kept = [np.concatenate([piece[k] for piece in self._pieces]) if self._pieces else np.empty(0)
                for k in range(3)]
        counts = np.array([len(piece[2]) for piece in self._pieces], dtype=np.int64)
        with path.open("wb") as out:
            np.savez(out, codes=kept[0], aspects=kept[1], kinds=kept[2], counts=counts)

    @classmethod
    def load(cls, path: Path) -> Index:
        """The index that ``save`` wrote."""
        index = cls()
        with np.load(path) as kept:
            stops = np.cumsum(kept["counts"])[:-1]
            if len(kept["counts"]):
                columns = [np.split(kept[name], stops) for name in ("codes", "aspects", "kinds")]
                index._pieces = list(zip(*columns, strict=True))
        return index

    def _nearest(self, fingerprint: Fingerprint, limit: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        if fingerprint.empty or not self._pieces:
            return np.empty(0, np.int64), np.empty(0, np.int64)
        if self._sorted is None:
            self._sorted = _Views(self._pieces)
        best = np.full(len(self), 1000, dtype=np.int64)
        codes, aspects = oriented_codes(fingerprint.coefficients), fingerprint.aspects()
        for view, kind in enumerate(fingerprint.kinds.tolist()):
            for table in self._sorted.answering(View(kind)):
                table.lower(best, codes[:, view], float(aspects[view]))
        near = np.flatnonzero(best < 1000)
        order = near[np.argsort(best[near], kind="stable")][:limit]
        return order, best[order]


class _Views:
    """The views of all drawings, by kind."""

    def __init__(self, pieces: list[tuple[NDArray[np.uint64], NDArray[np.float32], NDArray[np.uint8]]]) -> None:
        owners = np.repeat(np.arange(len(pieces), dtype=np.uint32), [len(piece[2]) for piece in pieces])
        codes = np.concatenate([piece[0] for piece in pieces])
        aspects = np.concatenate([piece[1] for piece in pieces])
        kinds = np.concatenate([piece[2] for piece in pieces])
        self._tables = {kind: _Table(codes[kinds == kind], aspects[kinds == kind], owners[kinds == kind])
                        for kind in View}

    def answering(self, kind: View) -> list[_Table]:
        """What a view of this kind is compared with: whole drawings with all, the rest with whole ones."""
        if kind is View.CONTOUR:
            return [self._tables[View.CONTOUR]]
        if kind is View.WHOLE:
            return [self._tables[View.WHOLE], self._tables[View.CROP], self._tables[View.PART]]
        return [self._tables[View.WHOLE]]


class _Table:
    """Views of one kind in order of their proportions, so that the gate is a slice."""

    def __init__(self, codes: NDArray[np.uint64], aspects: NDArray[np.float32], owners: NDArray[np.uint32]) -> None:
        order = np.argsort(aspects, kind="stable")
        self._aspects, self._owners = aspects[order], owners[order]
        self._low, self._high = np.ascontiguousarray(codes[order, 0]), np.ascontiguousarray(codes[order, 1])

    def lower(self, best: NDArray[np.int64], codes: NDArray[np.uint64], aspect: float) -> None:
        """Brings ``best`` (one number a drawing) down to the least distance found here, in place."""
        for o in range(8):
            middle = -aspect if o >= 4 else aspect
            start, stop = np.searchsorted(self._aspects, [middle - ASPECT_GATE, middle + ASPECT_GATE])
            first = np.bitwise_count(self._low[start:stop] ^ codes[o, 0])
            near = np.flatnonzero(first <= NEAR)
            both = first[near].astype(np.int64) + np.bitwise_count(self._high[start:stop][near] ^ codes[o, 1])
            kept = both <= NEAR_WIDE
            np.minimum.at(best, self._owners[start:stop][near[kept]], both[kept])
