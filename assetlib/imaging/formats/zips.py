"""ZIP containers, opened only after what they declare was found harmless."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib

from assetlib.errors import BadPicture

MOST_ENTRIES = 10_000
MOST_UNPACKED = 1 << 30  # bytes of one entry, and of all together times four
MOST_RATIO = 400  # unpacked to packed; deflated drawings stay under 200, a bomb reaches 1,000

_UNREADABLE = (zipfile.BadZipFile, zlib.error, struct.error, OSError, EOFError, RuntimeError, ValueError)
"""What zipfile raises for damaged files; a place before the file's beginning is a ValueError."""


def open_zip(data: bytes) -> zipfile.ZipFile:
    """The archive. Raises BadPicture for damage, too many entries or sizes of a bomb."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _UNREADABLE:
        raise BadPicture("damaged: its ZIP container cannot be read", "Save or copy it again.") from None
    entries = archive.infolist()
    if len(entries) > MOST_ENTRIES:
        raise BadPicture(f"it holds {len(entries):,} files", "Save it again.")
    if sum(entry.file_size for entry in entries) > 4 * MOST_UNPACKED:
        raise BadPicture("it claims to hold gigabytes", "Save it again.")
    return archive


def read_entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bytes:
    """The bytes of one entry, never more than it declares. Raises BadPicture."""
    packed = max(entry.compress_size, 1)
    if entry.file_size > MOST_UNPACKED or (
        entry.file_size > 1 << 20 and entry.file_size / packed > MOST_RATIO
    ):
        raise BadPicture(
            f"{entry.filename} inside it claims {entry.file_size:,} bytes from {packed:,}", "Save it again."
        )
    try:
        with archive.open(entry) as file:
            data = file.read(entry.file_size + 1)
    except _UNREADABLE:
        raise BadPicture(
            f"damaged: {entry.filename} inside it cannot be read", "Save or copy it again."
        ) from None
    if len(data) != entry.file_size:
        raise BadPicture(f"damaged: {entry.filename} inside it is not as long as it says", "Save it again.")
    return data


def read_named(archive: zipfile.ZipFile, name: str) -> bytes | None:
    """The bytes of the entry of this name; None where there is none. Raises BadPicture."""
    try:
        entry = archive.getinfo(name)
    except KeyError:
        return None
    return read_entry(archive, entry)
