"""Files that are broken, cut short, bombs, links or something else than they say, through every command that takes one.

A picture that is only asked about gets the same answer as one that is brought in: one sentence and an exit code.
"""

from __future__ import annotations

import io
import os
import struct
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.checking import check
from tests.cli.conftest import Command
from tests.conftest import Draw

REFUSED = {2, 15, 17}
"""Wrong usage, not found, unreadable picture."""


def _png(size: tuple[int, int] = (300, 200)) -> bytes:
    picture = Image.new("RGB", size, "white")
    ImageDraw.Draw(picture).ellipse((40, 30, 220, 170), outline="black", width=4)
    held = io.BytesIO()
    picture.save(held, "PNG")
    return held.getvalue()


def _huge_png() -> bytes:
    """A page of 60,000 x 60,000 in a few bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 0, 0, 0, 0)
    data = zlib.compress(bytes(1_000_000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def _bomb_ora() -> bytes:
    """A layered file that holds a hundred times a gigabyte of nothing, as it says."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("mimetype", "image/openraster")
        file.writestr(
            "stack.xml", '<image w="99999" h="99999"><stack><layer src="data/a.png"/></stack></image>'
        )
        file.writestr("data/a.png", bytes(40_000_000))
        file.writestr("mergedimage.png", bytes(40_000_000))
    return held.getvalue()


def _laughs() -> bytes:
    """A drawing of text that grows to a billion letters."""
    grown = "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    begun = f'<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "ha">{grown}]>'
    return f'{begun}<svg xmlns="http://www.w3.org/2000/svg"><text>&i;</text></svg>'.encode()


FILES: dict[str, bytes] = {
    "nothing.png": b"",
    "cut short.png": _png()[:400],
    "no picture.png": b"this is a letter to the client, not a drawing\n" * 40,
    "zeros.jpg": bytes(5000),
    "huge.png": _huge_png(),
    "bomb.ora": _bomb_ora(),
    "laughs.svg": _laughs(),
    "endless.svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="1e30" height="1e30"><path d="M0 0h9"/></svg>',
    "half a pdf.pdf": b"%PDF-1.7\n1 0 obj << /Type /Catalog /Pages 2 0 R >>\nendobj\nxref\n0 1\ntrailer",
    "half a psd.psd": b"8BPS\0\1" + bytes(6) + b"\0\3\0\0\xff\xff\0\0\xff\xff\0\x08\0\3" + b"\xff" * 60,
}

COMMANDS: dict[str, Callable[[Path], list[str]]] = {
    "find --like": lambda path: ["find", "--like", str(path)],
    "find --sketch": lambda path: ["find", "--sketch", str(path), "dog"],
    "doubles --of": lambda path: ["doubles", "--of", str(path)],
    "cut": lambda path: ["cut", str(path), "--dry-run"],
}


@pytest.fixture
def asked(command: Command, lib: Library, draw: Draw) -> Command:
    """Commands on a library in which something may look like what is asked."""
    bring_in(lib, [draw("dog.png", 2)])
    upkeep.work_off(lib)
    return command


def _refused(command: Command, line: list[str]) -> None:
    said = command(*line)
    assert said.code in REFUSED, (line, said)
    assert "Traceback" not in said.out + said.err
    sentence, *hints = said.err.strip().splitlines()
    assert sentence.startswith("assetlib: ")
    assert len(hints) <= 1, said.err
    if line[0] == "cut":
        assert command(*line, "--json").json["error"]["exit"] == said.code


@pytest.mark.parametrize("name", FILES)
def test_a_bad_file_is_refused_in_a_sentence(asked: Command, lib: Library, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(FILES[name])
    for line in COMMANDS.values():
        _refused(asked, line(tmp_path / name))
    assert check(lib).clean


def test_what_is_no_file_is_refused_in_a_sentence(asked: Command, tmp_path: Path) -> None:
    (tmp_path / "folder.png").mkdir()
    (tmp_path / "itself.png").symlink_to(tmp_path / "itself.png")
    (tmp_path / "nowhere.png").symlink_to(tmp_path / "gone.png")
    places = [
        "folder.png",
        "itself.png",
        "nowhere.png",
        "gone.png",
        "no\nline\x1b[31m.png",
        "x" * 300 + ".png",
    ]
    if sys.platform != "win32":
        os.mkfifo(tmp_path / "pipe.png")
        places.append("pipe.png")
    for name in places:
        for line in COMMANDS.values():
            _refused(asked, line(tmp_path / name))


def test_a_wrong_ending_does_not_matter(asked: Command, tmp_path: Path) -> None:
    """What a file is, is told by its content."""
    for name in ("drawing.txt", "drawing.svg", "drawing.psd", "drawing"):
        (tmp_path / name).write_bytes(_png())
        for line in COMMANDS.values():
            said = asked(*line(tmp_path / name), "--json")
            assert said.code == 0, (line(tmp_path / name), said.err)


def test_a_link_to_a_drawing_is_followed_and_nothing_of_it_changed(asked: Command, tmp_path: Path) -> None:
    (tmp_path / "real.png").write_bytes(_png())
    (tmp_path / "link.png").symlink_to(tmp_path / "real.png")
    for line in COMMANDS.values():
        assert asked(*line(tmp_path / "link.png"), "--json").code == 0
    assert (tmp_path / "real.png").read_bytes() == _png()
