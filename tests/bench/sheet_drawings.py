"""Drawings for made sheets: clip art, its line versions, and pen drawings of several parts.

The clip art is that of the Debian package `openclipart-png`. Drawings are
split by their names into a half for tuning and a half for reporting; a fifth
of the tuning half, 'prove', tells how judges do that learnt from the rest, 'learn'.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
CLIP_ART = Path("/usr/share/openclipart/png")
# A JSON file {"any key": ["oc:place/name.svg", ...]} of drawings that other figures are reported on.
KEPT_ASIDE = os.environ.get("ASSETLIB_KEPT_ASIDE", "")
# The package holds thousands of flags, icons and spirals; left alone they would be half of every sheet.
WEIGHTS = {"computer": 0.5, "shapes": 0.3, "signs_and_symbols": 0.7, "geography": 0.3, "buttons": 0.2}
MIN_SIDE = 60


def belongs(name: str, half: str) -> bool:
    """Whether a drawing is of the half 'tune', of its parts 'learn' or 'prove', or of 'report': by its name alone."""
    side, part = hashlib.sha256(name.encode()).digest()[:2]
    if side % 2 == 0:
        return half == "report"
    return half in ("tune", "learn" if part % 5 else "prove")


@lru_cache(maxsize=4)
def names_by_place(half: str) -> dict[str, list[Path]]:
    """The clip art of one half, by top folder."""
    aside = set()
    if KEPT_ASIDE:
        for names in json.loads(Path(KEPT_ASIDE).read_text()).values():
            aside |= {name.split(":", 1)[-1].removesuffix(".svg") for name in names}
    found: dict[str, list[Path]] = {}
    for path in sorted(CLIP_ART.rglob("*.png")):
        name = path.relative_to(CLIP_ART).with_suffix("").as_posix()
        if name in aside or "flag" in name or not belongs(name, half):
            continue
        found.setdefault(name.split("/", 1)[0], []).append(path)
    return found


@lru_cache(maxsize=900)
def read_drawing(path: Path) -> Picture | None:
    """Straight-alpha drawing cropped to what shows, or None when too small, faint or heavy."""
    raw = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
    if raw is None or raw.ndim != 3 or raw.shape[2] != 4 or max(raw.shape) > 2400:
        return None
    rgba = cv2.cvtColor(raw, cv2.COLOR_BGRA2RGBA)
    box = ink_box(on_paper(rgba, (255, 255, 255)), (255, 255, 255))
    if box is None or min(box[2:]) < MIN_SIDE * 0.5 or max(box[2:]) < MIN_SIDE:
        return None
    shown = cv2.boundingRect((rgba[..., 3] > 16).astype(np.uint8))
    if box[2] * box[3] < 0.9 * shown[2] * shown[3]:
        return None  # parts of it are white on white: no one could say where it ends
    x, y, w, h = box
    return np.ascontiguousarray(rgba[y : y + h, x : x + w])


def on_paper(rgba: Picture, paper: tuple[int, int, int]) -> NDArray[np.float32]:
    """The drawing over a flat ground, float32 (H, W, 3)."""
    alpha = rgba[..., 3:].astype(np.float32) / 255
    return rgba[..., :3].astype(np.float32) * alpha + np.float32(paper) * (1 - alpha)


def ink_box(
    rgb: NDArray[np.float32], paper: tuple[int, int, int], least: float = 24
) -> tuple[int, ...] | None:
    """Box x, y, w, h of all that differs from the paper by more than `least` levels."""
    mask = (np.abs(rgb - np.float32(paper)).max(axis=2) > least).astype(np.uint8)
    box = cv2.boundingRect(mask)
    return tuple(box) if box[2] and box[3] else None


def pick_clip_art(rng: np.random.Generator, half: str) -> Picture:
    """One drawing, folder first so that no folder rules the sheets."""
    places = names_by_place(half)
    order = sorted(places)
    weights = np.array([WEIGHTS.get(place, 1.0) * min(1.0, len(places[place]) / 20) for place in order])
    while True:
        place = order[rng.choice(len(order), p=weights / weights.sum())]
        drawing = read_drawing(places[place][rng.integers(len(places[place]))])
        if drawing is not None:
            return drawing


def part_count(rgba: Picture, apart: float = 0.015) -> int:
    """How many parts stay apart when gaps below `apart` of the size are closed."""
    mask = (rgba[..., 3] > 60).astype(np.uint8)
    reach = max(1, round(apart * max(mask.shape)))
    grown = cv2.dilate(mask, np.ones((reach, reach), np.uint8))
    return int(cv2.connectedComponents(grown)[0]) - 1


def pick_parted(rng: np.random.Generator, half: str) -> Picture:
    """A drawing of several detached parts: clip art or a pen drawing."""
    if rng.random() < 0.35:
        return pen_drawing(rng, parted=True)
    for _ in range(60):
        drawing = pick_clip_art(rng, half)
        if part_count(drawing) >= 2:
            return drawing
    return pen_drawing(rng, parted=True)


def fit(rgba: Picture, width: float, height: float) -> Picture:
    """The drawing scaled into width x height, never below 8 px a side."""
    scale = min(width / rgba.shape[1], height / rgba.shape[0])
    size = (max(8, round(rgba.shape[1] * scale)), max(8, round(rgba.shape[0] * scale)))
    light = rgba.astype(np.float32)
    light[..., :3] *= light[..., 3:] / 255
    method = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    out = np.clip(cv2.resize(light, size, interpolation=method), 0, 255)
    alpha = np.maximum(out[..., 3:], 1e-3) / 255
    out[..., :3] = np.clip(out[..., :3] / alpha, 0, 255)
    return out.astype(np.uint8)


def line_version(
    rgba: Picture, weight: float, ink: tuple[int, int, int], breaks: float, rng: np.random.Generator
) -> Picture:
    """Line drawing of a picture: its edges, `weight` px wide; `breaks` is the share of line left out."""
    rgb = on_paper(rgba, (255, 255, 255)).astype(np.uint8)
    pad = math.ceil(weight) + 2
    rgb = cv2.copyMakeBorder(rgb, pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=(255, 255, 255))
    soft = cv2.GaussianBlur(rgb, (0, 0), max(0.8, weight / 3))
    edges = np.maximum.reduce([cv2.Canny(np.ascontiguousarray(soft[..., k]), 60, 140) for k in range(3)])
    if breaks > 0:
        coarse = rng.random((max(2, edges.shape[0] // 24), max(2, edges.shape[1] // 24))).astype(np.float32)
        keep = cv2.resize(coarse, edges.shape[::-1], interpolation=cv2.INTER_LINEAR) > breaks
        edges = np.where(keep, edges, 0).astype(np.uint8)
    reach = max(1, round(weight))
    thick = cv2.dilate(edges, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    alpha = cv2.GaussianBlur(thick, (0, 0), 0.6)
    out = np.zeros((*alpha.shape, 4), np.uint8)
    out[..., :3] = ink
    out[..., 3] = alpha
    return out


def _stroke(canvas: NDArray[np.uint8], points: NDArray[np.float64], weight: int) -> None:
    cv2.polylines(canvas, [np.round(points * 8).astype(np.int32)], False, 255, weight, cv2.LINE_AA, shift=3)


def _wobbly(
    rng: np.random.Generator, cx: float, cy: float, rx: float, ry: float, gap: float = 0.0
) -> NDArray[np.float64]:
    angles = np.linspace(0, 2 * math.pi * (1 - gap), 60) + rng.uniform(0, 6)
    swell = 1 + 0.06 * np.sin(angles * rng.integers(2, 5) + rng.uniform(0, 6))
    return np.stack([cx + rx * swell * np.cos(angles), cy + ry * swell * np.sin(angles)], axis=1)


def _curve(rng: np.random.Generator, size: float) -> NDArray[np.float64]:
    knots = rng.uniform(0.1, 0.9, (rng.integers(3, 6), 2)) * size
    steps = np.linspace(0, len(knots) - 1, 40)
    return np.stack([np.interp(steps, range(len(knots)), knots[:, k]) for k in range(2)], axis=1)


def _face(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    for cx in (165, 235):
        _stroke(canvas, _wobbly(rng, cx, 195, 12, rng.uniform(8, 16)), weight)
    _stroke(canvas, np.array([[170, 260], [200, 275], [232, 258]], float), weight)


def _rain(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    for _ in range(rng.integers(6, 16)):
        x, y = rng.uniform(10, 390, 2)
        _stroke(canvas, np.array([[x, y], [x - 8, y + 30]]), max(2, weight // 2))


def _motion(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    side = rng.choice([20, 330])
    for k in range(rng.integers(2, 5)):
        _stroke(canvas, np.array([[side, 150 + 40 * k], [side + 50, 150 + 40 * k]], float), weight)


def _arrow(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    y = rng.uniform(15, 45)
    _stroke(canvas, np.array([[90, y], [310, y]], float), weight)
    _stroke(canvas, np.array([[285, y - 14], [312, y], [285, y + 14]], float), weight)


def _steam(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    ys = np.linspace(5, 60, 20)
    for x in (150, 200, 250)[: rng.integers(2, 4)]:
        _stroke(canvas, np.stack([x + 8 * np.sin(ys / 9), ys], axis=1), max(2, weight // 2))


def _sparks(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    for angle in np.linspace(0, 2 * math.pi, int(rng.integers(5, 12)), endpoint=False):
        way = np.array([math.cos(angle), math.sin(angle)])
        _stroke(canvas, np.array([200, 215]) + np.array([way * 168, way * 185]), weight)


def _shadow(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    for k in range(rng.integers(1, 5)):
        _stroke(
            canvas,
            np.array([[90 + 15 * k, 375 + 7 * k], [rng.uniform(260, 330), 375 + 7 * k]]),
            max(2, weight // 2),
        )


def _trail(canvas: NDArray[np.uint8], rng: np.random.Generator, weight: int) -> None:
    for k in range(rng.integers(2, 5)):
        _stroke(canvas, _wobbly(rng, 330 + 18 * k, 90 - 22 * k, 16 - 3 * k, 14 - 3 * k), max(2, weight // 2))


def pen_drawing(rng: np.random.Generator, parted: bool = False) -> Picture:
    """A pen drawing about 400 px large: a rounded thing, alone or with detached parts in or around it."""
    size, weight = 400, int(rng.integers(2, 12))
    canvas = np.zeros((size, size), np.uint8)
    _stroke(
        canvas,
        _wobbly(rng, 200, 220, rng.uniform(80, 150), rng.uniform(80, 140), rng.choice([0, 0.08])),
        weight,
    )
    motifs = [_face, _rain, _motion, _arrow, _steam, _sparks, _shadow, _trail]
    motif = rng.integers(len(motifs) if parted else len(motifs) * 2)
    if motif < len(motifs):
        motifs[motif](canvas, rng, weight)
    else:
        for _ in range(rng.integers(2, 6)):
            _stroke(canvas, _curve(rng, size), weight)
    ink = np.zeros((size, size, 4), np.uint8)
    ink[..., 3] = canvas
    x, y, w, h = cv2.boundingRect((canvas > 60).astype(np.uint8))
    return np.ascontiguousarray(ink[y : y + h, x : x + w])
