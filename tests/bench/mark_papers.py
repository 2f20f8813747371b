"""What made pages are drawn on: papers of many teeth, folded, crumpled, laid, flecked; their print; dark boards."""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.prints import Print, take_out
from tests.bench.mark_sheet import HEIGHT, PAPER, PRINT, SPECK, WIDTH, Floats, Rng, Sheet, noise
from tests.bench.mark_soil import soil

SHAPE = (HEIGHT, WIDTH)


def _paper(sheet: Sheet) -> Floats:
    rng = sheet.rng
    let_back = 1 + rng.uniform(0, 0.02) * noise(SHAPE, rng.uniform(1.2, 4), rng)
    let_back = let_back + rng.uniform(0, 0.025) * noise(SHAPE, rng.uniform(25, 150), rng)
    for make, often in ((_tooth, 0.35), (_crumpled, 0.18), (_laid, 0.1), (_woven, 0.08), (_mottled, 0.15)):
        if rng.random() < often:
            let_back = let_back * make(rng)
    if rng.random() < 0.3:
        for _ in range(int(rng.integers(1, 5))):
            let_back = let_back * _fold(rng)
    white = rng.uniform(0.85, 1) * rng.uniform([0.97, 0.94, 0.82], 1)
    if rng.random() < 0.12:
        white = rng.uniform(0.45, 0.9) * rng.uniform([0.9, 0.8, 0.55], 1)  # kraft and coloured papers
    levels = np.asarray(let_back[..., None] * white, np.float32)
    return _flecked(sheet, levels) if rng.random() < 0.1 else levels


def _relief(height: Floats, rng: Rng) -> Floats:
    """How light falls on a height: its slope along one way, of unit spread."""
    way = rng.uniform(0, 2 * math.pi)
    down, across = np.gradient(height)
    slope = math.cos(way) * across + math.sin(way) * down
    return np.asarray(slope / max(1e-6, float(slope.std())), np.float32)


def _tooth(rng: Rng) -> Floats:
    """Watercolour, pastel and sketching papers."""
    grain = rng.uniform(1.3, 7)
    height = noise(SHAPE, grain, rng) + rng.uniform(0, 0.6) * noise(SHAPE, grain * 2.5, rng)
    return 1 + rng.uniform(0.008, 0.05) * np.clip(_relief(height, rng), -3, 3)


def _crumpled(rng: Rng) -> Floats:
    """Facets between sharp ridges, as a sheet that was a ball in the bin."""
    height = np.zeros(SHAPE, np.float32)
    grain = rng.uniform(60, 260)
    for octave in range(int(rng.integers(2, 5))):
        turned = np.abs(noise(SHAPE, grain / 1.9**octave, rng) - rng.normal(0, 0.5))
        height += turned * grain / 1.9**octave
    shade = cv2.GaussianBlur(_relief(height, rng), (0, 0), rng.uniform(0.5, 1.6))
    return 1 + rng.uniform(0.012, 0.07) * np.clip(shade, -3, 3)


def _laid(rng: Rng) -> Floats:
    """Laid lines close together and chain lines far apart, from the mould."""
    y, x = np.mgrid[:HEIGHT, :WIDTH].astype(np.float32)
    if rng.random() < 0.5:
        y, x = x, y
    close, far = rng.uniform(3, 9), rng.uniform(50, 130)
    wave = rng.uniform(0, 1.5) * noise(SHAPE, 120, rng)
    lines = np.sin((y + wave) * 2 * math.pi / close) * np.clip(1 + 0.4 * noise(SHAPE, 15, rng), 0, 2)
    chain = np.exp(-((((x + wave) % far) - far / 2) ** 2) / rng.uniform(1, 6))
    return 1 + rng.uniform(0.004, 0.025) * lines.astype(np.float32) - rng.uniform(0, 0.05) * chain


def _woven(rng: Rng) -> Floats:
    """Canvas, linen, paper with a pressed screen."""
    y, x = np.mgrid[:HEIGHT, :WIDTH].astype(np.float32)
    apart = rng.uniform(3.5, 12)
    bent = rng.uniform(0, 0.3) * apart * noise(SHAPE, rng.uniform(10, 60), rng)
    weave = np.sin((x + bent) * 2 * math.pi / apart) * np.sin((y + bent) * 2 * math.pi / apart)
    return 1 + rng.uniform(0.008, 0.045) * (weave + 0.5 * noise(SHAPE, 2, rng))


def _mottled(rng: Rng) -> Floats:
    """Old and handmade papers: clouds of all sizes."""
    clouds = sum(
        noise(SHAPE, grain, rng) * share for grain, share in ((6, 0.3), (20, 0.5), (70, 0.7), (220, 0.8))
    )
    return np.asarray(1 + rng.uniform(0.008, 0.04) * clouds, np.float32)


