"""Cutting what a line names, files and codes alike: a file that is not in the library yet is brought in first."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from assetlib.errors import BadPicture
from assetlib.imaging.supervise import Worker
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.bringing.trying import CutReport, CutSheet, CutWishes, one_by_one, try_file
from assetlib.services.keeping import upkeep


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
    name = f"cut {first if len(sheets) == 1 else f'{len(sheets)} sheets'}"
    with lib.one_step(name), Worker(**lib.settings.limits()) as worker:
        report = one_by_one(sheets, lambda sheet: _cut_one(lib, sheet, wishes, worker), progress)
    if not wishes.dry_run:
        upkeep.work_off(lib, progress=progress)
    return report


def _cut_one(lib: Library, sheet: str | Path, wishes: CutWishes, worker: Worker) -> list[CutSheet]:
    if isinstance(sheet, Path) and wishes.dry_run:
        return try_file(sheet, wishes, worker)
    return cut_sheet(
        lib,
        _brought_in(lib, sheet) if isinstance(sheet, Path) else sheet,
        wishes.settings,
        page=wishes.page,
        fresh=wishes.fresh,
        dry_run=wishes.dry_run,
        overlays=wishes.overlays,
        leave_single=wishes.settings is None,
        worker=worker,
    )


def _brought_in(lib: Library, path: Path) -> str:
    """The code of a file's sheet, after bringing it in as one."""
    report = bring_in(lib, [path], Wishes(new_role="sheet"))
    if report.failed:
        raise BadPicture(f"{path}: {report.failed[0].reason}")
    return (report.added or report.known)[0].code
