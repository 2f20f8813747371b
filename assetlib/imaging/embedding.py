"""An XMP packet put into a picture's file without touching its pixels: their bytes are copied as they lie.

Where the packet goes is the containers' own standard, as the XMP specification part 3 names it (ISO 16684-1; from
memory, read back in tests with exiftool): PNG iTXt, JPEG APP1, TIFF tag 700, WebP chunk `XMP `, SVG metadata.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator

PNG, JPEG, SVG_NAMESPACE = b"\x89PNG\r\n\x1a\n", b"\xff\xd8", "http://www.w3.org/2000/svg"
_KEYWORD = b"XML:com.adobe.xmp"
_APP1 = b"http://ns.adobe.com/xap/1.0/\x00"
_LONGEST_SEGMENT = 0xFFFF - 2
_XMP_TAG, _BYTE = 700, 1  # TIFF 6.0, section 2, and the XMP specification
_ENTRY = 12
_XMP_FLAG, _ALPHA_FLAG = 0x04, 0x10  # WebP container specification, VP8X


def embed(data: bytes, packet: str) -> bytes:
    """The file with the packet in it, in place of one that was there.

    PNG, JPEG, TIFF (not BigTIFF, one page), WebP (not animated) and SVG; `ValueError` for everything else, for a
    damaged container, and for a packet that the container cannot hold.
    """
    xmp = packet.encode()
    if data.startswith(PNG):
        return _in_png(data, xmp)
    if data.startswith(JPEG):
        return _in_jpeg(data, xmp)
    if data[:4] in (b"II*\x00", b"MM\x00*"):
        return _in_tiff(data, xmp)
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return _in_webp(data, xmp)
    if b"<svg" in data[:4096]:
        return _in_svg(data, packet)
    raise ValueError("it is no PNG, JPEG, TIFF, WebP or SVG")


def png_chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Kind and whole bytes of each chunk up to IEND; `ValueError` for a damaged one. What follows is no picture."""
    at, kind = len(PNG), b""
    while kind != b"IEND":
        header = png[at : at + 8]
        if len(header) < 8:
            raise ValueError("it ends too early")
        length, kind = struct.unpack(">L4s", header)
        chunk = png[at : at + length + 12]
        if len(chunk) < length + 12 or struct.unpack(">L", chunk[-4:])[0] != zlib.crc32(chunk[4:-4]):
            raise ValueError("a part of it is damaged")
        yield kind, chunk
        at += len(chunk)


def png_chunk(kind: bytes, data: bytes) -> bytes:
    """A chunk with its length and checksum."""
    return struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))


def _in_png(png: bytes, xmp: bytes) -> bytes:
    (_, header), *rest = png_chunks(png)
    # keyword, no compression, no language, no translated keyword
    ours = png_chunk(b"iTXt", _KEYWORD + b"\x00\x00\x00\x00\x00" + xmp)
    kept = (c for kind, c in rest if not (kind == b"iTXt" and c[8:].startswith(_KEYWORD + b"\x00")))
    return PNG + header + ours + b"".join(kept)


def _in_jpeg(jpeg: bytes, xmp: bytes) -> bytes:
    if len(_APP1) + len(xmp) > _LONGEST_SEGMENT:
        raise ValueError("the words do not fit a JPEG")
    ours = b"\xff\xe1" + struct.pack(">H", 2 + len(_APP1) + len(xmp)) + _APP1 + xmp
    at, front, kept, placed = 2, b"", b"", False
    while True:
        if jpeg[at : at + 1] != b"\xff" or len(jpeg) < at + 4:
            raise ValueError("it is damaged before its picture begins")
        marker, length = struct.unpack(">xBH", jpeg[at : at + 4])
        if marker == 0xDA:  # start of scan: the picture itself
            break
        segment = jpeg[at : at + 2 + length]
        at += 2 + length
        if marker == 0xE1 and segment[4:].startswith(_APP1):
            continue
        # JFIF and Exif want to be first
        placed = placed or not (marker == 0xE0 or (marker == 0xE1 and segment[4:10] == b"Exif\x00\x00"))
        if placed:
            kept += segment
        else:
            front += segment
    return JPEG + front + ours + kept + jpeg[at:]


