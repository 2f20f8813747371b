"""Writing the step log as rows change.

A session that carries a step logs every insert, update and delete of an undoable table, and of a record, in its own
transaction. `takeback` walks the log back.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import event, insert, inspect, select
from sqlalchemy.orm import Mapper, Session
from sqlalchemy.orm.unitofwork import UOWTransaction

from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.packing import digest, pack

_STEP = "assetlib_step"
_PENDING = "assetlib_pending_changes"

Row = dict[str, Any]


def log_changes(session: Session, step_id: int) -> None:
    """Make `session` write its changes to undoable tables and records under this step."""
    session.info[_STEP] = step_id
    session.info[_PENDING] = []
    event.listen(session, "before_flush", _note_before)
    event.listen(session, "after_flush", _note_after)
    event.listen(session, "before_commit", _write_log)


def open_step(session: Session, what: str, now: dt.datetime, keep: int) -> int:
    """The id of a new step; of all steps the latest `keep` stay in the log, older ones can no longer be undone."""
    step = Step(what=what, made_at=now)
    session.add(step)
    session.flush()
    oldest = session.scalar(select(Step.id).order_by(Step.id.desc()).offset(max(keep, 1) - 1).limit(1))
    if oldest is not None:
        for table in ("changes WHERE step_id", "steps WHERE id"):
            session.connection().exec_driver_sql(f"DELETE FROM {table} < ?", (oldest,))
    return step.id


def _logged(objects: Any) -> list[Any]:
    return [
        item
        for item in objects
        if getattr(type(item), "undoable", False) or getattr(type(item), "record", False)
    ]


def _note_before(session: Session, _context: UOWTransaction, _instances: Any) -> None:
    """Read the rows that are about to change; the flush itself is autoflush-free here."""
    noted = []
    for item in _logged(session.dirty):
        if session.is_modified(item):
            noted.append((item, _row_now(session, inspect(type(item)), item.id), "update"))
    for item in _logged(session.deleted):
        noted.append((item, _row_now(session, inspect(type(item)), item.id), "delete"))
    noted.extend((item, None, "insert") for item in _logged(session.new))
    session.info.setdefault("assetlib_noted", []).append(noted)


def _note_after(session: Session, _context: UOWTransaction) -> None:
    for item, before, what in session.info["assetlib_noted"].pop():
        mapper = inspect(type(item))
        after = None if what == "delete" else _row_of(item, mapper)
        session.info[_PENDING].append((mapper.local_table.name, item.id, before, after))


def _row_now(session: Session, mapper: Mapper[Any], row_id: int) -> Row | None:
    """The row as it stands in the database; None where there is none."""
    table = mapper.local_table
    row = session.connection().execute(select(table).where(table.c.id == row_id)).mappings().first()
    return None if row is None else dict(row)


def _row_of(item: Any, mapper: Mapper[Any]) -> Row:
    """The row as the flushed object holds it: no table fills columns by itself, so that is the row."""
    return {attr.columns[0].name: getattr(item, attr.key) for attr in mapper.column_attrs}


def _write_log(session: Session) -> None:
    """Write one change a row: as it was before the transaction, and what tells it as it is now."""
    session.flush()
    ends: dict[tuple[str, int], tuple[Row | None, Row | None]] = {}
    for name, row_id, before, after in session.info[_PENDING]:
        first = ends[name, row_id][0] if (name, row_id) in ends else before
        ends[name, row_id] = (first, after)
    session.info[_PENDING] = []
    rows = [
        {
            "step_id": session.info[_STEP],
            "table_name": name,
            "row_id": row_id,
            "before": None if before is None else pack(before),
            "after": digest(after),
        }
        for (name, row_id), (before, after) in ends.items()
        if digest(before) != digest(after)
    ]
    if rows:
        session.connection().execute(insert(Change), rows)
