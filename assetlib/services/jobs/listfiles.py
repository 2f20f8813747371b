"""Shot lists out of files: plain text, CSV, XLSX, the text of a PDF."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

from assetlib.errors import WrongUsage
from assetlib.rules.shots.lists import columns, reading
from assetlib.rules.shots.lists.values import ShotList
from assetlib.services.jobs import printed_lists

MOST_BYTES = 30_000_000
"""Largest file that is read as a list; lists with pictures in them reach some megabytes."""
MOST_ROWS = 20_000


def read_list(path: Path) -> ShotList:
    """The shots of a file. Raises WrongUsage, which says what is wrong with it."""
    if path.is_dir():
        raise WrongUsage(f"{path} is a folder, not a shot list", "name the file itself")
    try:
        if path.stat().st_size > MOST_BYTES:
            raise WrongUsage(f"{path.name} is too large for a shot list ({path.stat().st_size:,} bytes)")
        data = path.read_bytes()
    except OSError as error:
        raise WrongUsage(f"{path} cannot be read ({error.strerror})") from error
    return read_bytes(data, path.name)


def read_bytes(data: bytes, name: str) -> ShotList:
    """The shots of a file's bytes; its kind is told by the bytes. Raises WrongUsage."""
    if not data.strip(b"\xef\xbb\xbf \t\r\n\x00"):
        raise WrongUsage(f"{name} is empty")
    if data.startswith(b"%PDF"):
        printed = printed_lists.read_pdf(data, name)
        return reading.read_text(printed) if isinstance(printed, str) else columns.read_rows(printed)
    if data.startswith(b"PK\x03\x04"):
        return columns.read_rows(_workbook(data, name))
    text = decode(data, name)
    if _has_no_words(text):
        raise WrongUsage(
            f"{name} is a table without a column of words, no shot list",
            "one column says in words what each shot shows",
        )
    table = _separated(text)
    return columns.read_rows(table) if table is not None else reading.read_text(text)


def decode(data: bytes, name: str) -> str:
    """The text of bytes in UTF-8, UTF-16 or Windows-1252. Raises WrongUsage for what is no text."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif b"\x00" in data:
        encodings = []
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if sum(ch < " " and ch not in "\t\n\r\f\v" for ch in text) <= len(text) // 200:
            return text
    raise WrongUsage(f"{name} is no text that can be read", "save it as text (UTF-8), CSV, XLSX or PDF")


def _separated(text: str) -> list[list[str]] | None:
    """The cells of a text in CSV; None where it is running text that has commas in it."""
    lines = [line for line in text.splitlines() if line.strip()][:60]
    for mark in (",", ";", "\t"):
        rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=mark))
        wide = [len(row) for row in rows]
        most = max(set(wide), key=wide.count, default=0)
        steady = most >= 3 and wide.count(most) >= 0.8 * len(wide)
        if steady and _named(rows):
            return [
                row
                for row, _ in zip(
                    csv.reader(io.StringIO(text), delimiter=mark), range(MOST_ROWS), strict=False
                )
            ]
    return None


_WORD = re.compile(r"[^\W\d_]{3,}")


def _has_no_words(text: str) -> bool:
    """Whether a text is all cells, row by row as many, and below the first row no column of them holds words."""
    lines = [line for line in text.splitlines() if line.strip()][:60]
    for mark in (",", ";", "\t"):
        rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=mark))
        wide = {len(row) for row in rows}
        if len(rows) < 2 or len(wide) != 1 or wide == {1}:
            continue
        columns_ = zip(*rows[1:], strict=True)
        return not any(_WORD.search(cell) for column in columns_ for cell in column)
    return False


def _named(rows: list[list[str]]) -> bool:
    """Whether one of the first rows names columns, or cells stand empty as no sentence has them."""
    named = any(
        sum(columns.role_of(cell) is not None for cell in row if len(cell) < 30) >= 2
        and not any(len(cell) > 40 for cell in row)
        for row in rows[:20]
    )
    empty = sum(not cell.strip() for row in rows for cell in row)
    return named or empty > len(rows)


def _workbook(data: bytes, name: str) -> list[list[str]]:
    """The cells of the sheet of a workbook that has most text. Raises WrongUsage for another kind of ZIP."""
    from openpyxl import load_workbook

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(entry.file_size for entry in archive.infolist()) > 20 * MOST_BYTES:
                raise WrongUsage(f"{name} unpacks to more than a shot list can hold")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        sheets = [list(_cells(sheet)) for sheet in book.worksheets]
    except WrongUsage:
        raise
    except Exception as error:
        # openpyxl raises many kinds of error for files that are no workbooks; all mean the same here
        raise WrongUsage(f"{name} is no workbook that can be read", "save it as XLSX or CSV") from error
    filled = [rows for rows in sheets if any(any(row) for row in rows)]
    if not filled:
        raise WrongUsage(f"{name} is empty")
    return max(filled, key=lambda rows: sum(len(cell) for row in rows for cell in row))


def _cells(sheet: object) -> Iterator[list[str]]:
    rows: Callable[..., Iterator[tuple[object, ...]]] = sheet.iter_rows  # type: ignore[attr-defined]
    for row in rows(max_row=MOST_ROWS, max_col=columns.MOST_CELLS, values_only=True):
        yield ["" if cell is None else _shown(cell) for cell in row]


def _shown(cell: object) -> str:
    return f"{cell:g}" if isinstance(cell, float) else str(cell)
