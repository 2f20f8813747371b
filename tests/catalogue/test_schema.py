"""Migrations: from every released schema, with data in it, up to what the models say."""

from __future__ import annotations

import gzip
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine
from sqlalchemy.pool import NullPool

from assetlib.catalogue import proving, schema
from assetlib.catalogue.tables import Base
from assetlib.errors import LibraryBroken, LibraryTooNew
from assetlib.library import FOLDERS, Library
from assetlib.services.finding.search import Asked, find
from tests.catalogue import first_schema

RELEASED = sorted((Path(__file__).parent / "released").glob("*.sqlite.gz"))
"""Catalogues as each released schema wrote them, with data: `python -m tests.catalogue.dump_release`."""


def _is_ours(_object: object, name: str | None, kind: str, *_: object) -> bool:
    return not (kind == "table" and name is not None and name.startswith("entry_text"))


def _differences(path: Path) -> list[object]:
    engine = create_engine(f"sqlite:///{path}", poolclass=NullPool)
    with engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"include_object": _is_ours, "compare_type": False}
        )
        return list(compare_metadata(context, Base.metadata))


def test_a_new_catalogue_is_what_the_models_say(lib: Library) -> None:
    assert _differences(lib.catalogue) == []


def test_the_shape_that_is_asked_for_at_opening_is_that_of_the_schema(lib: Library) -> None:
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        assert schema.told_shape(connection) == schema.SHAPE
        connection.execute("ANALYZE")  # what SQLite keeps for itself is no table of ours
        assert schema.told_shape(connection) == schema.SHAPE


def test_the_constant_is_the_newest_migration() -> None:
    names = sorted(path.name for path in (schema.migrations_folder() / "versions").glob("[0-9]*.py"))
    assert names[-1].split("_")[0] == schema.SCHEMA_VERSION
    assert [name.split("_")[0] for name in names] == [f"{n:04}" for n in range(1, len(names) + 1)]


def test_every_schema_has_a_released_catalogue() -> None:
    versions = {
        path.name.split("_")[0] for path in (schema.migrations_folder() / "versions").glob("[0-9]*.py")
    }
    assert {path.name.split(".")[0] for path in RELEASED} == versions


def _forget_identity(folder: Path) -> None:
    """The settings as they were before libraries had an identity."""
    settings = folder / "assetlib.toml"
    lines = settings.read_text(encoding="utf-8").splitlines()
    settings.write_text(
        "\n".join(line for line in lines if not line.startswith("identity")), encoding="utf-8"
    )


@pytest.mark.parametrize("released", RELEASED, ids=lambda path: path.name.split(".")[0])
def test_a_released_catalogue_comes_up_with_its_data(lib: Library, released: Path) -> None:
    lib.close()
    lib.catalogue.unlink()
    lib.catalogue.write_bytes(gzip.decompress(released.read_bytes()))
    _forget_identity(lib.folder)
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        before = connection.execute("SELECT count(*) FROM entries").fetchone()
    again = Library.open(lib.folder, repairing=True)  # its originals are not here
    assert _differences(again.catalogue) == []
    with closing(sqlite3.connect(again.catalogue)) as connection:
        assert connection.execute("SELECT count(*) FROM entries").fetchone() == before
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert schema.told_shape(connection) == schema.SHAPE
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert find(again, Asked("baker")).results
    again.close()


