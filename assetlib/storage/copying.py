"""Copying a file so that the copy is known to be right: read back, under its name only when it is whole."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import BinaryIO

from assetlib.errors import LibraryBroken
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.durable import is_plain, move_over, staged_file


class SourceRotten(LibraryBroken):
    """A file that was to be copied is gone, cannot be read, or is no longer what it was."""

    def __init__(self, source: Path) -> None:
        super().__init__(
            f"{source} is missing or no longer what it was", "assetlib check says what is affected"
        )


def copy_whole(source: Path, target: Path, digest: str) -> None:
    """Copy a file and see that the copy has this digest; raises SourceRotten, and OSError for the target's disk."""
    if not is_plain(source):
        raise SourceRotten(source)
    with staged_file(target.parent) as (file, staged):
        found = _pour(source, file)
    # Read back: what the disk holds is what counts, not what was meant to be written.
    if found != digest or digest_of_file(staged) != digest:
        staged.unlink(missing_ok=True)
        raise SourceRotten(source)
    _keep_time(source, staged)
    move_over(staged, target)


def _pour(source: Path, file: BinaryIO) -> str:
    """Copy a source's bytes into an open file; returns their digest. Raises SourceRotten where they cannot be read."""
    summed = hashlib.sha256()
    try:
        opened = source.open("rb")
    except OSError as error:
        raise SourceRotten(source) from error
    with opened:
        while True:
            try:
                data = opened.read(1 << 20)
            except OSError as error:
                raise SourceRotten(source) from error
            if not data:
                return summed.hexdigest()
            summed.update(data)
            file.write(data)


def _keep_time(source: Path, copy: Path) -> None:
    try:
        status = source.stat()
        os.utime(copy, ns=(status.st_atime_ns, status.st_mtime_ns))
    except OSError:
        return
