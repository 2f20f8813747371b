"""Pictures go over the clipboard with their transparency, to and from xclip, on a desktop of Xvfb (both Debian)."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.conftest import Assetlib
from tests.outside import needs_program

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="X11 is a thing of Linux here")


@pytest.fixture
def display(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A desktop without a screen; its number is in DISPLAY."""
    program = needs_program("Xvfb")
    with subprocess.Popen(
        [program, "-displayfd", "1", "-screen", "0", "640x480x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    ) as server:
        assert server.stdout is not None
        name = f":{server.stdout.readline().decode().strip()}"
        monkeypatch.setenv("DISPLAY", name)
        monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
        yield name
        server.terminate()


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    assert assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example").code == 0
    kite().save(tmp_path / "kite.png")
    assert assetlib("intake", "kite.png", "--as", "element", "--later", library=folder).code == 0
    return folder


def kite() -> Image.Image:
    """Black and half transparent red on nothing."""
    pixels = np.zeros((120, 160, 4), np.uint8)
    pixels[10:110, 20:140] = (0, 0, 0, 255)
    pixels[30:90, 40:120] = (200, 30, 30, 128)
    return Image.fromarray(pixels)


def offered(kind: str) -> bytes:
    """What xclip is given for a type of content."""
    command = [needs_program("xclip"), "-selection", "clipboard", "-t", kind, "-o"]
    return subprocess.run(command, check=True, capture_output=True, timeout=30).stdout


def put(data: bytes, *options: str) -> None:
    """Has xclip own a content; it stays behind until the desktop ends."""
    command = [needs_program("xclip"), "-selection", "clipboard", *options, "-i"]
    subprocess.run(
        command,
        input=data,
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=30,
    )


@pytest.mark.usefixtures("display")
def test_a_copy_is_read_by_xclip_with_its_transparency(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    done = assetlib("paste", "kite", "--copy", "--body", "none", "--to", "kite2.png", library=library)
    assert done.code == 15  # a drawing is named by its code
    code = assetlib("find", "kite", "--json", library=library).json["results"][0]["code"]
    done = assetlib("paste", code, "--copy", "--body", "none", "--to", "kite2.png", library=library)
    assert done.code == 0, done.err
    assert b"image/png" in offered("TARGETS").split()
    read = Image.open(io.BytesIO(offered("image/png")))
    assert read.mode == "RGBA"
    with Image.open(tmp_path / "kite2.png") as written:
        assert (np.asarray(read) == np.asarray(written)).all()
    strengths = set(np.asarray(read)[..., 3].ravel().tolist())
    assert {0, 128, 255} <= strengths


@pytest.mark.usefixtures("display")
def test_a_copy_alone_is_a_use_that_undo_voids(assetlib: Assetlib, library: Path) -> None:
    code = assetlib("find", "kite", "--json", library=library).json["results"][0]["code"]
    done = assetlib("paste", code, "--copy", "--json", library=library)
    assert (done.json["file"], len(done.json["uses"])) == (None, 1)
    assert assetlib("show", code, "--json", library=library).json["uses"][0]["voided"] is False
    assert assetlib("undo", library=library).code == 0
    assert assetlib("show", code, "--json", library=library).json["uses"][0]["voided"] is True


@pytest.mark.usefixtures("display")
def test_what_was_copied_elsewhere_comes_in_with_its_transparency(
    assetlib: Assetlib, library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "temporary").mkdir()
    monkeypatch.setenv("TMPDIR", str(tmp_path / "temporary"))
    other = kite().transpose(Image.Transpose.ROTATE_90)
    data = io.BytesIO()
    other.save(data, "PNG")
    put(data.getvalue(), "-t", "image/png")
    came = assetlib("intake", "--clipboard", "--as", "element", "--later", "--json", library=library)
    assert came.code == 0, came.err
    (code,) = [row["code"] for row in came.json["added"]]
    original = assetlib("show", code, "--json", library=library).json["original"]
    with Image.open(original) as kept:
        read = np.asarray(kept.convert("RGBA"))
    assert (read[..., 3] == np.asarray(other)[..., 3]).all()
    seen = read[..., 3] > 0
    assert (read[seen] == np.asarray(other)[seen]).all()
    assert not list((tmp_path / "temporary").iterdir())


@pytest.mark.usefixtures("display")
def test_words_on_the_clipboard_are_no_picture(assetlib: Assetlib, library: Path) -> None:
    put(b"hello")
    done = assetlib("intake", "--clipboard", library=library)
    assert (done.code, done.err.splitlines()[0]) == (2, "assetlib: there is no picture on the clipboard")


@pytest.mark.parametrize("name", [None, ":97"])
def test_without_a_desktop_it_is_said_and_nothing_is_written(
    assetlib: Assetlib, library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str | None
) -> None:
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("DISPLAY", raising=False)
    if name is not None:
        monkeypatch.setenv("DISPLAY", name)
    code = assetlib("find", "kite", "--json", library=library).json["results"][0]["code"]
    for line in (("paste", code, "--copy", "--to", "kite2.png"), ("intake", "--clipboard")):
        done = assetlib(*line, library=library)
        assert done.code == 2
        assert "there is no desktop here" in done.err
    assert not (tmp_path / "kite2.png").exists()
    assert assetlib("show", code, "--json", library=library).json["uses"] == []
