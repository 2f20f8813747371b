"""What every command shares: the opened library, which drawings are meant, lists of numbers, dry runs and JSON."""

from __future__ import annotations

import copy
import datetime as dt
import functools
import inspect
import json
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer
import typer.core

from assetlib.errors import WrongUsage

if TYPE_CHECKING:
    from typer.models import CommandInfo, TyperInfo

    from assetlib.library import Library
    from assetlib.services.choosing import Choice

JsonFlag = Annotated[bool, typer.Option("--json", help="One JSON document on stdout, for programs.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Say what would happen, and change nothing.")]

CODES_HELP = "Codes, or their first 3 letters or more; - reads a pipe."
SHEET_HELP = "All drawings of this sheet; several allowed."
JOB_HELP = "All drawings brought in for this job; several allowed."
COLLECTION_HELP = "All drawings of this collection; several allowed."

SOME_PROBLEMS = 1
"""Exit code where the work is done and some items had problems."""

Command = TypeVar("Command", bound=Callable[..., Any])

MOST_NUMBERS = 10_000
"""How many numbers a range like 4-6 may stand for; no page has as many drawings."""


class PlainCommand(typer.core.TyperCommand):
    """A command whose help says TEXT, PATH or NUMBER where a value goes, in place of the names of Python's types."""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        for parameter in self.params:
            shown: Any = parameter
            kind = getattr(shown, "type_descriptor", None)  # Typer before 0.29 writes TEXT by itself
            if kind is None or kind.is_choice or parameter.metavar or getattr(parameter, "is_flag", False):
                continue
            if parameter.param_type_name == "argument":
                parameter.metavar = str(parameter.name).upper()
                shown.display_type = lambda _context: ""
            elif kind.is_path:
                parameter.metavar = "PATH"
            else:
                label = shown.display_type(typer.Context(self))
                parameter.metavar = "NUMBER" if any(n in label for n in ("int", "float")) else "TEXT"


class Commands(typer.Typer):
    """A group of commands in plain words."""

    def command(self, name: str | None = None, **options: Any) -> Callable[[Command], Command]:
        """As Typer's own, with plain help."""
        return super().command(name, **({"cls": PlainCommand} | options))

    def with_one_in_full(self, name: str | None) -> Commands:
        """These commands, of which only `name` has its options: reading those of all takes longer than most commands.

        The others keep their names and help, which is all that a list of commands or a slip in a name asks for.
        """
        few = copy.copy(self)
        few.registered_commands = [
            info if info.name == name else _named_only(info) for info in self.registered_commands
        ]
        few.registered_groups = [
            info if _name_of(info) == name else _empty_group(info) for info in self.registered_groups
        ]
        return few


def _named_only(info: CommandInfo) -> CommandInfo:
    def command() -> None:
        raise AssertionError("only named, never run")

    command.__doc__ = info.callback.__doc__
    light = copy.copy(info)
    light.callback = command
    return light


def _name_of(info: TyperInfo) -> Any:
    inside = info.typer_instance
    return info.name or (inside.info.name if inside is not None else None)


def _empty_group(info: TyperInfo) -> TyperInfo:
    assert info.typer_instance is not None
    light, inside = copy.copy(info), copy.copy(info.typer_instance)
    inside.registered_commands, inside.registered_groups = [], []
    light.typer_instance = inside
    return light


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
        _tell_new_words(lib)
        yield lib
    finally:
        lib.close()


def _tell_new_words(lib: Library) -> None:
    from assetlib.services.describing.newwords import untold_words

    if count := untold_words(lib):
        from assetlib.cli import render

        words = render.plural(count, "word is", "words are")
        render.tell(
            f"{words} new or known by more names in this assetlib; to have them: assetlib thesaurus import"
        )


@dataclass(frozen=True, slots=True)
class Drawings:
    """The drawings that a command was given: a parameter of this type becomes four on the line (`takes_drawings`)."""

    codes: list[str] = field(default_factory=list)
    sheets: list[str] = field(default_factory=list)
    jobs: list[str] = field(default_factory=list)
    collections: list[str] = field(default_factory=list)

    def any_named(self) -> bool:
        """Whether anything stands on the line; a pipe is named by -."""
        return bool(self.codes or self.sheets or self.jobs or self.collections)

    def choice(self) -> Choice:
        """What was named, a pipe read: where - stands, or where nothing is named and something is piped in."""
        from assetlib.services.choosing import Choice

        codes = [code for code in self.codes if code != "-"]
        pipes = "-" in self.codes or not (self.any_named() or sys.stdin.isatty())
        piped = _piped(sys.stdin.read()) if pipes else []
        return Choice(
            tuple(codes), tuple(piped), tuple(self.sheets), tuple(self.jobs), tuple(self.collections)
        )

    def in_library(self, lib: Library, *roles: str) -> list[str]:
        """The full codes, of these roles alone where some are given; what a pipe brings besides is told on stderr.

        Raises WrongUsage where nothing was named, NotFound, AmbiguousCode.
        """
        from dataclasses import replace

        from assetlib.services.choosing import chosen

        choice = self.choice()
        choice = replace(choice, codes=tuple(_row_or_code(lib, code) for code in choice.codes))
        found = chosen(lib, choice, roles) if roles else chosen(lib, choice)
        for code, role in found.passed_over:
            print(f"{code} is a {role} and passed over", file=sys.stderr)
        return list(found.codes)

    def of_jobs_and_collections(self, lib: Library, *roles: str) -> list[str]:
        """The full codes of what is in the jobs and collections alone. Raises as `in_library` does."""
        from assetlib.services.choosing import Choice, chosen

        choice = Choice(jobs=tuple(self.jobs), collections=tuple(self.collections))
        return list(chosen(lib, choice, roles).codes)

    def if_any(self, lib: Library) -> list[str]:
        """The full codes, none where nothing stands on the line; a pipe is read only where - says so."""
        return self.in_library(lib) if self.any_named() else []


