"""Frames: their ratios, pixels, guides of other ratios, safe areas."""

from __future__ import annotations

import re
from dataclasses import dataclass

from assetlib.errors import WrongUsage

WIDTH = 1920
"""Pixels across, unless a frame is asked for by pixels."""

LARGEST_SIDE = 16_000
"""Pixels; a wall-sized print of a board has fewer."""

RATIOS = ("16:9", "1.85:1", "2.39:1", "2:1", "4:3", "1:1", "4:5", "9:16")
"""The shapes that commercials are delivered in: common practice, no source."""

SAFE_ACTION, SAFE_TITLE = 0.93, 0.90
"""Shares of width and height in which action and lettering are safe: SMPTE ST 2046-1 and EBU R 95, from memory."""

Box = tuple[int, int, int, int]

_RATIO = re.compile(r"^(\d{1,4}(?:\.\d{1,4})?)\s*[:/]\s*(\d{1,4}(?:\.\d{1,4})?)$")
_PIXELS = re.compile(r"^(\d{1,5})\s*[x×*]\s*(\d{1,5})$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Frame:
    """A frame in pixels, and the other shapes whose edges are guides on it."""

    width: int
    height: int
    guides: tuple[str, ...] = ()

    @property
    def size(self) -> tuple[int, int]:
        return self.width, self.height


def parse_frame(text: str) -> Frame:
    """The frame that a text asks for: `16:9`, `1920x1080`, or several with the frame first: `16:9, 9:16, 1:1`.

    Raises WrongUsage for what is no frame.
    """
    parts = [
        part
        for part in re.split(r"\s*[,;+]\s*|\s+(?=\d)", re.sub(r"\s*([x×:/])\s*", r"\1", text.strip()))
        if part
    ]
    if not parts:
        raise _no_frame(text)
    width, height = _pixels(parts[0])
    for other in parts[1:]:
        ratio_of(other)
    return Frame(width, height, tuple(parts[1:]))


def ratio_of(text: str) -> float:
    """Width over height of a ratio or size in pixels. Raises WrongUsage."""
    found = _RATIO.match(text) or _PIXELS.match(text)
    if not found or not float(found.group(1)) or not float(found.group(2)):
        raise _no_frame(text)
    return float(found.group(1)) / float(found.group(2))


def _pixels(text: str) -> tuple[int, int]:
    if found := _PIXELS.match(text):
        width, height = int(found.group(1)), int(found.group(2))
    else:
        # an even number of rows, as moving pictures are stored
        width, height = WIDTH, 2 * round(WIDTH / ratio_of(text) / 2)
    if not (1 <= width <= LARGEST_SIDE and 1 <= height <= LARGEST_SIDE):
        raise _no_frame(text)
    return width, height


def _no_frame(text: str) -> WrongUsage:
    return WrongUsage(f"'{text}' is no frame", f"give one of {', '.join(RATIOS)}, or pixels like 1920x1080")


def inner_box(frame: Frame, ratio: float) -> Box:
    """The largest box (x, y, w, h) of another ratio in the middle of a frame."""
    width = min(frame.width, round(frame.height * ratio))
    height = min(frame.height, round(frame.width / ratio))
    return (frame.width - width) // 2, (frame.height - height) // 2, width, height


def safe_box(frame: Frame, share: float) -> Box:
    """The box (x, y, w, h) of a safe area that takes this share of width and height."""
    width, height = round(frame.width * share), round(frame.height * share)
    return (frame.width - width) // 2, (frame.height - height) // 2, width, height
