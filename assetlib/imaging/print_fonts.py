"""Fonts for what is printed: a PDF's own where its signs suffice, else those of this machine, embedded."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fpdf import FPDF

NAME = "sheet"
PLAIN = "Times"
"""The font of a PDF's own that is used where its signs suffice."""
_FOLDERS = {
    "linux": ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts"),
    "darwin": ("/System/Library/Fonts/Supplemental", "/Library/Fonts", "~/Library/Fonts"),
    "win32": ("C:/Windows/Fonts", "~/AppData/Local/Microsoft/Windows/Fonts"),
}
_FILES = (
    "DejaVuSerif.ttf", "NotoSerif-Regular.ttf", "LiberationSerif-Regular.ttf", "FreeSerif.ttf", "times.ttf",
    "Times New Roman.ttf", "DejaVuSans.ttf", "NotoSans-Regular.ttf", "arial.ttf", "Arial.ttf", "Arial Unicode.ttf",
    "seguisym.ttf", "NotoSansHebrew-Regular.ttf", "NotoSansArabic-Regular.ttf", "NotoSansDevanagari-Regular.ttf",
    "NotoSansThai-Regular.ttf", "malgun.ttf", "simhei.ttf", "msgothic.ttf", "DroidSansFallbackFull.ttf",
    "DroidSansFallback.ttf", "unifont.ttf",
)  # fmt: skip
"""Common fonts of the three systems, those to read in first: from memory."""


def is_plain(text: str) -> bool:
    """Whether a PDF's own fonts have all signs of a text (Windows-1252, PDF 1.7 appendix D)."""
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def fitted(page: FPDF, text: str) -> str:
    """The name of a font that has the signs of a text, with others of this machine behind it for what it lacks.

    *Times* where that suffices, or where this machine has no font that has more. From here on the page's own fonts
    take Windows-1252, dashes, curly quotes and the euro among it, which the writer of PDFs would else not set.
    """
    page.core_fonts_encoding = "cp1252"
    if is_plain(text):
        return PLAIN
    lacking = {ord(letter) for letter in text if not letter.isspace()}
    taken: list[str] = []
    for path in _fonts():
        has = _signs(path) & lacking
        if not has or (taken and len(lacking) == 0):
            continue
        name = f"{NAME}{len(taken)}"
        page.add_font(name, fname=path)
        page.add_font(name, style="I", fname=path)
        taken.append(name)
        lacking -= has
        if not lacking:
            break
    if not taken:
        return PLAIN
    page.set_fallback_fonts(taken[1:], exact_match=False)
    page.set_text_shaping(False)
    return taken[0]


def printable(text: str, font: str) -> str:
    """The text in the signs that a PDF's own fonts have, others become question marks; as it is in an embedded font."""
    if font != PLAIN:
        return text
    return text.encode("cp1252", "replace").decode("cp1252")


def as_text(line: str, font: str) -> str:
    """A line that the page wrapped, as the text it was: in a PDF's own font it comes back encoded."""
    return line.encode("latin-1").decode("cp1252") if font == PLAIN else line


def printed(page: FPDF) -> bytes:
    """The bytes of a page that is finished; the files of its fonts, which stay open till then, are closed."""
    try:
        return bytes(page.output())
    finally:
        for font in page.fonts.values():
            if hasattr(font, "ttfont"):
                font.ttfont.close()


def _fonts() -> Iterator[Path]:
    folders = [Path(folder).expanduser() for folder in _FOLDERS.get(sys.platform, _FOLDERS["linux"])]
    there = {path.name: path for folder in folders if folder.is_dir() for path in folder.rglob("*.ttf")}
    return (there[name] for name in _FILES if name in there)


def _signs(path: Path) -> set[int]:
    from fontTools.ttLib import TTFont, TTLibError  # type: ignore[import-untyped]

    try:
        with TTFont(path, lazy=True) as font:
            return set(font.getBestCmap() or ())
    except (TTLibError, OSError):
        return set()