def _in_tiff(tiff: bytes, xmp: bytes) -> bytes:
    """The packet and a new directory at the end; strips and tiles stay where they are."""
    order = "<" if tiff[:2] == b"II" else ">"
    try:
        (at,) = struct.unpack_from(f"{order}L", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, at)
        end = at + 2 + count * _ENTRY
        (following,) = struct.unpack_from(f"{order}L", tiff, end)
    except struct.error as error:
        raise ValueError("it ends too early") from error
    if following:
        raise ValueError("it has several pages")
    entries = [tiff[place : place + _ENTRY] for place in range(at + 2, end, _ENTRY)]
    kept = [entry for entry in entries if struct.unpack_from(f"{order}H", entry)[0] != _XMP_TAG]
    body = _blanked(tiff, order, entries) + b"\x00" * (len(tiff) % 2)
    kept.append(struct.pack(f"{order}HHLL", _XMP_TAG, _BYTE, len(xmp), len(body)))
    kept.sort(key=lambda entry: int(struct.unpack_from(f"{order}H", entry)[0]))
    body += xmp + b"\x00" * (len(xmp) % 2)
    directory = struct.pack(f"{order}H", len(kept)) + b"".join(kept) + struct.pack(f"{order}L", 0)
    return body[:4] + struct.pack(f"{order}L", len(body)) + body[8:] + directory


def _blanked(tiff: bytes, order: str, entries: list[bytes]) -> bytes:
    """The file with an old packet's bytes made nothing: its place stays, so that all else stays in its own."""
    for tag, _, count, place in (struct.unpack(f"{order}HHLL", entry) for entry in entries):
        if tag == _XMP_TAG and place + count <= len(tiff):
            tiff = tiff[:place] + bytes(count) + tiff[place + count :]
    return tiff


def _in_webp(webp: bytes, xmp: bytes) -> bytes:
    chunks = [(kind, data) for kind, data in _riff_chunks(webp) if kind != b"XMP "]
    if not chunks or any(kind == b"ANIM" for kind, _ in chunks):
        raise ValueError("it is no still picture")
    if chunks[0][0] == b"VP8X":
        head = chunks.pop(0)[1]
        head = bytes([head[0] | _XMP_FLAG]) + head[1:]
    else:
        wide, high, alpha = _webp_size(*chunks[0])
        size = struct.pack("<L", wide - 1)[:3] + struct.pack("<L", high - 1)[:3]
        head = bytes([_XMP_FLAG | (_ALPHA_FLAG if alpha else 0), 0, 0, 0]) + size
    chunks = [(b"VP8X", head), *chunks, (b"XMP ", xmp)]
    body = b"".join(
        kind + struct.pack("<L", len(data)) + data + b"\x00" * (len(data) % 2) for kind, data in chunks
    )
    return b"RIFF" + struct.pack("<L", 4 + len(body)) + b"WEBP" + body


def _riff_chunks(webp: bytes) -> Iterator[tuple[bytes, bytes]]:
    end = min(len(webp), 8 + int(struct.unpack_from("<L", webp, 4)[0]))
    at = 12
    while at + 8 <= end:
        kind, length = struct.unpack_from("<4sL", webp, at)
        if at + 8 + length > end:
            raise ValueError("it ends too early")
        yield kind, webp[at + 8 : at + 8 + length]
        at += 8 + length + length % 2


def _webp_size(kind: bytes, data: bytes) -> tuple[int, int, bool]:
    """Width, height and whether it has alpha, of a simple file (RFC 9649, 2.5 and 3.4; RFC 6386, 9.1)."""
    try:
        if kind == b"VP8L":
            bits = struct.unpack_from("<L", data, 1)[0]
            return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1, bool(bits >> 28 & 1)
        if kind == b"VP8 ":
            wide, high = struct.unpack_from("<HH", data, 6)
            return wide & 0x3FFF, high & 0x3FFF, False
    except struct.error as error:
        raise ValueError("it ends too early") from error
    raise ValueError("it is no still picture")


def _in_svg(svg: bytes, packet: str) -> bytes:
    """The packet's RDF in a `metadata` element that comes first; one that was there goes."""
    text = svg.decode("utf-8-sig")
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        raise ValueError("it declares a document type, which is not followed")
    text = re.sub(r"<metadata\b[^>]*?(/>|>.*?</metadata\s*>)", "", text, flags=re.DOTALL)
    root = re.match(
        r"(?:\s|<\?.*?\?>|<!--.*?-->)*<svg\b(?:[^>\"']|\"[^\"]*\"|'[^']*')*>", text, flags=re.DOTALL
    )
    if root is None or root[0].endswith("/>"):
        raise ValueError("it shows nothing")
    # the bare RDF: readers of SVG look for no packet around it
    inside = re.sub(r"<\?xpacket.*?\?>\s*|</?x:xmpmeta[^>]*>\s*", "", packet, flags=re.DOTALL).strip()
    return (text[: root.end()] + f"<metadata>{inside}</metadata>" + text[root.end() :]).encode()
