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
from assetlib.imaging.pages.prints import Print, take_out
from tests.bench.sheet_drawings import fit, line_version, pen_drawing

Floats = NDArray[np.float32]
Labels = NDArray[np.uint8]
Rng = np.random.Generator

HEIGHT, WIDTH = 768, 1024
PAPER, INK, PRINT, SOIL, SPECK, OFF, UNDER = range(7)
UNSURE = 255  # as a label: the soft edge of a line, which counts as neither
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


class Sheet:
    """A page in the making: `light` float32 (H, W, 3) lets back; `label` uint8 (H, W) what each pixel is."""

    def __init__(self, rng: Rng) -> None:
        self.rng = rng
        self.ink = np.ones((HEIGHT, WIDTH, 3), np.float32)
        self.under = np.ones_like(self.ink)
        self.soil = np.ones_like(self.ink)
        self.label = np.zeros((HEIGHT, WIDTH), np.uint8)

    def put(self, rgba: NDArray[np.uint8], x: float, y: float) -> None:
        """Lay a drawing down with its top left corner at x, y; what hangs over is left out."""
        x0, y0 = max(0, round(x)), max(0, round(y))
        part = rgba[: HEIGHT - y0, : WIDTH - x0].astype(np.float32) / 255
        h, w = part.shape[:2]
        if h > 0 and w > 0:
            self.ink[y0 : y0 + h, x0 : x0 + w] *= 1 - part[..., 3:] * (1 - part[..., :3])


def noise(shape: tuple[int, int], grain: float, rng: Rng) -> Floats:
    """Smooth noise of unit spread with blobs about `grain` pixels wide."""
    size = (max(2, round(shape[1] / grain)), max(2, round(shape[0] / grain)))
    coarse = rng.normal(0, 1, size[::-1]).astype(np.float32)
    return np.asarray(cv2.resize(coarse, shape[::-1], interpolation=cv2.INTER_CUBIC), np.float32)


def make_marked(
    rng: Rng, read: Callable[[int], NDArray[np.uint8]], count: int
) -> tuple[NDArray[np.uint8], Labels]:
    """A page uint8 (H, W, 3) and what its pixels are, uint8 (H, W); `read` gives one of `count` drawings, RGBA."""
    sheet = Sheet(rng)
    _draw(sheet, read, count)
    dark = rng.random() < 0.14
    _as_medium(sheet, dark)
    taken = (1 - sheet.ink).max(axis=2)
    ink, barely = taken > DRAWN, taken > BARELY
    levels = _dark_page(sheet) if dark else _light_page(sheet, ink)
    sheet.label[barely & ~ink] = UNSURE
    sheet.label[ink] = INK
    levels = _specks(sheet, levels)
    levels = _off_page(sheet, levels)
    levels = _lit(levels, rng)
    levels = cv2.GaussianBlur(levels, (0, 0), rng.uniform(0.3, 0.95))
    levels = levels + rng.normal(
        0, rng.uniform(0.002, 0.018), (*levels.shape[:2], 1 if rng.random() < 0.5 else 3)
    )
    rgb = np.clip(np.rint(levels * 255), 0, 255).astype(np.uint8)
    code = [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(70, 97))]
    rgb = np.asarray(cv2.imdecode(cv2.imencode(".jpg", rgb[..., ::-1], code)[1], 1)[..., ::-1], np.uint8)
    if not dark and rng.random() < 0.55:
        rgb = even_light(np.ascontiguousarray(rgb))
    return _without_print(sheet, np.ascontiguousarray(rgb)), sheet.label


# ---- what is drawn


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
            return line_version(small, max(1.0, weight * rng.uniform(0.6, 1.3)), (0, 0, 0), breaks, rng)
    return fit(one, max(12, width), max(12, height))


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


# ---- what it is drawn on


