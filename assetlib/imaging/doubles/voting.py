"""Which drawings share details with one: every detail votes for the drawings that have it where it should be.

For what codes of whole drawings cannot find: drawings that overlap on a page, are cut on all sides, or altered in
large part. The table is one file that is mapped, not read, so that opening it costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.details import SIZE_STEPS, Details

NEAR = 16
"""Bits of 128 in which two details may differ. Tuned on openclipart, as all below."""

FEWEST_VOTES = 4
"""Distinct details that must agree on where the one drawing lies in the other."""

OF_DRAWING, OF_PAGE = (0, 0), (1, 0)
"""Bits in which the two stretches may differ by which details are sought: of a drawing, whose codes find most of its
doubles, and of a page. One bit in both finds 5 of 100 drawings more on a page and takes twice as long."""

_ENTRY = np.dtype([("code", "<u8", 2), ("spot", "u1", 4), ("owner", "<u4"), ("second", "<u4")])
_KEYS = 1 << 16
_SHIFTS = (np.uint64(48), np.uint64(32))
_AT_ONCE = 1 << 19
_SIZE_BIN, _TURN_BIN, _PLACE_BIN = 0.8, 1 / 8, 0.35

Numbers = NDArray[np.int64]


class DetailTable:
    """The details of many drawings, sorted by the first 16 bits of their code and listed by the next 16."""

    def __init__(self, entries: NDArray[np.void], starts: NDArray[np.uint32]) -> None:
        self.entries, self.starts = entries, starts

    def __len__(self) -> int:
        return len(self.entries)

    @classmethod
    def of(cls, details: Iterable[tuple[int, Details]]) -> DetailTable:
        """The table of drawings by their numbers."""
        given = list(details)
        entries = np.empty(sum(len(own) for _, own in given), _ENTRY)
        entries["owner"] = np.repeat(
            np.array([number for number, _ in given], np.uint32), [len(own) for _, own in given]
        )
        if given:
            entries["code"] = np.concatenate([own.codes for _, own in given])
            entries["spot"] = np.concatenate([own.spots for _, own in given])
        return cls._sorted(entries)

    @classmethod
    def _sorted(cls, entries: NDArray[np.void]) -> DetailTable:
        entries = entries[np.argsort(entries["code"][:, 0] >> _SHIFTS[0], kind="stable")]
        second = _key(entries["code"], 1)
        entries["second"] = np.argsort(second, kind="stable")
        bounds = np.arange(_KEYS + 1)
        starts = [
            np.searchsorted(_key(entries["code"], 0), bounds),
            np.searchsorted(second[entries["second"]], bounds),
        ]
        return cls(entries, np.stack(starts).astype(np.uint32))

    def joined(self, other: DetailTable) -> DetailTable:
        """One table of both."""
        return self._sorted(np.concatenate([self.entries, other.entries]))

    def save(self, path: Path) -> None:
        """Writes the table as one .npy file, the places of its buckets apart."""
        with path.open("wb") as out:
            np.save(out, self.entries)

    @classmethod
    def load(cls, path: Path, starts: NDArray[np.uint32]) -> DetailTable:
        """The table that ``save`` wrote, mapped."""
        count = int(starts[0, -1])
        entries = np.load(path, mmap_mode="r") if count else np.empty(0, _ENTRY)  # nothing cannot be mapped
        if entries.dtype != _ENTRY or len(entries) != count:
            raise ValueError("another table of details")
        return cls(entries, starts)

    def matches(
        self, codes: NDArray[np.uint64], reaches: tuple[int, ...]
    ) -> Iterator[tuple[Numbers, NDArray[np.void]]]:
        """Details like these (D, 2): whose they are like, and the entries; most of those within NEAR bits.

        One of the first stretches of 16 bits must agree but for as many bits as its reach, 0 or 1.
        """
        for number, reach in enumerate(reaches):
            flips = _FLIPS if reach else _FLIPS[:1]
            keys = _key(codes, number)[:, None] ^ flips[None]
            starts = self.starts[number][keys].astype(np.int64).ravel()
            lengths = self.starts[number][keys + 1].astype(np.int64).ravel() - starts
            mine = np.repeat(np.arange(len(codes)), len(flips))
            ends = np.cumsum(lengths)
            begin = 0
            while begin < len(mine):
                base = int(ends[begin - 1]) if begin else 0
                stop = max(begin + 1, int(np.searchsorted(ends, base + _AT_ONCE, side="right")))
                asking = np.repeat(mine[begin:stop], lengths[begin:stop])
                first = starts[begin:stop] - (ends[begin:stop] - lengths[begin:stop] - base)
                places = np.repeat(first, lengths[begin:stop]) + np.arange(len(asking))
                begin = stop
                yield self._compared(codes, asking, places, reaches[:number])

    def _compared(
        self, codes: NDArray[np.uint64], asking: Numbers, places: Numbers, before: tuple[int, ...]
    ) -> tuple[Numbers, NDArray[np.void]]:
        if before:
            places = self.entries["second"][places].astype(np.int64)
        theirs = self.entries["code"][places]
        apart = np.bitwise_count(codes[asking, 0] ^ theirs[:, 0]) + np.bitwise_count(
            codes[asking, 1] ^ theirs[:, 1]
        )
        near = np.flatnonzero(apart <= NEAR)
        asking, places = asking[near], places[near]
        if before:  # what the first stretch has found already
            fresh = np.bitwise_count(_key(codes[asking], 0) ^ _key(theirs[near], 0)) > before[0]
            asking, places = asking[fresh], places[fresh]
        return asking, self.entries[places]


_FLIPS = np.array([0, *(1 << bit for bit in range(16))], np.int64)


def _key(codes: NDArray[np.uint64], number: int) -> Numbers:
    return ((codes[:, 0] >> _SHIFTS[number]) & np.uint64(_KEYS - 1)).astype(np.int64)


def vote(
    details: Details, tables: Iterable[DetailTable], reaches: tuple[int, ...] = OF_DRAWING
) -> tuple[Numbers, NDArray[np.float64]]:
    """Numbers of the drawings that share details lying alike, most votes first, and their votes.

    A detail that many drawings have counts for less: by the root of how many.
    """
    found = [match for table in tables if len(table) for match in table.matches(details.codes, reaches)]
    if not found:
        return np.empty(0, np.int64), np.empty(0)
    asking = np.concatenate([mine for mine, _ in found])
    entries = np.concatenate([theirs for _, theirs in found])
    if len(asking) == 0:
        return np.empty(0, np.int64), np.empty(0)
    weights = 1 / np.sqrt(np.bincount(asking, minlength=len(details))[asking])
    owners = entries["owner"].astype(np.int64)
    where = _placed(details.spots[asking], entries["spot"])
    point = details.spots[asking, 0].astype(np.int64) << 8 | details.spots[asking, 1]
    best = [_counted(owners, where + offset, point, weights) for offset in (0.0, 0.5)]
    number = np.concatenate([owner for owner, _ in best])
    votes = np.concatenate([count for _, count in best])
    order = np.argsort(-votes, kind="stable")
    _, first = np.unique(number[order], return_index=True)
    order = order[np.sort(first)]
    return number[order], votes[order]


def _placed(mine: NDArray[np.uint8], theirs: NDArray[np.uint8]) -> NDArray[np.float32]:
    """(M, 4) where the middle of their drawing lies in mine, how large and how turned, in bins (Lowe 2004, 7.3)."""
    a, b = mine.astype(np.float32), theirs.astype(np.float32)
    grown = (a[:, 2] - b[:, 2]) / SIZE_STEPS
    turned = (a[:, 3] - b[:, 3]) / 256
    size = np.exp2(grown)
    across, down = 127.5 - b[:, 0], 127.5 - b[:, 1]
    cos, sin = np.cos(2 * np.pi * turned), np.sin(2 * np.pi * turned)
    bin_side = np.maximum(size * 255 * _PLACE_BIN, 4)
    x = (a[:, 0] + size * (cos * across - sin * down)) / bin_side
    y = (a[:, 1] + size * (sin * across + cos * down)) / bin_side
    return np.stack([grown / _SIZE_BIN, turned / _TURN_BIN, x, y], axis=1).astype(np.float32)


def _counted(
    owners: Numbers, where: NDArray[np.float32], point: Numbers, weights: NDArray[np.float64]
) -> tuple[Numbers, NDArray[np.float64]]:
    """Owners and the weight of their fullest bin, where enough distinct details agree."""
    bins = np.floor(where).astype(np.int64)
    turns = round(1 / _TURN_BIN)
    key = owners
    for value, low, many in (
        (bins[:, 0], 16, 32),
        (bins[:, 1] % turns, 0, turns),
        (bins[:, 2], 64, 256),
        (bins[:, 3], 64, 256),
    ):
        key = key * many + np.clip(value + low, 0, many - 1)
    order = np.lexsort((point, key))
    key, point = key[order], point[order]
    fresh = np.ones(len(key), np.bool_)
    fresh[1:] = (key[1:] != key[:-1]) | (point[1:] != point[:-1])
    order, key = order[fresh], key[fresh]
    starts = np.flatnonzero(np.concatenate([[True], key[1:] != key[:-1]]))
    counts = np.diff(np.append(starts, len(key)))
    votes = np.add.reduceat(weights[order], starts)
    kept = counts >= FEWEST_VOTES
    return owners[order[starts[kept]]], votes[kept]
