"""What a file that is kept as a paper really is, whatever its name says: a PDF, a picture, a text."""

from __future__ import annotations

from pathlib import Path

from assetlib.errors import BadPicture

LARGEST = 64 << 20
"""Bytes; a contract scanned in colour has a few million."""
_LONGEST_TEXT = 1 << 20
_ENDINGS = {".pdf": "PDF", ".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".tif": "TIFF", ".tiff": "TIFF"}


def kind_of(path: Path) -> str:
    """*PDF*, the format of a picture, or *text*, after opening it: its first page is drawn, its pixels are read.

    Raises BadPicture where it is none of these, is damaged or locked, or is not what its name says. Run it in a
    watched process: a stranger's file is opened. Whether it says what it is kept for, no program can tell.
    """
    if path.stat().st_size > LARGEST:
        raise BadPicture(f"{path.name} is larger than {LARGEST >> 20} MB", "scan it smaller")
    with path.open("rb") as file:
        head = file.read(1024)
    found = _pdf(path) if b"%PDF-" in head else _picture(path) or _text(path)
    if found is None:
        raise BadPicture(
            f"{path.name} is no PDF, picture or text that can be read",
            "scan the paper anew, or keep only its --place",
        )
    named = _ENDINGS.get(path.suffix.lower())
    if named and named != found:
        raise BadPicture(f"{path.name} is called a {named} and is {found}", "give it the name of what it is")
    return found


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
