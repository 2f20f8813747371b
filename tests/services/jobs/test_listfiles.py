"""A list reads the same out of text in any encoding, CSV, XLSX and PDF; what is no list is told in a sentence."""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pytest
from fpdf import FPDF

from assetlib.errors import WrongUsage
from assetlib.services.jobs import listfiles
from tests import shot_lists

TEXTS = [name for name in shot_lists.truths() if name.endswith(".txt")]
TABLES = [name for name in shot_lists.truths() if name.endswith(".csv")]


def shots(data: bytes, name: str) -> list[list[str]]:
    return [
        [shot.number, shot.text, shot.heading, shot.spot] for shot in listfiles.read_bytes(data, name).shots
    ]


def printed(text: str) -> bytes:
    page = FPDF()
    page.add_page()
    page.set_font("Courier", size=9)
    for line in text.split("\n"):
        page.cell(0, 4.2, line, new_x="LMARGIN", new_y="NEXT")
    return bytes(page.output())


@pytest.mark.parametrize("name", TEXTS)
def test_a_printed_list_reads_like_its_text(name: str) -> None:
    text = (shot_lists.FOLDER / name).read_text(encoding="utf-8")
    assert shots(printed(text), name) == shot_lists.truths()[name]["shots"]


@pytest.mark.parametrize("name", TEXTS[:3])
@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_list_reads_alike_in_every_encoding(name: str, encoding: str) -> None:
    text = (shot_lists.FOLDER / name).read_text(encoding="utf-8").replace("\n", "\r\n")
    assert shots(text.encode(encoding), name) == shot_lists.truths()[name]["shots"]


@pytest.mark.parametrize("name", TABLES)
def test_a_workbook_reads_like_its_text(name: str) -> None:
    book = openpyxl.Workbook()
    for row in shot_lists.rows(name):
        book.active.append([int(cell) if cell.isdigit() else cell or None for cell in row])
    data = io.BytesIO()
    book.save(data)
    assert shots(data.getvalue(), name) == shot_lists.truths()[name]["shots"]
    assert shots((shot_lists.FOLDER / name).read_bytes(), name) == shot_lists.truths()[name]["shots"]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n \n", "empty"),
        (bytes(range(256)) * 20, "no text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "no text"),
        (b"%PDF-1.7 broken", "cannot be read"),
        (b"PK\x03\x04 broken", "no workbook"),
        (printed(""), "without text"),
    ],
)
def test_what_is_no_list_is_said_in_a_sentence(data: bytes, says: str) -> None:
    with pytest.raises(WrongUsage, match=says):
        listfiles.read_bytes(data, "list")


def test_a_folder_and_a_missing_file_are_told(tmp_path: Path) -> None:
    with pytest.raises(WrongUsage, match="folder"):
        listfiles.read_list(tmp_path)
    with pytest.raises(WrongUsage, match="cannot be read"):
        listfiles.read_list(tmp_path / "none.txt")
