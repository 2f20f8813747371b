"""Work on tiny pictures in this process: a history of hundreds of commands cannot start a worker for each."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable
from typing import Any

import pytest

from assetlib.errors import AssetlibError
from assetlib.imaging import supervise
from assetlib.imaging.supervise import Outcome


def run_here(
    function: Callable[[Any], Any], items: Iterable[Any], **_limits: Any
) -> Generator[tuple[Any, Outcome[Any]], None, None]:
    """What `run_supervised` gives, one item after the other, without workers."""
    for item in items:
        try:
            yield item, Outcome(function(item))
        except AssetlibError as error:
            yield item, Outcome(reason=error.sentence, hint=error.hint, error=error)


def call_here(function: Callable[..., Any], *arguments: Any, **_limits: Any) -> Outcome[Any]:
    """What `call_supervised` gives, without a worker."""
    try:
        return Outcome(function(*arguments))
    except AssetlibError as error:
        return Outcome(reason=error.sentence, hint=error.hint, error=error)


def without_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have every service do its work here."""
    import sys

    for name, module in list(sys.modules.items()):
        if name.startswith("assetlib.services"):
            for attribute, stand_in in (("run_supervised", run_here), ("call_supervised", call_here)):
                if getattr(module, attribute, None) is getattr(supervise, attribute):
                    monkeypatch.setattr(module, attribute, stand_in)
