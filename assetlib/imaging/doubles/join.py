"""All pairs of codes within a few bits of each other, exactly, with nothing but sorted arrays.

The pigeonhole principle: if two 64-bit codes differ in at most r bits, then in one of four 16-bit chunks
they differ in at most r_c bits, wherever the sum of (r_c + 1) over the chunks exceeds r. Codes are put in
buckets by chunk, and only buckets that close are compared.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.uint64]
Numbers = NDArray[np.int64]
Halves = NDArray[np.uint32]

_CHUNK = 16
_AT_ONCE = 1 << 18
"""Comparisons made at once: small enough to stay in the processor's second cache."""

_GROWTH = 1.2
_WORTH_A_TABLE = 4_000
_LEAST_ROWS = 2
"""A bucket is compared as one table where that is so many comparisons and rows: codes of drawings crowd in few
buckets. Timed at 100,000."""


def pairs_within(codes: Codes, radius: int) -> tuple[Halves, Halves]:
    """All (i, j), i < j, whose codes (N,) or (N, W) words differ in at most ``radius`` bits, sorted; uint32."""
    if len(codes) < 2:
        return np.empty(0, np.uint32), np.empty(0, np.uint32)
    words = codes.reshape(len(codes), -1)
    single = words[:, 0] if words.shape[1] == 1 else words  # rows are sorted much slower than numbers
    unique, inverse, counts = np.unique(single, axis=0, return_inverse=True, return_counts=True)
    found = _join(_even_bits(unique.reshape(-1, words.shape[1])), radius)
    keys = _sorted_keys(found, np.argsort(inverse.reshape(-1), kind="stable"), counts)
    halves = keys.astype("<i8", copy=False).view("<u4").reshape(-1, 2)
    return halves[:, 1], halves[:, 0]


def near(query: Codes, codes: Codes, radius: int) -> Numbers:
    """Numbers of the codes (N,) within ``radius`` bits of any of the queries (Q,), in order."""
    found = np.zeros(len(codes), dtype=np.bool_)
    for start in range(0, len(codes), _AT_ONCE):
        block = codes[start : start + _AT_ONCE]
        for value in query:
            found[start : start + _AT_ONCE] |= np.bitwise_count(block ^ value) <= radius
    return np.flatnonzero(found)


