"""Plain pictures: what is read is what was drawn, and what is broken is told in one line."""

from __future__ import annotations

import contextlib
import os
import warnings
from pathlib import Path

import numpy as np
import pytest
import tifffile
from numpy.typing import NDArray
from PIL import Image, ImageCms

from assetlib.errors import BadPicture
from assetlib.imaging.formats import SUFFIXES, read_deep, read_facts, read_picture
from tests.imaging.pictures import claim_png, deep_ramp, draw_on_paper, draw_van, png_bytes, save
from tests.outside import needs_imagemagick, read_with_exiftool, read_with_imagemagick, write_with_exiftool


def as_array(image: Image.Image) -> NDArray[np.uint8]:
    return np.array(image.convert("RGBA"))


def visible(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The pixels with colour under zero alpha made zero: nobody sees it."""
    return np.where(pixels[:, :, 3:] > 0, pixels, 0)


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("van.png", {}),
        ("van.tif", {"compression": "tiff_lzw"}),
        ("van.tif", {"compression": "tiff_deflate"}),
        ("van.webp", {"lossless": True}),
        ("van.avif", {"quality": 100, "subsampling": "4:4:4"}),
    ],
)
def test_transparent_drawing_comes_back(tmp_path: Path, name: str, options: dict[str, object]) -> None:
    path = save(draw_van(), tmp_path / name, **options)
    read = read_picture(path).astype(int)
    tolerance = 8 if name.endswith("avif") else 0
    wanted = as_array(draw_van()).astype(int)
    assert np.abs(visible(read) - visible(wanted)).max() <= tolerance
    facts = read_facts(path)
    assert facts.has_alpha
    assert facts.size == (96, 64)


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "LA", "CMYK", "I;16"])
@pytest.mark.parametrize("suffix", [".png", ".tif", ".bmp", ".gif", ".jpg"])
def test_every_mode_is_read(tmp_path: Path, mode: str, suffix: str) -> None:
    if mode == "I;16":
        drawn = Image.fromarray(np.array(draw_on_paper().convert("L")).astype(np.uint16) * 257)
    else:
        drawn = draw_on_paper().convert(mode)
    if (suffix, mode) == (".gif", "I;16"):
        pytest.skip("GIF holds no deep grey; Pillow writes its low bytes")
    try:
        path = save(drawn, tmp_path / f"van{suffix}")
    except (OSError, ValueError):
        pytest.skip(f"{suffix} holds no {mode}")
    wanted = as_array(draw_on_paper().convert("L" if mode in ("I;16", "LA") else mode)).astype(int)
    difference = np.abs(read_picture(path).astype(int) - wanted)
    assert difference.mean() < (4 if suffix == ".jpg" else 0.5)


def test_colour_key_becomes_alpha(tmp_path: Path) -> None:
    path = save(draw_on_paper(), tmp_path / "key.png", transparency=(255, 255, 255))
    read = read_picture(path)
    assert read[0, 0, 3] == 0
    assert read[22, 70, 3] == 255


@pytest.mark.parametrize("number", range(1, 9))
@pytest.mark.parametrize("suffix", [".jpg", ".tif", ".png", ".webp"])
def test_orientation_is_applied(tmp_path: Path, number: int, suffix: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = number
    options = {"quality": 98} if suffix in (".jpg", ".webp") else {}
    path = save(draw_on_paper((64, 48)), tmp_path / f"turned{suffix}", exif=exif, **options)
    facts = read_facts(path)
    assert facts.orientation_applied == number
    assert facts.size == ((48, 64) if number >= 5 else (64, 48))
    read = read_picture(path)
    assert read.shape[:2] == facts.size[::-1]
    # Exif 2.32, tag 0x0112: where row 0 and column 0 of the stored picture are seen
    undo = {1: "", 2: "h", 3: "hv", 4: "v", 5: "t", 6: "ht", 7: "vth", 8: "vt"}[number]
    for step in undo:
        read = {"h": read[:, ::-1], "v": read[::-1], "t": read.transpose(1, 0, 2)}[step]
    if number == 7:
        read = read_picture(path).transpose(1, 0, 2)[::-1, ::-1]
    assert np.abs(read.astype(int) - as_array(draw_on_paper((64, 48)))).mean() < 3


@pytest.mark.parametrize(("colour_type", "channels"), [(0, 1), (2, 3), (4, 2), (6, 4)])
def test_sixteen_bit_png_stays_sixteen_bit(tmp_path: Path, colour_type: int, channels: int) -> None:
    values = deep_ramp(channels)
    path = tmp_path / "deep.png"
    path.write_bytes(png_bytes(values, colour_type))
    assert read_facts(path).bits == 16
    deep = read_deep(path)
    assert deep is not None
    grey = channels < 3
    assert np.array_equal(deep[:, :, :3], np.repeat(values[:, :, :1], 3, 2) if grey else values[:, :, :3])
    assert np.array_equal(deep[:, :, 3], values[:, :, -1] if channels in (2, 4) else np.full((30, 40), 65535))
    assert np.abs((deep >> 8).astype(int) - read_picture(path)).max() <= 1


@pytest.mark.parametrize("channels", [1, 3, 4])
@pytest.mark.parametrize("planar", ["contig", "separate"])
def test_sixteen_bit_tiff_stays_sixteen_bit(tmp_path: Path, channels: int, planar: str) -> None:
    values = deep_ramp(channels)
    stored = np.moveaxis(values, -1, 0) if planar == "separate" else values
    extra = {"extrasamples": ["unassalpha"]} if channels == 4 else {}
    path = tmp_path / "deep.tif"
    photometric = "minisblack" if channels == 1 else "rgb"
    if channels == 1:
        stored = values[:, :, 0]
    tifffile.imwrite(
        path, stored, photometric=photometric, planarconfig=None if channels == 1 else planar, **extra
    )
    deep = read_deep(path)
    assert deep is not None
    assert np.array_equal(deep[:, :, : min(channels, 3)], values[:, :, :3])
    if channels == 4:
        assert np.array_equal(deep[:, :, 3], values[:, :, 3])
    assert np.abs((deep >> 8).astype(int) - read_picture(path)).max() <= 1


@pytest.mark.parametrize("channels", [1, 3, 4])
@pytest.mark.parametrize("planar", ["contig", "separate"])
@pytest.mark.parametrize("tile", [None, (16, 32)])
@pytest.mark.parametrize(
    ("packed", "difference"),
    [(None, False), ("lzw", False), ("lzw", True), ("zlib", True), ("lzma", False), ("packbits", False)],
)
def test_a_deep_tiff_reads_alike_however_it_is_packed(
    tmp_path: Path,
    channels: int,
    planar: str,
    tile: tuple[int, int] | None,
    packed: str | None,
    difference: bool,
) -> None:
    """Written by tifffile with libtiff's codecs; sides that no strip and no tile divides."""
    values = np.random.default_rng(5).integers(0, 65536, (45, 70, channels), dtype=np.uint16)
    values[10:30] = 65535  # bare paper, so that packing does pack
    several = {"planarconfig": planar} if channels > 1 else {}
    extra = {"extrasamples": ["unassalpha"]} if channels == 4 else {}
    stored = np.moveaxis(values, -1, 0) if planar == "separate" else values
    tifffile.imwrite(
        tmp_path / "deep.tif", stored if channels > 1 else values[:, :, 0], tile=tile, rowsperstrip=None if tile else 7,
        photometric="rgb" if channels > 2 else "minisblack", compression=packed, predictor=difference,
        byteorder=">" if channels == 3 else "<", **several, **extra,
    )  # fmt: skip
    deep = read_deep(tmp_path / "deep.tif")
    assert deep is not None
    assert np.array_equal(
        deep[:, :, :3], np.repeat(values[:, :, :1], 3, 2) if channels == 1 else values[:, :, :3]
    )
    if channels == 4:
        assert np.array_equal(deep[:, :, 3], values[:, :, -1])


def test_eight_bit_sources_have_nothing_deeper(tmp_path: Path) -> None:
    assert read_deep(save(draw_van(), tmp_path / "van.png")) is None
    assert read_deep(save(draw_van(), tmp_path / "van.tif")) is None


def test_tiff_pages_are_read_one_by_one(tmp_path: Path) -> None:
    pages = [draw_on_paper(), draw_on_paper((64, 48)), draw_on_paper().convert("L")]
    path = save(pages[0], tmp_path / "pages.tif", save_all=True, append_images=pages[1:])
    assert read_facts(path).pages == 3
    for number, page in enumerate(pages):
        assert np.array_equal(read_picture(path, page=number), as_array(page))
    with pytest.raises(BadPicture, match="3 pages"):
        read_picture(path, page=3)


def test_first_picture_of_an_animation_is_read_and_told(tmp_path: Path) -> None:
    path = save(draw_on_paper(), tmp_path / "walk.gif", save_all=True, append_images=[draw_van()])
    assert "animation of 2" in (read_facts(path).note or "")
    assert read_facts(path).pages == 1


def test_colour_profile_is_converted_and_named(tmp_path: Path) -> None:
    # a profile whose red and blue are swapped: reading it as sRGB would show the wrong colour
    flat = Image.new("RGB", (20, 20), (200, 40, 30))
    lab = ImageCms.createProfile("LAB", 5000)
    to_lab = ImageCms.profileToProfile(flat, ImageCms.createProfile("sRGB"), lab, outputMode="LAB")
    assert to_lab is not None
    path = save(to_lab, tmp_path / "lab.tif", icc_profile=ImageCms.ImageCmsProfile(lab).tobytes())
    assert read_facts(path).icc
    assert np.abs(read_picture(path)[10, 10, :3].astype(int) - (200, 40, 30)).max() <= 3


def test_reduced_reading_has_the_wanted_side(tmp_path: Path) -> None:
    path = save(draw_on_paper((1600, 1000)), tmp_path / "large.jpg")
    assert read_picture(path, max_side=200).shape == (125, 200, 4)
    assert read_picture(save(draw_van(), tmp_path / "small.png"), max_side=200).shape == (64, 96, 4)


@pytest.mark.parametrize("dpi", [(300, 300), (72, 144)])
@pytest.mark.parametrize("suffix", [".png", ".jpg", ".tif", ".bmp"])
def test_resolution_is_told(tmp_path: Path, dpi: tuple[int, int], suffix: str) -> None:
    found = read_facts(save(draw_on_paper(), tmp_path / f"scan{suffix}", dpi=dpi)).resolution
    assert found == pytest.approx(dpi, rel=0.001)


@pytest.mark.parametrize("suffix", [".png", ".jpg", ".tif", ".webp", ".gif"])
def test_missing_resolution_is_missing(tmp_path: Path, suffix: str) -> None:
    assert read_facts(save(draw_on_paper(), tmp_path / f"scan{suffix}")).resolution is None


def test_content_decides_the_kind(tmp_path: Path) -> None:
    path = save(draw_on_paper(), tmp_path / "really_a.png", format="JPEG")
    facts = read_facts(path)
    assert (facts.format, facts.media_type) == ("JPEG", "image/jpeg")
    assert facts.note == "named .png, but it holds JPEG"


@pytest.mark.parametrize("suffix", [".png", ".jpg", ".tif", ".gif", ".bmp", ".webp", ".avif"])
@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.95])
def test_cut_off_files_are_told(tmp_path: Path, suffix: str, share: float) -> None:
    noise = np.random.default_rng(5).integers(0, 255, (60, 80, 3), dtype=np.uint8)
    whole = save(Image.fromarray(noise), tmp_path / f"whole{suffix}").read_bytes()
    path = tmp_path / f"cut{suffix}"
    path.write_bytes(whole[: max(3, int(len(whole) * share))])
    with pytest.raises(BadPicture) as told:
        read_picture(path)
    assert "\n" not in told.value.sentence
    assert path.name in told.value.sentence


