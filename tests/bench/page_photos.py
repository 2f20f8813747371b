"""Made photographs and scans of pages with their truth: corners, boxes of drawings, the flat page.

Every choice comes from a seed; even seeds are tuned on, odd seeds are reported on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.bench.page_papers import Box, Floats, PageInk, Picture, _noise, lay

TABLES = ("wood", "cloth", "stone", "desk", "check", "light")
STEEPEST = 25.0  # degrees that the camera is tilted by at most


@dataclass(frozen=True, slots=True)
class MadePage:
    """A picture, uint8 (H, W, 4), of a flat page of `size` (width, height) whose drawings are at `boxes`.

    `corners` float64 (4, 2), clockwise from the top left, in pixels of the picture; None for a scan.
    """

    name: str
    rgba: Picture
    corners: NDArray[np.float64] | None
    size: tuple[int, int]
    boxes: list[Box]
    flat: Picture
    back: NDArray[np.float64] | None = None
    """From pixels of the picture to those of the flat page (3, 3), before its curl."""
    curl: float = 0.0
    """How far the middle of the page is bent, in pixels of the flat page."""

    def on_page(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where points (n, 2) of the picture lie on the flat page."""
        if self.back is None:
            return points
        u, v = cv2.perspectiveTransform(points[None].astype(np.float64), self.back)[0].T
        return np.stack([u, v + self.curl * np.sin(np.clip(u / self.size[0], 0, 1) * math.pi)], axis=1)


def make_page(
    kind: str,
    seed: int,
    *,
    medium: str = "ink",
    print_: str = "plain",
    soil: str = "none",
    photo: bool = True,
    half: str = "tune",
    width: int = 1500,
) -> MadePage:
    """A page with drawings as a kind of `sheet_maker` has them."""
    rng = np.random.default_rng([seed, 5])
    page = PageInk(kind, seed, half, width, medium)
    flat = lay(page, medium, print_, soil, rng)
    size = (flat.shape[1], flat.shape[0])
    name = " ".join([kind, medium, print_, soil, "photo" if photo else "scan", str(seed)])
    if not photo:
        return MadePage(name, _opaque(_coded(flat, rng)), None, size, page.boxes, flat)
    shot, corners, back, curl = photograph(flat, rng)
    return MadePage(name, _opaque(shot), corners, size, page.boxes, flat, back, curl)


def _opaque(rgb: Picture) -> Picture:
    return np.dstack([rgb, np.full(rgb.shape[:2], 255, np.uint8)])


def _coded(rgb: Picture, rng: np.random.Generator) -> Picture:
    quality = [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(82, 96))]
    return np.asarray(
        cv2.imdecode(cv2.imencode(".jpg", rgb[..., ::-1], quality)[1], cv2.IMREAD_COLOR)[..., ::-1], np.uint8
    )


