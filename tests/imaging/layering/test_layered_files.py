"""What we write in layers is read by psd-tools, ImageMagick and our own readers as it was meant."""

from __future__ import annotations

import io
import os
import subprocess
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image
from psd_tools import PSDImage

from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging.formats import read_picture
from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup, flatten
from assetlib.imaging.layering.writing import write_frame
from tests.outside import PATIENCE, needs_imagemagick

NAMES = ("dog sitting · 7K3", "собака · Δ", "座る犬", "كلب جالس", "שלום", "🐕 and a very long name " * 8)


def disc(size: int, colour: tuple[int, int, int], softness: int = 9) -> np.ndarray:
    """A soft-edged disc on nothing."""
    y, x = np.mgrid[:size, :size] - (size - 1) / 2
    alpha = np.clip((size / 2 - 2 - np.hypot(x, y)) * (255 / softness), 0, 255)
    pixels = np.zeros((size, size, 4), np.uint8)
    pixels[..., :3], pixels[..., 3] = colour, alpha.astype(np.uint8)
    pixels[pixels[..., 3] == 0] = 0
    return pixels


def made(*, paper: bool) -> LayeredFrame:
    """A frame with groups named in every script, one of them hidden, one thin, one reaching out of the frame."""
    layers: list[Layer | LayerGroup] = []
    if paper:
        layers.append(Layer("paper", np.full((180, 320, 4), 255, np.uint8)))
    for place, name in enumerate(NAMES):
        body = Layer("body", disc(90, (255, 255, 255)), place * 50 - 30, 30 + place * 12)
        ink = Layer("ink", disc(60, (30, 20 * place, 90)), place * 50 - 15, 45 + place * 12)
        opacity = 64 if place == 2 else 255
        layers.append(LayerGroup(name, (body, ink), visible=place != 1, opacity=opacity))
    layers.append(Layer("safe area", disc(40, (200, 30, 30)), 10, 10, visible=False, locked=True))
    layers.append(Layer("yours", np.zeros((0, 0, 4), np.uint8)))
    return LayeredFrame((320, 180), tuple(layers), resolution=150)


def straight(frame: LayeredFrame) -> np.ndarray:
    """The frame's picture worked out in floating point: (H, W, 4), 0 to 255."""
    width, height = frame.size
    return _over(np.zeros((height, width, 4)), frame.layers) * 255


def _over(below: np.ndarray, layers: tuple[Layer | LayerGroup, ...]) -> np.ndarray:
    for layer in layers:
        if not layer.visible:
            continue
        if isinstance(layer, LayerGroup):
            above = _over(np.zeros_like(below), layer.layers)
        else:
            above = np.zeros_like(below)
            for (y, x), _ in np.ndenumerate(layer.pixels[..., 0]):
                if 0 <= y + layer.y < below.shape[0] and 0 <= x + layer.x < below.shape[1]:
                    above[y + layer.y, x + layer.x] = layer.pixels[y, x] / 255
        a, b = above[..., 3:] * layer.opacity / 255, below[..., 3:]
        alpha = a + b * (1 - a)
        colour = above[..., :3] * a + below[..., :3] * b * (1 - a)
        below = np.concatenate(
            [np.divide(colour, alpha, out=np.zeros_like(colour), where=alpha > 0), alpha], axis=2
        )
    return below


def seen(pixels: np.ndarray) -> np.ndarray:
    """A picture over white paper, so that colours that nobody sees do not count."""
    alpha = pixels[..., 3:].astype(float) / 255
    return np.concatenate([pixels[..., :3] * alpha + 255 * (1 - alpha), pixels[..., 3:]], axis=2)


def apart(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.abs(seen(one) - seen(other)).max())


@pytest.mark.parametrize("paper", [True, False])
def test_our_own_picture_is_what_the_formula_says(paper: bool) -> None:
    frame = made(paper=paper)
    assert apart(flatten(frame), straight(frame)) <= 2  # each of two soft layers over each other rounds once


@pytest.mark.parametrize("paper", [True, False])
def test_psd_tools_reads_layers_names_places_and_picture(tmp_path: Path, paper: bool) -> None:
    frame, path = made(paper=paper), tmp_path / "A_05a_r1.psd"
    write_frame(frame, path)
    read = PSDImage.open(path)
    assert [layer.name for layer in read] == [layer.name for layer in frame.layers]
    assert [layer.visible for layer in read] == [layer.visible for layer in frame.layers]
    assert [layer.opacity for layer in read] == [layer.opacity for layer in frame.layers]
    for group, meant in zip(read, frame.layers, strict=True):
        if isinstance(meant, LayerGroup):
            for layer, kept in zip(group, meant.layers, strict=True):
                assert isinstance(kept, Layer)
                whole = Image.fromarray(kept.pixels).getbbox()
                assert (layer.left - kept.x, layer.top - kept.y) == whole[:2]
                stored = np.asarray(layer.topil())
                assert (stored == np.asarray(Image.fromarray(kept.pixels).crop(whole))).all()
    merged = np.asarray(read.topil().convert("RGBA"))
    assert apart(merged, flatten(frame)) <= 1
    assert read.image_resources.get_data(1005).horizontal == 150 * 65536