@pytest.mark.parametrize("size", [(30_000, 30_000), (70_000, 10), (0, 5), (2**31 - 1, 2**31 - 1)])
def test_impossible_sizes_are_refused_before_decoding(tmp_path: Path, size: tuple[int, int]) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(claim_png(*size))
    with pytest.raises(BadPicture):
        read_picture(path)
    with pytest.raises(BadPicture):
        read_facts(path)


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"%!PS-Adobe", bytes(2000), b"\x89PNG\r\n\x1a\n", b"BM" + bytes(60)]
)
def test_what_is_no_picture_is_told(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "thing.png"
    path.write_bytes(content)
    with pytest.raises(BadPicture, match=r"^thing\.png: .+$"):
        read_facts(path)


def test_folders_links_and_lost_rights_are_told(tmp_path: Path) -> None:
    (tmp_path / "loop.png").symlink_to(tmp_path / "loop.png")
    for name in ("nowhere.png", "loop.png", "."):
        with pytest.raises(BadPicture):
            read_facts(tmp_path / name)
    secret = save(draw_van(), tmp_path / "secret.png")
    secret.chmod(0)
    if os.access(secret, os.R_OK):
        pytest.skip("this user may read everything")
    with pytest.raises(BadPicture, match="permission"):
        read_picture(secret)


def test_random_damage_never_escapes_as_another_error(tmp_path: Path) -> None:
    random = np.random.default_rng(11)
    for suffix in (".png", ".jpg", ".tif", ".gif", ".bmp", ".webp"):
        whole = np.frombuffer(save(draw_on_paper(), tmp_path / f"whole{suffix}").read_bytes(), np.uint8)
        for trial in range(40):
            hurt = whole.copy()
            spots = random.integers(8, len(hurt), 12)
            hurt[spots] = random.integers(0, 256, 12)
            path = tmp_path / f"hurt{trial}{suffix}"
            path.write_bytes(hurt.tobytes())
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                with contextlib.suppress(BadPicture):  # any other error, or a warning, fails the test
                    read_facts(path)
                    read_picture(path)


def test_names_in_any_script_are_read(tmp_path: Path) -> None:
    for name in ("Bäckerei Kühltür.png", "渡轮 甲板.png", "паром.png", "🚐 van.png"):
        assert read_picture(save(draw_van(), tmp_path / name)).shape == (64, 96, 4)


def test_endings_are_lower_case_with_a_dot() -> None:
    assert {".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".gif", ".bmp"} <= SUFFIXES
    assert all(suffix == suffix.lower() and suffix.startswith(".") for suffix in SUFFIXES)


OUTSIDE = [
    ("RGBA", "van.png", {}, 0),
    ("RGB", "van.png", {}, 0),
    ("P", "van.png", {}, 0),
    ("L", "van.png", {}, 0),
    ("1", "van.png", {}, 0),
    ("LA", "van.png", {}, 0),
    ("RGB", "van.bmp", {}, 0),
    ("P", "van.bmp", {}, 0),
    ("P", "van.gif", {}, 0),
    ("RGB", "van.jpg", {"quality": 90}, 2),
    ("L", "van.jpg", {"quality": 90}, 2),
    ("RGB", "van.tif", {"compression": "tiff_lzw"}, 0),
    ("1", "van.tif", {"compression": "group4"}, 0),
    ("RGBA", "van.tif", {"compression": "tiff_deflate"}, 0),
    ("RGBA", "van.webp", {"lossless": True, "exact": True}, 0),
    ("RGB", "van.webp", {"quality": 90}, 2),
    ("CMYK", "van.tif", {}, 0),
    ("I;16", "van.tif", {}, 0),
    ("L", "van.avif", {"quality": 90}, 2),  # grey: this ImageMagick asks libheif for halved chroma
]


@pytest.mark.parametrize(("mode", "name", "options", "tolerance"), OUTSIDE)
def test_imagemagick_decodes_the_same(
    tmp_path: Path, mode: str, name: str, options: dict[str, object], tolerance: int
) -> None:
    """ImageMagick 6.9 (Debian) reads the same pixels; lossy kinds within rounding of the colour transform."""
    needs_imagemagick()
    drawn = draw_van() if mode in ("RGBA", "LA") else draw_on_paper()
    path = save(drawn.convert(mode), tmp_path / name, **options)
    theirs = np.frombuffer(read_with_imagemagick(str(path), tmp_path), np.uint8).reshape(64, 96, 4)
    difference = np.abs(visible(read_picture(path)).astype(int) - visible(theirs))
    assert difference.max() <= tolerance


@pytest.mark.parametrize("suffix", [".jpg", ".tif", ".png"])
@pytest.mark.parametrize("number", [3, 6, 8])
def test_exiftool_tells_the_same_orientation(tmp_path: Path, suffix: str, number: int) -> None:
    path = save(draw_on_paper(), tmp_path / f"turned{suffix}", icc_profile=_srgb_bytes())
    write_with_exiftool(path, f"-Orientation#={number}")
    theirs = read_with_exiftool(path, "Orientation", "ProfileDescription", "ImageWidth")
    facts = read_facts(path)
    assert facts.orientation_applied == theirs["Orientation"] == number
    assert facts.icc == theirs["ProfileDescription"]
    stored_width = facts.size[1] if number >= 5 else facts.size[0]
    assert stored_width == theirs["ImageWidth"]


def _srgb_bytes() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
