"""What every command shares: the opened library, codes from the line or a pipe, the choice of picture or JSON."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assetlib.errors import WrongUsage

if TYPE_CHECKING:
    from assetlib.library import Library

JsonFlag = Annotated[bool, typer.Option("--json", help="One JSON document on stdout, for programs.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Say what would happen, and change nothing.")]
Codes = Annotated[
    list[str] | None, typer.Argument(help="Codes, or their first 3 letters or more; - reads a pipe.")
]

SOME_PROBLEMS = 1
"""Exit code where the work is done and some items had problems."""


@dataclass(slots=True)
class CliState:
    """Options that stand before every command."""

    library: Path | None = None
    debug: bool = False


STATE = CliState()


@contextmanager
def opened_library(*, repairing: bool = False) -> Iterator[Library]:
    """The library that the command means, opened and closed again; `repairing` opens one without originals too."""
    from assetlib.config import find_folder
    from assetlib.library import Library

    lib = Library.open(find_folder(STATE.library), repairing=repairing)
    try:
        yield lib
    finally:
        lib.close()


def given_codes(codes: list[str] | None) -> list[str]:
    """The codes on the line, or those that a pipe brings: `find --json`, or any text with a code first in each line.

    Raises WrongUsage where there are none.
    """
    named = [code for code in codes or [] if code != "-"]
    if named and "-" not in (codes or []):
        return named
    if not sys.stdin.isatty():
        named += _piped(sys.stdin.read())
    if not named:
        raise WrongUsage(
            "no drawing was named", "give a code, or pipe a search in: assetlib find dog --json | …"
        )
    return named


def _piped(text: str) -> list[str]:
    if text.lstrip().startswith("{"):
        try:
            document = json.loads(text)
        except json.JSONDecodeError as error:
            raise WrongUsage(f"the pipe brings broken JSON ({error})") from error
        rows = document.get("results") or document.get("added") or []
        return [row["code"] for row in rows if isinstance(row, dict) and row.get("code")]
    return [match.group() for line in text.splitlines() if (match := re.search(r"\S+", line))]
