"""Writing so that a power cut leaves the old file or the new one, never half of either."""

from __future__ import annotations

import errno
import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from assetlib.errors import DiskFull

_NO_ROOM = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}


@contextmanager
def no_room_said_plainly(folder: Path) -> Iterator[None]:
    """Turn the system's "no space" into `DiskFull`; every other error passes."""
    try:
        yield
    except OSError as error:
        if error.errno not in _NO_ROOM:
            raise
        raise DiskFull(
            f"There is no room left in {folder}.", "Free some space and run the same again."
        ) from error


def sync_folder(folder: Path) -> None:
    """Make names just given in a folder last; does nothing where folders cannot be synced."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        # network and user-space file systems may not know how to sync a folder
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(handle)


@contextmanager
def staged_file(folder: Path) -> Iterator[tuple[BinaryIO, Path]]:
    """A new temporary file in `folder` and its path, on disk once the block ends.

    An error inside the block removes the file. Whoever asks renames or removes it.
    """
    path = folder / f".new-{uuid.uuid4().hex}"
    try:
        # opened plainly, so that the file gets the permissions the user's other files get
        with no_room_said_plainly(folder), path.open("xb") as file:
            yield file, path
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def write_atomic(path: Path, data: bytes) -> None:
    """Put `data` at `path`, replacing what was there in one step."""
    with staged_file(path.parent) as (file, staged):
        file.write(data)
    move_over(staged, path)


def move_over(staged: Path, path: Path) -> None:
    """Rename a finished temporary file to `path`; an older file there is replaced."""
    try:
        os.replace(staged, path)
    except OSError:
        staged.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def move_unless_there(staged: Path, path: Path) -> bool:
    """Whether the finished temporary file became `path`; False leaves both as they are."""
    moved = rename_unless_there(staged, path)
    if moved:
        sync_folder(path.parent)
    return moved


def rename_unless_there(staged: Path, path: Path) -> bool:
    """The same without making the name last, for a caller who syncs the folders of many files at once."""
    if path.exists():
        return False
    try:
        # not os.replace: on Windows that would take the place of a file somebody has open
        os.rename(staged, path)
    except FileExistsError:
        return False
    return True
