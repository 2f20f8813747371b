"""The schema's version, and bringing an older library up to it.

Alembic is imported only when a migration is due, and only after the catalogue
was copied to a safe place beside it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from assetlib.errors import LibraryBroken, LibraryTooNew

SCHEMA_VERSION = "0002"
"""The newest revision in migrations/versions; a test holds the two together."""


def found_version(path: Path) -> str | None:
    """The schema version of the catalogue at `path`, None for an empty one.

    Raises LibraryBroken where the file is no catalogue.
    """
    try:
        with closing(sqlite3.connect(path, timeout=30)) as connection:
            if not connection.execute(
                "SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'"
            ).fetchone():
                if connection.execute("SELECT 1 FROM sqlite_master").fetchone():
                    raise LibraryBroken(f"{path} is a database, but not a catalogue of assetlib")
                return None
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(
            f"{path} cannot be read as a catalogue ({error})", "restore the last backup"
        ) from error
    return row[0] if row else None


def ensure_current(path: Path) -> str | None:
    """Bring the catalogue at `path` to the newest schema; returns the version it had when it was migrated.

    Raises LibraryTooNew for a catalogue that a newer assetlib wrote.
    """
    found = found_version(path)
    if found == SCHEMA_VERSION:
        return None
    if found is not None:
        if found > SCHEMA_VERSION:
            raise LibraryTooNew(
                f"this library was written by a newer assetlib (schema {found}, this one knows {SCHEMA_VERSION})",
                "update assetlib: pip install --upgrade assetlib",
            )
        copy_catalogue(path, path.with_name(f"{path.stem}-before-{SCHEMA_VERSION}{path.suffix}"))
    migrate(path)
    return found


def copy_catalogue(path: Path, target: Path) -> None:
    """Copy a catalogue that may be in use, by SQLite's online backup; the copy is whole or not there."""
    partial = target.with_name(target.name + ".partial")
    partial.unlink(missing_ok=True)
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(partial)) as copy:
        source.backup(copy)
    partial.replace(target)


def migrations_folder() -> Path:
    """Where the migration scripts are: inside an installed wheel, or beside the package in a checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "_migrations"
    return installed if installed.is_dir() else package.parent / "migrations"


def migrate(path: Path, revision: str = "head") -> None:
    """Run the migrations up to `revision` on the catalogue at `path`, all of them or none."""
    from alembic import command
    from alembic.config import Config

    from assetlib.catalogue.session import make_engine

    configuration = Config()
    configuration.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    engine = make_engine(path)
    try:
        with engine.execution_options(begin="IMMEDIATE").begin() as connection:
            configuration.attributes["connection"] = connection
            command.upgrade(configuration, revision)
            # Rows logged under an older schema could not be put back into the new one.
            connection.exec_driver_sql("DELETE FROM changes")
            connection.exec_driver_sql("DELETE FROM steps")
    finally:
        engine.dispose()
