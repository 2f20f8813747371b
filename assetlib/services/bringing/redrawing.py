"""A drawing that came in anew as the next version of one that was there: redrawn, or come back altered.

Nothing is chosen unasked: without being told so, what comes in stays an element of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Arrival, Entry
from assetlib.catalogue.fulltext import refresh_text
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.versions import REASONS, PiecePart, Pinned, add_version, current_cut, refuse_moved


@dataclass(frozen=True, slots=True)
class Redrawn:
    """A drawing after its next version was taken in."""

    code: str
    version: int
    cut: int
    taken: str
    """The code of the entry that it was taken from, which is in the attic now."""


def next_version(
    lib: Library,
    older: str,
    newer: str,
    reason: str = "redrawn",
    *,
    judged: tuple[Pinned, Pinned] | None = None,
) -> Redrawn:
    """Make the drawing `newer` the next version of `older`; its own entry goes to the attic. One step.

    What was said of the older drawing comes along to be confirmed; what it is called and tagged stays.
    Raises WrongUsage for one drawing twice, other roles or a reason there is not, Moved where either is no longer
    what was `judged`.
    """
    if reason not in REASONS:
        raise WrongUsage(f"'{reason}' is no reason for a new version", f"choose {' or '.join(REASONS)}")
    with lib.transaction(f"{older}: {reason}, from {newer}") as session:
        kept, taken = queries.entry(session, older), queries.entry(session, newer)
        _refuse_unfit(kept, taken)
        for entry, was in zip((kept, taken), judged or (), strict=False):
            refuse_moved(entry, was)
        version = add_version(
            lib,
            session,
            kept,
            parts=_parts(taken),
            ground=current_cut(taken).ground,
            reason=reason,
            page_fix=current_cut(taken).page_fix,
        )
        _take_in(session, kept, taken)
        return Redrawn(kept.code.code, version.number, current_cut(kept).number, taken.code.code)


def _refuse_unfit(kept: Entry, taken: Entry) -> None:
    if kept.id == taken.id:
        raise WrongUsage(f"{kept.code.code} is one drawing", "name two")
    if kept.role != taken.role:
        raise WrongUsage(f"{kept.code.code} is a {kept.role}, {taken.code.code} a {taken.role}")


def _parts(taken: Entry) -> list[PiecePart]:
    return [
        PiecePart(p.original_id, (p.x, p.y, p.w, p.h), p.page, p.layer, p.resolution, p.mask, p.reading_order)
        for p in current_cut(taken).pieces
    ]


def _take_in(session: Session, kept: Entry, taken: Entry) -> None:
    """The file arrives at the drawing that it is a state of."""
    for arrival in session.scalars(select(Arrival).where(Arrival.entry_id == taken.id)):
        arrival.entry_id = kept.id
    taken.in_attic = True
    session.flush()
    refresh_text(session, [kept.id, taken.id])