def _paper(sheet: Sheet) -> Floats:
    rng = sheet.rng
    shape = (HEIGHT, WIDTH)
    fibre = 1 + rng.uniform(0, 0.02) * noise(shape, rng.uniform(1.2, 4), rng)
    fibre = fibre + rng.uniform(0, 0.025) * noise(shape, rng.uniform(25, 150), rng)
    white = rng.uniform(0.85, 1) * rng.uniform([0.97, 0.94, 0.82], 1)
    if rng.random() < 0.08:
        white = rng.uniform(0.45, 0.9, 3)  # kraft and coloured papers
    if rng.random() < 0.25:
        for _ in range(int(rng.integers(1, 4))):  # folds
            fold = noise((1, WIDTH), 400, rng)[0] * 4 + rng.uniform(0.1, 0.9) * HEIGHT
            y = np.arange(HEIGHT, dtype=np.float32)[:, None] - fold[None]
            crease = rng.uniform(-0.08, 0.05) * np.exp(-((y / rng.uniform(0.8, 6)) ** 2))
            fibre = fibre * (1 + crease)
    return np.asarray(fibre[..., None] * white, np.float32)


def _light_page(sheet: Sheet, ink: NDArray[np.bool_]) -> Floats:
    rng = sheet.rng
    levels = _paper(sheet)
    sheet.printed = _print(sheet) if rng.random() < 0.5 else ""  # type: ignore[attr-defined]
    for make in rng.permutation(np.array([_ring, _stain, _tape, _smudge, _through], object)):
        if rng.random() < 0.16:
            for _ in range(int(rng.integers(1, 3))):
                make(sheet)
    return np.asarray(levels * sheet.soil * sheet.under * sheet.ink, np.float32)


def _dark_page(sheet: Sheet) -> Floats:
    """Chalk on a board, white pencil on black paper."""
    rng = sheet.rng
    sheet.printed = ""  # type: ignore[attr-defined]
    ground = np.float32(rng.uniform(0.04, 0.22, 3)) * _paper(sheet)
    shape = (HEIGHT, WIDTH)
    if rng.random() < 0.6:
        smear = rng.uniform(0.2, 1.2) * np.clip(noise(shape, rng.uniform(30, 140), rng), 0, 2)
        if rng.random() < 0.5:
            smear = cv2.GaussianBlur(smear, (0, 0), sigmaX=rng.uniform(1, 25), sigmaY=1)
        ground = ground * (1 + smear[..., None])
    cover = 1 - sheet.ink.min(axis=2)
    if rng.random() < 0.6:
        cover = cover * np.clip(0.85 + rng.uniform(0.1, 0.5) * noise(shape, rng.uniform(1.2, 2.5), rng), 0, 1)
    white = rng.uniform(0.7, 1) * rng.uniform([0.85, 0.85, 0.7], 1)
    sheet.ink = np.repeat((1 - cover)[..., None], 3, axis=2).astype(np.float32)
    return np.asarray(ground + cover[..., None] * (white - ground), np.float32)


def _print(sheet: Sheet) -> str:
    rng = sheet.rng
    kind = str(rng.choice(["ruled", "squared", "dotted"]))
    mark = np.zeros((HEIGHT, WIDTH), np.float32)
    apart = rng.uniform(12, 45)
    start, tilt = rng.uniform(0, apart, 2), rng.normal(0, 0.002)
    x, y = np.meshgrid(np.arange(WIDTH, dtype=np.float32), np.arange(HEIGHT, dtype=np.float32))
    bend = rng.normal(0, 1.5) * np.sin(x / WIDTH * math.pi)
    down = (y + tilt * x + bend - start[0]) % apart
    across = (x - tilt * y - start[1]) % apart
    half = rng.uniform(0.35, 0.9)
    lying = np.exp(-((np.minimum(down, apart - down) / half) ** 2))
    standing = np.exp(-((np.minimum(across, apart - across) / half) ** 2))
    if kind == "dotted":
        size = rng.uniform(0.8, 1.8)
        mark = np.exp(
            -(np.minimum(down, apart - down) ** 2 + np.minimum(across, apart - across) ** 2) / size**2
        )
    else:
        mark = np.maximum(lying, standing) if kind == "squared" else lying
    colour = rng.uniform([0.4, 0.55, 0.6], [0.85, 0.9, 0.97]).astype(np.float32)
    sheet.soil *= 1 - np.asarray(mark, np.float32)[..., None] * (1 - colour)
    shown = mark > 0.35
    if kind == "ruled" and rng.random() < 0.6:
        at = np.abs(x - tilt * y - rng.uniform(0.06, 0.94) * WIDTH) < rng.uniform(0.5, 1.6)
        sheet.soil[at] *= np.float32((0.95, 0.55, 0.6))
        shown |= at
    sheet.label[shown & (sheet.label == PAPER)] = PRINT
    return kind


