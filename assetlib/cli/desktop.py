"""The desktop's clipboard, where there is a desktop."""

from __future__ import annotations

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
    try:
        clipboard.copy_image(pixels.tobytes(), pixels.shape[1], pixels.shape[0])
    except clipboard.CopykittenError as error:
        raise _no_desktop(error) from error


def take_from_clipboard(folder: Path) -> Path:
    """A PNG in `folder` of the picture on the clipboard. Raises MissingExtra, WrongUsage where there is none."""
    from PIL import Image

    clipboard = _clipboard()
    try:
        data, width, height = clipboard.paste_image()
    except clipboard.CopykittenError as error:
        if "content is not available" in str(error):
            raise WrongUsage("there is no picture on the clipboard", "copy one first") from error
        raise _no_desktop(error) from error
    target = folder / "from the clipboard.png"
    Image.frombytes("RGBA", (width, height), data).save(target)
    return target


def _no_desktop(error: Exception) -> WrongUsage:
    return WrongUsage(f"no clipboard can be reached here ({error})", "write a file with --to, and copy that")
