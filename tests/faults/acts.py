"""What the library does and must be able to be stopped in, each as a program of its own over one small library.

    python -m tests.faults.acts NAME FOLDER

FOLDER holds `library` and what the act needs beside it, as `prepare` makes it.
"""

from __future__ import annotations

import gzip
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

from PIL import Image, ImageDraw

from assetlib.config import Settings
from assetlib.library import Library
from assetlib.rules.rights.clearance import PaperKind, Question
from assetlib.services.bringing import clean_copies, cutting, taking_along
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.doubles import merging
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping import attic, exporting, history, leftovers, restoring, safekeeping, upkeep
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.inspecting import check_backup
from assetlib.services.keeping.starting import start_library
from assetlib.services.trade import bundling, clearance, collections, releases, sales

SETTINGS = Settings(artist="Ida Brandt", contact="ida@boards.example", workers=1)
DRAWINGS = 5
RELEASED = Path(__file__).parents[1] / "catalogue" / "released"


def _draw(path: Path, number: int) -> Path:
    picture = Image.new("RGB", (100 + number, 80), "white")
    ImageDraw.Draw(picture).ellipse((10, 10, 40 + 4 * number, 60), outline="black", width=2)
    picture.save(path)
    return path


def _draw_sheet(path: Path) -> Path:
    page = Image.new("L", (600, 260), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((30, 40, 220, 220), outline=0, width=5)
    pen.rectangle((360, 40, 560, 220), outline=0, width=5)
    page.save(path)
    return path


def prepare(folder: Path) -> Path:
    """A library with drawings, a sheet, a collection that may be sold, a backup, things in the attic."""
    for name in ("in", "more"):
        (folder / name).mkdir(parents=True)
    for number in range(DRAWINGS):
        _draw(folder / "in" / f"drawing {number}.png", number)
        _draw(folder / "more" / f"more {number}.png", 20 + number)
    lib = start_library(folder / "library", SETTINGS)
    bring_in(lib, [folder / "in"], Wishes(role="element"))
    bring_in(lib, [_draw_sheet(folder / "sheet.png")], Wishes(role="sheet"))
    codes = codes_of(lib)
    values = ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
              (Question.AI, "none"))  # fmt: skip
    clearance.answer(lib, codes[:2], clearance.Statement(values))
    collections.make(lib, "Sold")
    collections.put(lib, "Sold", codes[:2])
    collections.choose_licence(lib, "Sold", "one artist")
    attic.take_up(lib, codes[4:5])
    safekeeping.back_up(lib, folder / "safe")
    tagging.describe(lib, codes[2:3], tagging.Description(add=("kept",)))
    lib.close()
    old = folder / "old"
    shutil.copytree(folder / "library", old)
    (old / "catalogue.sqlite").write_bytes(gzip.decompress((RELEASED / "0001.sqlite.gz").read_bytes()))
    settings = (old / "assetlib.toml").read_text(encoding="utf-8").splitlines()
    (old / "assetlib.toml").write_text(
        "\n".join(s for s in settings if "identity" not in s), encoding="utf-8"
    )
    return folder


def codes_of(lib: Library) -> list[str]:
    """Codes of all elements, the oldest first."""
    return [row.card.code for row in reversed(find(lib, Asked(roles=("element",), limit=100)).results)]


def _cut(lib: Library, folder: Path) -> None:
    sheet = find(lib, Asked(roles=("sheet",))).results[0].card.code
    cutting.cut_sheet(lib, sheet)


def _tag(lib: Library, folder: Path) -> None:
    tagging.describe(lib, codes_of(lib), tagging.Description(add=("ferry spot",), set=("pose=seated",)))


def _merge(lib: Library, folder: Path) -> None:
    codes = codes_of(lib)
    if len(codes) > 3:
        merging.merge(lib, codes[2], codes[3])


def _clean(lib: Library, folder: Path) -> None:
    for code in codes_of(lib)[:2]:
        for path in taking_along.export(clean_copies.make(lib, code), folder / "clean" / code).written:
            assert path.is_file()


def _upkeep(lib: Library, folder: Path) -> None:
    leftovers.tidy(lib)
    upkeep.work_off(lib, (upkeep.PROOF, upkeep.PRINT))


def _undo(lib: Library, folder: Path) -> None:
    if any(not step.undone and not step.record for step in history.steps(lib)):
        history.undo_steps(lib)


def _migrate(lib: Library, folder: Path) -> None:
    Library.open(folder / "old", repairing=True).close()


def _restore(lib: Library, folder: Path) -> None:
    if not (folder / "again" / "assetlib.toml").exists():
        restoring.restore(folder / "safe", folder / "again")


def _release(lib: Library, folder: Path) -> None:
    paper = folder / "in" / "drawing 0.png"
    signed = lib.now().date()
    releases.add(lib, releases.NewRelease(PaperKind.CONSENT, "Ada Quist", signed, file=paper))


def _sell(lib: Library, folder: Path) -> None:
    issued = bundling.issues(lib) or [bundling.build(lib, "Sold")]
    sales.issue(lib, issued[0].code, "Two Gulls Studio", folder)


ACTS: dict[str, Callable[[Library, Path], object]] = {
    "intake": lambda lib, folder: bring_in(lib, [folder / "more"], Wishes(role="element")),
    "cut": _cut,
    "tag": _tag,
    "doubles merge": _merge,
    "clean": _clean,
    "upkeep": _upkeep,
    "bundle build": lambda lib, folder: bundling.build(lib, "Sold", again=True),
    "release": _release,
    "sale": _sell,
    "backup": lambda lib, folder: safekeeping.back_up(lib, folder / "safe"),
    "restore": _restore,
    "undo": _undo,
    "migration": _migrate,
    "attic emptying": lambda lib, folder: attic.empty(lib),
    "export": lambda lib, folder: exporting.export(lib, folder / "out", made_only=True),
}

SETTLED_BY_REPAIR = ("was never issued", "was removed for good and is still there", "upkeep makes it again")
"""What an interruption may leave, as `check` says it; `check --repair` settles it."""


def assert_whole(folder: Path, name: str) -> None:
    """After a stop: it opens, `check` is clean or says what, what was there is there, a rerun completes."""
    lib = Library.open(folder / "library")
    report = check(lib)
    unexpected = [p.what for p in report.problems if not any(text in p.what for text in SETTLED_BY_REPAIR)]
    assert not unexpected, unexpected
    if report.problems:
        assert check(lib, repair=True).clean
    assert len(codes_of(lib)) >= DRAWINGS - 2
    assert find(lib, Asked(tags=("kept",))).total == 1 or name == "undo"
    assert all(not state.problems for state in check_backup(folder / "safe"))
    ACTS[name](lib, folder)
    again = check(lib)
    assert again.clean, again.problems
    lib.close()
    if name == "restore":
        restored = Library.open(folder / "again")
        assert check(restored).clean
        restored.close()


def main() -> None:
    from assetlib.cli.main import _failure

    name, folder = sys.argv[1], Path(sys.argv[2])
    try:
        lib = Library.open(folder / "library")
        ACTS[name](lib, folder)
        lib.close()
    except Exception as error:
        failure = _failure(error)
        sys.stderr.write(f"{failure.message}\n")
        sys.exit(failure.exit)


if __name__ == "__main__":
    main()
