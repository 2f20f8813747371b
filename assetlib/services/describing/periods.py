"""Style periods: a name with days. It is a tag like others, and goes on drawings by the day their file was made."""

from __future__ import annotations

import calendar
import datetime as dt
import difflib
import re
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Arrival, Cut, Entry, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.words import Concept, StylePeriod, Tag
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.words.tags import fold
from assetlib.services.describing import vocabulary
from assetlib.services.describing.tagging import put_tags


@dataclass(frozen=True, slots=True)
class Period:
    """A style period, its days inclusive, and how many drawings carry its tag, or got or lost it just now."""

    name: str
    first_day: dt.date | None
    last_day: dt.date | None
    drawings: int = 0


def periods(lib: Library) -> list[Period]:
    """All style periods, in the order of their days."""
    with lib.reading() as session:
        rows = session.scalars(select(StylePeriod))
        found = [Period(_name(session, row), row.first_day, row.last_day) for row in rows]
    return sorted(found, key=lambda p: (p.first_day or dt.date.min, p.last_day or dt.date.max, p.name))


def day_of(text: str, *, is_last: bool) -> dt.date:
    """A day as it is typed, 2020-05-17; of a year or a month alone its first day, or its last. Raises WrongUsage."""
    found = re.fullmatch(r"\s*(\d{4})(?:-(\d{1,2}))?(?:-(\d{1,2}))?\s*", text)
    try:
        if found is None:
            raise ValueError(text)
        year, month, day = (int(part) if part else None for part in found.groups())
        assert year is not None
        month = month or (12 if is_last else 1)
        return dt.date(year, month, day or (calendar.monthrange(year, month)[1] if is_last else 1))
    except ValueError as error:
        raise WrongUsage(
            f"'{text}' is no day", "say a day like 2020-05-17, a month 2020-05 or a year 2020"
        ) from error


def period_called(lib: Library, name: str) -> Period:
    """The style period of this name, and how many drawings carry it. Raises NotFound."""
    held = periods(lib)
    found = next((p for p in held if fold(p.name) == fold(name)), None)
    if found is None:
        near = difflib.get_close_matches(fold(name), {fold(p.name): p.name for p in held}, n=1, cutoff=0.5)
        like = next((f", but '{p.name}'" for p in held if [fold(p.name)] == near), "")
        raise NotFound(
            f"there is no style period '{name}'{like}",
            f"give its days to make one: assetlib thesaurus period '{name}' --from 2019 --to 2022",
        )
    with lib.reading() as session:
        concept = vocabulary.concept_for(session, found.name)
        carriers = (
            session.scalars(select(Tag.entry_id).where(Tag.concept_id == concept.id)) if concept else ()
        )
        return Period(found.name, found.first_day, found.last_day, len(set(carriers)))


def remove_period(lib: Library, name: str, *, dry_run: bool = False) -> Period:
    """Have a style period no longer, and take its name off the drawings that carry it: one step. Raises NotFound."""
    found = period_called(lib, name)
    if dry_run:
        return found
    with lib.transaction(f"style period {found.name} removed") as session:
        concept = vocabulary.concept_of(session, found.name)
        session.delete(session.scalars(select(StylePeriod).where(StylePeriod.concept_id == concept.id)).one())
        tags = session.scalars(select(Tag).where(Tag.concept_id == concept.id)).all()
        for tag in tags:
            session.delete(tag)
        session.flush()
        refresh_text(session, [tag.entry_id for tag in tags])
    return found


def _name(session: Session, row: StylePeriod) -> str:
    concept = session.get_one(Concept, row.concept_id)
    return next(label.text for label in concept.labels if label.kind == "preferred")


def set_period(
    lib: Library, name: str, first: dt.date | None, last: dt.date | None, *, dry_run: bool = False
) -> Period:
    """Make a period, or give it other days, and put its name on every drawing whose file was made in it.

    One step. The day is that of the file as it arrived, in UTC. Raises WrongUsage for days in the wrong order.
    """
    if first is not None and last is not None and last < first:
        raise WrongUsage(
            f"the period ends ({last}) before it begins ({first})", "give --from and --to in order"
        )
    with lib.transaction(None if dry_run else f"style period {name}") as session:
        concept = vocabulary.concept_of(session, name)
        row = session.scalar(select(StylePeriod).where(StylePeriod.concept_id == concept.id))
        if row is None:
            row = StylePeriod(concept_id=concept.id)
            session.add(row)
        row.first_day, row.last_day = first, last
        session.flush()
        drawn = _drawn_between(session, first, last)
        tagged = [
            entry.id
            for entry in drawn
            if put_tags(lib, session, entry, [name], source="artist", state="given")
        ]
        refresh_text(session, tagged)
        if dry_run:
            session.rollback()
    return Period(name, first, last, len(tagged))


def _drawn_between(session: Session, first: dt.date | None, last: dt.date | None) -> list[Entry]:
    rows = session.execute(
        select(Entry, Arrival.file_time)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Cut, Cut.id == Version.current_cut_id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Arrival, Arrival.original_id == Piece.original_id)
        .where(Entry.role == "element", ~Entry.in_attic, Arrival.file_time.is_not(None))
        .order_by(Entry.id, Arrival.id)
    )
    # A drawing that arrived several times was made when its oldest file was.
    made: dict[int, tuple[Entry, dt.date]] = {}
    for entry, time in rows.all():
        if time is None:
            continue
        day = time.date()
        if entry.id not in made or day < made[entry.id][1]:
            made[entry.id] = (entry, day)
    return [
        entry
        for entry, day in made.values()
        if (first is None or first <= day) and (last is None or day <= last)
    ]
