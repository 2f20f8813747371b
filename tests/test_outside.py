"""Programs that tests are held against: told from others of their name, missed without a failure, installed by CI."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.outside import PACKAGES, PATIENCE, is_imagemagick, needs_imagemagick, needs_program

ROOT = Path(__file__).parents[1]


def program(path: Path, says: str, ends: int = 0) -> Path:
    """A program that says one thing whatever it is asked."""
    path.write_text(f"#!{sys.executable}\nprint({says!r})\nraise SystemExit({ends})\n", encoding="utf-8")
    path.chmod(0o755)
    return path


@pytest.mark.skipif(os.name == "nt", reason="a script is no program there")
def test_another_program_called_convert_is_not_taken_for_imagemagick(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program(tmp_path / "convert", "Invalid drive specification.", ends=4)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CI", "")
    with pytest.raises(pytest.skip.Exception, match="ImageMagick is not installed"):
        needs_imagemagick()
    newer = program(tmp_path / "magick", "Version: ImageMagick 7.1.2-3 Q16-HDRI")
    assert needs_imagemagick() == str(newer)


def test_a_program_that_cannot_be_run_is_not_imagemagick(tmp_path: Path) -> None:
    assert not is_imagemagick(str(tmp_path))


def test_what_is_missing_skips_on_a_fresh_machine_and_fails_in_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setenv("CI", "")
    with pytest.raises(pytest.skip.Exception, match="exiftool is not installed"):
        needs_program("exiftool")
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="exiftool is not installed"):
        needs_program("exiftool")


def test_a_machine_without_any_of_them_ends_green_and_says_why(tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-rs",
        "-p",
        "no:cacheprovider",
        "--basetemp",
        tmp_path / "work",
    ]
    environment = {**os.environ, "PATH": str(tmp_path), "CI": "", "PYTHONPATH": str(ROOT)}
    asked = ["test_imagemagick_decodes_the_same", "test_unzip_accepts_it", "test_another_reader_finds"]
    rooms = [
        "tests/imaging/test_formats.py",
        "tests/storage/test_bundles.py",
        "tests/storage/test_delivery.py",
    ]
    done = subprocess.run(
        [*command, "-k", " or ".join(asked), *rooms],
        cwd=ROOT, env=environment, capture_output=True, text=True, check=False, timeout=PATIENCE,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    for name in ("ImageMagick", "unzip", "exiftool"):
        assert f"{name} is not installed" in done.stdout
    assert " passed" not in done.stdout


def test_ci_installs_every_program_that_tests_ask_for() -> None:
    told = next(line for line in (ROOT / ".ci/run").read_text().splitlines() if line.startswith("packages="))
    installed = told.removeprefix("packages=(").removesuffix(")").split()
    assert set(PACKAGES.values()) - {"coreutils"} <= set(installed)
