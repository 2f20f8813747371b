"""More shot lists, of other makes: agency PDFs, tables of odd columns, other languages, mail, chat, running script.

`truth.json` holds what the first ten say, written before anything read them, `more.json` what five more say, read
once after the reader was mended. In `NAME.pdf.csv` and `NAME.xlsx.csv` stand the cells that are printed or filled in;
a line that begins with `!` is a title over the table, one with `=` a band across it. `NAME.pdf.txt` holds two columns,
parted by `||`.
"""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import openpyxl
from fpdf import FPDF
from fpdf.fonts import FontFace

FOLDER = Path(__file__).parent


def truths(more: bool = False) -> dict[str, dict[str, Any]]:
    """By file, the shots (number, text, heading) and the numbers that are omitted."""
    name = "more.json" if more else "truth.json"
    return dict(json.loads((FOLDER / name).read_text(encoding="utf-8")))


def made(name: str) -> tuple[bytes, str]:
    """The bytes of a list as it would arrive, and its file name."""
    data = (FOLDER / name).read_bytes()
    if name.endswith(".pdf.csv"):
        return _printed_table(data.decode()), name.removesuffix(".csv")
    if name.endswith(".pdf.txt"):
        return _printed_columns(data.decode()), name.removesuffix(".txt")
    if name.endswith(".xlsx.csv"):
        return _workbook(data.decode()), name.removesuffix(".csv")
    return data, name


def _parts(text: str) -> tuple[list[str], list[list[str]]]:
    lines = text.splitlines()
    titles = [line[1:] for line in lines if line.startswith("!")]
    return titles, list(csv.reader(line for line in lines if not line.startswith("!")))


def _printed_table(text: str) -> bytes:
    """A landscape page with wrapped cells, its titles above, the columns named again on every page."""
    titles, rows = _parts(text)
    page = FPDF(orientation="landscape", format="A4")
    page.add_page()
    page.set_font("Helvetica", style="B", size=12)
    for title in titles:
        page.cell(0, 8, title, new_x="LMARGIN", new_y="NEXT")
    page.set_font("Helvetica", size=9)
    widths = [max(8, min(38, max(len(row[i]) for row in rows if len(row) > i))) for i in range(len(rows[0]))]
    with page.table(col_widths=widths, line_height=5, padding=1) as table:
        for row in rows:
            printed = table.row()
            if row and row[0].startswith("="):
                printed.cell(row[0][1:], colspan=len(rows[0]), style=FontFace(emphasis="BOLD"))
                continue
            for cell in row:
                printed.cell(cell)
    page.set_auto_page_break(False)
    page.set_y(-8)
    page.set_font("Helvetica", size=7)
    page.cell(0, 4, "Two Gulls Films - confidential - page 2", align="C")
    return bytes(page.output())


def _printed_columns(text: str) -> bytes:
    """Two columns on a page, each cell wrapped in its own."""
    page = FPDF(format="A4")
    page.add_page()
    page.set_font("Helvetica", size=10)
    for line in text.splitlines():
        left, right = (part.strip() for part in line.split("||"))
        top = page.get_y()
        page.multi_cell(95, 5, left, align="L")
        down = page.get_y()
        page.set_xy(120, top)
        page.multi_cell(75, 5, right, align="L")
        page.set_xy(page.l_margin, max(down, page.get_y()) + 3)
    return bytes(page.output())


def _workbook(text: str) -> bytes:
    """A first sheet that says what this is, then the list, with numbers as numbers and an empty column at its left."""
    titles, rows = _parts(text)
    book = openpyxl.Workbook()
    book.active.title = "Info"
    book.active.append(["Version", 3])
    sheet = book.create_sheet("List")
    for row in [[title] for title in titles] + rows:
        sheet.append([None, *(_typed(cell) for cell in row)])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _typed(cell: str) -> str | float | None:
    try:
        return float(cell) if "." in cell else int(cell)
    except ValueError:
        return cell or None
