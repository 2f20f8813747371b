"""How drawings stand on made sheets: in grids, strewn, in close rows, with or without captions."""

from __future__ import annotations

import math

import cv2
import numpy as np

from tests.bench.sheet_drawings import Picture
from tests.bench.sheet_page import WORDS, Page, drawing_for

Slot = tuple[float, float, float, float]


def grid_slots(page: Page, caption_room: float, least_gutter: float = 0.0) -> list[Slot]:
    """Cells of a grid in which drawings stand, margins and caption room taken off."""
    rng = page.rng
    rows, cols = int(rng.integers(1, 6)), int(rng.integers(2, 7))
    margin = rng.uniform(0.02, 0.08) * page.width
    gutter = max(least_gutter * page.width, rng.uniform(0.01, 0.06) * page.width / cols)
    width = (page.width - 2 * margin - gutter * (cols - 1)) / cols
    height = (page.height - 2 * margin - (gutter + caption_room) * rows) / rows
    last = int(rng.integers(1, cols + 1)) if rng.random() < 0.3 and rows > 1 else cols
    return [
        (margin + c * (width + gutter), margin + r * (height + gutter + caption_room), width, height)
        for r in range(rows)
        for c in range(cols if r < rows - 1 else last)
    ]


def caption_of(page: Page, number: int, style: int) -> str:
    """A caption's words: plain, in capitals, numbered, the number alone, or two lines."""
    word = WORDS[page.rng.integers(len(WORDS))]
    more = WORDS[page.rng.integers(len(WORDS))]
    return [word, word.upper(), f"{number}. {word}", f"{number:02d}", f"{word}\n{more}"][style]


def put_captioned(
    page: Page, slots: list[Slot], style: str, look: dict[str, float], captions: bool, fill: float
) -> None:
    """Draw one drawing into each slot, and its caption where the sheet's habit puts it."""
    rng = page.rng
    where = rng.choice(["below", "below", "below", "above", "slot", "beside", "ringed", "right"])
    wording, away = int(rng.integers(5)), page.letter * rng.uniform(0.4, 1.2)
    for number, (x, y, w, h) in enumerate(slots, 1):
        share = rng.uniform(fill, 1)
        drawing = drawing_for(page, style, w * share, h * share, look)
        dh, dw = drawing.shape[:2]
        left, top = x + (w - dw) * rng.uniform(0.2, 0.8), y + (h - dh) * rng.uniform(0.2, 0.8)
        text = caption_of(page, number, wording)
        if captions and where == "above":
            page.write(text.replace("\n", " "), left + dw / 2, top)
            top += page.letter * 1.1 + away
        page.put(drawing, left, top)
        if captions and where == "below":
            page.write(text, left + dw / 2, top + dh + away)
        elif captions and where == "slot":
            page.write(text, x + w / 2, y + h + away)
        elif captions and where == "beside":
            page.write(f"{number}", max(4, left - page.letter * 1.4), top, centred=False)
        elif captions and where == "right":
            page.write(
                f"{number:02d}",
                left + dw + page.letter * 0.7,
                top + dh * rng.uniform(0.2, 0.7),
                centred=False,
            )
        elif captions and where == "ringed":
            ring_number(page, number, max(4.0, left - page.letter * 2.2), top)


def ring_number(page: Page, number: int, x: float, y: float) -> None:
    """A number in a ring, its ring's top left at x, y."""
    r = round(page.letter * 0.95)
    at = (round(x) + r, round(y) + r)
    for canvas, colour in ((page.rgb, (25, 25, 25)), (page.ids, (255,))):
        cv2.circle(
            canvas,
            at,
            r,
            colour,
            max(1, page.letter // 12),
            cv2.LINE_AA if canvas is page.rgb else cv2.LINE_8,
        )
    page.write(str(number), at[0], at[1] - page.letter * 0.38)


def scatter_slots(page: Page, captions: bool, spread: tuple[float, float], apart: float) -> list[Slot]:
    """Boxes strewn over the page, at least `apart` px between them."""
    rng, slots = page.rng, []
    room = page.letter * 3.4 if captions else 0
    for _ in range(int(rng.integers(40, 350))):
        side = page.width * rng.uniform(*spread)
        w, h = side * rng.uniform(0.6, 1.2), side * rng.uniform(0.6, 1.2)
        if w > min(page.width * 0.9, page.width - room - 20):
            continue
        if h + room > min(page.height * 0.9, page.height - room - 20):
            continue
        x, y = (
            rng.uniform(10 + room, page.width - w - 10),
            rng.uniform(10 + room, page.height - h - room - 10),
        )
        gap = apart + (page.letter * 2 if captions else 0)
        if all(
            x + w + gap < a or a + c + gap < x or y + h + room + apart < b or b + d + room + apart < y
            for a, b, c, d in slots
        ):
            slots.append((x, y, w, h))
    return slots[:30]


def touching(
    page: Page,
    style: str,
    look: dict[str, float],
    narrow: tuple[float, float] = (0.002, 0.009),
    slid: float = 0.5,
) -> None:
    """Rows of drawings with a hair between them, or drawings slid together until a hair is left."""
    rng = page.rng
    hair = max(3.0, page.width * rng.uniform(*narrow))
    row_height = (page.height - 8 * hair) / rng.integers(1, 7) - hair
    y = hair * 4
    while y + row_height < page.height:
        x, tallest = hair * 4, 0
        while x < page.width * 0.93:
            drawing = drawing_for(
                page, style, row_height * rng.uniform(0.6, 1.6), row_height * rng.uniform(0.7, 1), look
            )
            dh, dw = drawing.shape[:2]
            if x + dw + 4 > page.width or page.count > 40:
                break
            top = y + rng.uniform(0, max(1.0, row_height - dh))
            left = _room_for(page, drawing, x, top, hair, rng.random() < slid)
            if left is None:
                break
            page.put(drawing, left, top)
            x, tallest = left + dw + hair, max(tallest, dh)
        y += row_height + hair


def _room_for(page: Page, drawing: Picture, x: float, y: float, hair: float, slide: bool) -> float | None:
    """Where the drawing goes at or right of x with `hair` px of paper around it; with `slide` as far left as it can."""
    reach = math.ceil(hair)
    padded = cv2.copyMakeBorder(drawing[..., 3], reach, reach, reach, reach, cv2.BORDER_CONSTANT, value=0)
    ring = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    shape = cv2.dilate((padded > 8).astype(np.uint8), ring)
    top = round(y) - reach
    cut_above = max(0, -top)
    strip = page.ids[max(0, top) : top + shape.shape[0]]
    shape = shape[cut_above : cut_above + strip.shape[0]]

    def free(left: int) -> bool:
        under = strip[:, max(0, left - reach) : left - reach + shape.shape[1]]
        return not (under * shape[:, max(0, reach - left) :][:, : under.shape[1]]).any()

    at = round(x)
    while not free(at):
        at += 4
        if at + drawing.shape[1] + 4 > page.width:
            return None
    least = max(reach + 1, round(x) - drawing.shape[1] // 3)
    while slide and at - 2 > least and free(at - 2):
        at -= 2
    return float(at)
