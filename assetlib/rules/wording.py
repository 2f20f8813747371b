"""Words that stand wherever rights are spoken of, and text made safe to stand among them."""

from __future__ import annotations

import unicodedata

NO_LEGAL_ADVICE = "This is no legal advice: local law and a licensed lawyer decide."

_BREAKING = {"Cc", "Cs", "Zl", "Zp"}
"""Unicode categories: controls, stray halves of characters, line and paragraph separators."""


def one_line(text: str) -> str:
    """The text on one line, single-spaced, so that it cannot pass for a line of its own."""
    return " ".join("".join(" " if unicodedata.category(c) in _BREAKING else c for c in text).split())
