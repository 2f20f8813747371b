"""Pictures for buyers: the same pixels, colours and resolution, and nothing about the artist's machine."""

from __future__ import annotations

import io
import json
import struct
import subprocess
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

from assetlib.errors import BadPicture
from assetlib.storage.delivery import PREVIEW_SIZE, prepare, strip
from tests.outside import needs_program

SECRETS = [b"paint program", b"/home/mira", b"GPS", b"eXIf", b"tEXt", b"iTXt", b"zTXt", b"tIME", b"vpAg"]


def png_of(picture: Image.Image, **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, "PNG", **options)
    return out.getvalue()


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))


def talkative(picture: Image.Image) -> bytes:
    """A PNG that tells everything a PNG can tell."""
    words = PngImagePlugin.PngInfo()
    words.add_text("Software", "a paint program")
    words.add_text("Comment", "/home/mira/clients", zip=True)
    words.add_itxt("XML:com.adobe.xmp", "<x:xmpmeta>/home/mira</x:xmpmeta>")
    exif = Image.Exif()
    exif[0x0131] = "a paint program"
    exif.get_ifd(0x8825)[1] = "N"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = png_of(picture, pnginfo=words, exif=exif, icc_profile=profile, dpi=(300, 300))
    end = data.rindex(b"IEND") - 4
    private = chunk(b"tIME", b"\x07\xea\x03\x0e\x05\x00\x00") + chunk(b"vpAg", b"paint program")
    return data[:end] + private + data[end:] + b"/home/mira after the end"


def every_mode() -> dict[str, Image.Image]:
    drawing = Image.new("RGBA", (60, 40), (200, 10, 30, 0))
    ImageDraw.Draw(drawing).ellipse((5, 5, 50, 35), fill=(255, 255, 255, 128), outline=(0, 0, 0, 255))
    flat = drawing.convert("RGB")
    return {
        "RGBA": drawing,
        "RGB": flat,
        "LA": drawing.convert("LA"),
        "L": flat.convert("L"),
        "1": flat.convert("1"),
        "P": flat.quantize(8),
        "P with transparency": drawing.quantize(8),
        "16-bit grey": Image.fromarray(np.arange(2400, dtype=np.uint16).reshape(40, 60) * 27),
    }


@pytest.mark.parametrize("mode", every_mode())
def test_pixels_profile_and_resolution_stay_and_words_go(mode: str) -> None:
    before = talkative(every_mode()[mode])
    after = strip(before)
    assert not [secret for secret in SECRETS if secret in after]
    with Image.open(io.BytesIO(before)) as old, Image.open(io.BytesIO(after)) as new:
        assert (new.mode, new.size, new.tobytes()) == (old.mode, old.size, old.tobytes())
        assert new.info["icc_profile"] == old.info["icc_profile"]
        assert new.info["dpi"] == old.info["dpi"]
        assert new.getpalette() == old.getpalette()
        assert new.info.get("transparency") == old.info.get("transparency")


def test_sixteen_bits_a_channel_stay_sixteen(tmp_path: Path) -> None:
    pixels = np.random.default_rng(3).integers(0, 65536, (20, 30, 4), dtype=np.uint16)
    path = tmp_path / "deep.png"
    cv2.imwrite(str(path), pixels)
    delivered = np.frombuffer(prepare(path).png, dtype=np.uint8)
    assert np.array_equal(cv2.imdecode(delivered, cv2.IMREAD_UNCHANGED), pixels)


def test_stripping_twice_changes_nothing() -> None:
    once = strip(talkative(every_mode()["RGBA"]))
    assert strip(once) == once


def test_another_reader_finds_nothing_but_the_picture(tmp_path: Path) -> None:
    path = tmp_path / "van.png"
    path.write_bytes(talkative(every_mode()["RGBA"]))
    path.write_bytes(prepare(path).png)
    told = subprocess.run(
        [needs_program("exiftool"), "-j", "-G1", path], capture_output=True, check=True
    ).stdout
    groups = {key.split(":")[0] for key in json.loads(told)[0]} - {"SourceFile", "ExifTool", "System", "File"}
    assert groups <= {"PNG", "PNG-pHYs", "Composite"} | {g for g in groups if g.startswith("ICC")}


@pytest.mark.parametrize("mode", every_mode())
def test_a_preview_shows_the_drawing_on_white(tmp_path: Path, mode: str) -> None:
    path = tmp_path / "drawing.png"
    path.write_bytes(png_of(every_mode()[mode].resize((1200, 800))))
    delivery = prepare(path)
    assert (delivery.width, delivery.height) == (1200, 800)
    with Image.open(io.BytesIO(delivery.preview)) as preview:
        assert (preview.format, preview.mode, max(preview.size)) == ("JPEG", "RGB", PREVIEW_SIZE)
        assert not preview.getexif()
        corner = preview.getpixel((2, 2))
    if delivery.has_alpha:
        assert corner == (255, 255, 255)


def test_deep_grey_is_scaled_in_the_preview_not_clipped(tmp_path: Path) -> None:
    path = tmp_path / "grey.png"
    Image.fromarray(np.full((50, 50), 32768, dtype=np.uint16)).save(path)
    with Image.open(io.BytesIO(prepare(path).preview)) as preview:
        assert preview.getpixel((25, 25)) == (128, 128, 128)


def test_the_pixel_hash_hears_pixels_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "drawing.png"
    picture = every_mode()["RGBA"]

    def pixel_hash(data: bytes) -> str:
        path.write_bytes(data)
        return prepare(path).pixel_sha256

    plain = pixel_hash(png_of(picture, compress_level=1))
    assert pixel_hash(talkative(picture)) == plain
    picture.putpixel((0, 0), (200, 10, 31, 0))
    assert pixel_hash(png_of(picture)) != plain


def test_a_palette_counts_as_pixels(tmp_path: Path) -> None:
    path = tmp_path / "palette.png"
    picture = every_mode()["P"]
    picture.save(path)
    before = prepare(path).pixel_sha256
    picture.putpalette(bytes(reversed(picture.getpalette() or [])))
    picture.save(path)
    assert prepare(path).pixel_sha256 != before


def turned() -> bytes:
    exif = Image.Exif()
    exif[0x0112] = 6
    return png_of(every_mode()["RGB"], exif=exif)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x89PNG\r\n\x1a\n",
        b"GIF89a and so on",
        png_of(every_mode()["RGB"])[:-20],
        png_of(every_mode()["RGB"]).replace(b"IHDR\x00\x00\x00\x3c", b"IHDR\x00\x00\x00\x3d"),
        b"\x89PNG\r\n\x1a\n" + chunk(b"IEND", b""),
        turned(),
    ],
    ids=["empty", "signature alone", "another format", "cut off", "damaged", "no picture", "turned"],
)
def test_what_is_no_whole_upright_png_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "bad.png"
    path.write_bytes(data)
    with pytest.raises(BadPicture, match=r"bad\.png"):
        prepare(path)


def test_a_chunk_whose_checksum_is_wrong_is_damage() -> None:
    good = png_of(every_mode()["RGB"], dpi=(300, 300))
    with pytest.raises(ValueError, match="damaged"):
        strip(good.replace(b"pHYs\x00\x00", b"pHYs\x00\x01"))


def test_a_missing_picture_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadPicture, match=r"gone\.png"):
        prepare(tmp_path / "gone.png")
