"""Which drawings of a library may be doubles of one another: arrays of codes, searched without an index."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.details import SOUGHT_ON_PAGE, Details, details_of
from assetlib.imaging.doubles.documented import Words, recognised, words_of
from assetlib.imaging.doubles.fingerprints import (
    Fingerprint,
    View,
    codes_of,
    is_crowded,
    is_sheet,
    oriented,
    oriented_codes,
)
from assetlib.imaging.doubles.voting import OF_PAGE, DetailTable, vote

MOST_CANDIDATES = 30
"""Candidates handed on to verification for one drawing, nearest first."""

MOST_FOR_SHEET = 90
"""The same for a picture with many parts, each of which may be a drawing of the library."""

MOST_VOTED = 4
MOST_VOTED_FOR_PAGE = 40
"""Candidates by votes of their details that go before those, for one drawing and for a crowded page."""

NEAREST_OF_PART = 3
"""Candidates of each part of a sheet, before those that are nearest to any."""

NEAR = 18
"""Bits of the first 63 that may differ between two views. Tuned on openclipart."""

NEAR_WIDE = 46
"""Bits of all 127 that may differ: the second, wider filter."""

ASPECT_GATE = 0.22
"""How far the logarithms of two views' proportions may lie apart."""


DETAILS = ".details"
"""Ending of the file of details that is kept beside the arrays."""

_FAR = 1000

_Piece = tuple[NDArray[np.uint64], NDArray[np.float32], NDArray[np.uint8], NDArray[np.int8], Words]
"""Codes (V, 2), log aspects (V,) and kinds (V,) of a drawing's views; coefficients of the first two; hashes (1, 5)."""

_RANKED = 2000
"""Nearest by code that are ranked once more by their coefficients."""


