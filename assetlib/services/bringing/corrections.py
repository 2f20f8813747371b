"""Corrections of a cut as they are kept: read, added to, written, and guarded against somebody else's meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import CutOrder, Entry
from assetlib.errors import Moved
from assetlib.imaging.cutting.numbering import Gap, Maker
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.imaging.pages.carrying import carried_box, carried_length
from assetlib.imaging.pages.fixing import PageFix
from assetlib.library import Library


def kept_settings(lib: Library, entry_id: int, page: int) -> CutSettings:
    """The corrections of a page as they were kept last, none where it was not cut yet."""
    with lib.reading() as session:
        row = session.scalar(select(CutOrder).where(CutOrder.entry_id == entry_id, CutOrder.page == page))
    return _from_plain(row.corrections) if row else CutSettings()


def added(kept: CutSettings, new: CutSettings) -> CutSettings:
    """Both corrections, the new ones after those that were kept."""
    return CutSettings(
        gap=new.gap if new.gap is not None else kept.gap,
        join=tuple(dict.fromkeys((*kept.join, *new.join))),
        split=tuple(dict.fromkeys((*kept.split, *new.split))),
        drop=tuple(dict.fromkeys((*kept.drop, *new.drop))),
        boxes=tuple(dict.fromkeys((*kept.boxes, *new.boxes))),
        made=tuple(dict.fromkeys((*kept.makers(), *new.makers()))),
        as_it_is=kept.as_it_is or new.as_it_is,
    )


def moved(
    settings: CutSettings, before: PageFix | None, now: PageFix | None, picture: tuple[int, int]
) -> CutSettings:
    """Corrections made on the page of one fix, as said of the page of another: boxes and gaps are in pixels."""

    def at(maker: Maker) -> Maker:
        if isinstance(maker, Gap):
            return Gap(carried_length(maker.widest, before, now, picture))
        return carried_box(maker, before, now, picture) if isinstance(maker, tuple) else maker

    return replace(
        settings,
        gap=None if settings.gap is None else carried_length(settings.gap, before, now, picture),
        boxes=tuple(carried_box(box, before, now, picture) for box in settings.boxes),
        made=tuple(map(at, settings.made)),
    )


def keep_settings(lib: Library, session: Session, sheet: Entry, page: int, settings: CutSettings) -> None:
    """Put corrections in place of those that were kept."""
    order = session.scalar(select(CutOrder).where(CutOrder.entry_id == sheet.id, CutOrder.page == page))
    if order is None:
        order = CutOrder(entry_id=sheet.id, page=page)
        session.add(order)
    order.corrections, order.cut_at = _plain(settings), lib.now()
    session.flush()


def refuse_cut_meanwhile(session: Session, sheet: Entry, page: int, kept: CutSettings, fresh: bool) -> None:
    """Raise Moved where somebody else has corrected the cut of this page since it was tried."""
    row = session.scalar(select(CutOrder).where(CutOrder.entry_id == sheet.id, CutOrder.page == page))
    if not fresh and (_from_plain(row.corrections) if row else CutSettings()) != kept:
        raise Moved(
            f"page {page + 1} of {sheet.code.code} was cut again meanwhile; nothing was kept",
            "run the same once more",
        )


def _from_plain(values: dict[str, Any]) -> CutSettings:
    """Corrections as they were kept."""
    return CutSettings(
        gap=values.get("gap"),
        join=tuple(tuple(group) for group in values.get("join", ())),
        split=tuple(values.get("split", ())),
        drop=tuple(values.get("drop", ())),
        boxes=tuple(_box(box) for box in values.get("boxes", ())),
        made=tuple(_maker(made) for made in values.get("made", ())),
        as_it_is=bool(values.get("as_it_is", False)),
    )


def _maker(made: Any) -> Maker:
    if isinstance(made, dict):
        return Gap(made["gap"])
    return _box(made) if isinstance(made, list) else int(made)


def _plain_maker(maker: Maker) -> Any:
    if isinstance(maker, Gap):
        return {"gap": maker.widest}
    return list(maker) if isinstance(maker, tuple) else maker


def _box(values: Sequence[int]) -> tuple[int, int, int, int]:
    return values[0], values[1], values[2], values[3]


def _plain(settings: CutSettings) -> dict[str, Any]:
    return {
        "gap": settings.gap,
        "join": [list(group) for group in settings.join],
        "split": list(settings.split),
        "drop": list(settings.drop),
        "boxes": [list(box) for box in settings.boxes],
        "made": [_plain_maker(maker) for maker in settings.makers()],
        "as_it_is": settings.as_it_is,
    }
