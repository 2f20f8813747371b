"""Cutting sheets into elements: first tried on an overlay, then kept; cut again, codes stay with their drawings."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import exists, or_, select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.derived import PairDecision
from assetlib.catalogue.entries import Cut, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.trade import CollectionItem, OriginAnswer
from assetlib.catalogue.work import Use
from assetlib.config import Limits
from assetlib.errors import BadPicture, WrongUsage
from assetlib.imaging.cutting.cutwork import CutElement, CutJob, CutPage, cut_page
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.imaging.masks import Region
from assetlib.imaging.pages.carrying import carried
from assetlib.imaging.pages.fixing import fix_from
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.rules.words.file_names import file_name
from assetlib.services import shelf
from assetlib.services.bringing import corrections
from assetlib.services.bringing.matching import match
from assetlib.services.versions import add_cut, current_cut, pinned, refuse_moved
from assetlib.storage.blobs import as_digest

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


def try_file(
    path: Path,
    settings: CutSettings,
    overlays: Path | None,
    *,
    page: int | None = None,
    limits: Limits,
) -> list[CutSheet]:
    """How a file would be cut, page by page or on one page (from 0), without a library.

    Overlay pictures are written into the folder `overlays`. Raises BadPicture, WrongUsage.
    """
    pages = call_supervised(_pages_of, str(path), **limits)
    if pages.value is None:
        raise BadPicture(_reason(path.name, pages.reason), pages.hint)
    return [
        _tried(path, path.stem, number, settings, overlays, limits=limits)
        for number in _pages(path.name, pages.value, page, settings)
    ]


def _pages(name: str, pages: int, page: int | None, settings: CutSettings | None) -> list[int]:
    """The pages to cut. Raises WrongUsage for a page there is not, and for corrections that may mean any page."""
    if page is not None and not 0 <= page < pages:
        raise WrongUsage(f"{name} has no page {page + 1}", f"it has {pages}")
    if page is None and pages > 1 and settings not in (None, CutSettings()):
        raise WrongUsage(f"{name} has {pages} pages", "say with --page which one the corrections are for")
    return list(range(pages)) if page is None else [page]


def _tried(
    path: Path,
    name: str,
    page: int,
    settings: CutSettings,
    overlays: Path | None,
    *,
    code: str | None = None,
    asked: CutSettings | None = None,
    limits: Limits,
) -> CutSheet:
    """The page as `settings` cut it; of these, `asked` must find what they name."""
    picture = _overlay_path(overlays, f"{name} {code}" if code else name, page) if overlays else None
    job = CutJob(str(path), page, settings, str(picture) if picture else None)
    outcome = call_supervised(cut_page, job, **limits)
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
            f"nothing parts drawing {', '.join(whole)} of {name}",
            "--box x,y,w,h says what is a drawing of its own",
        )
    for box in cut.empty:
        if box in asked.boxes:
            raise WrongUsage(f"there is no ink in the box {','.join(map(str, box))} of {name}")


def _pages_of(path: str) -> int:
    from assetlib.imaging.formats import read_facts

    return read_facts(path).pages


def cut_sheet(
    lib: Library,
    given: str,
    settings: CutSettings | None = None,
    *,
    page: int | None = None,
    fresh: bool = False,
    dry_run: bool = False,
    overlays: Path | None = None,
    leave_single: bool = False,
) -> list[CutSheet]:
    """Cut the sheet with this code, page by page or on one page, counted from 0.

    `settings` are added to the corrections kept from last time; `fresh` forgets those. With `leave_single` an
    element on which one drawing is found is refused and stays what it is.
    Raises NotFound, AmbiguousCode, BadPicture, WrongUsage for corrections that find nothing.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("sheet", "element"))
        original = _whole_original(session, entry)
        judged = pinned(entry)
        source = queries.cards(session, [entry.id])[entry.id].source
    step: int | None = None
    cuts = []
    for number in _pages(entry.title, original.pages, page, settings):
        kept = CutSettings() if fresh else corrections.kept_settings(lib, entry.id, number)
        before = kept
        if settings is not None and settings.as_it_is and not kept.as_it_is:
            before = _as_it_is(lib, original, number, kept)
        chosen = corrections.added(before, settings) if settings is not None else kept
        tried = _tried(
            lib.originals.path(as_digest(original.sha256)),
            entry.title,
            number,
            chosen,
            overlays,
            code=entry.code.code,
            asked=settings or CutSettings(),
            limits=lib.settings.limits(),
        )
        tried = replace(tried, source=source, sheet=entry.code.code)
        if leave_single and not dry_run and original.pages == 1 and chosen == CutSettings():
            _refuse_single(entry, tried)
        if not dry_run:
            step = step if step is not None else lib.new_step(f"cut {entry.title}")
            with lib.transaction(step) as session:
                sheet = session.get_one(Entry, entry.id)
                refuse_moved(sheet, judged)
                corrections.refuse_cut_meanwhile(session, sheet, number, kept, fresh)
                tried = _keep(lib, session, sheet, original.id, tried, chosen)
        cuts.append(tried)
    return cuts


def _as_it_is(lib: Library, original: Original, page: int, kept: CutSettings) -> CutSettings:
    """Corrections of a page that was flattened, as they are said of the picture that it was made of."""
    with lib.reading() as session:
        fixes = [fix_from(fix) for _, _, fix in _older_elements(session, original.id, page)]
    fix = next(iter(fixes), None)
    if fix is None or not (kept.boxes or kept.made or kept.gap is not None):
        return kept
    return corrections.moved(kept, fix, None, (original.width, original.height))


