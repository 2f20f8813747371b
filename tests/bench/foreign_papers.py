"""Flat pages put together from photographed papers that Debian carries, to judge what was tuned on other ones.

Textures come from packages that are unpacked, not installed: `foreign_pages` says how. Drawings are those of
`hand_strokes` and clip art of one half, laid loosely, in media of their own making.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.bench.hand_strokes import draw_thing
from tests.bench.sheet_drawings import fit, on_paper, pick_clip_art

Picture = NDArray[np.uint8]
Floats = NDArray[np.float32]
Rng = np.random.Generator
Box = tuple[int, int, int, int]

# three groups, so that what is set aside lies on papers that were not looked at
PAPERS = (
    ("HR_WaterColor", "HR_SketchPaper", "mamurk_e_2", "HR_Canvas 01", "Crumpled_Paper", "mamurk_c_3"),
    ("HR_RoughPaper", "mamurk_e_1", "HR_Canvas 02", "HR_PastelPaper 01", "paper2-texture", "mamurk_f_1"),
    ("mamurk_a_1", "HR_Wall_Paper", "paper-texture", "HR_PastelPaper 02", "crinklepaper"),
)
DARK_PAPERS = (
    ("mamurk_b_1", "HR_SketchPaper 02"),
    ("slate", "darkBlueTile"),
    ("paper-texture", "HR_PastelPaper 02"),
)
GRAINS = ("03_default-paper", "04_paper-C-grain", "Rough_Paper", "05_paper-torchon")

MOST_UNEVEN = 0.045  # standard deviation of the light that paper lets back: crumpled paper, not tin foil


@dataclass(frozen=True, slots=True)
class Textures:
    """Textures by name, from unpacked packages; `group` 0 is looked at, 1 and 2 are set aside."""

    folder: Path
    group: int

    def __getitem__(self, name: str) -> Picture:
        return _texture(self.folder, name)


@lru_cache(maxsize=64)
def _texture(folder: Path, name: str) -> Picture:
    for path in sorted(folder.rglob("*")):
        if path.stem == name and path.suffix in (".png", ".jpg", ".pat") and "preview" not in str(path):
            found = (
                _pattern(path) if path.read_bytes()[20:24] == b"GPAT" else cv2.imread(str(path))[..., ::-1]
            )
            return np.ascontiguousarray(found)
    raise FileNotFoundError(f"{name}: unpack the packages that `foreign_pages` names into {folder}")


def _pattern(path: Path) -> Picture:
    """A GIMP pattern (format from its header: size, version, width, height, bytes a pixel, magic)."""
    raw = path.read_bytes()
    header, _, width, height, deep = struct.unpack(">5I", raw[:20])
    pixels = np.frombuffer(raw[header : header + width * height * deep], np.uint8).reshape(
        height, width, deep
    )
    return np.repeat(pixels[..., :1], 3, axis=2) if deep < 3 else pixels[..., :3]


def tiled(texture: Picture, shape: tuple[int, int], larger: float, rng: Rng) -> Floats:
    """A texture enlarged and laid next to its mirror images over (H, W), float32 (H, W, 3), 0..1."""
    one = (
        cv2.resize(texture, None, fx=larger, fy=larger, interpolation=cv2.INTER_CUBIC).astype(np.float32)
        / 255
    )
    pair = np.concatenate([one, one[:, ::-1]], axis=1)
    four = np.concatenate([pair, pair[::-1]], axis=0)
    times = -(-shape[0] // four.shape[0]) + 1, -(-shape[1] // four.shape[1]) + 1
    many = np.tile(four, (*times, 1))
    y, x = (int(rng.integers(many.shape[k] - shape[k] + 1)) for k in (0, 1))
    return np.clip(many[y : y + shape[0], x : x + shape[1]], 0, 1)


@dataclass(slots=True)
class Flat:
    """A flat page: `levels` float32 (H, W, 3) 0..1, `cover` how much of a pixel is page, boxes of its drawings.

    `torn` float64 (4, 2) is where its corners are at the deepest of a tear, the corners themselves where it is whole.
    """

    levels: Floats
    cover: Floats
    boxes: list[Box]
    torn: NDArray[np.float64] | None = None


def lay_page(
    rng: Rng, textures: Textures, *, many: bool, medium: str, print_: str, soil: str, half: str,
    size: tuple[int, int] = (1900, 1400),
) -> Flat:  # fmt: skip
    """A page of (H, W), drawn on by hand; `many` drawings, one, or none where `medium` is 'empty'."""
    if rng.random() < 0.45:
        size = size[::-1]
    dark = medium in ("white on dark", "chalk")
    names = DARK_PAPERS[textures.group] if dark else PAPERS[textures.group]
    paper = _paper(textures[names[rng.integers(len(names))]], size, dark, rng)
    grain = tiled(textures[GRAINS[rng.integers(len(GRAINS))]], size, rng.uniform(0.5, 1), rng)[..., 0]
    ink, boxes = np.ones((*size, 3), np.float32), []
    for dark_one, colour, place in _drawings(rng, size, many, half) if medium != "empty" else []:
        drawn = _as_medium(dark_one, colour, medium, grain, place, rng)
        box = _put(ink, drawn, place)
        if box is not None:
            boxes.append(box)
    flat = Flat(paper, np.ones(size, np.float32), boxes)
    if dark:
        cover = (1 - ink).max(axis=2, keepdims=True)
        if medium == "chalk":
            flat.levels = _wiped(flat.levels, rng)
        flat.levels = flat.levels + cover * (np.float32(rng.uniform(0.78, 0.95)) - flat.levels)
    else:
        flat.levels = flat.levels * _printed(print_, size, rng) * ink
    _SOILS.get(soil, lambda _flat, _rng: None)(flat, rng)
    return flat


def _paper(texture: Picture, size: tuple[int, int], dark: bool, rng: Rng) -> Floats:
    laid = tiled(texture, size, rng.uniform(0.9, 2.2), rng)
    usual = np.median(laid.reshape(-1, 3), axis=0)
    if dark:
        return laid * (rng.uniform(0.1, 0.24) / max(0.02, float(usual.max())))
    strength = min(1.0, MOST_UNEVEN / max(0.01, float(laid.std())))
    tint = usual / usual.max()
    if rng.random() < 0.6:
        tint = tint**0.25  # white paper with this tooth
    return (rng.uniform(0.86, 0.97) * tint * (1 + (laid / usual - 1) * strength)).astype(np.float32)


def _drawings(
    rng: Rng, size: tuple[int, int], many: bool, half: str
) -> list[tuple[Floats, Floats, tuple[int, int]]]:
    """Drawings by how dark they are, their colours, and where they stand (top, left): none reaches its neighbour."""
    height, width = size
    found = []
    if not many:
        side = rng.uniform(0.4, 0.8) * min(size)
        dark, colour = _one(rng, half, side, side)
        h, w = dark.shape
        return [
            (
                dark,
                colour,
                (round((height - h) * rng.uniform(0.3, 0.7)), round((width - w) * rng.uniform(0.3, 0.7))),
            )
        ]
    rows = int(rng.integers(2, 5))
    top = 0.06 * height
    tall = (height - 2 * top) / rows
    art = rng.random()
    for r in range(rows):
        left = rng.uniform(0.05, 0.12) * width
        while True:
            high = tall * rng.uniform(0.5, 0.84)
            dark, colour = _one(rng, half, 2.2 * high, high, art)
            if left + dark.shape[1] > 0.95 * width:
                break
            y = top + r * tall + (tall * 0.92 - dark.shape[0]) * rng.uniform(0.2, 0.8)
            found.append((dark, colour, (round(y), round(left))))
            left += dark.shape[1] + rng.uniform(0.05, 0.13) * width
    return found or _drawings(rng, size, False, half)


def _one(rng: Rng, half: str, width: float, height: float, art: float = 0.5) -> tuple[Floats, Floats]:
    """A drawing as its darkness (h, w) and its colour (h, w, 3): strokes of a hand, or clip art."""
    if rng.random() < (0.75 if art < 0.6 else 0.25):
        dark = draw_thing(rng)
        scale = min(width / dark.shape[1], height / dark.shape[0])
        dark = cv2.resize(
            dark, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
        )
        return dark, np.repeat(1 - dark[..., None], 3, axis=2)
    rgba = fit(pick_clip_art(rng, half), width, height)
    colour = on_paper(rgba, (255, 255, 255)) / 255
    return (1 - colour.min(axis=2)).astype(np.float32), colour.astype(np.float32)


def _as_medium(
    dark: Floats, colour: Floats, medium: str, grain: Floats, place: tuple[int, int], rng: Rng
) -> Floats:
    """What light a drawing lets back in a medium, float32 (h, w, 3)."""
    h, w = dark.shape
    tooth = grain[place[0] : place[0] + h, place[1] : place[1] + w]
    tooth = np.pad(tooth, ((0, h - tooth.shape[0]), (0, w - tooth.shape[1])), mode="edge")
    tooth = np.clip(0.5 + (tooth - tooth.mean()) / (4 * tooth.std() + 1e-3), 0, 1)
    if medium == "pencil":
        laid = dark * np.clip(0.35 + 1.1 * tooth, 0, 1) * rng.uniform(0.5, 0.85)
        return np.repeat(1 - laid[..., None], 3, axis=2)
    if medium == "ball-pen":
        inks = [(0.12, 0.2, 0.6), (0.1, 0.1, 0.14), (0.65, 0.12, 0.15), (0.1, 0.42, 0.25)]
        skipping = np.clip(0.8 + 0.5 * tooth, 0, 1)
        return 1 - (dark * skipping)[..., None] * (1 - np.float32(inks[rng.integers(4)]))
    if medium == "underdrawing":
        return _over_construction(dark, rng)
    if medium == "marker":
        broad = cv2.dilate(dark, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (7, 7)))
        return 1 - cv2.GaussianBlur(broad, (0, 0), 0.8)[..., None] * (1 - np.float32(rng.uniform(0, 0.35, 3)))
    if medium == "wash":
        return colour * _washed(dark, rng)
    if medium in ("white on dark", "chalk"):
        rough = np.clip(0.3 + 1.1 * tooth, 0, 1) if medium == "chalk" else 1.0
        return np.repeat((1 - dark * rough)[..., None], 3, axis=2)
    return colour


def _over_construction(dark: Floats, rng: Rng) -> Floats:
    """Black line over the lines of its construction: axes, an ellipse, the drawing once more, loosely."""
    h, w = dark.shape
    laid = np.zeros((h, w), np.float32)
    wide = max(2, round(min(h, w) * 0.012))
    cv2.line(
        laid,
        (round(w * rng.uniform(0.4, 0.6)), 0),
        (round(w * rng.uniform(0.4, 0.6)), h),
        1.0,
        wide,
        cv2.LINE_AA,
    )
    cv2.line(
        laid,
        (0, round(h * rng.uniform(0.3, 0.7))),
        (w, round(h * rng.uniform(0.3, 0.7))),
        1.0,
        wide,
        cv2.LINE_AA,
    )
    cv2.ellipse(
        laid,
        (w // 2, h // 2),
        (round(w * 0.4), round(h * 0.42)),
        float(rng.uniform(0, 20)),
        0,
        360,
        1.0,
        wide,
        cv2.LINE_AA,
    )
    move = np.float32(
        [[1, rng.normal(0, 0.02), rng.normal(0, 0.01) * w], [rng.normal(0, 0.02), 1, rng.normal(0, 0.01) * h]]
    )
    again = cv2.warpAffine(dark, move, (w, h))
    laid = np.maximum(laid, cv2.GaussianBlur(again, (0, 0), 1.0)) * rng.uniform(0.35, 0.65)
    colour = np.float32([(0.93, 0.3, 0.28), (0.35, 0.62, 0.95), (0.45, 0.75, 0.5)][rng.integers(3)])
    return (1 - laid[..., None] * (1 - colour)) * (1 - 0.93 * dark[..., None])


def _washed(dark: Floats, rng: Rng) -> Floats:
    """Watercolour inside a drawing's outline: uneven, darker where it dried at its edge."""
    closed = cv2.morphologyEx((dark > 0.3).astype(np.uint8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    framed = np.pad(closed, 1)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    inside = (framed[1:-1, 1:-1] != 2).astype(np.float32)
    soft = cv2.GaussianBlur(inside, (0, 0), 3)
    edge = soft * (1 - cv2.GaussianBlur(inside, (0, 0), 8))
    cloud = cv2.resize(
        rng.normal(0, 1, (4, 4)).astype(np.float32), dark.shape[::-1], interpolation=cv2.INTER_CUBIC
    )
    tone = np.clip(soft * (0.3 + 0.1 * cloud) + 0.5 * edge, 0, 0.7)
    return 1 - tone[..., None] * (1 - np.float32(rng.uniform(0.35, 0.95, 3)))


def _put(ink: Floats, drawn: Floats, place: tuple[int, int]) -> Box | None:
    """Lay a drawing on the page; the box of what shows."""
    y, x = place
    part = drawn[: ink.shape[0] - y, : ink.shape[1] - x]
    h, w = part.shape[:2]
    ink[y : y + h, x : x + w] *= part
    left, top, wide, high = cv2.boundingRect(((1 - part).max(axis=2) > 0.1).astype(np.uint8))
    return (x + left, y + top, wide, high) if wide and high else None


# ---- what is printed


def _printed(kind: str, size: tuple[int, int], rng: Rng) -> Floats:
    """What light printed paper lets back: school ruling, a yellow pad, squares, dots, millimetres."""
    height, width = size
    light = np.ones((height, width, 3), np.float32)
    apart = rng.uniform(0.018, 0.034) * max(size)
    pale, weight = np.float32([(0.62, 0.75, 0.9), (0.7, 0.7, 0.72), (0.75, 0.62, 0.72)][rng.integers(3)]), 2
    start = rng.uniform(1.5, 4) * apart if rng.random() < 0.6 else rng.uniform(0, apart)
    rows = np.arange(start, height, apart)
    columns = np.arange(rng.uniform(0, apart), width, apart)
    if kind == "ruled":
        if rng.random() < 0.35:
            light *= np.float32((1, 0.96, 0.62))  # the yellow pad
        for y in rows:
            cv2.line(
                light,
                (0, round(y * 8)),
                (width * 8, round((y + rng.normal(0, 0.2)) * 8)),
                pale.tolist(),
                weight,
                cv2.LINE_AA,
                3,
            )
        for x in ([0.14, 0.148] if rng.random() < 0.5 else [0.16]) if rng.random() < 0.7 else []:
            cv2.line(
                light,
                (round(x * width), 0),
                (round(x * width), height),
                (0.93, 0.5, 0.52),
                weight,
                cv2.LINE_AA,
            )
    elif kind == "squared":
        for k, y in enumerate(rows):
            cv2.line(
                light,
                (0, round(y * 8)),
                (width * 8, round(y * 8)),
                pale.tolist(),
                1 + (k % 5 == 0),
                cv2.LINE_AA,
                3,
            )
        for k, x in enumerate(columns):
            cv2.line(
                light,
                (round(x * 8), 0),
                (round(x * 8), height * 8),
                pale.tolist(),
                1 + (k % 5 == 0),
                cv2.LINE_AA,
                3,
            )
    elif kind == "dotted":
        for y in rows:
            for x in columns:
                cv2.circle(
                    light,
                    (round(x * 8), round(y * 8)),
                    round(rng.uniform(1.6, 2.1) * 8),
                    (0.6, 0.6, 0.62),
                    -1,
                    cv2.LINE_AA,
                    3,
                )
    return np.asarray(cv2.GaussianBlur(light, (0, 0), 0.6), np.float32)


# ---- what happened to it


def _wiped(levels: Floats, rng: Rng) -> Floats:
    """A board that was wiped: broad streaks of old chalk."""
    height, width = levels.shape[:2]
    streaks = np.zeros((height, width), np.float32)
    for _ in range(12):
        a, b = rng.uniform(0, 1, (2, 2)) * np.array([width, height])
        cv2.line(
            streaks,
            tuple(a.astype(int).tolist()),
            tuple(b.astype(int).tolist()),
            float(rng.uniform(0.02, 0.08)),
            round(width * rng.uniform(0.05, 0.12)),
        )
    return levels + cv2.GaussianBlur(streaks, (0, 0), 25)[..., None]


def _ring(flat: Flat, rng: Rng) -> None:
    """A cup's foot set down twice, with runs and drops."""
    height, width = flat.cover.shape
    mask = np.zeros((height, width), np.float32)
    radius = rng.uniform(0.07, 0.1) * width
    at = np.array([rng.uniform(0.1, 0.9) * width, rng.uniform(0.1, 0.9) * height])
    for _ in range(int(rng.integers(1, 3))):
        turns = np.linspace(0, 2 * math.pi, 180)
        uneven = 1 + 0.012 * np.sin(3 * turns + rng.uniform(0, 6)) + rng.normal(0, 0.002, 180).cumsum() * 0.3
        rim = at + radius * uneven[:, None] * np.stack([np.cos(turns), np.sin(turns)], axis=1)
        first, last = sorted(rng.integers(0, 180, 2).tolist()) if rng.random() < 0.5 else (0, 180)
        cv2.polylines(
            mask,
            [np.rint(rim[first : max(last, first + 60)] * 8).astype(np.int32)],
            False,
            float(rng.uniform(0.5, 1)),
            max(3, round(width * rng.uniform(0.003, 0.008))),
            cv2.LINE_AA,
            3,
        )
        at = at + rng.normal(0, 0.4, 2) * radius
    for _ in range(int(rng.integers(0, 7))):
        drop = at + rng.normal(0, 1.4, 2) * radius
        cv2.circle(
            mask,
            tuple(np.rint(drop).astype(int).tolist()),
            int(rng.integers(2, 12)),
            float(rng.uniform(0.3, 0.9)),
            -1,
            cv2.LINE_AA,
        )
    soft = cv2.GaussianBlur(mask, (0, 0), 1.6)
    soft = 0.55 * soft + 0.6 * np.clip(soft - cv2.GaussianBlur(mask, (0, 0), 5), 0, 1)
    flat.levels *= 1 - np.clip(soft, 0, 1)[..., None] * (1 - np.float32((0.66, 0.48, 0.3)))


def _tape(flat: Flat, rng: Rng) -> None:
    """Strips of tape with toothed ends, glossy or gone yellow, at corners and sides."""
    height, width = flat.cover.shape
    for _ in range(int(rng.integers(2, 5))):
        side = rng.integers(4)
        t = rng.choice([0.02, 0.98, rng.uniform(0.2, 0.8)])
        at = [(t * width, 0), (t * width, height), (0, t * height), (width, t * height)][side]
        turn = math.radians(rng.choice([0, 90, 45, -45]) + rng.normal(0, 8))
        long, deep = rng.uniform(0.1, 0.2) * width, rng.uniform(0.035, 0.055) * width
        teeth = np.linspace(-0.5, 0.5, 13)
        saw = 0.5 * long + (np.arange(13) % 2) * deep * 0.08
        edge = np.concatenate([np.stack([saw, teeth * deep], 1), np.stack([-saw, teeth[::-1] * deep], 1)])
        turned = edge @ np.array(
            [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]
        ) + np.array(at)
        mask = np.zeros((height, width), np.float32)
        cv2.fillPoly(mask, [np.rint(turned * 8).astype(np.int32)], 1.0, cv2.LINE_AA, 3)
        glossy = cv2.resize(
            rng.uniform(0.9, 1.02, (3, 5)).astype(np.float32), (width, height), interpolation=cv2.INTER_CUBIC
        )
        colour = np.float32([(0.97, 0.93, 0.8), (0.88, 0.78, 0.55), (0.93, 0.93, 0.92)][rng.integers(3)])
        flat.levels *= 1 - mask[..., None] * (1 - colour * glossy[..., None])


def _torn(flat: Flat, rng: Rng) -> None:
    """One side torn off: a jagged edge with a white fibre rim."""
    turns = int(rng.integers(4))
    cover = np.rot90(flat.cover, turns)
    levels = np.rot90(flat.levels, turns)
    length = cover.shape[1]
    coarse = np.interp(np.arange(length), np.linspace(0, length, 9), rng.uniform(0.002, 0.03, 9) * length)
    fine = (
        cv2.GaussianBlur(rng.normal(0, 6, (1, length)), (0, 0), 2)[0]
        + np.cumsum(rng.normal(0, 0.25, length)) * 0.4
    )
    depth = np.clip(coarse + fine, 0, 0.045 * length)
    y = np.arange(cover.shape[0])[:, None]
    cover[:] *= np.clip(y - depth, 0, 1)
    flat.torn = _moved_corners(turns, float(depth.max()), flat.cover.shape)
    rim = np.clip((depth + rng.uniform(4, 12) + np.abs(fine) - y) / 3, 0, 1)[..., None]
    levels[:] = levels * (1 - 0.8 * rim) + 0.8 * rim * 0.97


def _moved_corners(turns: int, depth: float, shape: tuple[int, ...]) -> NDArray[np.float64]:
    """The page's corners, those of one side moved inwards: the top, turned clockwise so many times."""
    height, width = shape[:2]
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], float)
    side, inward = [((0, 1), (0, 1)), ((1, 2), (-1, 0)), ((2, 3), (0, -1)), ((3, 0), (1, 0))][turns]
    corners[list(side)] += np.array(inward) * depth
    return corners