class Index:
    """The codes of many drawings, numbered from 0 in the order in which they came."""

    def __init__(self, fingerprints: Iterable[Fingerprint] = ()) -> None:
        self._pieces: list[_Piece] = []
        self._sorted: _Views | None = None
        self._details: list[tuple[int, Details]] = []
        self._tables: list[DetailTable] = []
        for fingerprint in fingerprints:
            self.add(fingerprint)

    def __len__(self) -> int:
        return len(self._pieces)

    def add(self, fingerprint: Fingerprint) -> None:
        """Takes a drawing in; an empty one gets a number and is never found."""
        count = 0 if fingerprint.empty else len(fingerprint.kinds)
        self._pieces.append(
            (
                codes_of(fingerprint.coefficients[:count]),
                fingerprint.aspects()[:count],
                fingerprint.kinds[:count],
                fingerprint.coefficients[: min(2, count)],
                words_of(fingerprint.phash, fingerprint.wide_hash)[None],
            )
        )
        if len(fingerprint.details) and not fingerprint.empty:
            self._details.append((len(self._pieces) - 1, fingerprint.details))
        self._sorted = None

    def candidates(self, fingerprint: Fingerprint, limit: int | None = None) -> NDArray[np.int64]:
        """Numbers of the drawings that may be doubles of this one, likeliest first; more for a sheet."""
        return np.array(list(self.found(fingerprint, limit)), np.int64)

    def found(self, fingerprint: Fingerprint, limit: int | None = None) -> dict[int, bool]:
        """The same, each with whether it shares details that lie alike."""
        limit = limit or (MOST_FOR_SHEET if is_sheet(fingerprint) else MOST_CANDIDATES)
        voted = self.voted(fingerprint)
        nearest = self._nearest(fingerprint, limit)
        rest = nearest[~np.isin(nearest, voted)]
        return dict.fromkeys(voted.tolist(), True) | dict.fromkeys(rest.tolist(), False)

    def recognised(self, asked: Words) -> dict[int, int]:
        """Numbers of the drawings that are near a documented hash, and how many bits apart, nearest first."""
        if not self._pieces:
            return {}
        near = recognised(asked, np.concatenate([piece[4] for piece in self._pieces]))
        return {number: apart for number, apart in near.items() if len(self._pieces[number][2])}

    def voted(self, fingerprint: Fingerprint) -> NDArray[np.int64]:
        """Numbers of the drawings that share details lying alike, most first."""
        if fingerprint.empty:
            return np.empty(0, np.int64)
        if self._details:
            self._tables.append(DetailTable.of(self._details))
            self._details = []
        if is_crowded(fingerprint):
            sought = details_of(fingerprint.portrait, SOUGHT_ON_PAGE)
            return vote(sought, self._tables, OF_PAGE)[0][:MOST_VOTED_FOR_PAGE]
        return vote(fingerprint.details, self._tables)[0][:MOST_VOTED]

    def pairs(
        self, fingerprints: Iterable[Fingerprint], limit: int = MOST_CANDIDATES
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Pairs (i, j), i < j, of drawings in the index that may be doubles.

        ``fingerprints`` are those the index was built from, in the same order; each is asked once.
        """
        found: set[tuple[int, int]] = set()
        for i, fingerprint in enumerate(fingerprints):
            found.update(
                (min(i, j), max(i, j)) for j in self.candidates(fingerprint, limit + 1).tolist() if j != i
            )
        ordered = np.array(sorted(found), dtype=np.int64).reshape(-1, 2)
        return ordered[:, 0], ordered[:, 1]

    def save(self, path: Path) -> None:
        """Writes the arrays as one .npz file, and the details beside it, to be mapped."""
        kept = [
            np.concatenate([piece[k] for piece in self._pieces]) if self._pieces else np.empty(0)
            for k in range(5)
        ]
        counts = np.array([len(piece[2]) for piece in self._pieces], dtype=np.int64)
        table = DetailTable.of(self._details)
        for other in self._tables:
            table = table.joined(other)
        table.save(path.with_suffix(DETAILS))
        with path.open("wb") as out:
            np.savez(
                out, codes=kept[0], aspects=kept[1], kinds=kept[2], coefficients=kept[3], counts=counts,
                hashes=kept[4], starts=table.starts,
            )  # fmt: skip

    @classmethod
    def load(cls, path: Path) -> Index:
        """The index that ``save`` wrote. OSError, KeyError or ValueError where it was cut short."""
        try:
            return cls._read(path)
        except (BadZipFile, EOFError) as error:
            raise ValueError(f"{path.name} was cut short") from error

    @classmethod
    def _read(cls, path: Path) -> Index:
        index = cls()
        # opened here: numpy leaves a file open that it cannot read
        with path.open("rb") as file, np.load(file) as kept:
            counts = kept["counts"]
            index._tables = [DetailTable.load(path.with_suffix(DETAILS), kept["starts"])]
            if len(counts):
                columns = [
                    np.split(kept[name], np.cumsum(counts)[:-1]) for name in ("codes", "aspects", "kinds")
                ]
                columns.append(np.split(kept["coefficients"], np.cumsum(np.minimum(2, counts))[:-1]))
                columns.append(list(kept["hashes"][:, None]))
                index._pieces = list(zip(*columns, strict=True))
        return index

    def _nearest(self, fingerprint: Fingerprint, limit: int) -> NDArray[np.int64]:
        if fingerprint.empty or not self._pieces:
            return np.empty(0, np.int64)
        if self._sorted is None:
            self._sorted = _Views(self._pieces)
        best = np.full(len(self), _FAR, dtype=np.int64)
        codes, aspects = oriented_codes(fingerprint.coefficients), fingerprint.aspects()
        of_parts: list[NDArray[np.uint32]] = []
        for view, kind in enumerate(fingerprint.kinds.tolist()):
            for table in self._sorted.answering(View(kind)):
                owners, apart = table.near(codes[:, view], float(aspects[view]))
                np.minimum.at(best, owners, apart)
                if kind == View.PART:
                    of_parts.append(owners[np.argsort(apart, kind="stable")[:NEAREST_OF_PART]])
        near = np.flatnonzero(best < _FAR)
        order = near[np.argsort(best[near], kind="stable")][:_RANKED]
        finer = np.minimum(best[order], self._sorted.apart(fingerprint.coefficients[:2], order))
        if is_sheet(fingerprint):
            finer -= np.where(np.isin(order, np.concatenate(of_parts)), _FAR, 0)
        return np.asarray(order[np.argsort(finer, kind="stable")[:limit]], np.int64)


class _Views:
    """The views of all drawings, by kind."""

    def __init__(self, pieces: list[_Piece]) -> None:
        blank = np.zeros((2, pieces[0][3].shape[1]), np.int8)
        self._coefficients = np.stack([piece[3] if len(piece[3]) == 2 else blank for piece in pieces])
        owners = np.repeat(np.arange(len(pieces), dtype=np.uint32), [len(piece[2]) for piece in pieces])
        codes = np.concatenate([piece[0] for piece in pieces])
        aspects = np.concatenate([piece[1] for piece in pieces])
        kinds = np.concatenate([piece[2] for piece in pieces])
        self._tables = {
            kind: _Table(codes[kinds == kind], aspects[kinds == kind], owners[kinds == kind]) for kind in View
        }

    def apart(self, coefficients: NDArray[np.int8], owners: NDArray[np.int64]) -> NDArray[np.float64]:
        """Least angle between whole ink or contours of each owner and the query's in any orientation, in bits.

        The signs of two vectors at an angle differ in angle / pi of their places (Goemans and Williamson
        1995), which puts angles and counts of bits on one scale.
        """
        theirs = self._coefficients[owners].astype(np.float32)
        mine = oriented(coefficients).astype(np.float32)
        theirs /= np.linalg.norm(theirs, axis=2, keepdims=True) + 1e-6
        mine /= np.linalg.norm(mine, axis=2, keepdims=True) + 1e-6
        alike = np.einsum("nvk,ovk->nvo", theirs, mine, optimize=True).max(axis=(1, 2))
        return np.asarray(np.arccos(np.clip(alike, -1, 1)) / np.pi * theirs.shape[2], dtype=np.float64)

    def answering(self, kind: View) -> list[_Table]:
        """What a view of this kind is compared with: whole drawings with all, the rest with whole ones."""
        if kind is View.CONTOUR:
            return [self._tables[View.CONTOUR]]
        if kind is View.WHOLE:
            return [self._tables[View.WHOLE], self._tables[View.CROP], self._tables[View.PART]]
        return [self._tables[View.WHOLE]]


class _Table:
    """Views of one kind in order of their proportions, so that the gate is a slice."""

    def __init__(
        self, codes: NDArray[np.uint64], aspects: NDArray[np.float32], owners: NDArray[np.uint32]
    ) -> None:
        order = np.argsort(aspects, kind="stable")
        self._aspects, self._owners = aspects[order], owners[order]
        self._low, self._high = np.ascontiguousarray(codes[order, 0]), np.ascontiguousarray(codes[order, 1])

    def near(self, codes: NDArray[np.uint64], aspect: float) -> tuple[NDArray[np.uint32], NDArray[np.int64]]:
        """Owners of the views within reach of the codes (8, 2) of one in all orientations, and how far they are."""
        owners, distances = [], []
        for o in range(8):
            middle = -aspect if o >= 4 else aspect
            start, stop = np.searchsorted(self._aspects, [middle - ASPECT_GATE, middle + ASPECT_GATE])
            first = np.bitwise_count(self._low[start:stop] ^ codes[o, 0])
            near = np.flatnonzero(first <= NEAR)
            both = first[near].astype(np.int64) + np.bitwise_count(self._high[start:stop][near] ^ codes[o, 1])
            kept = both <= NEAR_WIDE
            owners.append(self._owners[start:stop][near[kept]])
            distances.append(both[kept])
        return np.concatenate(owners), np.concatenate(distances)
