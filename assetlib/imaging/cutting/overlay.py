"""The picture that a cut is checked by: the sheet held back, its elements boxed and numbered."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.pages.fixing import PageFix, outline
from assetlib.imaging.pixels import colours, shrink

if TYPE_CHECKING:
    from assetlib.imaging.cutting.sheets import Cut, CutPiece

LONGEST = 1600  # pixels of the overlay's longer side
PAPER = (250, 248, 243)
# Inks that stay apart for colour-blind eyes too (after Okabe and Ito, "Color Universal Design", from memory).
INKS = ((0, 90, 156), (186, 73, 0), (0, 120, 90), (140, 60, 115), (105, 85, 0))
FIX_STRIP = 0.16  # of the overlay's height: the strip that tells what was done to a photograph
HELD_BACK = 0.25  # how far the sheet fades into paper under the boxes


def overlay(rgba: NDArray[np.uint8], cut: Cut) -> Image.Image:
    """The numbered overlay, RGB, at most 1600 px long."""
    height, width = rgba.shape[:2]
    scale = min(1.0, LONGEST / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    sheet = Image.fromarray(shrink(rgba, size), "RGBA")
    page = Image.new("RGBA", size, (*PAPER, 255))
    page.alpha_composite(sheet)
    page = Image.blend(page, Image.new("RGBA", size, (*PAPER, 255)), HELD_BACK)
    wash = Image.new("RGBA", size, (0, 0, 0, 0))
    _draw_boxes(ImageDraw.Draw(wash), cut, scale, size)
    page.alpha_composite(wash)
    return page.convert("RGB")


def with_fix(shown: Image.Image, picture: NDArray[np.uint8], fix: PageFix) -> Image.Image:
    """The overlay with a strip below that tells what was done to the picture, and where its page was found."""
    strip = max(120, round(shown.height * FIX_STRIP))
    page = Image.new("RGB", (shown.width, shown.height + strip), PAPER)
    page.paste(shown, (0, 0))
    scale = min((strip - 16) / picture.shape[0], 0.4 * shown.width / picture.shape[1])
    size = max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale))
    small = Image.fromarray(colours(shrink(picture, size)))
    if fix.corners is not None:
        points = [(float(x) * scale, float(y) * scale) for x, y in outline(fix)[:, 0]]
        ImageDraw.Draw(small).line([*points, points[0]], INKS[1], 3)
    page.paste(small, (8, shown.height + 8))
    text = "\n".join([*fix.words, "as it stood: --as-it-is"])
    font = ImageFont.load_default(max(13, strip // 8))
    at = (size[0] + 24, shown.height + 8)
    ImageDraw.Draw(page).multiline_text(at, text, INKS[0], font, spacing=strip // 20)
    return page


def _draw_boxes(draw: ImageDraw.ImageDraw, cut: Cut, scale: float, size: tuple[int, int]) -> None:
    letter = max(14, round(max(size) / 62))
    font = ImageFont.load_default(letter)
    weight = max(2, round(max(size) / 700))
    for piece in cut.pieces:
        ink = INKS[(piece.order - 1) % len(INKS)]
        x0, y0, x1, y1 = _scaled(piece.box, scale)
        draw.rectangle((x0 - weight, y0 - weight, x1 + weight, y1 + weight), (*ink, 14), (*ink, 255), weight)
        if piece.caption_box is not None:
            cx0, _, cx1, cy1 = _scaled(piece.caption_box, scale)
            draw.line((cx0, cy1 + weight, cx1, cy1 + weight), (*ink, 200), max(1, weight // 2))
    for piece in cut.pieces:
        _draw_number(draw, piece, _scaled(piece.box, scale), font, size)


def _draw_number(
    draw: ImageDraw.ImageDraw,
    piece: CutPiece,
    box: tuple[int, int, int, int],
    font: ImageFont.FreeTypeFont | ImageFont.ImageFont,
    size: tuple[int, int],
) -> None:
    """A round-ended tab that hangs on the box's upper left corner, with the numbers that corrections go by."""
    ink = INKS[(piece.order - 1) % len(INKS)]
    text = "+".join(map(str, piece.numbers)) or str(piece.order)
    left, top, right, bottom = draw.textbbox((0, 0), text, font=font)
    wide, high = round(right - left), round(bottom - top)
    pad = max(4, high // 2)
    tab_w, tab_h = max(wide + 2 * pad, high + 2 * pad), high + 2 * pad
    x = min(max(0, box[0] - tab_w // 3), size[0] - tab_w)
    y = min(max(0, box[1] - tab_h * 2 // 3), size[1] - tab_h)
    draw.rounded_rectangle((x, y, x + tab_w, y + tab_h), tab_h // 2, (*ink, 255), (*PAPER, 255), 2)
    draw.text((x + tab_w / 2, y + tab_h / 2), text, (255, 255, 255, 255), font, anchor="mm")


def _scaled(box: tuple[int, int, int, int], scale: float) -> tuple[int, int, int, int]:
    x, y, w, h = box
    return round(x * scale), round(y * scale), round((x + w) * scale), round((y + h) * scale)
