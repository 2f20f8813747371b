"""Cutting what a line names, files and codes alike: a file that is not in the library yet is brought in first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from assetlib.config import Settings
from assetlib.errors import AssetlibError, BadPicture
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.bringing.cutting import CutSheet, cut_sheet, try_file
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.keeping import upkeep


@dataclass(frozen=True, slots=True)
class CutWishes:
    """How sheets are to be cut: corrections, page from 0, whether those of last time are forgotten, only tried."""

    settings: CutSettings | None = None
    page: int | None = None
    fresh: bool = False
    dry_run: bool = False
    overlays: Path | None = None
    """A folder for pictures with numbered boxes."""


@dataclass(slots=True)
class CutReport:
    """The pages that were cut, and the sheets that could not be, each with its error."""

    pages: list[CutSheet] = field(default_factory=list)
    failed: list[tuple[str, AssetlibError]] = field(default_factory=list)


def try_sheets(paths: Sequence[Path], wishes: CutWishes) -> CutReport:
    """How files would be cut, without a library. A file that fails costs itself alone, but for a single one."""
    return _one_by_one(paths, lambda path: _tried(Path(path), wishes), SILENT)


def cut_sheets(
    lib: Library,
    sheets: Sequence[str | Path],
    wishes: CutWishes = CutWishes(),
    *,
    progress: Progress = SILENT,
) -> CutReport:
    """Cut sheets, named by codes or as files, as one step; what waits after it is worked off.

    A sheet that fails costs itself alone, but for a single one, whose error is raised.
    """
    first = sheets[0].name if isinstance(sheets[0], Path) else sheets[0]
    with lib.one_step(f"cut {first if len(sheets) == 1 else f'{len(sheets)} sheets'}"):
        report = _one_by_one(sheets, lambda sheet: _cut_one(lib, sheet, wishes), progress)
    if not wishes.dry_run:
        upkeep.work_off(lib, progress=progress)
    return report


def _one_by_one(
    sheets: Sequence[str | Path], cut: Callable[[str | Path], list[CutSheet]], progress: Progress
) -> CutReport:
    report = CutReport()
    for sheet in progress.track(sheets, "cutting sheets", len(sheets) if len(sheets) > 1 else 0):
        try:
            report.pages += cut(sheet)
        except AssetlibError as error:
            if len(sheets) == 1:
                raise
            report.failed.append((str(sheet), error))
    return report


def _tried(path: Path, wishes: CutWishes) -> list[CutSheet]:
    return try_file(
        path.absolute(),
        wishes.settings or CutSettings(),
        wishes.overlays,
        page=wishes.page,
        limits=Settings().limits(),
    )


def _cut_one(lib: Library, sheet: str | Path, wishes: CutWishes) -> list[CutSheet]:
    if isinstance(sheet, Path) and wishes.dry_run:
        return _tried(sheet, wishes)
    return cut_sheet(
        lib,
        _brought_in(lib, sheet) if isinstance(sheet, Path) else sheet,
        wishes.settings,
        page=wishes.page,
        fresh=wishes.fresh,
        dry_run=wishes.dry_run,
        overlays=wishes.overlays,
        leave_single=wishes.settings is None,
    )


def _brought_in(lib: Library, path: Path) -> str:
    """The code of a file's sheet, after bringing it in as one."""
    report = bring_in(lib, [path], Wishes(new_role="sheet"))
    if report.failed:
        raise BadPicture(f"{path}: {report.failed[0].reason}")
    return (report.added or report.known)[0].code
