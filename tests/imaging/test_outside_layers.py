"""Layered files of GIMP and Krita (files/README.md), read layer for layer, held against their own flat picture."""

from __future__ import annotations

import zipfile
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from assetlib.imaging.formats import read_facts, read_picture

FILES = Path(__file__).parent / "files"
LAYERED = ["van-gimp.psd", "van-krita.psd", "van-krita.ora"]
LISTED = [
    ("old idea", "pixels", False, (4, 4, 10, 10)),
    ("night tone", "pixels", True, (40, 8, 40, 40)),
    ("bakery van", "group", True, (12, 16, 60, 38)),
    ("bakery van/door", "pixels", True, (52, 20, 14, 24)),  # the mask hides its left side
    ("bakery van/wheels", "group", True, (18, 42, 12, 12)),
    ("bakery van/wheels/front wheel", "pixels", True, (18, 42, 12, 12)),
    ("bakery van/body", "pixels", True, (12, 16, 60, 30)),
    ("paper", "paper", True, (0, 0, 96, 64)),
]
FLAT = {"van-gimp.psd": "van-gimp.png", "van-krita.psd": "van-krita.png", "van-krita.ora": "van-krita.png"}


def _flat(name: str) -> np.ndarray:
    with Image.open(FILES / FLAT[name]) as opened:
        return np.array(opened.convert("RGBA")).astype(int)


@pytest.mark.parametrize("name", LAYERED)
def test_every_layer_is_listed_with_the_box_of_its_ink(name: str) -> None:
    facts = read_facts(FILES / name)
    assert (facts.size, facts.resolution) == ((96, 64), (300.0, 300.0))
    assert [(layer.path, layer.kind, layer.visible, layer.box) for layer in facts.layers] == LISTED


PAINTED = [
    ("old idea", 8, 8, [0, 0, 255, 255]),  # hidden layers come when they are asked for
    ("night tone", 60, 20, [90, 100, 160, 128]),
    ("bakery van/door", 60, 24, [200, 40, 30, 255]),
    (
        "bakery van/door",
        60,
        40,
        [200, 40, 30, 55],
    ),  # GIMP writes its grey 128 into a mask as linear light: 55
    ("bakery van/door", 48, 24, [0]),
    ("bakery van/wheels/front wheel", 20, 50, [10, 10, 10, 128]),
    ("bakery van/body", 20, 24, [240, 236, 220, 255]),
    ("paper", 50, 60, [255, 255, 255, 255]),
]


@pytest.mark.parametrize("name", LAYERED)
@pytest.mark.parametrize(("path", "x", "y", "painted"), PAINTED)
def test_every_layer_has_its_own_pixels(name: str, path: str, x: int, y: int, painted: list[int]) -> None:
    """As `van.scm` painted them, with opacity and mask."""
    assert read_picture(FILES / name, layer=path)[y, x].tolist()[-len(painted) :] == painted


@pytest.mark.parametrize("name", LAYERED)
def test_the_whole_is_what_its_program_shows(name: str) -> None:
    assert np.abs(read_picture(FILES / name).astype(int) - _flat(name)).max() <= 1


@pytest.mark.parametrize("name", LAYERED)
def test_layers_laid_over_each_other_give_the_same(name: str) -> None:
    """Paper, the group at its opacity, the tone multiplied onto them (W3C Compositing 1)."""
    paper, van, tone = (
        read_picture(FILES / name, layer=path).astype(float) / 255
        for path in ("paper", "bakery van", "night tone")
    )
    below = van[..., 3:] * van[..., :3] + (1 - van[..., 3:]) * paper[..., :3]
    shown = below * (1 - tone[..., 3:]) + below * tone[..., :3] * tone[..., 3:]
    assert np.abs(shown * 255 - _flat(name)[..., :3]).max() <= 2


def test_openraster_merged_here_is_what_krita_merged(tmp_path: Path) -> None:
    path = tmp_path / "unmerged.ora"
    with zipfile.ZipFile(FILES / "van-krita.ora") as whole, zipfile.ZipFile(path, "w") as less:
        for entry in whole.infolist():
            if entry.filename != "mergedimage.png":
                less.writestr(entry, whole.read(entry))
    assert np.abs(read_picture(path).astype(int) - _flat("van-krita.ora")).max() <= 2


def test_a_closed_file_stands_in_with_its_merged_picture_not_its_preview() -> None:
    facts = read_facts(FILES / "van-krita.kra")
    assert facts.size == (96, 64)
    assert "flat stand-in" in (facts.note or "")
    read = read_picture(FILES / "van-krita.kra").astype(int)
    assert np.abs(read - _flat("van-krita.ora")).max() <= 1
