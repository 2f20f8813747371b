"""Made pages whose every mark is known, to train the judge of marks: drawing, print, soil, specks, what is no page.

Made apart from `page_papers` and `page_photos`, which the judge is measured on: other layouts, other soil, other light.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.light import even_light
from tests.bench.mark_papers import dark_page, light_page, without_print
from tests.bench.mark_rims import lay_off_page
from tests.bench.mark_sheet import HEIGHT, INK, UNDER, UNSURE, WIDTH, Floats, Labels, Rng, Sheet, noise
from tests.bench.mark_soil import lay_specks
from tests.bench.sheet_drawings import fit, line_version, pen_drawing

EMPTY = 0.04  # share of pages that nothing is drawn on
DRAWN, BARELY = 0.09, 0.03  # share of light taken away by what is drawn for sure, and by what may be
WORDS = (
    "man",
    "walking 3/4",
    "van",
    "no. 7",
    "hand w. cup",
    "ferry",
    "baker",
    "front",
    "from behind",
    "12b",
    "tray",
)


def make_marked(
    rng: Rng, read: Callable[[int], NDArray[np.uint8]], count: int
) -> tuple[NDArray[np.uint8], Labels]:
    """A page uint8 (H, W, 3) and what its pixels are, uint8 (H, W); `read` gives one of `count` drawings, RGBA."""
    sheet = Sheet(rng)
    if rng.random() > EMPTY:
        _draw(sheet, read, count)
    dark = rng.random() < 0.14
    _as_medium(sheet, dark)
    taken = (1 - sheet.ink).max(axis=2)
    ink, barely = taken > DRAWN, taken > BARELY
    levels = dark_page(sheet) if dark else light_page(sheet)
    sheet.label[barely & ~ink] = UNSURE
    sheet.label[ink] = INK
    levels = lay_off_page(sheet, lay_specks(sheet, levels))
    rgb = _taken(_lit(levels, rng), rng)
    if not dark and rng.random() < 0.55:
        rgb = even_light(rgb)
    return without_print(sheet, rgb), sheet.label


def _taken(levels: Floats, rng: Rng) -> NDArray[np.uint8]:
    """What a camera or a scanner makes of it: soft, grainy, sharpened, coded."""
    levels = cv2.GaussianBlur(levels, (0, 0), rng.uniform(0.3, 0.95))
    spread = rng.uniform(0.002, 0.018) if rng.random() < 0.8 else rng.uniform(0.015, 0.035)
    grain = rng.normal(0, 1, (HEIGHT, WIDTH, 1 if rng.random() < 0.5 else 3)).astype(np.float32)
    if rng.random() < 0.4:
        grain = cv2.GaussianBlur(grain, (0, 0), rng.uniform(0.4, 1.1)).reshape(HEIGHT, WIDTH, -1)
    levels = levels + grain * (spread / grain.std())
    if rng.random() < 0.4:
        levels = levels + rng.uniform(0.2, 0.9) * (
            levels - cv2.GaussianBlur(levels, (0, 0), rng.uniform(0.8, 1.8))
        )
    rgb = np.clip(np.rint(levels * 255), 0, 255).astype(np.uint8)
    code = [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(50, 97))]
    return np.ascontiguousarray(cv2.imdecode(cv2.imencode(".jpg", rgb[..., ::-1], code)[1], 1)[..., ::-1])


def _draw(sheet: Sheet, read: Callable[[int], NDArray[np.uint8]], count: int) -> None:
    rng = sheet.rng
    way = rng.random()
    if way < 0.2:  # one drawing
        side = rng.uniform(0.3, 1.0) * HEIGHT
        one = _one(rng, read, count, side * 1.2, side)
        sheet.put(
            one, rng.uniform(0, max(1, WIDTH - one.shape[1])), rng.uniform(0, max(1, HEIGHT - one.shape[0]))
        )
        return
    rows = int(rng.integers(1, 7))
    columns = int(rng.integers(2, 9))
    margin = rng.uniform(0.03, 0.16) * HEIGHT
    cell = (WIDTH - 2 * margin) / columns, (HEIGHT - 2 * margin) / rows
    framed, lettered = rng.random() < 0.12, rng.random() < 0.3
    style = rng.random()
    weight = rng.uniform(1.0, 4.0)
    for k in range(rows * columns):
        if rng.random() < 0.12:
            continue
        x, y = margin + (k % columns) * cell[0], margin + (k // columns) * cell[1]
        share = rng.uniform(0.4, 0.92)
        one = _one(
            rng, read, count, cell[0] * share, cell[1] * share * (0.8 if lettered else 1), style, weight
        )
        free = cell[0] - one.shape[1], cell[1] * (0.8 if lettered else 1) - one.shape[0]
        sheet.put(one, x + max(0, free[0]) * rng.random(), y + max(0, free[1]) * rng.random())
        if lettered and rng.random() < 0.9:
            _letter(sheet, x + cell[0] * 0.1, y + cell[1] * 0.93)
        if framed:
            _frame(sheet, x, y, cell, weight)
    if rng.random() < 0.25:
        _letter(
            sheet, rng.uniform(0.05, 0.6) * WIDTH, rng.uniform(0.03, 0.99) * HEIGHT, rng.uniform(0.6, 1.4)
        )


def _frame(sheet: Sheet, x: float, y: float, cell: tuple[float, float], weight: float) -> None:
    ruled = np.ones((HEIGHT, WIDTH), np.float32)
    low = (round(x + 0.02 * cell[0]), round(y + 0.02 * cell[1]))
    high = (round(x + 0.98 * cell[0]), round(y + 0.96 * cell[1]))
    cv2.rectangle(ruled, low, high, 0.1, max(1, round(weight)), cv2.LINE_AA)
    sheet.ink *= ruled[..., None]


def _letter(sheet: Sheet, x: float, y: float, size: float | None = None) -> None:
    rng = sheet.rng
    said = " ".join(rng.choice(WORDS, int(rng.integers(1, 3))))
    laid = np.full((HEIGHT, WIDTH), 255, np.uint8)
    font = [cv2.FONT_HERSHEY_SIMPLEX, cv2.FONT_HERSHEY_SCRIPT_SIMPLEX, cv2.FONT_HERSHEY_DUPLEX][
        rng.integers(3)
    ]
    scale = size if size is not None else rng.uniform(0.3, 0.7)
    cv2.putText(laid, said, (round(x), round(y)), font, scale, 40, int(rng.integers(1, 3)), cv2.LINE_AA)
    sheet.ink *= laid[..., None].astype(np.float32) / 255


def _one(
    rng: Rng, read: Callable[[int], NDArray[np.uint8]], count: int, width: float, height: float,
    style: float | None = None, weight: float = 2.0,
) -> NDArray[np.uint8]:  # fmt: skip
    """A drawing within a width and height: clip art, its line version, or strokes of a pen."""
    style = rng.random() if style is None or rng.random() < 0.2 else style
    kind = rng.random()
    if kind < 0.15:
        return fit(_marks(rng), max(12, width), max(12, height))
    if kind < 0.35:
        one = pen_drawing(rng, rng.random() < 0.6)
    else:
        one = read(int(rng.integers(count)))
        if style < 0.65:
            small = fit(one, max(12, width), max(12, height))
            breaks = float(rng.choice([0, 0, 0.15, 0.3]))
            lines = line_version(small, max(1.0, weight * rng.uniform(0.6, 1.3)), (0, 0, 0), breaks, rng)
            return _hatched(lines, rng) if rng.random() < 0.2 else lines
    return fit(one, max(12, width), max(12, height))


def _hatched(lines: NDArray[np.uint8], rng: Rng) -> NDArray[np.uint8]:
    """A line drawing shaded in one or two patches by strokes beside each other, as a hand does it."""
    height, width = lines.shape[:2]
    alpha = np.ascontiguousarray(lines[..., 3])
    for _ in range(int(rng.integers(1, 3))):
        at, turn = rng.uniform(0.2, 0.8, 2) * (width, height), rng.uniform(0, math.pi)
        along, beside = (
            np.array([math.cos(turn), math.sin(turn)]),
            np.array([-math.sin(turn), math.cos(turn)]),
        )
        apart, long = rng.uniform(1.5, 6), rng.uniform(0.08, 0.3) * min(height, width)
        strong = int(rng.integers(60, 220))
        for k in range(int(rng.integers(4, 24))):
            middle = at + beside * k * apart + along * rng.normal(0, 0.1 * long)
            ends = np.rint((middle + np.outer([-1, 1], along) * long * rng.uniform(0.7, 1.2)) * 16).astype(
                int
            )
            stroke = np.zeros_like(alpha)
            cv2.line(stroke, ends[0].tolist(), ends[1].tolist(), strong, 1, cv2.LINE_AA, 4)
            np.maximum(alpha, stroke, out=alpha)
    return np.dstack([lines[..., :3], alpha])


def _marks(rng: Rng) -> NDArray[np.uint8]:
    """Drawings that are all small marks: rain, snow, steps, stipple, hatching, grass, stars."""
    side = 300
    alpha = np.zeros((side, side), np.uint8)
    kind = rng.integers(5)
    for _ in range(int(rng.integers(12, 120))):
        at = rng.normal(side / 2, side / 5.5, 2)
        way = rng.normal(0, 10, 2) if kind == 2 else np.array([6.0, 18.0]) * rng.uniform(0.6, 1.4)
        if kind == 0:
            cv2.circle(
                alpha, tuple(np.rint(at).astype(int).tolist()), int(rng.integers(2, 7)), 255, -1, cv2.LINE_AA
            )
        elif kind == 4:
            size = (int(rng.integers(4, 12)), int(rng.integers(3, 7)))
            cv2.ellipse(
                alpha,
                tuple(np.rint(at).astype(int).tolist()),
                size,
                float(rng.uniform(0, 180)),
                0,
                360,
                255,
                2,
            )
        else:
            ends = np.rint(np.array([at - way, at + way])).astype(int)
            cv2.line(
                alpha,
                tuple(ends[0].tolist()),
                tuple(ends[1].tolist()),
                255,
                int(rng.integers(2, 6)),
                cv2.LINE_AA,
            )
    x, y, w, h = cv2.boundingRect(alpha)
    out = np.zeros((max(1, h), max(1, w), 4), np.uint8)
    out[..., 3] = alpha[y : y + h, x : x + w]
    return out


def _as_medium(sheet: Sheet, dark: bool) -> None:
    """Pencil, pens of all colours, marker, wash, an underdrawing, or the drawing as it is."""
    rng = sheet.rng
    kind = rng.integers(8)
    darkness = (1 - sheet.ink.mean(axis=2)).astype(np.float32)
    shape = (HEIGHT, WIDTH)
    if dark or kind == 0:
        return
    if kind in (1, 2):
        tooth = np.clip(
            rng.uniform(0.7, 1) + rng.uniform(0.1, 0.4) * noise(shape, rng.uniform(1.1, 2), rng), 0.2, 1
        )
        strength = rng.uniform(0.3, 0.9)
        sheet.ink = np.repeat((1 - np.clip(darkness * tooth * strength, 0, 1))[..., None], 3, axis=2)
    elif kind in (3, 4):
        colour = rng.uniform(0, 0.75, 3).astype(np.float32)
        skips = np.clip(1.05 + rng.uniform(0, 0.3) * noise(shape, rng.uniform(2, 7), rng), 0.35, 1)
        sheet.ink = (1 - (darkness * skips)[..., None] * (1 - colour)).astype(np.float32)
    elif kind == 5:
        _underdraw(sheet, darkness)
    elif kind == 6:
        wide = cv2.dilate(darkness, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3)))
        sheet.ink = np.minimum(sheet.ink, 1 - wide[..., None] * rng.uniform(0.6, 0.95)).astype(np.float32)
    else:
        around = cv2.GaussianBlur(cv2.dilate(darkness, np.ones((9, 9), np.uint8)), (0, 0), rng.uniform(1, 5))
        tone = around * np.clip(rng.uniform(0.15, 0.5) + 0.12 * noise(shape, 30, rng), 0.05, 0.7)
        sheet.ink *= 1 - tone[..., None] * (1 - rng.uniform(0.2, 0.95, 3).astype(np.float32))


def _underdraw(sheet: Sheet, darkness: Floats) -> None:
    rng = sheet.rng
    sheet.ink = np.repeat((1 - darkness * rng.uniform(0.8, 1))[..., None], 3, axis=2)
    edge = cv2.morphologyEx(darkness, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    y, x = np.mgrid[:HEIGHT, :WIDTH].astype(np.float32)
    total = np.zeros((HEIGHT, WIDTH), np.float32)
    for _ in range(int(rng.integers(1, 4))):
        dx, dy = (rng.uniform(2, 7) * noise((HEIGHT, WIDTH), rng.uniform(60, 160), rng) for _ in range(2))
        total = np.maximum(total, cv2.remap(edge, x + dx, y + dy, cv2.INTER_LINEAR))
    colour = np.array(
        [(0.9, 0.25, 0.25), (0.35, 0.6, 0.95), (0.95, 0.5, 0.2), (0.4, 0.8, 0.5)][rng.integers(4)]
    )
    strength = np.clip(cv2.GaussianBlur(total, (0, 0), 0.7) * 1.6, 0, rng.uniform(0.3, 0.8))
    sheet.under = (1 - strength[..., None] * (1 - colour)).astype(np.float32)
    sheet.label[strength > DRAWN] = UNDER


def _lit(levels: Floats, rng: Rng) -> Floats:
    y, x = np.mgrid[-1 : 1 : HEIGHT * 1j, -1 : 1 : WIDTH * 1j].astype(np.float32)
    way = rng.uniform(0, 2 * math.pi)
    light = 1 - rng.uniform(0, 0.25) * (1 + x * math.cos(way) + y * math.sin(way)) / 2
    light = light * (1 - rng.uniform(0, 0.12) * (x**2 + y**2) / 2)
    if rng.random() < 0.35:
        mask = np.zeros((HEIGHT, WIDTH), np.float32)
        at = (round(WIDTH * rng.uniform(0, 1)), round(HEIGHT * rng.uniform(0, 1)))
        size = (round(WIDTH * rng.uniform(0.1, 0.5)), round(HEIGHT * rng.uniform(0.15, 0.6)))
        cv2.ellipse(mask, at, size, float(rng.uniform(0, 180)), 0, 360, 1.0, -1)
        light = light * (1 - rng.uniform(0.08, 0.45) * cv2.GaussianBlur(mask, (0, 0), rng.uniform(3, 50)))
    tint = np.float32([1, rng.uniform(0.92, 1), rng.uniform(0.78, 1)])
    return np.asarray(levels * light[..., None] * tint * rng.uniform(0.75, 1.03), np.float32)