def _without_print(sheet: Sheet, rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """In half of the cases the print is taken out as the program does it, with what that leaves behind."""
    printed: str = sheet.printed  # type: ignore[attr-defined]
    if printed and sheet.rng.random() < 0.6:
        try:
            return take_out(rgb, Print(printed))
        except (ValueError, IndexError, cv2.error):
            return rgb
    return rgb


# ---- soil


def _tinted(sheet: Sheet, mask: Floats, colour: NDArray[np.float32]) -> None:
    sheet.soil *= 1 - mask[..., None] * (1 - colour)
    sheet.label[(mask * (1 - colour.min()) > 0.02) & (sheet.label != UNDER)] = SOIL


def _brown(rng: Rng) -> NDArray[np.float32]:
    if rng.random() < 0.25:
        return rng.uniform(0.5, 0.97, 3).astype(np.float32)
    return np.float32((0.75, 0.6, 0.4)) + np.float32(rng.uniform(-0.15, 0.22, 3))


def _ring(sheet: Sheet) -> None:
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    radius = rng.uniform(0.04, 0.16) * WIDTH
    at = rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)
    turn, gone = rng.uniform(0, 360), rng.choice([0, 0, rng.uniform(20, 160)])
    wide = max(2, round(rng.uniform(0.002, 0.012) * WIDTH))
    size = (round(radius), round(radius * rng.uniform(0.9, 1)))
    cv2.ellipse(mask, (round(at[0]), round(at[1])), size, turn, gone, 360, 1.0, wide, cv2.LINE_AA)
    if rng.random() < 0.4:  # the cup's foot was wet, too
        inner = np.zeros_like(mask)
        cv2.ellipse(inner, (round(at[0]), round(at[1])), size, turn, 0, 360, 0.2, -1, cv2.LINE_AA)
        mask = np.maximum(mask, inner)
    soft = cv2.GaussianBlur(mask, (0, 0), rng.uniform(0.8, 3))
    _tinted(sheet, soft * np.clip(0.65 + 0.3 * noise(mask.shape, 30, rng), 0.1, 1), _brown(rng))


def _stain(sheet: Sheet) -> None:
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    turns = np.linspace(0, 2 * math.pi, 40, endpoint=False)
    swell = 1 + sum(rng.normal(0, 0.15) * np.sin(turns * k + rng.uniform(0, 6)) for k in range(1, 6))
    radius = WIDTH * math.exp(rng.uniform(math.log(0.006), math.log(0.13))) * swell
    points = np.stack([np.cos(turns), np.sin(turns)], axis=1) * radius[:, None]
    points = points + np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
    cv2.fillPoly(mask, [np.rint(points).astype(np.int32)], 1.0)
    soft = cv2.GaussianBlur(mask, (0, 0), rng.uniform(0.8, 10))
    if rng.random() < 0.4:  # dried at its edge
        soft = soft * 0.4 + 0.8 * cv2.GaussianBlur(
            np.abs(soft - cv2.GaussianBlur(soft, (0, 0), 3)), (0, 0), 1
        )
    _tinted(sheet, np.asarray(np.clip(soft, 0, 1), np.float32), _brown(rng))


def _tape(sheet: Sheet) -> None:
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    at = rng.choice([0, 1, rng.random()]) * WIDTH, rng.choice([0, 1, rng.random()]) * HEIGHT
    size = (rng.uniform(0.06, 0.3) * WIDTH, rng.uniform(0.015, 0.07) * WIDTH)
    box = cv2.boxPoints(((float(at[0]), float(at[1])), size, float(rng.uniform(0, 180))))
    cv2.fillPoly(mask, [np.rint(box).astype(np.int32)], 1.0, cv2.LINE_AA)
    if rng.random() < 0.4:
        mask *= np.clip(0.8 + 0.2 * noise(mask.shape, 15, rng), 0.3, 1)
    _tinted(sheet, mask, rng.uniform([0.8, 0.75, 0.5], [1, 0.97, 0.9]).astype(np.float32))


def _smudge(sheet: Sheet) -> None:
    """Where a hand or a rubber went over pencil."""
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    start = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
    path = start + rng.normal(0, 25, (int(rng.integers(2, 10)), 2)).cumsum(axis=0)
    cv2.polylines(mask, [np.rint(path).astype(np.int32)], False, 1.0, int(rng.integers(8, 60)), cv2.LINE_AA)
    soft = cv2.GaussianBlur(mask, (0, 0), rng.uniform(3, 14)) * np.clip(
        0.6 + 0.4 * noise(mask.shape, 8, rng), 0, 1
    )
    _tinted(sheet, np.asarray(soft, np.float32), np.float32([rng.uniform(0.75, 0.95)] * 3))


