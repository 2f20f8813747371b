"""Layered files that GIMP and Krita wrote, taken apart into elements in a library."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.formats import read_picture
from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.bringing.intake import bring_in
from assetlib.services.bringing.layering import take_layers
from assetlib.services.bringing.taking_in import Extras, take_in
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


def write_layers(file: Path, layers: list[tuple[str, tuple[int, int, int, int]]]) -> Path:
    """A PSD of layers, bottom first, each a filled box of one tone; its composite is written too."""
    from psd_tools import PSDImage

    document = PSDImage.new("RGB", (300, 200), color=(255, 255, 255))
    for number, (name, box) in enumerate(layers):
        picture = Image.new("RGBA", (box[2], box[3]), (40 + 50 * number, 60, 80, 255))
        document.create_pixel_layer(picture, name=name, top=box[1], left=box[0])
    document.save(file)
    return file


@pytest.mark.parametrize(
    "names",
    [
        ("paper", "colour", "tone", "line"),
        ("Hintergrund", "Farbe", "Schatten", "Linie 2"),
        ("fond", "couleur", "ombres", "encrage"),
    ],
    ids=["English", "German", "French"],
)
def test_line_tone_and_colour_are_one_drawing_without_its_ground(
    lib: Library, tmp_path: Path, names: tuple[str, ...]
) -> None:
    boxes = [(0, 0, 300, 200), (60, 50, 120, 90), (80, 60, 90, 70), (55, 45, 130, 100)]
    file = write_layers(tmp_path / "baker.psd", list(zip(names, boxes, strict=True)))
    code = bring_in(lib, [file]).added[0].code
    assert take_layers(lib, code) == []
    shown = show(lib, code)
    assert shown.card.role == "element"
    assert shown.ground == "transparent"
    with Image.open(clean_copies.make(lib, code).ink) as opened:
        ink = np.array(opened.convert("RGBA"))
    assert ink.shape[:2] == (100, 130)
    assert ink[0, 0, 3] == 255
    assert ink[0, 0, 0] == 190  # the line is on top
    assert take_layers(lib, code) == []
    again = tmp_path / "elsewhere" / "baker again.psd"
    again.parent.mkdir()
    again.write_bytes(file.read_bytes())
    assert [known.code for known in bring_in(lib, [again]).known] == [code]


def test_drawings_side_by_side_are_several_and_the_ground_none(lib: Library, tmp_path: Path) -> None:
    names = [("bg", (0, 0, 300, 200)), ("baker", (10, 40, 90, 120)), ("ferry", (170, 60, 110, 80))]
    code = bring_in(lib, [write_layers(tmp_path / "two.psd", names)]).added[0].code
    assert [item.title for item in take_layers(lib, code)] == ["ferry", "baker"]


def test_nameless_layers_on_each_other_are_one_drawing(lib: Library, tmp_path: Path) -> None:
    names = [("Layer 1", (60, 50, 120, 90)), ("Layer 2", (55, 45, 130, 100))]
    code = bring_in(lib, [write_layers(tmp_path / "one.psd", names)]).added[0].code
    assert take_layers(lib, code) == []
    assert show(lib, code).card.role == "element"


def test_a_file_that_is_known_can_be_taken_apart_later(lib: Library, tmp_path: Path) -> None:
    names = [("baker", (10, 40, 90, 120)), ("ferry", (170, 60, 110, 80))]
    file = write_layers(tmp_path / "two.psd", names)
    bring_in(lib, [file])
    taken = take_in(lib, [file], extras=Extras(layers=True, later=True))
    assert sorted(item.title for item in taken.report.added) == ["baker", "ferry"]


def blended_file(file: Path) -> Path:
    """A PSD of paper, colour, shade clipped to it and multiplied, tone in a passing group, half-seen light, line."""
    from psd_tools import PSDImage
    from psd_tools.constants import BlendMode

    document = PSDImage.new("RGB", (120, 90), color=(255, 255, 255))

    def put(name: str, box: tuple[int, int, int, int], colour: tuple[int, ...]) -> Any:
        picture = Image.new("RGBA", (box[2], box[3]), colour)
        return document.create_pixel_layer(picture, name=name, top=box[1], left=box[0])

    put("paper", (0, 0, 120, 90), (240, 230, 210, 255))
    put("colour", (20, 20, 60, 50), (90, 150, 200, 200))
    shade = put("shade", (10, 40, 90, 40), (120, 90, 140, 255))
    shade.blend_mode, shade.opacity, shade.clipping = BlendMode.MULTIPLY, 150, True
    group = document.create_group(name="shadows")
    group.blend_mode = BlendMode.PASS_THROUGH
    tone = put("cast", (30, 30, 70, 20), (150, 150, 160, 255))
    tone.blend_mode = BlendMode.MULTIPLY
    tone.move_to_group(group)
    put("light", (25, 25, 20, 20), (255, 255, 240, 255)).opacity = 90
    put("line", (18, 18, 84, 4), (20, 20, 20, 255)).blend_mode = BlendMode.MULTIPLY
    document.save(file)
    return file


def as_psd_tools_shows_it(file: Path, without: str) -> np.ndarray:
    from psd_tools import PSDImage

    document = PSDImage.open(file)
    for layer in document:
        layer.visible = layer.name != without
    return np.array(document.composite(force=True).convert("RGBA")).astype(int)


@pytest.mark.parametrize("way", ["--layers", "plain"])
def test_layers_without_their_paper_are_blended_as_another_reader_blends_them(
    lib: Library, tmp_path: Path, way: str
) -> None:
    """Held against psd-tools' own composite of the file with the paper hidden."""
    file = blended_file(tmp_path / "ferry.psd")
    taken = take_in(lib, [file], extras=Extras(layers=way == "--layers", later=True))
    code = taken.report.added[0].code
    with Image.open(clean_copies.make(lib, code).ink) as opened:
        ink = np.array(opened.convert("RGBA")).astype(int)
    expected = as_psd_tools_shows_it(file, "paper")[18:70, 18:102]
    seen = expected[..., 3] > 0
    assert ink.shape == expected.shape
    assert np.abs(ink - expected)[seen].max() <= 1
    assert not ink[~seen].any()


