"""Pictures that may be something else than they were taken for when they came in: told until that is settled.

It is settled by cutting a picture (then it is a sheet), by keeping it whole (then it is one drawing), by saying what
it is when it is brought in again, and by describing it in the in-tray, where the doubt stands beside it.
"""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry, Piece
from assetlib.catalogue.fulltext import refresh_text
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.wording import listed
from assetlib.services import choosing
from assetlib.services.versions import current_cut


class MayBe(StrEnum):
    """What a picture may be in place of its role; values of `Entry.may_be`."""

    SHEET = "sheet"
    ELEMENT = "element"
    LAYERS = "layers"
    """A file that holds several drawings in its layers."""

    @property
    def said(self) -> str:
        """The doubt in words."""
        return SAID[self]


SAID = {
    MayBe.SHEET: "may be a sheet of several drawings",
    MayBe.ELEMENT: "may be one drawing",
    MayBe.LAYERS: "holds several drawings in its layers",
}


@dataclass(frozen=True, slots=True)
class RoleDoubt:
    """A picture that may be something else: why, the command that makes it that, and the one that leaves it."""

    code: str
    title: str
    doubt: str
    mend: str
    keep: str


def doubt_about(entry: Entry) -> RoleDoubt | None:
    """What an entry may be in place of its role; None where that is settled."""
    if entry.may_be is None:
        return None
    may_be, code = MayBe(entry.may_be), entry.code.code
    return RoleDoubt(code, entry.title, may_be.said, *commands(may_be, code))


def commands(may_be: MayBe, code: str) -> tuple[str, str]:
    """The command that makes a picture what it may be, and the one that leaves it what it is."""
    cut, whole = f"assetlib cut {code}", f"assetlib cut {code} --whole"
    if may_be is MayBe.ELEMENT:
        return whole, cut
    return (f"{cut} --layers" if may_be is MayBe.LAYERS else cut), whole


def command_for_file(may_be: MayBe, path: str) -> str:
    """The command that brings a file in as what it may be, for one that has no code yet."""
    return f"assetlib intake --as {may_be} {shlex.quote(path)}"


def doubted(lib: Library) -> list[RoleDoubt]:
    """Pictures on the shelf that may be something else than they were taken for, the oldest first."""
    with lib.reading() as session:
        rows = session.scalars(
            select(Entry).where(~Entry.in_attic, Entry.may_be.is_not(None)).order_by(Entry.id)
        )
        return [doubt for entry in rows if (doubt := doubt_about(entry)) is not None]


@dataclass(frozen=True, slots=True)
class KeptWhole:
    """A picture that is one drawing: whether it was a sheet until now."""

    code: str
    title: str
    was_sheet: bool


def keep_whole(lib: Library, codes: Sequence[str], *, dry_run: bool = False) -> list[KeptWhole]:
    """Say of pictures that each is one drawing: sheets become elements; one step, all of it or nothing.

    Raises NotFound, AmbiguousCode, and WrongUsage for what was cut from a sheet or into drawings that are there.
    """
    with lib.transaction(None if dry_run else f"{listed(codes)} kept whole") as session:
        entries = [queries.entry(session, code, ("sheet", "element")) for code in codes]
        for entry in entries:
            _refuse_parts(session, entry)
        kept = [KeptWhole(entry.code.code, entry.title, entry.role == "sheet") for entry in entries]
        for entry in entries:
            entry.role, entry.may_be = "element", None
        refresh_text(session, [entry.id for entry in entries])
        if dry_run:
            session.rollback()
    return kept


def _refuse_parts(session: Session, entry: Entry) -> None:
    """Raise WrongUsage for what is itself a part of a picture, and for a sheet whose drawings are on the shelf."""
    code = entry.code.code
    if session.scalar(
        select(Piece.id).where(Piece.cut_id == current_cut(entry).id, Piece.reading_order.is_not(None))
    ):
        raise WrongUsage(
            f"{code} was itself cut from a sheet", "join its drawings there: assetlib cut SHEET --join 3,4"
        )
    drawings = [
        found for found in choosing.entries_for(session, sheet=code, roles=("element",)) if found != entry.id
    ]
    if drawings:
        count = "a drawing" if len(drawings) == 1 else f"{len(drawings):,} drawings"
        raise WrongUsage(
            f"{code} is cut into {count}", f"take them off the shelf first: assetlib attic --sheet {code}"
        )
