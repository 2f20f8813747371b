"""Clean copies and layers as their user meets them: the three files, openings by number, layers as drawings."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.conftest import Assetlib

FILES = Path(__file__).parents[1] / "imaging" / "files"


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    assert assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example").code == 0
    return folder


def _alpha(path: str | Path, x: int, y: int) -> int:
    with Image.open(path) as opened:
        return int(np.array(opened.convert("RGBA"))[y, x, 3])


def test_show_offers_ink_ink_with_body_and_mask(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    page = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(page).rectangle((60, 60, 340, 340), outline=0, width=6)
    page.save(tmp_path / "crate.png")
    code = assetlib("intake", tmp_path / "crate.png", "--json", library=library).json["added"][0]["code"]
    shown = assetlib("show", code, "--clean", "--json", library=library).json
    assert (_alpha(shown["clean"], 200, 200), _alpha(shown["clean"], 62, 200)) == (0, 255)
    assert (_alpha(shown["body"], 200, 200), _alpha(shown["body"], 20, 20)) == (255, 0)
    with Image.open(shown["mask"]) as mask:
        assert (mask.mode, mask.getpixel((200, 200)), mask.getpixel((20, 20))) == ("L", 255, 0)
    told = assetlib("show", code, library=library).out
    assert all(words in told for words in ("ink only", "ink with body", "body as mask"))

    (copies,) = assetlib("clean", code, "--json", library=library).json["copies"]
    number = next(o["number"] for o in copies["openings"] if o["box"][2] > 200)
    (opened,) = assetlib("clean", code, "--open", number, "--json", library=library).json["copies"]
    assert _alpha(opened["body"], 200, 200) == 0
    assert _alpha(opened["ink"], 62, 200) == 255
    assert assetlib("clean", code, "--open", "99", library=library).code == 2


def _crates(assetlib: Assetlib, library: Path, folder: Path, count: int) -> list[str]:
    """Codes of so many drawings of an outline that is open wide above."""
    for k in range(count):
        page = Image.new("L", (400, 400), 255)
        pen = ImageDraw.Draw(page)
        pen.line([(80 - 3 * k, 60), (80, 340), (320, 340), (320, 60 + 9 * k)], fill=0, width=6)
        pen.ellipse((120, 200 + k, 180 + 8 * k, 260), outline=0, width=6)
        page.save(folder / f"crate {'abcdef'[k]}.png")
    added = assetlib("intake", folder, "--json", library=library).json["added"]
    return [item["code"] for item in added]


def test_many_copies_have_a_row_each_and_files_are_told_by_folder(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    (tmp_path / "in").mkdir()
    codes = _crates(assetlib, library, tmp_path / "in", 4)
    lines = assetlib("clean", *codes, "--to", tmp_path / "out", library=library).out.splitlines()
    told = "\n".join(lines)
    assert len(lines) <= 4 * 3 + 3
    assert all(sum(line.startswith(code) for line in lines) == 1 for code in codes)
    assert "to look at: assetlib find --unsure" in told or "all 4 sure" in told
    assert "12 files written to" in told
    assert "ink with body" not in told


def test_what_was_tried_and_took_nothing_is_said_and_not_proposed_again(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    (tmp_path / "in").mkdir()
    (code,) = _crates(assetlib, library, tmp_path / "in", 1)
    result = assetlib("clean", code, "--remove", "underdrawing", library=library)
    assert f"{code}: no underdrawing was found that could be taken out" in result.err
    assert "--remove 'underdrawing'" not in result.out


def test_filling_what_no_outline_goes_round_is_refused(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    (tmp_path / "in").mkdir()
    (code,) = _crates(assetlib, library, tmp_path / "in", 1)
    (before,) = assetlib("clean", code, "--json", library=library).json["copies"]
    place = next((x, y) for x, y in ((250, 100), (20, 20)) if _alpha(before["body"], x, y) == 0)
    refused = assetlib("clean", code, "--shut-at", f"{place[0]},{place[1]}", library=library)
    assert refused.code == 2
    assert "no room is found at" in refused.err
    (after,) = assetlib("clean", code, "--json", library=library).json["copies"]
    assert after["openings"] == before["openings"]


def test_layers_of_a_file_become_drawings(assetlib: Assetlib, library: Path) -> None:
    came = assetlib("intake", FILES / "van-gimp.psd", "--layers", "--json", library=library).json["added"]
    assert [(item["title"], item["as"]) for item in came] == [
        ("van gimp", "layered file"),
        ("night tone", "element"),
        ("bakery van", "element"),
    ]
    assert assetlib("show", came[0]["code"], "--json", library=library).json["as"] == "sheet"


def _layered(file: Path, layers: dict[str, tuple[int, int, int, int]]) -> Path:
    """A file of layers x, y, w, h of one tint each, the lowest first."""
    from psd_tools import PSDImage

    document = PSDImage.new("RGB", (300, 200), color=(255, 255, 255))
    for number, (name, (x, y, w, h)) in enumerate(layers.items()):
        picture = Image.new("RGBA", (w, h), (240 - 90 * number, 60, 80, 255))
        document.create_pixel_layer(picture, name=name, top=y, left=x)
    document.save(file)
    return file


def test_layers_that_make_a_better_copy_are_named_tried_and_told(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    file = _layered(tmp_path / "two.psd", {"baker": (10, 40, 90, 120), "ferry": (170, 60, 110, 80)})
    code = assetlib("intake", file, "--json", library=library).json["added"][0]["code"]
    assert assetlib("clean", code, library=library).out.rstrip().endswith(f"assetlib cut {code} --layers")
    tried = assetlib("cut", code, "--layers", "--dry-run", library=library)
    assert all(name in tried.out for name in ("baker", "ferry"))
    assert assetlib("show", code, "--json", library=library).json["as"] == "element"
    document = assetlib("cut", code, "--layers", "--dry-run", "--json", library=library).json
    assert [(one["sheet"], one["title"]) for one in document["layers"]] == [(code, "ferry"), (code, "baker")]
    assert assetlib("cut", code, "--layers", library=library).code == 0
    assert assetlib("show", code, "--json", library=library).json["as"] == "sheet"


def test_the_ground_that_is_left_out_is_named(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    layers = {"ground": (0, 0, 300, 200), "tone": (60, 50, 120, 90), "line": (55, 45, 130, 100)}
    file = _layered(tmp_path / "baker.psd", layers)
    code = assetlib("intake", file, "--json", library=library).json["added"][0]["code"]
    tried = assetlib("cut", code, "--layers", "--dry-run", library=library).out
    assert "its ground layer ground is left out" in tried
    assert "its ground layer ground is left out" in assetlib("cut", code, "--layers", library=library).out
    again = assetlib("cut", code, "--layers", library=library).out
    assert "its ground layer ground is left out already" in again
    assert "--layers" not in assetlib("clean", code, library=library).out


def test_files_that_are_there_already_are_told_and_others_want_a_word(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    page = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(page)
    pen.rectangle((60, 60, 340, 340), outline=0, width=6)
    pen.rectangle((150, 150, 250, 250), outline=0, width=6)
    page.save(tmp_path / "crate.png")
    code = assetlib("intake", tmp_path / "crate.png", "--json", library=library).json["added"][0]["code"]
    out = tmp_path / "out"
    (copies,) = assetlib("clean", code, "--json", library=library).json["copies"]
    number, is_open = (copies["openings"][0][key] for key in ("number", "open"))
    switch = ("--shut" if is_open else "--open", number)
    assert "3 files written" in assetlib("clean", code, *switch, "--to", out, library=library).out
    again = assetlib("clean", code, *switch, "--to", out, library=library)
    assert (again.code, "3 files there already" in again.out) == (0, True)
    assert "nothing was switched: it is so already" in again.out
    back = ("--open" if is_open else "--shut", number)
    refused = assetlib("clean", code, *back, "--to", out, library=library)
    assert refused.code == 2
    assert "--replace" in refused.err
    (unchanged,) = assetlib("clean", code, "--json", library=library).json["copies"]
    assert unchanged["openings"][0]["open"] is not is_open
    replaced = assetlib("clean", code, *back, "--to", out, "--replace", "--json", library=library).json
    assert (len(replaced["written"]), len(replaced["there"])) == (2, 1)  # the ink is the same
    assert assetlib("clean", code, "--replace", library=library).code == 2


def test_a_cut_sheet_among_others_is_named_and_the_others_are_made(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    page = Image.new("L", (900, 400), 255)
    pen = ImageDraw.Draw(page)
    for left in (60, 360, 660):
        pen.ellipse((left, 100, left + 180, 300), outline=0, width=6)
    page.save(tmp_path / "sheet.png")
    (sheet,) = assetlib("cut", tmp_path / "sheet.png", "--json", library=library).json["sheets"]
    first, *others = (element["code"] for element in sheet["elements"])
    cleaned = assetlib("clean", first, sheet["sheet"], "--json", library=library)
    assert cleaned.code == 1
    assert [copy["code"] for copy in cleaned.json["copies"]] == [first]
    assert f"assetlib clean --sheet {sheet['sheet']}" in cleaned.err
    whole = assetlib("clean", sheet["sheet"], first, *others, "--json", library=library)
    assert (whole.code, len(whole.json["copies"])) == (0, 1 + len(others))
