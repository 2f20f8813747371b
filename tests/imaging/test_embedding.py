"""XMP in pictures' files: read by exiftool, pixels and their bytes as they were, other words left as they stand."""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageCms, ImageDraw
from resvg_py import svg_to_bytes

from assetlib.imaging.embedding import embed, png_chunks
from assetlib.imaging.profiles import without_device
from assetlib.rules.words.sidecars import Said, xmp_packet
from tests.outside import read_with_exiftool

PACKET = xmp_packet(Said("Loaf & ferry <渡し船>", "urn:uuid:1", ("bread", "quay"), "a loaf"))
OTHER = xmp_packet(Said("Another", "urn:uuid:2"))
SVG = b'<?xml version="1.0"?>\n<!-- <svg> --><svg xmlns="http://www.w3.org/2000/svg" width="60" height="40">' \
      b'<metadata><x/></metadata><circle cx="30" cy="20" r="15"/></svg>'  # fmt: skip


def drawing(mode: str) -> Image.Image:
    picture = Image.new("RGBA", (61, 40), (200, 10, 30, 0))
    ImageDraw.Draw(picture).ellipse((5, 5, 50, 35), fill=(255, 255, 255, 128), outline=(0, 0, 0, 255))
    if mode == "I;16":
        return Image.frombytes("I;16", (61, 40), struct.pack("<2440H", *(n * 26 for n in range(2440))))
    return picture.convert(mode)


def saved(mode: str, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    drawing(mode).save(out, kind, **options)
    return out.getvalue()


MADE: dict[str, Callable[[], bytes]] = {
    "rgba.png": lambda: saved("RGBA", "PNG", dpi=(300, 300)),
    "grey16.png": lambda: saved("I;16", "PNG"),
    "palette.png": lambda: saved("P", "PNG"),
    "plain.jpg": lambda: saved("RGB", "JPEG", dpi=(300, 300), comment=b"kept"),
    "grey.jpg": lambda: saved("L", "JPEG", progressive=True),
    "lzw.tif": lambda: saved("RGBA", "TIFF", compression="tiff_lzw"),
    "plain.tif": lambda: saved("L", "TIFF"),
    "lossless.webp": lambda: saved("RGBA", "WEBP", lossless=True, exact=True),
    "opaque.webp": lambda: saved("RGB", "WEBP", lossless=True),
    "lossy.webp": lambda: saved("RGB", "WEBP", quality=80),
    "lossy alpha.webp": lambda: saved("RGBA", "WEBP", quality=80),
}
"""Files as Pillow writes them."""


def pixels(data: bytes) -> tuple[str, tuple[int, int], bytes]:
    with Image.open(io.BytesIO(data)) as opened:
        opened.load()
        return opened.mode, opened.size, opened.tobytes()


@pytest.mark.parametrize("name", MADE)
def test_another_reader_finds_the_words_and_the_pixels_are_the_same(name: str, tmp_path: Path) -> None:
    before = MADE[name]()
    path = tmp_path / name
    path.write_bytes(embed(embed(before, OTHER), PACKET))
    told = read_with_exiftool(path, "XMP-dc:all", "ImageWidth", "ImageHeight", "Validate", "Warning")
    assert told["Title"] == "Loaf & ferry <渡し船>"
    assert (told["Subject"], told["Identifier"]) == (["bread", "quay"], "urn:uuid:1")
    assert (told["ImageWidth"], told["ImageHeight"]) == (61, 40)
    (tmp_path / f"before {name}").write_bytes(before)
    assert told.get("Warning") == read_with_exiftool(tmp_path / f"before {name}", "Validate", "Warning").get(
        "Warning"
    )
    assert pixels(path.read_bytes()) == pixels(before)
    assert b"Another" not in path.read_bytes()


def test_compressed_pixels_are_copied_as_they_lie() -> None:
    png = MADE["rgba.png"]()
    kept = [chunk for kind, chunk in png_chunks(embed(png, PACKET)) if kind != b"iTXt"]
    assert kept == [chunk for _, chunk in png_chunks(png)]
    jpeg = MADE["plain.jpg"]()
    assert embed(jpeg, PACKET).endswith(jpeg[jpeg.index(b"\xff\xdb") :])
    tiff = MADE["lzw.tif"]()
    assert embed(tiff, PACKET)[8 : len(tiff)] == tiff[8:]


def test_the_same_words_give_the_same_bytes_and_new_ones_take_the_place_of_old_ones() -> None:
    for name in ("rgba.png", "plain.jpg", "lossless.webp"):
        once = embed(MADE[name](), PACKET)
        assert embed(once, PACKET) == once
        assert embed(embed(once, OTHER), PACKET) == once


def test_words_in_a_vector_file_are_read_and_it_looks_the_same(tmp_path: Path) -> None:
    path = tmp_path / "circle.svg"
    path.write_bytes(embed(SVG, PACKET))
    told = read_with_exiftool(path, "XMP-dc:all")
    assert (told["Title"], told["Subject"]) == ("Loaf & ferry <渡し船>", ["bread", "quay"])
    assert bytes(svg_to_bytes(svg_string=path.read_text())) == bytes(svg_to_bytes(svg_string=SVG.decode()))
    assert path.read_bytes().count(b"<metadata>") == 1


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"GIF89a",
        MADE["rgba.png"]()[:-20],
        MADE["plain.jpg"]()[:30],
        MADE["plain.tif"]()[:40],
        MADE["lossless.webp"]()[:-20],
        b"RIFF\x04\x00\x00\x00WEBP",
        b'<!DOCTYPE svg [<!ENTITY a "b">]><svg></svg>',
        b"<svg/>",
        saved("L", "TIFF", save_all=True, append_images=[drawing("L")]),
        saved("RGB", "WEBP", save_all=True, append_images=[drawing("RGB").rotate(90)]),
    ],
    ids=[
        "nothing", "other", "png", "jpeg", "tiff", "webp", "empty webp", "doctype", "no svg", "pages", "moves"
    ],
)  # fmt: skip
def test_what_cannot_take_words_is_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        embed(data, PACKET)


