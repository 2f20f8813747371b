"""What lies on a made page that was not drawn: rings, stains, tape, smudges, the back of the sheet, dust, hairs."""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.bench.mark_sheet import HEIGHT, INK, PAPER, SOIL, SPECK, UNDER, WIDTH, Floats, Rng, Sheet, noise
from tests.bench.sheet_drawings import pen_drawing


def soil(sheet: Sheet) -> None:
    """Soil of some kinds, before anything is drawn."""
    kinds = (_ring, _stain, _tape, _smudge, _through, _print_of_a_finger)
    for k in sheet.rng.permutation(len(kinds)):
        if sheet.rng.random() < (0.22 if k == 0 else 0.15):
            for _ in range(int(sheet.rng.integers(1, 3))):
                kinds[k](sheet)


def _tinted(sheet: Sheet, mask: Floats, colour: NDArray[np.float32]) -> None:
    sheet.soil *= 1 - mask[..., None] * (1 - colour)
    sheet.label[(mask * (1 - colour.min()) > 0.02) & (sheet.label != UNDER)] = SOIL


def _brown(rng: Rng) -> NDArray[np.float32]:
    if rng.random() < 0.25:
        return rng.uniform(0.5, 0.97, 3).astype(np.float32)
    if rng.random() < 0.15:  # strong tea, red wine
        return rng.uniform([0.45, 0.2, 0.15], [0.75, 0.5, 0.45]).astype(np.float32)
    return np.float32((0.75, 0.6, 0.4)) + np.float32(rng.uniform(-0.15, 0.22, 3))


def _ring(sheet: Sheet) -> None:
    """What a cup leaves, set down once or again beside it: whole, gapped, or thin and broken by the tooth of paper."""
    rng = sheet.rng
    radius = rng.uniform(0.03, 0.17) * WIDTH
    at = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
    colour = _brown(rng)
    for _ in range(int(rng.choice([1, 1, 1, 2, 3]))):
        mask = _one_ring(sheet, at + rng.normal(0, 0.2 * radius, 2), radius * rng.uniform(0.95, 1.05))
        if rng.random() < 0.4:  # it took only where the tooth stood up
            mask *= np.clip((noise(mask.shape, rng.uniform(2, 25), rng) + rng.uniform(-0.6, 1)) * 2, 0, 1)
        _tinted(sheet, np.asarray(mask, np.float32), colour)
        if rng.random() < 0.6:
            break
    if rng.random() < 0.25:
        _spatter(sheet, at, radius, colour)


def _one_ring(sheet: Sheet, at: NDArray[np.float64], radius: float) -> Floats:
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    turn, gone = (
        float(rng.uniform(0, 360)),
        float(rng.choice([0, 0, rng.uniform(20, 160), rng.uniform(120, 300)])),
    )
    wide = max(1, round(math.exp(rng.uniform(math.log(0.0012), math.log(0.012))) * WIDTH))
    size = (round(radius), round(radius * rng.uniform(0.88, 1)))
    middle = (round(at[0]), round(at[1]))
    cv2.ellipse(mask, middle, size, turn, gone, 360, 1.0, wide, cv2.LINE_AA)
    if rng.random() < 0.3:  # inner and outer edge of a foot
        inner = (max(1, size[0] - 3 * wide - 2), max(1, size[1] - 3 * wide - 2))
        cv2.ellipse(
            mask, middle, inner, turn, gone * 0.7, 360, float(rng.uniform(0.3, 0.9)), wide, cv2.LINE_AA
        )
    if rng.random() < 0.3:  # the cup's foot was wet, too
        wet = np.zeros_like(mask)
        cv2.ellipse(wet, middle, size, turn, 0, 360, 0.2, -1, cv2.LINE_AA)
        mask = np.maximum(mask, wet)
    soft = cv2.GaussianBlur(mask, (0, 0), rng.uniform(0.6, 3))
    return np.asarray(soft * np.clip(0.65 + 0.3 * noise(mask.shape, 30, rng), 0.1, 1), np.float32)


def _spatter(sheet: Sheet, at: NDArray[np.float64], reach: float, colour: Floats) -> None:
    rng = sheet.rng
    mask = np.zeros((HEIGHT, WIDTH), np.float32)
    for _ in range(int(rng.integers(3, 40))):
        middle = np.rint((at + rng.normal(0, reach, 2)) * 16).astype(int)
        size = np.rint(np.exp(rng.normal(0.4, 0.7)) * rng.uniform(0.8, 1.2, 2) * 16).astype(int) + 4
        cv2.ellipse(
            mask, middle.tolist(), size.tolist(), 0, 0, 360, float(rng.uniform(0.4, 1)), -1, cv2.LINE_AA, 4
        )
    _tinted(sheet, mask, colour)


def _print_of_a_finger(sheet: Sheet) -> None:
    """Ridges of a dirty fingertip."""
    rng = sheet.rng
    y, x = np.mgrid[:HEIGHT, :WIDTH].astype(np.float32)
    at, wide = rng.uniform(0, 1, 2) * (WIDTH, HEIGHT), rng.uniform(12, 30)
    turn = rng.uniform(0, math.pi)
    u = (x - at[0]) * math.cos(turn) + (y - at[1]) * math.sin(turn)
    v = (y - at[1]) * math.cos(turn) - (x - at[0]) * math.sin(turn)
    away = np.hypot(u, v * 0.7)
    ridges = 0.5 + 0.5 * np.sin(
        np.hypot(u, v + wide * 0.5) / rng.uniform(0.5, 0.9) + 0.4 * noise(y.shape, 12, rng)
    )
    mask = ridges * np.clip(1.2 - away / wide, 0, 1) * np.clip(0.7 + 0.5 * noise(y.shape, 8, rng), 0, 1)
    grey = np.float32([rng.uniform(0.5, 0.9)] * 3) if rng.random() < 0.6 else _brown(rng)
    _tinted(sheet, np.asarray(mask, np.float32), grey)


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


