"""How sure clean copies are, as commands tell it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.conftest import Assetlib


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    assert assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example").code == 0
    return folder


def crate_and_photo(folder: Path) -> tuple[Path, Path]:
    """A drawing whose clean copy is sure, and a picture that is no drawing."""
    crate = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(crate).rectangle((60, 60, 340, 340), outline=0, width=6)
    crate.save(folder / "crate.png")
    rough = np.random.default_rng(1).integers(0, 255, (14, 14, 3), np.uint8)
    Image.fromarray(rough).resize((420, 420), Image.Resampling.BICUBIC).save(folder / "photo.png")
    return folder / "crate.png", folder / "photo.png"


def test_what_is_not_sure_is_told_by_show_and_found(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    for path in crate_and_photo(tmp_path):
        came = assetlib("intake", path, "--as", "element", "--json", library=library).json
        assetlib("clean", came["added"][0]["code"], library=library)
    (found,) = assetlib("find", "--unsure", "--json", library=library).json["unsure"]
    assert (found["title"], found["sure"]) == ("photo", "cannot")
    assert assetlib("--json", library=library).json["copies_to_look_at"] == 1
    assert "1 to look at: assetlib find --unsure" in assetlib(library=library).out
    assert assetlib("find", "--unsure", "photo", "--json", library=library).json["unsure"] == [found]
    assert assetlib("find", "--unsure", "crate", "--json", library=library).json["unsure"] == []
    assert assetlib("find", "--unsure", "--tag", "quay", "--codes", library=library).out == ""
    shown = assetlib("show", found["code"], "--json", library=library).json
    assert shown["sure"] == "cannot"
    assert shown["sure_why"] == found["sure_why"] != []


def test_upkeep_makes_copies_ahead_and_collections_say_which_to_look_at(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assetlib("intake", *crate_and_photo(tmp_path), "--as", "element", library=library)
    assert assetlib("find", "--unsure", "--json", library=library).json["unsure"] == []
    told = assetlib("upkeep", library=library).out
    assert "1 clean copy to look at" in told.replace("\n", " ")
    (found,) = assetlib("find", "--unsure", "--json", library=library).json["unsure"]
    assert assetlib("collection", "make", "Crates", library=library).code == 0
    assert assetlib("collection", "add", "Crates", found["code"], library=library).code == 0
    (made,) = assetlib("collection", "show", "Crates", "--json", library=library).json["collections"]
    assert (made["items"][0]["sure"], made["items"][0]["sure_why"]) == ("cannot", found["sure_why"])
    (cleared,) = assetlib("clearance", found["code"], "--json", library=library).json["drawings"]
    assert (cleared["sure"], cleared["sure_why"]) == ("cannot", found["sure_why"])


def test_whoever_sells_or_exports_is_told_what_to_look_at(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    came = assetlib("intake", *crate_and_photo(tmp_path), "--as", "element", "--json", library=library).json
    codes = {row["title"]: row["code"] for row in came["added"]}
    own = ("--drawn", "out of the head", "--rights", "own", "--shows", "none", "--ai", "none")
    for command in (
        ("origin", *codes.values(), *own),
        ("collection", "make", "Crates"),
        ("collection", "add", "Crates", *codes.values()),
        ("licence", "Crates", "one artist"),
    ):
        assert assetlib(*command, library=library).code == 0
    build = ("bundle", "build", "Crates")
    before = assetlib(*build, "--dry-run", "--json", library=library).json["unsure"]
    assert [(row["code"], row["sure"]) for row in before] == [(code, None) for code in codes.values()]
    assert "2 clean copies are not made yet" in assetlib(*build, "--dry-run", library=library).out

    built = assetlib(*build, "--json", library=library).json
    assert [row["code"] for row in built["unsure"]] == [codes["photo"]]
    assert built["unsure"][0]["sure_why"] != []
    assert (
        assetlib(*build, "--again", "--dry-run", "--json", library=library).json["unsure"] == built["unsure"]
    )
    (line,) = [
        row for row in assetlib(*build, "--again", library=library).out.splitlines() if "look at" in row
    ]
    assert line.startswith(f"look at 1 clean copy: {codes['photo']} photo (")
    assert all(
        "unsure" not in row for row in assetlib("bundle", "list", "--json", library=library).json["bundles"]
    )

    taken = assetlib("export", tmp_path / "out", "--json", library=library).json
    assert taken["unsure"] == built["unsure"]
    assert codes["photo"] in assetlib("export", tmp_path / "out", library=library).out
    drawings = json.loads((tmp_path / "out" / "library.json").read_text(encoding="utf-8"))["drawings"]
    assert {row["title"]: row["sure"] for row in drawings} == {"crate": "sure", "photo": "cannot"}
