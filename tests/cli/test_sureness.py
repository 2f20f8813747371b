"""How sure clean copies are, as commands tell it."""

from __future__ import annotations

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


def test_what_is_not_sure_is_told_by_show_and_found(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    crate = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(crate).rectangle((60, 60, 340, 340), outline=0, width=6)
    crate.save(tmp_path / "crate.png")
    rough = np.random.default_rng(1).integers(0, 255, (14, 14, 3), np.uint8)
    Image.fromarray(rough).resize((420, 420), Image.Resampling.BICUBIC).save(tmp_path / "photo.png")
    for name in ("crate.png", "photo.png"):
        came = assetlib("intake", tmp_path / name, "--as", "element", "--json", library=library).json
        assetlib("clean", came["added"][0]["code"], library=library)
    (found,) = assetlib("find", "--unsure", "--json", library=library).json["unsure"]
    assert (found["title"], found["sure"]) == ("photo", "cannot")
    shown = assetlib("show", found["code"], "--json", library=library).json
    assert shown["sure"] == "cannot"
    assert shown["sure_why"] == found["sure_why"] != []
