"""Writes PSD files: layers in groups, names in every script, true alpha (Adobe Photoshop File Formats Specification).

Rows are packed with PackBits, which every reader knows. Group ends are hidden layers, as the specification has it.
At 16 bits the layers stand in a block of their own behind an empty list, as it has it, too.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Any, BinaryIO

import cv2
import numpy as np
from numpy.typing import NDArray
from psd_tools.compression import compress
from psd_tools.constants import Compression

from assetlib.imaging.layering.layers import (
    FULL,
    AnyPixels,
    Layer,
    LayeredFrame,
    LayerGroup,
    flatten,
    trimmed,
)

LARGEST_SIDE = 30_000
"""Pixels of a side that a PSD may have (specification, file header)."""

_RGB, _PACKBITS = 3, 1
_HIDDEN, _NO_PIXELS = 0x02, 0x18
_LOCKED_ALL = 0x80000007  # everything, and each of pixels, paint and place by itself
_OPEN_GROUP, _GROUP_END = 1, 3
_CHANNELS = (-1, 0, 1, 2)  # transparency, then red, green, blue
_FROM_PIXELS = {-1: 3, 0: 0, 1: 1, 2: 2}
_RESOLUTION, _PROFILE = 1005, 1039
_DEEP_LAYERS, _MERGED_ALPHA = b"Lr16", b"Mt16"
_NAME_BYTES = 255

_Values = NDArray[np.uint8] | NDArray[np.uint16]


def write_psd(frame: LayeredFrame, file: BinaryIO) -> None:
    """Write the frame with all its layers and its merged picture."""
    merged = flatten(frame)
    see_through = bool((merged[..., 3] < np.iinfo(merged.dtype).max).any())
    width, height = frame.size
    channels = 4 if see_through else 3
    file.write(struct.pack(">4sH6xHIIHH", b"8BPS", 1, channels, height, width, _depth(merged), _RGB))
    file.write(struct.pack(">I", 0))
    resources = _resources(frame)
    file.write(struct.pack(">I", len(resources)) + resources)
    _write_layers(frame, see_through, file, deep=_depth(merged) == 16)
    _write_merged(merged, see_through, file)


def _resources(frame: LayeredFrame) -> bytes:
    fixed = round(frame.resolution * 65536)  # 16.16 fixed point, shown as pixels an inch and inches
    found = _resource(_RESOLUTION, struct.pack(">IHHIHH", fixed, 1, 1, fixed, 1, 1))
    return found + (_resource(_PROFILE, frame.profile) if frame.profile else b"")


def _resource(number: int, data: bytes) -> bytes:
    return struct.pack(">4sHHI", b"8BIM", number, 0, len(data)) + data + b"\0" * (len(data) % 2)


def _depth(pixels: AnyPixels) -> int:
    """Bits a channel."""
    return pixels.dtype.itemsize * 8


def _write_layers(frame: LayeredFrame, see_through: bool, file: BinaryIO, *, deep: bool) -> None:
    records: list[bytes] = []
    pictures: list[bytes] = []
    for record, picture in _records(frame.layers):
        records.append(record)
        pictures.extend(picture)
    # a negative count says that the merged picture's alpha is its transparency
    count = -len(records) if see_through else len(records)
    length = 2 + sum(map(len, records)) + sum(map(len, pictures))
    if deep:
        padding = -length % 4
        told = _tag(_MERGED_ALPHA, b"") if see_through else b""
        whole = 4 + 4 + len(told) + 12 + length + padding
        file.write(struct.pack(">III", whole, 0, 0) + told)
        file.write(struct.pack(">4s4sIh", b"8BIM", _DEEP_LAYERS, length + padding, count))
    else:
        padding = length % 2
        file.write(struct.pack(">IIh", length + padding + 8, length + padding, count))
    for block in (*records, *pictures):
        file.write(block)
    file.write(b"\0" * padding + (b"" if deep else struct.pack(">I", 0)))


def _records(layers: tuple[Layer | LayerGroup, ...]) -> Iterator[tuple[bytes, list[bytes]]]:
    """Records and pictures from the lowest layer up; a group's end stands below its layers, its head above."""
    for layer in layers:
        if isinstance(layer, LayerGroup):
            yield _record(Layer("</Layer group>", _nothing()), _GROUP_END)
            yield from _records(layer.layers)
            head = Layer(layer.name, _nothing(), 0, 0, layer.visible, layer.locked, layer.opacity)
            yield _record(head, _OPEN_GROUP)
        else:
            yield _record(trimmed(layer), 0)


