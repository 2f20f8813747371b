"""The in-tray and the thesaurus as they are met in a terminal."""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.pages import three_shapes
from tests.conftest import PATIENCE, Assetlib, Draw

pty = pytest.importorskip("pty", reason="a terminal of this kind is POSIX's")


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    assert assetlib("start", tmp_path / "library").code == 0
    return tmp_path / "library"


_WITH_A_TERMINAL = """
import fcntl, signal, termios
signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background is begun without
fcntl.ioctl(1, termios.TIOCSCTTY, 0)  # it becomes the terminal that the command was started from
from assetlib.cli.entry import run; run()
"""


class Terminal:
    """The in-tray in a terminal of its own: what it shows, and keys."""

    def __init__(self, library: Path, *, codes: str | None = None) -> None:
        """`codes` are piped in."""
        self._lead, follow = pty.openpty()
        environment = os.environ | {"TERM": "xterm-256color", "COLUMNS": "100", "LINES": "30"}
        environment |= {"ASSETLIB_LIBRARY": str(library)}
        environment.pop("NO_COLOR", None)
        self.process = subprocess.Popen(
            [sys.executable, "-c", _WITH_A_TERMINAL, "tag", "--in-tray", *(["-"] if codes else [])],
            stdin=subprocess.PIPE if codes else follow, stdout=follow, stderr=follow, env=environment,
            start_new_session=True,
        )  # fmt: skip
        os.close(follow)
        if self.process.stdin is not None and codes:
            self.process.stdin.write(f"{codes}\n".encode())
            self.process.stdin.close()
        self.shown = ""

    def wait_for(self, text: str) -> None:
        """Read until the screen has shown this since the last key."""
        end = time.monotonic() + PATIENCE
        while text not in self.shown and time.monotonic() < end:
            if select.select([self._lead], [], [], 1)[0]:
                try:
                    self.shown += os.read(self._lead, 65536).decode("utf-8", "replace")
                except OSError:
                    break
        assert text in self.shown

    def press(self, keys: str) -> None:
        self.shown = ""
        os.write(self._lead, keys.encode())


