"""Rows as the step log keeps them: one packed value that is read back without loss, and a digest to know it by."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import zlib
from collections.abc import Mapping
from typing import Any

_DIGEST_BYTES = 16
"""128 bits: two rows never share one by chance."""

_HEAD = 4
"""Bytes that say how long the packed text is; blobs (masks) follow it as they are."""


def pack(row: Mapping[str, Any]) -> bytes:
    """A row of column values as bytes: compressed JSON, then its blobs."""
    text, blobs = _apart(row)
    squeezed = zlib.compress(text)
    return len(squeezed).to_bytes(_HEAD, "big") + squeezed + b"".join(blobs)


def unpack(data: bytes) -> dict[str, Any]:
    """The row that was packed."""
    end = _HEAD + int.from_bytes(data[:_HEAD], "big")
    row: dict[str, Any] = {}
    for name, value in json.loads(zlib.decompress(data[_HEAD:end])).items():
        if isinstance(value, dict) and "blob" in value:
            row[name], end = data[end : end + value["blob"]], end + value["blob"]
        else:
            row[name] = _typed(value)
    return row


def digest(row: Mapping[str, Any] | None) -> bytes | None:
    """What a row is known by; None for no row."""
    if row is None:
        return None
    text, blobs = _apart(row)
    return hashlib.blake2b(b"".join((text, *blobs)), digest_size=_DIGEST_BYTES).digest()


def _apart(row: Mapping[str, Any]) -> tuple[bytes, list[bytes]]:
    """The row as JSON text with its columns in order, and the blobs that stand outside it."""
    blobs: list[bytes] = []
    plain: dict[str, Any] = {}
    for name in sorted(row):
        value = row[name]
        if isinstance(value, bytes):
            plain[name] = {"blob": len(value)}
            blobs.append(value)
        else:
            plain[name] = _plain(value)
    return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode(), blobs


def _plain(value: Any) -> Any:
    match value:
        case dt.datetime():
            return {"instant": value.astimezone(dt.UTC).isoformat()}
        case dt.date():
            return {"day": value.isoformat()}
        case dict() | list() | tuple():
            return {"json": value}
    return value


def _typed(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    ((kind, inner),) = value.items()
    match kind:
        case "instant":
            return dt.datetime.fromisoformat(inner)
        case "day":
            return dt.date.fromisoformat(inner)
    return inner
