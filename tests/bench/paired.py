"""What commands cost against another state of the code: processor time, by turns, the median of several.

    git worktree add --detach /tmp/before COMMIT
    python -m tests.bench.paired /tmp/before [--rounds 9] [--only find show] [--pictures /usr/share/openclipart/png]

Each state of the code makes a library of its own from the same drawings: the demo's sheets, cut, and some of the
pictures. Then both do each command once unmeasured and `--rounds` times by turns, whole processes with their
workers, as their user starts them. Prints seconds of processor time of both and how many times dearer this one is.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).parents[2]
PROGRAM = [sys.executable, "-c", "from assetlib.cli.main import run; run()"]
STOCK, NEW = 40, 8
"""Pictures that stand in the library beside the demo's sheets, and those that are brought in to be measured."""


@dataclass
class State:
    """One state of the code and the library that it made."""

    code: Path
    place: Path
    took: dict[str, list[float]] = field(default_factory=dict)

    @property
    def library(self) -> Path:
        return self.place / "library"

    def run(self, *arguments: object, library: Path | None = None) -> tuple[float, str]:
        """Seconds of processor time of a command with all its workers, and what it printed."""
        environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment |= {
            "PYTHONPATH": str(self.code), "ASSETLIB_LIBRARY": str(library or self.library),
            "OMP_NUM_THREADS": "1", "HOME": str(self.place),
        }  # fmt: skip
        with tempfile.TemporaryFile() as told:
            process = subprocess.Popen(
                [*PROGRAM, *map(str, arguments)], stdin=subprocess.DEVNULL, stdout=told,
                stderr=subprocess.DEVNULL, cwd=self.place, env=environment,
            )  # fmt: skip
            _, status, used = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
            told.seek(0)
            return used.ru_utime + used.ru_stime, told.read().decode()

    def stock(self, sheets: list[Path], pictures: list[Path]) -> None:
        """Make the library, with nothing left to work off."""
        self.run("start", self.library, "--artist", "Ida Brandt", "--contact", "ida@boards.example")
        self.run("intake", *sheets, "--as", "sheet", "--cut")
        self.run("intake", *pictures, "--as", "element")
        self.run("upkeep")

    def commands(self) -> dict[str, list[str]]:
        """The lines that are measured, with codes of this library."""
        rows = json.loads(self.run("find", "--as", "sheet", "--json")[1])["results"]
        sheet = min(rows, key=lambda row: row["title"])["code"]
        rows = json.loads(self.run("find", "--as", "element", "--json")[1])["results"]
        element = min(rows, key=lambda row: row["title"])["code"]
        return {
            "help": ["--help"],
            "find": ["find", "CU", "hand", "with", "phone", "--json"],
            "show": ["show", element, "--json"],
            "cut": ["cut", sheet, "--dry-run", "--json"],
            "tag": ["tag", element, "--add", "harbour", "--dry-run", "--json"],
        }

    def intake(self, pictures: list[Path]) -> float:
        """Bringing new pictures into a copy of the library, and working off what waits for them."""
        copy = self.place / "copy"
        shutil.copytree(self.library, copy)
        took, _ = self.run("intake", *pictures, "--as", "element", "--json", library=copy)
        shutil.rmtree(copy)
        return took


def measure(states: list[State], rounds: int, only: list[str], pictures: list[Path]) -> None:
    """Run everything by turns and keep what it took."""
    lines = [state.commands() for state in states]
    for name in only or [*lines[0], "intake"]:
        for turn in range(rounds + 1):
            for state, commands in zip(states, lines, strict=True):
                took = state.intake(pictures) if name == "intake" else state.run(*commands[name])[0]
                if turn:
                    state.took.setdefault(name, []).append(took)
        before, now = (statistics.median(state.took[name]) for state in states)
        print(f"{name:8}{before:8.3f} s {now:8.3f} s   x{now / before:.2f}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("before", type=Path, help="a checkout of the other state of the code")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--only", nargs="*", default=[])
    parser.add_argument("--place", type=Path, help="keep both libraries here, and use those that are there")
    parser.add_argument("--pictures", type=Path, default=Path("/usr/share/openclipart/png"))
    args = parser.parse_args()
    sheets = sorted((HERE / "demo_assets" / "sheets").glob("*.png"))
    pictures = sorted(args.pictures.rglob("*.png"))[:: max(1, 8000 // (STOCK + NEW))][: STOCK + NEW]
    with tempfile.TemporaryDirectory() as passing:
        place = (args.place or Path(passing)).resolve()
        states = [State(args.before.resolve(), place / "before"), State(HERE, place / "now")]
        for state in states:
            if not state.library.is_dir():
                state.place.mkdir(parents=True)
                state.stock(sheets, pictures[:STOCK])
        measure(states, args.rounds, args.only, pictures[STOCK:])


if __name__ == "__main__":
    main()
