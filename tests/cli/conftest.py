"""The command line run inside the test's own process, where a test asks many short questions."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable

import pytest

from assetlib.cli.main import main
from assetlib.library import Library
from tests import answers
from tests.conftest import Ran

Command = Callable[..., Ran]


@pytest.fixture
def command(lib: Library, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    """Runs a command on the library `lib`: `command("find", "dog", "--json")`; its JSON is held against the schema."""
    monkeypatch.setenv("COLUMNS", "100")

    def run(*arguments: object, stdin: str = "") -> Ran:
        given = [*map(str, arguments)]
        monkeypatch.setattr(sys, "stdin", io.StringIO(stdin))
        capsys.readouterr()
        code = main(["--library", str(lib.folder), *given])
        told = capsys.readouterr()
        if "--json" in given:
            answers.check(given, told.out, code)
        return Ran(code, told.out, told.err)

    return run
