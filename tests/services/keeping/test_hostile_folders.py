"""A folder from a stranger: whatever is in it, nothing outside is written, removed or followed."""

from __future__ import annotations

import os
import sqlite3
import struct
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text

from assetlib.errors import AssetlibError, LibraryBroken
from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.bringing.intake import bring_in
from assetlib.services.keeping import leftovers
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.restoring import restore
from assetlib.services.keeping.safekeeping import back_up
from assetlib.storage.blobs import digest_of_file
from tests.conftest import Draw
from tests.services.keeping.test_backups import files_of

Spoil = Callable[[sqlite3.Connection], object]

_BUNDLE = """INSERT INTO bundles (id, uuid, collection_id, number, licence, issued_on, path, sha256, bytes, snapshot,
    made_at) VALUES (1, 'u', (SELECT min(id) FROM collections), 9, 'one artist', '2026-01-01', ?, ?, 4, '{}', 'now')"""


def _bundle(path: str) -> Spoil:
    def spoil(connection: sqlite3.Connection) -> None:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("INSERT INTO collections (id, uuid, name, made_at) VALUES (1, 'c', 'C', 'now')")
        connection.execute(_BUNDLE, (path, "0" * 64))

    return spoil


def _sql(text: str) -> Spoil:
    return lambda connection: connection.executescript(text)


HOSTILE: dict[str, Spoil] = {
    "a path upwards": _bundle("../../outside.zip"),
    "an absolute path": _bundle("/tmp/outside.zip"),
    "a path with a drive": _bundle("C:outside.zip"),
    "a path with backslashes": _bundle("..\\..\\outside.zip"),
    "no path at all": _bundle(""),
    "a digest that is a path": _sql("UPDATE originals SET sha256 = '../../../outside'"),
    "a trigger": _sql("CREATE TRIGGER t AFTER UPDATE ON entries BEGIN DELETE FROM entries; END"),
    "a view": _sql("CREATE VIEW v AS SELECT 1"),
    "a table of its own": _sql("CREATE TABLE more (x)"),
    "a column of its own": _sql("ALTER TABLE jobs ADD COLUMN more TEXT"),
    "an index of its own": _sql("CREATE INDEX more ON entries (title)"),
    "a virtual table": _sql("CREATE VIRTUAL TABLE more USING fts5(x)"),
    "a table in place of ours": _sql(
        "DROP TABLE uses; CREATE TABLE uses (id, y GENERATED ALWAYS AS (id || 1))"
    ),
    "no version": _sql("DELETE FROM alembic_version"),
    "an odd version": _sql("UPDATE alembic_version SET version_num = '../x'"),
}


def _spoil(catalogue: Path, spoil: Spoil) -> None:
    with closing(sqlite3.connect(catalogue)) as connection, connection:
        spoil(connection)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_catalogue_is_not_restored(lib: Library, draw: Draw, tmp_path: Path, name: str) -> None:
    bring_in(lib, [draw("dog.png")])
    back_up(lib, tmp_path / "safe")
    catalogue = tmp_path / "safe" / "generations" / "0001" / "catalogue.sqlite"
    _spoil(catalogue, HOSTILE[name])
    around = set(files_of(tmp_path))
    with pytest.raises(LibraryBroken):
        restore(tmp_path / "safe", tmp_path / "new" / "place")
    left = {path for path in set(files_of(tmp_path)) - around if not path.startswith("new/place/")}
    assert left == set()
    assert not (tmp_path / "new" / "place" / "assetlib.toml").exists()


@pytest.mark.parametrize("name", [name for name in HOSTILE if "path" not in name])
def test_a_hostile_catalogue_is_not_opened(lib: Library, name: str) -> None:
    lib.close()
    _spoil(lib.catalogue, HOSTILE[name])
    with pytest.raises(LibraryBroken):
        Library.open(lib.folder)


@pytest.mark.parametrize("name", ["a table of its own", "a column of its own", "an index of its own"])
def test_check_finds_what_is_not_ours(lib: Library, name: str) -> None:
    _spoil(lib.catalogue, HOSTILE[name])
    with pytest.raises(LibraryBroken, match="not built"):
        check(lib)