def test_a_packet_too_large_for_a_jpeg_is_refused() -> None:
    with pytest.raises(ValueError, match="do not fit"):
        embed(MADE["plain.jpg"](), "x" * 65_600)


def _with_tag(profile: bytes, name: bytes, data: bytes) -> bytes:
    """The profile with one more tag at its end, and a maker in its header."""
    (count,) = struct.unpack_from(">L", profile, 128)
    table = profile[132 : 132 + 12 * count]
    moved = b"".join(
        tag + struct.pack(">LL", at + 12, size) for tag, at, size in struct.iter_unpack(">4sLL", table)
    )
    body = profile[132 + 12 * count :]
    body += b"\x00" * (-len(body) % 4)
    place = 132 + 12 * (count + 1) + len(body)
    moved += name + struct.pack(">LL", place, len(data))
    header = struct.pack(">L", place + len(data)) + profile[4:48] + b"ACMEM-27" + profile[56:128]
    return header + struct.pack(">L", count + 1) + moved + body + data


def test_a_profile_keeps_its_colours_and_loses_the_screen() -> None:
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    told = _with_tag(plain, b"mmod", b"mmod\x00\x00\x00\x00serial 8812-77 of a screen      ")
    picture = drawing("RGB")
    lab = ImageCms.createProfile("LAB")
    seen = [
        ImageCms.profileToProfile(picture, ImageCms.ImageCmsProfile(io.BytesIO(p)), lab, outputMode="LAB")
        for p in (told, without_device(told), plain)
    ]
    assert b"8812" in told
    assert b"8812" not in without_device(told)
    assert b"ACME" not in without_device(told)
    assert seen[0].tobytes() == seen[1].tobytes() == seen[2].tobytes()
    assert without_device(plain) == plain
    for broken in (b"", plain[:131], plain[:128] + b"\xff\xff\xff\xff"):
        with pytest.raises(ValueError, match=r"\w"):
            without_device(broken)
