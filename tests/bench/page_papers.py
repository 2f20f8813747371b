"""Pages as artists draw on them: media, printed papers and soil, each with a known truth.

`ink` below is float32 (H, W, 3), 0..1: how much light of each colour the drawing lets back. A page is its paper times
its ink, soil laid over or under it.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.bench.sheet_maker import make_sheet

Picture = NDArray[np.uint8]
Floats = NDArray[np.float32]
Box = tuple[int, int, int, int]

MEDIA = ("ink", "pencil", "ball-pen", "underdrawing", "marker", "wash", "white on dark", "chalk")
PRINTS = ("plain", "ruled", "squared", "dotted")
SOILS = ("none", "tape", "ring", "stain", "torn", "holes", "dust", "grain")


class PageInk:
    """Drawings on a page: `ink` float32 (H, W, 3), `under` their underdrawing alike, `boxes` x, y, w, h."""

    def __init__(self, kind: str, seed: int, half: str, width: int, medium: str) -> None:
        rng = np.random.default_rng([seed, 77])
        made = make_sheet(kind, seed, half, max(1250, width))
        rgb = cv2.cvtColor(made.rgba, cv2.COLOR_RGBA2RGB)
        scale = width / max(rgb.shape[:2])
        size = (round(rgb.shape[1] * scale), round(rgb.shape[0] * scale))
        rgb = cv2.resize(rgb, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC)
        boxes = [tuple(round(v * scale) for v in box) for box in made.boxes]
        paper = np.median(rgb.reshape(-1, 3), axis=0)
        ink = np.clip(rgb.astype(np.float32) / np.maximum(paper, 1), 0, 1)
        margin = round(0.05 * width)  # nobody draws up to the paper's edge
        pad = ((margin, margin), (margin, margin), (0, 0))
        self.ink = np.pad(ink, pad, constant_values=1.0)
        self.boxes: list[Box] = [(x + margin, y + margin, w, h) for x, y, w, h in boxes]
        self.under = np.ones_like(self.ink)
        _MEDIUM.get(medium, lambda _, __: None)(self, rng)

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width in pixels."""
        return self.ink.shape[0], self.ink.shape[1]


def _noise(shape: tuple[int, int], grain: float, rng: np.random.Generator) -> Floats:
    """Smooth noise of unit spread whose blobs are about `grain` pixels wide."""
    size = (max(2, round(shape[1] / grain)), max(2, round(shape[0] / grain)))
    coarse = rng.normal(0, 1, size[::-1]).astype(np.float32)
    return np.asarray(cv2.resize(coarse, shape[::-1], interpolation=cv2.INTER_CUBIC), np.float32)


def _pencil(page: PageInk, rng: np.random.Generator) -> None:
    dark = 1 - page.ink.mean(axis=2)
    tooth = np.clip(0.75 + 0.3 * _noise(page.shape, 1.6, rng), 0.15, 1)
    page.ink = np.repeat((1 - np.clip(dark * tooth, 0, 1) * rng.uniform(0.5, 0.75))[..., None], 3, axis=2)


def _ball_pen(page: PageInk, rng: np.random.Generator) -> None:
    dark = 1 - page.ink.mean(axis=2)
    skips = np.clip(1.1 + 0.25 * _noise(page.shape, 5, rng), 0.4, 1)
    colour = np.array([(0.1, 0.16, 0.55), (0.08, 0.08, 0.12), (0.6, 0.1, 0.14)][rng.integers(3)], np.float32)
    page.ink = (1 - (dark * skips)[..., None] * (1 - colour)).astype(np.float32)


