"""Layered, vector and page formats: made here or by ImageMagick, read layer for layer, hostile ones refused."""

from __future__ import annotations

import io
import subprocess
import zipfile
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from psd_tools import PSDImage
from psd_tools.constants import BlendMode

from assetlib.errors import BadPicture
from assetlib.imaging.formats import read_facts, read_picture
from assetlib.imaging.supervise import run_supervised
from tests.imaging.pictures import draw_on_paper, draw_van
from tests.outside import needs_imagemagick


def _png(image: Image.Image) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, "PNG")
    return buffer.getvalue()


def _openraster(path: Path, stack: str, layers: dict[str, Image.Image]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "image/openraster", zipfile.ZIP_STORED)
        archive.writestr("stack.xml", stack)
        for name, image in layers.items():
            archive.writestr(name, _png(image))
    return path


STACK = """<image w="96" h="64" xres="300" yres="300"><stack>
<layer name="tone" src="data/tone.png" x="10" y="8" composite-op="svg:multiply" opacity="0.5"/>
<stack name="van"><layer name="line" src="data/van.png"/><layer name="line" src="data/dot.png" x="40" y="30"/></stack>
<layer name="old idea" src="data/dot.png" visibility="hidden"/>
<layer name="paper" src="data/paper.png"/>
</stack></image>"""


@pytest.fixture
def layered(tmp_path: Path) -> Path:
    layers = {
        "data/tone.png": Image.new("RGBA", (40, 40), (100, 100, 100, 255)),
        "data/van.png": draw_van(),
        "data/dot.png": Image.new("RGBA", (6, 6), (0, 0, 255, 255)),
        "data/paper.png": Image.new("RGBA", (96, 64), "white"),
    }
    return _openraster(tmp_path / "van.ora", STACK, layers)


def test_openraster_layers_are_listed_from_the_top(layered: Path) -> None:
    facts = read_facts(layered)
    assert (facts.format, facts.size, facts.resolution) == ("OpenRaster", (96, 64), (300.0, 300.0))
    listed = [(layer.path, layer.kind, layer.visible) for layer in facts.layers]
    assert listed == [
        ("tone", "pixels", True),
        ("van", "group", True),
        ("van/line", "pixels", True),
        ("van/line (2)", "pixels", True),
        ("old idea", "pixels", False),
        ("paper", "paper", True),
    ]
    assert facts.layers[0].box == (10, 8, 40, 40)


def test_openraster_layer_on_the_whole_canvas(layered: Path) -> None:
    van = read_picture(layered, layer="van/line")
    assert np.array_equal(van, np.array(draw_van()))
    tone = read_picture(layered, layer="tone")
    assert tone.shape == (64, 96, 4)
    assert tuple(tone[20, 20]) == (100, 100, 100, 128)
    assert tone[60, 90, 3] == 0


def test_openraster_merges_with_opacity_and_multiply(layered: Path) -> None:
    merged = read_picture(layered)
    # Half-covering grey 100 multiplied onto white: 255 - (255 - 100) / 2
    assert abs(int(merged[20, 12, 0]) - 178) <= 1
    assert tuple(merged[33, 43, :3]) != (0, 0, 255)  # the blue dot lies under the tone
    assert merged[..., 3].min() == 255


def test_psd_written_by_imagemagick_reads_layer_for_layer(tmp_path: Path) -> None:
    program = needs_imagemagick()
    draw_van().save(tmp_path / "van.png")
    draw_on_paper().save(tmp_path / "flat.png")
    Image.new("RGBA", (96, 64), "white").save(tmp_path / "paper.png")
    path = tmp_path / "van.psd"
    layers = ["(", "-label", "paper", "paper.png", ")", "(", "-label", "van line", "van.png", ")"]
    done = subprocess.run(
        [program, "flat.png", *layers, str(path)], cwd=tmp_path, capture_output=True, check=False
    )
    if done.returncode:
        pytest.skip(f"this ImageMagick writes no PSD: {done.stderr.decode()[:80]}")
    facts = read_facts(path)
    assert (facts.format, facts.size) == ("PSD", (96, 64))
    drawn = facts.layers[0]
    assert drawn.kind == "pixels"
    read, wanted = read_picture(path, layer=drawn.path), np.array(draw_van())
    assert np.array_equal(read[..., 3], wanted[..., 3])
    assert np.array_equal(read[wanted[..., 3] > 0], wanted[wanted[..., 3] > 0])
    assert np.array_equal(read_picture(path)[..., :3], np.array(draw_on_paper()))
    with pytest.raises(BadPicture, match="no layer"):
        read_picture(path, layer="not there")


