"""Shot lists printed as PDF: tables by the lines that are drawn between their cells, all else as text on a grid."""

from __future__ import annotations

import ctypes
import itertools
from bisect import bisect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from assetlib.errors import WrongUsage
from assetlib.rules.shots.lists import columns

MOST_PAGES = 500
_SPACE_A_CELL = 2.2  # points that a typical blank of a printed list is at least wide, for columns in a PDF
_STRAIGHT = 1.5  # points that a line may lean, or be thick, and still be one between cells
_MOST_LINES = 20_000  # on a page; a page with more is a drawing
_FEWEST_ROWS = 3  # rows, the names of the columns among them, from which drawn lines are a table
_FEWEST_COLUMNS = 3


class _Character(NamedTuple):
    """A character and where it stands on the page, in points from its lower left corner."""

    top: float
    bottom: float
    left: float
    right: float
    text: str


def read_pdf(data: bytes, name: str) -> str | list[list[str]]:
    """The cells of the table in a PDF, or its text with lines and gaps as printed. Raises WrongUsage without text.

    A row of one cell stands above, between or below the rows of the table.
    """
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
        pages = [_page(document[number]) for number in range(min(len(document), MOST_PAGES))]
    except pypdfium2.PdfiumError as error:
        raise WrongUsage(f"{name} is a PDF that cannot be read ({error})") from error
    if not any(characters for characters, _ in pages):
        raise WrongUsage(f"{name} is a PDF without text", "it may be a scan; type or paste the list instead")
    rows = [row for characters, ruling in pages for row in _table(characters, ruling)]
    if any(_names_columns(row) for row in rows):
        return rows
    return "\n\n".join("\n".join(_grid_lines(characters)) for characters, _ in pages)


def _names_columns(row: list[str]) -> bool:
    return sum(columns.role_of(cell) is not None for cell in row if len(cell) <= 30) >= 2


# --- what a page holds ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Ruling:
    """The straight lines drawn on a page: `across` (y, left, right), `down` (x, bottom, top), in points."""

    across: list[tuple[float, float, float]]
    down: list[tuple[float, float, float]]


def _page(page: Any) -> tuple[list[_Character], _Ruling]:
    text_page = page.get_textpage()
    characters = []
    for place in range(text_page.count_chars()):
        character = text_page.get_text_range(place, 1)
        left, bottom, right, top = text_page.get_charbox(place, loose=True)
        if character.strip() and right > left:
            characters.append(_Character(top, bottom, left, right, character))
    return characters, _ruling(page)


def _ruling(page: Any) -> _Ruling:
    import pypdfium2.raw as pdfium

    ruling = _Ruling([], [])
    for drawn in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=3):
        if len(ruling.across) + len(ruling.down) > _MOST_LINES:
            return _Ruling([], [])
        for one, other in _strokes(drawn):
            (left, bottom), (right, top) = (min(one, other), max(one, other))
            bottom, top = min(bottom, top), max(bottom, top)
            if top - bottom <= _STRAIGHT < right - left:
                ruling.across.append(((top + bottom) / 2, left, right))
            elif right - left <= _STRAIGHT < top - bottom:
                ruling.down.append(((left + right) / 2, bottom, top))
    return ruling


def _strokes(drawn: Any) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """The straight strokes of a path, both ends in points on the page."""
    import pypdfium2.raw as pdfium

    matrix = drawn.get_matrix()
    begin = last = (0.0, 0.0)
    x, y = ctypes.c_float(), ctypes.c_float()
    for place in range(min(pdfium.FPDFPath_CountSegments(drawn.raw), _MOST_LINES)):
        segment = pdfium.FPDFPath_GetPathSegment(drawn.raw, place)
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        point = matrix.on_point(x.value, y.value)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            begin = point
        elif kind == pdfium.FPDF_SEGMENT_LINETO:
            yield last, point
            if pdfium.FPDFPathSegment_GetClose(segment):
                yield point, begin
        last = point


# --- a table by its lines -------------------------------------------------------------


