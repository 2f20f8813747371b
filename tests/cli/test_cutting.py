"""The cut command as its user meets it: corrections by number, several pages, what finds nothing."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFont

from tests.cli.pages import three_shapes
from tests.conftest import Assetlib

BOXES = ([60, 90, 201, 241], [360, 90, 201, 241], [660, 90, 181, 241])


def _page() -> Image.Image:
    return three_shapes()


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    assert assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example").code == 0
    return folder


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    _page().save(tmp_path / "three shapes.png")
    return tmp_path / "three shapes.png"


@pytest.fixture
def pages(tmp_path: Path) -> Path:
    _page().save(tmp_path / "pages.tif", save_all=True, append_images=[_page().rotate(180)])
    return tmp_path / "pages.tif"


def _boxes(document: dict[str, Any]) -> list[list[int]]:
    return [element["box"] for element in document["elements"]]


def test_a_plain_file_gives_source_size_and_elements_alone(assetlib: Assetlib, sheet: Path) -> None:
    document = assetlib("cut", sheet, "--dry-run", "--json").json
    assert set(document) == {"sheets"}
    (found,) = document["sheets"]
    assert set(found) == {"source", "size", "elements"}
    assert all(set(element) == {"order", "box", "caption"} for element in found["elements"])
    assert [element["order"] for element in found["elements"]] == [1, 2, 3]


def test_new_corrections_are_added_to_those_of_last_time(
    assetlib: Assetlib, library: Path, sheet: Path
) -> None:
    code = assetlib("cut", sheet, "--join", "1,2", "--json", library=library).json["sheets"][0]["sheet"]
    (both,) = assetlib("cut", code, "--drop", "3", "--json", library=library).json["sheets"]
    assert len(both["elements"]) == 1
    x, _, w, _ = both["elements"][0]["box"]
    assert (x, x + w) == (BOXES[0][0], BOXES[1][0] + BOXES[1][2])
    (fresh,) = assetlib("cut", code, "--fresh", "--drop", "3", "--json", library=library).json["sheets"]
    assert len(fresh["elements"]) == 2


def test_joins_that_share_a_drawing_are_one(assetlib: Assetlib, sheet: Path) -> None:
    done = assetlib("cut", sheet, "--join", "1,2", "--join", "2,3", "--dry-run", "--json")
    assert len(done.json["sheets"][0]["elements"]) == 1


def test_the_table_names_drawings_as_corrections_do(assetlib: Assetlib, sheet: Path) -> None:
    done = assetlib("cut", sheet, "--join", "2,3", "--dry-run")
    numbers = [line.split()[0] for line in done.out.splitlines() if "x" in line and line[:1].isdigit()]
    assert numbers == ["1", "2+3"]
    overlay = Path("".join(done.out.split("numbered boxes:")[1].split("\n")).strip())
    assert overlay.name == "three shapes-cut-1.png"
    with Image.open(overlay) as picture:
        assert picture.size == (900, 420)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--drop", "9"], "no drawing 9"),
        (["--join", "1,7"], "no drawing 7"),
        (["--split", "0"], "no drawing 0"),
        (["--split", "1"], "hangs together"),
        (["--join", "3"], "joins nothing"),
        (["--box", "5,5,20,20"], "no ink"),
        (["--box", "5000,5,20,20"], "no ink"),
        (["--gap", "-3"], "no gap"),
        (["--page", "2"], "no page 2"),
    ],
)
@pytest.mark.parametrize("kept", [False, True])
def test_corrections_that_find_nothing_are_told(
    assetlib: Assetlib, library: Path, sheet: Path, options: list[str], says: str, kept: bool
) -> None:
    given = ["cut", sheet, *options] + ([] if kept else ["--dry-run"])
    done = assetlib(*given, library=library if kept else None)
    assert done.code == 2
    assert says in " ".join(done.err.split())


def test_corrections_say_which_page_they_are_for(assetlib: Assetlib, library: Path, pages: Path) -> None:
    refused = assetlib("cut", pages, "--drop", "1", library=library)
    assert (refused.code, "--page" in refused.err) == (2, True)
    cut = assetlib("cut", pages, "--drop", "1", "--page", "2", "--json", library=library).json["sheets"]
    assert [(sheet["page"], len(sheet["elements"])) for sheet in cut] == [(2, 2)]
    again = assetlib("cut", cut[0]["sheet"], "--json", library=library).json["sheets"]
    assert [(sheet["page"], len(sheet["elements"])) for sheet in again] == [(1, 3), (2, 2)]


def test_corrections_are_for_one_sheet(assetlib: Assetlib, sheet: Path, pages: Path) -> None:
    assert assetlib("cut", sheet, pages, "--drop", "1", "--dry-run").code == 2
    assert assetlib("cut", sheet, pages, "--gap", "5", "--dry-run", "--json").code in (0, 1)


def test_a_bad_sheet_costs_itself_alone(assetlib: Assetlib, sheet: Path, tmp_path: Path) -> None:
    (tmp_path / "deep.svg").write_text("<svg>" + "<g>" * 20_000 + "</g>" * 20_000 + "</svg>")
    done = assetlib("cut", tmp_path / "deep.svg", sheet, "--dry-run", "--json")
    assert done.code == 1
    assert [Path(found["source"]).name for found in done.json["sheets"]] == ["three shapes.png"]
    assert done.err.count("deep.svg") == 1


def test_a_sheet_cut_at_intake_is_not_told_to_be_cut_again(
    assetlib: Assetlib, library: Path, sheet: Path, tmp_path: Path
) -> None:
    cut = assetlib("intake", sheet, "--as", "sheet", "--cut", library=library)
    assert "4 added" in cut.out
    assert "Sheets to cut" not in cut.out
    _page().rotate(180).save(tmp_path / "left whole.png")
    whole = assetlib("intake", tmp_path / "left whole.png", "--as", "sheet", library=library)
    assert "Sheets to cut" in whole.out


def test_every_piece_that_a_correction_makes_has_a_number_of_its_own(
    assetlib: Assetlib, library: Path, sheet: Path
) -> None:
    def cut(*corrections: object) -> dict[tuple[int, ...], list[int]]:
        (page,) = assetlib("cut", code, *corrections, "--json", library=library).json["sheets"]
        return {tuple(element["numbers"]): element["box"] for element in page["elements"]}

    page = _page()
    pen = ImageDraw.Draw(page)
    pen.rectangle((340, 80, 580, 340), fill=255)
    for top in (90, 230):  # two rings that a neck holds together: there is one place to split them
        pen.ellipse((410, top, 510, top + 100), outline=0, width=6)
    pen.line((460, 190, 460, 230), fill=0, width=6)
    page.save(sheet)
    code = assetlib("cut", sheet, "--json", library=library).json["sheets"][0]["sheet"]
    corner = cut("--box", "650,80,100,130")
    assert list(corner) == [(1,), (2,), (4,), (3,)]
    assert list(cut("--drop", "4", "--dry-run")) == [(1,), (2,), (3,)]
    halves = cut("--split", "2")
    assert set(halves) == {(1,), (3,), (4,), (5,), (6,)}
    assert (halves[(4,)], halves[(3,)]) == (corner[(4,)], corner[(3,)])
    kept = cut("--drop", "5")
    assert kept == {numbers: box for numbers, box in halves.items() if numbers != (5,)}
    assert set(cut("--join", "1,6")) == {(1, 6), (3,), (4,)}
    refused = assetlib("cut", code, "--drop", "7", library=library)
    assert (refused.code, "no drawing 7" in refused.err) == (2, True)


def test_lists_and_ranges_of_numbers(assetlib: Assetlib, sheet: Path) -> None:
    assert (
        len(assetlib("cut", sheet, "--drop", "2-3", "--dry-run", "--json").json["sheets"][0]["elements"]) == 1
    )
    assert (
        len(assetlib("cut", sheet, "--join", "1-3", "--dry-run", "--json").json["sheets"][0]["elements"]) == 1
    )


def test_overlays_of_sheets_with_one_title_lie_side_by_side(
    assetlib: Assetlib, library: Path, sheet: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other" / sheet.name
    other.parent.mkdir()
    _page().rotate(180).save(other)
    files = assetlib("cut", sheet, other, "--dry-run").out.replace("\n", "")
    assert len(set(re.findall(r"three shapes[ 0-9]*-cut-1\.png", files))) == 2
    assetlib("job", "open", "Bakery", library=library)
    for path in (sheet, other):
        assetlib("intake", path, "--as", "sheet", "--title", "shapes", "--job", "Bakery", library=library)
    pictures = assetlib("cut", "--job", "Bakery", "--dry-run", library=library).out.replace("\n", "")
    assert len(set(re.findall(r"shapes \w{6}-cut-1\.png", pictures))) == 2


def test_an_element_that_is_one_drawing_stays_one(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    page = Image.new("L", (500, 420), 255)
    ImageDraw.Draw(page).ellipse((60, 40, 440, 380), outline=0, width=6)
    page.save(tmp_path / "ring.png")
    came = assetlib("intake", tmp_path / "ring.png", "--as", "element", "--later", "--json", library=library)
    code = came.json["added"][0]["code"]
    refused = assetlib("cut", code, library=library)
    assert (refused.code, "ring is one drawing: nothing to cut" in refused.err) == (2, True)
    assert assetlib("show", code, "--json", library=library).json["as"] == "element"
    assert [row["code"] for row in assetlib("find", "--json", library=library).json["results"]] == [code]


def test_an_element_with_several_drawings_becomes_a_sheet_and_says_so(
    assetlib: Assetlib, library: Path, sheet: Path
) -> None:
    came = assetlib("intake", sheet, "--as", "element", "--later", "--json", library=library)
    code = came.json["added"][0]["code"]
    assert f"{code} was kept as one drawing and is a sheet now" in assetlib("cut", code, library=library).out
    assert assetlib("show", code, "--json", library=library).json["as"] == "sheet"


def test_the_command_to_copy_is_one_line(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    for number in range(6):
        page = _page()
        ImageDraw.Draw(page).rectangle((10, 10, 20 + 5 * number, 30), fill=0)
        page.save(tmp_path / f"page {number}.png")
    files = [tmp_path / f"page {number}.png" for number in range(6)]
    told = assetlib("intake", *files, "--as", "sheet", "--later", library=library).out
    (line,) = [line for line in told.splitlines() if line.startswith("Sheets to cut")]
    assert line.endswith("--dry-run")


def test_codes_and_numbers_stay_when_the_gap_is_changed_later(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    """Two rings that touch, parted; a box with a small box close by, which a narrower gap parts."""
    page = Image.new("L", (1500, 500), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((100, 100, 400, 400), outline=0, width=6)
    pen.ellipse((395, 100, 695, 400), outline=0, width=6)
    pen.rectangle((950, 100, 1200, 400), outline=0, width=6)
    pen.rectangle((1230, 250, 1300, 400), outline=0, width=6)
    page.save(tmp_path / "rings.png")

    def cut(*said: object) -> dict[int, tuple[str, list[int]]]:
        (found,) = assetlib("cut", *said, "--json", library=library).json["sheets"]
        nonlocal code
        code = found["sheet"]
        return {
            e["box"][0] // 10 * 10: (e["code"], e.get("numbers") or [e["order"]]) for e in found["elements"]
        }

    code = ""
    cut(tmp_path / "rings.png", "--gap", 60)
    before = cut(code, "--split", 1)
    assert len(before) == 3
    after = cut(code, "--gap", 10)
    assert len(after) == 4
    stayed = {place: told for place, told in before.items() if place < 900}
    assert {place: after[place] for place in stayed} == stayed
    assert cut(code, "--gap", 60).keys() == before.keys()
    assert {place: told[0] for place, told in cut(code).items()} == {p: told[0] for p, told in before.items()}


def test_a_column_of_captions_stands_only_where_there_are_captions(
    assetlib: Assetlib, library: Path, sheet: Path, tmp_path: Path
) -> None:
    assert "lettering" not in assetlib("cut", sheet, "--dry-run", library=library).out
    page = Image.new("L", (1400, 800), 255)
    pen = ImageDraw.Draw(page)
    for n, word in enumerate(("DOG SITTING", "CART FROM ABOVE", "LAMP")):
        left = 80 + 450 * n
        pen.ellipse((left, 150, left + 300, 480), outline=0, width=7)
        pen.line((left + 40, 200, left + 260, 430), fill=0, width=7)
        pen.text((left + 60, 530), word, fill=0, font=ImageFont.load_default(26))
    page.save(tmp_path / "with words.png")
    told = assetlib("cut", tmp_path / "with words.png", "--dry-run", library=library).out
    assert "kept with it" in told


def test_a_clean_copy_of_a_cut_sheet_is_refused_and_its_drawings_are_named(
    assetlib: Assetlib, library: Path, sheet: Path
) -> None:
    code = assetlib("cut", sheet, "--json", library=library).json["sheets"][0]["sheet"]
    refused = assetlib("clean", code, library=library)
    assert refused.code == 2
    assert f"its 3 drawings: assetlib clean --sheet {code}" in " ".join(refused.err.split())
    assert len(assetlib("clean", "--sheet", code, "--json", library=library).json["copies"]) == 3
