"""Engine, pragmas and transactions of the catalogue.

Readers BEGIN, writers BEGIN IMMEDIATE, so that two writers wait for each other
instead of failing half-way; durability is full, the journal is WAL.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError
from sqlalchemy.orm import Session
from sqlalchemy.pool import NullPool

from assetlib.errors import AssetlibError, DiskFails, DiskFull, LibraryBroken, LibraryBusy

BUSY_SECONDS = 120
"""How long a writer waits for another one; an intake commits many times a second, so this is patience, not need."""

SQL_CHUNK = 900
"""Most values in one IN list: SQLite builds from before 3.32 take 999 variables (sqlite.org/limits.html)."""


def make_engine(path: Path, *, new: bool = False) -> Engine:
    """An engine on the catalogue at `path`; pass its connections `begin="IMMEDIATE"` to write.

    One that is gone, because the library was moved meanwhile, is not made anew unless it is to be `new`.
    """
    # Every table, so that the one that any other points at is known, whatever the command has imported.
    from assetlib.catalogue import tables  # noqa: F401

    address = f"{path.resolve().as_uri()}?mode={'rwc' if new else 'rw'}"
    engine = create_engine(
        "sqlite+pysqlite://",
        poolclass=NullPool,
        creator=lambda: sqlite3.connect(address, uri=True, isolation_level=None, timeout=BUSY_SECONDS),
    )
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_pragmas(connection: sqlite3.Connection, _record: Any) -> None:
    # What a stranger's catalogue defines gets no function with side effects, and no page that lies about its cells.
    safety = ("trusted_schema = OFF", "cell_size_check = ON")
    for pragma in (*safety, "foreign_keys = ON", "journal_mode = WAL", "synchronous = FULL"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(f"BEGIN {connection.get_execution_options().get('begin', 'DEFERRED')}")


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that holds the write lock from its first moment, commits on a clean exit, else rolls back.

    Raises LibraryBusy, DiskFull or LibraryBroken in place of the database's own errors.
    """
    options = engine.execution_options(begin="IMMEDIATE")
    with translated(), Session(options, expire_on_commit=False) as session:
        # BEGIN IMMEDIATE now: what is read below cannot change before the commit
        plain = cast(sqlite3.Connection, session.connection().connection.dbapi_connection)
        before = plain.total_changes
        event.listen(session, "before_commit", lambda _: _count(session, plain, before))
        yield session
        if session.in_transaction():  # a trial has rolled back what it did
            session.commit()


def _count(session: Session, plain: sqlite3.Connection, before: int) -> None:
    """Raise the library's counter in every transaction that writes: it tells a newer state from an older one."""
    session.flush()
    if plain.total_changes != before:
        session.connection().exec_driver_sql("UPDATE library SET writes = writes + 1")


@contextmanager
def reading(engine: Engine) -> Iterator[Session]:
    """A session for reads alone: one snapshot, nothing is ever written."""
    with translated(), Session(engine, expire_on_commit=False, autoflush=False) as session:
        yield session


@contextmanager
def translated() -> Iterator[None]:
    """Turn the database's errors into sentences."""
    try:
        yield
    except OperationalError as error:
        raise sentence(error) from error
    except IntegrityError as error:
        raise LibraryBusy(
            f"another assetlib changed the same thing meanwhile ({error.orig})", "run the same again"
        ) from error
    except DatabaseError as error:
        if "malformed" in str(error.orig) or "not a database" in str(error.orig):
            raise LibraryBroken(
                f"the catalogue is damaged ({error.orig})", "restore the last backup, or run `assetlib check`"
            ) from error
        raise


def sentence(error: OperationalError) -> AssetlibError:
    """What a failure of the database is to the artist: busy, a full or failing disk, or damage."""
    reason = str(error.orig)
    if "locked" in reason or "busy" in reason:
        return LibraryBusy("another assetlib is writing to this library", "try again in a moment")
    # SQLite cannot grow the file that readers share: the same full disk by another name (sqlite.org/rescode.html).
    name = getattr(error.orig, "sqlite_errorname", "")
    if "full" in reason or name == "SQLITE_IOERR_SHMSIZE":
        return DiskFull(
            "there is no room left on the disk of the library", "make room, then run the same again"
        )
    if name.startswith("SQLITE_IOERR"):
        return DiskFails(
            f"the disk of the library does not do what it should ({reason})",
            "see whether the disk is there and whole, then run the same again",
        )
    if "readonly" in reason or "unable to open" in reason:
        return LibraryBroken(
            f"the catalogue cannot be opened for writing ({reason})", "check the folder's permissions"
        )
    return LibraryBroken(f"the catalogue cannot be used ({reason})", "run `assetlib check`")
