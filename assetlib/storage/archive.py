"""A ZIP whose every byte follows from its files and one date, and a wary reader of such ZIPs.

Layout: PKWARE's ZIP application note 6.3 (local header, central directory, end
record; from memory, checked in tests with unzip and the standard library),
stored entries only. Written by hand: the promise that the same files give the
same SHA-256 has to outlast changes in compressors and in library defaults. It
also lets a reader rebuild the archive and so notice a change in any byte.
"""

from __future__ import annotations

import re
import stat
import struct
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import NamedTuple

from assetlib.errors import BundleInvalid
from assetlib.storage.problems import Problem

SEGMENT = r"[a-z0-9][a-z0-9._-]*(?<!\.)"
"""One name in a path: the same file on every system, no accents, no spaces, no final dot."""

UNREADABLE = (zipfile.BadZipFile, EOFError, OSError, RuntimeError, ValueError, struct.error, zlib.error)
"""What the standard reader raises for archives that are damaged or made to trap it."""

_PATH = re.compile(rf"{SEGMENT}(/{SEGMENT})*")
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)")
_FILE_MODE = stat.S_IFREG | 0o644
_SHOWN = 200
_UNIX = 3
_NEEDS = 20
_MOST_ENTRIES = 0xFFFF
_MOST_BYTES = 0xFFFFFFFF
"""Beyond these a ZIP needs 64-bit records, which some buyers' tools still refuse."""
_LARGEST_FILE = 512 * 1024 * 1024
"""Bytes; a file is held in memory once while it is written and while it is checked."""


class _Placed(NamedTuple):
    name: bytes
    checksum: int
    size: int
    offset: int


def is_safe_path(path: str) -> bool:
    """Whether a path means one file inside the folder it is unpacked in, on every system."""
    return bool(_PATH.fullmatch(path)) and not any(_RESERVED.match(part) for part in path.split("/"))


def archive_chunks(entries: Iterable[tuple[str, bytes]], day: date) -> Iterator[bytes]:
    """The archive's bytes in order. `day` (1980 to 2107) is every entry's date."""
    stamp = struct.pack("<HH", 0, (day.year - 1980) << 9 | day.month << 5 | day.day)
    placed: list[_Placed] = []
    offset = 0
    for name, data in entries:
        entry = _Placed(name.encode("ascii"), zlib.crc32(data), len(data), offset)
        header = _local_header(entry, stamp)
        offset += len(header) + len(data)
        if offset > _MOST_BYTES or len(placed) == _MOST_ENTRIES:
            raise BundleInvalid("The bundle would be larger than 4 GB.", "Split the collection in two.")
        if len(data) > _LARGEST_FILE:
            raise BundleInvalid(f"{name} is larger than 512 MB.", "Make its clean copy smaller.")
        placed.append(entry)
        yield header
        yield data
    directory = b"".join(_directory_entry(entry, stamp) for entry in placed)
    yield directory
    yield _end_record(len(placed), len(directory), offset)


def _local_header(entry: _Placed, stamp: bytes) -> bytes:
    start = struct.pack("<4sHHH", b"PK\x03\x04", _NEEDS, 0, zipfile.ZIP_STORED)
    sizes = struct.pack("<LLLHH", entry.checksum, entry.size, entry.size, len(entry.name), 0)
    return start + stamp + sizes + entry.name


def _directory_entry(entry: _Placed, stamp: bytes) -> bytes:
    start = struct.pack("<4sBBHHH", b"PK\x01\x02", _NEEDS, _UNIX, _NEEDS, 0, zipfile.ZIP_STORED)
    sizes = struct.pack("<LLLHHH", entry.checksum, entry.size, entry.size, len(entry.name), 0, 0)
    place = struct.pack("<HHLL", 0, 0, _FILE_MODE << 16, entry.offset)
    return start + stamp + sizes + place + entry.name


def _end_record(count: int, size: int, offset: int) -> bytes:
    return struct.pack("<4sHHHHLLH", b"PK\x05\x06", 0, 0, count, count, size, offset, 0)


def odd_entries(infos: list[zipfile.ZipInfo], archive_size: int) -> list[Problem]:
    """What in the table of contents could trick whoever unpacks it; nothing has been read yet."""
    problems = [
        Problem(code, f"{info.orig_filename[:_SHOWN]!r} {why}.")
        for info in infos
        for code, why in _oddities(info)
    ]
    for name, times in Counter(info.orig_filename for info in infos).items():
        if times > 1:
            problems.append(Problem("duplicate-entry", f"{name[:_SHOWN]!r} is there {times} times."))
    if sum(info.compress_size for info in infos) > archive_size:
        problems.append(Problem("overlapping", "Its files together are larger than the archive they lie in."))
    return problems


def could_trap(infos: list[zipfile.ZipInfo], odd: list[Problem], archive_size: int) -> bool:
    """Whether some of the oddities are such that nothing should be read; a copy that was only packed anew is safe.

    What is read are files under plain paths, compressed or not, that together are not too large for the archive.
    """
    if {problem.code for problem in odd} - PACKING:
        return True
    files = [info for info in infos if not info.is_dir()]
    if not all(is_safe_path(info.orig_filename) for info in files):
        return True
    return sum(info.file_size for info in files) > _SHRUNK * archive_size


PACKING = frozenset({"unsafe-path", "not-a-plain-file", "compressed"})
"""Oddities that any program leaves which packs a folder anew: entries of folders, other marks, compression."""
_SHRUNK = 20
"""Times the size of the archive that its files may have together; pictures packed again keep about their size."""


def _oddities(info: zipfile.ZipInfo) -> Iterator[tuple[str, str]]:
    mode = info.external_attr >> 16
    # orig_filename: the other one is cut at a NUL and has its slashes turned
    if not is_safe_path(info.orig_filename):
        yield "unsafe-path", "is not a plain path of small letters, digits, dots and dashes"
    if stat.S_ISLNK(mode):
        yield "link", "is a link"
    elif mode != _FILE_MODE:
        yield "not-a-plain-file", "is not marked as a plain file"
    if info.flag_bits & 0x1:
        yield "encrypted", "is encrypted"
    if info.file_size > _LARGEST_FILE:
        yield "too-large", "is larger than a file in a bundle can be"
    if info.compress_type != zipfile.ZIP_STORED or info.file_size != info.compress_size:
        yield "compressed", "is compressed; a sealed bundle stores its files as they are"


def is_as_written(path: Path, archive: zipfile.ZipFile, day: date) -> bool:
    """Whether the file is, to the last byte, what `archive_chunks` makes of its entries in order."""
    names = sorted(archive.namelist())
    try:
        with path.open("rb") as file:
            chunks = archive_chunks(((name, archive.read(name)) for name in names), day)
            return all(file.read(len(chunk)) == chunk for chunk in chunks) and not file.read(1)
    except (*UNREADABLE, BundleInvalid):
        return False
