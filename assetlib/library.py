"""A library: its folder, catalogue, stores and clock. The one place where the parts are wired together."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.config import SETTINGS_FILE, Settings, read_settings, write_settings
from assetlib.errors import NoLibrary, WrongUsage

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

        folder = folder.expanduser().resolve()
        if (folder / SETTINGS_FILE).exists():
            raise WrongUsage(
                f"there is a library in {folder} already", "use it as it is, or name another folder"
            )
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise WrongUsage(f"{folder} is not an empty folder", "name a new folder for the library")
        for name in FOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
        schema.migrate(folder / CATALOGUE)
        write_settings(folder, settings or Settings())
        return cls.open(folder, clock)

    @classmethod
    def open(cls, folder: Path, clock: Clock = utc_now) -> Library:
        """The library in `folder`, its catalogue brought up to this assetlib's schema.

        Raises NoLibrary, BadSettings, LibraryBroken, LibraryTooNew.
        """
        from assetlib.catalogue import schema

        if not (folder / SETTINGS_FILE).is_file() or not (folder / CATALOGUE).is_file():
            raise NoLibrary(f"there is no library in {folder}", f'make one: assetlib start "{folder}"')
        settings = read_settings(folder)
        schema.ensure_current(folder / CATALOGUE)
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
