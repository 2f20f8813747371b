"""A list reads the same out of text in any encoding, CSV, XLSX and PDF; what is no list is told in a sentence."""

from __future__ import annotations

import io
import re
from pathlib import Path

import openpyxl
import pytest
from fpdf import FPDF

from assetlib.errors import WrongUsage
from assetlib.services.jobs import listfiles
from tests import shot_lists
from tests.shot_lists import other

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


def _told(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold())


@pytest.mark.parametrize("name", [*other.truths(), *other.truths(more=True)])
def test_lists_of_other_makes_are_read_as_they_were_meant(name: str) -> None:
    truth = (other.truths() | other.truths(more=True))[name]
    found = listfiles.read_bytes(*other.made(name))
    read = [(shot.number.upper(), _told(shot.text), _told(shot.heading)) for shot in found.shots]
    meant = [(number.upper(), _told(text), _told(heading)) for number, text, heading in truth["shots"]]
    # an answer in a chat that begins like a shot (*medium. terrier or so*) cannot be told from one
    assert [row for row in read if row in meant] == meant
    assert len(read) - len(meant) <= (name == "24_chat.txt")
    assert list(found.omitted) == truth["omitted"]


ALIGNED = """FERRY SPOT - SHOT LIST

No   Size   Picture                                    Sound              Sec
1    WS     Ferry at the quay, ramp down, two men      gulls              3
            wait with bicycles
2A   -      OMIT
3    MS     Boy waves from the rail                    BOY: Bye!          2
                                                       Music swells
            SUPER: Every hour
4    EWS    The ferry, very small                      VO: Every hour.    4
"""


def test_columns_set_in_plain_text_are_read_under_their_names() -> None:
    found = listfiles.read_bytes(ALIGNED.encode(), "list.txt")
    assert [(shot.number, shot.text) for shot in found.shots] == [
        ("1", "WS, Ferry at the quay, ramp down, two men wait with bicycles"),
        ("3", "MS, Boy waves from the rail"),
        ("4", "EWS, The ferry, very small"),
    ]
    assert found.omitted == ("2A",)


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


@pytest.mark.parametrize("table", ["a,b\n1,2\n", "id;price\n1;2\n3;4\n"])
def test_a_table_without_a_column_of_words_is_no_shot_list(table: str) -> None:
    with pytest.raises(WrongUsage, match="without a column of words"):
        listfiles.read_bytes(table.encode(), "prices.csv")


def test_a_table_of_numbers_and_single_words_is_a_shot_list() -> None:
    assert len(listfiles.read_bytes(b"1,van\n2,dog\n", "list.csv").shots) == 2
