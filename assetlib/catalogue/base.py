"""What every table of the catalogue shares: naming, column types, the clock's form."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any, ClassVar

from sqlalchemy import Dialect, MetaData, Text, TypeDecorator
from sqlalchemy.orm import DeclarativeBase

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}


class Instant(TypeDecorator[dt.datetime]):
    """A moment in UTC, kept as text that sorts in order of time."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> str | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs a time zone")
        return value.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")

    def process_result_value(self, value: str | None, dialect: Dialect) -> dt.datetime | None:
        # fromisoformat takes a thirtieth of the time of strptime; the Z at the end says UTC
        return None if value is None else dt.datetime.fromisoformat(value[:-1]).replace(tzinfo=dt.UTC)


class Json(TypeDecorator[Any]):
    """A value kept as canonical JSON text (sorted keys, no spaces), so that equal values are equal text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        if value is None:
            return None
        return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        return None if value is None else json.loads(value)


class Base(DeclarativeBase):
    """The parent of all tables.

    Tables that are `undoable` are written to the step log row by row. A `record` (what was issued, sold or used) is
    noted there too, but its rows stay when their step is undone; a record that can be voided is voided then. Rows of an
    undoable table that are `loose`, by a column and its value, are computed: they hold nothing back when a step is
    undone, and go with what they point at.
    """

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {dt.datetime: Instant, str: Text, dict[str, Any]: Json, list[Any]: Json}  # noqa: RUF012
    undoable = False
    record = False
    loose: ClassVar[tuple[str, str] | None] = None
