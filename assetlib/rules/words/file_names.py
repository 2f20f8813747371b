"""Names of files that any system takes, made from titles in any script."""

from __future__ import annotations

import re
import unicodedata

KEPT = " -_+.,()"
"""Beside letters and digits; no system forbids them (Microsoft, "Naming Files, Paths, and Namespaces", from memory)."""

LONGEST = 120
"""Bytes of UTF-8: names of files end at 255 (POSIX NAME_MAX on common systems), and what follows takes some."""

RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names of devices on Windows (the same source)."""


def file_name(title: str, otherwise: str = "drawing") -> str:
    """The title as the beginning of a file's name, `otherwise` where nothing of it is left; no suffix is added."""
    composed = unicodedata.normalize("NFC", title)
    name = "".join(c if c.isalnum() or unicodedata.combining(c) or c in KEPT else " " for c in composed)
    name = " ".join(name.split()).encode()[:LONGEST].decode(errors="ignore").strip(" .")
    return otherwise if not name or RESERVED.fullmatch(name) else name


def short_name(title: str, otherwise: str) -> str:
    """The title in small letters a to z, digits and dashes, for names that programs type."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or otherwise
