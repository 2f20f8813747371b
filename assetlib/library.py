"""A library: its folder, catalogue, stores and clock. The one place where the parts are wired together."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sqlite3
import uuid
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.config import SETTINGS_FILE, Settings, change_setting, read_settings, write_settings
from assetlib.errors import LibraryBroken, NoLibrary, WrongUsage, disk_said_plainly
from assetlib.storage.durable import is_inside, keep_to_owner, make_private

if TYPE_CHECKING:
    from sqlalchemy import Engine
    from sqlalchemy.orm import Session

    from assetlib.storage.blobs import BlobStore

CATALOGUE = "catalogue.sqlite"
FOLDERS = ("originals", "derived", "papers", "bundles", "staging")

_ABANDONED = 24 * 3600
"""Seconds after which an unfinished bundle is taken for left behind."""

Clock = Callable[[], dt.datetime]


def utc_now() -> dt.datetime:
    """The present moment in UTC."""
    return dt.datetime.now(dt.UTC)


@dataclass(slots=True)
class _OneStep:
    """A step that is under way: what it is called, and its number once something was done."""

    what: str
    number: int | None = None


class Library:
    """An opened library. Services are handed one and open their own transactions on it."""

    def __init__(self, folder: Path, settings: Settings, clock: Clock = utc_now) -> None:
        self.folder = folder
        self.settings = settings
        self.now = clock
        self._whole: _OneStep | None = None

    @classmethod
    def start(cls, folder: Path, settings: Settings | None = None, clock: Clock = utc_now) -> Library:
        """A new library in `folder`, which must be empty or not there.

        Raises WrongUsage where something is in the folder already.
        """
        from assetlib.catalogue import schema

        keep_to_owner()
        folder = folder.expanduser().resolve()
        if (folder / SETTINGS_FILE).exists():
            raise WrongUsage(
                f"there is a library in {folder} already", "use it as it is, or name another folder"
            )
        if folder.exists() and (not folder.is_dir() or _holds_something(folder)):
            raise WrongUsage(f"{folder} is not an empty folder", "name a new folder for the library")
        with disk_said_plainly(folder):
            for name in FOLDERS:
                (folder / name).mkdir(parents=True, exist_ok=True)
            make_private(folder)
            schema.migrate(folder / CATALOGUE)
            identity, _ = _identity(folder / CATALOGUE)
            write_settings(folder, replace(settings or Settings(), identity=identity))
        return cls.open(folder, clock)

    @classmethod
    def open(cls, folder: Path, clock: Clock = utc_now, *, repairing: bool = False) -> Library:
        """The library in `folder`, its catalogue brought up to this assetlib's schema.

        `repairing` opens one whose originals are gone as well. Raises NoLibrary, BadSettings, LibraryBroken where
        catalogue or originals are gone or belong to something else, LibraryTooNew.
        """
        from assetlib.catalogue import schema

        keep_to_owner()
        if not (folder / SETTINGS_FILE).is_file():
            raise NoLibrary(f"there is no library in {folder}", f'make one: assetlib start "{folder}"')
        settings = read_settings(folder)
        _refuse_links(folder)
        former = schema.ensure_current(folder / CATALOGUE)
        identity, has_originals = _identity(folder / CATALOGUE)
        if former is not None and not settings.identity:
            settings = change_setting(folder, "identity", identity)
            make_private(folder)
        if settings.identity not in ("", identity):
            raise LibraryBroken(
                f"the catalogue in {folder} belongs to another library than its settings",
                "put the right catalogue.sqlite back, or restore the last backup into a new folder",
            )
        if has_originals and not repairing and not any((folder / "originals").glob("??")):
            raise LibraryBroken(
                f"the originals in {folder / 'originals'} are gone",
                "put the folder back, or fetch them from a backup: assetlib check --repair --from BACKUP",
            )
        return cls(folder, settings, clock)

    @property
    def catalogue(self) -> Path:
        """The SQLite file."""
        return self.folder / CATALOGUE

    @cached_property
    def engine(self) -> Engine:
        """The engine on the catalogue."""
        from assetlib.catalogue.session import make_engine

        return make_engine(self.catalogue)

    @cached_property
    def originals(self) -> BlobStore:
        """The store of original bytes."""
        from assetlib.storage.blobs import BlobStore

        return BlobStore(self.folder / "originals")

    @cached_property
    def papers(self) -> BlobStore:
        """The store of releases and agreements."""
        from assetlib.storage.blobs import BlobStore

        return BlobStore(self.folder / "papers")

    @property
    def derived(self) -> Path:
        """The folder of all that can be made again."""
        return self.folder / "derived"

    @property
    def bundles(self) -> Path:
        """The folder of issued bundles."""
        return self.folder / "bundles"

    def inside(self, folder: Path, name: str) -> Path:
        """The file that the catalogue calls `name` in one of the library's folders.

        Raises LibraryBroken for a name that leads out of it: a catalogue may come from somebody else.
        """
        path = folder / name
        if not is_inside(path, folder) or not is_inside(folder, self.folder):
            raise LibraryBroken(
                f"the catalogue names a file outside the library: {name}", "run `assetlib check`"
            )
        return path

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session on one snapshot of the catalogue, for reads."""
        from assetlib.catalogue import session

        with session.reading(self.engine) as opened:
            yield opened

    @contextmanager
    def transaction(self, step: str | int | None = None) -> Iterator[Session]:
        """A session that holds the write lock, commits on a clean exit and rolls back on an error.

        `step` makes it undoable: a sentence opens a step, a number continues one. Inside `one_step` a sentence
        continues that step.
        """
        from assetlib.catalogue import session, undo

        with session.writing(self.engine) as opened:
            if step is not None:
                step_id = self._opened(opened, step) if isinstance(step, str) else step
                undo.log_changes(opened, step_id)
            yield opened
        if isinstance(step, str) and self._whole is not None:
            self._whole.number = step_id

    def new_step(self, what: str) -> int:
        """A step that several transactions will share."""
        with self.transaction() as opened:
            number = self._opened(opened, what)
        if self._whole is not None:
            self._whole.number = number
        return number

    def _opened(self, opened: Session, what: str) -> int:
        """The number of a new step, or of the one that is under way."""
        from assetlib.catalogue import undo

        whole = self._whole
        if whole is not None and whole.number is not None:
            return whole.number
        what = whole.what if whole is not None else what
        return undo.open_step(opened, what, self.now(), self.settings.undo_steps)

    @contextmanager
    def one_step(self, what: str) -> Iterator[None]:
        """Make one step of everything that is done inside, however many use cases it is made of.

        Opened inside another, it is a part of that one. Nothing is noted where nothing is done.
        """
        if self._whole is not None:
            yield
            return
        self._whole = _OneStep(what)
        try:
            yield
        finally:
            self._whole = None

    @contextmanager
    def staging(self) -> Iterator[Path]:
        """A folder of this process's own for files that are not in place yet; gone afterwards.

        Its name carries the process, so that what a killed one left can be told from work under way.
        """
        folder = self.folder / "staging" / f"{os.getpid()}-{uuid.uuid4().hex}"
        folder.mkdir(parents=True)
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def sweep_staging(self) -> int:
        """Remove what killed processes left in the staging folder; returns how many folders went."""
        import psutil

        swept = 0
        for folder in (self.folder / "staging").glob("*-*"):
            owner = folder.name.split("-")[0]
            if owner.isdigit() and (int(owner) == os.getpid() or not psutil.pid_exists(int(owner))):
                shutil.rmtree(folder, ignore_errors=True)
                swept += 1
        # A bundle that was being built when its process was killed; a build that is under way is younger than a day.
        for left in self.bundles.glob(".new-*"):
            if self.now().timestamp() - left.stat().st_mtime > _ABANDONED:
                shutil.rmtree(left, ignore_errors=True) if left.is_dir() else left.unlink(missing_ok=True)
                swept += 1
        return swept

    def close(self) -> None:
        """Let go of the catalogue."""
        if "engine" in self.__dict__:
            self.engine.dispose()


