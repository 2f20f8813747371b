"""Frames of 16 bits and with colour profiles, held against psd-tools, tifffile, OpenCV, ImageMagick, exiftool and lcms.

lcms stands in imagecodecs (PyPI); ImageMagick and exiftool are Debian's.
"""

from __future__ import annotations

import io
import subprocess
import zipfile
from pathlib import Path

import cv2
import imagecodecs
import numpy as np
import pytest
import tifffile
from PIL import Image, ImageCms
from psd_tools import PSDImage

from assetlib.imaging.formats import shaper
from assetlib.imaging.formats.stored import read_stored
from assetlib.imaging.layering.colours import framed, in_profile
from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup, flatten
from assetlib.imaging.layering.writing import write_frame
from tests.outside import PATIENCE, needs_imagemagick, read_with_exiftool

WIDE: bytes = imagecodecs.cms_profile("adobergb")
OTHER: bytes = imagecodecs.cms_profile(
    "rgb",
    whitepoint=[0.3457, 0.3585, 1.0],
    primaries=[0.7347, 0.2653, 1.0, 0.1596, 0.8404, 1.0, 0.0366, 0.0001, 1.0],
    gamma=1.8,
)
SRGB: bytes = imagecodecs.cms_profile("srgb")


def deep(width: int = 70, height: int = 40, *, see_through: bool = False) -> np.ndarray:
    """A picture with more shades than 8 bits hold."""
    across = np.linspace(0, 65535, width * height).astype(np.uint16).reshape(height, width)
    alpha = across[::-1] if see_through else np.full_like(across, 65535)
    return np.stack([across, across[:, ::-1], across[::-1, ::-1] // 2, alpha], axis=2)


def made(profile: bytes | None = WIDE, *, paper: bool = True) -> LayeredFrame:
    layers: list[Layer | LayerGroup] = []
    if paper:
        layers.append(Layer("paper", np.full((60, 90, 4), 255, np.uint8)))
    ink = Layer("ink", deep(see_through=True), 10, 5, profile=profile)
    layers.append(LayerGroup("собака · 7K3", (ink,)))
    layers.append(LayerGroup("thin · 8", (Layer("ink", deep(30, 20), 65, -8, profile=profile),), opacity=128))
    layers.append(Layer("hidden", deep(20, 20), 2, 2, visible=False, profile=profile))
    layers.append(Layer("yours", np.zeros((0, 0, 4), np.uint8)))
    return framed((90, 60), layers)


def over_white(pixels: np.ndarray, full: float = 65535) -> np.ndarray:
    alpha = pixels[..., 3:].astype(float) / full
    return np.concatenate([pixels[..., :3] / full * alpha + 1 - alpha, alpha], axis=2) * 65535


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """Difference in levels of 65,535, both over white."""
    return float(np.abs(over_white(one) - over_white(other)).max())


@pytest.mark.parametrize(("source", "target"), [(SRGB, WIDE), (WIDE, SRGB), (OTHER, WIDE), (SRGB, OTHER)])
def test_deep_colours_are_converted_as_lcms_does(source: bytes, target: bytes) -> None:
    pixels = np.random.default_rng(3).integers(0, 65536, (200, 200, 4), dtype=np.uint16)
    mine = in_profile(pixels, source, target)
    unoptimised = 0x0100  # cmsFLAGS_NOOPTIMIZE: its short cuts are coarser than 16 bits
    theirs = imagecodecs.cms_transform(
        np.ascontiguousarray(pixels[..., :3]), source, target, colorspace="rgb", outcolorspace="rgb",
        outdtype="u2", intent=1, flags=unoptimised,
    )  # fmt: skip
    assert np.abs(mine[..., :3].astype(int) - theirs.astype(int)).max() <= 2
    assert (mine[..., 3] == pixels[..., 3]).all()


def test_a_profile_of_tables_or_a_damaged_one_has_no_shaper() -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    for profile in (lab, WIDE[:100], WIDE[:300], b"", b"RGB " * 100):
        assert shaper.shaper_of(profile) is None


def test_a_frame_is_deep_as_soon_as_one_layer_is_and_has_its_profile() -> None:
    frame = made()
    assert (flatten(frame).dtype, frame.profile) == (np.uint16, WIDE)
    shallow = framed((9, 9), [Layer("a", np.full((9, 9, 4), 255, np.uint8))])
    assert (flatten(shallow).dtype, shallow.profile) == (np.uint8, None)


@pytest.mark.parametrize(
    ("named", "wanted"),
    [
        ([None, None], None),
        ([None, SRGB], SRGB),
        ([None, WIDE, WIDE], WIDE),
        ([SRGB, WIDE], WIDE),
        ([WIDE, OTHER], None),
        (["backdrop", WIDE, OTHER], OTHER),
    ],
)
def test_which_profile_a_frame_has(named: list[bytes | str | None], wanted: bytes | None) -> None:
    layers: list[Layer | LayerGroup] = []
    if named[0] == "backdrop":
        layers.append(Layer("backdrop", deep(), profile=OTHER))
        named = named[1:]
    layers += [Layer("ink", deep(), profile=p if isinstance(p, bytes) else None) for p in named]
    assert framed((70, 40), layers).profile == wanted


def test_what_lies_alone_is_kept_to_the_bit_and_what_is_plain_is_converted() -> None:
    frame = framed((70, 40), [Layer("a", deep(), profile=WIDE)])
    assert (flatten(frame) == deep()).all()
    plain = framed((70, 40), [Layer("a", deep(), profile=WIDE)], plain=True)
    assert (plain.profile, flatten(plain).dtype) == (None, np.uint8)
    shown = Image.fromarray((deep()[..., :3] >> 8).astype(np.uint8))
    srgb = ImageCms.profileToProfile(shown, io.BytesIO(WIDE), ImageCms.createProfile("sRGB"))
    assert srgb is not None
    # their way begins with the high bytes alone
    assert np.abs(flatten(plain)[..., :3].astype(int) - np.asarray(srgb)).max() <= 3


def test_psd_tools_reads_deep_layers_and_their_profile(tmp_path: Path) -> None:
    frame, path = made(), tmp_path / "frame.psd"
    write_frame(frame, path)
    read = PSDImage.open(path)
    assert (read.depth, read.image_resources.get_data(1039)) == (16, WIDE)
    assert [layer.name for layer in read] == ["paper", "собака · 7K3", "thin · 8", "hidden", "yours"]
    assert [layer.visible for layer in read] == [True, True, True, False, True]
    (ink,) = list(read[1])
    meant = deep(see_through=True)
    stored = np.rint(ink.numpy() * 65535).astype(np.uint16)
    assert (stored[..., 3] == meant[: stored.shape[0], :, 3][:, : stored.shape[1]]).any()
    assert (ink.left - 10, ink.top - 5) == (0, 0)
    assert (stored == meant[: stored.shape[0], : stored.shape[1]]).all()
    merged = np.rint(read.numpy() * 65535)
    assert np.abs(merged[..., :3] - over_white(flatten(frame))[..., :3]).max() <= 1


@pytest.mark.parametrize("paper", [True, False])
@pytest.mark.parametrize("ending", [".psd", ".png", ".tif"])
def test_imagemagick_reads_the_deep_picture_and_its_profile(tmp_path: Path, ending: str, paper: bool) -> None:
    program = needs_imagemagick()
    frame, path = made(paper=paper), tmp_path / f"frame{ending}"
    write_frame(frame, path)
    raw, icc = tmp_path / "out.rgba", tmp_path / "out.icc"
    for wanted in (["-depth", "16", "-endian", "LSB", f"rgba:{raw}"], [f"icc:{icc}"]):
        subprocess.run([program, f"{path}[0]", *wanted], check=True, timeout=PATIENCE, capture_output=True)
    read = np.fromfile(raw, "<u2").reshape(60, 90, 4)
    assert apart(read, flatten(frame)) <= 3
    assert icc.read_bytes() == WIDE


def test_png_and_tiff_are_whole_to_other_readers(tmp_path: Path) -> None:
    frame = made(paper=False)
    png, tif = tmp_path / "frame.png", tmp_path / "frame.tif"
    write_frame(frame, png)
    write_frame(frame, tif)
    read = cv2.cvtColor(cv2.imread(str(png), cv2.IMREAD_UNCHANGED), cv2.COLOR_BGRA2RGBA)
    assert (read == flatten(frame)).all()
    with Image.open(png) as picture:
        assert picture.info["icc_profile"] == WIDE
    with tifffile.TiffFile(tif) as opened:
        assert (opened.asarray() == flatten(frame)).all()
        assert opened.pages[0].iccprofile == WIDE  # type: ignore[union-attr]
    for path in (png, tif):
        told = read_with_exiftool(path, "BitDepth", "BitsPerSample", "ProfileDescription", "XResolution")
        assert told["ProfileDescription"] == "Adobe RGB (compatible)"
        assert "16" in f"{told.get('BitDepth', told.get('BitsPerSample'))}"


def test_openraster_layers_are_deep_pngs_with_the_profile(tmp_path: Path) -> None:
    frame, path = made(), tmp_path / "frame.ora"
    write_frame(frame, path)
    with zipfile.ZipFile(path) as archive:
        merged = archive.read("mergedimage.png")
        layers = [archive.read(name) for name in sorted(archive.namelist()) if name.startswith("data/")]
    assert Image.open(io.BytesIO(merged)).info["icc_profile"] == WIDE
    read = cv2.imdecode(np.frombuffer(merged, np.uint8), cv2.IMREAD_UNCHANGED)
    assert read.dtype == np.uint16
    assert (cv2.cvtColor(read, cv2.COLOR_BGR2RGB if read.shape[2] == 3 else cv2.COLOR_BGRA2RGBA)[..., :3]
            == flatten(frame)[..., :3]).all()  # fmt: skip
    assert {cv2.imdecode(np.frombuffer(data, np.uint8), -1).dtype for data in layers} == {np.dtype(np.uint16)}


def test_webp_keeps_the_profile_at_eight_bits(tmp_path: Path) -> None:
    frame, path = made(), tmp_path / "frame.webp"
    write_frame(frame, path)
    with Image.open(path) as picture:
        assert picture.info["icc_profile"] == WIDE
        levels = np.asarray(picture.convert("RGBA")).astype(int)
    assert np.abs(levels[..., :3] - flatten(frame)[..., :3] / 257).max() <= 0.51


@pytest.mark.parametrize("ending", [".psd", ".png", ".tif"])
def test_what_was_written_is_read_again_with_all_that_it_keeps(tmp_path: Path, ending: str) -> None:
    frame, path = made(), tmp_path / f"frame{ending}"
    write_frame(frame, path)
    again = read_stored(path)
    assert again is not None
    assert (again.pixels.dtype, again.profile) == (np.uint16, WIDE)
    assert apart(again.pixels, flatten(frame)) <= 1
