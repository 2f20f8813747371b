"""Which kind of picture the first bytes of a file belong to.

Signatures are those of the format specifications: PNG (W3C) 5.2, JPEG (ITU-T
T.81) annex B, GIF89a 17, TIFF 6.0 section 2, BigTIFF, RFC 9649 (WebP).
"""

from __future__ import annotations


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