def photograph(
    flat: Picture, rng: np.random.Generator, table: Floats | None = None
) -> tuple[Picture, NDArray[np.float64], NDArray[np.float64], float]:
    """The page as a phone sees it on a table, uint8 (H, W, 3), its corners in it, the way back, and its curl."""
    height, width = flat.shape[:2]
    share = rng.uniform(0.62, 0.9)  # of the picture's side that the page takes
    frame = (round(width / share), round(height / share))
    corners = _seen_corners((width, height), frame, rng)
    source = np.float32([[0, 0], [width, 0], [width, height], [0, height]])
    back = cv2.getPerspectiveTransform(np.float32(corners), source)
    x, y = np.meshgrid(np.arange(frame[0], dtype=np.float32), np.arange(frame[1], dtype=np.float32))
    depth = back[2, 0] * x + back[2, 1] * y + back[2, 2]
    u = ((back[0, 0] * x + back[0, 1] * y + back[0, 2]) / depth).astype(np.float32)
    v = ((back[1, 0] * x + back[1, 1] * y + back[1, 2]) / depth).astype(np.float32)
    curl = height * rng.choice([0, 0, rng.uniform(0.004, 0.018)])
    bend = (np.sin(np.clip(u / width, 0, 1) * math.pi) * curl).astype(np.float32)
    seen = cv2.remap(flat, u, v + bend, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    on_page = ((u >= 0) & (u < width) & (v + bend >= 0) & (v + bend < height)).astype(np.float32)
    on_page = cv2.GaussianBlur(on_page, (0, 0), 0.7)
    ground = _table((frame[1], frame[0]), rng) if table is None else table
    shadow = cv2.GaussianBlur(on_page, (0, 0), frame[0] * 0.008)
    moved = np.roll(shadow, (round(frame[0] * 0.006), round(frame[0] * 0.005)), axis=(0, 1))
    ground = ground * (1 - 0.35 * moved[..., None])
    scene = ground * (1 - on_page[..., None]) + seen.astype(np.float32) / 255 * on_page[..., None]
    scene *= 1 - 0.06 * (bend / max(1.0, curl) * on_page)[..., None] * (curl > 0)
    scene = _lit(scene, rng)
    if rng.random() < 0.45:
        scene = _finger(scene, corners, rng)
    scene = cv2.GaussianBlur(scene, (0, 0), rng.uniform(0.4, 0.9))
    scene = scene + rng.normal(0, rng.uniform(0.004, 0.014), scene.shape)
    levels = np.clip(np.rint(scene * 255), 0, 255).astype(np.uint8)
    return _coded(levels, rng), corners, back, float(curl)


def _seen_corners(
    page: tuple[int, int], frame: tuple[int, int], rng: np.random.Generator
) -> NDArray[np.float64]:
    """Where a pinhole camera with a phone's angle of view sees the corners of a tilted page."""
    width, height = page
    corners = np.array([[-width, -height], [width, -height], [width, height], [-width, height]], float) / 2
    corners = np.column_stack([corners, np.zeros(4)])
    tilt, turn = math.radians(rng.uniform(0, STEEPEST)), rng.uniform(0, 2 * math.pi)
    roll = math.radians(rng.normal(0, 4))
    axis = np.array([math.cos(turn), math.sin(turn), 0]) * tilt
    turned = corners @ cv2.Rodrigues(axis)[0].T @ cv2.Rodrigues(np.array([0, 0, roll]))[0].T
    focal = 0.8 * max(frame)  # 64 degrees across the longer side: a phone's main camera, from memory
    away = focal * max(width / frame[0], height / frame[1]) * 1.0
    away = max(away, focal)
    seen = turned[:, :2] * (focal / (away + turned[:, 2]))[:, None]
    seen += np.array(frame) / 2 + rng.normal(0, 0.012, 2) * frame[0]
    low, high = seen.min(axis=0), seen.max(axis=0)
    rim = 0.02 * np.array(frame)
    scale = float(np.min((np.array(frame) - 2 * rim) / (high - low)))
    if scale < 1:
        seen = (seen - seen.mean(axis=0)) * scale + np.array(frame) / 2
        seen += np.maximum(0, rim - seen.min(axis=0)) - np.maximum(
            0, seen.max(axis=0) - np.array(frame) + rim
        )
    return np.asarray(seen)


def _table(shape: tuple[int, int], rng: np.random.Generator) -> Floats:
    """What the page lies on, float32 (H, W, 3), 0..1."""
    kind = TABLES[rng.integers(len(TABLES))]
    colour = {
        "wood": (0.55, 0.38, 0.24),
        "cloth": (0.35, 0.42, 0.5),
        "stone": (0.5, 0.49, 0.47),
        "desk": (0.16, 0.15, 0.15),
        "check": (0.75, 0.5, 0.48),
        "light": (0.74, 0.7, 0.64),
    }[kind]
    base = np.float32(colour) * rng.uniform(0.75, 1.2)
    if kind == "wood":
        grain = _noise((shape[0], max(4, shape[1] // 40)), 3, rng)
        tone = 0.13 * cv2.resize(grain, shape[::-1]) + 0.06 * _noise(shape, 200, rng)
    elif kind == "cloth":
        y, x = np.mgrid[: shape[0], : shape[1]]
        tone = 0.08 * np.sin(x * 0.9) * np.sin(y * 0.9) + 0.08 * _noise(shape, 3, rng)
    elif kind == "check":
        y, x = np.mgrid[: shape[0], : shape[1]]
        side = shape[1] * rng.uniform(0.03, 0.07)
        tone = 0.25 * (((x // side) % 2 + (y // side) % 2) - 1) + 0.03 * _noise(shape, 2, rng)
    elif kind == "stone":
        tone = 0.12 * _noise(shape, 25, rng) + 0.08 * _noise(shape, 4, rng) + 0.05 * _noise(shape, 90, rng)
    else:
        tone = 0.03 * _noise(shape, 120, rng) + 0.015 * _noise(shape, 2, rng)
    table = np.clip(base * (1 + np.asarray(tone, np.float32)[..., None]), 0, 1).astype(np.float32)
    if rng.random() < 0.4:  # a pencil or a mug lies beside it
        start, end = rng.uniform(0, 1, (2, 2)) * np.array(shape[::-1])
        cv2.line(
            table,
            tuple(np.rint(start).astype(int).tolist()),
            tuple(np.rint(end).astype(int).tolist()),
            rng.uniform(0.1, 0.9, 3).tolist(),
            max(4, shape[1] // 70),
            cv2.LINE_AA,
        )
    return table


def _lit(scene: Floats, rng: np.random.Generator) -> Floats:
    height, width = scene.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    way = rng.uniform(0, 2 * math.pi)
    light = 1 - rng.uniform(0.02, 0.22) * (1 + x * math.cos(way) + y * math.sin(way)) / 2
    light *= 1 - rng.uniform(0, 0.12) * (x**2 + y**2) / 2
    if rng.random() < 0.5:  # the shadow of the hand and the phone
        mask = np.zeros((height, width), np.float32)
        at = (round(width * rng.uniform(0, 1)), round(height * rng.choice([rng.uniform(0, 0.3), 1])))
        cv2.ellipse(
            mask,
            at,
            (round(width * rng.uniform(0.15, 0.4)), round(height * rng.uniform(0.2, 0.5))),
            float(rng.uniform(0, 180)),
            0,
            360,
            1.0,
            -1,
        )
        soft = cv2.GaussianBlur(mask, (0, 0), width * rng.uniform(0.01, 0.05))
        light *= 1 - rng.uniform(0.12, 0.4) * soft
    tint = np.float32([1, rng.uniform(0.93, 1), rng.uniform(0.8, 1)])
    return np.asarray(scene * light[..., None] * tint * rng.uniform(0.82, 1.0), np.float32)


def _finger(scene: Floats, corners: NDArray[np.float64], rng: np.random.Generator) -> Floats:
    """A thumb that holds the paper at its rim."""
    height, width = scene.shape[:2]
    side = int(rng.integers(4))
    at = corners[side] + (corners[(side + 1) % 4] - corners[side]) * rng.uniform(0.15, 0.85)
    middle = corners.mean(axis=0)
    inward = (middle - at) / np.hypot(*(middle - at))
    tip = at + inward * width * 0.03
    end = at - inward * width * 0.5
    skin = np.float32([(0.82, 0.6, 0.48), (0.55, 0.36, 0.26), (0.35, 0.22, 0.16)][rng.integers(3)])
    mask = np.zeros((height, width), np.float32)
    cv2.line(
        mask,
        tuple(np.rint(tip).astype(int).tolist()),
        tuple(np.rint(end).astype(int).tolist()),
        1.0,
        max(6, round(width * 0.055)),
        cv2.LINE_AA,
    )
    soft = cv2.GaussianBlur(mask, (0, 0), 1.5)
    shade = np.roll(cv2.GaussianBlur(mask, (0, 0), width * 0.01), (6, 6), axis=(0, 1))
    scene = scene * (1 - 0.3 * shade[..., None])
    form = 0.85 + 0.15 * cv2.GaussianBlur(mask, (0, 0), width * 0.012)
    return np.asarray(scene * (1 - soft[..., None]) + soft[..., None] * form[..., None] * skin, np.float32)