def _nothing() -> AnyPixels:
    return np.zeros((0, 0, 4), np.uint8)


def _record(layer: Layer, section: int) -> tuple[bytes, list[bytes]]:
    """A layer's record and its channels, each with how it is packed before it."""
    height, width = layer.pixels.shape[:2]
    channels = [_channel(layer.pixels[..., _FROM_PIXELS[number]]) for number in _CHANNELS]
    record = struct.pack(">iiiiH", layer.y, layer.x, layer.y + height, layer.x + width, len(_CHANNELS))
    for number, data in zip(_CHANNELS, channels, strict=True):
        record += struct.pack(">hI", number, len(data))
    flags = (0 if layer.visible else _HIDDEN) | (_NO_PIXELS if section else 0)
    record += struct.pack(">4s4sBBBx", b"8BIM", b"norm", layer.opacity, 0, flags)
    extra = struct.pack(">II", 0, 0) + _pascal(layer.name) + _tagged(layer, section)
    return record + struct.pack(">I", len(extra)) + extra, channels


def _tagged(layer: Layer, section: int) -> bytes:
    name = layer.name.encode("utf-16-be")
    found = _tag(b"luni", struct.pack(">I", len(name) // 2) + name)
    if section:
        found += _tag(b"lsct", struct.pack(">I4s4s", section, b"8BIM", b"norm"))
    if layer.locked:
        found += _tag(b"lspf", struct.pack(">I", _LOCKED_ALL))
    return found


def _tag(key: bytes, data: bytes) -> bytes:
    data += b"\0" * (-len(data) % 4)
    return struct.pack(">4s4sI", b"8BIM", key, len(data)) + data


def _pascal(name: str) -> bytes:
    """The name for old readers, in the signs they know, padded to four bytes."""
    plain = name.encode("mac-roman", "replace")[:_NAME_BYTES]
    data = bytes([len(plain)]) + plain
    return data + b"\0" * (-len(data) % 4)


def _channel(values: _Values) -> bytes:
    lengths, rows = _packed(values)
    return struct.pack(">H", _PACKBITS) + lengths + rows


def _packed(values: _Values) -> tuple[bytes, bytes]:
    """Lengths of the packed rows, two bytes each, and the rows."""
    if not values.size:
        return b"", b""
    height, width = values.shape
    stored = np.ascontiguousarray(values, values.dtype.newbyteorder(">"))
    if len(set(cv2.minMaxLoc(np.ascontiguousarray(values))[:2])) == 1:
        # a body is one white and ink is mostly one black: all rows are packed alike
        row = compress(stored[:1].tobytes(), Compression.RLE, width, 1, values.dtype.itemsize * 8)
        return row[:2] * height, row[2:] * height
    packed = compress(stored.tobytes(), Compression.RLE, width, height, values.dtype.itemsize * 8)
    return packed[: 2 * height], packed[2 * height :]


def _write_merged(merged: AnyPixels, see_through: bool, file: BinaryIO) -> None:
    """The merged picture. Where it is see-through, its colours are mixed with white, as readers expect them."""
    planes = [merged[..., channel] for channel in range(4 if see_through else 3)]
    if see_through:
        white, wide = (255, np.uint16) if merged.dtype == np.uint8 else (FULL, np.uint32)
        alpha: NDArray[Any] = planes[3].astype(wide)
        planes[:3] = [
            ((plane * alpha + white * (white - alpha) + white // 2) // white).astype(merged.dtype)
            for plane in planes[:3]
        ]
    packed = [_packed(planes[0])]
    for plane in planes[1:]:
        # what is drawn in greys has three channels alike
        packed.append(packed[0] if np.array_equal(plane, planes[0]) else _packed(plane))
    file.write(struct.pack(">H", _PACKBITS))
    for lengths, _ in packed:
        file.write(lengths)
    for _, rows in packed:
        file.write(rows)