def test_a_plain_intake_says_which_files_hold_several_drawings(lib: Library, tmp_path: Path) -> None:
    names = [("bg", (0, 0, 300, 200)), ("baker", (10, 40, 90, 120)), ("ferry", (170, 60, 110, 80))]
    file = write_layers(tmp_path / "two.psd", names)
    added = take_in(lib, [file], extras=Extras(later=True)).report.added[0]
    assert added.doubt == "holds several drawings in its layers"
    assert added.mend == f"assetlib cut {added.code} --layers"
    assert len(take_layers(lib, added.code)) == 2


def test_openraster_layers_without_their_paper_keep_how_they_blend(lib: Library, tmp_path: Path) -> None:
    """W3C Compositing 1: multiply of straight colours over an opaque ground is their product."""
    tone, fill = (
        Image.new("RGBA", (40, 40), (100, 100, 100, 255)),
        Image.new("RGBA", (60, 60), (200, 100, 50, 255)),
    )
    file = tmp_path / "mug.ora"
    stack = (
        '<image w="80" h="80"><stack><layer name="tone" src="data/t.png" x="20" y="20" '
        'composite-op="svg:multiply"/><layer name="colour" src="data/f.png" x="10" y="10"/>'
        '<layer name="paper" src="data/p.png"/></stack></image>'
    )
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", "image/openraster", zipfile.ZIP_STORED)
        archive.writestr("stack.xml", stack)
        for name, picture in (("t", tone), ("f", fill), ("p", Image.new("RGBA", (80, 80), "white"))):
            buffer = io.BytesIO()
            picture.save(buffer, "PNG")
            archive.writestr(f"data/{name}.png", buffer.getvalue())
    code = take_in(lib, [file], extras=Extras(later=True)).report.added[0].code
    with Image.open(clean_copies.make(lib, code).ink) as opened:
        ink = np.array(opened.convert("RGBA")).astype(int)
    assert ink.shape[:2] == (60, 60)
    assert np.abs(ink[30, 30] - [200 * 100 / 255, 100 * 100 / 255, 50 * 100 / 255, 255]).max() <= 1