def _underdrawing(page: PageInk, rng: np.random.Generator) -> None:
    dark = (1 - page.ink.mean(axis=2)).astype(np.float32)
    page.ink = np.repeat((1 - dark * 0.9)[..., None], 3, axis=2)
    edge = cv2.morphologyEx(dark, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    colour = np.array([(0.9, 0.25, 0.25), (0.35, 0.6, 0.95), (0.95, 0.5, 0.2)][rng.integers(3)], np.float32)
    total = np.zeros(page.shape, np.float32)
    for _ in range(2):
        dx, dy = (8 * _noise(page.shape, 160, rng) * page.shape[1] / 1600 for _ in range(2))
        y, x = np.mgrid[: page.shape[0], : page.shape[1]].astype(np.float32)
        total = np.maximum(total, cv2.remap(edge, x + dx, y + dy, cv2.INTER_LINEAR))
    strength = np.clip(cv2.GaussianBlur(total, (0, 0), 0.8) * 1.6, 0, rng.uniform(0.4, 0.7))
    page.under = (1 - strength[..., None] * (1 - colour)).astype(np.float32)


def _marker(page: PageInk, rng: np.random.Generator) -> None:
    dark = 1 - page.ink.mean(axis=2)
    wide = cv2.dilate(dark, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5)))
    streaks = 1 + 0.08 * np.repeat(rng.normal(0, 1, (page.shape[0] // 9 + 1, 1)), 9, axis=0)[: page.shape[0]]
    laid = np.minimum(page.ink, 1 - wide[..., None] * 0.85)
    page.ink = np.clip(1 - (1 - laid) * streaks[..., None], 0, 1).astype(np.float32)


def _wash(page: PageInk, rng: np.random.Generator) -> None:
    for x, y, w, h in page.boxes:
        blob = np.zeros((h, w), np.float32)
        cv2.ellipse(
            blob, (w // 2, h // 2), (max(2, int(w * 0.42)), max(2, int(h * 0.42))), 0, 0, 360, 1.0, -1
        )
        soft = cv2.GaussianBlur(blob, (0, 0), max(1.0, 0.02 * w))
        tone = soft * np.clip(0.35 + 0.12 * _noise((h, w), max(3, w / 5), rng), 0.1, 0.6)
        colour = rng.uniform(0.35, 0.9, 3).astype(np.float32)
        page.ink[y : y + h, x : x + w] *= 1 - tone[..., None] * (1 - colour)


_MEDIUM = {
    "pencil": _pencil,
    "ball-pen": _ball_pen,
    "underdrawing": _underdrawing,
    "marker": _marker,
    "wash": _wash,
}


def lay(page: PageInk, medium: str, print_: str, soil: str, rng: np.random.Generator) -> Picture:
    """The flat page, uint8 (H, W, 3)."""
    dark_ground = medium in ("white on dark", "chalk")
    shape = page.shape
    fibre = 1 + 0.012 * _noise(shape, 2, rng) + 0.01 * _noise(shape, 60, rng)
    white = np.array([rng.uniform(0.93, 1)] * 3) * rng.uniform([0.98, 0.96, 0.9], 1)
    paper = np.asarray(fibre[..., None] * white, np.float32)
    if dark_ground:
        ground = np.array([(0.08, 0.1, 0.14), (0.12, 0.2, 0.15), (0.05, 0.05, 0.06)][rng.integers(3)])
        smear = 1 + (0.5 if medium == "chalk" else 0.05) * np.clip(_noise(shape, 90, rng), 0, 2)
        cover = 1 - page.ink.min(axis=2)
        if medium == "chalk":
            cover = cover * np.clip(0.85 + 0.4 * _noise(shape, 1.7, rng), 0, 1)
        levels = paper * ground * smear[..., None]
        levels = levels + cover[..., None] * (0.93 - levels)
    else:
        levels = paper * _printed(shape, print_, rng) * page.under * page.ink
    return np.clip(np.rint(_soiled(levels, soil, rng) * 255), 0, 255).astype(np.uint8)


def _printed(shape: tuple[int, int], print_: str, rng: np.random.Generator) -> Floats:
    """The light that a printed paper lets back, float32 (H, W, 3)."""
    mark = np.zeros(shape, np.float32)
    apart = shape[1] * rng.uniform(0.028, 0.04)
    weight = max(1, round(shape[1] / 1500))
    along = [round(apart * (k + 1)) for k in range(int(max(shape) / apart))]
    if print_ == "ruled":
        for y in along[2:]:
            mark[y : y + weight] = 1
    elif print_ == "squared":
        for at in along:
            mark[at : at + weight] = 1
            mark[:, at : at + weight] = 1
    elif print_ == "dotted":
        for y in along:
            for x in along:
                cv2.circle(mark, (x, y), max(1, weight), 1.0, -1)
    colour = np.array([(0.55, 0.72, 0.93), (0.7, 0.72, 0.75), (0.6, 0.8, 0.7)][rng.integers(3)], np.float32)
    soft = cv2.GaussianBlur(mark, (0, 0), 0.6)[..., None]
    print_light = 1 - soft * (1 - colour)
    if print_ == "ruled" and rng.random() < 0.6:
        x = round(shape[1] * 0.12)
        print_light[:, x : x + weight + 1] *= (0.95, 0.55, 0.6)
    return np.asarray(print_light, np.float32)


def _soiled(levels: Floats, soil: str, rng: np.random.Generator) -> Floats:
    make = _SOIL.get(soil)
    return levels if make is None else np.asarray(make(levels.copy(), rng), np.float32)


def _tape(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    for corner in rng.permutation(4)[: rng.integers(1, 5)]:
        at = ((corner % 2) * width, (corner // 2) * height)
        box = cv2.boxPoints(
            ((float(at[0]), float(at[1])), (width * 0.16, width * 0.05), 45 if corner in (1, 2) else -45)
        )
        mask = np.zeros((height, width), np.float32)
        cv2.fillPoly(mask, [np.rint(box).astype(np.int32)], 1.0)
        levels *= 1 - mask[..., None] * (1 - np.float32((0.93, 0.88, 0.72)))
    return levels


def _ring(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    radius = round(width * rng.uniform(0.06, 0.11))
    at = (round(width * rng.uniform(0.1, 0.9)), round(height * rng.uniform(0.1, 0.9)))
    cv2.circle(mask, at, radius, 1.0, max(3, round(width * 0.008)))
    soft = cv2.GaussianBlur(mask, (0, 0), 2) * np.clip(0.6 + 0.3 * _noise((height, width), 40, rng), 0.1, 1)
    return levels * (1 - soft[..., None] * (1 - np.float32((0.72, 0.55, 0.36))))


def _stain(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    turns = np.linspace(0, 2 * math.pi, 30, endpoint=False)
    radius = width * rng.uniform(0.04, 0.1) * (1 + 0.2 * rng.normal(0, 1, 30).cumsum() / 5)
    at = np.array([width * rng.uniform(0.1, 0.9), height * rng.uniform(0.1, 0.9)])
    points = at + np.stack([np.cos(turns), np.sin(turns)], axis=1) * radius[:, None]
    cv2.fillPoly(mask, [np.rint(points).astype(np.int32)], 1.0)
    soft = cv2.GaussianBlur(mask, (0, 0), width * 0.006)
    return levels * (1 - soft[..., None] * (1 - np.float32((0.9, 0.82, 0.66))))


def _torn(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    depth = width * 0.02 * (1 + 0.5 * np.cumsum(rng.normal(0, 0.15, height)).clip(-1, 1.5))
    x = np.arange(width)[None]
    gone = x < depth[:, None]
    rim = (x >= depth[:, None]) & (x < depth[:, None] + width * 0.004)
    levels[gone] = 0.35
    levels[rim] = 0.99
    return levels


def _holes(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    count = int(rng.choice([2, 4]))
    for k in range(count):
        at = (round(width * 0.035), round(height * (k + 1) / (count + 1)))
        cv2.circle(levels, at, round(width * 0.014), (0.25, 0.24, 0.23), -1, cv2.LINE_AA)
    return levels


def _dust(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    for _ in range(int(rng.integers(30, 120))):
        at = (int(rng.integers(width)), int(rng.integers(height)))
        cv2.circle(
            levels,
            at,
            int(rng.integers(1, 1 + max(2, width // 700))),
            (float(rng.uniform(0.2, 0.7)),) * 3,
            -1,
        )
    for _ in range(int(rng.integers(0, 6))):
        start = np.array([rng.uniform(0, width), rng.uniform(0, height)])
        hair = start + rng.normal(0, width * 0.004, (12, 2)).cumsum(axis=0)
        cv2.polylines(levels, [np.rint(hair).astype(np.int32)], False, (0.45,) * 3, 1, cv2.LINE_AA)
    return levels


def _grain(levels: Floats, rng: np.random.Generator) -> Floats:
    height, width = levels.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    side = rng.integers(4)
    away = (x, -x, y, -y)[side]
    margin = rng.uniform(0.15, 0.4) * np.exp(-(away + 1) / rng.uniform(0.04, 0.12))
    noisy = levels * (1 - margin[..., None]) + rng.normal(0, rng.uniform(0.008, 0.02), (height, width, 1))
    return np.asarray(noisy + rng.normal(0, 0.004, levels.shape), np.float32)


_SOIL = {
    "tape": _tape,
    "ring": _ring,
    "stain": _stain,
    "torn": _torn,
    "holes": _holes,
    "dust": _dust,
    "grain": _grain,
}