def test_a_drawing_is_described_with_keys(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    drawings = draw("IMG_1.png", 1), draw("IMG_2.png", 4)
    assert assetlib("intake", *drawings, "--as", "element", library=library).code == 0
    found = assetlib("find", "--in-tray", "--json", library=library).json["results"]
    codes = [row["code"] for row in found]
    terminal = Terminal(library)
    terminal.wait_for("1 of 2 waiting")
    terminal.press("tDog asleep\r")
    terminal.wait_for("described: Dog asleep")
    terminal.press("q")
    terminal.wait_for("1 left in the in-tray")
    assert terminal.process.wait(PATIENCE) == 0
    shown = [assetlib("show", code, "--json", library=library).json for code in codes]
    assert {"dog", "sleeping"} in [set(one["tags"]) for one in shown]


def test_enter_takes_the_title_that_stands_suggested(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    drawings = draw("cat curled up.png", 1), draw("img 4410.png", 4)
    assert assetlib("intake", *drawings, "--as", "element", library=library).code == 0
    terminal = Terminal(library)
    terminal.wait_for("from its file's name")
    terminal.press("\r")
    terminal.wait_for("described: Cat curled up")
    terminal.press("\r")  # nothing is known of this one
    terminal.wait_for("it waits on")
    terminal.press("q")
    terminal.wait_for("1 left in the in-tray")
    assert terminal.process.wait(PATIENCE) == 0


def test_a_title_is_mended_where_the_cursor_is(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    assert assetlib("intake", draw("IMG_1.png", 1), "--as", "element", library=library).code == 0
    terminal = Terminal(library)
    terminal.wait_for("1 of 1 waiting")
    terminal.press("tdog asleepp very\x17\x7f\x7f\x1b[H\x1b[3~D\x1b[F!\x1b[D, old")
    terminal.wait_for("Dog asleep, old")
    terminal.press("\x03")  # leaves the line, not the sitting
    terminal.wait_for("1 of 1 waiting")
    terminal.press("\x1b")  # is asked about
    terminal.wait_for("q stops")
    terminal.press("t" + "very " * 30 + "END")
    terminal.wait_for("END")
    terminal.press("\x15Cat\r")
    terminal.wait_for("1 drawing described, the in-tray is empty")
    assert terminal.process.wait(PATIENCE) == 0


def test_a_double_is_chosen_by_its_number(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    drawings = draw("red fox.png", 3), draw("IMG_2.png", 3, size=(150, 112)), draw("IMG_3.png", 6)
    assert assetlib("intake", *drawings, "--as", "element", library=library).code == 0
    assert assetlib("upkeep", library=library).code == 0
    terminal = Terminal(library)
    terminal.wait_for("1 of 3 waiting")
    terminal.press("  ")
    terminal.wait_for("3 of 3 waiting")
    terminal.press("j")
    terminal.wait_for("came alone")
    terminal.press("bb")
    terminal.wait_for("1 of 3 waiting")
    terminal.press("d")
    terminal.wait_for("1 red fox" if "red fox" in terminal.shown else "1 IMG")
    terminal.press("1\r")
    terminal.wait_for("is in the attic")
    terminal.press("q")
    terminal.wait_for("2 left in the in-tray")
    assert terminal.process.wait(PATIENCE) == 0


def test_codes_come_from_a_pipe_and_keys_from_the_terminal(
    assetlib: Assetlib, library: Path, draw: Draw
) -> None:
    drawings = draw("IMG_1.png", 1), draw("IMG_2.png", 4)
    assert assetlib("intake", *drawings, "--as", "element", library=library).code == 0
    code = assetlib("find", "--in-tray", "--json", library=library).json["results"][0]["code"]
    terminal = Terminal(library, codes=code)
    terminal.wait_for("1 of 1 waiting")
    terminal.press("tDog\r")
    terminal.wait_for("1 other drawing waiting elsewhere")
    assert terminal.process.wait(PATIENCE) == 0


def test_without_a_terminal_it_says_so(assetlib: Assetlib, library: Path) -> None:
    ran = assetlib("tag", "--in-tray", library=library)
    assert ran.code == 2
    assert "terminal" in ran.err


def test_what_can_be_undone_is_told_by_titles_too(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    assert assetlib("intake", draw("IMG_1.png", 1), "--as", "element", library=library).code == 0
    code = assetlib("find", "--in-tray", "--json", library=library).json["results"][0]["code"]
    assert assetlib("tag", code, "--title", "Dog asleep", library=library).code == 0
    told = assetlib("undo", "--list", library=library).out
    assert f"tag {code} (Dog asleep)" in told
    assert assetlib("undo", "--list", "--json", library=library).json["steps"][0]["titles"] == ["Dog asleep"]


def test_one_count_of_what_waits_sheets_apart(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    three_shapes().save(draw("x.png").parent / "page of shapes.png")
    sheet = draw("x.png").parent / "page of shapes.png"
    assert assetlib("intake", draw("IMG_1.png", 1), "--as", "element", library=library).code == 0
    assert assetlib("intake", sheet, "--as", "sheet", library=library).code == 0
    stands = assetlib("--json", library=library).json
    assert (stands["in_tray"], stands["uncut_sheets"]) == (1, 1)
    assert any(command.startswith("assetlib cut ") for command in stands["next"])
    assert len(assetlib("find", "--in-tray", "--json", library=library).json["results"]) == 1
    cut = next(command for command in stands["next"] if command.startswith("assetlib cut "))
    assert assetlib(*cut.split()[1:], library=library).code == 0
    stands = assetlib("--json", library=library).json
    assert (stands["in_tray"], stands["uncut_sheets"]) == (4, 0)


def test_a_style_period_is_made_with_days_shown_without_and_removed(
    assetlib: Assetlib, library: Path, draw: Draw
) -> None:
    assert assetlib("intake", draw("IMG_1.png"), "--as", "element", library=library).code == 0
    unknown = assetlib("thesaurus", "period", "brush", library=library)
    assert unknown.code == 15
    assert "--from" in unknown.err
    assert assetlib("find", "--tag", "brush", "--json", library=library).json["results"] == []
    made = assetlib(
        "thesaurus", "period", "brush", "--from", "2020-02", "--to", "2999", "--json", library=library
    )
    told = {"name": "brush", "from": "2020-02-01", "to": "2999-12-31", "drawings": 1, "dry_run": False}
    assert made.json["periods"] == [told]
    assert assetlib("thesaurus", "period", "Brush", "--json", library=library).json["periods"] == [told]
    assert "'brush'" in assetlib("thesaurus", "period", "brsh", library=library).err
    wrong = assetlib("thesaurus", "period", "brush", "--to", "spring", library=library)
    assert wrong.code == 2
    assert "spring" in wrong.err
    assert "format" not in wrong.err
    assert assetlib("thesaurus", "period", "brush", "--remove", library=library).code == 0
    assert assetlib("thesaurus", "period", "--json", library=library).json["periods"] == []
    assert assetlib("find", "--tag", "brush", "--json", library=library).json["results"] == []
    assert assetlib("undo", library=library).code == 0
    assert len(assetlib("find", "--tag", "brush", "--json", library=library).json["results"]) == 1


def test_the_thesaurus_shows_and_changes(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    assert assetlib("thesaurus", "add", "whippet", "--broader", "dog", library=library).code == 0
    shown = assetlib("thesaurus", "show", "whippet", "--json", library=library).json["concepts"]
    assert shown[0]["broader"] == ["dog"]
    assert assetlib("thesaurus", "export", tmp_path / "w.ttl", library=library).code == 0
    assert "whippet" in (tmp_path / "w.ttl").read_text(encoding="utf-8")
    assert assetlib("thesaurus", "show", "quibble", library=library).code == 15