SVG = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"
 xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:cc="http://creativecommons.org/ns#" width="{w}" height="{h}"
 viewBox="0 0 100 50"><metadata><rdf:RDF><cc:Work><dc:title>Bread crate</dc:title>
 <dc:subject><rdf:Bag><rdf:li>bakery</rdf:li></rdf:Bag></dc:subject></cc:Work></rdf:RDF></metadata>
 <rect x="10" y="10" width="80" height="30"/></svg>"""


@pytest.mark.parametrize(("w", "h"), [("100", "50"), ("100mm", "50mm"), ("100%", "100%"), ("2in", "1in")])
def test_svg_is_drawn_large_with_its_words(tmp_path: Path, w: str, h: str) -> None:
    path = tmp_path / "crate.svg"
    path.write_text(SVG.format(w=w, h=h), encoding="utf-8")
    facts = read_facts(path)
    assert facts.size == (1600, 800)
    assert (facts.words.title, facts.words.keywords) == ("Bread crate", ("bakery",))
    read = read_picture(path)
    assert read.shape == (800, 1600, 4)
    assert tuple(read[400, 800]) == (0, 0, 0, 255)
    assert read[10, 10, 3] == 0
    assert facts.resolution is not None
    assert np.array_equal(read_picture(path, resolution=facts.resolution[0]), read)


def test_pdf_page_of_one_scan_comes_at_its_own_resolution(tmp_path: Path) -> None:
    page = Image.new("RGB", (600, 900), "white")
    ImageDraw.Draw(page).rectangle((100, 100, 300, 500), fill="black")
    page.save(tmp_path / "scan.pdf", resolution=120, save_all=True, append_images=[page.rotate(180)])
    facts = read_facts(tmp_path / "scan.pdf")
    assert (facts.size, facts.pages) == ((600, 900), 2)
    assert facts.resolution is not None
    assert abs(facts.resolution[0] - 120) < 0.5
    read = read_picture(tmp_path / "scan.pdf", page=0)
    assert tuple(read[300, 200, :3]) == (0, 0, 0)
    assert tuple(read_picture(tmp_path / "scan.pdf", page=1)[600, 400, :3]) == (0, 0, 0)
    with pytest.raises(BadPicture, match="2 pages"):
        read_facts(tmp_path / "scan.pdf") and read_picture(tmp_path / "scan.pdf", page=2)


@pytest.mark.parametrize("suffix", [".avif", ".heic"])
def test_phone_formats(tmp_path: Path, suffix: str) -> None:
    if suffix == ".heic":
        pytest.importorskip("pillow_heif").register_heif_opener()
    draw_on_paper().save(tmp_path / f"van{suffix}", quality=95)
    facts = read_facts(tmp_path / f"van{suffix}")
    assert facts.size == (96, 64)
    difference = np.abs(
        read_picture(tmp_path / f"van{suffix}")[..., :3].astype(int) - np.array(draw_on_paper())
    )
    assert difference.mean() < 6


def test_a_closed_format_gives_its_flat_picture(tmp_path: Path) -> None:
    for name, data in (
        ("a.clip", b"CSFCHUNK" + bytes(50) + _png(draw_van()) + bytes(9)),
        ("b.clip", b"CSFCHUNK" + bytes(90)),
    ):
        (tmp_path / name).write_bytes(data)
    facts = read_facts(tmp_path / "a.clip")
    assert facts.note is not None
    assert "flat stand-in" in facts.note
    assert np.array_equal(read_picture(tmp_path / "a.clip"), np.array(draw_van()))
    with pytest.raises(BadPicture) as caught:
        read_facts(tmp_path / "b.clip")
    assert "PSD" in (caught.value.hint or "")


def _hostile(folder: Path) -> dict[str, Path]:
    """Files that break or bloat careless readers, after those of the trials."""
    head = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:x="http://www.w3.org/1999/xlink"'
    uses = "".join(f'<g id="a{n}">' + f'<use x:href="#a{n + 1}"/>' * 10 + "</g>" for n in range(12))
    entities = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "dog"}">' for n in range(12))
    texts = {
        "huge page.svg": f'{head} viewBox="0 0 100000 100000"><rect width="9" height="9"/></svg>',
        "nested.svg": f"{head} width='9' height='9'>" + "<g>" * 20_000 + "</g>" * 20_000 + "</svg>",
        "uses.svg": f'{head} width="9" height="9">{uses}<rect id="a12" width="1" height="1"/></svg>',
        "circle.svg": f'{head} width="9" height="9"><g id="a"><use x:href="#a"/></g></svg>',
        "entities.svg": f"<!DOCTYPE svg [{entities}]>{head}><text>&e11;</text></svg>",
        "outside.svg": f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>{head}><text>&x;</text></svg>',
        "cut off.pdf": "%PDF-1.7\n1 0 obj",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    with zipfile.ZipFile(folder / "bomb.ora", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "image/openraster", zipfile.ZIP_STORED)
        archive.writestr("stack.xml", STACK)
        archive.writestr("mergedimage.png", bytes(300 << 20))
    (folder / "cut off.psd").write_bytes(
        b"8BPS\0\1" + bytes(6) + b"\0\3\0\0\0\x40\0\0\0\x60\0\x08\0\3" + bytes(20)
    )
    return {path.name: path for path in folder.iterdir()}


def test_hostile_files_cost_themselves_alone(tmp_path: Path) -> None:
    files = _hostile(tmp_path)
    good = tmp_path / "van.png"
    draw_van().save(good)
    work = [*files.values(), good]
    outcomes = dict(run_supervised(read_picture, work, workers=1, timeout=300, memory=1 << 30))
    assert not outcomes[good].failed
    for name, path in files.items():
        reason = outcomes[path].reason
        assert reason, f"{name} was read"
        assert "\n" not in reason
        assert "terminated" not in reason, f"{name}: {reason}"


@pytest.mark.parametrize("place", ["before its beginning", "of a later version"])
def test_a_container_that_lies_about_its_places_is_damaged(layered: Path, place: str) -> None:
    """Places as in section 4.3 of the ZIP specification (PKWARE APPNOTE 6.3.10)."""
    data = bytearray(layered.read_bytes())
    if place == "before its beginning":
        end = data.rindex(b"PK\x05\x06")
        at = int.from_bytes(data[end + 16 : end + 20], "little") + (1 << 20)
        data[end + 16 : end + 20] = at.to_bytes(4, "little")
    else:
        data[data.rindex(b"PK\x01\x02") + 6] = 0xFF
    layered.write_bytes(data)
    with pytest.raises(BadPicture, match="damaged"):
        read_picture(layered)


def test_openraster_boxes_are_those_of_the_ink(layered: Path) -> None:
    boxes = {layer.path: layer.box for layer in read_facts(layered).layers}
    van = draw_van().getchannel("A").getbbox()
    assert van is not None
    assert boxes["van/line"] == boxes["van"] == (van[0], van[1], van[2] - van[0], van[3] - van[1])
    assert boxes["van/line (2)"] == (40, 30, 6, 6)
    assert boxes["old idea"] == (0, 0, 6, 6)


def test_openraster_layers_outside_the_canvas_and_empty_ones(tmp_path: Path) -> None:
    stack = """<image w="20" h="20"><stack><layer name="out" src="data/a.png" x="-4" y="15"/>
