"""Word pieces of English text as BERT's uncased vocabulary cuts them, without a tokenizer library at run time."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

_LONGEST_WORD = 100  # characters; BERT's tokenizer gives up on longer ones
_UNKNOWN = "[UNK]"
# Code points of Chinese characters, each of which is a word of its own: ranges of BERT's reference tokenizer.
_IDEOGRAPHS = (
    (0x4E00, 0x9FFF), (0x3400, 0x4DBF), (0x20000, 0x2A6DF), (0x2A700, 0x2B73F), (0x2B740, 0x2B81F),
    (0x2B820, 0x2CEAF), (0xF900, 0xFAFF), (0x2F800, 0x2FA1F),
)  # fmt: skip


class WordPieces:
    """Cuts text into the numbered pieces of a vocabulary."""

    def __init__(self, vocabulary: Sequence[str]) -> None:
        self._numbers = {piece: number for number, piece in enumerate(vocabulary)}

    def numbers(self, text: str) -> list[int]:
        """Piece numbers in order, without marks for start and end; empty for empty text."""
        return [number for word in split_words(text) for number in self._pieces(word)]

    def _pieces(self, word: str) -> list[int]:
        if len(word) > _LONGEST_WORD:
            return [self._numbers[_UNKNOWN]]
        found, start = [], 0
        while start < len(word):
            for end in range(len(word), start, -1):
                piece = word[start:end] if start == 0 else "##" + word[start:end]
                if piece in self._numbers:
                    break
            else:
                return [self._numbers[_UNKNOWN]]
            found.append(self._numbers[piece])
            start = end
        return found


def split_words(text: str) -> Iterator[str]:
    """Lower-case words without accents; every mark of punctuation and every ideograph is a word of its own."""
    cleaned = "".join(" " if c.isspace() else c for c in text if not _is_control(c))
    lowered = unicodedata.normalize("NFD", cleaned.lower())
    spaced = "".join(f" {c} " if _stands_alone(c) else c for c in lowered if unicodedata.category(c) != "Mn")
    yield from spaced.split()


def _is_control(character: str) -> bool:
    if character in "\t\n\r":
        return False
    return character in "\0\ufffd" or unicodedata.category(character)[0] == "C"


def _stands_alone(character: str) -> bool:
    code = ord(character)
    ascii_mark = 33 <= code <= 47 or 58 <= code <= 64 or 91 <= code <= 96 or 123 <= code <= 126
    ideograph = code >= 0x3400 and any(low <= code <= high for low, high in _IDEOGRAPHS)
    return ascii_mark or ideograph or unicodedata.category(character)[0] == "P"
