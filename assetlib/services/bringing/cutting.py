"""Sheets of a library cut into elements: tried, then kept; cut again, codes stay with their drawings."""

from __future__ import annotations

from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

from sqlalchemy import exists, or_, select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.derived import PairDecision
from assetlib.catalogue.entries import Cut, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.trade import CollectionItem, OriginAnswer
from assetlib.catalogue.work import Use
from assetlib.errors import WrongUsage
from assetlib.imaging.cutting.cutwork import CutElement
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.imaging.masks import Region
from assetlib.imaging.pages.carrying import carried
from assetlib.imaging.pages.fixing import fix_from
from assetlib.imaging.supervise import Worker
from assetlib.library import Library
from assetlib.services import shelf
from assetlib.services.bringing import corrections
from assetlib.services.bringing.matching import match
from assetlib.services.bringing.trying import CutOut, CutSheet, Fix, pages_meant, try_page
from assetlib.services.versions import add_cut, current_cut, pinned, refuse_moved
from assetlib.storage.blobs import as_digest


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
    worker: Worker | None = None,
) -> list[CutSheet]:
    """Cut the sheet with this code, page by page or on one page, counted from 0.

    `settings` are added to the corrections kept from last time; `fresh` forgets those. With `leave_single` an
    element on which one drawing is found is refused and stays what it is. `worker` is one that cuts other sheets too.
    Raises NotFound, AmbiguousCode, BadPicture, WrongUsage for corrections that find nothing.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given, ("sheet", "element"))
        original = _whole_original(session, entry)
        judged = pinned(entry)
        source = queries.cards(session, [entry.id])[entry.id].source
    step: int | None = None
    cuts = []
    with nullcontext(worker) if worker is not None else Worker(**lib.settings.limits()) as watched:
        for number in pages_meant(entry.title, original.pages, page, settings):
            kept = CutSettings() if fresh else corrections.kept_settings(lib, entry.id, number)
            before = kept
            if settings is not None and settings.as_it_is and not kept.as_it_is:
                before = _as_it_is(lib, original, number, kept)
            chosen = corrections.added(before, settings) if settings is not None else kept
            tried = try_page(
                lib.originals.path(as_digest(original.sha256)),
                entry.title,
                number,
                chosen,
                overlays,
                worker=watched,
                code=entry.code.code,
                asked=settings or CutSettings(),
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
            f"`assetlib cut {entry.code.code} --split 1` or --box x,y,w,h says what is a drawing of its own, "
            f"--whole that it is one indeed",
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
    sheet.may_be = None  # and that is settled
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
