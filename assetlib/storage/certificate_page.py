"""A certificate on one page of A4, for people; what counts is the signed file beside it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from assetlib.imaging import print_fonts
from assetlib.rules.rights.licences import Tier, in_short
from assetlib.rules.wording import NO_LEGAL_ADVICE, one_line

if TYPE_CHECKING:
    from fpdf import FPDF

_MARGIN, _LEFT, _WIDE = 25.0, 42.0, 160.0  # millimetres on A4: margin, the column of names, the width of all
_INK, _QUIET, _LINE = (38, 36, 33), (104, 99, 91), (190, 184, 173)
_SIZES = ((12.0, 6.0), (10.0, 5.0), (8.0, 4.0), (6.5, 3.3))
"""Points of what the rows say and millimetres of its lines: the first at which all of it fits the page is taken."""
_GAP, _ROOM = 5.0, 160.0  # millimetres: around a row together, and for all rows between the head and the foot
_LONGEST = 120
"""Characters of a row that are printed where not even the smallest letters are small enough."""
_REST = "… (cut here; the file that ends in .json has the whole)"


def pdf(told: Mapping[str, Any]) -> bytes:
    """The page as PDF bytes; the same certificate gives the same bytes on one machine."""
    from fpdf import FPDF

    page = FPDF(format="A4")
    page.set_auto_page_break(False)
    page.set_margin(_MARGIN)
    page.c_margin = 0
    page.set_title(f"Licence certificate {told['certificate']['code']}")
    page.set_author(one_line(told["licensor"]["name"]))
    page.set_producer("assetlib")
    page.set_lang("en")
    issued = dt.date.fromisoformat(told["certificate"]["issued"])
    page.set_creation_date(dt.datetime.combine(issued, dt.time(12), dt.UTC))
    rows = _rows(told)
    font = print_fonts.fitted(page, "".join(value for _, value in rows))
    page.add_page()
    size, rows = _fitting(page, rows, font)
    _head(page, told, font)
    for name, value in rows:
        _row(page, name, value, font, size)
    _foot(page, told, font)
    return print_fonts.printed(page)


def _rows(told: Mapping[str, Any]) -> list[tuple[str, str]]:
    buyer = ", ".join(told["licensee"][key] for key in ("name", "contact") if key in told["licensee"])
    bundle, licence = told["bundle"], told["licence"]
    rows = [
        ("Licensee", buyer),
        ("Licensor", f"{told['licensor']['name']}, {told['licensor']['email']}"),
        ("Bundle", f"{bundle['title']}, issue {bundle['version']} of {bundle['issued']}"),
        ("Licence", f"{licence['tier']} ({licence['spdx']})"),
        ("In short", in_short(Tier(licence["tier"]))),
        ("Issued", told["certificate"]["issued"]),
        *([("Price", told["price"])] if "price" in told else []),
    ]
    return [(name, one_line(value)) for name, value in rows]


def _fitting(
    page: FPDF, rows: list[tuple[str, str]], font: str
) -> tuple[tuple[float, float], list[tuple[str, str]]]:
    """The largest letters in which every row is whole on the page; where there are none, rows are cut and say so."""
    for points, line in _SIZES:
        page.set_font(font, size=points)
        lines = [_lines(page, value, font, line) for _, value in rows]
        if sum(max(6.0, count * line) + _GAP for count in lines) <= _ROOM:
            return (points, line), rows
    short = [
        (name, value if len(value) <= _LONGEST else f"{value[:_LONGEST]}{_REST}") for name, value in rows
    ]
    return _SIZES[-1], short


def _lines(page: FPDF, value: str, font: str, line: float) -> int:
    from fpdf.enums import MethodReturnValue

    text = print_fonts.printable(value, font)
    return len(page.multi_cell(_WIDE - _LEFT, line, text, dry_run=True, output=MethodReturnValue.LINES))


def _head(page: FPDF, told: Mapping[str, Any], font: str) -> None:
    page.set_text_color(*_INK)
    page.set_font(font, size=24)
    page.cell(0, 12, "Licence certificate", new_x="LMARGIN", new_y="NEXT")
    page.set_font(font, size=11)
    page.set_text_color(*_QUIET)
    page.cell(
        0, 6, f"{told['certificate']['code']}   {told['certificate']['id']}", new_x="LMARGIN", new_y="NEXT"
    )
    page.ln(8)


def _row(page: FPDF, name: str, value: str, font: str, size: tuple[float, float]) -> None:
    page.set_draw_color(*_LINE)
    page.line(_MARGIN, page.get_y(), _MARGIN + _WIDE, page.get_y())
    page.ln(2.5)
    top = page.get_y()
    page.set_font(font, size=10)
    page.set_text_color(*_QUIET)
    page.cell(_LEFT, 6, name)
    page.set_font(font, size=size[0])
    page.set_text_color(*_INK)
    page.set_xy(_MARGIN + _LEFT, top)
    text = print_fonts.printable(value, font)
    page.multi_cell(_WIDE - _LEFT, size[1], text, align="L", new_x="LMARGIN", new_y="NEXT")
    page.set_y(max(page.get_y(), top + 6) + 2.5)


def _foot(page: FPDF, told: Mapping[str, Any], font: str) -> None:
    """What ties the page to the bundle and to the key."""
    page.line(_MARGIN, page.get_y(), _MARGIN + _WIDE, page.get_y())
    page.ln(4)
    for name, value in (
        ("SHA-256 of the bundle's ZIP", told["bundle"]["sha256"]),
        ("Signed with the key", told["signer"]["fingerprint"]),
    ):
        page.set_font(font, size=9)
        page.set_text_color(*_QUIET)
        page.cell(0, 5, name, new_x="LMARGIN", new_y="NEXT")
        page.set_font("Courier", size=9)
        page.set_text_color(*_INK)
        page.cell(0, 5, value, new_x="LMARGIN", new_y="NEXT")
        page.ln(2)
    page.set_font(font, size=9)
    page.set_text_color(*_QUIET)
    licensor = print_fonts.printable(one_line(told["licensor"]["name"])[:_LONGEST], font)
    for text in (
        "What counts is the file that ends in .json, with its signature in .json.sig: this page repeats it for people. "
        f"Whether it still holds, {licensor} says. "
        "To check it, the bundle and the key: assetlib sale verify FILE.json --bundle FILE.zip --key KEY",
        NO_LEGAL_ADVICE,
    ):
        page.multi_cell(_WIDE, 4.6, text, align="L", new_x="LMARGIN", new_y="NEXT")
        page.ln(1.5)
