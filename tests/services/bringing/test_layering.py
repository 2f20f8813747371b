"""Layered files that GIMP and Krita wrote, taken apart into elements in a library."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.formats import read_picture
from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.bringing.intake import bring_in
from assetlib.services.bringing.layering import take_layers
from assetlib.services.finding.showing import show

FILES = Path(__file__).parents[2] / "imaging" / "files"


@pytest.mark.parametrize("name", ["van-gimp.psd", "van-krita.psd", "van-krita.ora"])
def test_top_layers_become_elements_with_their_names(lib: Library, name: str) -> None:
    code = bring_in(lib, [FILES / name]).added[0].code
    taken = take_layers(lib, code)
    # the hidden layer and the paper are no drawings
    assert [(item.title, item.is_new) for item in taken] == [("night tone", True), ("bakery van", True)]
    assert show(lib, code).card.role == "sheet"
    again = take_layers(lib, code)
    assert [(item.code, item.is_new) for item in again] == [(item.code, False) for item in taken]


def test_the_inner_layers_of_an_element_stay_with_it(lib: Library) -> None:
    code = bring_in(lib, [FILES / "van-gimp.psd"]).added[0].code
    van = take_layers(lib, code)[1]
    assert show(lib, van.code).size == (60, 38)
    with Image.open(clean_copies.make(lib, van.code).ink) as opened:
        clean = np.array(opened.convert("RGBA"))
    whole = read_picture(FILES / "van-gimp.psd", layer="bakery van")[16:54, 12:72]
    seen = whole[..., 3] > 0
    assert np.array_equal(clean[..., 3], whole[..., 3])
    assert np.array_equal(clean[seen], whole[seen])


def test_a_flat_file_has_no_layers_to_take(lib: Library) -> None:
    code = bring_in(lib, [FILES / "van-krita.png"]).added[0].code
    assert take_layers(lib, code) == []
    assert show(lib, code).card.role == "element"
