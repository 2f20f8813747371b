"""Drawings made of strokes as a hand makes them: wobble, pressure, overshoot; for pages that no other bench knows."""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

Rng = np.random.Generator
Points = NDArray[np.float64]

SIDE, FINE = 640, 2  # pixels of a drawing's square, and how much finer strokes are laid

# On a square of 100: `p` is a path x y x y …, `o` an ellipse x y rx ry, `h` a hatched box x y w h.
THINGS = {
    "standing": (
        "p 50 22 49 34 50 56; p 50 34 38 44 36 58; p 50 34 62 45 65 57; p 50 56 43 74 41 93; p 50 56 58 74 60 "
        "93; p 41 93 35 94; p 60 93 67 94; p 44 30 56 30; o 50 13 8 9"
    ),
    "walking": (
        "p 52 24 50 40 47 55; p 51 33 62 42 70 40; p 51 33 40 44 33 50; p 47 55 60 68 66 90; p 47 55 42 72 26 "
        "86; p 66 90 73 89; p 26 86 24 92; p 46 14 42 20 46 24; o 54 15 8 9"
    ),
    "cup": (
        "p 25 40 28 78 36 86 60 86 68 78 71 40; p 71 48 86 48 86 66 69 70; p 36 30 40 22 35 14; p 52 30 57 20 "
        "51 12; p 20 92 50 96 78 92; o 48 40 23 6; h 34 55 10 24"
    ),
    "house": (
        "p 15 48 50 14 86 48; p 22 44 22 88; p 79 42 79 88; p 22 88 79 88; p 42 88 42 62 57 62 57 88; p 64 26 "
        "64 14 71 14 71 33; p 28 54 37 54 37 66 28 66 28 54; h 62 52 12 14"
    ),
    "van": (
        "p 10 72 10 38 62 36 76 50 90 54 91 72; p 10 72 18 72; p 34 72 64 72; p 80 72 91 72; p 66 42 66 52 75 "
        "52; p 14 44 58 43; p 40 37 40 70; o 26 73 8 8; o 26 73 3 3; o 72 73 8 8; o 72 73 3 3; h 66 42 8 9"
    ),
    "tree": (
        "p 47 92 48 60; p 55 92 54 60; p 48 66 36 54; p 54 64 66 52; p 40 93 64 93; p 30 60 18 52 22 38 20 26 "
        "34 20 42 8 58 10 70 14 78 28 82 42 74 56 60 60 46 58 30 60; h 56 30 16 20"
    ),
    "ferry": (
        "p 6 64 16 82 80 82 95 62 6 64; p 18 63 20 46 74 46 78 62; p 30 46 31 32 60 32 62 46; p 44 32 45 16 "
        "54 16 54 32; p 4 90 16 87 28 91 40 87 52 91 66 87 80 91 96 88; p 54 14 64 8 74 11 84 6; o 28 54 3 3; "
        "o 40 54 3 3; o 52 54 3 3; o 64 54 3 3"
    ),
    "chair": (
        "p 30 10 32 56; p 62 8 62 54; p 32 56 62 54 76 66 44 68 32 56; p 32 56 31 90; p 44 68 44 97; p 76 66 "
        "77 94; p 62 60 62 80; p 30 18 62 16; p 31 32 62 30"
    ),
    "face": (
        "p 40 62 48 65 58 61; p 49 40 45 54 51 55; p 26 36 24 20 40 8 60 9 74 22 73 38; p 32 36 40 34; p 56 "
        "34 64 36; p 42 82 41 96; p 58 82 60 96; o 49 47 24 34; o 38 43 4 3; o 59 43 4 3; h 30 14 36 10"
    ),
    "dog": (
        "p 20 34 30 26 40 34 42 44 74 44 82 38 92 24; p 20 34 10 42 16 48 30 46 34 58 34 90 40 90 42 62; p 42 "
        "62 64 62 68 90 75 90 74 60 80 46; p 34 28 42 18 44 32; o 25 37 2 2; o 10 42 2 2; h 48 46 18 12"
    ),
    "rain": (
        "p 24 40 12 38 12 26 24 24 30 10 50 8 58 20 76 16 84 28 80 40 24 40; p 28 50 24 62; p 40 52 36 66; p "
        "52 50 48 62; p 64 53 60 67; p 74 50 70 62; p 34 72 30 86; p 48 74 44 88; p 62 73 58 86"
    ),
    "lamp": (
        "p 50 96 50 40 60 22 74 24; p 66 30 70 20 82 22 86 34 66 30; p 38 96 62 96; p 70 40 66 52; p 77 42 77 "
        "56; p 84 40 90 52"
    ),
    "loaf": (
        "p 12 62 10 46 26 38 50 34 76 38 90 48 88 64 12 62; p 28 42 36 54; p 44 38 52 52; p 60 38 68 52; h 16 "
        "54 60 7"
    ),
    "phone in hand": (
        "p 36 10 66 12 64 66 34 64 36 10; p 41 16 61 17 59 56 39 55 41 16; p 34 46 24 52 22 70 34 84 36 98; p "
        "64 54 72 58 70 76 60 86 60 98; p 64 44 74 42 74 48 64 50; p 65 34 75 32 75 39 65 41"
    ),
    "umbrella": (
        "p 10 48 20 22 50 12 80 22 90 48; p 10 48 23 42 36 48 50 42 64 48 77 42 90 48; p 50 12 50 84 46 92 38 "
        "90; p 50 12 36 48; p 50 12 64 48"
    ),
    "clock": (
        "p 50 50 50 26; p 50 50 66 58; p 50 14 50 18; p 50 82 50 86; p 14 50 18 50; p 82 50 86 50; o 50 50 38 "
        "38; o 50 50 33 33; o 50 50 2 2"
    ),
    "birds": (
        "p 14 40 24 32 32 42 40 31 50 39; p 48 26 58 18 66 28 74 19 84 25; p 56 52 65 44 73 54 81 45 92 51; p "
        "28 60 37 53 44 62 52 54 61 59"
    ),
    "bicycle": (
        "p 25 66 42 42 66 42 75 66; p 42 42 50 66 25 66; p 50 66 66 42; p 42 42 39 34; p 33 33 45 33; p 66 42 "
        "63 30 72 28; o 25 66 17 17; o 75 66 17 17; o 50 66 4 4"
    ),
}


