"""Whether a library is whole: rows and files held against each other, and what can be mended is mended."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select

from assetlib.catalogue.entries import Entry, Version
from assetlib.catalogue.fulltext import forget_text, refresh_text
from assetlib.catalogue.lookup import existing
from assetlib.catalogue.proving import damage
from assetlib.catalogue.schema import RESTORE, refuse_other_tables
from assetlib.errors import LibraryBroken
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.keeping import healing, leftovers
from assetlib.services.keeping.leftovers import Trouble
from assetlib.services.trade import signing_key
from assetlib.storage import volumes
from assetlib.storage.durable import OWNER_ONLY, make_private

__all__ = ["CheckReport", "Trouble", "check"]


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
    lib: Library,
    *,
    repair: bool = False,
    quick: bool = False,
    heal_from: Path | None = None,
    progress: Progress = SILENT,
) -> CheckReport:
    """What is wrong with the library; with `repair`, what can be made again from the originals is mended.

    Lost and altered originals, papers and bundles get their bytes back from the folder `heal_from`, which may be a
    backup or anything else. `quick` looks whether originals are there, without reading their bytes.
    """
    problems = [*_database(lib)]
    rows = healing.named(lib)
    problems += _files(lib, quick, heal_from if repair else None, progress)
    problems += leftovers.derived(lib, repair=repair, quick=quick, progress=progress)
    problems += _text(lib, repair)
    problems += _entries(lib)
    problems += leftovers.bundles(lib, repair=repair)
    problems += leftovers.removed(lib, repair=repair)
    problems += _open_to_others(lib, repair)
    problems += signing_key.troubles(lib, repair=repair, heal_from=heal_from)
    originals = {row.digest for row in rows if row.store == "originals"}
    spare = _spare(lib, originals, repair)
    if repair:
        lib.sweep_staging()
    return CheckReport(len(originals), tuple(problems), spare)


def _opened(lib: Library) -> sqlite3.Connection:
    try:
        return sqlite3.connect(existing(lib.catalogue), uri=True, timeout=60)
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(f"the catalogue cannot be opened ({error})", RESTORE) from error


def _database(lib: Library) -> Iterator[Trouble]:
    with closing(_opened(lib)) as connection:
        try:
            for finding in damage(connection):
                yield Trouble(f"the catalogue is damaged: {finding}")
        except sqlite3.DatabaseError as error:
            raise LibraryBroken(f"the catalogue is damaged ({error})", RESTORE) from error
    refuse_other_tables(lib.catalogue)


def _files(lib: Library, quick: bool, source: Path | None, progress: Progress) -> Iterator[Trouble]:
    found = list(healing.unwell(lib, quick=quick, progress=progress))
    healed = set(healing.heal(lib, found, source, progress)) if found and source else set()
    for item in found:
        state = "is missing" if item.missing else "is no longer what was kept"
        yield Trouble(f"{item.label} {state}; a backup has it", mended=item in healed)


def _open_to_others(lib: Library, repair: bool) -> list[Trouble]:
    """Whether other users of the machine can look into the library's folder."""
    if os.name == "nt" or not lib.folder.stat().st_mode & OWNER_ONLY or volumes.knows_no_owners(lib.folder):
        return []
    if repair:
        make_private(lib.folder)
    return [Trouble("other users of this machine can look into the library", mended=repair)]


def _text(lib: Library, repair: bool) -> list[Trouble]:
    """Every entry has one text row, and every text row an entry."""
    with lib.reading() as session:
        entries = set(session.scalars(select(Entry.id).where(Entry.removed_at.is_(None))))
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


_FEW = 100
"""Spare files that are set aside in any case: what one stopped intake leaves. More than the catalogue knows at all
speak of a catalogue that is not the one these originals belong to."""


def _spare(lib: Library, known: set[str], repair: bool) -> int:
    """Count originals that no row names; with `repair` they go to the folder of things that wait to be thrown away."""
    spare = [digest for digest in lib.originals.all() if digest not in known]
    if repair and len(spare) <= max(_FEW, len(known)):
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