def _holds_something(folder: Path) -> bool:
    """Whether a folder holds more than what a start that was stopped left in it."""
    ours = {*FOLDERS, *(CATALOGUE + ending for ending in ("", "-wal", "-shm", "-journal"))}
    ours.add(f".new-{SETTINGS_FILE}")
    entries = list(os.scandir(folder))
    if any(entry.name not in ours or entry.is_symlink() for entry in entries):
        return True
    folders = [entry for entry in entries if entry.name in FOLDERS]
    if any(not entry.is_dir() or any(Path(entry.path).iterdir()) for entry in folders):
        return True
    if any(entry.name == CATALOGUE for entry in entries):
        return _was_used(folder / CATALOGUE)
    return False


def _was_used(catalogue: Path) -> bool:
    """Whether a catalogue that no settings stand beside has anything in it, or cannot be read."""
    try:
        with closing(sqlite3.connect(catalogue)) as connection:
            tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
            return bool(tables) and (
                "codes" not in tables or connection.execute("SELECT 1 FROM codes").fetchone() is not None
            )
    except sqlite3.DatabaseError:
        return True


def _refuse_links(folder: Path) -> None:
    """Raises LibraryBroken where a folder of the library is a link out of it: a stranger may have put it there."""
    for name in FOLDERS:
        if (folder / name).is_symlink():
            raise LibraryBroken(
                f"{folder / name} is a link out of the library", "move the library as a whole instead"
            )


def _identity(catalogue: Path) -> tuple[str, bool]:
    """The library's identity, and whether its catalogue names originals that were not removed."""
    with closing(sqlite3.connect(catalogue, timeout=30)) as connection:
        try:
            row = connection.execute("SELECT uuid FROM library WHERE id = 1").fetchone()
            originals = connection.execute(
                "SELECT 1 FROM originals WHERE sha256 NOT IN (SELECT sha256 FROM removals) LIMIT 1"
            ).fetchone()
        except sqlite3.DatabaseError as error:
            raise LibraryBroken(
                f"{catalogue} cannot be read as a catalogue ({error})", "restore the last backup"
            ) from error
    return (row[0] if row else "", originals is not None)