def test_corrections_become_cuts_and_what_was_said_stays(lib: Library) -> None:
    """Element 3 was cut once, 8 twice, the second time hardly changed, 12 three times, the last time much changed."""
    lib.close()
    for path in lib.folder.glob("catalogue.sqlite*"):
        path.unlink()
    first_schema.fill(lib.catalogue, 24)
    with closing(sqlite3.connect(lib.catalogue)) as connection:  # a redraw, had there been one
        connection.execute("UPDATE versions SET reason = 'redrawn' WHERE entry_id = 24 AND number = 3")
        connection.commit()
    schema.ensure_current(lib.catalogue)
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        ask = connection.execute
        assert ask("PRAGMA foreign_key_check").fetchall() == []
        states = """SELECT e.id, v.number, c.number, (SELECT count(*) FROM versions w WHERE w.entry_id = e.id),
            c.id FROM entries e JOIN versions v ON v.id = e.current_version_id JOIN cuts c ON c.id = v.current_cut_id
            WHERE e.id IN (3, 8, 12, 24)"""
        assert ask(states).fetchall() == [
            (3, 1, 1, 1, 9), (8, 1, 2, 1, 25), (12, 1, 3, 1, 38), (24, 2, 1, 2, 74)
        ]  # fmt: skip
        said = "SELECT version_id, cut_id, to_confirm FROM origin_answers WHERE version_id IN (9, 24, 36)"
        assert ask(said).fetchall() == [(9, 9, 0), (24, 24, 0), (36, 36, 1)]
        pairs = (
            "SELECT a_id, b_id, a_cut_id, b_cut_id, to_confirm FROM pair_decisions WHERE 36 IN (a_id, b_id)"
        )
        assert ask(pairs).fetchall() == [(33, 36, 33, 36, 1), (36, 39, 36, 39, 1)]
        assert ask("SELECT version_id, cut_id, facts FROM bundle_items").fetchall() == [
            (36, 37, '{"state": "clear"}')
        ]
        assert ask("SELECT cut_id FROM opening_choices").fetchall() == [(37,)]
        kept = [ask(f"SELECT count(*) FROM {name}").fetchone()[0] for name in ("vectors", "fingerprints")]
        assert kept == [24 + 6 + 2] * 2