<stack name="empty"/><layer name="lost" src="data/none.png"/></stack></image>"""
    path = _openraster(tmp_path / "odd.ora", stack, {"data/a.png": Image.new("RGBA", (10, 10), "red")})
    boxes = {layer.path: layer.box for layer in read_facts(path).layers}
    assert boxes == {"out": (0, 15, 6, 5), "empty": (0, 0, 0, 0), "lost": (0, 0, 0, 0)}
    assert read_picture(path)[16, 3].tolist() == [255, 0, 0, 255]


@pytest.mark.parametrize("depth", [150, 199])
def test_svg_groups_nested_as_deep_as_allowed_are_drawn(tmp_path: Path, depth: int) -> None:
    path = tmp_path / "deep.svg"
    shape = '<rect width="10" height="10"/>'
    body = "<g>" * (depth - 2) + shape + "</g>" * (depth - 2)
    path.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10">{body}</svg>', encoding="utf-8"
    )
    assert read_picture(path, max_side=20)[10, 10].tolist() == [0, 0, 0, 255]


@pytest.fixture
def psd(tmp_path: Path) -> Path:
    """A group with the van's line, a half-covering multiply tone, a hidden note, paper."""
    file = PSDImage.new("RGB", (96, 64))
    file.create_pixel_layer(Image.new("RGBA", (96, 64), "white"), name="paper")
    group = file.create_group(name="van")
    group.append(file.create_pixel_layer(draw_van(), name="line"))
    tone = file.create_pixel_layer(
        Image.new("RGBA", (40, 40), (100, 100, 100, 255)), name="tone", top=8, left=10
    )
    tone.opacity, tone.blend_mode = 128, BlendMode.MULTIPLY
    note = file.create_pixel_layer(Image.new("RGBA", (9, 9), "blue"), name="note", top=2, left=80)
    note.visible = False
    file.save(tmp_path / "van.psd")
    return tmp_path / "van.psd"


