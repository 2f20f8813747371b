"""Which kind of picture the first bytes of a file belong to.

Signatures are those of the format specifications: PNG (W3C) 5.2, JPEG (ITU-T
T.81) annex B, GIF89a 17, TIFF 6.0 section 2, BigTIFF, RFC 9649 (WebP), ISO 14496-12
(file type box), the OpenRaster specification (mimetype first in the ZIP), ISO 32000-1
7.5.2 (PDF header within the first 1,024 bytes).
"""

from __future__ import annotations

import re


def is_png(head: bytes) -> bool:
    """True for PNG."""
    return head.startswith(b"\x89PNG\r\n\x1a\n")


def is_jpeg(head: bytes) -> bool:
    """True for JPEG, in JFIF, Exif or raw form."""
    return head.startswith(b"\xff\xd8\xff")


def is_gif(head: bytes) -> bool:
    """True for GIF of 1987 and 1989."""
    return head.startswith((b"GIF87a", b"GIF89a"))


def is_webp(head: bytes) -> bool:
    """True for WebP in its RIFF container."""
    return head.startswith(b"RIFF") and head[8:12] == b"WEBP"


def is_bmp(head: bytes) -> bool:
    """True for Windows bitmaps whose header length is one of the known ones."""
    return head.startswith(b"BM") and head[14:18] in {
        size.to_bytes(4, "little") for size in (12, 40, 52, 56, 64, 108, 124)
    }


def is_tiff(head: bytes) -> bool:
    """True for TIFF and BigTIFF of either byte order."""
    return head.startswith((b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"))


def _brands(head: bytes) -> set[bytes]:
    """Major and compatible brands of an ISO media file."""
    if head[4:8] != b"ftyp":
        return set()
    length = min(int.from_bytes(head[:4], "big"), len(head))
    return {head[8:12], *(head[at : at + 4] for at in range(16, length, 4))}


def is_avif(head: bytes) -> bool:
    """True for AVIF pictures and sequences."""
    return bool(_brands(head) & {b"avif", b"avis"})


def is_heic(head: bytes) -> bool:
    """True for HEIF pictures in HEVC coding."""
    return bool(_brands(head) & {b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1"}) and not is_avif(head)


def is_psd(head: bytes) -> bool:
    """True for PSD and its large form PSB."""
    return head.startswith(b"8BPS")


def is_openraster(head: bytes) -> bool:
    """True for a ZIP whose first, stored entry says that it is OpenRaster."""
    return (
        head.startswith(b"PK\x03\x04") and head[30:38] == b"mimetype" and head[38:54] == b"image/openraster"
    )


def is_pdf(head: bytes) -> bool:
    """True for PDF, also behind other bytes."""
    return b"%PDF-" in head


_SVG_START = re.compile(rb"<(?:[A-Za-z_][\w.-]*:)?svg[\s>]")


def is_svg(head: bytes) -> bool:
    """True for XML text in which an svg element opens, or that says it is one; also for UTF-16."""
    text = head[2:].replace(b"\0", b"") if head.startswith((b"\xff\xfe", b"\xfe\xff")) else head
    start = text.lstrip(b"\xef\xbb\xbf \t\r\n")
    return start.startswith(b"<") and (bool(_SVG_START.search(text)) or b"<!DOCTYPE svg" in text)


def is_closed(head: bytes) -> bool:
    """True for containers in which paint programs keep drawings in ways of their own."""
    return head.startswith((b"PK\x03\x04", b"CSFCHUNK"))
