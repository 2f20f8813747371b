"""A backup folder: states of one library side by side, their files shared by digest, nothing ever replaced.

    backup.json                     whose backup this is
    generations/0001/               catalogue.sqlite, assetlib.toml, files.sha256, generation.json, and signing.key
                                    where the library has one
    originals/ab/cd/abcd…           and papers/, bundles/ alike
    removed.txt                     digests that were removed for good, whatever a generation lists

`sha256sum -c generations/0001/files.sha256`, run in the backup folder, proves a generation without assetlib.
A folder is a generation once it has its number as its name; it is built under another one.
"""

from __future__ import annotations

import json
import re
import shutil
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from assetlib.errors import LibraryBroken, LibraryBusy
from assetlib.storage.blobs import BlobStore, Digest, as_digest
from assetlib.storage.durable import is_plain, staged_file, sync_folder, write_atomic

MARK = "backup.json"
CATALOGUE, SETTINGS, LISTED, NOTE = "catalogue.sqlite", "assetlib.toml", "files.sha256", "generation.json"
STORES = ("originals", "papers", "bundles")
FORMAT = "assetlib-backup"

_NUMBER = re.compile(r"[0-9]{4,9}")
_LINE = re.compile(
    r"([0-9a-f]{64})  (originals|papers|bundles)/([0-9a-f]{2})/([0-9a-f]{2})/([0-9a-f]{64})\n?"
)
_LARGEST_NOTE = 64 << 20
"""Bytes of a note that is read: a million lost files, named, would fit."""
_LONGEST_LINE = 200


@dataclass(frozen=True, slots=True)
class Stored:
    """A file of a generation: the store it lies in and its digest."""

    store: str
    digest: Digest


@dataclass(frozen=True, slots=True)
class Note:
    """What a generation says of itself; `lost` are files that could not be saved, in words."""

    number: int
    library: str
    made_at: str
    writes: int
    schema: str
    catalogue: str
    """SHA-256 of its catalogue file."""
    counts: dict[str, int]
    files: int
    lost: tuple[str, ...] = ()


