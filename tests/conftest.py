"""What tests in every room use: a library in a temporary folder, drawings made on the spot, a clock that stands."""

from __future__ import annotations

import datetime as dt
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw

from assetlib.config import Settings
from assetlib.library import Library
from assetlib.services.keeping.starting import start_library
from tests import answers

NOON = dt.datetime(2026, 3, 14, 12, 0, tzinfo=dt.UTC)

PATIENCE = 900
"""Seconds that a process is given, however busy the machine is; how long it may take is for benchmarks to say."""

Draw = Callable[..., Path]


@pytest.fixture
def lib(tmp_path: Path) -> Iterator[Library]:
    """An empty library with the thesaurus in it, whose clock stands at noon of 14 March 2026."""
    settings = Settings(artist="Ida Brandt", contact="ida@boards.example", workers=1)
    opened = start_library(tmp_path / "library", settings, lambda: NOON)
    yield opened
    opened.close()


@pytest.fixture
def draw(tmp_path: Path) -> Draw:
    """Makes a line drawing that differs by its number: `draw("dog.png", 3)`; white paper unless told otherwise."""

    def make(
        name: str, number: int = 1, *, paper: str | None = "white", size: tuple[int, int] = (120, 90)
    ) -> Path:
        path = tmp_path / "drawings" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        image = Image.new("RGBA" if paper is None else "RGB", size, paper or (0, 0, 0, 0))
        pen = ImageDraw.Draw(image)
        w, h = size
        pen.ellipse((w * 0.2, h * 0.15, w * 0.8, h * 0.85), outline="black", width=3)
        for i in range(number % 7 + 1):
            pen.line(
                (w * 0.3, h * (0.25 + 0.07 * i), w * (0.4 + number % 13 / 40), h * 0.6), fill="black", width=2
            )
        pen.rectangle((w * 0.45, h * 0.4, w * 0.5 + number % 29, h * 0.5), outline="black")
        image.save(path)
        return path

    return make


@pytest.fixture
def run_python() -> Callable[[str], str]:
    """Runs a program in a fresh interpreter and returns what it printed."""

    def run(code: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=PATIENCE
        )
        return done.stdout

    return run


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The one JSON document on stdout."""
        return json.loads(self.out)


Assetlib = Callable[..., Ran]


@pytest.fixture
def assetlib(tmp_path: Path) -> Assetlib:
    """Runs the installed command as its own process: `assetlib("find", "dog", "--json")`.

    What it answers with --json is held against the schema of answers each time.
    """

    def run(*arguments: object, stdin: str | None = None, library: Path | None = None) -> Ran:
        environment = {key: value for key, value in os.environ.items() if key != "ASSETLIB_LIBRARY"}
        environment |= {"HOME": str(tmp_path), "COLUMNS": "100", "NO_COLOR": "1"}
        if library is not None:
            environment["ASSETLIB_LIBRARY"] = str(library)
        done = subprocess.run(
            [sys.executable, "-c", "from assetlib.cli.main import run; run()", *map(str, arguments)],
            capture_output=True,
            encoding="utf-8",
            input=stdin if stdin is not None else "",
            cwd=tmp_path,
            env=environment,
            timeout=PATIENCE,
            check=False,
        )
        if "--json" in arguments:
            answers.check([*map(str, arguments)], done.stdout, done.returncode)
        return Ran(done.returncode, done.stdout, done.stderr)

    return run
