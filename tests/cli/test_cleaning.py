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


def test_layers_of_a_file_become_drawings(assetlib: Assetlib, library: Path) -> None:
    came = assetlib("intake", FILES / "van-gimp.psd", "--layers", "--json", library=library).json["added"]
    assert [(item["title"], item["as"]) for item in came] == [
        ("van gimp", "layered file"),
        ("night tone", "element"),
        ("bakery van", "element"),
    ]
    assert assetlib("show", came[0]["code"], "--json", library=library).json["as"] == "sheet"
