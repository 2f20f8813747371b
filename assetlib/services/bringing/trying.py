"""How sheets would be cut: page by page, on pictures with numbered boxes, without a library."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from assetlib.config import Settings
from assetlib.errors import AssetlibError, BadPicture, WrongUsage
from assetlib.imaging.cutting.cutwork import CutElement, CutJob, CutPage, count_pages, cut_page
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.imaging.supervise import Worker
from assetlib.progress import SILENT, Progress
from assetlib.rules.words.file_names import file_name

Fix = dict[str, Any] | None
"""What was done to a page, as `PageFix.plain` says it."""


@dataclass(frozen=True, slots=True)
class CutOut:
    """An element of a sheet, with its code once it is in the library."""

    element: CutElement
    code: str | None = None
    what: str = "new"
    """new, kept (the same as before), or changed (a new cut)."""


@dataclass(frozen=True, slots=True)
class CutSheet:
    """A page that was cut; `gone` are codes of elements that went to the attic because they are no longer there."""

    source: str
    page: int
    size: tuple[int, int]
    elements: tuple[CutOut, ...]
    sheet: str | None = None
    gone: tuple[str, ...] = ()
    overlay: Path | None = None
    became_sheet: bool = False
    """Whether it was kept as one drawing until now."""
    page_fix: Fix = None
    """What was done to the picture before it was cut; boxes are in pixels of what came of it."""
    picture: tuple[int, int] = (0, 0)
    """Width and height of the picture that the page was made of."""


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
    with Worker(**Settings().limits()) as worker:
        return one_by_one(paths, lambda path: try_file(Path(path), wishes, worker), SILENT)


def one_by_one(
    sheets: Sequence[str | Path], cut: Callable[[str | Path], list[CutSheet]], progress: Progress
) -> CutReport:
    """What comes of cutting each; one that fails costs itself alone, but for a single one, whose error is raised."""
    report = CutReport()
    for sheet in progress.track(sheets, "cutting sheets", len(sheets) if len(sheets) > 1 else 0):
        try:
            report.pages += cut(sheet)
        except AssetlibError as error:
            if len(sheets) == 1:
                raise
            report.failed.append((str(sheet), error))
    return report


def try_file(path: Path, wishes: CutWishes, worker: Worker) -> list[CutSheet]:
    """How a file would be cut, page by page or on one page, without a library. Raises BadPicture, WrongUsage."""
    path = path.absolute()
    settings = wishes.settings or CutSettings()
    pages = worker.call(count_pages, str(path))
    if pages.value is None:
        raise BadPicture(_reason(path.name, pages.reason), pages.hint)
    return [
        try_page(path, path.stem, number, settings, wishes.overlays, worker=worker)
        for number in pages_meant(path.name, pages.value, wishes.page, settings)
    ]


def pages_meant(name: str, pages: int, page: int | None, settings: CutSettings | None) -> list[int]:
    """The pages to cut. Raises WrongUsage for a page there is not, and for corrections that may mean any page."""
    if page is not None and not 0 <= page < pages:
        raise WrongUsage(f"{name} has no page {page + 1}", f"it has {pages}")
    if page is None and pages > 1 and settings not in (None, CutSettings()):
        raise WrongUsage(f"{name} has {pages} pages", "say with --page which one the corrections are for")
    return list(range(pages)) if page is None else [page]


def try_page(
    path: Path,
    name: str,
    page: int,
    settings: CutSettings,
    overlays: Path | None,
    *,
    worker: Worker,
    code: str | None = None,
    asked: CutSettings | None = None,
) -> CutSheet:
    """The page as `settings` cut it; of these, `asked` must find what they name. Raises BadPicture, WrongUsage."""
    picture = _overlay_path(overlays, f"{name} {code}" if code else name, page) if overlays else None
    job = CutJob(str(path), page, settings, str(picture) if picture else None)
    outcome = worker.call(cut_page, job)
    if outcome.value is None:
        raise BadPicture(_reason(name, outcome.reason), outcome.hint)
    cut = outcome.value
    _check_found(cut, asked if asked is not None else settings, name)
    return CutSheet(str(path), page, cut.size, tuple(CutOut(e) for e in cut.elements),
        overlay=picture, page_fix=cut.page_fix, picture=cut.picture,
    )  # fmt: skip


def _overlay_path(folder: Path, name: str, page: int) -> Path:
    """A path that no other sheet's overlay has: files of one name lie in many folders."""
    stem = file_name(name, "sheet")
    for more in itertools.chain([""], (f" {number}" for number in itertools.count(2))):
        place = folder / f"{stem}{more}-cut-{page + 1}.png"
        if not place.exists():
            return place
    raise AssertionError("numbers do not end")


def _reason(name: str, reason: str | None) -> str:
    """What went wrong, with the name of the sheet before it once."""
    text = reason or "it cannot be read"
    return text if text.startswith(name) else f"{name}: {text}"


def _check_found(cut: CutPage, asked: CutSettings, name: str) -> None:
    """Raises WrongUsage for corrections that name what is not on the page."""
    named = {*asked.split, *asked.drop, *(number for group in asked.join for number in group)}
    missing = [str(number) for number in cut.missing if number in named]
    if missing:
        raise WrongUsage(
            f"{name} has no drawing {', '.join(missing)}", "see the numbers with --dry-run --fresh"
        )
    if whole := [str(number) for number in cut.whole if number in asked.split]:
        raise WrongUsage(
            f"drawing {', '.join(whole)} of {name} hangs together: there is no gap to split it at",
            "--box x,y,w,h says what is a drawing of its own",
        )
    for box in cut.empty:
        if box in asked.boxes:
            raise WrongUsage(f"there is no ink in the box {','.join(map(str, box))} of {name}")