def test_psd_tools_sees_the_guide_as_locked_and_renders_the_layers_as_we_do(tmp_path: Path) -> None:
    frame, path = made(paper=True), tmp_path / "frame.psd"
    write_frame(frame, path)
    read = PSDImage.open(path)
    (guide,) = [layer for layer in read if layer.name == "safe area"]
    assert guide.locks.transparency
    assert guide.locks.position
    rendered = np.asarray(read.composite(force=True).convert("RGBA"))
    assert apart(rendered, flatten(frame)) <= 2


@pytest.mark.parametrize("paper", [True, False])
def test_imagemagick_reads_the_picture_within_a_level(tmp_path: Path, paper: bool) -> None:
    program = needs_imagemagick()
    frame, path = made(paper=paper), tmp_path / "frame.psd"
    write_frame(frame, path)
    out = tmp_path / "out.png"
    subprocess.run([program, f"{path}[0]", str(out)], check=True, timeout=PATIENCE, capture_output=True)
    assert apart(np.asarray(Image.open(out).convert("RGBA")), flatten(frame)) <= 1.01


def test_an_openraster_file_is_what_the_specification_says(tmp_path: Path) -> None:
    frame, path = made(paper=True), tmp_path / "frame.ora"
    write_frame(frame, path)
    with zipfile.ZipFile(path) as archive:
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert archive.read("mimetype") == b"image/openraster"
        stack = ElementTree.fromstring(archive.read("stack.xml"))[0]
        assert [node.get("name") for node in reversed(stack)] == [layer.name for layer in frame.layers]
        # laid over each other by Pillow alone, from the places that the file names
        canvas = Image.new("RGBA", frame.size)
        for node in reversed(list(stack)):
            if node.get("visibility") == "hidden":
                continue
            group = Image.new("RGBA", (1000, 1000))
            for leaf in reversed(list(node)) if node.tag == "stack" else [node]:
                part = Image.open(io.BytesIO(archive.read(leaf.get("src", "")))).convert("RGBA")
                whole = Image.new("RGBA", group.size)
                whole.paste(part, (int(leaf.get("x", "0")) + 300, int(leaf.get("y", "0")) + 300))
                group.alpha_composite(whole)
            strength = float(node.get("opacity", "1"))
            group.putalpha(group.getchannel("A").point(lambda value, s=strength: round(value * s)))
            canvas.alpha_composite(group.crop((300, 300, 620, 480)))
        assert apart(np.asarray(canvas), flatten(frame)) <= 1
        assert max(Image.open(io.BytesIO(archive.read("Thumbnails/thumbnail.png"))).size) <= 256


@pytest.mark.parametrize("ending", [".psd", ".ora"])
def test_our_own_readers_find_each_group(tmp_path: Path, ending: str) -> None:
    frame, path = made(paper=True), tmp_path / f"frame{ending}"
    write_frame(frame, path)
    assert apart(read_picture(str(path)), flatten(frame)) <= 1
    alone = read_picture(str(path), layer=NAMES[2])
    assert alone[..., 3].any()


@pytest.mark.parametrize("ending", [".png", ".tif", ".webp"])
@pytest.mark.parametrize("paper", [True, False])
def test_flat_kinds_hold_the_picture_to_the_level(tmp_path: Path, ending: str, paper: bool) -> None:
    frame, path = made(paper=paper), tmp_path / f"frame{ending}"
    write_frame(frame, path)
    assert apart(np.asarray(Image.open(path).convert("RGBA")), flatten(frame)) == 0
    assert not list(tmp_path.glob("*.part"))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk that is always full is Linux's")
@pytest.mark.parametrize("ending", [".psd", ".ora", ".png", ".tif", ".webp"])
def test_a_full_disk_is_told_as_one(tmp_path: Path, ending: str, capfd: pytest.CaptureFixture[str]) -> None:
    (tmp_path / f".frame{ending}.{os.getpid()}.part").symlink_to("/dev/full")
    with pytest.raises(DiskFull, match="no room left"):
        write_frame(made(paper=True), tmp_path / f"frame{ending}")
    assert not list(tmp_path.iterdir())
    assert capfd.readouterr().err == ""


def test_what_cannot_be_written_is_said_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(WrongUsage, match="no kind of picture"):
        write_frame(made(paper=True), tmp_path / "frame.docx")
    with pytest.raises(WrongUsage, match="nothing in it"):
        write_frame(LayeredFrame((0, 10), ()), tmp_path / "frame.png")
    with pytest.raises(WrongUsage, match="pixels a side"):
        write_frame(LayeredFrame((31_000, 10), ()), tmp_path / "frame.psd")
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(WrongUsage, match="cannot be written"):
        write_frame(made(paper=True), tmp_path / "folder.png")
    assert [path.name for path in tmp_path.iterdir()] == ["folder.png"]
