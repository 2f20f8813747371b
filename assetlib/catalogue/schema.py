"""The schema's version, and bringing an older library up to it.

Alembic is imported only when a migration is due, and only after the catalogue
was copied to a safe place beside it.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from assetlib.catalogue.lookup import existing
from assetlib.errors import (
    AssetlibError,
    DiskFails,
    DiskFull,
    LibraryBroken,
    LibraryBusy,
    LibraryTooNew,
    disk_said_plainly,
)

SCHEMA_VERSION = "0012"
"""The newest revision in migrations/versions; a test holds the two together."""


SHAPE = "0135cf37169fff87276b1fe7ccee9624be65b92415f712108a706838004f3164"
"""SHA-256 of what tables and indexes a catalogue of this schema has, by `told_shape`; a test tells the right one."""

ALIEN = """SELECT type, name FROM sqlite_master WHERE type IN ('trigger', 'view')
    OR sql LIKE 'create virtual%' AND NOT (name LIKE 'entry\\_text%' ESCAPE '\\' AND sql LIKE '%using fts5%')"""
"""What no catalogue of ours has, and what could act by itself when somebody else's is opened."""


def found_version(connection: sqlite3.Connection, path: Path) -> str:
    """The schema version of an opened catalogue; `path` is for the message.

    Raises LibraryBroken where the file is no catalogue, LibraryTooNew for one that a newer assetlib wrote.
    """
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not tables:
        raise LibraryBroken(f"the catalogue {path} is empty: nothing is in it any more", RESTORE)
    if "alembic_version" not in tables:
        raise LibraryBroken(f"{path} is a database, but not a catalogue of assetlib", RESTORE)
    row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    if row is None or not (isinstance(row[0], str) and len(row[0]) == 4 and row[0].isdecimal()):
        raise LibraryBroken(f"the catalogue {path} does not say of which kind it is", RESTORE)
    if row[0] > SCHEMA_VERSION:
        raise LibraryTooNew(
            f"this library was written by a newer assetlib (schema {row[0]}, this one knows {SCHEMA_VERSION})",
            "update assetlib: pip install --upgrade assetlib",
        )
    return str(row[0])


RESTORE = "restore the last backup into a new folder: assetlib restore BACKUP FOLDER"


def refuse_alien(connection: sqlite3.Connection, path: Path) -> None:
    """Raises LibraryBroken for a catalogue that holds what could act by itself: triggers, views, virtual tables."""
    alien = connection.execute(ALIEN).fetchone()
    if alien is not None:
        raise LibraryBroken(
            f"{path} holds a {alien[0]} that is not ours: somebody else made it", "do not use this folder"
        )


def ensure_current(path: Path) -> str | None:
    """Bring the catalogue at `path` to the newest schema; returns the version it had when it was migrated.

    Raises LibraryBroken for one that is damaged, empty or not ours, LibraryTooNew.
    """
    with closing(_opened(path)) as connection:
        try:
            found = found_version(connection, path)
            refuse_alien(connection, path)
            is_ours = found == SCHEMA_VERSION and told_shape(connection) == SHAPE
        except sqlite3.DatabaseError as error:
            raise _unreadable(path, error) from error
    if not is_ours:
        refuse_other_tables(path)
    if found == SCHEMA_VERSION:
        return None
    copy_catalogue(path, path.with_name(f"{path.stem}-before-{SCHEMA_VERSION}{path.suffix}"))
    migrate(path)
    return found


def told_shape(connection: sqlite3.Connection) -> str:
    """SHA-256 over every table and index as it was declared: asked at every opening, for it is one query.

    What SQLite keeps for itself is left out, and how it words the tables of the full-text index, which differs from
    one SQLite to the next. Where it is not what it should be, `refuse_other_tables` tells whether that matters.
    """
    rows = connection.execute(
        """SELECT type, name, CASE WHEN name LIKE 'entry\\_text\\_%' ESCAPE '\\' THEN '' ELSE coalesce(sql, '') END
           FROM sqlite_master WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY type, name"""
    )
    lines = (" ".join(f"{kind} {name} {sql}".split()) for kind, name, sql in rows)
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def _opened(path: Path) -> sqlite3.Connection:
    """The catalogue, opened only where it is a file of its own; never made by opening it."""
    journal = path.with_name(f"{path.name}-journal")
    if path.is_symlink() or not path.is_file():
        raise LibraryBroken(f"the catalogue {path} is not there", RESTORE)
    if (journal.exists() or journal.is_symlink()) and names_another_file(journal):
        raise LibraryBroken(f"{journal} was not made by assetlib", "move it away if you trust this folder")
    try:
        return sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=30)
    except sqlite3.DatabaseError as error:
        raise _unreadable(path, error) from error


_JOURNAL_MAGIC = bytes.fromhex("d9d505f920a163d7")
"""Eight bytes that begin a rollback journal, and end one with the name of a super-journal (sqlite.org/fileformat2)."""


