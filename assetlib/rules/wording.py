"""Words that stand wherever rights are spoken of, and text made safe to stand among them."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

NO_LEGAL_ADVICE = "This is no legal advice: local law and a licensed lawyer decide."

MOST_NAMED = 3
"""Names that a sentence lists; more are counted."""

_BREAKING = {"Cc", "Cs", "Zl", "Zp"}
"""Unicode categories: controls, stray halves of characters, line and paragraph separators."""


def listed(names: Sequence[str]) -> str:
    """The first few names, and how many more there are: *C6D8PJ, K7M3PQ and 4 more*."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def one_line(text: str) -> str:
    """The text on one line, single-spaced, so that it cannot pass for a line of its own."""
    return " ".join("".join(" " if unicodedata.category(c) in _BREAKING else c for c in text).split())