def _refuse_single(entry: Entry, tried: CutSheet) -> None:
    """Raise WrongUsage where an element is one drawing: cut, it would stand there twice."""
    is_one = entry.role == "element" and len(tried.elements) == 1
    if is_one and tried.elements[0].element.caption_box is None:
        raise WrongUsage(
            f"{entry.title} is one drawing: nothing to cut",
            f"`assetlib cut {entry.code.code} --split 1` or --box x,y,w,h says what is a drawing of its own",
        )


def _whole_original(session: Session, entry: Entry) -> Original:
    """The original that an entry shows whole. Raises WrongUsage for one that was itself cut from a sheet."""
    row = session.execute(
        select(Original, Piece)
        .join(Piece, Piece.original_id == Original.id)
        .where(Piece.cut_id == current_cut(entry).id)
        .order_by(Piece.ordinal)
    ).first()
    if row is None or row[1].is_part:
        raise WrongUsage(f"{entry.code.code} was itself cut from a sheet", "cut that sheet again instead")
    original: Original = row[0]
    return original


def _keep(
    lib: Library, session: Session, sheet: Entry, original_id: int, cut: CutSheet, settings: CutSettings
) -> CutSheet:
    """Put the elements of a page into the catalogue, matched to those that were cut from it before."""
    became_sheet = sheet.role == "element"  # it was taken for one drawing, and is cut now: it is a sheet
    if became_sheet:
        sheet.role = "sheet"
    corrections.keep_settings(lib, session, sheet, cut.page, settings)
    older = _older_elements(session, original_id, cut.page)
    matched = match(
        [Region(0, out.element.box, out.element.mask) for out in cut.elements],
        [_as_cut_now(piece, fix, cut) for _, piece, fix in older],
    )
    kept: list[CutOut] = []
    for index, out in enumerate(cut.elements):
        entry, piece = older[matched[index]][:2] if index in matched else (None, None)
        kept.append(_keep_element(lib, session, sheet, original_id, cut, out.element, entry, piece))
    gone = [
        entry
        for i, (entry, *_) in enumerate(older)
        if i not in matched.values() and not _protected(session, entry)
    ]
    for entry in gone:
        entry.in_attic = True
    session.flush()
    codes = tuple(entry.code.code for entry in gone)
    return replace(cut, elements=tuple(kept), gone=codes, became_sheet=became_sheet)


def _older_elements(session: Session, original_id: int, page: int) -> list[tuple[Entry, Piece, Fix]]:
    """Elements that were cut from this page before, each with its piece and what had been done to its page."""
    rows = session.execute(
        select(Entry, Piece, Cut.page_fix)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Cut, Cut.id == Version.current_cut_id)
        .join(Piece, Piece.cut_id == Cut.id)
        .where(Piece.original_id == original_id, Piece.page == page, Piece.is_part)
        .order_by(Entry.in_attic, Entry.id)
    )
    return [(entry, piece, fix) for entry, piece, fix in rows]


def _as_cut_now(piece: Piece, fix: Fix, cut: CutSheet) -> Region:
    """Where an older piece lies on the page as it is now: it may have been flattened otherwise, or not at all."""
    region = Region(0, (piece.x, piece.y, piece.w, piece.h), piece.mask)
    return carried(region, fix_from(fix), fix_from(cut.page_fix), cut.picture)


def _keep_element(
    lib: Library,
    session: Session,
    sheet: Entry,
    original_id: int,
    page: CutSheet,
    element: CutElement,
    entry: Entry | None,
    piece: Piece | None,
) -> CutOut:
    part = shelf.PiecePart(
        original_id, element.box, page=page.page, mask=element.mask, reading_order=element.order
    )
    if entry is not None and piece is not None:
        entry.in_attic = False
        same = (piece.x, piece.y, piece.w, piece.h, piece.mask) == (*element.box, element.mask)
        same = same and current_cut(entry).page_fix == page.page_fix
        if not same:
            assert entry.current is not None
            add_cut(
                lib,
                session,
                entry.current,
                parts=[part],
                caption_box=element.caption_box,
                page_fix=page.page_fix,
                picture=page.picture,
            )
        return CutOut(element, entry.code.code, "kept" if same else "changed")
    entry = shelf.add_entry(
        lib,
        session,
        role="element",
        title=f"{sheet.title} {element.order}",
        title_source="file name",
        ground=current_cut(sheet).ground,
        parts=[part],
        caption_box=element.caption_box,
        page_fix=page.page_fix,
    )
    refresh_text(session, [entry.id])
    return CutOut(element, entry.code.code)


def _protected(session: Session, entry: Entry) -> bool:
    """Whether an element may not go: it was described, used, collected, answered for, or decided about."""
    if entry.described_at is not None:
        return True
    versions = select(Version.id).where(Version.entry_id == entry.id)
    return bool(
        session.scalar(
            select(
                or_(
                    exists().where(Use.version_id.in_(versions)),
                    exists().where(CollectionItem.entry_id == entry.id),
                    exists().where(OriginAnswer.version_id.in_(versions)),
                    exists().where(PairDecision.a_id.in_(versions)),
                    exists().where(PairDecision.b_id.in_(versions)),
                )
            )
        )
    )