def _through(sheet: Sheet) -> None:
    """What is drawn on the back of the sheet shines through."""
    rng = sheet.rng
    back = Sheet(rng)
    one = pen_drawing(rng, True)
    for _ in range(int(rng.integers(1, 6))):
        back.put(one, rng.uniform(0, 0.8) * WIDTH, rng.uniform(0, 0.6) * HEIGHT)
    faint = cv2.GaussianBlur((1 - back.ink.mean(axis=2)), (0, 0), rng.uniform(0.8, 2.5)) * rng.uniform(
        0.04, 0.16
    )
    sheet.soil *= (1 - faint)[..., None].astype(np.float32)
    sheet.label[(faint > 0.025) & (sheet.label == PAPER)] = SOIL


def _specks(sheet: Sheet, levels: Floats) -> Floats:
    rng = sheet.rng
    if rng.random() < 0.5:
        return levels
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    for _ in range(int(math.exp(rng.uniform(0.7, 5.3)))):
        at = rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)
        size = np.abs(rng.normal(0.9, 0.7, 2)) + 0.35
        middle = (round(at[0] * 16), round(at[1] * 16))
        axes = (round(size[0] * 16), round(size[1] * 16))
        turn = float(rng.uniform(0, 180))
        cv2.ellipse(mask, middle, axes, turn, 0, 360, float(rng.uniform(0.2, 0.9)), -1, cv2.LINE_AA, 4)
    for _ in range(int(rng.integers(0, 7)) if rng.random() < 0.6 else 0):
        start = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
        way = rng.normal(0, 1, 2) + np.cumsum(rng.normal(0, 0.6, (int(rng.integers(5, 30)), 2)), axis=0)
        hair = start + np.cumsum(way * rng.uniform(0.5, 1.6), axis=0)
        cv2.polylines(
            mask,
            [np.rint(hair * 16).astype(np.int32)],
            False,
            float(rng.uniform(0.2, 0.7)),
            1,
            cv2.LINE_AA,
            4,
        )
    dark = float(np.median(levels)) < 0.35
    free = (mask > 0.1) & (sheet.label != INK)
    sheet.label[free] = SPECK
    goal = np.float32(rng.uniform(0.6, 1, 3)) if dark else np.float32(rng.uniform(0, 0.35, 3))
    return np.asarray(levels + mask[..., None] * (goal - levels), np.float32)


# ---- what is no page


def _off_page(sheet: Sheet, levels: Floats) -> Floats:
    rng = sheet.rng
    for make, often in (
        (_table, 0.35),
        (_torn, 0.12),
        (_holes, 0.15),
        (_finger, 0.15),
        (_gutter, 0.15),
        (_clip, 0.06),
    ):
        if rng.random() < often:
            turns = int(rng.integers(4))
            view, label = np.rot90(levels, turns), np.rot90(sheet.label, turns)
            levels = np.ascontiguousarray(np.rot90(make(np.ascontiguousarray(view), label, rng), -turns))
    return levels


def _laid(levels: Floats, label: Labels, mask: Floats, colour: Floats) -> Floats:
    """A colour laid over, all of it off the page."""
    label[mask > 0.4] = OFF
    return np.asarray(levels * (1 - mask[..., None]) + mask[..., None] * colour, np.float32)


def _surface(shape: tuple[int, int], rng: Rng) -> Floats:
    base = np.float32(rng.uniform(0.03, 0.85) * rng.uniform(0.6, 1, 3))
    tone = rng.uniform(0, 0.15) * noise(shape, rng.uniform(2, 60), rng)
    return np.clip(base * (1 + tone[..., None]), 0, 1)


