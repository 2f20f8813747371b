"""The words and marks of a typed line."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import NamedTuple


class Token(NamedTuple):
    """A word or mark of a line; `text` is casefolded and without apostrophes, `raw` as typed.

    `joined` tells that a hyphen binds it to the one before; `owner` is the text without a
    possessive s, so that *driver's* is also *driver*.
    """

    text: str
    raw: str
    start: int
    end: int
    joined: bool = False

    @property
    def owner(self) -> str:
        return self.text[:-1] if self.raw[-2:].casefold() in ("'s", "’s") else self.text

    @property
    def is_mark(self) -> bool:
        return not self.text[0].isalnum()


# What a word goes on with: anything but spaces, figures, punctuation, arrows and symbols.
# Wider than \w, which breaks words at the vowel signs and accents that Unicode calls marks.
_INSIDE = r"[^\s\d!-/:-@\[-`{-~\u00a1-\u00bf\u00d7\u00f7\u2000-\u206f\u2190-\u2bff\u3000-\u303f]"


@cache
def _token_shape() -> re.Pattern[str]:
    return re.compile(
        r"(?P<arrow>\b[LlRr]\s?(?:-+>|=+>|[-–>→])\s?[LlRr]\b)"
        r"|(?P<heading>\b(?i:int|ext)\.?\s?[/&]\s?(?i:int|ext)\b)"
        r"|(?P<slashed>\b[A-Za-z]/[A-Za-z]\b)"
        r"|(?P<dotted>\b(?:[A-Za-z]\.){2,4})"
        r"|(?P<shortened>\b(?i:med|est|estab|rev|ang|persp)\.)"
        r"|(?P<fraction>\b3/4(?!\d)|¾)"
        r"|(?P<number>\d+[A-Za-z]*)"
        rf"|(?P<word>[^\W\d_]{_INSIDE}*(?:['’`][^\W\d_]{_INSIDE}*)?)"
        r"|(?P<glue>(?<=\w)['’](?=\s)|(?<=\w)[-‐‑](?=\w))"
        r"|(?P<mark>[^\w\s]|_)"
    )


_ACCENTS = dict.fromkeys(range(0x0300, 0x0370))  # the block of combining marks that Latin uses
_APOSTROPHES = str.maketrans("", "", "'’`")


def tokens_of(text: str) -> tuple[Token, ...]:
    """The words and marks of a line in order; hyphens inside a word only part it."""
    found: list[Token] = []
    joined = False
    for hit in _token_shape().finditer(text):
        if hit.lastgroup == "glue":
            joined = hit.group() not in "'’"
            continue
        text_of = _plain(hit.group(), hit.lastgroup)
        found.append(Token(text_of, hit.group(), hit.start(), hit.end(), joined))
        joined = False
    return tuple(found)


def _plain(raw: str, shape: str | None) -> str:
    folded = raw.casefold().translate(_APOSTROPHES) or raw
    if shape == "arrow":
        return "r>l" if folded[0] == "r" else "l>r"
    if shape == "heading":
        return "int/ext"
    if shape == "fraction":
        return "3/4"
    if shape == "shortened":
        return folded.rstrip(".")
    if shape == "word" and not folded.isascii():
        parts = unicodedata.normalize("NFD", folded)
        return unicodedata.normalize("NFC", parts.translate(_ACCENTS))
    return folded
