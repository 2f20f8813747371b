"""The command line: its root, and the one boundary where failures become a line and an exit code."""

from __future__ import annotations

import io
import os
import sys
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
    keeping,
    models,
    trade,
)
from assetlib.cli.context import STATE
from assetlib.errors import AssetlibError, WrongUsage, refused

UNEXPECTED = 70
INTERRUPTED = 130

app = typer.Typer(
    name="assetlib",
    help="A board artist's library of drawings: find the one that fits, paste it, sell what may be sold.",
    epilog="--library and --debug may stand anywhere on the line. Start with: assetlib demo",
    rich_markup_mode=None,
    no_args_is_help=True,
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
) -> None:
    """Options that every command takes."""
    STATE.library, STATE.debug = library, debug


for room in (intake, cutting, cleaning, doubles, finding, describing, trade, models, attic, keeping):
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
        return code if isinstance(error, BrokenPipeError) else _complain_of_disk(error)
    return code


def _let_go_of_output() -> None:
    """Keep the interpreter from flushing once more at its end, and telling the same again in its own words."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain_of_disk(error: OSError) -> int:
    refusal = refused(error)
    if error.filename is None:
        refusal.sentence = f"the output cannot be written: {(error.strerror or str(error)).lower()}"
    return _complain(refusal.sentence, refusal.hint, refusal.exit_code)


def main(arguments: list[str]) -> int:
    """Run one command; returns its exit code."""
    arguments = _hoisted(arguments)
    STATE.debug = "--debug" in arguments
    try:
        result = app(arguments, standalone_mode=False, prog_name="assetlib")
        return result if isinstance(result, int) else 0
    except AssetlibError as error:
        return _complain(error.sentence, error.hint, error.exit_code)
    except (KeyboardInterrupt, typer.Abort):
        return _complain("stopped; what was done so far stands", None, INTERRUPTED)
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        return _unexpected(error) if STATE.debug else _complain_of_disk(error)
    except UnicodeEncodeError as error:
        if any("\udc80" <= letter <= "\udcff" for argument in arguments for letter in argument):
            return _complain(
                "something on the line is no text that can be kept", "write it in UTF-8", WrongUsage.exit_code
            )
        return _unexpected(error)
    except Exception as error:
        return _unexpected(error)


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


def _unexpected(error: Exception) -> int:
    """A click complaint keeps its own words and code; anything else is one line, the whole story with --debug."""
    show = getattr(error, "show", None)
    if show is not None and hasattr(error, "exit_code"):
        show(file=sys.stderr)
        return int(error.exit_code)
    if STATE.debug:
        import traceback

        traceback.print_exception(error, file=sys.stderr)
    kind = type(error).__name__
    return _complain(
        f"something unforeseen happened ({kind}: {error})", "run it again with --debug", UNEXPECTED
    )


def _complain(sentence: str, hint: str | None, code: int) -> int:
    print(f"assetlib: {sentence.rstrip('.')}", file=sys.stderr)
    if hint:
        print(f"  {hint.rstrip('.')}", file=sys.stderr)
    return code