def _table(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """A wedge of table at the top, where the page's edge was found not quite."""
    height, width = levels.shape[:2]
    x = np.linspace(0, 1, width)
    depth = (
        rng.uniform(-0.012, 0.018) + rng.normal(0, 0.01) * (x - 0.5) + rng.normal(0, 0.006) * 4 * x * (1 - x)
    )
    y = np.arange(height)[:, None]
    mask = cv2.GaussianBlur((y < depth[None] * height).astype(np.float32), (0, 0), 0.7)
    shade = 1 - rng.uniform(0, 0.4) * np.exp(-np.clip(y - depth[None] * height, 0, None) / rng.uniform(1, 8))
    return _laid(levels * shade[..., None].astype(np.float32), label, mask, _surface((height, width), rng))


def _torn(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    rough = (
        noise((1, width), rng.uniform(3, 12), rng)[0] * rng.uniform(0.5, 4)
        + noise((1, width), 80, rng)[0] * 6
    )
    depth = np.clip(rng.uniform(2, 22) + rough, 0, None)
    y = np.arange(height)[:, None]
    rim = ((y >= depth) & (y < depth + rng.uniform(1, 5))).astype(np.float32)
    levels = levels * (1 - rim[..., None]) + rim[..., None] * np.float32(rng.uniform(0.85, 1))
    mask = cv2.GaussianBlur((y < depth).astype(np.float32), (0, 0), 0.6)
    return _laid(levels, label, mask, _surface((height, width), rng))


def _holes(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """Punched holes, or the many of a spiral binding."""
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    many = rng.random() < 0.4
    count = int(rng.integers(18, 50)) if many else int(rng.choice([2, 3, 4]))
    radius = rng.uniform(2.5, 6) if many else rng.uniform(7, 17)
    top = radius * rng.uniform(1.3, 3.5)
    square = many and rng.random() < 0.4
    for k in range(count):
        at = (width * (k + 0.5) / count, top + rng.normal(0, 0.5))
        if square:
            low = np.rint(np.array(at) - radius).astype(int)
            cv2.rectangle(mask, tuple(low.tolist()), tuple((low + round(2 * radius)).tolist()), 1.0, -1)
        else:
            cv2.circle(
                mask, (round(at[0] * 16), round(at[1] * 16)), round(radius * 16), 1.0, -1, cv2.LINE_AA, 4
            )
    if rng.random() < 0.4:
        shade = cv2.GaussianBlur(np.roll(mask, (2, 2), axis=(0, 1)), (0, 0), 1.5)
        levels = levels * (1 - 0.3 * shade[..., None])
    return _laid(levels, label, mask, _surface((height, width), rng))


def _finger(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    x = rng.uniform(0.05, 0.95) * width
    deep, wide = rng.uniform(0.01, 0.13) * height, rng.uniform(0.03, 0.085) * width
    mask = np.zeros((height, width), np.float32)
    away = (round(x + rng.normal(0, 40)), -100)
    cv2.line(mask, (round(x), round(deep - wide / 2)), away, 1.0, round(wide), cv2.LINE_AA)
    shade = np.roll(cv2.GaussianBlur(mask, (0, 0), rng.uniform(3, 14)), (5, 5), axis=(0, 1))
    form = 0.75 + 0.25 * cv2.GaussianBlur(mask, (0, 0), wide * 0.2)
    skin = np.float32([(0.85, 0.63, 0.52), (0.55, 0.36, 0.26), (0.35, 0.22, 0.16)][rng.integers(3)])
    levels = levels * (1 - rng.uniform(0.1, 0.4) * shade[..., None])
    soft = cv2.GaussianBlur(mask, (0, 0), 1.0)
    return _laid(levels, label, soft, np.asarray(form[..., None] * skin * rng.uniform(0.85, 1.1), np.float32))


def _gutter(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """The shade of a scan beside a book's fold or a lifted edge, with a black rim now and then."""
    height = levels.shape[0]
    y = np.arange(height, dtype=np.float32)[:, None, None] / height
    levels = levels * (1 - rng.uniform(0.15, 0.8) * np.exp(-y / rng.uniform(0.008, 0.09)))
    if rng.random() < 0.4:
        deep = int(rng.integers(1, 16))
        levels[:deep] = rng.uniform(0, 0.25)
        label[:deep] = OFF
    return np.asarray(levels, np.float32)


def _clip(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    x, wide = rng.uniform(0.1, 0.8) * width, rng.uniform(0.04, 0.16) * width
    cv2.rectangle(mask, (round(x), 0), (round(x + wide), round(rng.uniform(0.01, 0.06) * height)), 1.0, -1)
    return _laid(levels, label, mask, _surface((height, width), rng))


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
