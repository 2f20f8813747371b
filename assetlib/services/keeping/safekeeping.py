"""Backups: the catalogue by SQLite's online backup, and every file it names, verified byte for byte."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue.schema import copy_catalogue
from assetlib.config import SETTINGS_FILE
from assetlib.errors import LibraryBroken, WrongUsage
from assetlib.library import CATALOGUE, Library
from assetlib.progress import SILENT, Progress
from assetlib.storage.blobs import BlobStore, as_digest, digest_of_file
from assetlib.storage.durable import no_room_said_plainly


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup holds; `copied` of its files are new since the last one to the same folder."""

    folder: Path
    files: int
    copied: int


def back_up(lib: Library, target: Path, progress: Progress = SILENT) -> Backup:
    """Copy the library to `target`, which may hold an earlier backup of it; every file is read back and compared.

    Derived data is left out: it can be made again. Raises WrongUsage for a folder that holds something else,
    LibraryBroken where an original is damaged.
    """
    target = target.expanduser().resolve()
    if target == lib.folder or lib.folder in target.parents:
        raise WrongUsage(f"{target} lies inside the library itself", "name a folder on another disk")
    if target.exists() and any(target.iterdir()) and not (target / CATALOGUE).is_file():
        raise WrongUsage(f"{target} is not empty and holds no backup", "name an empty folder")
    with no_room_said_plainly(target):
        target.mkdir(parents=True, exist_ok=True)
        # The catalogue first: files that come in while the rest is copied are simply not in this backup.
        copy_catalogue(lib.catalogue, target / CATALOGUE)
        _forget_derived(target / CATALOGUE)
        shutil.copyfile(lib.folder / SETTINGS_FILE, target / SETTINGS_FILE)
        files = list(_named_files(lib, target / CATALOGUE))
        copied = sum(
            _copy(source, copy, digest)
            for source, copy, digest in progress.track(files, "copying", len(files))
        )
        for name in ("derived", "papers", "bundles", "originals", "staging"):
            (target / name).mkdir(exist_ok=True)
    return Backup(target, len(files), copied)


def _forget_derived(catalogue: Path) -> None:
    """Derived files are not in a backup, so its catalogue must not say that they are there."""
    with closing(sqlite3.connect(catalogue)) as connection, connection:
        connection.execute("DELETE FROM derived WHERE path IS NOT NULL")


def _named_files(lib: Library, catalogue: Path) -> Iterator[tuple[Path, Path, str]]:
    """Every file that the copied catalogue names: where it is, where its copy goes, its digest."""
    target = catalogue.parent
    with closing(sqlite3.connect(catalogue)) as connection:
        source, copy = BlobStore(lib.folder / "originals"), BlobStore(target / "originals")
        for (digest,) in connection.execute("SELECT sha256 FROM originals"):
            yield source.path(as_digest(digest)), copy.path(as_digest(digest)), digest
        for path, digest in connection.execute("SELECT path, sha256 FROM bundles"):
            yield lib.bundles / path, target / "bundles" / path, digest


def _copy(source: Path, copy: Path, digest: str) -> bool:
    """Copy a file unless a whole copy is there; returns whether it was copied."""
    if copy.is_file() and digest_of_file(copy) == digest:
        return False
    if not source.is_file():
        raise LibraryBroken(f"{source} is missing", "run `assetlib check` to see all that is affected")
    copy.parent.mkdir(parents=True, exist_ok=True)
    partial = copy.with_name(copy.name + ".partial")
    shutil.copyfile(source, partial)
    if digest_of_file(partial) != digest:
        partial.unlink()
        raise LibraryBroken(f"{source} is no longer what was brought in", "run `assetlib check`")
    partial.replace(copy)
    return True
