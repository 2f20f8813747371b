"""Originals under the SHA-256 of their bytes: written once, read-only, never replaced."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NewType

from assetlib.errors import LibraryBroken
from assetlib.storage.durable import (
    READ_ONLY,
    WRITABLE,
    is_inside,
    is_plain,
    no_room_said_plainly,
    rename_unless_there,
    set_mode,
    staged_file,
    sync_folder,
    write_atomic,
)

__all__ = ["BlobStore", "Digest", "as_digest", "digest_of", "digest_of_file", "write_atomic"]

Digest = NewType("Digest", str)
"""64 lower-case hexadecimal digits: the SHA-256 of some bytes."""

_DIGEST = re.compile(r"[0-9a-f]{64}")


def as_digest(text: str) -> Digest:
    """The text as a digest; `ValueError` when it is none, so that it cannot lead out of the store."""
    if not _DIGEST.fullmatch(text):
        raise ValueError(f"not a SHA-256 in lower-case hexadecimal: {text!r}")
    return Digest(text)


def digest_of(data: bytes) -> Digest:
    """The digest of some bytes."""
    return Digest(hashlib.sha256(data).hexdigest())


def digest_of_file(path: Path) -> Digest:
    """The digest of a file, read in pieces."""
    with path.open("rb") as file:
        return Digest(hashlib.file_digest(file, "sha256").hexdigest())


class BlobStore:
    """Files named by their digest, two levels of folders deep (`ab/cd/abcd…`)."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._unsynced: set[Path] = set()
        self.healed = 0
        """Blobs that were rotten and got their right bytes back."""

    @property
    def staging(self) -> Path:
        """The folder for files on their way in; it is on the same disk, so a rename suffices."""
        folder = self.root / "staging"
        folder.mkdir(parents=True, exist_ok=True)
        return folder

    def path(self, digest: Digest) -> Path:
        """Where the blob lies, or would lie."""
        name = as_digest(digest)
        return self.root / name[:2] / name[2:4] / name

    def put_bytes(self, data: bytes) -> Digest:
        """The digest of `data`, which is in the store when this returns."""
        digest = digest_of(data)
        if not self.verify(digest):
            with staged_file(self.staging) as (file, staged):
                file.write(data)
            self.put_staged(staged, digest)
        return digest

    def put_staged(self, staged: Path, digest: Digest) -> Path:
        """Where the blob lies, after a finished and synced temporary file was renamed to it.

        The caller vouches for the digest. A blob that is there already and whole stays
        untouched, since another process may have it open, and `staged` is removed; one that
        was altered or cut short gets its right bytes back.
        """
        target = self.place_staged(staged, digest)
        self.sync_names()
        return target

    def place_staged(self, staged: Path, digest: Digest) -> Path:
        """The same, but a power cut may lose the blob until `sync_names` was called: for many files at a time."""
        target = self.path(digest)
        if not is_inside(target.parent, self.root):
            raise LibraryBroken(f"{target.parent} is a link that leads out of the library", "remove the link")
        with no_room_said_plainly(self.root):
            target.parent.mkdir(parents=True, exist_ok=True)
        # before the rename: a blob is never seen writable
        set_mode(staged, READ_ONLY)
        if not rename_unless_there(staged, target):
            if is_plain(target) and digest_of_file(target) == digest:
                set_mode(staged, WRITABLE)  # Windows removes no read-only file
                staged.unlink()
            else:
                self._heal(staged, target)
        # also of a blob that is there: whoever placed it may have been stopped before syncing
        self._unsynced.update((target.parent, target.parent.parent, self.root))
        return target

    def _heal(self, staged: Path, target: Path) -> None:
        """Put the right bytes where rotten ones, or a link, lie."""
        if is_plain(target):
            set_mode(target, WRITABLE)  # Windows replaces no read-only file
        os.replace(staged, target)
        self.healed += 1

    def sync_names(self) -> None:
        """Make the names of all blobs placed so far last, each folder synced once."""
        for folder in self._unsynced:
            sync_folder(folder)
        self._unsynced.clear()

    def open(self, digest: Digest) -> BinaryIO:
        """The blob, open for reading; `LibraryBroken` when it is not there."""
        try:
            return self.path(digest).open("rb")
        except FileNotFoundError as error:
            raise LibraryBroken(
                f"The original {digest[:12]}… is missing from {self.root}.",
                "assetlib check says what is affected; a backup brings it back.",
            ) from error

    def verify(self, digest: Digest) -> bool:
        """Whether the blob is there and its bytes can be read and still have this digest."""
        path = self.path(digest)
        try:
            return is_plain(path) and digest_of_file(path) == digest
        except OSError:
            return False

    def all(self) -> Iterator[Digest]:
        """Every digest in the store, in order; files with other names are passed over."""
        for path in sorted(self.root.glob("[0-9a-f][0-9a-f]/[0-9a-f][0-9a-f]/*")):
            if _DIGEST.fullmatch(path.name) and self.path(Digest(path.name)) == path:
                yield Digest(path.name)
