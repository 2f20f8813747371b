"""Rulers along the rim of a picture, so that a place on it can be named by its pixels."""

from __future__ import annotations

from PIL import Image, ImageDraw, ImageFont

PAPER, TICK, FIGURE = (250, 248, 243), (188, 183, 172), (122, 117, 107)
LETTER_SHARE, SMALLEST_LETTER = 1 / 90, 10  # of the longer side, and pixels: below it figures cannot be read
APART = 2.6  # widths of the widest figure from one to the next, at least: closer they read as one line
PARTS = {1: 5, 2: 4, 5: 5}
"""Into how many parts the small ticks divide the way between figures, by the first digit of that way."""


def with_rulers(picture: Image.Image) -> Image.Image:
    """An RGB picture, pixel for pixel, with a ruler above it and one to its left that count its pixels from 0."""
    width, height = picture.size
    letter = max(SMALLEST_LETTER, round(max(width, height) * LETTER_SHARE))
    font = ImageFont.load_default(letter)
    widest = round(font.getlength(str(max(width, height))))
    step = _step(APART * widest)
    long, short, gap = max(5, letter // 2), max(2, letter // 4), max(2, letter // 4)
    left, top = widest + long + 2 * gap, letter + long + 2 * gap
    page = Image.new("RGB", (left + width + widest // 2 + gap, top + height + letter // 2 + gap), PAPER)
    page.paste(picture, (left, top))
    pen = ImageDraw.Draw(page)
    weight = max(1, letter // 12)
    small = max(1, step // PARTS[int(str(step)[0])])
    for at in range(0, max(width, height), small):
        reach, figure = (long, str(at)) if at % step == 0 else (short, "")
        if at < width:
            pen.line((left + at, top - reach, left + at, top - 1), TICK, weight)
            pen.text((left + at, top - long - gap), figure, FIGURE, font, anchor="ms")
        if at < height:
            pen.line((left - reach, top + at, left - 1, top + at), TICK, weight)
            pen.text((left - long - gap, top + at), figure if at else "", FIGURE, font, anchor="rm")
    return page


def _step(least: float) -> int:
    """The smallest of 10, 20, 50, 100, 200 … that is not below `least`."""
    power = 10
    while True:
        for digit in PARTS:
            if digit * power >= least:
                return digit * power
        power *= 10
