"""Backups: each adds a state of the library beside the earlier ones, proven before it counts; none is replaced."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import proving
from assetlib.catalogue.identity import read_identity
from assetlib.catalogue.lookup import existing
from assetlib.catalogue.schema import copy_catalogue
from assetlib.config import SETTINGS_FILE, read_settings
from assetlib.errors import BackupRefused, BadSettings, LibraryBroken, NotFound, WrongUsage, disk_said_plainly
from assetlib.library import CATALOGUE, Library
from assetlib.progress import SILENT, Progress
from assetlib.storage import generations
from assetlib.storage.blobs import Digest, digest_of_file
from assetlib.storage.copying import SourceRotten, copy_whole
from assetlib.storage.durable import (
    is_plain,
    is_unused,
    make_private,
    staged_file,
    sync_folder,
    write_atomic,
)
from assetlib.storage.generations import BackupFolder, Note, Stored
from assetlib.storage.signing import KEY_FILE, OLD_KEYS

LAST_BACKUP = "last-backup.json"
"""In the library's folder: where the last backup went. Not in the catalogue, since the place is this machine's."""


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup holds; `copied` of its files are new in that folder, `lost` names what could not be saved."""

    folder: Path
    generation: int
    files: int
    copied: int
    lost: tuple[str, ...]
    removed: int
    """Files of drawings removed for good that went from the backup as well."""


@dataclass(frozen=True, slots=True)
class LastBackup:
    """Where and when a library was last backed up."""

    folder: Path
    generation: int
    made_at: dt.datetime


