"""What the system says of the disk that a folder lies on: whether its locks can be trusted, whether it knows owners."""

from __future__ import annotations

import os
from pathlib import Path

REMOTE = frozenset(
    {
        *("nfs", "nfs3", "nfs4", "cifs", "smb", "smb2", "smb3", "smbfs", "afs", "afpfs", "webdav", "davfs"),
        *("ncpfs", "9p", "ceph", "glusterfs", "lustre", "gfs2", "ocfs2", "fuse.sshfs", "fuse.rclone"),
        *("fuse.davfs2", "fuse.s3fs", "fuse.gcsfuse", "fuse.glusterfs", "fuse.cephfs", "fuse.curlftpfs"),
    }
)
"""File systems that reach over a network. Kernel and driver names from memory; sqlite.org/howtocorrupt.html 2.1 and
sqlite.org/useovernet.html say why SQLite's locks are not to be trusted there."""

OWNERLESS = frozenset(
    {"vfat", "msdos", "exfat", "fuse.exfat", "ntfs", "ntfs3", "fuseblk", "fat32", "fat", "udf", "iso9660"}
)
"""File systems that keep no owner of a file, or show one to all; drivers' names from memory."""

_CLOUD_ATTRIBUTES = 0x0004_0000 | 0x0040_0000 | 0x0008_0000 | 0x0010_0000
"""Windows file attributes RECALL_ON_OPEN, RECALL_ON_DATA_ACCESS, PINNED, UNPINNED (winnt.h, from memory): a program
that keeps a folder in step with another place has put them there."""
_DATALESS = 0x4000_0000
"""SF_DATALESS (sys/stat.h of macOS, from memory): the contents are elsewhere until they are asked for."""
_REMOTE_DRIVE = 4
"""DRIVE_REMOTE of GetDriveTypeW."""


def warnings(folder: Path, catalogue: Path | None = None) -> list[str]:
    """Sentences on a place where a library is not safe; empty for a plain disk."""
    found = []
    kind = file_system(folder)
    if kind in REMOTE or _on_network_drive(folder):
        found.append(
            f"{folder} lies on a network drive ({kind or 'remote'}): open the library from one computer at a time, "
            "and keep a backup elsewhere"
        )
    if any(is_synced(path) for path in (folder, catalogue) if path is not None):
        found.append(
            f"{folder} is kept in step with another place by a sync program, which can mix old and new parts of the "
            "catalogue: keep the library elsewhere, and put a backup there instead"
        )
    return found


def knows_no_owners(folder: Path) -> bool:
    """Whether the disk that a folder lies on keeps no owners and permissions."""
    return file_system(folder) in OWNERLESS


def file_system(folder: Path) -> str:
    """The kind of file system that a folder lies on, in small letters; empty where the system does not tell."""
    import psutil

    try:
        parts = psutil.disk_partitions(all=True)
    except OSError:
        return ""
    place = folder.resolve()
    around = [part for part in parts if place.is_relative_to(part.mountpoint)]
    nearest = max(around, key=lambda part: len(Path(part.mountpoint).parts), default=None)
    return nearest.fstype.lower() if nearest else ""


def is_synced(path: Path) -> bool:
    """Whether the file system says that another program holds or fetches the contents of a file or folder."""
    try:
        status = path.stat()
    except OSError:
        return False
    attributes = getattr(status, "st_file_attributes", 0)
    flags = getattr(status, "st_flags", 0)
    return bool(attributes & _CLOUD_ATTRIBUTES or flags & _DATALESS) or _has_provider(path)


def _has_provider(path: Path) -> bool:
    """Whether an extended attribute names a provider of the file, as clients of such services set them."""
    if not hasattr(os, "listxattr"):
        return False
    for place in (path, *path.resolve().parents):
        try:
            names = os.listxattr(place)
        except OSError:
            continue
        if any("fileprovider" in name or "cloud" in name.lower() for name in names):
            return True
    return False


def _on_network_drive(folder: Path) -> bool:
    if os.name != "nt":
        return False
    import ctypes

    drive = f"{folder.resolve().drive}\\"
    windows = getattr(ctypes, "windll")  # noqa: B009  # no other system has it
    return drive.startswith("\\\\") or windows.kernel32.GetDriveTypeW(drive) == _REMOTE_DRIVE