def _fold(rng: Rng) -> Floats:
    """A line where the sheet was folded: a dark and a light edge, and each side lit in its own way."""
    shape = SHAPE if rng.random() < 0.5 else SHAPE[::-1]
    line = noise((1, shape[1]), 400, rng)[0] * rng.uniform(0, 5) + rng.uniform(0.05, 0.95) * shape[0]
    y = (
        np.arange(shape[0], dtype=np.float32)[:, None]
        - line[None]
        - rng.normal(0, 0.02) * np.arange(shape[1])
    )
    near = rng.uniform(0.7, 5)
    edge = rng.uniform(-0.12, 0.06) * np.exp(-((y / near) ** 2))
    if rng.random() < 0.5:
        edge = edge + rng.uniform(0.02, 0.12) * np.exp(-(((y - 2 * near) / near) ** 2))
    side = rng.uniform(-0.06, 0.06) * np.tanh(y / rng.uniform(2, 30)) if rng.random() < 0.5 else 0.0
    broken = np.clip(1 + rng.uniform(0, 0.8) * noise(shape, 12, rng), 0, 1.6)
    made = np.asarray(1 + edge * broken + side, np.float32)
    return made if shape == SHAPE else np.ascontiguousarray(made.T)


def _flecked(sheet: Sheet, levels: Floats) -> Floats:
    """Recycled paper: fibres and flecks in the sheet, some dark enough to be taken for ink."""
    rng = sheet.rng
    mask = np.zeros(SHAPE, np.float32)
    for _ in range(int(rng.integers(60, 900))):
        at = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
        way = np.cumsum(rng.normal(0, 1.5, (int(rng.integers(2, 6)), 2)), axis=0)
        path = np.rint((at + way) * 16).astype(np.int32)
        cv2.polylines(mask, [path], False, float(rng.uniform(0.05, 0.45)), 1, cv2.LINE_AA, 4)
    sheet.label[(mask > 0.25) & (sheet.label == PAPER)] = SPECK
    goal = rng.uniform(0.1, 0.6, 3).astype(np.float32)
    return np.asarray(levels + mask[..., None] * (goal - levels), np.float32)


def light_page(sheet: Sheet) -> Floats:
    """Levels (H, W, 3) of what is drawn, on paper with its print and soil."""
    levels = _paper(sheet)
    sheet.printed = _print(sheet) if sheet.rng.random() < 0.5 else ""
    soil(sheet)
    return np.asarray(levels * sheet.soil * sheet.under * sheet.ink, np.float32)


def dark_page(sheet: Sheet) -> Floats:
    """Levels (H, W, 3) of chalk on a board, white pencil on black paper."""
    rng = sheet.rng
    ground = np.float32(rng.uniform(0.04, 0.22, 3)) * _paper(sheet)
    if rng.random() < 0.6:
        smear = rng.uniform(0.2, 1.2) * np.clip(noise(SHAPE, rng.uniform(30, 140), rng), 0, 2)
        if rng.random() < 0.5:
            smear = cv2.GaussianBlur(smear, (0, 0), sigmaX=rng.uniform(1, 25), sigmaY=1)
        ground = ground * (1 + smear[..., None])
    cover = 1 - sheet.ink.min(axis=2)
    if rng.random() < 0.6:
        cover = cover * np.clip(0.85 + rng.uniform(0.1, 0.5) * noise(SHAPE, rng.uniform(1.2, 2.5), rng), 0, 1)
    white = rng.uniform(0.7, 1) * rng.uniform([0.85, 0.85, 0.7], 1)
    sheet.ink = np.repeat((1 - cover)[..., None], 3, axis=2).astype(np.float32)
    return np.asarray(ground + cover[..., None] * (white - ground), np.float32)


def _print(sheet: Sheet) -> str:
    rng = sheet.rng
    kind = str(rng.choice(["ruled", "squared", "dotted"]))
    apart = math.exp(rng.uniform(math.log(8), math.log(50)))
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
    if kind == "squared" and rng.random() < 0.25:  # every fifth or tenth line is stronger
        many = int(rng.choice([5, 10]))
        weak = (np.floor((y + tilt * x - start[0]) / apart) % many > 0) & (
            np.floor((x - tilt * y - start[1]) / apart) % many > 0
        )
        mark = np.where(weak, rng.uniform(0.3, 0.7) * mark, mark)
    colour = rng.uniform([0.3, 0.45, 0.5], [0.88, 0.92, 0.97]).astype(np.float32)
    if rng.random() < 0.3:
        colour = np.float32([rng.uniform(0.4, 0.9)] * 3)
    sheet.soil *= 1 - np.asarray(mark, np.float32)[..., None] * (1 - colour)
    shown = mark > 0.35
    if kind == "ruled" and rng.random() < 0.6:
        at = np.abs(x - tilt * y - rng.uniform(0.06, 0.94) * WIDTH) < rng.uniform(0.5, 1.6)
        sheet.soil[at] *= np.float32((0.95, 0.55, 0.6))
        shown |= at
    sheet.label[shown & (sheet.label == PAPER)] = PRINT
    return kind


def without_print(sheet: Sheet, rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """In half of the cases the print is taken out as the program does it, with what that leaves behind."""
    if sheet.printed and sheet.rng.random() < 0.6:
        try:
            return take_out(rgb, Print(sheet.printed))
        except (ValueError, IndexError, cv2.error):
            return rgb
    return rgb
