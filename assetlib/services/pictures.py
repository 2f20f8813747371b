"""What a worker process is told of a cut: where its pieces lie, and where to write what comes of it."""

from __future__ import annotations

import uuid
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Cut, Original, Piece, Version
from assetlib.imaging.assembly import PicturePlan, PiecePlan
from assetlib.imaging.pages.fixing import fix_from
from assetlib.library import Library
from assetlib.services.versions import choices
from assetlib.storage.blobs import as_digest


def picture_plan(
    lib: Library, session: Session, cut_id: int | None, kind: str = "", suffix: str = ""
) -> PicturePlan | None:
    """What a worker needs to put a cut's picture together; with a suffix, also a new file for what it makes."""
    cut = session.get(Cut, cut_id) if cut_id is not None else None
    if cut is None:
        return None
    rows = session.execute(
        select(Piece, Original.sha256, Original.x_dpi, Original.y_dpi)
        .join(Original, Original.id == Piece.original_id)
        .where(Piece.cut_id == cut.id)
        .order_by(Piece.ordinal)
    ).all()
    fix = fix_from(cut.page_fix)
    pieces = tuple(
        PiecePlan(
            str(lib.originals.path(as_digest(digest))),
            (piece.x, piece.y, piece.w, piece.h),
            piece.page,
            piece.layer,
            piece.resolution,
            piece.mask,
            fix,
        )
        for piece, digest, *_ in rows
    )
    openings, blemishes = choices(session, cut.id)
    return PicturePlan(
        pieces,
        str(_target(lib, session, cut, kind, suffix)) if suffix else "",
        tuple((x, y, is_open) for (x, y), is_open in openings.items()),
        tuple(sorted(blemishes)),
        None
        if fix is not None and fix.corners
        else next((dpi for piece, _, *told in rows if (dpi := _resolution(piece, *told))), None),
        tuple(cut.caption_box) if cut.caption_box else None,
    )


def _resolution(piece: Piece, x_dpi: float | None, y_dpi: float | None) -> tuple[float, float] | None:
    """Pixels an inch of a piece: what a page without pixels was rendered at, else what its file says."""
    if piece.resolution is not None:
        return piece.resolution, piece.resolution
    return (x_dpi, y_dpi) if x_dpi is not None and y_dpi is not None else None


def _target(lib: Library, session: Session, cut: Cut, kind: str, suffix: str) -> Path:
    """A new file below derived/; an older one of the same cut may be open somewhere and is left alone."""
    version = session.get_one(Version, cut.version_id)
    folder = lib.derived / kind.replace(" ", "-") / version.uuid[:2]
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{version.uuid}-{cut.number}-{uuid.uuid4().hex[:8]}{suffix}"
