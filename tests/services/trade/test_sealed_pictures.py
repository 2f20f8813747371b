"""What a buyer gets of a drawing, from the scan to the bundle: pasted over a street, and at the size it was drawn."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

from PIL import Image, ImageDraw

from tests.conftest import Assetlib

OWN = ("--drawn", "out of the head", "--rights", "own", "--shows", "none", "--ai", "none")
STREET = (90, 90, 90, 255)


def sold(assetlib: Assetlib, library: Path, path: Path) -> zipfile.ZipFile:
    """The bundle that one drawing of the artist's own is sold in."""
    started = assetlib("start", library, "--artist", "Ida Brandt", "--contact", "ida@boards.example")
    assert started.code == 0
    code = assetlib("intake", path, "--as", "element", "--json", library=library).json["added"][0]["code"]
    for command in (
        ("origin", code, *OWN),
        ("collection", "make", "Dogs"),
        ("collection", "add", "Dogs", code),
        ("licence", "Dogs", "one artist"),
    ):
        assert assetlib(*command, library=library).code == 0
    return zipfile.ZipFile(assetlib("bundle", "build", "Dogs", "--json", library=library).json["path"])


def test_a_buyer_pastes_a_dog_and_no_street_shows_through(assetlib: Assetlib, tmp_path: Path) -> None:
    page = Image.new("RGB", (400, 300), "white")
    ImageDraw.Draw(page).ellipse((80, 60, 320, 240), outline="black", width=8)
    page.save(tmp_path / "dog.png", dpi=(300, 300))
    with sold(assetlib, tmp_path / "library", tmp_path / "dog.png") as archive:
        names = {name.partition("/data/")[2]: name for name in archive.namelist()}
        manifest = json.loads(archive.read(names["manifest.json"]))
        (item,) = manifest["items"]
        pasted = {}
        for kind in ("withBody", "inkAlone"):
            data = archive.read(names[item[kind]["file"].removeprefix("data/")])
            with Image.open(io.BytesIO(data)) as drawing:
                assert round(drawing.info["dpi"][0]) == 300
                street = Image.new("RGBA", drawing.size, STREET)
                pasted[kind] = Image.alpha_composite(street, drawing.convert("RGBA"))
        with Image.open(io.BytesIO(archive.read(names[item["preview"].removeprefix("data/")]))) as preview:
            shown = preview.convert("L").getpixel((preview.width // 2, preview.height // 2))
    assert pasted["withBody"].getpixel((200, 150)) == (255, 255, 255, 255)
    assert pasted["inkAlone"].getpixel((200, 150)) == STREET
    assert pasted["withBody"].getpixel((5, 5)) == STREET
    assert shown == 255
    assert item["pixelsPerMetre"] == [11811, 11811]