def _holes(flat: Flat, rng: Rng) -> None:
    """Holes of a binder or of a spiral, torn out here and there; one sees what lies below."""
    turns = int(rng.integers(4))
    cover = np.rot90(flat.cover, turns)
    width = cover.shape[1]
    spiral = rng.random() < 0.5
    count = int(rng.integers(24, 40)) if spiral else int(rng.choice([2, 3, 4]))
    radius = width * (0.006 if spiral else 0.012)
    view = np.ascontiguousarray(cover)
    for k in range(count):
        x, y = width * (k + 0.5) / count, max(radius * 2, 0.018 * width)
        cv2.circle(view, (round(x * 8), round(y * 8)), round(radius * 8), 0.0, -1, cv2.LINE_AA, 3)
        if spiral and rng.random() < 0.3:
            cv2.line(
                view,
                (round(x), round(y)),
                (round(x + rng.normal(0, 6)), 0),
                0.0,
                max(2, round(radius * 0.8)),
                cv2.LINE_AA,
            )
    cover[:] = view


def _crease(flat: Flat, rng: Rng) -> None:
    """Folded once or twice and opened again, the back's drawing shining through."""
    height, width = flat.cover.shape
    shade = np.ones((height, width), np.float32)
    y, x = np.mgrid[:height, :width].astype(np.float32)
    for _ in range(int(rng.integers(1, 3))):
        lying = rng.random() < 0.5
        away = (
            y - height * rng.uniform(0.3, 0.7) if lying else x - width * rng.uniform(0.3, 0.7)
        ) + rng.normal(0, 0.01) * (x if lying else y)
        shade *= (
            1
            - rng.uniform(0.05, 0.16) * np.exp(-np.abs(away) / rng.uniform(1, 3))
            - 0.03 * np.tanh(away / 60)
        )
    back = draw_thing(rng)
    back = cv2.resize(back, (round(width * 0.4), round(height * 0.4)))
    faint = cv2.GaussianBlur(back[:, ::-1], (0, 0), 3) * 0.06
    top, left = round(height * rng.uniform(0.05, 0.5)), round(width * rng.uniform(0.05, 0.5))
    shade[top : top + faint.shape[0], left : left + faint.shape[1]] *= 1 - faint
    flat.levels *= shade[..., None]


_SOILS: dict[str, Callable[[Flat, Rng], None]] = {
    "ring": _ring,
    "tape": _tape,
    "torn": _torn,
    "holes": _holes,
    "crease": _crease,
}
