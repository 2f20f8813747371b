"""A page that several commands are tried on."""

from __future__ import annotations

from PIL import Image, ImageDraw


def three_shapes() -> Image.Image:
    """A ring, a triangle and a box in line, side by side on white: three drawings, 900 x 420."""
    page = Image.new("L", (900, 420), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((60, 90, 260, 330), outline=0, width=6)
    pen.polygon([(360, 330), (460, 90), (560, 330)], outline=0, width=6)
    pen.rectangle((660, 90, 840, 330), outline=0, width=6)
    return page
