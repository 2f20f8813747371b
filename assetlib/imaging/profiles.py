"""Colour profiles without what tells of somebody's screen: the colours stay, serial numbers and makers go."""

from __future__ import annotations

import struct

_HEADER = 128
_COUNT, _ENTRY = 4, 12
# ICC.1:2022 (profile version 4.4), 9.2: the tags that say how colours are computed, what the profile is called, and
# whose text it is. All others are private, or tell of a device: `mmod` of Apple holds a screen's serial number,
# `meta` of Linux the name and serial number out of its EDID (both from memory).
_KEPT = {
    b"desc", b"cprt", b"wtpt", b"bkpt", b"chad", b"chrm", b"cicp", b"gamt", b"lumi",
    b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC", b"bTRC", b"kTRC",
    b"A2B0", b"A2B1", b"A2B2", b"B2A0", b"B2A1", b"B2A2",
    b"B2D0", b"B2D1", b"B2D2", b"B2D3", b"D2B0", b"D2B1", b"D2B2", b"D2B3",
}  # fmt: skip
_DEVICE = ((48, 52), (52, 56), (80, 100))
"""Bytes of the header that tell maker, model, creator, and the checksum over them; zero means not told (7.2)."""


def without_device(profile: bytes) -> bytes:
    """The ICC profile with the tags that colours need, and no others; one that has no others stays as it is.

    `ValueError` where it cannot be read.
    """
    try:
        (count,) = struct.unpack_from(">L", profile, _HEADER)
        if _HEADER + _COUNT + count * _ENTRY > len(profile):
            raise ValueError("its table of tags is longer than itself")
        tags = [struct.unpack_from(">4sLL", profile, _HEADER + _COUNT + n * _ENTRY) for n in range(count)]
    except struct.error as error:
        raise ValueError("it ends too early") from error
    kept = [tag for tag in tags if tag[0] in _KEPT]
    if len(kept) == len(tags) and not any(any(profile[a:b]) for a, b in _DEVICE[:2]):
        return profile
    return _written(profile, kept)


def _written(profile: bytes, tags: list[tuple[bytes, int, int]]) -> bytes:
    """A profile of the same header with these tags; such as share their data go on sharing it."""
    at = _HEADER + _COUNT + len(tags) * _ENTRY
    placed: dict[tuple[int, int], int] = {}
    table, data = b"", b""
    for name, offset, size in tags:
        if offset + size > len(profile):
            raise ValueError("a tag of it lies outside")
        if (offset, size) not in placed:
            data += b"\x00" * (-(at + len(data)) % 4)
            placed[offset, size] = at + len(data)
            data += profile[offset : offset + size]
        table += struct.pack(">4sLL", name, placed[offset, size], size)
    header = bytearray(profile[:_HEADER])
    for start, end in _DEVICE:
        header[start:end] = bytes(end - start)
    data += b"\x00" * (-(at + len(data)) % 4)
    header[:4] = struct.pack(">L", at + len(data))
    return bytes(header) + struct.pack(">L", len(tags)) + table + data