def names_another_file(journal: Path) -> bool:
    """Whether a rollback journal names a super-journal, which SQLite would follow and delete when it rolls back.

    Ours never does, since a catalogue is written alone: one that is there without such a name is what a conversion
    that was stopped left, and rolling it back is right. What is no plain file counts as naming one.
    """
    if journal.is_symlink() or not journal.is_file():
        return True
    with journal.open("rb") as file:
        size = file.seek(0, os.SEEK_END)
        file.seek(max(0, size - len(_JOURNAL_MAGIC)))
        # the header alone begins with the same bytes
        return size > len(_JOURNAL_MAGIC) and file.read() == _JOURNAL_MAGIC


def _unreadable(path: Path, error: sqlite3.DatabaseError) -> LibraryBroken:
    return LibraryBroken(f"{path} cannot be read as a catalogue ({error})", RESTORE)


def copy_catalogue(path: Path, target: Path) -> None:
    """Copy a catalogue that may be in use, by SQLite's online backup; the copy is whole or not there.

    Raises LibraryBroken where it cannot be read, DiskFull, DiskFails.
    """
    partial = target.with_name(target.name + ".partial")
    with disk_said_plainly(target.parent):
        partial.unlink(missing_ok=True)
        try:
            with (
                closing(sqlite3.connect(existing(path), uri=True)) as source,
                closing(sqlite3.connect(partial)) as copy,
            ):
                source.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")  # one file, which read-only media can show
        except sqlite3.DatabaseError as error:
            partial.unlink(missing_ok=True)
            raise copy_failed(path, error, target.parent) from error
        with partial.open("rb+") as file:
            os.fsync(file.fileno())
        partial.replace(target)


def copy_failed(path: Path, error: sqlite3.DatabaseError, folder: Path) -> AssetlibError:
    """Why a catalogue was not copied: a full or failing disk at the other end, or a damaged catalogue at this one."""
    name = getattr(error, "sqlite_errorname", "")
    if name == "SQLITE_FULL":
        return DiskFull(f"there is no room left in {folder}", "make room, then run the same again")
    if name.startswith(("SQLITE_IOERR", "SQLITE_CANTOPEN", "SQLITE_READONLY")):
        return DiskFails(f"{folder} cannot be written ({error})", "see whether the disk is there and whole")
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return LibraryBusy("another assetlib is writing to this library", "try again in a moment")
    return _unreadable(path, error)


def shape(connection: sqlite3.Connection) -> dict[str, object]:
    """Tables with their columns and references, and indexes with theirs: what makes two catalogues the same kind."""
    found: dict[str, object] = {}
    rows = connection.execute("SELECT type, name, tbl_name FROM sqlite_master").fetchall()
    for kind, name, table in rows:
        quoted = '"' + name.replace('"', '""') + '"'
        if kind == "table":
            found[f"table {name}"] = (
                [row[1:] for row in connection.execute(f"PRAGMA table_xinfo({quoted})")],
                sorted(row[2:] for row in connection.execute(f"PRAGMA foreign_key_list({quoted})")),
            )
        elif kind == "index":
            columns = [row[2] for row in connection.execute(f"PRAGMA index_xinfo({quoted})")]
            found[f"index {name}"] = (table, columns)
        else:
            found[f"{kind} {name}"] = table
    # What SQLite itself keeps after ANALYZE.
    return {key: value for key, value in found.items() if not key.startswith("table sqlite_stat")}


def refuse_other_tables(path: Path) -> None:
    """Raises LibraryBroken unless the catalogue has exactly the tables, columns and indexes of its schema version."""
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
        try:
            version, found = found_version(connection, path), shape(connection)
        except sqlite3.DatabaseError as error:
            raise _unreadable(path, error) from error
    with tempfile.TemporaryDirectory(prefix="assetlib-schema-") as folder:
        fresh = Path(folder) / "fresh.sqlite"
        migrate(fresh, version)
        with closing(sqlite3.connect(fresh)) as connection:
            wanted = shape(connection)
    odd = sorted(key for key in {*found, *wanted} if found.get(key) != wanted.get(key))
    if odd:
        raise LibraryBroken(
            f"{path} is not built as a catalogue of ours is ({', '.join(odd[:5])})", "do not use this folder"
        )


def migrations_folder() -> Path:
    """Where the migration scripts are: inside an installed wheel, or beside the package in a checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "_migrations"
    return installed if installed.is_dir() else package.parent / "migrations"


def migrate(path: Path, revision: str = "head") -> None:
    """Run the migrations up to `revision` on the catalogue at `path`, all of them or none.

    Raises LibraryBusy, DiskFull, DiskFails, LibraryBroken.
    """
    from alembic import command
    from alembic.config import Config
    from sqlalchemy.exc import OperationalError

    from assetlib.catalogue.session import make_engine, sentence

    configuration = Config()
    configuration.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    engine = make_engine(path, new=True)
    try:
        with engine.execution_options(begin="IMMEDIATE").begin() as connection:
            configuration.attributes["connection"] = connection
            command.upgrade(configuration, revision)
            # Rows logged under an older schema could not be put back into the new one.
            connection.exec_driver_sql("DELETE FROM changes")
            connection.exec_driver_sql("DELETE FROM steps")
    except OperationalError as error:
        raise sentence(error) from error
    finally:
        engine.dispose()
