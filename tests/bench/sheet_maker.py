"""Made sheets whose right cutting is known: ten kinds, and a few that only a studio has."""

from __future__ import annotations

import math
from collections.abc import Callable

import cv2
import numpy as np

from tests.bench.sheet_finish import scan_page
from tests.bench.sheet_layouts import caption_of, grid_slots, put_captioned, scatter_slots, touching
from tests.bench.sheet_page import WORDS, MadeSheet, Page, drawing_for

KINDS = (
    "frames", "grid+captions", "grid", "multi-part", "scan", "line art",
    "scatter+captions", "scatter", "scan+line+captions", "nearly touching",
)  # fmt: skip
EXTRA = ("panels", "transparent", "dark", "furniture", "small and large", "single")


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
