"""The command line: its root, and the one boundary where failures become a line and an exit code."""

from __future__ import annotations

import io
import os
import sys
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

import typer

from assetlib.cli import (
    attic,
    cleaning,
    cutting,
    describing,
    doubles,
    finding,
    intake,
    jobs,
    keeping,
    models,
    paste,
    pull,
    releases,
    sales,
    selling,
    thesaurus,
    trade,
)
from assetlib.cli.context import STATE, Commands, JsonFlag
from assetlib.errors import UNEXPECTED, UNEXPECTED_KIND, AssetlibError, Stopped, WrongUsage, refused

app = Commands(
    name="assetlib",
    help="A board artist's library of drawings: find the one that fits, paste it, sell what may be sold.",
    epilog="--library and --debug may stand anywhere on the line. Start with: assetlib demo",
    rich_markup_mode=None,
    invoke_without_command=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if wanted:
        from assetlib import __version__

        typer.echo(f"assetlib {__version__}")
        raise typer.Exit


@app.callback()
def root(
    context: typer.Context,
    library: Annotated[
        Path | None,
        typer.Option(help="The library's folder; else ASSETLIB_LIBRARY, else the one around this folder."),
    ] = None,
    debug: Annotated[
        bool, typer.Option("--debug", help="Show the whole story of an unexpected error.")
    ] = False,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
    as_json: JsonFlag = False,
) -> int | None:
    """A board artist's library of drawings: find the one that fits, paste it, sell what may be sold.

    Without a command it says where things stand.
    """
    STATE.library, STATE.debug = library, debug
    if context.invoked_subcommand is not None:
        if as_json:
            raise WrongUsage(
                "--json stands after the command", f"assetlib {context.invoked_subcommand} --json"
            )
        return None
    from assetlib.cli.standing import where_things_stand

    return where_things_stand(as_json=as_json)


for room in (
    intake,
    cutting,
    cleaning,
    doubles,
    finding,
    describing,
    thesaurus,
    jobs,
    pull,
    paste,
    trade,
    releases,
    selling,
    sales,
    models,
    attic,
    keeping,
):
    room.register(app)


def run() -> None:
    """Run the command line and exit with its code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A file name that is no text still prints, and stays valid inside JSON.
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    code = main(sys.argv[1:])
    sys.exit(_finished(code))


def _finished(code: int) -> int:
    """The exit code after all that was printed has left; one of its own where it could not, as on a full disk."""
    try:
        sys.stdout.flush()
    except OSError as error:
        _let_go_of_output()
        if isinstance(error, BrokenPipeError):
            return code
        refusal = refused(error)
        if error.filename is None:
            refusal.sentence = f"the output cannot be written: {(error.strerror or str(error)).lower()}"
        failure = _failure(refusal)
        _complain(failure, refusal)
        return failure.exit
    return code


def _let_go_of_output() -> None:
    """Keep the interpreter from flushing once more at its end, and telling the same again in its own words."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def main(arguments: list[str]) -> int:
    """Run one command; returns its exit code. Where it fails, `--json` answers with what went wrong."""
    arguments = _hoisted(arguments)
    STATE.debug = "--debug" in arguments
    try:
        few = app.with_one_in_full(_command_of(arguments))
        result = few(arguments, standalone_mode=False, prog_name="assetlib")
        if result == Stopped.exit_code:  # Typer turns an interrupt into this result without a word
            raise KeyboardInterrupt
        return result if isinstance(result, int) else 0
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except (Exception, KeyboardInterrupt) as error:
        failure = _failure(error)
        if "--json" in arguments[: arguments.index("--") if "--" in arguments else None]:
            from assetlib.cli import render

            try:
                render.print_json({"error": asdict(failure)})
            except (
                OSError
            ):  # the answer itself could not be written, as on a full disk: the other stream says so
                _let_go_of_output()
        _complain(failure, error)
        return failure.exit


@dataclass(frozen=True, slots=True)
class Failure:
    """What a command that failed says; `kind` is one of the words that the classes in `errors` carry."""

    exit: int
    kind: str
    message: str
    hint: str | None


def _failure(error: BaseException) -> Failure:
    """What is said of an error: one of ours, a complaint of the parser, an interrupt, or something unforeseen."""
    if isinstance(error, AssetlibError):
        return Failure(error.exit_code, error.kind, error.sentence.rstrip("."), error.hint)
    if isinstance(error, (KeyboardInterrupt, typer.Abort)):
        return Failure(Stopped.exit_code, Stopped.kind, "stopped; what was done so far stands", None)
    if hasattr(error, "format_message") and hasattr(error, "exit_code"):
        return Failure(WrongUsage.exit_code, WrongUsage.kind, error.format_message().rstrip("."), None)
    if isinstance(error, OSError) and not STATE.debug:
        return _failure(refused(error))
    if isinstance(error, UnicodeEncodeError) and any(
        "\udc80" <= letter <= "\udcff" for letter in error.object
    ):
        return _failure(WrongUsage("something on the line is no text that can be kept", "write it in UTF-8"))
    said = f"something unforeseen happened ({type(error).__name__}: {error})"
    return Failure(UNEXPECTED, UNEXPECTED_KIND, said, "run it again with --debug")


def _hoisted(arguments: list[str]) -> list[str]:
    """The arguments with the root's own options first, wherever they stood."""
    front: list[str] = []
    rest: list[str] = []
    waiting = iter(arguments)
    for argument in waiting:
        if argument == "--":
            rest += [argument, *waiting]
        elif argument == "--debug" or argument.startswith("--library="):
            front.append(argument)
        elif argument == "--library":
            front += [argument, *([value] if (value := next(waiting, None)) is not None else [])]
        else:
            rest.append(argument)
    return front + rest


def _command_of(arguments: list[str]) -> str | None:
    """The command that hoisted arguments name, None for none."""
    waiting = iter(arguments)
    for argument in waiting:
        if argument == "--library":
            next(waiting, None)
        elif not argument.startswith("-"):
            return argument
    return None


def _complain(failure: Failure, error: BaseException) -> None:
    """One line on stderr and its hint; a parser's complaint keeps its own words, --debug tells the whole story."""
    show = getattr(error, "show", None)
    if show is not None and hasattr(error, "format_message"):
        show(file=sys.stderr)
        return
    if STATE.debug and failure.kind == UNEXPECTED_KIND:
        import traceback

        traceback.print_exception(error, file=sys.stderr)
    from assetlib.cli.wording import plain

    print(f"assetlib: {plain(failure.message)}", file=sys.stderr)
    if failure.hint:
        print(f"  {plain(failure.hint.rstrip('.'))}", file=sys.stderr)
