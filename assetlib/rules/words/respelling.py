"""A misspelt word and the word that was meant: few letters off, and never a number or a small word."""

from __future__ import annotations

from collections.abc import Iterable

SHORTEST = 4
"""Letters from which a word is respelt: shorter ones are like too many."""

LONG = 7
"""Letters from which two may be wrong."""


def allowed_slips(word: str) -> int:
    """How many letters may be wrong, missing, too many or changed round."""
    return 0 if len(word) < SHORTEST or not word.isalpha() else 2 if len(word) >= LONG else 1


def meant(word: str, known: Iterable[str], limit: int = 4) -> list[str]:
    """The known words that `word` may have been meant for, fewest slips first; the first letter is taken as right."""
    slips = allowed_slips(word)
    if not slips:
        return []
    near = [
        (distance(word, other, slips), other)
        for other in known
        if other[:1] == word[:1] and abs(len(other) - len(word)) <= slips and other != word
    ]
    return [other for slip, other in sorted(near) if slip <= slips][:limit]


def distance(one: str, other: str, most: int) -> int:
    """Letters wrong, missing, too many or changed round with their neighbour; more than `most` is `most` + 1.

    Damerau (1964), restricted: no stretch is changed twice.
    """
    before: list[int] = []
    last = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, wanted in enumerate(other, 1):
            cost = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (letter != wanted))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == wanted:
                cost = min(cost, before[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
        before, last = last, row
    return min(last[-1], most + 1)
