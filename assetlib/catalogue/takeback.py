"""Walking the step log back: what can be taken back is, what was issued, sold or used stays with all it stands on.

A row that is no longer as its step left it stays. So does a row that something else points at, and the parts of a
row that stays. Undoing therefore never stops half-way and is never in its own way.
"""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, delete, func, insert, select, true, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from assetlib.catalogue.base import Base
from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.packing import digest, unpack

Key = tuple[str, int]
"""A table's name and a row's number."""

Row = Mapping[str, Any]

PARTS = ("entry_id", "version_id", "cut_id")
"""Columns by which a row is a part of the one that it points at."""

MORE_PARTS = (
    ("arrivals", "original_id"),
    ("labels", "concept_id"),
    ("job_agreements", "job_id"),
    ("job_shots", "job_id"),
)
"""The same, where a column of that name means it in one table alone."""


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What became of a step: entries whose words may have changed, and the rows that stay."""

    touched: frozenset[int]
    stays: tuple[Key, ...]


def take_back(session: Session, step: Step, now: dt.datetime) -> TakenBack:
    """Put the rows of a step back as they were, but for those that stay; uses that it made are voided."""
    session.flush()
    undoing = _Undoing(session.connection(), _ends(session, step.id))
    undoing.settle()
    # Rows of one step can point at each other in circles (an entry and its current version): settle that at commit.
    session.connection().exec_driver_sql("PRAGMA defer_foreign_keys = ON")
    undoing.apply(now)
    step.undone_at = now
    session.flush()
    session.expire_all()
    return TakenBack(frozenset(undoing.touched()), tuple(sorted(undoing.stays)))


def is_record(table: str) -> bool:
    """Whether rows of this table are records."""
    return any(
        mapper.class_.__tablename__ == table and mapper.class_.record for mapper in Base.registry.mappers
    )


def is_voidable(table: str) -> bool:
    """Whether a record of this table is voided when its step is undone."""
    return "voided_at" in Base.metadata.tables[table].c


def _ends(session: Session, step_id: int) -> dict[Key, tuple[bytes | None, bytes | None]]:
    """Every row of a step as it was before its first change, and by what to know it after its last."""
    ends: dict[Key, tuple[bytes | None, bytes | None]] = {}
    for change in session.scalars(select(Change).where(Change.step_id == step_id).order_by(Change.id)):
        key = (change.table_name, change.row_id)
        ends[key] = (ends[key][0] if key in ends else change.before, change.after)
    return ends


class _Undoing:
    """One step on its way back: rows that go, rows that are put back, rows that stay."""

    def __init__(self, connection: Connection, ends: dict[Key, tuple[bytes | None, bytes | None]]) -> None:
        self._connection = connection
        self._live = _live_rows(connection, ends)
        self.stays: set[Key] = set()
        self._go: set[Key] = set()
        self._back: dict[Key, Row] = {}
        self._voided: set[Key] = set()
        for key, (before, after) in ends.items():
            row = None if before is None else unpack(before)
            if digest(row) != after:
                self._sort_in(key, row, after)

    def _sort_in(self, key: Key, before: Row | None, after: bytes | None) -> None:
        live = self._live.get(key)
        if is_record(key[0]) and before is None:
            (self._voided if live is not None and is_voidable(key[0]) else self.stays).add(key)
        elif live is None and before is None:
            return  # it went by itself: a suggestion that was offered of another cut
        elif digest(live) != after:
            self.stays.add(key)
        elif before is None:
            self._go.add(key)
        else:
            self._back[key] = before

    def settle(self) -> None:
        """Find what has to stay, until nothing more has to."""
        pointing = self._pointing_at()
        while new := self._held(pointing) | self._parts_of_what_stays() | self._without_parent():
            self.stays |= new
            self._go -= new
            for key in new:
                self._back.pop(key, None)

    def _pointing_at(self) -> dict[Key, set[tuple[Key, str]]]:
        """For every row that would go: the rows that point at it now, each with the column by which it does."""
        found: dict[Key, set[tuple[Key, str]]] = defaultdict(set)
        by_table = _by_table(self._go)
        for table, column, target in _pointers():
            if ids := by_table.get(target):
                query = select(table.c.id, table.c[column]).where(
                    table.c[column].in_(_json(ids)), _holds(table)
                )
                for row_id, target_id in self._connection.execute(query):
                    found[target, target_id].add(((table.name, row_id), column))
        return found

    def _held(self, pointing: dict[Key, set[tuple[Key, str]]]) -> set[Key]:
        """Rows that something will still point at when all is done."""
        return {
            key
            for key in self._go
            if any(
                other not in self._go and (other not in self._back or self._back[other][column] == key[1])
                for other, column in pointing.get(key, ())
            )
        }

    def _parts_of_what_stays(self) -> set[Key]:
        return {
            key for key in self._go if any(owner in self.stays for owner in _owners(key[0], self._live[key]))
        }

    def _without_parent(self) -> set[Key]:
        """Rows that cannot be put back, because what they point at is gone for good."""
        wanted: dict[Key, set[Key]] = defaultdict(set)
        for key, row in self._back.items():
            for column, target in _targets(key[0]):
                if row[column] is not None:
                    wanted[target, row[column]].add(key)
        there = _there(self._connection, wanted)
        lost = {parent for parent in wanted if parent in self._go or parent not in there}
        return {key for parent in lost if parent not in self._back for key in wanted[parent]}

    def apply(self, now: dt.datetime) -> None:
        """Write what was settled. A row that cannot be put back because its place is taken stays as it is.

        What belongs to no step (which job is in use, what is only offered) holds nothing back: it goes with what it
        points at.
        """
        going = _by_table(self._go)
        loose = [(place, column, target, ~_holds(place)) for place, column, target in _pointers()]
        free = [(place, column, target, true()) for place, column, target in _pointers(held=False)]
        for place, column, target, which in (*loose, *free):
            if ids := going.get(target):
                self._connection.execute(delete(place).where(place.c[column].in_(_json(ids)), which))
        for table, ids in _by_table(self._go).items():
            self._connection.execute(delete(_table(table)).where(_table(table).c.id.in_(_json(ids))))
        for table, row_id in self._voided:
            place = _table(table)
            self._connection.execute(update(place).where(place.c.id == row_id).values(voided_at=now))
        waiting = list(reversed(self._back))
        while waiting:
            left = [key for key in waiting if not self._put_back(key)]
            if len(left) == len(waiting):
                self.stays.update(left)
                break
            waiting = left

    def _put_back(self, key: Key) -> bool:
        table, row = _table(key[0]), self._back[key]
        there = key in self._live
        statement = update(table).where(table.c.id == key[1]) if there else insert(table)
        try:
            with self._connection.begin_nested():
                self._connection.execute(statement.values(dict(row)))
        except IntegrityError:
            return False
        return True

    def touched(self) -> set[int]:
        """Entries that the step was about."""
        found: set[int] = set()
        for name, row_id in (*self._go, *self._back):
            if name == "entries":
                found.add(row_id)
            row = self._back.get((name, row_id)) or self._live.get((name, row_id)) or {}
            if isinstance(row.get("entry_id"), int):
                found.add(row["entry_id"])
            if name == "labels":
                found |= self._called(row)
        return found

    def _called(self, label: Row) -> set[int]:
        """Entries whose text holds a word that is called otherwise now."""
        rows = self._connection.exec_driver_sql(
            "SELECT entry_id FROM tags WHERE concept_id = ?", (label.get("concept_id"),)
        )
        return {row[0] for row in rows}


def _table(name: str) -> Table:
    return Base.metadata.tables[name]


def _by_table(keys: Iterable[Key]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for name, row_id in keys:
        found[name].append(row_id)
    return found


def _json(ids: Collection[int]) -> Any:
    """Any number of ids as one bound value."""
    return select(func.json_each(json.dumps(sorted(ids))).table_valued("value").c.value)


def _live_rows(connection: Connection, keys: Iterable[Key]) -> dict[Key, Row]:
    found: dict[Key, Row] = {}
    for name, ids in _by_table(keys).items():
        table = _table(name)
        for row in connection.execute(select(table).where(table.c.id.in_(_json(ids)))).mappings():
            found[name, row["id"]] = dict(row)
    return found


def _there(connection: Connection, keys: Iterable[Key]) -> set[Key]:
    found: set[Key] = set()
    for name, ids in _by_table(keys).items():
        table = _table(name)
        rows = connection.execute(select(table.c.id).where(table.c.id.in_(_json(ids))))
        found |= {(name, row[0]) for row in rows}
    return found


def _pointers(*, held: bool = True) -> list[tuple[Table, str, str]]:
    """Columns that point at another table, of tables that belong to steps, or, not `held`, of all others."""
    found = []
    for mapper in Base.registry.mappers:
        table = _table(mapper.class_.__tablename__)
        if (mapper.class_.undoable or mapper.class_.record) is held:
            found += [
                (table, key.parent.name, key.column.table.name)
                for key in table.foreign_keys
                if key.ondelete is None
            ]
    return found


def _holds(table: Table) -> ColumnElement[bool]:
    """Which rows of a table hold back what they point at: all but loose ones."""
    loose = next(m.class_.loose for m in Base.registry.mappers if m.class_.__tablename__ == table.name)
    return table.c[loose[0]] != loose[1] if loose else true()


def _targets(name: str) -> list[tuple[str, str]]:
    return [(key.parent.name, key.column.table.name) for key in _table(name).foreign_keys]


def _owners(name: str, row: Row) -> list[Key]:
    """The rows that a row is a part of."""
    return [
        (target, row[column])
        for column, target in _targets(name)
        if (column in PARTS or (name, column) in MORE_PARTS) and row[column] is not None
    ]