class BackupFolder:
    """A folder that holds generations, or is about to."""

    def __init__(self, root: Path) -> None:
        self.root = root

    @property
    def generations(self) -> Path:
        """The folder of all generations."""
        return self.root / "generations"

    def exists(self) -> bool:
        """Whether this is a backup folder."""
        return is_plain(self.root / MARK)

    def begin(self, library: str) -> None:
        """Make it a backup folder of this library."""
        for name in ("generations", *STORES):
            (self.root / name).mkdir(parents=True, exist_ok=True)
        if not self.exists():
            text = json.dumps({"format": FORMAT, "version": 1, "library": library}, indent=1)
            write_atomic(self.root / MARK, text.encode())

    def library(self) -> str:
        """The identity of the library that it backs up. Raises LibraryBroken for a mark that cannot be read."""
        marked = _read_json(self.root / MARK)
        if marked.get("format") != FORMAT or marked.get("version") != 1:
            raise LibraryBroken(f"{self.root / MARK} is not one that this assetlib knows", "update assetlib")
        return str(marked.get("library", ""))

    def store(self, name: str) -> BlobStore:
        """One of the shared stores."""
        return BlobStore(self.root / name)

    def path(self, stored: Stored) -> Path:
        """Where a file lies, or would lie."""
        return self.store(stored.store).path(stored.digest)

    def numbers(self) -> list[int]:
        """The generations that are there, the oldest first."""
        if not self.generations.is_dir():
            return []
        names = (path.name for path in self.generations.iterdir() if path.is_dir() and not path.is_symlink())
        return sorted(int(name) for name in names if _NUMBER.fullmatch(name))

    def folder(self, number: int) -> Path:
        """The folder of a generation."""
        return self.generations / f"{number:04}"

    def note(self, number: int) -> Note:
        """What a generation says of itself. Raises LibraryBroken where it cannot be read."""
        path = self.folder(number) / NOTE
        found = _read_json(path)
        try:
            return Note(
                number=number,
                library=str(found["library"]),
                made_at=str(found["made_at"]),
                writes=int(found["writes"]),
                schema=str(found["schema"]),
                catalogue=as_digest(str(found["catalogue"])),
                counts={str(key): int(value) for key, value in dict(found["counts"]).items()},
                files=int(found["files"]),
                lost=tuple(str(item) for item in found["lost"]),
            )
        except (KeyError, TypeError, ValueError, OverflowError) as error:  # JSON numbers may be infinite
            raise LibraryBroken(f"{path} is damaged ({error})", "take another generation") from error

    def listed(self, number: int) -> Iterator[Stored]:
        """Every file of a generation. Raises LibraryBroken where its list cannot be read."""
        path = self.folder(number) / LISTED
        try:
            with path.open(encoding="ascii") as file:
                while line := file.readline(_LONGEST_LINE):
                    match = _LINE.fullmatch(line)
                    if match is None or match[1] != match[5] or match[1][:4] != match[3] + match[4]:
                        raise LibraryBroken(f"{path} has a line that names no file of a backup")
                    yield Stored(match[2], Digest(match[1]))
        except (OSError, UnicodeDecodeError) as error:
            raise LibraryBroken(f"{path} cannot be read ({error})", "take another generation") from error

    def write_list(self, folder: Path, files: Iterable[Stored]) -> None:
        """Write the list of a generation that is being built, as sha256sum reads it."""
        with staged_file(folder) as (file, staged):
            for item in files:
                place = self.path(item).relative_to(self.root).as_posix()
                file.write(f"{item.digest}  {place}\n".encode())
        staged.rename(folder / LISTED)

    @contextmanager
    def building(self) -> Iterator[Path]:
        """A folder for a generation that is being built; gone unless `keep` took it."""
        folder = self.generations / f".new-{uuid.uuid4().hex}"
        folder.mkdir(parents=True)
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def keep(self, folder: Path, note: Note) -> None:
        """Let a finished generation count: from here on it is there, whole, and never changed."""
        write_atomic(folder / NOTE, json.dumps(asdict(note), indent=1, ensure_ascii=False).encode())
        sync_folder(folder)
        folder.rename(self.folder(note.number))
        sync_folder(self.generations)

    def removed(self) -> set[Digest]:
        """Digests that were removed for good: no generation brings them back."""
        path = self.root / "removed.txt"
        if not is_plain(path):
            return set()
        with path.open(encoding="ascii", errors="replace") as file:
            words = (line.strip() for line in file)
            return {Digest(word) for word in words if re.fullmatch("[0-9a-f]{64}", word)}

    def remove(self, digests: set[Digest]) -> int:
        """Note digests as removed, and take their files away; returns how many files went."""
        known = self.removed()
        if digests - known:
            text = "".join(f"{digest}\n" for digest in sorted(known | digests))
            write_atomic(self.root / "removed.txt", text.encode())
        gone = 0
        for digest in digests:
            path = self.store("originals").path(digest)
            if is_plain(path):
                path.unlink()
                gone += 1
        return gone

    def forget_oldest(self, keep: int) -> list[int]:
        """Take away all but the newest `keep` generations, and the files that none of those lists."""
        numbers = self.numbers()
        gone = numbers[:-keep] if len(numbers) > keep else []
        for number in gone:
            left = self.generations / f".gone-{uuid.uuid4().hex}"
            self.folder(number).rename(left)
        for left in self.generations.glob(".gone-*"):
            shutil.rmtree(left, ignore_errors=True)
        for left in self.generations.glob(
            ".new-*"
        ):  # a backup that was stopped; its lock is free, or we had none
            shutil.rmtree(left, ignore_errors=True)
        if gone:
            self._sweep()
        return gone

    def _sweep(self) -> None:
        """Take away files that no generation lists; none where one of the lists cannot be read."""
        try:
            wanted = {item for number in self.numbers() for item in self.listed(number)}
        except LibraryBroken:
            return
        for name in STORES:
            store = self.store(name)
            for digest in list(store.all()):
                if Stored(name, digest) not in wanted:
                    store.path(digest).unlink()

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Hold the folder against another backup into it. Raises LibraryBusy while one is under way."""
        with (self.root / ".lock").open("a+b") as file:
            if not _lock(file.fileno()):
                raise LibraryBusy(f"another backup to {self.root} is under way", "try again when it is done")
            yield


def _lock(handle: int) -> bool:
    """Whether a file could be locked; True as well where the system or the drive has no such locks."""
    try:
        import fcntl
    except ImportError:  # Windows: two backups at once are told apart by their generation's number alone
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True


def _read_json(path: Path) -> dict[str, Any]:
    try:
        if not is_plain(path) or path.stat().st_size > _LARGEST_NOTE:
            raise LibraryBroken(f"{path} is not what a backup has in its place", "take another generation")
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:
        raise LibraryBroken(f"{path} cannot be read ({error})", "take another generation") from error
    if not isinstance(found, dict):
        raise LibraryBroken(f"{path} is damaged", "take another generation")
    return found
