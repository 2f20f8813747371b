"""What layered kinds of file have in common: paths, boxes, and telling paper from drawing."""

from __future__ import annotations

import numpy as np
from PIL import Image

Box = tuple[int, int, int, int]

NOWHERE: Box = (0, 0, 0, 0)
SEPARATOR = "/"
PAPER_SPREAD = 6.0  # grey levels of standard deviation under which a full layer is bare paper


def plain_name(name: str) -> str:
    """A layer's name without the control characters that some programs leave in it."""
    return "".join(letter for letter in name if letter.isprintable()).strip()


def path_of(above: str, name: str, taken: set[str]) -> str:
    """The path of a layer under `above`, told apart by a number from one of the same name beside it."""
    plain = name.replace(SEPARATOR, "\u2215")
    path, number = plain, 2
    while path in taken:
        path, number = f"{plain} ({number})", number + 1
    taken.add(path)
    return f"{above}{SEPARATOR}{path}" if above else path


def inside(corners: Box, size: tuple[int, int]) -> Box:
    """Left, top, right, bottom as x, y, width, height, with what lies outside the canvas cut off."""
    left, top = max(0, min(corners[0], size[0])), max(0, min(corners[1], size[1]))
    right, bottom = max(left, min(corners[2], size[0])), max(top, min(corners[3], size[1]))
    return left, top, right - left, bottom - top


def around(boxes: list[Box]) -> Box:
    """The corners around all these corners, left, top, right, bottom; `NOWHERE` for none."""
    if not boxes:
        return NOWHERE
    left, top, right, bottom = zip(*boxes, strict=True)
    return min(left), min(top), max(right), max(bottom)


def is_paper(picture: Image.Image) -> bool:
    """Whether a layer on the whole canvas (RGBA) is opaque everywhere and of one tone."""
    small = np.asarray(picture.resize((64, 64), Image.Resampling.BOX), np.float32)
    return bool(small[..., 3].min() > 250 and small[..., :3].std(axis=(0, 1)).max() < PAPER_SPREAD)
