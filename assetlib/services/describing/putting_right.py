"""What was misjudged, put right from the in-tray: a sheet, a reference, one drawing that was cut in two."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sqlalchemy import select

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.describing.waiting import InTurn, order_on_sheet, sheet_mates, sheet_of

if TYPE_CHECKING:
    from assetlib.services.bringing.trying import CutSheet

_JOIN = "join drawings with `assetlib cut --join`"


def entry_of(lib: Library, code: str) -> int:
    """The entry with this code. Raises NotFound, AmbiguousCode."""
    with lib.reading() as session:
        return queries.entry(session, code).id


def described_drawing(lib: Library, entry_id: int) -> InTurn | None:
    """A drawing that is described and on the shelf, with its sheet; None for what is none (any more)."""
    with lib.reading() as session:
        entry = session.get(Entry, entry_id)
        if entry is None or entry.role != "element" or entry.in_attic or entry.described_at is None:
            return None
        return InTurn(entry_id, entry.code.code, sheet_of(session, entry_id))


def make_reference(lib: Library, code: str) -> None:
    """It is a picture that drawings are made from, and no drawing: one step."""
    with lib.transaction(f"{code} is a reference") as session:
        entry = queries.entry(session, code)
        entry.role, entry.described_at, entry.may_be = "reference", lib.now(), None


def cut(lib: Library, code: str) -> list[str]:
    """Cut what is a sheet after all; the codes of its drawings in reading order."""
    from assetlib.services.bringing.cutting import cut_sheet

    return _pictured(lib, cut_sheet(lib, code))


def pair_on_sheet(lib: Library, turn: InTurn) -> tuple[InTurn, int]:
    """The drawing before this one on its sheet, and its place there from 1. Raises WrongUsage where there is none."""
    mates = sheet_mates(lib, turn)
    at = next((i for i, mate in enumerate(mates) if mate.entry_id == turn.entry_id), None)
    if turn.sheet is None or at is None:
        raise WrongUsage("it came alone, not on a sheet: there is none before it to join it with", _JOIN)
    if at == 0:
        raise WrongUsage("it is the first on its sheet: there is no drawing before it to join it with", _JOIN)
    return mates[at - 1], at


def join(lib: Library, mate: InTurn, turn: InTurn) -> list[str]:
    """Cut their sheet so that these two are one drawing; the codes of its drawings in reading order."""
    from assetlib.imaging.cutting.sheets import CutSettings
    from assetlib.services.bringing.cutting import cut_sheet

    with lib.reading() as session:
        sheet = session.scalars(select(Entry).where(Entry.id == turn.sheet)).one().code.code
        numbers = tuple(order_on_sheet(session, w.entry_id) for w in (mate, turn))
    return _pictured(lib, cut_sheet(lib, sheet, CutSettings(join=(numbers,))))


def _pictured(lib: Library, pages: Sequence[CutSheet]) -> list[str]:
    """The codes of drawings that were cut just now, what is shown of them made; what else waits is for upkeep."""
    from assetlib.services.keeping import upkeep

    codes = [out.code for page in pages for out in page.elements if out.code]
    with lib.reading() as session:
        ids = [queries.entry(session, code).id for code in codes]
    upkeep.work_off(lib, (upkeep.PROOF, upkeep.caption()), entries=ids)
    return codes