def last_backup(lib: Library) -> LastBackup | None:
    """The last backup that was made of this library on this machine, None where none is known."""
    try:
        found = json.loads((lib.folder / LAST_BACKUP).read_text(encoding="utf-8"))
        return LastBackup(
            Path(found["folder"]), int(found["generation"]), dt.datetime.fromisoformat(found["made_at"])
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def back_up(
    lib: Library, target: Path | None = None, progress: Progress = SILENT, *, older: bool = False
) -> Backup:
    """Add a state of the library to the backup in `target`, by default where the last one went.

    The catalogue is proven before it counts, every file read back; what cannot be saved is listed and the rest is
    saved. Derived data is left out: it can be made again. Raises WrongUsage for a folder that holds something else,
    BackupRefused for a backup of another library, or of a newer state unless `older`; LibraryBroken for a damaged
    catalogue; nothing in the folder has changed then.
    """
    target = _target(lib, target)
    with disk_said_plainly(target):
        new = not target.exists()
        folder = BackupFolder(target)
        library, _ = _who(lib.catalogue)
        _refuse_foreign(lib, folder, library)
        target.mkdir(parents=True, exist_ok=True)
        if new:
            make_private(target)
        with folder.locked():
            _adopt(folder, library)
            folder.begin(library)
            return _add(lib, folder, progress, older)


def _target(lib: Library, target: Path | None) -> Path:
    if target is None:
        last = last_backup(lib)
        if last is None:
            raise WrongUsage("this library was not backed up yet", "name a folder on another disk")
        if not last.folder.is_dir():
            raise NotFound(f"the folder of the last backup, {last.folder}, is not there", "plug its disk in")
        target = last.folder
    target = target.expanduser().resolve()
    if target == lib.folder or lib.folder in target.parents:
        raise WrongUsage(f"{target} lies inside the library itself", "name a folder on another disk")
    if target in lib.folder.parents:
        raise WrongUsage(f"{target} holds the library itself", "name a folder on another disk")
    if target.exists() and not target.is_dir():
        raise WrongUsage(f"{target} is no folder", "name a folder on another disk")
    return target


def _who(catalogue: Path) -> tuple[str, int]:
    """Identity and counter of a catalogue. Raises LibraryBroken."""
    try:
        with closing(sqlite3.connect(existing(catalogue), uri=True, timeout=30)) as connection:
            return read_identity(connection)
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(
            f"the catalogue {catalogue} is damaged ({error})", "restore the last backup"
        ) from error


def _refuse_foreign(lib: Library, folder: BackupFolder, library: str) -> None:
    """Raises WrongUsage or BackupRefused for a folder that is not empty and no backup of this library."""
    root = folder.root
    if folder.exists():
        if folder.library() != library:
            raise BackupRefused(f"{root} is the backup of another library", "name another folder")
        return
    if is_unused(root, _LEFT):
        return
    if not is_plain(root / CATALOGUE):
        raise WrongUsage(f"{root} is not empty and holds no backup", "name an empty folder")
    if is_live(root):
        raise BackupRefused(f"{root} is a library, not a backup", "name another folder")
    with proving.reading_file(root / CATALOGUE) as connection:
        if read_identity(connection)[0] != library:
            raise BackupRefused(f"{root} is the backup of another library", "name another folder")


_LEFT = {".lock", "generations", *generations.STORES}
"""What a backup that was stopped in its first moment leaves in an empty folder."""


def is_live(folder: Path) -> bool:
    """Whether a folder with a catalogue is a library at work, and not a backup as they were made before generations."""
    try:
        if read_settings(folder).identity:
            return True
    except BadSettings:
        pass
    if any((folder / f"{CATALOGUE}{ending}").exists() for ending in ("-wal", "-shm")):
        return True
    derived = folder / "derived"
    return derived.is_dir() and any(derived.iterdir())


def _adopt(folder: BackupFolder, library: str) -> None:
    """Make a backup from before generations the first generation of its folder."""
    root = folder.root
    if folder.exists() or not is_plain(root / CATALOGUE):
        return
    proof = proving.prove(root / CATALOGUE)
    with proving.reading_file(root / CATALOGUE) as connection:
        named = list(proving.named_files(connection))
    for name in ("generations", *generations.STORES):
        (root / name).mkdir(exist_ok=True)
    lost = []
    kept: set[Stored] = set()
    for item in named:
        stored = Stored(item.store, Digest(item.digest))
        saved, _ = _save(folder, stored, root / item.store / item.name)
        kept.add(stored) if saved else lost.append(f"{item.store}/{item.name}")
    _keep(folder, root / CATALOGUE, root / SETTINGS_FILE, library, proof, kept, lost)
    folder.begin(library)
    # From here on it is a backup of generations; what stood at its top is in the first one.
    for item in named:
        if item.store == "bundles":
            (root / "bundles" / item.name).unlink(missing_ok=True)
    for name in (CATALOGUE, SETTINGS_FILE):
        (root / name).unlink(missing_ok=True)


def _add(lib: Library, folder: BackupFolder, progress: Progress, older: bool) -> Backup:
    with folder.building() as building:
        # The catalogue first: files that come in while the rest is copied are simply not in this generation.
        copy = building / CATALOGUE
        copy_catalogue(lib.catalogue, copy)
        _forget_derived(copy)
        proof = proving.prove(copy)
        _refuse_older(folder, proof, older)
        with proving.reading_file(copy) as connection:
            named = list(proving.named_files(connection))
            removed = proving.removals(connection)
        kept, copied, lost = _save_all(lib, folder, named, progress)
        number = _keep(folder, copy, lib.folder / SETTINGS_FILE, proof.library, proof, kept, lost, lib.now())
    folder.forget_oldest(lib.settings.generations)
    gone = folder.remove({Digest(digest) for digest in removed} | folder.removed())
    _note_last(lib, folder, number)
    return Backup(folder.root, number, len(kept), copied, tuple(lost), gone)


def _forget_derived(catalogue: Path) -> None:
    """Derived files are not in a backup, so its catalogue must not say that they are there."""
    try:
        with closing(sqlite3.connect(catalogue)) as connection, connection:
            connection.execute("DELETE FROM derived WHERE path IS NOT NULL")
    except sqlite3.DatabaseError as error:
        raise LibraryBroken(f"the catalogue is damaged ({error})", "restore the last backup") from error


def _refuse_older(folder: BackupFolder, proof: proving.Proof, older: bool) -> None:
    numbers = folder.numbers()
    if not numbers or older:
        return
    try:
        last = folder.note(numbers[-1])
    except LibraryBroken:
        return
    if proof.writes < last.writes:
        raise BackupRefused(
            f"the library is older than the last state in {folder.root}, of {last.made_at[:10]}",
            "is this the right library? if so, add it all the same: --older",
        )


def _save_all(
    lib: Library, folder: BackupFolder, named: list[proving.Named], progress: Progress
) -> tuple[set[Stored], int, list[str]]:
    """What is safe now, how much of it is new, and what could not be saved."""
    kept: set[Stored] = set()
    lost: list[str] = []
    copied = 0
    for item in progress.track(named, "backing up", len(named)):
        stored = Stored(item.store, Digest(item.digest))
        saved, new = _save(folder, stored, lib.folder / item.store / item.name)
        copied += new
        kept.add(stored) if saved else lost.append(f"{item.store}/{item.name}")
    for name in generations.STORES:
        for place in {folder.path(item).parent for item in kept if item.store == name}:
            sync_folder(place)
    return kept, copied, lost


def _save(folder: BackupFolder, stored: Stored, source: Path) -> tuple[bool, bool]:
    """Whether a file is safe in the backup, and whether it was copied for that; rotten copies are made good."""
    store = folder.store(stored.store)
    if store.verify(stored.digest):
        return True, False
    target = store.path(stored.digest)
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        copy_whole(source, target, stored.digest)
    except SourceRotten:
        return False, False
    return True, True


def _keep(
    folder: BackupFolder,
    catalogue: Path,
    settings: Path,
    library: str,
    proof: proving.Proof,
    kept: set[Stored],
    lost: list[str],
    made_at: dt.datetime | None = None,
) -> int:
    """Let a state count as the next generation; returns its number."""
    numbers = folder.numbers()
    number = numbers[-1] + 1 if numbers else 1
    made_at = made_at or dt.datetime.fromtimestamp(catalogue.stat().st_mtime, dt.UTC)
    with folder.building() as building:
        # the key lies beside the settings; whoever has the backup can sign as this library
        old = sorted(settings.parent.glob(OLD_KEYS))
        keys = [settings.with_name(KEY_FILE), *old]
        beside = ((settings, generations.SETTINGS), *((path, path.name) for path in keys))
        for source, name in ((catalogue, generations.CATALOGUE), *beside):
            if is_plain(source):
                with staged_file(building) as (file, staged), source.open("rb") as opened:
                    shutil.copyfileobj(opened, file)
                staged.rename(building / name)
        digest = digest_of_file(building / generations.CATALOGUE)
        if proving.prove(building / generations.CATALOGUE) != proof:
            raise LibraryBroken("the catalogue changed while it was copied", "run the same again")
        folder.write_list(building, sorted(kept, key=lambda item: (item.store, item.digest)))
        note = Note(
            number, library, made_at.astimezone(dt.UTC).isoformat(), proof.writes, proof.schema, digest,
            proof.counts, len(kept), tuple(lost),
        )  # fmt: skip
        folder.keep(building, note)
    return number


def _note_last(lib: Library, folder: BackupFolder, number: int) -> None:
    note = {
        "folder": str(folder.root),
        "generation": number,
        "made_at": lib.now().astimezone(dt.UTC).isoformat(),
    }
    write_atomic(lib.folder / LAST_BACKUP, json.dumps(note, indent=1).encode())
