"""All pairs of codes within a few bits of each other, exactly, with nothing but sorted arrays.

The pigeonhole principle: if two 64-bit codes differ in at most r bits, then in one of four 16-bit chunks
they differ in at most r_c bits, wherever the sum of (r_c + 1) over the chunks exceeds r. Codes are put in
buckets by chunk, and only buckets that close are compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.uint64]
Numbers = NDArray[np.int64]

_CHUNK = 16
_AT_ONCE = 1 << 18
"""Comparisons made at once: small enough to stay in the processor's second cache."""


def pairs_within(codes: Codes, radius: int) -> tuple[Numbers, Numbers]:
    """All (i, j), i < j, whose codes (N,) or (N, W) words differ in at most ``radius`` bits, sorted."""
    if len(codes) < 2:
        return np.empty(0, np.int64), np.empty(0, np.int64)
    words = codes.reshape(len(codes), -1)
    unique, inverse, counts = np.unique(words, axis=0, return_inverse=True, return_counts=True)
    unique = _even_bits(unique)
    left, right = _join(unique, radius)
    return _expand(left, right, inverse.reshape(-1), counts)


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


def _join(words: Codes, radius: int) -> tuple[Numbers, Numbers]:
    chunks = np.ascontiguousarray(words).view(np.uint16).reshape(len(words), -1)
    radii = _radii(radius, chunks.shape[1])
    found: list[tuple[Numbers, Numbers]] = []
    for c, reach in enumerate(radii):
        if reach < 0:
            continue
        for left, right in _close_buckets(words, chunks[:, c], reach, radius):
            fresh = _first_at(chunks, radii, c, left, right)
            found.append((left[fresh], right[fresh]))
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64)
    return np.concatenate([pair[0] for pair in found]), np.concatenate([pair[1] for pair in found])


def _close_buckets(
    words: Codes, chunk: NDArray[np.uint16], reach: int, radius: int
) -> Iterator[tuple[Numbers, Numbers]]:
    order = np.argsort(chunk, kind="stable")
    sorted_words, values = words[order], chunk[order]
    offsets = np.searchsorted(values, np.arange((1 << _CHUNK) + 1))
    starts, stops = offsets[:-1], offsets[1:]
    for mask in _masks(reach):
        other = values ^ mask
        first = np.where(mask == 0, np.arange(len(values)) + 1, starts[other])
        counts = np.where((mask == 0) | (other > values), stops[other] - first, 0)
        for left, right in _within(sorted_words, first, counts, radius):
            yield order[left], order[right]


@lru_cache(maxsize=8)
def _masks(reach: int) -> tuple[np.uint16, ...]:
    return tuple(
        np.uint16(sum(1 << bit for bit in bits))
        for size in range(reach + 1)
        for bits in combinations(range(_CHUNK), size)
    )


def _within(words: Codes, first: Numbers, counts: Numbers, radius: int) -> Iterator[tuple[Numbers, Numbers]]:
    active = np.flatnonzero(counts)
    ends = np.cumsum(counts[active])
    begin = 0
    while begin < len(active):
        base = int(ends[begin - 1]) if begin else 0
        stop = max(begin + 1, int(np.searchsorted(ends, base + _AT_ONCE, side="right")))
        block = active[begin:stop]
        lengths = counts[block]
        step = ends[begin:stop] - lengths - base
        right = np.arange(int(ends[stop - 1]) - base) + np.repeat(first[block] - step, lengths)
        begin = stop
        yield from _compared(words, np.repeat(block, lengths), right, radius)


def _compared(words: Codes, left: Numbers, right: Numbers, radius: int) -> Iterator[tuple[Numbers, Numbers]]:
    apart = np.bitwise_count(words[left, 0] ^ words[right, 0]).astype(np.uint16)
    for word in range(1, words.shape[1]):
        apart += np.bitwise_count(words[left, word] ^ words[right, word])
    hit = np.flatnonzero(apart <= radius)
    if len(hit):
        yield left[hit], right[hit]


def _first_at(
    chunks: NDArray[np.uint16], radii: list[int], c: int, left: Numbers, right: Numbers
) -> NDArray[np.bool_]:
    """Which pairs no earlier chunk has found already."""
    earlier = np.bitwise_count(chunks[left, :c] ^ chunks[right, :c]) <= np.array(radii[:c], dtype=np.int64)
    return np.asarray(~earlier.any(axis=1))


def _expand(left: Numbers, right: Numbers, inverse: Numbers, counts: Numbers) -> tuple[Numbers, Numbers]:
    """Pairs of different codes turned into pairs of all that hold them, and those that share a code."""
    members = np.argsort(inverse, kind="stable")
    starts = np.cumsum(counts) - counts
    many = counts[left] * counts[right]
    pair = np.repeat(np.arange(len(left)), many)
    place = np.arange(int(many.sum())) - np.repeat(np.cumsum(many) - many, many)
    one = members[starts[left[pair]] + place // counts[right[pair]]]
    other = members[starts[right[pair]] + place % counts[right[pair]]]
    twins = [
        np.stack(np.triu_indices(count, 1)) + start
        for start, count in zip(starts.tolist(), counts.tolist(), strict=True)
        if count > 1
    ]
    same = members[np.concatenate(twins, axis=1)] if twins else np.empty((2, 0), np.int64)
    i, j = np.concatenate([one, same[0]]), np.concatenate([other, same[1]])
    low, high = np.minimum(i, j), np.maximum(i, j)
    order = np.lexsort((high, low))
    return low[order], high[order]
