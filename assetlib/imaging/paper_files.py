"""What a file that is kept as a paper really is, whatever its name says: a PDF, a picture, a text."""

from __future__ import annotations

from pathlib import Path

from assetlib.errors import BadPicture

LARGEST = 64 << 20
"""Bytes; a contract scanned in colour has a few million."""
_LONGEST_TEXT = 1 << 20
_ENDINGS = {".pdf": "PDF", ".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".tif": "TIFF", ".tiff": "TIFF",
            ".webp": "WEBP", ".heic": "HEIC", ".heif": "HEIC"}  # fmt: skip
_TEXTS = {"", ".txt", ".text", ".md", ".eml", ".html", ".htm"}
_FEW_WORDS = 12
"""A text of fewer is told: who, what, the day and for what take more. Own choice, no source."""
_HEIC_BRANDS = {b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1"}
"""ISO/IEC 23008-12: brands in the first box of a HEIF picture."""


def kind_of(path: Path) -> str:
    """*PDF*, the format of a picture, or *text*, after opening it: its first page is drawn, its pixels are read.

    A phone's *HEIC* is known by its first bytes alone. Raises BadPicture where it is none of these, is damaged or
    locked. Run it in a watched process: a stranger's file is opened. Whether it says what it is kept for, no program
    can tell.
    """
    if path.stat().st_size > LARGEST:
        raise BadPicture(f"{path.name} is larger than {LARGEST >> 20} MB", "scan it smaller")
    with path.open("rb") as file:
        head = file.read(1024)
    if head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS:
        return "HEIC"
    found = _pdf(path) if b"%PDF-" in head else _picture(path) or _text(path)
    if found is None:
        raise BadPicture(
            f"{path.name} is no PDF, picture or text that can be read",
            "scan the paper anew, or keep only its --place",
        )
    return found


def doubts(path: Path, kind: str) -> tuple[str, ...]:
    """Sentences on a file that is kept as a paper: a name that says another kind, a text of few words."""
    told = []
    suffix = path.suffix.lower()
    named = _ENDINGS.get(suffix) or (suffix[1:].upper() if kind == "text" and suffix not in _TEXTS else kind)
    if named != kind:
        told.append(f"{path.name} is called a {named} and is {kind}; it is kept as it is")
    if kind == "text" and len(path.read_text(encoding="utf-8").split()) < _FEW_WORDS:
        told.append(f"{path.name} is kept, but it is no signed paper that anybody could read")
    return tuple(told)


def _pdf(path: Path) -> str:
    import pypdfium2

    try:
        with pypdfium2.PdfDocument(path) as opened:
            if len(opened) == 0:
                raise BadPicture(f"{path.name} is a PDF without a page")
            opened[0].render(scale=0.2)
    except pypdfium2.PdfiumError as error:
        raise BadPicture(
            f"{path.name} is a PDF that cannot be opened ({error})", "save it without a password, whole"
        ) from error
    return "PDF"


def _picture(path: Path) -> str | None:
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path, formats=["PNG", "JPEG", "TIFF", "WEBP"]) as opened:
            opened.load()
            return opened.format
    except UnidentifiedImageError:
        return None
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise BadPicture(f"{path.name} is a picture that cannot be read ({error})", "scan it anew") from error


def _text(path: Path) -> str | None:
    """*text* for a mail or note in UTF-8 with something in it."""
    if path.stat().st_size > _LONGEST_TEXT:
        return None
    try:
        text = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        return None
    odd = any(ord(letter) < 32 and letter not in "\t\n\r\f" for letter in text)
    return None if odd or not text.strip() else "text"
