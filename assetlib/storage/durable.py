"""Writing so that a power cut leaves the old file or the new one, never half of either."""

from __future__ import annotations

import errno
import os
import re
import stat
import uuid
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from assetlib.errors import is_no_room, refused

OWNER_ONLY = 0o077
"""Permission bits that nobody but the owner of a library gets on anything in it."""
READ_ONLY = stat.S_IRUSR
WRITABLE = stat.S_IRUSR | stat.S_IWUSR


@contextmanager
def no_room_said_plainly(folder: Path) -> Iterator[None]:
    """Turn the system's "no space" into `DiskFull`; every other error passes."""
    try:
        yield
    except OSError as error:
        if not is_no_room(error):
            raise
        raise refused(error, folder) from error


def keep_to_owner() -> None:
    """Give what this process and its workers make from now on to its owner alone."""
    before = os.umask(OWNER_ONLY)
    if before & OWNER_ONLY != OWNER_ONLY:
        _users.append(before)


_users: list[int] = []
"""The umask that the user works with, for files that are handed out."""


def hand_out(path: Path) -> None:
    """Give a file that was written for others the permissions that the user's other files get."""
    if _users:
        set_mode(path, 0o666 & ~_users[-1])


def set_mode(path: Path, mode: int) -> None:
    """Set permissions where the file system has them: an external drive may know none."""
    try:
        path.chmod(mode)
    except OSError:
        return


def make_private(path: Path) -> None:
    """Take a file or folder from other users; left as it is where the file system knows no owners."""
    try:
        path.chmod(stat.S_IMODE(path.stat().st_mode) & ~OWNER_ONLY)
    except OSError:
        return


def is_inside(path: Path, folder: Path) -> bool:
    """Whether a path, all links followed, ends inside a folder."""
    return path.resolve().is_relative_to(folder.resolve())


def is_plain(path: Path) -> bool:
    """Whether a path is a file itself: no link, no folder, nothing that waits for a writer."""
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except (OSError, ValueError):
        return False


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


_STAGED = re.compile(r"\.new-[0-9a-f]{32}")
"""Names of our temporary files: what a stopped command leaves of its last write."""


def is_unused(folder: Path, ours: Collection[str] = ()) -> bool:
    """Whether a folder is not there, or holds nothing but what a stopped command leaves in its first moment.

    That is temporary files and, of the names in `ours`, empty folders and plain files.
    """
    if not folder.exists():
        return True
    if not folder.is_dir():
        return False
    return all(
        _STAGED.fullmatch(path.name) or (path.name in ours and _is_bare(path)) for path in folder.iterdir()
    )


def _is_bare(path: Path) -> bool:
    return is_plain(path) or (path.is_dir() and not path.is_symlink() and not any(path.iterdir()))


def sweep_staged(folder: Path) -> None:
    """Remove the temporary files that a stopped command left in a folder, not below it."""
    for path in folder.iterdir():
        if _STAGED.fullmatch(path.name) and is_plain(path):
            path.unlink(missing_ok=True)


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
