"""What files say about themselves, written by exiftool or by hand after the standards."""

from __future__ import annotations

import struct
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest
from PIL import Image, PngImagePlugin

from assetlib.imaging.formats import read_facts
from assetlib.imaging.metadata import (
    NO_WORDS,
    EmbeddedWords,
    find_iim,
    join_words,
    read_exif,
    read_iim,
    read_svg_words,
    read_xmp,
)
from tests.imaging.pictures import draw_on_paper, save
from tests.outside import write_with_exiftool

TITLE, DESCRIPTION = "Kühltür, hood mount", "Two bakers in the delivery van, 渡轮"
KEYWORDS, CREATOR, RIGHTS = ("van", "two-shot", "Brötchen"), "Ines Okafor", "© 2026 Ines Okafor"


def dataset(number: int, value: bytes, record: int = 2) -> bytes:
    """One IPTC-IIM dataset (IIM 4.2, 1.6)."""
    return struct.pack(">BBBH", 0x1C, record, number, len(value)) + value


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".tif", ".webp"])
def test_xmp_written_by_exiftool(tmp_path: Path, suffix: str) -> None:
    path = save(draw_on_paper(), tmp_path / f"van{suffix}")
    write_with_exiftool(
        path,
        f"-XMP-dc:Title={TITLE}",
        f"-XMP-dc:Description={DESCRIPTION}",
        f"-XMP-dc:Creator={CREATOR}",
        f"-XMP-dc:Rights={RIGHTS}",
        *(f"-XMP-dc:Subject={word}" for word in KEYWORDS),
    )
    assert read_facts(path).words == EmbeddedWords(TITLE, DESCRIPTION, KEYWORDS, CREATOR, RIGHTS)


@pytest.mark.parametrize("suffix", [".jpg", ".tif"])
@pytest.mark.parametrize("charset", ["UTF8", "Latin"])
def test_iptc_written_by_exiftool(tmp_path: Path, suffix: str, charset: str) -> None:
    path = save(draw_on_paper(), tmp_path / f"van{suffix}")
    options = ("-IPTC:CodedCharacterSet=UTF8",) if charset == "UTF8" else ("-charset", "iptc=Latin")
    write_with_exiftool(
        path,
        *options,
        f"-IPTC:ObjectName={TITLE}",
        "-IPTC:Caption-Abstract=Two bakers",
        f"-IPTC:By-line={CREATOR}",
        f"-IPTC:CopyrightNotice={RIGHTS}",
        *(f"-IPTC:Keywords={word}" for word in KEYWORDS),
    )
    assert read_facts(path).words == EmbeddedWords(TITLE, "Two bakers", KEYWORDS, CREATOR, RIGHTS)


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".tif", ".webp"])
def test_exif_written_by_exiftool(tmp_path: Path, suffix: str) -> None:
    path = save(draw_on_paper(), tmp_path / f"van{suffix}")
    write_with_exiftool(
        path,
        "-IFD0:ImageDescription=Two bakers",
        "-IFD0:Artist=Ines Okafor",
        "-IFD0:Copyright=2026 Ines Okafor",
        f"-IFD0:XPTitle={TITLE}",
        "-IFD0:XPKeywords=van;two-shot",
    )
    words = read_facts(path).words
    assert words == EmbeddedWords(TITLE, "Two bakers", ("van", "two-shot"), CREATOR, "2026 Ines Okafor")


def test_png_text(tmp_path: Path) -> None:
    text = PngImagePlugin.PngInfo()
    text.add_text("Title", "Ferry queue")
    text.add_itxt("Description", "渡轮 commuters")
    text.add_text("Author", CREATOR, zip=True)
    path = save(draw_on_paper(), tmp_path / "queue.png", pnginfo=text)
    words = read_facts(path).words
    assert words == EmbeddedWords("Ferry queue", "渡轮 commuters", (), CREATOR)