def test_links_in_a_library_are_not_followed_out_of_it(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png", 1)])
    lib.close()
    outside = tmp_path / "outside"
    outside.mkdir()
    for name in ("originals", "derived", "bundles", "staging"):
        (lib.folder / name).rename(tmp_path / f"kept {name}")
        (lib.folder / name).symlink_to(outside, target_is_directory=True)
        with pytest.raises(LibraryBroken):
            Library.open(lib.folder)
        (lib.folder / name).unlink()
        (tmp_path / f"kept {name}").rename(lib.folder / name)
    digest = digest_of_file(draw("ferry.png", 2))
    first = lib.folder / "originals" / digest[:2]
    first.symlink_to(outside, target_is_directory=True)
    with pytest.raises(LibraryBroken, match="link"):
        bring_in(Library.open(lib.folder), [tmp_path / "drawings" / "ferry.png"])
    assert list(outside.iterdir()) == []


def test_a_link_in_place_of_the_catalogue_is_not_opened(lib: Library, tmp_path: Path) -> None:
    lib.close()
    lib.catalogue.rename(tmp_path / "elsewhere.sqlite")
    lib.catalogue.symlink_to(tmp_path / "elsewhere.sqlite")
    with pytest.raises(LibraryBroken):
        Library.open(lib.folder)


def _stopped_while_writing(catalogue: Path) -> Path:
    """Leave a catalogue as a stop in the middle of a change leaves it, its rollback journal beside it."""
    journal = catalogue.with_name(f"{catalogue.name}-journal")
    with closing(sqlite3.connect(catalogue, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA cache_size = 1")  # so that changed pages are written before the end
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE concepts SET id = id")
        connection.execute("DELETE FROM labels")
        halfway, before = catalogue.read_bytes(), journal.read_bytes()
        connection.execute("ROLLBACK")
    catalogue.write_bytes(halfway)
    journal.write_bytes(before)
    return journal


def test_a_journal_that_names_other_files_is_not_followed(lib: Library, tmp_path: Path) -> None:
    """SQLite deletes the file that the end of a journal names (sqlite.org/fileformat2.html, 3)."""
    lib.close()
    journal = _stopped_while_writing(lib.catalogue)
    mine = tmp_path / "mine.txt"
    mine.write_text("mine")
    name = str(mine).encode()
    page = (1 << 30) // 4096 + 1  # the page of SQLite's lock, which stands before a name
    journal.write_bytes(
        journal.read_bytes()
        + struct.pack(">I", page)
        + name
        + struct.pack(">II", len(name), sum(name))
        + bytes.fromhex("d9d505f920a163d7")
    )
    with pytest.raises(LibraryBroken, match="journal"):
        Library.open(lib.folder)
    assert mine.read_text() == "mine"


def test_a_catalogue_whose_conversion_was_stopped_opens(lib: Library) -> None:
    lib.close()
    journal = _stopped_while_writing(lib.catalogue)
    again = Library.open(lib.folder)
    assert not journal.exists()
    with again.reading() as session:
        assert session.scalar(text("SELECT count(*) FROM labels")) > 0
    assert check(again).clean
    again.close()


def test_upkeep_takes_nothing_away_through_a_link(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png")])
    outside = tmp_path / "outside" / "ab"
    outside.mkdir(parents=True)
    (outside / "mine.png").write_bytes(b"mine")
    os.utime(outside / "mine.png", (0, 0))
    (lib.derived / "strange").symlink_to(outside.parent, target_is_directory=True)
    (lib.derived / "proof" / "ff").symlink_to(outside, target_is_directory=True)
    leftovers.tidy(lib)
    assert (outside / "mine.png").read_bytes() == b"mine"


def test_a_derived_path_that_leads_out_is_never_handed_out(lib: Library, draw: Draw, tmp_path: Path) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    clean_copies.make(lib, code)
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"secret")
    _spoil(lib.catalogue, lambda c: c.execute("UPDATE derived SET path = '../../secret.png', sums = NULL"))
    try:
        copies = clean_copies.make(lib, code)
    except AssetlibError:
        return
    assert copies.ink.resolve() != secret.resolve()
    assert copies.ink.read_bytes() != b"secret"


def test_settings_of_a_stranger_cannot_ask_for_the_whole_machine(lib: Library) -> None:
    settings = lib.folder / "assetlib.toml"
    text = settings.read_text(encoding="utf-8")
    for line in ("workers = 100000000", "decode_megabytes = 99999999999", "# " + "x" * 100_000):
        settings.write_text(f"{line}\n" if line[0] != "#" else text + line, encoding="utf-8")
        with pytest.raises(AssetlibError):
            Library.open(lib.folder)
