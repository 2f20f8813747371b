"""Whether a library is whole: rows and files held against each other, and what can be mended is mended."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass

from sqlalchemy import select

from assetlib.catalogue.derived import Derived
from assetlib.catalogue.entries import Entry, Original, Version
from assetlib.catalogue.fulltext import forget_text, refresh_text
from assetlib.catalogue.trade import Bundle
from assetlib.library import CATALOGUE, Library
from assetlib.progress import SILENT, Progress
from assetlib.storage.blobs import Digest, as_digest, digest_of_file


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that is not as it should be; `mended` tells what was done about it."""

    what: str
    mended: bool = False


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a check found. `spare` counts original files that no row names: harmless left-overs."""

    originals: int
    problems: tuple[Trouble, ...]
    spare: int

    @property
    def clean(self) -> bool:
        """Whether nothing is left to mend."""
        return all(problem.mended for problem in self.problems)


def check(
    lib: Library, *, repair: bool = False, quick: bool = False, progress: Progress = SILENT
) -> CheckReport:
    """What is wrong with the library; with `repair`, what can be made again from the originals is mended.

    `quick` looks whether originals are there, without reading their bytes.
    """
    problems = [*_database(lib)]
    with lib.reading() as session:
        rows = [
            (d, n) for d, n in session.execute(select(Original.sha256, Original.bytes).order_by(Original.id))
        ]
    problems += _originals(lib, rows, quick, progress)
    problems += _derived(lib, repair)
    problems += _text(lib, repair)
    problems += _entries(lib)
    problems += _bundles(lib)
    spare = _spare(lib, {row[0] for row in rows}, repair)
    lib.sweep_staging()
    return CheckReport(len(rows), tuple(problems), spare)


def _database(lib: Library) -> Iterator[Trouble]:
    with closing(sqlite3.connect(lib.folder / CATALOGUE, timeout=60)) as connection:
        for (finding,) in connection.execute("PRAGMA integrity_check"):
            if finding != "ok":
                yield Trouble(f"the catalogue is damaged: {finding}")
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check"):
            yield Trouble(f"{table} row {row} points at {parent} that is not there")


def _originals(
    lib: Library, rows: list[tuple[str, int]], quick: bool, progress: Progress
) -> Iterator[Trouble]:
    for digest, size in progress.track(rows, "checking originals", len(rows)):
        path = lib.originals.path(as_digest(digest))
        if not path.is_file():
            yield Trouble(f"the original {digest[:12]} is missing; a backup has it")
        elif path.stat().st_size != size or (not quick and not lib.originals.verify(Digest(digest))):
            yield Trouble(f"the original {digest[:12]} is no longer what was brought in; a backup has it")


def _derived(lib: Library, repair: bool) -> list[Trouble]:
    with lib.reading() as session:
        rows = session.execute(select(Derived.id, Derived.path)).all()
    missing = [row for row in rows if row[1] and not (lib.derived / row[1]).is_file()]
    if repair and missing:
        with lib.transaction() as session:
            for row in missing:
                session.delete(session.get_one(Derived, row[0]))
    return [Trouble(f"derived/{row[1]} is missing; upkeep makes it again", mended=repair) for row in missing]


def _text(lib: Library, repair: bool) -> list[Trouble]:
    """Every entry has one text row, and every text row an entry."""
    with lib.reading() as session:
        entries = set(session.scalars(select(Entry.id)))
        texts = {row[0] for row in session.connection().exec_driver_sql("SELECT rowid FROM entry_text")}
    lost, stray = entries - texts, texts - entries
    if repair and (lost or stray):
        with lib.transaction() as session:
            forget_text(session, stray)
            refresh_text(session, lost)
    found = []
    if lost:
        found.append(Trouble(f"{len(lost)} drawings are missing from the word index", mended=repair))
    if stray:
        found.append(Trouble(f"{len(stray)} rows of the word index belong to nothing", mended=repair))
    return found


def _entries(lib: Library) -> Iterator[Trouble]:
    with lib.reading() as session:
        for entry in session.scalars(
            select(Entry)
            .outerjoin(Version, Version.id == Entry.current_version_id)
            .where(Version.current_cut_id.is_(None))
        ):
            yield Trouble(f"{entry.code.code} has no drawing")


def _bundles(lib: Library) -> Iterator[Trouble]:
    with lib.reading() as session:
        rows = session.execute(select(Bundle.path, Bundle.sha256)).all()
    for path, digest in rows:
        file = lib.bundles / path
        if not file.is_file():
            yield Trouble(f"the issued bundle {path} is missing; a backup has it")
        elif digest_of_file(file) != digest:
            yield Trouble(f"the issued bundle {path} is no longer what was issued; a backup has it")


def _spare(lib: Library, known: set[str], repair: bool) -> int:
    """Count originals that no row names; with `repair` they go to the folder of things that wait to be thrown away."""
    spare = [digest for digest in lib.originals.all() if digest not in known]
    if repair:
        with lib.transaction() as session:  # under the write lock no intake can be about to name one of them
            named = set(
                session.connection()
                .exec_driver_sql(
                    "SELECT sha256 FROM originals WHERE sha256 IN (SELECT value FROM json_each(?))",
                    (json.dumps(spare),),
                )
                .scalars()
            )
            attic = lib.folder / "staging" / "spare"
            for digest in set(spare) - named:
                attic.mkdir(parents=True, exist_ok=True)
                lib.originals.path(digest).rename(attic / digest)
    return len(spare)