def _table(characters: list[_Character], ruling: _Ruling) -> list[list[str]]:
    """A page's cells from top to bottom, what stands outside the table as rows of one cell; empty without a table."""
    levels = _levels(y for y, _, _ in ruling.across)
    bands = list(itertools.pairwise(levels))[::-1]
    rows = [(bottom, top, _crossing(ruling, bottom, top)) for bottom, top in bands]
    rows = [row for row in rows if row[2]]
    wide = [row for row in rows if len(row[2]) > _FEWEST_COLUMNS]
    if len(wide) < _FEWEST_ROWS:
        return []
    left, right = min(row[2][0] for row in rows), max(row[2][-1] for row in rows)
    inside: dict[int, list[_Character]] = {}
    outside = []
    for character in characters:
        x, y = (character.left + character.right) / 2, (character.top + character.bottom) / 2
        place = next((i for i, (bottom, top, _) in enumerate(rows) if bottom <= y < top), None)
        if place is None or not left <= x <= right:
            outside.append(character)
        else:
            inside.setdefault(place, []).append(character)
    found = [(rows[place][1], _cells(inside[place], rows[place][2])) for place in inside]
    for line in _lines_of(outside):
        text = " ".join(_set(sorted(line, key=lambda c: c.left), line[0].left, _pitch(line)).split())
        found.append((line[0].top, [text]))
    return [cells for _, cells in sorted(found, key=lambda row: -row[0])]


def _levels(values: Iterable[float]) -> list[float]:
    """Values without those that lie next to one another, ascending."""
    levels: list[float] = []
    for value in sorted(values):
        if not levels or value - levels[-1] > 2 * _STRAIGHT:
            levels.append(value)
    return levels


def _crossing(ruling: _Ruling, bottom: float, top: float) -> list[float]:
    """Where lines stand between the cells of a band of the page, its two edges among them."""
    middle = (bottom + top) / 2
    return _levels(x for x, low, high in ruling.down if low <= middle <= high)


def _cells(characters: list[_Character], edges: list[float]) -> list[str]:
    cells: list[list[_Character]] = [[] for _ in range(max(1, len(edges) - 1))]
    for character in characters:
        place = bisect(edges, (character.left + character.right) / 2) - 1
        cells[min(max(place, 0), len(cells) - 1)].append(character)
    return [" ".join(" ".join(_grid_lines(cell)).split()) for cell in cells]


# --- text on a grid -------------------------------------------------------------------


def _grid_lines(characters: list[_Character]) -> Iterator[str]:
    """Characters laid out on a grid of blanks, so that columns and indents stay."""
    if not characters:
        return
    cell, height = _pitch(characters), _height(characters)
    margin = min(character.left for character in characters)
    last = None
    for row in _lines_of(characters):
        if last is not None and last - row[0].bottom > 1.9 * height:
            yield ""
        last = row[0].bottom
        yield _set(sorted(row, key=lambda character: character.left), margin, cell)


def _pitch(characters: list[_Character]) -> float:
    widths = sorted(character.right - character.left for character in characters)
    return max(_SPACE_A_CELL, widths[len(widths) // 2])


def _height(characters: list[_Character]) -> float:
    heights = sorted(character.top - character.bottom for character in characters)
    return heights[len(heights) // 2]


def _lines_of(characters: list[_Character]) -> list[list[_Character]]:
    """Characters by lines, from top to bottom."""
    if not characters:
        return []
    height = _height(characters)
    rows: list[list[_Character]] = []
    for character in sorted(characters, key=lambda character: -character.bottom):
        if rows and abs(rows[-1][0].bottom - character.bottom) < height * 0.4:
            rows[-1].append(character)
        else:
            rows.append([character])
    return rows


def _set(row: list[_Character], margin: float, cell: float) -> str:
    line, end = "", margin
    for character in row:
        gap = character.left - end
        if line and gap > 1.5 * cell:
            line = line.ljust(max(len(line) + 3, round((character.left - margin) / cell)))
        elif line and gap > 0.18 * cell:
            line += " "
        elif not line:
            line = " " * round((character.left - margin) / cell)
        line += character.text
        end = character.right
    return line
