"""Looking after the library from the command line: odd input ends in one clear line and a documented code."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from tests.conftest import Assetlib, Draw

CODE = "from assetlib.cli.entry import run; run()"

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files and signals")


def test_from_backup_to_restore(lib: Library, draw: Draw, assetlib: Assetlib, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png")])
    lib.close()
    made = assetlib("backup", tmp_path / "safe", "--json", library=lib.folder)
    assert (made.code, made.json["generation"], made.json["lost"]) == (0, 1, [])
    assert assetlib("backup", "--json", library=lib.folder).json["generation"] == 2
    proven = assetlib("backup", "--check", tmp_path / "safe", "--json")
    assert (proven.code, proven.json["whole"], len(proven.json["generations"])) == (0, True, 2)
    told = assetlib("check", "--json", library=lib.folder).json["last_backup"]
    assert (told["folder"], told["generation"]) == (str(tmp_path / "safe"), 2)
    refused = assetlib("restore", tmp_path / "safe", lib.folder)
    assert (refused.code, refused.out) == (2, "")
    restored = assetlib("restore", tmp_path / "safe", tmp_path / "again", "--json")
    assert (restored.code, restored.json["files"], restored.json["lost"]) == (0, 1, [])
    assert assetlib("check", library=tmp_path / "again").code == 0


def test_attic_and_export(lib: Library, draw: Draw, assetlib: Assetlib, tmp_path: Path) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    lib.close()
    assert assetlib("export", tmp_path / "out", "--made", "--json", library=lib.folder).json["originals"] == 1
    assert assetlib("attic", code, library=lib.folder).code == 0
    assert f"in the attic already: {code}" in assetlib("attic", code, library=lib.folder).out
    assert [
        row["code"] for row in assetlib("attic", "--list", "--json", library=lib.folder).json["attic"]
    ] == [code]
    assert assetlib("attic", code, "--back", library=lib.folder).code == 0
    assert assetlib("attic", "--empty", "--back", library=lib.folder).code == 2
    assert assetlib("attic", code, library=lib.folder).code == 0
    assert assetlib("attic", "--empty", "--dry-run", "--json", library=lib.folder).json["files"] == 1
    assert assetlib("attic", "--empty", "--json", library=lib.folder).json["files"] == 1
    assert assetlib("check", library=lib.folder).code == 0


@posix_only
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_stdout_is_one_line(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    lib.close()
    for command in (["find"], ["find", "--json"], ["--help"]):
        with open("/dev/full", "w", encoding="utf-8") as full:
            done = subprocess.run(
                [sys.executable, "-c", CODE, "--library", str(lib.folder), *command],
                stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=300,
            )  # fmt: skip
        assert done.returncode == 23, done.stderr
        assert done.stderr.startswith("assetlib: ")
        assert "Traceback" not in done.stderr
        assert "Exception ignored" not in done.stderr


@posix_only
@pytest.mark.parametrize("option", ["--title", "--tag", "--job"])
def test_a_byte_that_is_no_text_in_an_option(lib: Library, draw: Draw, option: str) -> None:
    drawing = os.fsencode(draw("dog.png"))
    lib.close()
    command = [sys.executable.encode(), b"-c", CODE.encode(), b"--library", os.fsencode(lib.folder), b"intake",
               drawing, option.encode(), b"a\xff"]  # fmt: skip
    done = subprocess.run(command, capture_output=True, check=False, timeout=300)
    assert done.returncode == (15 if option == "--job" else 2), done.stderr  # no job is called so
    assert b"Traceback" not in done.stderr


def test_clean_to_a_file_is_told(lib: Library, draw: Draw, assetlib: Assetlib, tmp_path: Path) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    lib.close()
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    done = assetlib("clean", code, "--to", tmp_path / "file", library=lib.folder)
    assert (done.code, "is a file, no folder" in " ".join(done.err.split())) == (2, True)


def test_what_is_written_by_clean_is_written_one_by_one(
    lib: Library, draw: Draw, assetlib: Assetlib, tmp_path: Path
) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    other = bring_in(lib, [draw("ferry.png", 2)]).added[0].code
    (blob,) = [
        path
        for path in lib.folder.glob("originals/??/??/*")
        if path.read_bytes() == draw("ferry.png", 2).read_bytes()
    ]
    blob.unlink()
    lib.close()
    assert assetlib("clean", code, other, "--to", tmp_path / "out", library=lib.folder).code == 17
    assert len(list((tmp_path / "out").glob(f"*{code}*"))) == 3


@pytest.mark.parametrize(
    "box", ["0 0 inf inf", "0 0 nan 10", "0 0 1e308 1e308", "0 0 1e999 1", "0 0 1e-320 1e-320", "0 0 10"]
)
def test_an_endless_drawing_is_a_bad_file(lib: Library, assetlib: Assetlib, tmp_path: Path, box: str) -> None:
    lib.close()
    path = tmp_path / "endless.svg"
    path.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}"><path d="M0 0h9v9z"/></svg>', "utf-8"
    )
    done = assetlib("intake", path, "--later", "--json", library=lib.folder)
    assert done.code in (0, 1), done.err
    for command in (
        ("find", "--like", path),
        ("find", "--sketch", path),
        ("doubles", "--of", path),
        ("cut", path),
    ):
        done = assetlib(*command, library=lib.folder)
        assert done.code not in (70, -6, -9, -11), (command, done.err)
        assert "Traceback" not in done.err


@posix_only
def test_an_interrupt_at_any_moment_of_the_start_is_one_line(lib: Library) -> None:
    lib.close()
    for delay in (0.05, 0.1, 0.2, 0.3, 0.45, 0.7):
        process = subprocess.Popen(
            [sys.executable, "-c", "import assetlib.cli.entry as e; print(flush=True); e.run()",
             "--library", str(lib.folder), "check"],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(delay)
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=300)
        assert process.returncode in (0, 130), said
        assert "Traceback" not in said


_FALLEN_BETWEEN = """
import signal, time
import assetlib.cli.entry, assetlib.cli.main
signal.signal(signal.SIGINT, signal.default_int_handler)  # where tests run behind a shell, it is ignored
class Ending:
    def __del__(self):
        raise KeyboardInterrupt
def run():
    Ending()
    time.sleep(60)
    print("not stopped")
assetlib.cli.main.run = run
assetlib.cli.entry.run()
"""


@posix_only
def test_an_interrupt_where_nothing_can_be_raised_is_answered_a_moment_later() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _FALLEN_BETWEEN], capture_output=True, text=True, timeout=300, check=False
    )
    assert (done.returncode, done.stdout) == (130, "")
    assert "Traceback" not in done.stderr


@posix_only
def test_names_of_files_carry_nothing_to_the_terminal(lib: Library, draw: Draw, assetlib: Assetlib) -> None:
    folder = draw("dog.png").parent
    evil = "a\x1b]0;mine\x07\x1b[2J\nfailed  everything\r\u202egnp.png"
    (folder / "dog.png").rename(folder / evil)
    (folder / f"bad {evil}").write_bytes(b"no picture")
    lib.close()
    for command in (("intake", folder), ("find",), ("find", "gnp"), ("intake", folder / "gone\x1b[2J.png")):
        done = assetlib(*command, library=lib.folder)
        for said in (done.out, done.err):
            assert not set(said) & set("\x1b\x07\r\u202e\x9b"), (command, said)
            assert not any(line.startswith("failed  everything") for line in said.splitlines())
