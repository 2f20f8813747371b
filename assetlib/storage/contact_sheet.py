"""The contact sheet of a bundle: every drawing on a quiet ground, over its title and code, on A4.

Words are text, drawings are small pictures with their bodies. The same drawings on the same day give the same
bytes on one machine; titles outside Windows-1252 are set in the fonts that this machine has.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assetlib.imaging import print_fonts
from assetlib.rules.wording import one_line

if TYPE_CHECKING:
    from fpdf import FPDF

_WIDE, _HIGH, _MARGIN = 210.0, 297.0, 15.0  # millimetres of A4 (ISO 216) and its margin
_FOOT = 12.0  # millimetres between the lowest drawing and the edge of the paper, beside the margin
_GUTTER, _PAD = 5.0, 2.5  # millimetres between drawings, and of ground around each
_TITLE, _CODE, _SMALL = 8.5, 7.0, 7.5  # points
_LINE = 3.7  # millimetres of a line of a title
_TITLE_LINES = 3
_FEW, _MANY = 9, 48
"""Up to so many drawings stand three a row, from so many on five; else four. Chosen by eye on A4."""
_INK, _QUIET = (38, 36, 33), (104, 99, 91)


@dataclass(frozen=True)
class Shown:
    """One drawing on the sheet: its title, its code, and a JPEG of it on `delivery.GROUND`."""

    title: str
    code: str
    jpeg: bytes
    width: int
    height: int


@dataclass(frozen=True)
class Heading:
    """What stands over the drawings and at the foot of each page."""

    title: str
    number: str
    licensor: str
    contact: str
    licence: str
    issued: dt.date


def pdf(heading: Heading, drawings: Sequence[Shown], ground: tuple[int, int, int]) -> bytes:
    """The sheet as PDF bytes, drawings in the order they are given, on squares of `ground`."""
    sheet = _Sheet(heading, drawings)
    sheet.begin_page()
    _head(sheet, len(drawings))
    across = _across(len(drawings))
    cell = (_WIDE - 2 * _MARGIN - (across - 1) * _GUTTER) / across
    for start in range(0, len(drawings), across):
        _row(sheet, drawings[start : start + across], cell, ground)
    return print_fonts.printed(sheet.page)


class _Sheet:
    """The PDF that is being written, and the font that has the signs of all its words."""

    def __init__(self, heading: Heading, drawings: Sequence[Shown]) -> None:
        from fpdf import FPDF

        self.heading = heading
        self.page: FPDF = FPDF(format="A4")
        self.page.set_auto_page_break(False)
        self.page.set_margin(_MARGIN)
        self.page.c_margin = 0  # words begin where the squares do
        self.page.set_title(one_line(heading.title))
        self.page.set_author(one_line(heading.licensor))
        self.page.set_producer("assetlib")
        self.page.set_lang("en")
        # the day of issue, not the moment of building: the same issue gives the same bytes
        self.page.set_creation_date(dt.datetime.combine(heading.issued, dt.time(12), dt.UTC))
        said = [heading.title, heading.licensor, heading.contact, *(one.title for one in drawings)]
        self.font = print_fonts.fitted(self.page, "".join(said))

    def text(self, text: str) -> str:
        """A text on one line, in the signs that the font has."""
        return print_fonts.printable(one_line(text), self.font)

    def write(self, size: float, colour: tuple[int, int, int]) -> None:
        """What is written next has this size in points and this colour."""
        self.page.set_font(self.font, size=size)
        self.page.set_text_color(*colour)

    def begin_page(self) -> None:
        """A new page with its foot; writing goes on at its top."""
        told = self.heading
        self.page.add_page()
        self.write(_SMALL, _QUIET)
        self.page.set_xy(_MARGIN, _HIGH - _MARGIN)
        foot = f"{told.title} {told.number}  ·  © {told.issued.year} {told.licensor}"
        self.page.cell(_WIDE - 2 * _MARGIN - 20, 4, self.text(foot))
        self.page.cell(20, 4, f"{self.page.page_no()} / {{nb}}", align="R")
        self.page.set_xy(_MARGIN, _MARGIN)


def _head(sheet: _Sheet, count: int) -> None:
    page, heading = sheet.page, sheet.heading
    sheet.write(19, _INK)
    page.multi_cell(0, 8.5, sheet.text(heading.title), align="L", new_x="LMARGIN", new_y="NEXT")
    sheet.write(9, _QUIET)
    drawings = "1 drawing" if count == 1 else f"{count} drawings"
    told = (
        f"Issue {heading.number} of {heading.issued.isoformat()}  ·  {drawings}  ·  licence: {heading.licence}",
        f"{heading.licensor}, {heading.contact}",
        "Each drawing comes twice: with its body to lay over a picture, as it is shown here, and as its ink alone. "
        "The names of its files end in its code.",
    )
    for line in told:
        page.multi_cell(0, 4.4, sheet.text(line), align="L", new_x="LMARGIN", new_y="NEXT")
    page.ln(5)


def _across(count: int) -> int:
    if count <= _FEW:
        return 3
    return 5 if count >= _MANY else 4


def _row(sheet: _Sheet, row: Sequence[Shown], cell: float, ground: tuple[int, int, int]) -> None:
    """One row of drawings; on a new page where it does not fit any more."""
    page = sheet.page
    sheet.write(_TITLE, _INK)
    titles = [_wrapped(sheet, one.title, cell) for one in row]
    high = cell + 1.5 + max(map(len, titles)) * _LINE + _LINE + _GUTTER
    if page.get_y() + high > _HIGH - _MARGIN - _FOOT + _GUTTER:
        sheet.begin_page()
    top = page.get_y()
    for number, (one, title) in enumerate(zip(row, titles, strict=True)):
        left = _MARGIN + number * (cell + _GUTTER)
        _place(page, one, left, top, cell, ground)
        sheet.write(_TITLE, _INK)
        for line, text in enumerate(title):
            page.set_xy(left, top + cell + 1.5 + line * _LINE)
            page.cell(cell, _LINE, text)
        sheet.write(_CODE, _QUIET)
        page.set_xy(left, top + cell + 1.5 + len(title) * _LINE)
        page.cell(cell, _LINE, one.code)
    page.set_xy(_MARGIN, top + high)


def _place(
    page: FPDF, one: Shown, left: float, top: float, cell: float, ground: tuple[int, int, int]
) -> None:
    """The drawing in the middle of its square."""
    page.set_fill_color(*ground)
    page.rect(left, top, cell, cell, style="F")
    room = cell - 2 * _PAD
    scale = room / max(one.width, one.height)
    wide, high = one.width * scale, one.height * scale
    x, y = left + (cell - wide) / 2, top + (cell - high) / 2
    page.image(io.BytesIO(one.jpeg), x=x, y=y, w=wide, h=high, alt_text=one_line(one.title) or one.code)


def _wrapped(sheet: _Sheet, title: str, width: float) -> list[str]:
    """The text in lines that fit, three at most; what is longer ends in an ellipsis."""
    from fpdf.enums import MethodReturnValue

    page, text = sheet.page, sheet.text(title)
    if not text:
        return []
    lines = page.multi_cell(width, _LINE, text, dry_run=True, output=MethodReturnValue.LINES, align="L")
    kept = [print_fonts.as_text(str(line), sheet.font) for line in lines[:_TITLE_LINES]]
    if len(lines) > _TITLE_LINES:
        while kept[-1] and page.get_string_width(f"{kept[-1]}...") > width:
            kept[-1] = kept[-1][:-1]
        kept[-1] = f"{kept[-1].rstrip()}..."
    return kept
