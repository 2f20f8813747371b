"""Made scans with a known truth: the ink layer is drawn first, then laid on paper and scanned.

Every choice comes from a seeded generator. Even seeds are tuned on, odd seeds are reported on.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
Floats = NDArray[np.float32]

PAPERS = {
    "white": (255, 255, 255),
    "near white": (249, 249, 247),
    "cream": (243, 236, 220),
    "grey": (205, 205, 203),
    "kraft": (186, 154, 112),
}
# papers that every tone below differs from by 24 levels or more; nearer than that, no one could tell them apart
TONE_PAPERS = ("white", "near white", "kraft")
INKS = {
    "black": (0, 0, 0),
    "soft black": (28, 26, 30),
    "blue": (30, 60, 170),
    "red": (190, 40, 40),
    "brown": (92, 58, 34),
    "green": (30, 120, 60),
    "pale blue": (120, 165, 225),
}
TONES = ((200, 200, 202), (160, 160, 165), (120, 120, 124), (225, 222, 215))


@dataclass(frozen=True, slots=True)
class Scan:
    """`truth` is uint8 (H, W, 4), straight alpha; `rgba` is the opaque scan of it."""

    truth: Picture
    rgba: Picture
    paper: tuple[int, int, int]
    kind: str


def scan(truth: Picture, paper: str, damage: str, rng: np.random.Generator) -> Scan:
    """The ink layer on a paper, with `damage` one of clean, grain, jpeg, vignette, all."""
    colour = np.float32(PAPERS[paper])
    alpha = truth[..., 3:].astype(np.float32) / 255
    picture = truth[..., :3] * alpha + colour * (1 - alpha)
    height, width = picture.shape[:2]
    if damage in ("vignette", "all"):
        picture = picture * _shade(height, width, rng)[..., None]
    if damage in ("grain", "all"):
        grain = rng.normal(0, rng.uniform(1.0, 3.5), (height, width, 1))
        picture = picture + grain + rng.normal(0, 0.8, (height, width, 3))
    levels = np.clip(np.rint(picture), 0, 255).astype(np.uint8)
    if damage in ("jpeg", "all"):
        quality = int(rng.integers(70, 95))
        coded = cv2.imencode(".jpg", levels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])[1]
        levels = cv2.imdecode(coded, cv2.IMREAD_COLOR)[..., ::-1]
    opaque = np.full((height, width, 1), 255, np.uint8)
    return Scan(truth, np.concatenate([levels, opaque], axis=2), PAPERS[paper], f"{paper} {damage}")


def _shade(height: int, width: int, rng: np.random.Generator) -> Floats:
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    fall = (
        rng.uniform(0.03, 0.15) * ((x - rng.uniform(-0.4, 0.4)) ** 2 + (y - rng.uniform(-0.4, 0.4)) ** 2) / 2
    )
    gutter = rng.uniform(0, 0.15) * np.exp(-(x + 1) / rng.uniform(0.1, 0.3))
    return np.asarray(1 - fall - gutter, np.float32)


def paint(layer: Floats, coverage: Floats, colour: tuple[int, int, int]) -> None:
    """Lay one ink over a layer in place; `layer` float32 (H, W, 4), colour premultiplied, alpha 0-1."""
    cover = coverage[..., None]
    layer *= 1 - cover
    layer[..., :3] += cover * np.float32(colour)
    layer[..., 3:] += cover


def finish(layer: Floats) -> Picture:
    """A premultiplied layer as uint8 (H, W, 4), straight alpha."""
    alpha = layer[..., 3:]
    colour = layer[..., :3] / np.maximum(alpha, 1e-4)
    return np.clip(np.rint(np.concatenate([colour, alpha * 255], axis=2)), 0, 255).astype(np.uint8)


def draw_strokes(side: int, pen: float, count: int, rng: np.random.Generator) -> Floats:
    """Coverage 0-1 of curved pen strokes, float32 (side, side)."""
    grid = np.zeros((side * 4, side * 4), np.uint8)
    for _ in range(count):
        knots = rng.uniform(0.08, 0.92, 2) + rng.normal(0, 0.16, (4, 2)).cumsum(axis=0)
        t = np.linspace(0, 1, 40)[:, None]
        basis = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3]
        curve = sum(b * k for b, k in zip(basis, np.clip(knots, 0.06, 0.94), strict=True))
        points = np.rint(curve * side * 4).astype(np.int32)
        cv2.polylines(grid, [points], False, 255, max(1, round(pen * 4)), cv2.LINE_8)
    return _shrunk(grid, side)


def draw_blobs(side: int, count: int, rng: np.random.Generator) -> Floats:
    """Coverage 0-1 of marker areas, float32 (side, side)."""
    grid = np.zeros((side * 4, side * 4), np.uint8)
    for _ in range(count):
        turns = np.sort(rng.uniform(0, 2 * np.pi, 9))
        radius = rng.uniform(0.03, 0.14, 9)
        centre = rng.uniform(0.2, 0.8, 2)
        points = centre + np.stack([np.cos(turns), np.sin(turns)], axis=1) * radius[:, None]
        cv2.fillPoly(grid, [np.rint(points * side * 4).astype(np.int32)], 255)
    return _shrunk(grid, side)


def _shrunk(grid: Picture, side: int) -> Floats:
    return cv2.resize(grid, (side, side), interpolation=cv2.INTER_AREA).astype(np.float32) / 255


def make_line(seed: int, ink: str) -> Picture:
    """A drawing in one ink, uint8 (side, side, 4)."""
    rng = np.random.default_rng(seed)
    side = int(rng.choice([300, 600, 900]))
    layer = np.zeros((side, side, 4), np.float32)
    paint(layer, draw_strokes(side, float(rng.uniform(1, 8)), 14, rng), INKS[ink])
    return finish(layer)


def make_mixed(seed: int, tones: bool) -> Picture:
    """A drawing in two to four inks, with grey marker under the line if `tones`."""
    rng = np.random.default_rng(seed)
    side = int(rng.choice([400, 700, 1000]))
    layer = np.zeros((side, side, 4), np.float32)
    if tones:
        for tone in rng.choice(len(TONES), 2, replace=False):
            paint(layer, draw_blobs(side, 3, rng), TONES[int(tone)])
    names = [str(n) for n in rng.choice(list(INKS)[2:], int(rng.integers(1, 4)), replace=False)]
    for name in [*names, str(rng.choice(["black", "soft black"]))]:
        paint(layer, draw_strokes(side, float(rng.uniform(1, 9)), 7, rng), INKS[name])
    return finish(layer)
