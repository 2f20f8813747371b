"""Programs outside the project that check our results, and what to do without them."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest


def needs_program(*names: str) -> str:
    """The path of the first of these programs that is installed.

    Without one the test is skipped with the reason; where `CI` is "true", it fails.
    """
    for name in names:
        found = shutil.which(name)
        if found:
            return found
    reason = f"{' or '.join(names)} is not installed"
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


def read_with_exiftool(path: Path, *tags: str) -> dict[str, Any]:
    """What exiftool (Debian: libimage-exiftool-perl) says about a file, raw numbers, by tag name."""
    program = needs_program("exiftool")
    command = [program, "-json", "-n", *(f"-{tag}" for tag in tags), str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    return dict(json.loads(done.stdout)[0])


def write_with_exiftool(path: Path, *arguments: str) -> None:
    """Writes tags into a file with exiftool."""
    program = needs_program("exiftool")
    command = [program, "-q", "-overwrite_original", *arguments, str(path)]
    subprocess.run(command, capture_output=True, check=True, timeout=60)


def read_with_imagemagick(path: str, work: Path) -> bytes:
    """The RGBA bytes, 8 bits a channel, that ImageMagick decodes from a file (`name[0]` for a page)."""
    program = needs_program("magick", "convert")
    target = work / "outside.rgba"
    command = [program, path, "-auto-orient", "-alpha", "set", "-depth", "8", f"RGBA:{target}"]
    subprocess.run(command, capture_output=True, check=True, timeout=60)
    return target.read_bytes()
