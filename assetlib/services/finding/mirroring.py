"""What is to be minded when a drawing is mirrored: lettering, and the side that the driver sits on.

It warns and forbids nothing.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass

from assetlib.catalogue.guards import DO_NOT_MIRROR, MIRROR
from assetlib.rules.words.stems import stem

_LETTERED = frozenset(
    stem(word)
    for word in ["lettering", "letters", "text", "sign", "logo", "label", "plate", "headline", "poster"]
)
_DRIVEN = frozenset(stem(word) for word in ["driver", "driving", "drives", "wheel", "steering", "dashboard"])


@dataclass(frozen=True, slots=True)
class DriverSide:
    """The side of the car that the driver sits on, *left* or *right*."""

    drawn: str
    """As the library's drawings have it (a setting)."""
    wanted: str = ""
    """As the job has it; empty where it says nothing."""

    @property
    def is_other(self) -> bool:
        """Whether the job drives on the other side than the drawings do."""
        return self.wanted not in ("", self.drawn)

    @property
    def mirrored(self) -> str:
        """Where the driver of a mirrored drawing sits."""
        return "right" if self.drawn == "left" else "left"


def minding(stems: Iterable[str], facts: Container[tuple[str, str]], side: DriverSide) -> str:
    """What mirroring would get wrong; empty where it does no harm."""
    known = set(stems)
    if (MIRROR, DO_NOT_MIRROR) in facts or _LETTERED & known:
        return "mind the lettering"
    if not _DRIVEN & known or side.is_other:
        return ""
    return f"the driver then sits {side.mirrored}"


def is_wrong_side(stems: Iterable[str], side: DriverSide) -> bool:
    """Whether a drawing as it stands has its driver on the other side than the job."""
    return side.is_other and bool(_DRIVEN.intersection(stems))
