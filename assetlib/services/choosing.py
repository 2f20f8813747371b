"""Which drawings are meant: by code, or all of a sheet, a job or a collection; the one place that tells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Arrival, Entry, Piece, Version
from assetlib.catalogue.trade import CollectionItem
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.roles import ROLES


@dataclass(frozen=True, slots=True)
class Choice:
    """What a line names, in the order in which it is taken."""

    codes: tuple[str, ...] = ()
    """Codes, their beginnings, or UUIDs."""
    piped: tuple[str, ...] = ()
    """The same from a list that another command wrote; what is not of the wanted roles there is passed over."""
    sheets: tuple[str, ...] = ()
    """Codes of sheets and layered files: what was cut or taken from them."""
    jobs: tuple[str, ...] = ()
    """Names or codes of jobs: what was brought in for them, and what was cut from that."""
    collections: tuple[str, ...] = ()
    """Names or codes of collections: what is in them."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The drawings that are meant, and what a pipe brought that is none of the wanted roles: code and role."""

    codes: tuple[str, ...]
    passed_over: tuple[tuple[str, str], ...] = ()


def chosen(lib: Library, choice: Choice, roles: tuple[str, ...] = ROLES) -> Chosen:
    """The full codes of the drawings that are meant, each once, by the rules of `entries_for`.

    Raises WrongUsage where nothing is named, or a pipe brings nothing of these roles; NotFound, also for a sheet, job
    or collection without such a drawing; AmbiguousCode.
    """
    if choice == Choice():
        raise WrongUsage("no drawing was named", "give a code, or pipe a search in: assetlib find dog | …")
    with lib.reading() as session:
        piped = [queries.entry(session, code) for code in choice.piped]
        passed = {entry.id: entry.role for entry in piped if entry.role not in roles}
        found = entries_for(session, choice.codes, roles=roles)
        found += [entry.id for entry in piped if entry.id not in passed]
        groups = [(f"of the sheet {given}", {"sheet": given}) for given in choice.sheets]
        groups += [(f"of the job {given}", {"job": given}) for given in choice.jobs]
        groups += [(f"of the collection {given}", {"collection": given}) for given in choice.collections]
        for said, group in groups:
            entries = entries_for(session, roles=roles, **group)
            if not entries:
                raise NotFound(f"there is no drawing {said}")
            found += entries
        codes = queries.codes(session, [*found, *passed])
    if passed and not found:
        raise WrongUsage(f"what is piped in is no {' or '.join(roles)}", "a sheet's drawings: --sheet CODE")
    return Chosen(
        tuple(codes[entry_id] for entry_id in dict.fromkeys(found)),
        tuple((codes[entry_id], role) for entry_id, role in passed.items()),
    )


def entries_for(
    session: Session,
    codes: Sequence[str] = (),
    *,
    sheet: str | None = None,
    job: str | None = None,
    collection: str | None = None,
    roles: tuple[str, ...] = ROLES,
) -> list[int]:
    """Ids of the entries that are named by code, then of all of a sheet, a job, a collection; each once.

    A code has to name one of `roles`; of a sheet, job or collection those of other roles are left out, as is what is
    in the attic. Raises NotFound, AmbiguousCode.
    """
    found = [queries.entry(session, code, roles).id for code in codes]
    if sheet is not None:
        found += _on_shelf(session, cut_from(session, queries.entry(session, sheet).id), roles)
    if job is not None:
        from assetlib.services.jobs.jobs import job_asked

        found += _on_shelf(session, brought_in_for(session, job_asked(session, job).id), roles)
    if collection is not None:
        from assetlib.services.trade.collections import collection_named

        found += _on_shelf(session, _items_of(session, collection_named(session, collection).id), roles)
    return list(dict.fromkeys(found))


def cut_from(session: Session, sheet_id: int) -> list[int]:
    """Ids of entries whose drawing is taken from a sheet's originals, in reading order."""
    originals = (
        select(Piece.original_id)
        .join(Version, Version.current_cut_id == Piece.cut_id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(Entry.id == sheet_id, ~Piece.is_part)
    )
    rows = session.scalars(
        _pieces_now()
        .where(Piece.original_id.in_(originals), Piece.is_part)
        .order_by(Piece.page, Piece.reading_order, Entry.id)
    )
    return list(dict.fromkeys(rows))


def refuse_cut_sheet(lib: Library, code: str, command: str) -> None:
    """Raise WrongUsage where a code names a sheet that was cut: its drawings are meant, not the whole page."""
    with lib.reading() as session:
        entry = queries.entry(session, code)
        drawings = _on_shelf(session, cut_from(session, entry.id), ("element",))
        if entry.role == "sheet" and drawings:
            count = "drawing" if len(drawings) == 1 else f"{len(drawings):,} drawings"
            raise WrongUsage(
                f"{entry.code.code} is a sheet", f"its {count}: {command} --sheet {entry.code.code}"
            )


def cut_sheets_among(lib: Library, codes: Sequence[str]) -> dict[str, list[str]]:
    """Of these codes the sheets that were cut, each with the codes of its drawings on the shelf."""
    found = {}
    with lib.reading() as session:
        for code in codes:
            entry = queries.entry(session, code)
            if entry.role == "sheet":
                drawings = _on_shelf(session, cut_from(session, entry.id), ("element",))
                if drawings:
                    found[code] = list(queries.codes(session, drawings).values())
    return found


def brought_in_for(session: Session, job_id: int) -> list[int]:
    """Ids of entries made of what was brought in for a job, those cut from its sheets with them."""
    arrived = select(Arrival.original_id).where(Arrival.job_id == job_id)
    rows = session.scalars(_pieces_now().where(Piece.original_id.in_(arrived)).order_by(Entry.id))
    return list(dict.fromkeys(rows))


def _pieces_now() -> Select[int]:
    """Entries by the pieces that they are made of now."""
    return (
        select(Entry.id)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
    )


def _items_of(session: Session, collection_id: int) -> list[int]:
    query = select(CollectionItem.entry_id).where(CollectionItem.collection_id == collection_id)
    return list(session.scalars(query.order_by(CollectionItem.ordinal)))


def _on_shelf(session: Session, ids: Sequence[int], roles: tuple[str, ...]) -> list[int]:
    """Those of the ids that are on the shelf and of these roles, in their order."""
    there: set[int] = set()
    for chunk in queries.chunks(ids):
        there.update(
            session.scalars(
                select(Entry.id).where(Entry.id.in_(chunk), Entry.role.in_(roles), ~Entry.in_attic)
            )
        )
    return [entry_id for entry_id in ids if entry_id in there]