def test_psd_groups_and_visibility_are_listed(psd: Path) -> None:
    layers = {layer.path: (layer.kind, layer.visible) for layer in read_facts(psd).layers}
    assert layers == {
        "note": ("pixels", False),
        "tone": ("pixels", True),
        "van": ("group", True),
        "van/line": ("pixels", True),
        "paper": ("paper", True),
    }


def test_psd_layers_come_with_their_opacity_once(psd: Path) -> None:
    tone = read_picture(psd, layer="tone")
    assert tone[20, 20].tolist() == [100, 100, 100, 128]
    assert tone[4, 4, 3] == tone[60, 20, 3] == 0
    assert read_picture(psd, layer="note")[5, 85].tolist() == [0, 0, 255, 255]
    wanted = np.array(draw_van())
    for path in ("van", "van/line"):
        read = read_picture(psd, layer=path)
        assert np.array_equal(read[wanted[..., 3] == 255], wanted[wanted[..., 3] == 255])
        assert np.abs(read[..., 3].astype(int) - wanted[..., 3]).max() <= 1


def test_psd_opacity_of_a_group_counts(psd: Path, tmp_path: Path) -> None:
    file = PSDImage.open(psd)
    next(layer for layer in file if layer.is_group()).opacity = 51
    file.save(tmp_path / "faint.psd")
    assert read_picture(tmp_path / "faint.psd", layer="van")[..., 3].max() == 51


@pytest.mark.parametrize(
    ("options", "name"),
    [
        (["-colorspace", "CMYK"], "a.psd"),
        (["-depth", "16"], "a.psd"),
        ([], "a.psb"),
        (["-colorspace", "Gray"], "a.psd"),
    ],
)
def test_psd_of_other_colours_depths_and_sizes(tmp_path: Path, options: list[str], name: str) -> None:
    program = needs_imagemagick()
    draw_on_paper().save(tmp_path / "flat.png")
    subprocess.run([program, "flat.png", *options, name], cwd=tmp_path, capture_output=True, check=True)
    read = read_picture(tmp_path / name)[..., :3]
    if "Gray" in options:
        assert np.ptp(read, axis=2).max() == 0
        assert read[0, 0, 0] == 255
        assert read[30, 70, 0] < 120
    else:
        assert np.abs(read.astype(int) - np.array(draw_on_paper())).max() <= 1


def test_psd_clipped_layers_show_through_the_one_below(tmp_path: Path) -> None:
    file = PSDImage.new("RGB", (96, 64))
    file.create_pixel_layer(draw_van(), name="line")
    file.create_pixel_layer(Image.new("RGBA", (96, 64), (0, 200, 0, 255)), name="green").clipping = True
    path = tmp_path / "clipped.psd"
    file.save(path)
    assert {layer.name: layer.kind for layer in read_facts(path).layers} == {
        "green": "adjustment",
        "line": "pixels",
    }
    line, green = read_picture(path, layer="line"), read_picture(path, layer="green")
    wanted = np.array(draw_van())[..., 3]
    assert np.abs(line[..., 3].astype(int) - wanted).max() <= 1
    assert (line[wanted == 255][:, :3] == (0, 200, 0)).all()
    assert green[0, 0].tolist() == [0, 200, 0, 255]


@pytest.mark.parametrize(
    ("mark", "at", "more"),
    [
        (b"PK\x01\x02", 6, 200),  # the version that is needed to unpack (APPNOTE 4.3.12)
        (
            b"PK\x05\x06",
            16,
            100,
        ),  # where the directory begins (4.3.16): files begin before the container then
    ],
)
def test_a_container_whose_directory_is_altered_is_damage(
    tmp_path: Path, mark: bytes, at: int, more: int
) -> None:
    stack = '<image w="20" h="20"><stack><layer name="a" src="data/a.png"/></stack></image>'
    path = _openraster(tmp_path / "bit.ora", stack, {"data/a.png": Image.new("RGBA", (10, 10), "red")})
    data = bytearray(path.read_bytes())
    place = slice(data.index(mark) + at, data.index(mark) + at + 2)
    data[place] = (int.from_bytes(data[place], "little") + more).to_bytes(2, "little")
    path.write_bytes(data)
    with pytest.raises(BadPicture, match="damaged"):
        read_facts(path)
