"""Short codes: random, without look-alikes, never given twice, understood from their beginning."""

from __future__ import annotations

import datetime as dt
import os
import re
import secrets
from typing import Any, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Code
from assetlib.errors import AmbiguousCode, NotFound
from assetlib.rules.roles import ROLES

Named = TypeVar("Named")

ALPHABET = "346789CDFGHJKMNPQRTVWXY"
"""Digits and capitals without 0/O, 1/I/L, 2/Z, 5/S, 8-B pairs kept apart by leaving B out; no vowels, so no words."""

LENGTH = 6
SHORTEST_PREFIX = 3
_LONGEST_TOLD = 60  # characters of a wrong code that are said back


def new_code(session: Session, kind: str, now: dt.datetime) -> Code:
    """A registered code that was never used before (23^6 is 148 million; a taken one is drawn again)."""
    while True:
        text = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        if session.scalar(select(Code.id).where(Code.code == text)) is None:
            code = Code(code=text, kind=kind, created_at=now)
            session.add(code)
            return code


def find_code(session: Session, given: str, kinds: tuple[str, ...] = ()) -> Code:
    """The code that `given` is or begins.

    Raises NotFound for nothing, AmbiguousCode for several, both naming what was given.
    """
    text = given.strip().upper()
    given = given if len(given) <= _LONGEST_TOLD else f"{given[:_LONGEST_TOLD]}…"
    wanted = _wanted(kinds)
    if len(text) < SHORTEST_PREFIX:
        raise NotFound(f"'{given}' is too short for a code", f"give {SHORTEST_PREFIX} characters or more")
    if not set(text) <= set(ALPHABET):
        if _looks_like_file(given):
            raise _no_code_but_file(given, wanted)
        raise NotFound(f"'{given}' is not the code of {wanted}", f"codes are written with {ALPHABET}")
    query = select(Code).where(Code.code >= text, Code.code < text + "~").limit(6)
    found = list(session.scalars(query.where(Code.kind.in_(kinds)) if kinds else query))
    if not found:
        raise NotFound(f"'{given}' is not the code of {wanted} in this library")
    if len(found) > 1:
        raise AmbiguousCode(f"'{given}' begins several codes: {', '.join(code.code for code in found[:5])}")
    return found[0]


def _wanted(kinds: tuple[str, ...]) -> str:
    """What a code was to be the code of, in words."""
    if not kinds:
        return "anything"
    if kinds == ROLES:
        return "a drawing"
    return " or ".join(f"an {kind}" if kind[0] in "aeiou" else f"a {kind}" for kind in kinds)


def _looks_like_file(given: str) -> bool:
    """Whether a path was meant: it names a folder, or ends as a file does."""
    return bool(re.search(r"[/\\]|\.[A-Za-z]{2,4}$", given.strip()))


def _no_code_but_file(given: str, wanted: str) -> NotFound:
    if os.path.exists(os.path.expanduser(given)):
        return NotFound(f"'{given}' is not the code of {wanted}", f"`assetlib intake '{given}'` brings it in")
    return NotFound(f"there is no such file: {given}")


def named_or_coded(session: Session, table: type[Named], given: str, kind: str) -> Named | None:
    """The row of a table with names, by its name or else its code; None where `given` is neither.

    Raises NotFound, AmbiguousCode for what looks like a code.
    """
    found = session.scalar(select(table).where(_name_of(table) == " ".join(given.split())))
    if found is None and len(given) >= SHORTEST_PREFIX and set(given.upper()) <= set(ALPHABET):
        found = session.get(table, find_code(session, given, (kind,)).id)
    return found


def _name_of(table: Any) -> Any:
    return table.name
