"""The contact sheet: what poppler reads on it, and that white bodies are seen on its ground."""

from __future__ import annotations

import io
import subprocess
import time
import zipfile
from datetime import date
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image, ImageDraw

from assetlib.storage.contact_sheet import Heading, Shown, pdf
from assetlib.storage.delivery import GROUND, prepare
from tests.outside import PATIENCE, needs_program
from tests.storage.conftest import DRAWINGS, Sealed

HEADING = Heading(
    "Bakery and ferry", "2.0.0", "Mira Holm", "rights@example.org", "one artist", date(2026, 3, 14)
)


def drawing(path: Path, size: tuple[int, int] = (300, 200)) -> Shown:
    """A circle with a white body on clear ground, as it comes onto the sheet."""
    picture = Image.new("RGBA", size, (0, 0, 0, 0))
    box = (size[0] // 10, size[1] // 10, size[0] * 9 // 10, size[1] * 9 // 10)
    ImageDraw.Draw(picture).ellipse(box, fill="white", outline="black", width=6)
    picture.save(path)
    ready = prepare(path)
    return Shown("Loaf", "K7WDM2", ready.thumbnail, ready.width, ready.height)


def named(one: Shown, title: str, code: str) -> Shown:
    return Shown(title, code, one.jpeg, one.width, one.height)


def text_of(sheet: bytes, path: Path) -> str:
    """The sheet's words as pdftotext (Debian: poppler-utils) reads them, spaces and breaks as one space."""
    path.write_bytes(sheet)
    command = [needs_program("pdftotext"), "-layout", str(path), "-"]
    done = subprocess.run(command, capture_output=True, check=True, timeout=PATIENCE)
    return " ".join(done.stdout.decode().split())


def told_by_pdfinfo(path: Path) -> dict[str, str]:
    done = subprocess.run(
        [needs_program("pdfinfo"), "-rawdates", str(path)], capture_output=True, check=True, timeout=PATIENCE
    )
    rows = (line.partition(":") for line in done.stdout.decode().splitlines())
    return {key: value.strip() for key, _, value in rows}


def test_a_bundle_holds_one_with_every_title_and_code_once(sealed: Sealed, tmp_path: Path) -> None:
    with zipfile.ZipFile(sealed.path) as archive:
        sheet = archive.read(f"{sealed.plan.name}/data/catalogue/contact-sheet.pdf")
    said = text_of(sheet, tmp_path / "sheet.pdf")
    for code, title in DRAWINGS.items():
        assert said.count(code) == 1
        assert said.count(title) == 1 or not title.isascii()  # the machine may have no font for a title
    for told in (
        "Before the Ovens",
        "Mira Holm",
        "rights@example.org",
        "one artist",
        "2026-03-14",
        "3 drawings",
    ):
        assert told in said
    info = told_by_pdfinfo(tmp_path / "sheet.pdf")
    assert (info["Title"], info["Author"], info["Producer"]) == ("Before the Ovens", "Mira Holm", "assetlib")
    assert info["CreationDate"].startswith("D:20260314")


def test_the_same_drawings_give_the_same_bytes(tmp_path: Path) -> None:
    one = drawing(tmp_path / "loaf.png")
    drawings = [named(one, "Ведро и 渡し船", "AAAAAA"), one]
    first = pdf(HEADING, drawings, GROUND)
    time.sleep(1.1)  # PDF dates count seconds
    assert pdf(HEADING, drawings, GROUND) == first


@pytest.mark.parametrize(("count", "across"), [(1, 3), (9, 3), (10, 4), (47, 4), (48, 5), (130, 5)])
def test_all_drawings_stand_on_it_three_to_five_a_row(tmp_path: Path, count: int, across: int) -> None:
    one = drawing(tmp_path / "loaf.png")
    drawings = [named(one, f"Loaf number {n}", f"C{n:05}") for n in range(count)]
    path = tmp_path / "many.pdf"
    said = text_of(pdf(HEADING, drawings, GROUND), path)
    assert all(said.count(item.code) == 1 for item in drawings)
    with pypdfium2.PdfDocument(path) as opened:
        first = [item.get_bounds() for item in opened[0].get_objects([3])]
        top = max(box[3] for box in first)
        assert sum(abs(box[3] - top) < 1 for box in first) == min(count, across)
        placed = [item.get_bounds() for page in opened for item in page.get_objects([3])]
        assert len(placed) == count
        wide, high = opened[0].get_size()
        assert all(b[0] > 0 and b[1] > 28 and b[2] < wide and b[3] < high for b in placed)


def test_a_white_body_and_its_ink_are_seen_on_the_ground(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf(HEADING, [drawing(tmp_path / "loaf.png")], GROUND))
    command = [
        needs_program("pdftoppm"),
        "-r",
        "150",
        "-png",
        "-singlefile",
        str(path),
        str(tmp_path / "page"),
    ]
    subprocess.run(command, check=True, timeout=PATIENCE)
    page = np.asarray(Image.open(tmp_path / "page.png").convert("RGB")).astype(int)
    ground = abs(page - np.array(GROUND)).max(axis=2) <= 3
    rows, columns = ((ground.sum(axis=1 - axis) > 100).nonzero()[0] for axis in (0, 1))
    top, left, bottom, right = rows.min(), columns.min(), rows.max(), columns.max()
    assert tuple(page[(top + bottom) // 2, (left + right) // 2]) >= (250, 250, 250)  # the body
    assert page[top:bottom, left:right].min() < 30  # the ink
    edge = page[top + 5 : bottom - 5, left + 2]
    assert abs(edge - np.array(GROUND)).max() <= 3  # no white square around the drawing


def test_long_titles_end_and_odd_ones_stay_on_their_line(tmp_path: Path) -> None:
    one = drawing(tmp_path / "loaf.png", (40, 900))
    long = named(one, "a loaf on the quay " * 20, "AAAAAA")
    sly = named(one, "van\n/URI (http://a.example)\x00 ) Tj ET", "BBBBBB")
    untitled = named(one, "", "CCCCCC")
    said = text_of(pdf(HEADING, [long, sly, untitled], GROUND), tmp_path / "sheet.pdf")
    assert "..." in said
    assert all(said.count(code) == 1 for code in ("AAAAAA", "BBBBBB", "CCCCCC"))


def test_thumbnails_are_small_and_never_larger_than_the_drawing(tmp_path: Path) -> None:
    small = drawing(tmp_path / "small.png", (60, 40))
    with Image.open(io.BytesIO(small.jpeg)) as opened:
        assert opened.size == (60, 40)
    large = drawing(tmp_path / "large.png", (2000, 500))
    with Image.open(io.BytesIO(large.jpeg)) as opened:
        assert opened.size == (480, 120)
