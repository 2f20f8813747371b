"""Comparing a whole library: what stands beside it while it goes on, and what is left of cuts that were corrected."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from typing import Any

import pytest

from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.doubles import resemblance
from assetlib.services.finding import showing
from assetlib.services.keeping import history, leftovers, upkeep
from tests.conftest import Draw
from tests.services.here import run_here, without_workers


def test_the_journal_can_shrink_while_a_library_is_compared(
    lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reader on one snapshot would make every checkpoint busy (sqlite.org/pragma.html, wal_checkpoint)."""
    without_workers(monkeypatch)
    bring_in(lib, [draw(f"{n}.png", n) for n in range(4)], Wishes(role="element"))
    upkeep.work_off(lib, (upkeep.PRINT,))
    busy = []

    def watched(*arguments: Any, **options: Any) -> Iterator[Any]:
        for item, outcome in run_here(*arguments, **options):
            with closing(sqlite3.connect(lib.catalogue, timeout=0)) as connection:
                busy.append(connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0])
            yield item, outcome

    monkeypatch.setattr(resemblance, "run_supervised", watched)
    assert resemblance.compare_waiting(lib) == 4
    assert busy == [0, 0, 0, 0]


def test_what_was_made_of_a_corrected_cut_goes_after_a_day(
    lib: Library, draw: Draw, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_workers(monkeypatch)
    code = bring_in(lib, [draw("dog.png")], Wishes(role="element")).added[0].code
    first = clean_copies.make(lib, code)
    clean_copies.make(lib, code, clean_copies.Changes(remove=("speck",)))
    kinds = (upkeep.PROOF, upkeep.PRINT)
    upkeep.work_off(lib, kinds)
    assert (upkeep.forget_superseded(lib), first.ink.is_file()) == (0, True)  # it may be undone yet
    later = dt.datetime.now(dt.UTC) + dt.timedelta(days=2)
    monkeypatch.setattr(lib, "now", lambda: later)
    assert upkeep.forget_superseded(lib) > 0
    leftovers.tidy(lib)
    assert not first.ink.is_file()
    assert showing.show(lib, code).proof is not None
    history.undo_steps(lib)
    assert clean_copies.make(lib, code).ink.is_file()
