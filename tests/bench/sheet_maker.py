"""Made sheets whose right cutting is known: ten kinds, and a few that only a studio has."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tests.bench.sheet_drawings import Picture, fit, line_version, pen_drawing, pick_clip_art, pick_parted
from tests.bench.sheet_finish import scan_page

Slot = tuple[float, float, float, float]
KINDS = (
    "frames", "grid+captions", "grid", "multi-part", "scan", "line art",
    "scatter+captions", "scatter", "scan+line+captions", "nearly touching",
)  # fmt: skip
EXTRA = ("panels", "transparent", "dark", "furniture", "small and large", "single")
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
            page.write(text, left + dw + page.letter * 0.7, top + dh * rng.uniform(0.2, 0.7), centred=False)
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
        if w > page.width * 0.9 or h + room > page.height * 0.9:
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


def frames(page: Page, captions: bool) -> None:
    """Ruled frames with a drawing inside each, one frame shape for the sheet."""
    rng = page.rng
    weight = max(1, round(page.width * rng.uniform(0.0008, 0.004)))
    ink = int(rng.integers(0, 110))
    slots = grid_slots(page, page.letter * 2.4 if captions else 0)
    inset = max(weight * 3, min(slots[0][2:]) * rng.uniform(0.04, 0.12))
    for number, (x, y, w, h) in enumerate(slots, 1):
        cv2.rectangle(page.rgb, (round(x), round(y)), (round(x + w), round(y + h)), (ink,) * 3, weight)
        share = rng.uniform(0.6, 1)
        drawing = drawing_for(
            page, rng.choice(["colour", "line"]), (w - 2 * inset) * share, (h - 2 * inset) * share, LOOK
        )
        dh, dw = drawing.shape[:2]
        page.put(drawing, x + (w - dw) / 2, y + (h - dh) / 2)
        if captions:
            page.write(caption_of(page, number, 2), x + w / 2, y + h + page.letter * 0.5)


def panels(page: Page, captions: bool) -> None:
    """A finished board page: panels filled by their art to the edge, white gutters."""
    rng = page.rng
    weight = int(rng.integers(0, 6))
    for x, y, w, h in grid_slots(page, page.letter * 3 if captions else 0, 0.008):
        panel = np.full((max(20, round(h)), max(20, round(w)), 4), 255, np.uint8)
        low, high = rng.integers(40, 235, (2, 3))
        panel[..., :3] = np.linspace(low, high, panel.shape[0])[:, None]
        panel[: round(panel.shape[0] * rng.uniform(0.2, 0.6)), :, :3] = rng.integers(150, 245)
        small = Page(panel.shape[1], panel.shape[0], (0, 0, 0), rng, page.half)
        small.rgb = np.ascontiguousarray(panel[..., :3])
        for _ in range(rng.integers(1, 4)):
            drawing = drawing_for(page, "colour", w * rng.uniform(0.2, 0.7), h * rng.uniform(0.3, 0.9), LOOK)
            small.put(drawing, rng.uniform(0, w * 0.6), rng.uniform(0, h * 0.5))
        panel[..., :3] = small.rgb
        if weight:
            cv2.rectangle(panel, (0, 0), (panel.shape[1] - 1, panel.shape[0] - 1), (10, 10, 10, 255), weight)
        page.put(panel, x, y)
        if captions:
            page.write(WORDS[rng.integers(len(WORDS))], x, y + h + page.letter * 0.6, centred=False)


def furniture(page: Page) -> None:
    """What a sheet carries besides drawings: title, page number, punch holes, a ruled margin."""
    rng = page.rng
    if rng.random() < 0.6:
        page.write(
            f"Sheet {rng.integers(1, 40)} - " + WORDS[rng.integers(len(WORDS))],
            page.width / 2,
            8,
            page.letter * 2,
        )
    if rng.random() < 0.6:
        page.write(
            str(rng.integers(1, 90)), page.width * rng.choice([0.5, 0.95]), page.height - page.letter * 1.6
        )
    if rng.random() < 0.5:
        for share in (0.3, 0.7):
            at = (round(page.width * 0.018), round(page.height * share))
            for canvas, colour in ((page.rgb, (70, 70, 70)), (page.ids, (255,))):
                cv2.circle(canvas, at, max(5, page.width // 120), colour, -1)
    if rng.random() < 0.4:
        x = round(page.width * 0.035)
        for canvas, colour in ((page.rgb, (200, 90, 90)), (page.ids, (255,))):
            cv2.line(canvas, (x, 0), (x, page.height), colour, max(1, page.width // 900))


LOOK = {"weight": 3.0, "breaks": 0.0}
PAPERS = (
    (255, 255, 255),
    (255, 255, 255),
    (252, 250, 244),
    (247, 243, 232),
    (240, 238, 235),
    (236, 230, 214),
)


def make_sheet(kind: str, seed: int, half: str = "tune", largest: int = 3200) -> MadeSheet:
    """The sheet of one kind and seed: the same pixels every time."""
    rng = np.random.default_rng([seed, (KINDS + EXTRA).index(kind), half == "tune"])
    width = round(math.exp(rng.uniform(math.log(1200), math.log(largest))))
    height = round(width * rng.choice([0.7071, 0.75, 1.0, 1.294, 1.414]))
    paper = PAPERS[rng.integers(len(PAPERS))] if "scan" in kind or rng.random() < 0.3 else (255, 255, 255)
    page = Page(width, height, (0, 0, 0) if kind == "dark" else paper, rng, half)
    look = {"weight": max(1.5, width * rng.uniform(0.0007, 0.003)), "breaks": rng.choice([0, 0.12, 0.22])}
    _DRAW[kind](page, look)
    made = page.finish(kind)
    if "scan" in kind:
        made = MadeSheet(kind, *scan_page(made.rgba, page.ids, page.count, rng))
    if kind == "transparent":
        made.rgba[..., 3] = np.where(page.ids > 0, 255, 0)
    return made


def _grid(page: Page, look: dict[str, float], style: str = "colour", captions: bool = False) -> None:
    room = page.letter * 3.4 if captions else 0
    put_captioned(page, grid_slots(page, room), style, look, captions, page.rng.uniform(0.5, 0.9))


def _scatter(page: Page, look: dict[str, float], style: str = "colour", captions: bool = False) -> None:
    rng = page.rng
    least = rng.uniform(0.06, 0.2)
    apart = max(6.0, page.width * rng.uniform(0.008, 0.03))
    slots = scatter_slots(page, captions, (least, least * rng.uniform(1.2, 3)), apart)
    put_captioned(page, slots, style, look, captions, 1.0)


def _either(page: Page, look: dict[str, float], style: str = "colour", captions: bool = False) -> None:
    drawn = page.rng.random()
    if drawn < 0.2 and not captions:
        touching(page, style, look, (0.012, 0.045), 0.2)
    elif drawn < 0.6:
        _grid(page, look, style, captions)
    else:
        _scatter(page, look, style, captions)


def _multi_part(page: Page, look: dict[str, float]) -> None:
    _either(page, look, "parted")


def _furniture(page: Page, look: dict[str, float]) -> None:
    inner = Page(round(page.width * 0.9), round(page.height * 0.88), page.paper, page.rng, page.half)
    inner.letter, inner.font = page.letter, page.font
    _either(inner, look, page.rng.choice(["colour", "line"]), page.rng.random() < 0.5)
    x, y = round(page.width * 0.06), round(page.height * 0.06)
    page.rgb[y : y + inner.height, x : x + inner.width] = inner.rgb
    page.ids[y : y + inner.height, x : x + inner.width] = inner.ids
    page.count = inner.count
    furniture(page)


def _single(page: Page, look: dict[str, float]) -> None:
    """One drawing on a page or cropped close, or one scene of drawings that overlap."""
    rng = page.rng
    style = rng.choice(["colour", "colour", "line", "parted"])
    side = min(page.width, page.height) * rng.uniform(0.3, 0.95)
    drawing = drawing_for(page, style, side, side, look)
    left, top = (page.width - drawing.shape[1]) / 2, (page.height - drawing.shape[0]) / 2
    page.put(drawing, left, top)
    for _ in range(rng.integers(1, 4) if rng.random() < 0.3 else 0):
        more = drawing_for(page, style, side * rng.uniform(0.2, 0.6), side * rng.uniform(0.2, 0.6), look)
        page.put(
            more,
            left + rng.uniform(0, 0.6) * drawing.shape[1],
            top + rng.uniform(0, 0.6) * drawing.shape[0],
            1,
        )
    if rng.random() < 0.6:
        x, y, w, h = cv2.boundingRect((page.ids > 0).astype(np.uint8))
        rim = round(max(w, h) * rng.uniform(0, 0.06))
        window = np.s_[max(0, y - rim) : y + h + rim, max(0, x - rim) : x + w + rim]
        page.rgb, page.ids = np.ascontiguousarray(page.rgb[window]), np.ascontiguousarray(page.ids[window])
        page.height, page.width = page.ids.shape


_DRAW: dict[str, Callable[[Page, dict[str, float]], None]] = {
    "frames": lambda page, look: frames(page, page.rng.random() < 0.4),
    "grid+captions": lambda page, look: _grid(page, look, page.rng.choice(["colour", "line"]), True),
    "grid": _grid,
    "multi-part": _multi_part,
    "scan": lambda page, look: _either(page, look, page.rng.choice(["colour", "line"])),
    "line art": lambda page, look: _either(page, look, "line"),
    "scatter+captions": lambda page, look: _scatter(page, look, page.rng.choice(["colour", "line"]), True),
    "scatter": _scatter,
    "scan+line+captions": lambda page, look: _either(page, look, "line", True),
    "nearly touching": lambda page, look: touching(page, page.rng.choice(["colour", "colour", "line"]), look),
    "panels": lambda page, look: panels(page, page.rng.random() < 0.5),
    "transparent": _either,
    "dark": lambda page, look: _either(page, look, "colour", page.rng.random() < 0.3),
    "furniture": _furniture,
    "small and large": lambda page, look: put_captioned(
        page,
        scatter_slots(page, False, (0.04, 0.45), page.width * 0.02),
        page.rng.choice(["colour", "line"]),
        look,
        False,
        1.0,
    ),
    "single": _single,
}
