"""Which of several things belong together."""

from __future__ import annotations

from collections.abc import Callable


def grouped(count: int, belong: Callable[[int, int], bool]) -> list[int]:
    """The group of each of `count` things, one number for all of a group; what belongs to one belongs to its group.

    `belong` is asked of pairs that are in no group together yet, the later thing first.
    """
    group = list(range(count))
    for one in range(count):
        for other in range(one):
            if group[one] != group[other] and belong(one, other):
                was = group[one]
                group = [group[other] if own == was else own for own in group]
    return group
