"""The byte pairs by which CLIP models read text, without a tokenizer library at run time.

After the published CLIP tokenizer (Radford et al. 2021, MIT licence), whose vocabulary is a list of merges: pairs of
pieces that are joined, the earliest in the list first. Text garbled by a wrong encoding is not mended first.
"""

from __future__ import annotations

import html
import string
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

_CONTRACTIONS = ("'s", "'t", "'re", "'ve", "'m", "'ll", "'d")
_WORD_END = "</w>"
_QUOTES = str.maketrans({"‘": "'", "’": "'", "“": '"', "”": '"'})  # as CLIP's cleaning straightens them
_PUNCTUATION = str.maketrans("", "", string.punctuation)
_LETTER, _NUMBER, _SPACE, _OTHER = range(4)


class BytePairs:
    """Cuts text into the numbered pieces of a CLIP vocabulary."""

    def __init__(self, merges: Sequence[str], cleaning: str = "lower") -> None:
        """`merges` are pairs with a space between, in order; `cleaning` is lower, whitespace or canonicalize."""
        self._pairs = [tuple(merge.split(" ")) for merge in merges]
        self._cleaning = cleaning
        self._known: dict[str, list[int]] = {}

    @cached_property
    def _ranks(self) -> dict[tuple[str, ...], int]:
        return {pair: rank for rank, pair in enumerate(self._pairs)}

    @cached_property
    def _numbers(self) -> dict[str, int]:
        letters = list(_byte_letters().values())
        pieces = [*letters, *(letter + _WORD_END for letter in letters), *map("".join, self._pairs)]
        return {piece: number for number, piece in enumerate(pieces)}

    @cached_property
    def _letters(self) -> dict[int, str]:
        return _byte_letters()

    def numbers(self, text: str) -> list[int]:
        """Piece numbers in order, without marks for start and end; empty for text without words."""
        return [number for word in split_words(clean(text, self._cleaning)) for number in self._pieces(word)]

    def framed(self, numbered: Sequence[Sequence[int]], length: int) -> NDArray[np.int64]:
        """Texts of numbers as the tower takes them, int64 (N, length): start, numbers, end, zeros; long ones cut."""
        start = 2 * len(self._letters) + len(self._pairs)
        out = np.zeros((len(numbered), length), np.int64)
        for row, numbers in enumerate(numbered):
            framed = [start, *numbers[: length - 2], start + 1]
            out[row, : len(framed)] = framed
        return out

    def _pieces(self, word: str) -> list[int]:
        if word not in self._known:
            letters = [self._letters[byte] for byte in word.encode("utf-8")]
            joined = self._join([*letters[:-1], letters[-1] + _WORD_END])
            self._known[word] = [self._numbers[piece] for piece in joined]
        return self._known[word]

    def _join(self, pieces: list[str]) -> list[str]:
        while len(pieces) > 1:
            pairs = set(pairwise(pieces))
            best = min(pairs, key=lambda pair: self._ranks.get(pair, len(self._pairs)))
            if best not in self._ranks:
                break
            pieces = _joined(pieces, best)
        return pieces


def _joined(pieces: list[str], pair: tuple[str, str]) -> list[str]:
    out, place = [], 0
    while place < len(pieces):
        if tuple(pieces[place : place + 2]) == pair:
            out.append(pieces[place] + pieces[place + 1])
            place += 2
        else:
            out.append(pieces[place])
            place += 1
    return out


def clean(text: str, how: str = "lower") -> str:
    """The text as a CLIP vocabulary expects it: one kind of quotes and spaces, entities resolved, lower case."""
    text = "".join(unicodedata.normalize("NFKC", c) if _is_variant(c) else c for c in text.translate(_QUOTES))
    text = unicodedata.normalize("NFC", text)
    text = " ".join(html.unescape(html.unescape(text)).split())
    if how == "canonicalize":
        return " ".join(text.replace("_", " ").translate(_PUNCTUATION).lower().split())
    return text.lower() if how == "lower" else text


def split_words(text: str) -> Iterator[str]:
    """Runs of letters, single digits, runs of other marks; English contractions stand alone."""
    place = 0
    while place < len(text):
        ending = next((c for c in _CONTRACTIONS if text[place : place + len(c)].lower() == c), None)
        kind = _kind(text[place])
        end = place + (len(ending) if ending else 1)
        while not ending and kind in (_LETTER, _OTHER) and end < len(text) and _kind(text[end]) == kind:
            end += 1
        if kind != _SPACE:
            yield text[place:end]
        place = end


def _kind(character: str) -> int:
    if character.isspace():
        return _SPACE
    return {"L": _LETTER, "N": _NUMBER}.get(unicodedata.category(character)[0], _OTHER)


def _is_variant(character: str) -> bool:
    """Whether it is a ligature of letters, or a letter in another width."""
    return "ﬀ" <= character <= "ﬆ" or "！" <= character <= "￮" or character == "\u3000"


def _byte_letters() -> dict[int, str]:
    """Each byte as one printable letter, in the order of the vocabulary: printable bytes stand for themselves."""
    printable = [
        *range(ord("!"), ord("~") + 1),
        *range(ord("¡"), ord("¬") + 1),
        *range(ord("®"), ord("ÿ") + 1),
    ]
    others = [byte for byte in range(256) if byte not in printable]
    return {byte: chr(byte) for byte in printable} | {byte: chr(256 + n) for n, byte in enumerate(others)}
