"""The desktop's clipboard, where there is a desktop."""

from __future__ import annotations

import platform
import subprocess
import sys
from pathlib import Path
from typing import Any

from assetlib.errors import MissingExtra, WrongUsage


def _clipboard() -> Any:
    try:
        import copykitten
    except ImportError:
        raise MissingExtra(
            "the clipboard needs a part that is not installed", "pip install 'assetlib[desktop]'"
        ) from None
    return copykitten


def put_on_clipboard(pixels: Any) -> None:
    """Put a picture, uint8 (H, W, 4), on the clipboard with its transparency. Raises MissingExtra, WrongUsage."""
    clipboard = _clipboard()
    height, width = pixels.shape[:2]
    try:
        clipboard.clear()  # fails without a desktop, while a detached copy is gone before it could say so
    except clipboard.CopykittenError as error:
        raise _no_desktop(_FILE_INSTEAD) from error
    if platform.system() == "Linux":
        _hand_over(pixels.tobytes(), width, height)
        return
    try:
        clipboard.copy_image(pixels.tobytes(), width, height)
    except clipboard.CopykittenError as error:
        raise _no_desktop(_FILE_INSTEAD) from error


_FILE_INSTEAD = "write a file with --to, and take that"
_HANDS_OVER = """import sys, copykitten
copykitten.copy_image(sys.stdin.buffer.read(), int(sys.argv[1]), int(sys.argv[2]), detach=True)"""


def _hand_over(data: bytes, width: int, height: int) -> None:
    """Copy from a process of its own: under X11 and Wayland whoever copied has to stay to hand the picture over.

    It is given none of our outputs, or a pipe behind this command would wait for it.
    """
    done = subprocess.run(
        [sys.executable, "-c", _HANDS_OVER, str(width), str(height)],
        input=data, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False,
    )  # fmt: skip
    if done.returncode:
        raise _no_desktop(_FILE_INSTEAD)


def take_from_clipboard(folder: Path) -> Path:
    """A PNG in `folder` of the picture on the clipboard. Raises MissingExtra, WrongUsage where there is none."""
    from PIL import Image

    clipboard = _clipboard()
    try:
        data, width, height = clipboard.paste_image()
    except clipboard.CopykittenError as error:
        if "never initialized" in str(error):
            raise _no_desktop("save the picture as a file, and bring that in") from error
        raise WrongUsage("there is no picture on the clipboard", "copy one first") from error
    target = folder / "from the clipboard.png"
    Image.frombytes("RGBA", (width, height), data).save(target)
    return target


def _no_desktop(instead: str) -> WrongUsage:
    return WrongUsage("there is no desktop here whose clipboard could be reached", instead)