def _even_bits(words: Codes) -> Codes:
    """The codes with their bits dealt out so that each chunk gets its share of bits that vary.

    Bits of drawings are not equally often set; a chunk of steady bits would put most codes in few buckets.
    """
    if len(words) < 2:
        return words
    bits = np.unpackbits(np.ascontiguousarray(words).view(np.uint8), axis=1)
    sample = bits[:: max(1, len(bits) // 20000)].astype(np.float32)
    spread = np.abs(sample.mean(axis=0) - 0.5)
    order = np.argsort(spread, kind="stable")
    chunks = bits.shape[1] // _CHUNK
    dealt = np.concatenate([order[c::chunks] for c in range(chunks)])
    return np.ascontiguousarray(np.packbits(bits[:, dealt], axis=1)).view(np.uint64)


def _radii(radius: int, chunks: int) -> list[int]:
    """The radius of each chunk, as even as can be, so that the sum of (r + 1) is radius + 1."""
    share, rest = divmod(radius + 1, chunks)
    return [share - 1 + (1 if c < rest else 0) for c in range(chunks)]


def _join(words: Codes, radius: int) -> Iterator[tuple[Numbers, Numbers]]:
    chunks = np.ascontiguousarray(words).view(np.uint16).reshape(len(words), -1)
    radii = _radii(radius, chunks.shape[1])
    for c, reach in enumerate(radii):
        for left, right in _close_buckets(words, chunks[:, c], reach, radius) if reach >= 0 else ():
            fresh = _first_at(chunks, radii, c, left, right)
            yield left[fresh], right[fresh]


def _close_buckets(
    words: Codes, chunk: NDArray[np.uint16], reach: int, radius: int
) -> Iterator[tuple[Numbers, Numbers]]:
    order = np.argsort(chunk, kind="stable")
    sorted_words, values = words[order], chunk[order]
    offsets = np.searchsorted(values, np.arange((1 << _CHUNK) + 1))
    heavy = _heavy_buckets(offsets, reach)
    for left, right in _within_heavy(sorted_words, offsets, heavy, reach, radius):
        yield order[left], order[right]
    for left, right in _within_light(sorted_words, values, offsets, heavy, reach, radius):
        yield order[left], order[right]


def _within_light(
    words: Codes,
    values: NDArray[np.uint16],
    offsets: Numbers,
    heavy: NDArray[np.bool_],
    reach: int,
    radius: int,
) -> Iterator[tuple[Numbers, Numbers]]:
    """The pairs of each other code with those after it in its bucket and in close ones of higher value."""
    light = np.flatnonzero(~heavy[values]).astype(np.int32)
    mine, filled = values[light], np.diff(offsets) > 0
    starts, ends = offsets[:-1].astype(np.int32), offsets[1:].astype(np.int32)
    for mask in _masks(reach):
        other = mine ^ mask
        kept = np.flatnonzero((other >= mine) & filled[other])
        first, stops = starts[other[kept]], ends[other[kept]]
        if mask == 0:
            first = light[kept] + 1
        yield from _within(words, light[kept], first, stops - first, radius)


def _heavy_buckets(offsets: Numbers, reach: int) -> NDArray[np.bool_]:
    """Which buckets hold so much, with those close to them, that they are worth a table of their own."""
    sizes, values = np.diff(offsets), np.arange(1 << _CHUNK, dtype=np.int32)
    around = np.zeros(len(sizes), np.int64)
    for mask in _masks(reach):
        other = values ^ int(mask)
        around += np.where(other >= values, sizes[other], 0)
    return np.asarray((sizes >= _LEAST_ROWS) & (sizes * around >= _WORTH_A_TABLE), np.bool_)


def _within_heavy(
    words: Codes, offsets: Numbers, heavy: NDArray[np.bool_], reach: int, radius: int
) -> Iterator[tuple[Numbers, Numbers]]:
    """The pairs of each heavy bucket with itself and those close to it of higher value."""
    masks = np.array(_masks(reach), dtype=np.int64)
    for value in np.flatnonzero(heavy).tolist():
        others = value ^ masks
        others = others[others >= value]
        others = others[offsets[others + 1] > offsets[others]]
        columns = _ranges(offsets[others], offsets[others + 1])
        start, stop = int(offsets[value]), int(offsets[value + 1])
        step = max(1, _AT_ONCE // len(columns))
        for row in range(start, stop, step):
            left, right = _table(words, row, min(row + step, stop), columns, radius)
            fresh = left < right if value in others else slice(None)
            yield left[fresh], right[fresh]


def _ranges(starts: Numbers, stops: Numbers) -> Numbers:
    """The numbers of all ranges, one after the other."""
    lengths = stops - starts
    before = np.cumsum(lengths) - lengths
    return np.asarray(np.arange(int(lengths.sum())) + np.repeat(starts - before, lengths), np.int64)


def _table(words: Codes, start: int, stop: int, columns: Numbers, radius: int) -> tuple[Numbers, Numbers]:
    """Rows start to stop against the columns: those within the radius."""
    theirs = words[columns]
    apart = np.bitwise_count(words[start:stop, None, 0] ^ theirs[None, :, 0])
    if words.shape[1] > 1:
        apart = apart.astype(np.uint16)
    for word in range(1, words.shape[1]):
        apart += np.bitwise_count(words[start:stop, None, word] ^ theirs[None, :, word])
    hit = np.flatnonzero(apart.ravel() <= radius)
    return start + hit // len(columns), columns[hit % len(columns)]


@lru_cache(maxsize=8)
def _masks(reach: int) -> tuple[np.uint16, ...]:
    return tuple(
        np.uint16(sum(1 << bit for bit in bits))
        for size in range(reach + 1)
        for bits in combinations(range(_CHUNK), size)
    )


def _within(
    words: Codes, codes: NDArray[np.int32], first: NDArray[np.int32], counts: NDArray[np.int32], radius: int
) -> Iterator[tuple[Numbers, Numbers]]:
    """Each code with ``counts`` codes from ``first`` on."""
    ends = np.cumsum(counts)
    begin = 0
    while begin < len(codes):
        base = int(ends[begin - 1]) if begin else 0
        stop = max(begin + 1, int(np.searchsorted(ends, base + _AT_ONCE, side="right")))
        block, lengths = codes[begin:stop], counts[begin:stop]
        step = (first[begin:stop] - (ends[begin:stop] - lengths - base)).astype(np.int32)
        right = np.repeat(step, lengths)
        right += np.arange(len(right), dtype=np.int32)
        begin = stop
        yield _compared(words, block, lengths, right, radius)


def _compared(
    words: Codes, block: NDArray[np.int32], lengths: NDArray[np.int32], right: NDArray[np.int32], radius: int
) -> tuple[Numbers, Numbers]:
    apart = np.bitwise_count(np.repeat(words[block, 0], lengths) ^ words[right, 0])
    if words.shape[1] > 1:
        apart = apart.astype(np.uint16)
    for word in range(1, words.shape[1]):
        apart += np.bitwise_count(np.repeat(words[block, word], lengths) ^ words[right, word])
    hit = np.flatnonzero(apart <= radius)
    owner = np.searchsorted(np.cumsum(lengths), hit, side="right")
    return block[owner].astype(np.int64), right[hit].astype(np.int64)


def _first_at(
    chunks: NDArray[np.uint16], radii: list[int], c: int, left: Numbers, right: Numbers
) -> NDArray[np.bool_]:
    """Which pairs no earlier chunk has found already."""
    earlier = np.bitwise_count(chunks[left, :c] ^ chunks[right, :c]) <= np.array(radii[:c], dtype=np.int64)
    return np.asarray(~earlier.any(axis=1))


def _sorted_keys(found: Iterable[tuple[Numbers, Numbers]], members: Numbers, counts: Numbers) -> Numbers:
    """Pairs of different codes turned into pairs of all that hold them, and those that share a code.

    Each pair is one number, i * 2**32 + j: sorted several times as fast as two, in half of the memory.
    """
    starts = np.cumsum(counts) - counts
    keys, size = np.empty(_AT_ONCE, np.int64), 0
    blocks = (block for first, second in _gathered(found) for block in _expand(first, second, starts, counts))
    for left, right in chain(blocks, _twins(starts[counts > 1], counts[counts > 1])):
        if size + len(left) > len(keys):
            keys.resize(int(_GROWTH * (size + len(left))), refcheck=False)  # in place: there may be millions
        keys[size : size + len(left)] = _keys(members[left], members[right])
        size += len(left)
    keys.resize(size, refcheck=False)
    keys.sort()
    return keys


def _twins(starts: Numbers, counts: Numbers) -> Iterator[tuple[Numbers, Numbers]]:
    for start, count in zip(starts.tolist(), counts.tolist(), strict=True):
        one, other = np.triu_indices(count, 1)
        yield one + start, other + start


def _gathered(found: Iterable[tuple[Numbers, Numbers]]) -> Iterator[tuple[Numbers, Numbers]]:
    """The same pairs in fewer, larger blocks."""
    waiting: list[tuple[Numbers, Numbers]] = []
    size = 0
    for pair in found:
        waiting.append(pair)
        size += len(pair[0])
        if size >= _AT_ONCE:
            yield np.concatenate([one for one, _ in waiting]), np.concatenate([other for _, other in waiting])
            waiting, size = [], 0
    if size:
        yield np.concatenate([one for one, _ in waiting]), np.concatenate([other for _, other in waiting])


def _keys(one: Numbers, other: Numbers) -> Numbers:
    return (np.minimum(one, other) << 32) | np.maximum(one, other)


def _expand(
    left: Numbers, right: Numbers, starts: Numbers, counts: Numbers
) -> Iterator[tuple[Numbers, Numbers]]:
    """Places among the members of the codes: each member of the one with each of the other."""
    many = counts[left] * counts[right]
    alone = many == 1
    yield starts[left[alone]], starts[right[alone]]
    left, right, many = left[~alone], right[~alone], many[~alone]
    pair = np.repeat(np.arange(len(left)), many)
    place = np.arange(int(many.sum())) - np.repeat(np.cumsum(many) - many, many)
    width = counts[right[pair]]
    yield starts[left[pair]] + place // width, starts[right[pair]] + place % width
