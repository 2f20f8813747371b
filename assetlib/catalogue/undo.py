"""Writing the step log as rows change, and walking it back.

A session that carries a step logs every insert, update and delete of an
undoable table in its own transaction. Undoing compares each row with what the
step left behind and refuses where something else has changed it since.
"""

from __future__ import annotations

import base64
import datetime as dt
from typing import Any

from sqlalchemy import delete, event, insert, inspect, select, update
from sqlalchemy.orm import Mapper, Session
from sqlalchemy.orm.unitofwork import UOWTransaction

from assetlib.catalogue.base import Base
from assetlib.catalogue.log import Change, Step
from assetlib.errors import CannotUndo

_STEP = "assetlib_step"
_PENDING = "assetlib_pending_changes"


def log_changes(session: Session, step_id: int) -> None:
    """Make `session` write its changes to undoable tables under this step."""
    session.info[_STEP] = step_id
    session.info[_PENDING] = []
    event.listen(session, "before_flush", _note_before)
    event.listen(session, "after_flush", _note_after)
    event.listen(session, "before_commit", _write_log)


def open_step(session: Session, what: str, now: dt.datetime) -> int:
    """The id of a new step."""
    step = Step(what=what, made_at=now)
    session.add(step)
    session.flush()
    return step.id


def _row_now(session: Session, mapper: Mapper[Any], row_id: int) -> dict[str, Any] | None:
    """The row as it stands in the database, as JSON values; None where there is none."""
    table = mapper.local_table
    row = session.connection().execute(select(table).where(table.c.id == row_id)).mappings().first()
    return None if row is None else {key: _plain(value) for key, value in row.items()}


def _row_of(item: Any, mapper: Mapper[Any]) -> dict[str, Any]:
    """The row as the flushed object holds it: no table fills columns by itself, so that is the row."""
    return {attr.columns[0].name: _plain(getattr(item, attr.key)) for attr in mapper.column_attrs}


def _plain(value: Any) -> Any:
    """The value in a form that JSON keeps without loss and `_typed` reads back."""
    match value:
        case bytes():
            return {"bytes": base64.b64encode(value).decode()}
        case dt.datetime():
            return {"instant": value.astimezone(dt.UTC).isoformat()}
        case dt.date():
            return {"day": value.isoformat()}
        case dict() | list():
            return {"json": value}
    return value


def _typed(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    ((kind, inner),) = value.items()
    match kind:
        case "bytes":
            return base64.b64decode(inner)
        case "instant":
            return dt.datetime.fromisoformat(inner)
        case "day":
            return dt.date.fromisoformat(inner)
    return inner


def _undoable(objects: Any) -> list[Any]:
    return [item for item in objects if getattr(type(item), "undoable", False)]


def _note_before(session: Session, _context: UOWTransaction, _instances: Any) -> None:
    """Read the rows that are about to change; the flush itself is autoflush-free here."""
    noted = []
    for item in _undoable(session.dirty):
        if session.is_modified(item):
            noted.append((item, _row_now(session, inspect(type(item)), item.id), "update"))
    for item in _undoable(session.deleted):
        noted.append((item, _row_now(session, inspect(type(item)), item.id), "delete"))
    noted.extend((item, None, "insert") for item in _undoable(session.new))
    session.info.setdefault("assetlib_noted", []).append(noted)


def _note_after(session: Session, _context: UOWTransaction) -> None:
    for item, before, what in session.info["assetlib_noted"].pop():
        mapper = inspect(type(item))
        after = None if what == "delete" else _row_of(item, mapper)
        session.info[_PENDING].append((mapper.local_table.name, item.id, before, after))


def _write_log(session: Session) -> None:
    session.flush()
    rows = [
        {
            "step_id": session.info[_STEP],
            "table_name": name,
            "row_id": row_id,
            "before": before,
            "after": after,
        }
        for name, row_id, before, after in session.info[_PENDING]
        if before != after
    ]
    session.info[_PENDING] = []
    if rows:
        session.connection().execute(insert(Change), rows)


def undo_step(session: Session, step: Step, now: dt.datetime) -> set[int]:
    """Put every row of a step back as it was, last change first; returns ids of entries that were touched.

    Raises CannotUndo where a row is no longer as the step left it. Nothing is changed then.
    """
    touched: set[int] = set()
    query = select(Change).where(Change.step_id == step.id).order_by(Change.id.desc())
    # Rows of one step can point at each other in circles (an entry and its current version): settle that at commit.
    session.connection().exec_driver_sql("PRAGMA defer_foreign_keys = ON")
    for change in session.scalars(query):
        table = Base.metadata.tables[change.table_name]
        here = table.c.id == change.row_id
        row = session.connection().execute(select(table).where(here)).mappings().first()
        found = None if row is None else {key: _plain(value) for key, value in row.items()}
        if found != change.after:
            raise CannotUndo(
                f"'{step.what}' cannot be undone: {change.table_name} row {change.row_id} has changed since",
                "undo the later steps first: `assetlib undo --list` shows them",
            )
        if change.before is None:
            session.connection().execute(delete(table).where(here))
        else:
            values = {key: _typed(value) for key, value in change.before.items()}
            statement = (
                insert(table).values(values) if found is None else update(table).where(here).values(values)
            )
            session.connection().execute(statement)
        owner = (change.before or change.after or {}).get("id" if table.name == "entries" else "entry_id")
        if isinstance(owner, int):
            touched.add(owner)
    step.undone_at = now
    return touched