def test_a_mirror_guard_comes_to_hang_on_what_it_was_said_of(lib: Library) -> None:
    lib.close()
    lib.catalogue.unlink()
    before = Path(__file__).parent / "released" / "0006.sqlite.gz"
    lib.catalogue.write_bytes(gzip.decompress(before.read_bytes()))
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        (entry_id,) = connection.execute("SELECT id FROM entries WHERE title LIKE 'baker CU%'").fetchone()
        connection.execute(
            """INSERT INTO facets (entry_id, facet, value, source, state, made_at)
               VALUES (?, 'mirror', 'do not mirror', 'artist', 'given', '2026-01-02T03:04:05.000000Z')""",
            (entry_id,),
        )
        connection.commit()
    schema.ensure_current(lib.catalogue)
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        found = connection.execute(
            """SELECT v.entry_id, v.current_cut_id = g.cut_id, g.source, g.state, g.to_confirm
               FROM mirror_guards g JOIN versions v ON v.id = g.version_id"""
        ).fetchall()
        assert found == [(entry_id, 1, "artist", "given", 0)]
        assert connection.execute("SELECT count(*) FROM facets WHERE facet = 'mirror'").fetchone() == (0,)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def test_what_was_only_suggested_comes_to_stand_among_the_suggestions(lib: Library) -> None:
    """Words of files, what was told from pictures, and what was left; what a title states stays a fact."""
    lib.close()
    lib.catalogue.unlink()
    before = Path(__file__).parent / "released" / "0008.sqlite.gz"
    lib.catalogue.write_bytes(gzip.decompress(before.read_bytes()))
    day = "2026-01-02T03:04:05.000000Z"
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        ask = connection.execute
        (entry_id,) = ask("SELECT id FROM entries WHERE title LIKE 'baker CU%'").fetchone()
        (version_id,) = ask("SELECT current_version_id FROM entries WHERE id = ?", (entry_id,)).fetchone()
        ask("DELETE FROM facets WHERE entry_id = ?", (entry_id,))
        ask("DELETE FROM tags WHERE entry_id = ?", (entry_id,))
        for slug, source, state in (
            ("dog", "file", "suggested"), ("cat", "file", "left"), ("van", "artist", "given"), ("gull", "file", "left"),
        ):  # fmt: skip
            ask(
                "INSERT INTO tags (entry_id, concept_id, source, state, made_at)"
                " SELECT ?, id, ?, ?, ? FROM concepts WHERE slug = ?", (entry_id, source, state, day, slug),
            )  # fmt: skip
        for facet, value, source, state in (
            ("finish", "tone", "picture", "suggested"), ("view", "profile", "title", "suggested"),
            ("pose", "seated", "title", "left"), ("shot_size", "CU", "artist", "given"),
        ):  # fmt: skip
            ask(
                "INSERT INTO facets (entry_id, facet, value, source, state, made_at) VALUES (?, ?, ?, ?, ?, ?)",
                (entry_id, facet, value, source, state, day),
            )
        ask("UPDATE mirror_guards SET source = 'title', state = 'left' WHERE version_id = ?", (version_id,))
        ask(  # taken in the in-tray since: that is the later word
            "INSERT INTO suggestions (entry_id, facet, value, recipe, why, confidence, state, offered_at, settled_at)"
            " VALUES (?, 'tag', 'gull', 'words', 'others', 0.5, 'taken', ?, ?)", (entry_id, day, day),
        )  # fmt: skip
        connection.commit()
    schema.ensure_current(lib.catalogue)
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        ask = connection.execute
        of_it = "WHERE entry_id = ? ORDER BY facet, value"
        assert ask(f"SELECT facet, value, recipe, state FROM suggestions {of_it}", (entry_id,)).fetchall() == [
            ("finish", "tone", "picture", "offered"), ("mirror", "do not mirror", "title", "left"),
            ("pose", "seated", "title", "left"), ("tag", "cat", "file", "left"), ("tag", "dog", "file", "offered"),
            ("tag", "gull", "words", "taken"),
        ]  # fmt: skip
        assert ask(f"SELECT facet, value, state FROM facets {of_it}", (entry_id,)).fetchall() == [
            ("shot_size", "CU", "given"), ("view", "profile", "read"),
        ]  # fmt: skip
        tags = "SELECT c.slug FROM tags t JOIN concepts c ON c.id = t.concept_id WHERE t.entry_id = ?"
        assert ask(tags, (entry_id,)).fetchall() == [("van",)]
        assert ask("SELECT count(*) FROM mirror_guards WHERE version_id = ?", (version_id,)).fetchone() == (
            0,
        )
        assert ask("PRAGMA foreign_key_check").fetchall() == []
        assert ask("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_newer_library_is_refused(lib: Library) -> None:
    with lib.transaction() as session:
        session.connection().exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(LibraryTooNew, match="9999"):
        Library.open(lib.folder)


@pytest.mark.parametrize("content", [b"this is no database", b""])
def test_a_file_that_is_no_catalogue(lib: Library, content: bytes) -> None:
    lib.close()
    for path in lib.folder.glob("catalogue.sqlite*"):
        path.unlink()
    lib.catalogue.write_bytes(content)
    with pytest.raises(LibraryBroken):
        Library.open(lib.folder)
    assert lib.catalogue.read_bytes() == content


def test_alembic_is_not_loaded_when_nothing_is_due(lib: Library, run_python) -> None:  # type: ignore[no-untyped-def]
    code = (
        "import sys; from pathlib import Path; from assetlib.library import Library;"
        f"Library.open(Path({str(lib.folder)!r})); print('alembic' in sys.modules)"
    )
    assert run_python(code).strip() == "False"


def test_every_column_of_digests_is_known_to_backups() -> None:
    """What lies by digest and stands in no such list is in no backup."""
    columns = {
        f"{table.name}.{column.name}"
        for table in Base.metadata.tables.values()
        for column in table.columns
        if {"sha256", "digest", "sums"} & set(column.name.split("_")) and table.name != "derived"
    }
    stored = {f"{table}.{column}" for _, table, column, _ in proving.STORED if table in Base.metadata.tables}
    assert stored
    assert columns == stored | set(proving.OTHER_DIGESTS)
    folders = {store for store, *_ in proving.STORED} | {"bundles"}
    made_again = {"derived", "staging"}
    assert folders | made_again == set(FOLDERS)
