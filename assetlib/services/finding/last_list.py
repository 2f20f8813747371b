"""The last list that a terminal showed: its rows keep their numbers for an hour, outside the catalogue."""

from __future__ import annotations

import hashlib
import json
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from assetlib.storage.durable import write_atomic

VALID_SECONDS = 60 * 60
"""How long a list is remembered: the next job's list must not answer for this one's."""

LONGEST_NUMBER = 2
"""Figures of a row's number; a code is longer."""


@dataclass(frozen=True, slots=True)
class ListedRow:
    """A row of a list: its drawing's code and title."""

    code: str
    title: str


def keep(library: Path, rows: Sequence[ListedRow]) -> None:
    """Remember the rows of a list shown on this terminal; nothing where this is none or nothing can be written."""
    terminal = _terminal()
    if terminal is None:
        return
    path = _path(terminal)
    said = {
        "library": str(library.resolve()),
        "at": time.time(),
        "rows": [[row.code, row.title] for row in rows],
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomic(path, json.dumps(said).encode())
    except OSError:
        return


def recall(library: Path) -> tuple[ListedRow, ...]:
    """The rows of the last list of this library on this terminal; none after an hour or without a terminal."""
    terminal = _terminal()
    if terminal is None:
        return ()
    try:
        said = json.loads(_path(terminal).read_text(encoding="utf-8"))
        fresh = 0 <= time.time() - said["at"] < VALID_SECONDS
        if said["library"] != str(library.resolve()) or not fresh:
            return ()
        return tuple(ListedRow(str(code), str(title)) for code, title in said["rows"])
    except (OSError, ValueError, KeyError, TypeError):
        return ()


def row_called(library: Path, given: str) -> ListedRow | None:
    """The row that a number of one or two figures names; None for what is no such number or no row."""
    if not (given.isdecimal() and len(given) <= LONGEST_NUMBER):
        return None
    rows = recall(library)
    number = int(given)
    return rows[number - 1] if 1 <= number <= len(rows) else None


def _terminal() -> str | None:
    """What tells this terminal from others: its device and its session; None where nothing of it is a terminal."""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        try:
            if stream is None or not stream.isatty():
                continue
            if hasattr(os, "ttyname"):
                return f"{os.ttyname(stream.fileno())} {os.getsid(0)}"
            return f"console {os.getppid()}"
        except (OSError, ValueError):
            continue
    return None


def _path(terminal: str) -> Path:
    from platformdirs import user_cache_path

    name = hashlib.sha256(terminal.encode()).hexdigest()[:16]
    return Path(user_cache_path("assetlib")) / "lists" / f"{name}.json"
