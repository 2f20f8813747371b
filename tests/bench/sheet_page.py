"""The page that a made sheet is drawn on: it keeps whose every pixel is."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tests.bench.sheet_drawings import Picture, fit, line_version, pen_drawing, pick_clip_art, pick_parted

FONTS = [
    *sorted(Path("/usr/share/fonts/truetype/dejavu").glob("*.ttf")),
    *sorted(Path("/usr/share/fonts/opentype/urw-base35").glob("[NCPUZ]*.otf")),
]
WORDS = [
    "van front",
    "baker seated",
    "loaf",
    "ferry ramp",
    "commuter, low angle",
    "hand on wheel",
    "driver 3/4",
    "dawn street",
    "crate",
    "oven door",
    "cup",
    "bicycle",
    "gull",
    "queue at the pier",
    "umbrella",
    "shop sign",
    "tray of rolls",
    "flour sack",
    "left hand",
    "running woman",
    "bench",
    "railing",
    "ticket",
    "lamp post",
    "side door open",
    "wave",
    "old man waving",
    "dog",
    "apron",
    "basket, full",
]


@dataclass
class MadeSheet:
    """A page, straight alpha, with the boxes x, y, w, h of its drawings in no order."""

    kind: str
    rgba: Picture
    boxes: list[tuple[int, int, int, int]]
    ids: Picture  # (H, W): 0 paper, 1.. drawings, 255 lettering and furniture


@dataclass
class Page:
    """A page being drawn: `ids` holds 1.. per drawing and 255 for captions and furniture."""

    width: int
    height: int
    paper: tuple[int, int, int]
    rng: np.random.Generator
    half: str
    rgb: Picture = field(init=False)
    ids: Picture = field(init=False)
    count: int = 0
    letter: int = 20
    font: Path = FONTS[0]

    def __post_init__(self) -> None:
        self.rgb = np.full((self.height, self.width, 3), self.paper, np.uint8)
        self.ids = np.zeros((self.height, self.width), np.uint8)
        self.letter = max(9, round(self.width * self.rng.uniform(0.009, 0.02)))
        self.font = FONTS[self.rng.integers(len(FONTS))]

    def put(self, drawing: Picture, x: float, y: float, number: int = 0) -> None:
        """Lay a drawing down, its top left at x, y; `number` 0 counts it as the next element."""
        if not number:
            self.count += 1
            number = self.count
        x0, y0 = max(0, round(x)), max(0, round(y))
        part = drawing[: self.height - y0, : self.width - x0]
        h, w = part.shape[:2]
        alpha = part[..., 3:].astype(np.float32) / 255
        under = self.rgb[y0 : y0 + h, x0 : x0 + w]
        mixed = part[..., :3] * alpha + under * (1 - alpha)
        shows = (np.abs(mixed - np.float32(self.paper)).max(axis=2) > 24) & (part[..., 3] > 12)
        under[:] = np.round(mixed).astype(np.uint8)
        self.ids[y0 : y0 + h, x0 : x0 + w][shows] = number

    def write(self, text: str, x: float, y: float, size: int = 0, centred: bool = True) -> None:
        """Letter a caption at x (its middle when centred), top at y."""
        font = ImageFont.truetype(str(self.font), size or self.letter)
        left, top, right, bottom = ImageDraw.Draw(Image.new("L", (1, 1))).textbbox((0, 0), text, font=font)
        image = Image.new("L", (int(right - left) + 4, int(bottom - top) + 4))
        ImageDraw.Draw(image).text((2 - left, 2 - top), text, fill=255, font=font, align="center")
        ink = np.zeros((image.height, image.width, 4), np.uint8)
        ink[..., 3] = np.asarray(image)
        ink[..., :3] = 255 - np.uint8(self.paper) if sum(self.paper) < 200 else 25
        x = x - image.width / 2 if centred else x
        self.put(ink, min(max(x, 2), self.width - image.width - 2), y, 255)

    def finish(self, kind: str) -> MadeSheet:
        """The made sheet, boxes read from `ids`."""
        boxes = []
        for number in range(1, self.count + 1):
            x, y, w, h = cv2.boundingRect((self.ids == number).astype(np.uint8))
            if w:
                boxes.append((x, y, w, h))
        opaque = np.full((*self.rgb.shape[:2], 1), 255, np.uint8)
        return MadeSheet(kind, np.concatenate([self.rgb, opaque], axis=2), boxes, self.ids)


def drawing_for(page: Page, style: str, width: float, height: float, look: dict[str, float]) -> Picture:
    """A drawing of one style, fitted into width x height."""
    rng = page.rng
    if style == "line" and rng.random() < 0.3:
        return fit(pen_drawing(rng, parted=rng.random() < 0.5), width, height)
    if style == "parted":
        return fit(pick_parted(rng, page.half), width, height)
    drawing = fit(pick_clip_art(rng, page.half), width, height)
    if style == "line":
        room = 2 * (math.ceil(look["weight"]) + 3)
        drawing = fit(drawing, width - room, height - room)
        return line_version(drawing, look["weight"], (20, 20, 20), look["breaks"], rng)
    return drawing
