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

from assetlib.catalogue import schema
from assetlib.catalogue.tables import Base
from assetlib.errors import LibraryBroken, LibraryTooNew
from assetlib.library import Library
from assetlib.services.finding.search import Asked, find

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
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert find(again, Asked("baker")).results
    again.close()


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