def draw_thing(rng: Rng, name: str | None = None) -> NDArray[np.float32]:
    """How dark a drawing is, 0..1, float32 (h, w), cropped to its strokes."""
    thing: dict[str, list[tuple[float, ...]]] = {"p": [], "o": [], "h": []}
    for part in THINGS[name or sorted(THINGS)[rng.integers(len(THINGS))]].split("; "):
        kind, *numbers = part.split()
        thing[kind].append(tuple(map(float, numbers)))
    laid = np.zeros((SIDE * FINE, SIDE * FINE), np.uint8)
    pen = rng.uniform(2.2, 6.5)
    lean, squash = rng.normal(0, 0.06), rng.uniform(0.82, 1.12)
    passes = 2 if rng.random() < 0.3 else 1  # some draw every line twice

    def put(points: Points) -> Points:
        x = points[:, 0] + lean * (50 - points[:, 1])
        return np.stack([50 + (x - 50) * 0.9 * squash, 50 + (points[:, 1] - 50) * 0.9], axis=1)

    for _ in range(passes):
        for flat in thing["p"]:
            _stroke(laid, put(np.array(flat, float).reshape(-1, 2)), pen, rng)
        for x, y, rx, ry in thing["o"]:
            turns = np.linspace(0, 2 * math.pi + rng.uniform(0, 0.5), 14) + rng.uniform(0, 6)
            _stroke(laid, put(np.stack([x + rx * np.cos(turns), y + ry * np.sin(turns)], axis=1)), pen, rng)
    if rng.random() < 0.7:
        for x, y, w, h in thing["h"]:
            for t in np.arange(0.1, 1, rng.uniform(0.1, 0.22)):
                line = np.array([[x + w * t, y], [x + w * t - 0.3 * w, y + h]])
                _stroke(laid, put(line), pen * 0.55, rng)
    dark = cv2.resize(laid, (SIDE, SIDE), interpolation=cv2.INTER_AREA).astype(np.float32) / 255
    if rng.random() < 0.5:
        dark = np.ascontiguousarray(dark[:, ::-1])
    x0, y0, w, h = cv2.boundingRect((dark > 0.1).astype(np.uint8))
    return dark[y0 : y0 + h, x0 : x0 + w]


def _stroke(laid: NDArray[np.uint8], knots: Points, pen: float, rng: Rng) -> None:
    """One stroke through knots on a square of 100: smooth, unsteady, thicker where the hand presses."""
    scale = laid.shape[0] / 100
    knots = knots + rng.normal(0, 0.7, knots.shape)
    path = _smooth(knots)
    away = np.cumsum(rng.normal(0, 0.05, path.shape), axis=0)
    path = (path + away - np.linspace(0, 1, len(path))[:, None] * away[-1] * 0.7) * scale
    t = np.linspace(0, 1, len(path))
    press = 0.45 + 0.55 * np.sin(np.clip(t * rng.uniform(0.8, 1.1) + 0.08, 0, 1) * math.pi) ** 0.6
    press = press * (1 + 0.12 * np.sin(t * rng.uniform(4, 14) + rng.uniform(0, 6)))
    for k in range(len(path) - 1):
        ends = np.rint(path[k : k + 2] * 8).astype(int)
        wide = max(1, round(pen * FINE * press[k]))
        cv2.line(laid, tuple(ends[0].tolist()), tuple(ends[1].tolist()), 255, wide, cv2.LINE_AA, 3)


def _smooth(knots: Points) -> Points:
    """A curve through the knots (Catmull and Rom)."""
    if len(knots) == 2:
        return np.asarray(knots[0] + np.linspace(0, 1, 14)[:, None] * (knots[1] - knots[0]))
    ends = np.concatenate([2 * knots[:1] - knots[1:2], knots, 2 * knots[-1:] - knots[-2:-1]])
    t = np.linspace(0, 1, 12, endpoint=False)[:, None]
    runs = []
    for a, b, c, d in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        runs.append(
            0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3)
        )
    return np.concatenate([*runs, knots[-1:]])
