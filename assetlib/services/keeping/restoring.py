"""Restoring: a new library from a backup that may lie on read-only media, be damaged, or come from a stranger."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import proving, schema
from assetlib.config import SETTINGS_FILE, Settings, change_setting, read_settings, write_settings
from assetlib.errors import (
    AssetlibError,
    BadSettings,
    DiskFull,
    LibraryBroken,
    NotFound,
    WrongUsage,
    disk_said_plainly,
)
from assetlib.library import CATALOGUE, FOLDERS, Library, utc_now
from assetlib.progress import SILENT, Progress
from assetlib.services.trade.signing_key import put_key
from assetlib.storage import generations
from assetlib.storage.blobs import Digest, digest_of_file
from assetlib.storage.copying import SourceRotten, copy_whole
from assetlib.storage.durable import (
    READ_ONLY,
    is_plain,
    is_unused,
    keep_to_owner,
    make_private,
    set_mode,
    sweep_staged,
    sync_folder,
    write_atomic,
)
from assetlib.storage.generations import BackupFolder, Stored
from assetlib.storage.signing import KEY_FILE, OLD_KEYS

UNFINISHED = ".restoring.json"
"""In a folder that is being restored to: what from. The same command goes on there after it was stopped."""

_LARGEST_PAPER = 1 << 30
"""Bytes of a paper, whose size no row tells: a scanned contract has a few million."""


@dataclass(frozen=True, slots=True)
class Restored:
    """A library that was made from a backup; `lost` names what the backup no longer holds whole."""

    folder: Path
    generation: int
    files: int
    lost: tuple[str, ...]
    told: tuple[str, ...]
    """What else the artist should know."""


class _Source:
    """One state in a backup folder: of generations, or as backups were made before those."""

    def __init__(self, root: Path, generation: int | None) -> None:
        self.backup = BackupFolder(root)
        self.number = 0
        if self.backup.exists():
            self.number = _chosen(self.backup, generation)
            self.folder = self.backup.folder(self.number)
        elif is_plain(root / CATALOGUE):
            self.folder = root
        else:
            raise NotFound(
                f"there is no backup in {root}", "name the folder that `assetlib backup` was given"
            )
        self.catalogue = self.folder / CATALOGUE

    def path(self, item: proving.Named) -> Path:
        if self.number == 0:
            return self.folder / item.store / item.name
        return self.backup.path(Stored(item.store, Digest(item.digest)))

    def removed(self) -> set[Digest]:
        return self.backup.removed() if self.number else set()


def _chosen(backup: BackupFolder, wanted: int | None) -> int:
    numbers = backup.numbers()
    if not numbers:
        raise NotFound(f"the backup in {backup.root} holds no finished state")
    if wanted is None:
        return numbers[-1]
    if wanted not in numbers:
        raise NotFound(
            f"the backup in {backup.root} has no state {wanted}", f"it has {', '.join(map(str, numbers))}"
        )
    return wanted


def restore(
    backup: Path, target: Path, *, generation: int | None = None, progress: Progress = SILENT
) -> Restored:
    """Make a library in the new folder `target` from a backup, which is only read.

    Whatever is whole is restored, the rest is listed. The catalogue is taken only if it is proven, has exactly our
    tables and indexes and no triggers, and names nothing outside; a stranger's settings count for little.
    Raises NotFound, WrongUsage for a folder that is not new, LibraryBroken, LibraryTooNew, DiskFull, DiskFails.
    """
    keep_to_owner()
    source = _Source(backup.expanduser().resolve(), generation)
    target = target.expanduser().resolve()
    _refuse_used(target, source)
    with disk_said_plainly(target):
        for name in FOLDERS:
            (target / name).mkdir(parents=True, exist_ok=True)
        make_private(target)
        sweep_staged(target)
        write_atomic(target / UNFINISHED, _stamp(source))
        try:
            identity = _bring_catalogue(source, target)
        except AssetlibError:
            _take_back(target)
            raise
        files, lost = _bring_files(source, target, progress)
        told = _bring_key(source, target) + _bring_settings(source, target, identity)
        (target / UNFINISHED).unlink()
        sync_folder(target)
    return Restored(target, source.number, files, tuple(lost), tuple(told))


def _take_back(target: Path) -> None:
    """Leave an empty folder where nothing could be restored: only what was made here goes."""
    (target / UNFINISHED).unlink(missing_ok=True)
    for name in FOLDERS:
        if (target / name).is_dir() and not any((target / name).iterdir()):
            (target / name).rmdir()


def _stamp(source: _Source) -> bytes:
    return json.dumps({"from": str(source.folder)}).encode()


def _refuse_used(target: Path, source: _Source) -> None:
    """Raises WrongUsage unless the folder is new, empty, or one that the same restoring was stopped in."""
    if target == source.backup.root or source.backup.root in target.parents:
        raise WrongUsage(f"{target} lies inside the backup", "name a new folder")
    if is_unused(target, FOLDERS):
        return
    if (target / SETTINGS_FILE).exists():
        raise WrongUsage(
            f"there is a library in {target} already", "restore makes a new one: name a new folder"
        )
    mark = target / UNFINISHED
    if not is_plain(mark) or mark.stat().st_size > 10_000 or mark.read_bytes() != _stamp(source):
        raise WrongUsage(f"{target} is not empty", "restore makes a new library: name a new folder")


def _bring_catalogue(source: _Source, target: Path) -> str:
    """Put the backup's catalogue in place, proven, brought up to this schema; returns the library's identity."""
    if not is_plain(source.catalogue):
        raise LibraryBroken(f"{source.catalogue} is missing", _other(source))
    for left in target.glob(f"{CATALOGUE}*"):
        left.unlink()
    for left in target.glob("restored.sqlite*"):
        left.unlink()
    copy = target / "restored.sqlite"
    _copy_catalogue(source, copy)
    try:
        _settle(copy)
        proof = proving.prove(copy)
        schema.refuse_other_tables(copy)
        with proving.reading_file(copy) as connection:
            list(proving.named_files(connection))
    except LibraryBroken as error:
        copy.unlink(missing_ok=True)
        raise LibraryBroken(error.sentence, _other(source)) from error
    if proof.schema != schema.SCHEMA_VERSION:
        schema.migrate(copy)
    _clean(copy, source.removed())
    _settle(copy)
    copy.rename(target / CATALOGUE)
    sync_folder(target)
    return proof.library


def _copy_catalogue(source: _Source, copy: Path) -> None:
    """The bytes of the backup's catalogue, and of its journal where it was stopped; room is looked for first."""
    parts = [(source.catalogue, copy)]
    journal = source.catalogue.with_name(f"{CATALOGUE}-wal")
    if source.number == 0 and is_plain(journal):
        parts.append((journal, copy.with_name(f"{copy.name}-wal")))
    size = sum(path.stat().st_size for path, _ in parts)
    if size > shutil.disk_usage(copy.parent).free:
        raise DiskFull(
            f"there is no room in {copy.parent} for the catalogue", "make room, then run the same again"
        )
    for path, place in parts:
        with path.open("rb") as opened, place.open("xb") as file:
            shutil.copyfileobj(opened, file)