def test_utf8_where_latin1_belongs_is_read_as_it_was_meant(tmp_path: Path) -> None:
    text = PngImagePlugin.PngInfo()
    text.add_text("Author", "J\u00f6rg F\u00e4hre".encode().decode("latin-1"))
    text.add_text("Title", "Caf\u00e9 au port")
    words = read_facts(save(draw_on_paper(), tmp_path / "cafe.png", pnginfo=text)).words
    assert (words.creator, words.title) == ("J\u00f6rg F\u00e4hre", "Caf\u00e9 au port")


def test_xmp_comes_before_iptc_and_keywords_add_up() -> None:
    first = EmbeddedWords(title="Ferry", keywords=("deck", "rail"))
    second = EmbeddedWords(title="Boat", description="A deck", keywords=("rail", "gull"))
    assert join_words((first, second)) == EmbeddedWords("Ferry", "A deck", ("deck", "rail", "gull"))
    assert join_words(()) == join_words((NO_WORDS, NO_WORDS)) == NO_WORDS


def test_iim_lengths_records_and_ends() -> None:
    long = b"a" * 300
    extended = struct.pack(">BBBHI", 0x1C, 2, 120, 0x8004, len(long)) + long
    other = dataset(5, b"not this", record=3)
    block = other + dataset(5, b"Ferry") + extended + dataset(25, b"deck")
    assert read_iim(block) == EmbeddedWords("Ferry", "a" * 300, ("deck",))
    for end in range(len(block)):
        read_iim(block[:end])  # a cut-off block loses words, nothing else
    assert read_iim(b"") == NO_WORDS


def test_iim_is_found_among_photoshop_resources() -> None:
    def resource(number: int, name: bytes, data: bytes) -> bytes:
        label = bytes((len(name),)) + name
        padded = label + b"\0" * (len(label) % 2)
        return (
            b"8BIM"
            + struct.pack(">H", number)
            + padded
            + struct.pack(">I", len(data))
            + data
            + b"\0" * (len(data) % 2)
        )

    block = dataset(5, b"Ferry")
    resources = resource(0x03ED, b"ab", b"odd") + resource(0x0404, b"", block)
    assert find_iim(resources) == block
    assert find_iim(resources[:20]) == find_iim(b"") == b""


def test_broken_metadata_only_loses_its_words(tmp_path: Path) -> None:
    for packet in (b"<x", b"", None, b"\xff\xfe\0", "<!DOCTYPE x [<!ENTITY a 'b'>]><x>&a;</x>"):
        assert read_xmp(packet) == NO_WORDS
    exif = Image.Exif()
    exif[0x010E] = "Two bakers"
    path = save(draw_on_paper(), tmp_path / "van.jpg", exif=exif.tobytes()[:20])
    assert read_facts(path).words == NO_WORDS


def test_what_cameras_and_programs_write_everywhere_is_no_description() -> None:
    assert read_exif({0x010E: "Created with GIMP"}) == NO_WORDS
    assert read_exif({0x010E: "  \x00 "}) == NO_WORDS


def test_svg_rdf_comes_before_its_own_title() -> None:
    root = fromstring(
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" '
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:cc="http://creativecommons.org/ns#">'
        "<title>drawing 7</title><desc>On the quay</desc><metadata><rdf:RDF><cc:Work>"
        "<dc:title>Ferry queue</dc:title>"
        "<dc:subject><rdf:Bag><rdf:li>ferry</rdf:li><rdf:li>queue</rdf:li></rdf:Bag></dc:subject>"
        "<dc:creator><cc:Agent><dc:title>Ines Okafor</dc:title></cc:Agent></dc:creator>"
        '<cc:license rdf:resource="https://creativecommons.org/publicdomain/zero/1.0/"/>'
        "</cc:Work></rdf:RDF></metadata></svg>"
    )
    assert read_svg_words(root) == EmbeddedWords(
        "Ferry queue",
        "On the quay",
        ("ferry", "queue"),
        "Ines Okafor",
        "https://creativecommons.org/publicdomain/zero/1.0/",
    )
