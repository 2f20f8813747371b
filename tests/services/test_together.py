"""Two writers and several readers at once: nothing lost, nothing shown of the waiting."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.finding.showing import show
from assetlib.services.keeping.checking import check
from tests.conftest import Draw

ROUNDS = 25

WRITER = """
import sys
from pathlib import Path
from assetlib.library import Library
from assetlib.services.describing.tagging import Description, describe
lib = Library.open(Path(sys.argv[1]))
for n in range(int(sys.argv[4])):
    describe(lib, [sys.argv[2]], Description(add=(f"{sys.argv[3]} {n}",)))
"""

READER = """
import sys
from pathlib import Path
from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
lib = Library.open(Path(sys.argv[1]))
for n in range(int(sys.argv[2])):
    assert find(lib, Asked("ferry")).total == 1
"""


def run_together(library: Path, code: str, rounds: int, writers: int = 2, readers: int = 5) -> list[str]:
    """Run writers and readers as processes at once; returns what any of them complained of."""
    commands = [[WRITER, str(library), code, f"writer {n}", str(rounds)] for n in range(writers)]
    commands += [[READER, str(library), str(rounds)] for _ in range(readers)]
    processes = [
        subprocess.Popen([sys.executable, "-c", *command], stderr=subprocess.PIPE, text=True)
        for command in commands
    ]
    return [
        said for process in processes if (said := process.communicate(timeout=600)[1]) or process.returncode
    ]


def test_nothing_is_lost_between_writers(lib: Library, draw: Draw) -> None:
    code = bring_in(lib, [draw("ferry.png")]).added[0].code
    lib.close()
    assert run_together(lib.folder, code, ROUNDS) == []
    tags = set(show(lib, code).card.tags)
    assert tags == {f"writer {w} {n}" for w in range(2) for n in range(ROUNDS)}
    assert check(lib).clean
