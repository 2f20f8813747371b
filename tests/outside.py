"""Programs outside the project that check our results, and what to do without them."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any, NoReturn

import pytest

PACKAGES = {
    "gcc": "gcc",
    "exiftool": "libimage-exiftool-perl",
    "magick": "imagemagick",
    "convert": "imagemagick",
    "unzip": "unzip",
    "pdfinfo": "poppler-utils",
    "pdftotext": "poppler-utils",
    "pdftoppm": "poppler-utils",
    "ssh-keygen": "openssh-client",
    "Xvfb": "xvfb",
    "xclip": "xclip",
    "sha256sum": "coreutils",
    "sha512sum": "coreutils",
}
"""Debian packages of the programs that tests may ask for; `.ci/run` installs them."""
PATIENCE = 600
"""Seconds that a program outside is given; a busy machine may need many, a hung one is ended."""
_IMAGEMAGICK = "magick", "convert"


def needs_program(name: str) -> str:
    """The path of a program of `PACKAGES`; where it is not installed the test is skipped, as `missing` says."""
    assert name in PACKAGES
    return shutil.which(name) or missing(f"{name} is not installed (Debian: {PACKAGES[name]})")


def needs_imagemagick() -> str:
    """The path of ImageMagick, which is called `magick` from its version 7 on and `convert` before.

    Other programs have the latter name, on Windows one that converts disks: each is asked what it is.
    """
    for path in filter(None, map(shutil.which, _IMAGEMAGICK)):
        if is_imagemagick(path):
            return path
    return missing(f"ImageMagick is not installed (Debian: {PACKAGES['convert']})")


def is_imagemagick(path: str) -> bool:
    """Whether the program at `path` says of itself that it is ImageMagick."""
    try:
        done = subprocess.run(
            [path, "-version"], stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=PATIENCE
        )
    except OSError:
        return False
    return done.returncode == 0 and b"ImageMagick" in done.stdout


def missing(reason: str) -> NoReturn:
    """Skips the test with the reason; where `CI` is "true", it fails."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


def read_with_exiftool(path: Path, *tags: str) -> dict[str, Any]:
    """What exiftool (Debian: libimage-exiftool-perl) says about a file, raw numbers, by tag name."""
    program = needs_program("exiftool")
    command = [program, "-json", "-n", *(f"-{tag}" for tag in tags), str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=PATIENCE)
    return dict(json.loads(done.stdout)[0])


def write_with_exiftool(path: Path, *arguments: str) -> None:
    """Writes tags into a file with exiftool."""
    program = needs_program("exiftool")
    command = [program, "-q", "-overwrite_original", *arguments, str(path)]
    subprocess.run(command, capture_output=True, check=True, timeout=PATIENCE)


def read_with_imagemagick(path: str, work: Path) -> bytes:
    """The RGBA bytes, 8 bits a channel, that ImageMagick decodes from a file (`name[0]` for a page)."""
    program = needs_imagemagick()
    target = work / "outside.rgba"
    command = [program, path, "-auto-orient", "-alpha", "set", "-depth", "8", f"RGBA:{target}"]
    subprocess.run(command, capture_output=True, check=True, timeout=PATIENCE)
    return target.read_bytes()