def _row_or_code(lib: Library, given: str) -> str:
    """The code of a row of the last list, where a number of one or two figures is given; else what was given.

    Raises NotFound for a number where this terminal has no list of this library from the last hour.
    """
    if not (given.isdecimal() and len(given) <= LONGEST_ROW):
        return given
    from assetlib.errors import NotFound
    from assetlib.services.finding import last_list

    row = last_list.row_called(lib.folder, given)
    if row is None:
        raise NotFound(
            f"there is no row {given} here", "a number means a row of this terminal's last list, for an hour"
        )
    print(f"{given}: {row.code}  {row.title}", file=sys.stderr)
    return row.code


LONGEST_ROW = 2
"""Figures of a row's number; a code is longer."""

_CHOICES: dict[str, Any] = {
    "codes": Annotated[list[str] | None, typer.Argument(help=CODES_HELP)],
    "sheet": Annotated[list[str] | None, typer.Option("--sheet", help=SHEET_HELP)],
    "job": Annotated[list[str] | None, typer.Option("--job", help=JOB_HELP)],
    "collection": Annotated[list[str] | None, typer.Option("--collection", help=COLLECTION_HELP)],
}


def takes_drawings(command: Callable[..., Any]) -> Callable[..., Any]:
    """A command whose parameter of type `Drawings` is written on the line as codes, --sheet, --job, --collection."""
    signature = inspect.signature(command, eval_str=True)
    given = next(p.name for p in signature.parameters.values() if p.annotation is Drawings)

    @functools.wraps(command)
    def run(**options: Any) -> Any:
        named = [options.pop(name) or [] for name in _CHOICES]
        return command(**{given: Drawings(*named)}, **options)

    parameters = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=kind)
        for name, kind in _CHOICES.items()
    ]
    own = list(signature.parameters.values())
    at = [p.name for p in own].index(given)
    # The codes stand where the command has them; how to name many comes after the command's own options.
    last = [p for p in own[at + 1 :] if p.name in ("dry_run", "as_json")]
    ordered = [*own[:at], parameters[0], *(p for p in own[at + 1 :] if p not in last), *parameters[1:], *last]
    ordered = [p.replace(kind=inspect.Parameter.KEYWORD_ONLY) for p in ordered]
    run.__signature__ = signature.replace(parameters=ordered)  # type: ignore[attr-defined]
    run.__annotations__ = {p.name: p.annotation for p in ordered}
    return run


def numbers(texts: Iterable[str] | None, option: str) -> tuple[int, ...]:
    """Numbers from lists like 3, 2,3 or 4-6, each once, in the order in which they stand.

    Raises WrongUsage for what is none, naming the option.
    """
    found: list[int] = []
    for text in texts or ():
        for part in re.split(r"\s*,\s*|\s+", text.strip()):
            first, dash, last = part.partition("-")
            if not first.isdecimal() or (dash and not last.isdecimal()):
                raise WrongUsage(
                    f"'{text}' is not a list of numbers", f"{option} takes numbers like 3, 2,3 or 4-6"
                )
            start, end = int(first), int(last or first)
            if not 0 <= end - start < MOST_NUMBERS:
                raise WrongUsage(f"'{part}' is no range of numbers", f"{option} takes ranges like 4-6")
            found += range(start, end + 1)
    return tuple(dict.fromkeys(found))


_LISTS = ("results", "added", "drawings", "described", "copies")
"""Where the documents of commands hold drawings."""


def _piped(text: str) -> list[str]:
    """Codes that a pipe brings: another command's JSON, or any text with a code first in each line."""
    if not text.lstrip().startswith("{"):
        return [match.group() for line in text.splitlines() if (match := re.search(r"\S+", line))]
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise WrongUsage(f"the pipe brings broken JSON ({error})") from error
    rows = [row for name in _LISTS for row in document.get(name) or ()]
    rows += [row for sheet in document.get("sheets") or () for row in sheet.get("elements") or ()]
    rows += [row for one in document.get("collections") or () for row in one.get("items") or ()]
    rows += [document] if "code" in document else []
    # What only looks like a line that was asked for is shown and not handed on.
    asked = bool(document.get("query"))
    good = [row for row in rows if isinstance(row, dict) and not (asked and row.get("fit") == "near")]
    return [row["code"] for row in good if row.get("code")]


def as_day(text: str | None) -> dt.date | None:
    """The day that is written as 2026-03-14. Raises WrongUsage."""
    if text is None:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise WrongUsage(f"'{text}' is no day", "write it like 2026-03-14") from None
