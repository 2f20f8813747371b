"""Whether a catalogue file is whole, and what files it names: what a backup counts by, and a restore trusts."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from assetlib.catalogue.identity import read_identity
from assetlib.catalogue.schema import RESTORE, found_version, refuse_alien
from assetlib.errors import LibraryBroken

STORED = (("originals", "originals", "sha256", "bytes"), ("papers", "releases", "sha256", ""))
"""Which files lie by digest: their folder, table, column of the digest, and of the size where there is one."""

OTHER_DIGESTS = {
    "originals.pixel_sha256": "of decoded pixels, by which no file lies",
    "bundles.sha256": "the file lies by its path, which `named_files` gives with it",
    "removals.sha256": "of what was removed for good",
    "frame_files.sha256": "of a job's file outside the library",
    "uses.sha256": "of a job's file outside the library",
}
"""Columns of digests that name no file of a store, and why; every other one belongs in STORED."""

_DIGEST = re.compile("[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Proof:
    """A catalogue that was found whole."""

    schema: str
    library: str
    writes: int
    counts: dict[str, int]
    """Rows of each table."""


@dataclass(frozen=True, slots=True)
class Named:
    """A file that a catalogue names: the folder, its name there, its digest, its size where it is told."""

    store: str
    name: str
    digest: str
    size: int | None


@contextmanager
def reading_file(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection on a catalogue that nobody writes to, on read-only media too; nothing is made beside it.

    Raises LibraryBroken for whatever SQLite finds wrong.
    """
    address = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(address, uri=True)) as connection:
            connection.execute("PRAGMA trusted_schema = OFF")
            connection.execute("PRAGMA cell_size_check = ON")
            yield connection
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(f"the catalogue {path} is damaged ({error})", RESTORE) from error


def prove(path: Path) -> Proof:
    """What a catalogue file is, after SQLite's own checks of it.

    Raises LibraryBroken where it is damaged, empty, or holds what is not ours; LibraryTooNew.
    """
    with reading_file(path) as connection:
        refuse_alien(connection, path)
        schema = found_version(connection, path)
        for finding in damage(connection):
            raise LibraryBroken(f"the catalogue {path} is damaged: {finding}", RESTORE)
        library, writes = read_identity(connection)
        return Proof(schema, library, writes, counts(connection))


def damage(connection: sqlite3.Connection) -> Iterator[str]:
    """What SQLite's integrity_check and foreign_key_check find."""
    for (finding,) in connection.execute("PRAGMA integrity_check"):
        if finding != "ok":
            yield str(finding)
    for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        yield f"{table} row {row} points at {parent} that is not there"


def counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Rows of every table of ours but those of the full-text index."""
    names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    ours = sorted(name for name in names if not name.startswith(("sqlite_", "entry_text")))
    return {name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in ours}


def named_files(connection: sqlite3.Connection) -> Iterator[Named]:
    """Every file that a catalogue names and that cannot be made again; what was removed for good is left out.

    Raises LibraryBroken for a name that leads out of the library.
    """
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    removed = removals(connection)
    for store, table, column, size in STORED:
        if table in tables:
            query = (
                f'SELECT DISTINCT "{column}", {size or "NULL"} FROM "{table}" WHERE "{column}" IS NOT NULL'
            )
            for digest, told in connection.execute(query).fetchall():
                _refuse_odd(digest)
                if digest not in removed:
                    yield Named(store, f"{digest[:2]}/{digest[2:4]}/{digest}", digest, told)
    for path, digest, told in connection.execute("SELECT path, sha256, bytes FROM bundles").fetchall():
        _refuse_odd(digest)
        refuse_outside(path)
        yield Named("bundles", path, digest, told)


def removals(connection: sqlite3.Connection) -> set[str]:
    """Digests of originals that were removed for good."""
    if not connection.execute(
        "SELECT 1 FROM sqlite_master WHERE type='table' AND name='removals'"
    ).fetchone():
        return set()
    return {row[0] for row in connection.execute("SELECT sha256 FROM removals")}


def _refuse_odd(digest: object) -> None:
    if not isinstance(digest, str) or not _DIGEST.fullmatch(digest):
        raise LibraryBroken(f"the catalogue names a file by something that is no checksum: {digest!r:.80}")


def refuse_outside(name: object) -> None:
    """Raises LibraryBroken unless a name means one file inside the folder that it is given for."""
    text = name if isinstance(name, str) else ""
    parts = PurePosixPath(text).parts
    odd = "\\" in text or ":" in text or "\0" in text or text.startswith("/")
    if not parts or odd or any(part in ("..", ".") for part in parts):
        raise LibraryBroken(
            f"the catalogue names a file outside the library: {name!r:.200}", "do not use this folder"
        )
