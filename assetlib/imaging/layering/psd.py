"""Writes PSD files: layers in groups, names in every script, true alpha (Adobe Photoshop File Formats Specification).

Rows are packed with PackBits, which every reader knows. Group ends are hidden layers, as the specification has it.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray
from psd_tools.compression import compress
from psd_tools.constants import Compression

from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup, Pixels, flatten, trimmed

LARGEST_SIDE = 30_000
"""Pixels of a side that a PSD may have (specification, file header)."""

_RGB, _PACKBITS = 3, 1
_DEPTH = 8  # bits a channel
_HIDDEN, _NO_PIXELS = 0x02, 0x18
_LOCKED_ALL = 0x80000007  # everything, and each of pixels, paint and place by itself
_OPEN_GROUP, _GROUP_END = 1, 3
_CHANNELS = (-1, 0, 1, 2)  # transparency, then red, green, blue
_FROM_PIXELS = {-1: 3, 0: 0, 1: 1, 2: 2}
_RESOLUTION, _PROFILE = 1005, 1039
_NAME_BYTES = 255


def write_psd(frame: LayeredFrame, file: BinaryIO) -> None:
    """Write the frame with all its layers and its merged picture."""
    merged = flatten(frame)
    see_through = bool((merged[..., 3] < 255).any())
    width, height = frame.size
    file.write(struct.pack(">4sH6xHIIHH", b"8BPS", 1, 4 if see_through else 3, height, width, _DEPTH, _RGB))
    file.write(struct.pack(">I", 0))
    resources = _resources(frame)
    file.write(struct.pack(">I", len(resources)) + resources)
    _write_layers(frame, see_through, file)
    _write_merged(merged, see_through, file)


def _resources(frame: LayeredFrame) -> bytes:
    fixed = round(frame.resolution * 65536)  # 16.16 fixed point, shown as pixels an inch and inches
    found = _resource(_RESOLUTION, struct.pack(">IHHIHH", fixed, 1, 1, fixed, 1, 1))
    return found + (_resource(_PROFILE, frame.profile) if frame.profile else b"")


def _resource(number: int, data: bytes) -> bytes:
    return struct.pack(">4sHHI", b"8BIM", number, 0, len(data)) + data + b"\0" * (len(data) % 2)


def _write_layers(frame: LayeredFrame, see_through: bool, file: BinaryIO) -> None:
    records: list[bytes] = []
    pictures: list[bytes] = []
    for record, picture in _records(frame.layers):
        records.append(record)
        pictures.extend(picture)
    # a negative count says that the merged picture's alpha is its transparency
    count = -len(records) if see_through else len(records)
    length = 2 + sum(map(len, records)) + sum(map(len, pictures))
    odd = length % 2
    file.write(struct.pack(">IIh", length + odd + 8, length + odd, count))
    for block in (*records, *pictures):
        file.write(block)
    file.write(b"\0" * odd + struct.pack(">I", 0))


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


def _nothing() -> Pixels:
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


def _channel(values: NDArray[np.uint8]) -> bytes:
    lengths, rows = _packed(values)
    return struct.pack(">H", _PACKBITS) + lengths + rows


def _packed(values: NDArray[np.uint8]) -> tuple[bytes, bytes]:
    """Lengths of the packed rows, two bytes each, and the rows."""
    if not values.size:
        return b"", b""
    height, width = values.shape
    packed = compress(values.tobytes(), Compression.RLE, width, height, _DEPTH)
    return packed[: 2 * height], packed[2 * height :]


def _write_merged(merged: Pixels, see_through: bool, file: BinaryIO) -> None:
    """The merged picture. Where it is see-through, its colours are mixed with white, as readers expect them."""
    if see_through:
        alpha = merged[..., 3:].astype(np.uint16)
        colours = (merged[..., :3] * alpha + 255 * (255 - alpha) + 127) // 255
        merged = np.concatenate([colours.astype(np.uint8), merged[..., 3:]], axis=2)
    packed = [_packed(merged[..., channel]) for channel in range(4 if see_through else 3)]
    file.write(struct.pack(">H", _PACKBITS))
    for lengths, _ in packed:
        file.write(lengths)
    for _, rows in packed:
        file.write(rows)
