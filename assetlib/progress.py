"""How long work tells that it goes on; by default it tells nobody."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TypeVar

from assetlib.errors import Stopped

T = TypeVar("T")


class Progress(Protocol):
    """Something that is told of each item of a long piece of work, and may raise Stopped to end it."""

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        """Yield the items unchanged, announcing each as it is finished."""
        ...


class Silent:
    """Progress that passes items through and says nothing."""

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        yield from items


SILENT = Silent()


class Stoppable:
    """Progress that is told onwards, and ends the work at the next item once `asked` says so."""

    def __init__(self, told: Progress, asked: Callable[[], bool]) -> None:
        self.told = told
        self.asked = asked

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        """Yield the items. Raises Stopped before the first one after the wish to stop."""
        for item in self.told.track(items, label, total):
            yield item
            if self.asked():
                raise Stopped(
                    "stopped; what was done so far stands", "the same command goes on with the rest"
                )
