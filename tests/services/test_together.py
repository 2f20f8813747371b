"""Two writers and several readers at once: nothing lost, nothing shown of the waiting."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.choosing import Choice, chosen
from assetlib.services.finding.showing import show
from assetlib.services.keeping.checking import check
from tests.cli.pages import three_shapes
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

CUTTER = """
import sys
from pathlib import Path
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.services.bringing.cutting import cut_sheet
lib = Library.open(Path(sys.argv[1]))
for n in range(int(sys.argv[3])):
    settings = CutSettings(boxes=((30 + n, 80, 240, 265),)) if n % 2 else CutSettings(drop=(3,))
    (cut,) = cut_sheet(lib, sys.argv[2], settings, fresh=True)
    assert len(cut.elements) == (3 if n % 2 else 2), cut.elements
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


def run_together(
    library: Path, code: str, rounds: int, writers: int = 2, readers: int = 5, sheet: str = "", cuts: int = 0
) -> list[str]:
    """Run writers and readers as processes at once, and one that cuts `sheet`; returns what any complained of."""
    commands = [[WRITER, str(library), code, f"writer {n}", str(rounds)] for n in range(writers)]
    commands += [[READER, str(library), str(rounds)] for _ in range(readers)]
    commands += [[CUTTER, str(library), sheet, str(cuts)]] if cuts else []
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


def test_a_sheet_is_cut_while_others_write_and_read(lib: Library, draw: Draw, tmp_path: Path) -> None:
    code = bring_in(lib, [draw("ferry.png")]).added[0].code
    three_shapes().save(tmp_path / "shapes.png")
    sheet = bring_in(lib, [tmp_path / "shapes.png"], Wishes(role="sheet")).added[0].code
    lib.close()
    assert run_together(lib.folder, code, 10, writers=1, readers=2, sheet=sheet, cuts=4) == []
    assert set(show(lib, code).card.tags) == {f"writer 0 {n}" for n in range(10)}
    cut = chosen(lib, Choice(sheets=(sheet,))).codes
    assert len(cut) == 3
    assert check(lib).clean
