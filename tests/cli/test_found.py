"""The answer of a search on the screen and in a pipe, and the numbers of its rows."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.cli import found as answers
from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
from tests.conftest import Assetlib
from tests.shelving import put_titles


def _screen(lib: Library, line: str, capsys: pytest.CaptureFixture[str], limit: int = 8) -> str:
    answers.show(lib, find(lib, Asked(line, limit=limit)))
    return capsys.readouterr().out


def test_where_nothing_fits_it_says_so_first(lib: Library, capsys: pytest.CaptureFixture[str]) -> None:
    put_titles(lib, ["Gull", "Crate"])
    assert _screen(lib, "a cop", capsys).splitlines()[0].startswith("Nothing here shows a cop.")


def test_the_strips_are_told_apart_and_what_is_missing_is_said(
    lib: Library, capsys: pytest.CaptureFixture[str]
) -> None:
    put_titles(lib, ["Dog running", "Dog asleep", "Gull"])
    first, heading, second, *_ = _screen(lib, "dog running", capsys).splitlines()
    assert "Dog running" in first
    assert heading == "In part"
    assert "Dog asleep" in second
    assert "without running" in second


def test_no_row_shows_bare_numbers(lib: Library, capsys: pytest.CaptureFixture[str]) -> None:
    put_titles(lib, ["Dog running", "Dog asleep", "Gull"])
    assert "0." not in _screen(lib, "dog running", capsys)


def test_what_only_looks_like_a_line_is_not_handed_on(assetlib: Assetlib, lib: Library) -> None:
    put_titles(lib, ["Dog running", "Gull"])
    lib.close()
    none = assetlib("find", "helicopter", "--codes", library=lib.folder)
    assert (none.out, none.err) == ("", f"none fits; {answers.TRY_NEXT}\n")
    assert assetlib("find", "dog helicopter", "--codes", library=lib.folder).err == "none fits, 1 in part\n"
    assert assetlib("find", "dog", "--codes", library=lib.folder).out.count("\n") == 1


def test_what_is_named_after_its_sheet_is_told_apart(assetlib: Assetlib, tmp_path: Path) -> None:
    page = Image.new("L", (600, 300), 255)
    for left in (60, 360):
        ImageDraw.Draw(page).ellipse((left, 70, left + 160, 230), outline=0, width=8)
    page.save(tmp_path / "kitchen tables.png")
    assetlib("start", tmp_path / "library")
    library = tmp_path / "library"
    cut = assetlib("cut", tmp_path / "kitchen tables.png", "--json", library=library).json["sheets"][0]
    codes = [row["code"] for row in cut["elements"]]
    for line in ("kitchen table", "the kitchen tables", "kitchens"):
        answer = assetlib("find", line, "--json", library=library).json
        assert [row["code"] for row in answer["named_after_sheet"]] == codes
        assert (answer["named_after_sheet_total"], answer["fitting"]) == (2, 0)
    assert assetlib("find", "kitchen helicopter", "--json", library=library).json["named_after_sheet"] == []
    piped = assetlib("find", "kitchen table", "--codes", library=library)
    assert (piped.out, piped.err) == (
        "",
        f"none fits; 2 are only named after the sheet: assetlib show --sheet {cut['sheet']}\n",
    )
    assetlib("tag", codes[0], "--title", "Kitchen table by a window", library=library)
    answer = assetlib("find", "kitchen table", "--json", library=library).json
    assert [row["code"] for row in answer["results"] if row["fit"] == "fits"] == codes[:1]
    assert [row["code"] for row in answer["named_after_sheet"]] == codes[1:]
    lib = Library.open(library)
    assert answers.show(lib, find(lib, Asked("kitchen table"))) == codes
    lib.close()


def test_a_minus_before_a_word_means_without(assetlib: Assetlib, lib: Library) -> None:
    put_titles(lib, ["Street with crowd", "Street at noon"])
    lib.close()
    results = assetlib("find", "street", "-people", "--json", library=lib.folder).json["results"]
    assert [row["title"] for row in results if row["fit"] == "fits"] == ["Street at noon"]
    wrong = assetlib("find", "street", "--people", library=lib.folder)
    assert wrong.code == 2
    assert "--people" in wrong.err


def test_a_search_loads_none_of_the_mapped_classes(lib: Library, run_python: Callable[[str], str]) -> None:
    put_titles(lib, ["Dog"])
    lib.close()
    code = f"""
import sys
from assetlib.cli.main import main
main(["--library", {str(lib.folder)!r}, "find", "dog", "--only", "view=back"])
from assetlib.cli import found
from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
from pathlib import Path
lib = Library.open(Path({str(lib.folder)!r}))
found.show(lib, find(lib, Asked("dog")))
print("loaded:", "sqlalchemy" in sys.modules)
"""
    assert "loaded: False" in run_python(code)


@pytest.mark.skipif(sys.platform == "win32", reason="terminals are made by pty")
def test_a_number_names_a_row_of_this_terminals_last_list(lib: Library, tmp_path: Path) -> None:
    codes = put_titles(lib, ["Dog running", "Gull"])
    lib.close()
    one, other = _terminal(), _terminal()
    _typed(one, lib, tmp_path, "find", "dog")
    shown = _typed(one, lib, tmp_path, "show", "1")
    assert codes["Dog running"] in shown
    assert "there is no row 7" in _typed(one, lib, tmp_path, "show", "7")
    assert "there is no row 1" in _typed(other, lib, tmp_path, "show", "1")


def _terminal() -> tuple[int, int]:
    return pty.openpty()


def _typed(terminal: tuple[int, int], lib: Library, home: Path, *arguments: str) -> str:
    """What a command prints that runs on a terminal."""
    screen, device = terminal
    environment = {**os.environ, "HOME": str(home), "ASSETLIB_LIBRARY": str(lib.folder), "TERM": "dumb"}
    command = [sys.executable, "-c", "from assetlib.cli.main import run; run()", *arguments]
    with subprocess.Popen(command, stdin=device, stdout=device, stderr=device, env=environment):
        pass
    return os.read(screen, 65536).decode()


def test_a_title_takes_two_rows_before_it_is_cut_off() -> None:
    from assetlib.cli.render import _fitted

    assert _fitted("Courier drives, deckhand asleep", 24) == ["Courier drives, deckhand", "asleep"]
    assert _fitted("Dog", 24) == ["Dog"]
    assert _fitted("word " * 30, 24)[-1].endswith("…")
