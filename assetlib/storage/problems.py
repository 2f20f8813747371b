"""What is wrong with a bundle, said once for people and once for programs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One fault; `code` stays the same for ever."""

    code: str
    sentence: str