def lay_specks(sheet: Sheet, levels: Floats) -> Floats:
    """Levels (H, W, 3) under grit, crumbs, hairs and lint, and under the lines that a dirty scanner draws."""
    rng = sheet.rng
    if rng.random() < 0.15:
        levels = _streaks(sheet, levels)
    if rng.random() < 0.35:
        return levels
    dark = float(np.median(levels)) < 0.35
    for lay, often in ((_grit, 0.8), (_hairs, 0.65), (_lint, 0.15), (_crumbs, 0.2)):
        if rng.random() >= often:
            continue
        mask = np.zeros((HEIGHT, WIDTH), np.float32)
        lay(mask, rng)
        light = dark or rng.random() < 0.08
        goal = rng.uniform(0.6, 1, 3) if light else rng.uniform(0, rng.uniform(0.1, 0.6), 3)
        if rng.random() < 0.7:
            goal = np.repeat(goal[:1], 3)
        levels = np.asarray(levels + mask[..., None] * (goal.astype(np.float32) - levels), np.float32)
        sheet.label[(mask > 0.12) & (sheet.label != INK)] = SPECK
    return levels


def _grit(mask: Floats, rng: Rng) -> None:
    large = rng.choice([0.9, 0.9, 1.8])
    for _ in range(int(math.exp(rng.uniform(0.7, 5.6)))):
        at = np.rint(np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)]) * 16).astype(int)
        size = np.rint((np.abs(rng.normal(large, 0.8 * large, 2)) + 0.35) * 16).astype(int)
        strong = float(rng.uniform(0.2, 0.95))
        cv2.ellipse(
            mask, at.tolist(), size.tolist(), float(rng.uniform(0, 180)), 0, 360, strong, -1, cv2.LINE_AA, 4
        )


def _hair(rng: Rng, start: NDArray[np.float64], steps: int, long: float, curl: float) -> NDArray[np.int32]:
    """A hair that bends slowly, or a wiry one, as sixteenths of a pixel (N, 1, 2)."""
    bend = np.cumsum(rng.normal(0, curl * 0.3, steps)) + rng.normal(0, curl, steps) + rng.normal(0, curl)
    turn = rng.uniform(0, 2 * math.pi) + np.cumsum(bend)
    path = start + np.cumsum(np.stack([np.cos(turn), np.sin(turn)], axis=1) * long / steps, axis=0)
    return np.rint(path * 16).astype(np.int32)[:, None]


def _hairs(mask: Floats, rng: Rng) -> None:
    for _ in range(int(rng.integers(1, 10))):
        start = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
        long = math.exp(rng.uniform(math.log(8), math.log(220)))
        path = _hair(rng, start, int(rng.integers(10, 50)), long, rng.uniform(0.01, 0.22))
        strong, thick = float(rng.uniform(0.2, 0.9)), int(rng.choice([1, 1, 1, 2]))
        cv2.polylines(mask, [path], False, strong, thick, cv2.LINE_AA, 4)


def _lint(mask: Floats, rng: Rng) -> None:
    """Hairs in a tangle, with fluff between."""
    for _ in range(int(rng.integers(1, 5))):
        at, wide = rng.uniform(0, 1, 2) * (WIDTH, HEIGHT), math.exp(rng.uniform(1.2, 3.4))
        for _ in range(int(rng.integers(3, 14))):
            path = _hair(rng, at + rng.normal(0, wide * 0.4, 2), 14, wide * rng.uniform(0.6, 3), 0.35)
            cv2.polylines(mask, [path], False, float(rng.uniform(0.2, 0.8)), 1, cv2.LINE_AA, 4)
        if rng.random() < 0.4:
            fluff = np.zeros_like(mask)
            cv2.circle(fluff, np.rint(at).astype(int).tolist(), max(1, round(wide * 0.5)), 0.5, -1)
            np.maximum(mask, cv2.GaussianBlur(fluff, (0, 0), wide * 0.3), out=mask)


def _crumbs(mask: Floats, rng: Rng) -> None:
    """What a rubber leaves: rolled bits, thicker in their middle."""
    for _ in range(int(math.exp(rng.uniform(0.7, 4)))):
        at = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
        path = _hair(rng, at, 6, rng.uniform(3, 16), 0.3)
        strong = float(rng.uniform(0.3, 0.9))
        cv2.polylines(mask, [path], False, strong, int(rng.integers(1, 4)), cv2.LINE_AA, 4)
        cv2.polylines(mask, [path[1:-1]], False, strong, int(rng.integers(2, 6)), cv2.LINE_AA, 4)


def _streaks(sheet: Sheet, levels: Floats) -> Floats:
    """A dirty sensor draws lines along the page, as long as the page or nearly."""
    rng = sheet.rng
    across = bool(rng.random() < 0.3)
    label = sheet.label.T if across else sheet.label
    view = levels.transpose(1, 0, 2) if across else levels
    for _ in range(int(rng.integers(1, 4))):
        x, wide = int(rng.integers(view.shape[1] - 3)), int(rng.integers(1, 3))
        first, last = sorted(rng.choice([0.0, 1.0, rng.random()], 2, replace=False) * view.shape[0])
        rows = slice(int(first), int(last))
        view[rows, x : x + wide] *= np.float32(rng.uniform(0.6, 0.95))
        held = label[rows, x : x + wide]
        held[held != INK] = SOIL
    return levels
