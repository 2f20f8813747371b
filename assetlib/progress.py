"""How long work tells that it goes on; by default it tells nobody."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

T = TypeVar("T")


class Progress(Protocol):
    """Something that is told of each item of a long piece of work."""

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        """Yield the items unchanged, announcing each as it is finished."""
        ...


class Silent:
    """Progress that passes items through and says nothing."""

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        yield from items


SILENT = Silent()