def _settle(catalogue: Path) -> None:
    """Take a journal into the catalogue, so that it is one file."""
    try:
        with closing(sqlite3.connect(catalogue)) as connection:
            connection.execute("PRAGMA trusted_schema = OFF")
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(f"the catalogue is damaged ({error})") from error


def _clean(catalogue: Path, removed: set[Digest]) -> None:
    """Forget what a restored library does not have: derived files, and what was removed for good since."""
    now = dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    with closing(sqlite3.connect(catalogue)) as connection, connection:
        connection.execute("DELETE FROM derived WHERE path IS NOT NULL")
        known = {row[0] for row in connection.execute("SELECT sha256 FROM originals")}
        connection.executemany(
            "INSERT OR IGNORE INTO removals (sha256, removed_at) VALUES (?, ?)",
            [(digest, now) for digest in sorted(removed & known)],
        )


def _other(source: _Source) -> str:
    others = (
        [number for number in source.backup.numbers() if number != source.number] if source.number else []
    )
    return (
        f"take another state of this backup: --generation {others[-1]}" if others else "take another backup"
    )


def _bring_files(source: _Source, target: Path, progress: Progress) -> tuple[int, list[str]]:
    """Every file that the catalogue names, copied and read back; how many are there, and which are not."""
    with proving.reading_file(target / CATALOGUE) as connection:
        named = list(proving.named_files(connection))
    room = shutil.disk_usage(target).free
    if sum(_size(source.path(item)) for item in named) > room + _there(target):
        raise DiskFull(
            f"there is no room in {target} for what the backup holds", "make room, then run the same again"
        )
    lost = []
    for item in progress.track(named, "restoring", len(named)):
        place = target / item.store / item.name
        if not (is_plain(place) and _is_whole(item, place)) and not _bring(source.path(item), place, item):
            lost.append(f"{item.store}/{item.name}")
    for folder in {(target / item.store / item.name).parent for item in named}:
        if folder.is_dir():
            sync_folder(folder)
    return len(named) - len(lost), lost


def _size(path: Path) -> int:
    return path.stat().st_size if is_plain(path) else 0


def _there(target: Path) -> int:
    """Bytes that an earlier try has brought already."""
    return sum(_size(path) for name in generations.STORES for path in (target / name).rglob("*"))


def _is_whole(item: proving.Named, path: Path) -> bool:
    return digest_of_file(path) == item.digest


def _bring(source: Path, place: Path, item: proving.Named) -> bool:
    size = _size(source)
    if size > _LARGEST_PAPER if item.size is None else size != item.size:
        return False
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        copy_whole(source, place, item.digest)
    except SourceRotten:
        return False
    if item.store != "bundles":
        set_mode(place, READ_ONLY)
    return True


def _bring_key(source: _Source, target: Path) -> list[str]:
    """Put the signing key in place, and those of earlier days, where the backup has some that can be read."""
    told = []
    for path in sorted(source.folder.glob(OLD_KEYS)):
        try:
            put_key(path, target, path.name)
        except LibraryBroken as error:
            told.append(f"{error.sentence}: it is one of earlier days, what it signed stays valid")
    path = source.folder / KEY_FILE
    if not path.exists():
        return told
    try:
        put_key(path, target)
    except LibraryBroken as error:
        told.append(f"{error.sentence}: bundles that were issued stay valid, new ones need another key")
    return told


def _bring_settings(source: _Source, target: Path, identity: str) -> list[str]:
    """Write the library's settings; where the backup's cannot be read, the defaults. Now it is a library."""
    try:
        read_settings(source.folder)
    except BadSettings as error:
        write_settings(target, Settings(identity=identity))
        return [f"its settings could not be read ({error.sentence}): the defaults stand"]
    write_atomic(target / SETTINGS_FILE, (source.folder / SETTINGS_FILE).read_bytes())
    change_setting(target, "identity", identity)
    return []


def opened(restored: Restored) -> Library:
    """The restored library, also where all its originals were lost."""
    return Library.open(restored.folder, utc_now, repairing=True)
