"""Reads that several rooms share. They return plain values or entries by code, never half-loaded rows."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from typing import cast

from sqlalchemy import exists, func, select
from sqlalchemy.orm import Session, aliased

from assetlib.catalogue.cards import Card as Card
from assetlib.catalogue.cards import read_cards
from assetlib.catalogue.codes import find_code
from assetlib.catalogue.entries import Code, Entry, Original, Piece, Version
from assetlib.catalogue.session import SQL_CHUNK
from assetlib.errors import NotFound
from assetlib.rules.roles import ROLES


def entry(session: Session, given: str, roles: tuple[str, ...] = ROLES) -> Entry:
    """The entry whose code or UUID `given` is or begins; raises NotFound or AmbiguousCode."""
    if len(given) == 36 and given.count("-") == 4:
        found = session.scalar(select(Entry).where(Entry.uuid == given.lower()))
    else:
        found = session.get(Entry, find_code(session, given, ROLES).id)
    if found is None:
        raise NotFound(f"'{given}' is no longer in the library", "its bringing-in was undone")
    if found.removed_at is not None:
        raise NotFound(f"{found.code.code} was removed for good on {found.removed_at:%d %b %Y}")
    if found.role not in roles:
        raise NotFound(f"{found.code.code} is a {found.role}, not {_a(roles)}")
    return found


def _a(roles: tuple[str, ...]) -> str:
    return " or ".join(f"an {role}" if role[0] in "aeiou" else f"a {role}" for role in roles)


def chunks(ids: Sequence[int]) -> Iterable[Sequence[int]]:
    """The ids in lists short enough for one IN."""
    return (ids[start : start + SQL_CHUNK] for start in range(0, len(ids), SQL_CHUNK))


def cards(session: Session, ids: Iterable[int]) -> dict[int, Card]:
    """The cards of these entries by id."""
    session.flush()
    return read_cards(plain_connection(session), ids)


def plain_connection(session: Session) -> sqlite3.Connection:
    """The session's own connection, for reads in plain SQL inside its transaction."""
    return cast(sqlite3.Connection, session.connection().connection.dbapi_connection)


def counts(session: Session) -> dict[str, int]:
    """How many entries of each role are on the shelf, and how many wait in the in-tray or the attic.

    In the in-tray are drawings that are not described; sheets wait to be cut (`uncut_sheets`).
    """
    rows = session.execute(select(Entry.role, func.count()).where(~Entry.in_attic).group_by(Entry.role))
    found: dict[str, int] = dict.fromkeys(ROLES, 0) | {row[0]: row[1] for row in rows}
    found["in-tray"] = session.scalar(
        select(func.count())
        .select_from(Entry)
        .where(Entry.role == "element", Entry.described_at.is_(None), ~Entry.in_attic)
    ) or 0  # fmt: skip
    found["attic"] = (
        session.scalar(
            select(func.count()).select_from(Entry).where(Entry.in_attic, Entry.removed_at.is_(None))
        )
        or 0
    )
    found["originals"] = session.scalar(select(func.count()).select_from(Original)) or 0
    found["versions"] = session.scalar(select(func.count()).select_from(Version)) or 0
    return found


def uncut_sheets(session: Session) -> list[str]:
    """The codes of sheets of which nothing was cut, in the order they came in."""
    part = aliased(Piece)
    whole = (
        select(Code.code)
        .join(Entry, Entry.id == Code.id)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
        .where(Entry.role == "sheet", ~Entry.in_attic, ~Piece.is_part)
        .where(~exists().where(part.original_id == Piece.original_id, part.is_part))
        .order_by(Entry.id)
    )
    return list(dict.fromkeys(session.scalars(whole)))


def codes(session: Session, ids: Sequence[int]) -> dict[int, str]:
    """Codes by the ids of what carries them."""
    rows: dict[int, str] = {}
    for chunk in chunks(ids):
        rows.update(session.execute(select(Code.id, Code.code).where(Code.id.in_(chunk))).all())
    return rows


def titles(session: Session, ids: Sequence[int]) -> list[tuple[int, str]]:
    """Ids with titles."""
    rows: list[tuple[int, str]] = []
    for chunk in chunks(ids):
        rows.extend(
            (row[0], row[1])
            for row in session.execute(select(Entry.id, Entry.title).where(Entry.id.in_(chunk)))
        )
    return rows
