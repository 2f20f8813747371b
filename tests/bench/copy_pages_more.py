"""The second set of pages for looking at clean copies: photographed, soiled, ruled, washed, shaded, underdrawn.

Clip art and things by hand in media of their own: two colours of underdrawing, pale washes, pencil shading, grey
markers. The half 'practice' has the things of the first set and clip art that is tuned on, 'fresh' has neither.
"""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np

from tests.bench import copy_strokes, copy_things, page_papers, page_photos
from tests.bench.copy_pages import SIDE, Page, Plan, Rng, as_drawn, filled, noise, rough_scan, save
from tests.bench.copy_strokes import Floats
from tests.bench.sheet_drawings import fit, line_version, on_paper, pick_clip_art

PRINTS = ("plain", "ruled", "squared", "dotted")
LONE = (
    "pale wash", "blue under black", "shaded pencil", "ruled ink", "two tone", "red sketch under", "grey marker",
    "pencil", "watercolour", "ball-pen",
)  # fmt: skip


def _draw(rng: Rng, side: int, half: str, which: int | None = None) -> tuple[str, Floats, Floats]:
    return (copy_things if half == "fresh" else copy_strokes).draw(rng, side, which)


def _clip(rng: Rng, side: int, half: str) -> tuple[Floats, Floats]:
    """A clip-art drawing as line, and its shades as a tone, float32 (side, side)."""
    art = fit(pick_clip_art(rng, "report" if half == "fresh" else "tune"), side - 40, side - 40)
    lined = line_version(art, float(rng.uniform(3, 6)), (0, 0, 0), 0, rng)
    line = np.zeros((side, side), np.float32)
    tone = np.zeros_like(line)
    top, left = (side - lined.shape[0]) // 2, (side - lined.shape[1]) // 2
    line[top : top + lined.shape[0], left : left + lined.shape[1]] = lined[..., 3] / 255
    top, left = (side - art.shape[0]) // 2, (side - art.shape[1]) // 2
    dark = 1 - on_paper(art, (255, 255, 255)).mean(axis=2) / 255
    tone[top : top + art.shape[0], left : left + art.shape[1]] = 0.7 * dark
    return line, tone


def _put(page: Page, at: tuple[int, int], line: Floats, tone: Floats, medium: str, rng: Rng) -> None:
    side = line.shape[0]
    window = np.s_[at[1] : at[1] + side, at[0] : at[0] + side]
    ink, under = _laid(line, tone, medium, rng)
    page.ink[window] *= ink
    page.under[window] *= under
    page.boxes.append((*at, side, side))


def _laid(line: Floats, tone: Floats, medium: str, rng: Rng) -> tuple[Floats, Floats]:
    """The light that a drawing in a medium lets back, and its underdrawing's, float32 (H, W, 3)."""
    own = _MEDIA.get(medium)
    if own is None:
        return as_drawn(line, tone, "ink" if medium == "ruled ink" else medium, rng)
    return own(line, tone, rng)


def _ink(line: Floats, strength: float = 0.93) -> Floats:
    return np.repeat((1 - strength * line)[..., None], 3, axis=2)


def _pale_wash(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    """One or two pale washes within the line, with a drying edge."""
    inside = filled(line).astype(np.float32)
    split = noise(line.shape, line.shape[0] / 3, rng) > 0.3
    ink = _ink(line)
    for part in (inside * split, inside * ~split):
        blot = cv2.GaussianBlur(part.astype(np.float32), (0, 0), 3)
        hue = np.float32(rng.uniform(0.35, 0.95, 3))
        strength = rng.uniform(0.12, 0.38) * (1 + 0.25 * noise(line.shape, 50, rng))
        rim = np.clip(3 * np.abs(blot - cv2.GaussianBlur(blot, (0, 0), 3)), 0, 0.15)
        ink = ink * (1 - np.clip(blot * strength + rim, 0, 0.8)[..., None] * (1 - hue))
    return (ink * (1 - 0.5 * tone[..., None])).astype(np.float32), np.ones_like(ink)


def _under(line: Floats, colour: tuple[float, float, float], rng: Rng) -> Floats:
    """A loose sketch of the same shapes in a coloured pencil, beside the line and here and there far from it."""
    light = np.ones((*line.shape, 3), np.float32)
    reach = line.shape[0] / 90
    for _ in range(2):
        dx, dy = (reach * noise(line.shape, line.shape[0] / 5, rng) for _ in range(2))
        y, x = np.mgrid[: line.shape[0], : line.shape[1]].astype(np.float32)
        moved = cv2.GaussianBlur(cv2.remap(line, x + dx, y + dy, cv2.INTER_LINEAR), (0, 0), 0.9)
        grain = np.clip(0.6 + 0.35 * noise(line.shape, 1.7, rng) + 0.25 * noise(line.shape, 60, rng), 0.1, 1)
        light *= 1 - (moved * grain * rng.uniform(0.5, 0.9))[..., None] * (1 - np.float32(colour))
    size = line.shape[0]
    for _ in range(2):  # a guide line through the whole
        start, end = rng.uniform(0.05, 0.95, (2, 2)) * size
        mark = np.zeros(line.shape, np.float32)
        cv2.line(
            mark, tuple(start.astype(int).tolist()), tuple(end.astype(int).tolist()), 0.45, 2, cv2.LINE_AA
        )
        light *= 1 - mark[..., None] * (1 - np.float32(colour))
    return light


def _blue_under(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    laid = np.maximum(line, 0.7 * tone)
    return _ink(laid), _under(line, (0.45, 0.68, 0.95), rng)


def _red_under(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    laid = np.maximum(line, 0.7 * tone)
    return _ink(laid), _under(line, (0.95, 0.45, 0.38), rng)


def _shaded_pencil(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    """Pencil with smudged or hatched shading on one side of what it draws."""
    inside = filled(line).astype(np.float32)
    shade = cv2.GaussianBlur(inside, (0, 0), line.shape[0] / 60)
    side = np.clip(
        inside * (1.15 - np.roll(shade, (-line.shape[0] // 40, -line.shape[0] // 40), (0, 1))), 0, 1
    )
    if rng.random() < 0.5:
        lines = np.sin(np.add.outer(np.arange(line.shape[0]), 0.7 * np.arange(line.shape[0])) * 0.6)
        side = side * np.clip(0.5 + 0.7 * lines, 0, 1)
    grain = np.clip(0.7 + 0.3 * noise(line.shape, 1.5, rng), 0.1, 1)
    dark = np.maximum(line * rng.uniform(0.6, 0.8), np.maximum(0.45 * side, 0.5 * tone)) * grain
    return (1 - np.clip(dark, 0, 0.9)[..., None] * np.float32([0.78, 0.78, 0.75])).astype(
        np.float32
    ), np.ones((*line.shape, 3), np.float32)


def _two_tone(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    """Black line with one even light tone, grey or coloured, laid in a part of it."""
    inside = filled(line) & (noise(line.shape, line.shape[0] / 3, rng) > -0.2)
    hue = np.float32(rng.uniform(0.6, 0.95, 3)) if rng.random() < 0.5 else np.float32([0.82] * 3)
    tint = np.where(inside[..., None], hue, 1)
    return (_ink(np.maximum(line, tone)) * tint).astype(np.float32), np.ones_like(tint, dtype=np.float32)


def _grey_marker(line: Floats, tone: Floats, rng: Rng) -> tuple[Floats, Floats]:
    """Grey marker laid in streaks over what is drawn in thin line, over its edges here and there."""
    inside = cv2.dilate(filled(line).astype(np.float32), np.ones((9, 9), np.uint8))
    inside *= noise(line.shape, line.shape[0] / 4, rng) > -0.3
    streaks = np.repeat(rng.uniform(0.75, 1, (line.shape[0] // 14 + 1, 1)), 14, 0)[: line.shape[0]]
    grey = 1 - cv2.GaussianBlur(inside, (0, 0), 0.8) * streaks.astype(np.float32) * rng.uniform(0.2, 0.4)
    return (_ink(np.maximum(line, 0.8 * tone)) * grey[..., None]).astype(np.float32), np.ones(
        (*line.shape, 3), np.float32
    )


_MEDIA = {
    "pale wash": _pale_wash,
    "blue under black": _blue_under,
    "red sketch under": _red_under,
    "shaded pencil": _shaded_pencil,
    "two tone": _two_tone,
    "grey marker": _grey_marker,
}


def _lone(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """One drawing on a page, most of them photographed."""
    medium = LONE[k % len(LONE)]
    page = Page(round(SIDE * 0.75), SIDE) if k % 2 else Page(SIDE, round(SIDE * 0.75))
    side = round(min(page.shape) * rng.uniform(0.6, 0.85))
    what = "clip"
    if k % 3 == 2:
        line, tone = _clip(rng, side, half)
    else:
        what, line, tone = _draw(rng, side, half)
    y, x = (int(rng.integers(40, free - side - 30)) for free in page.shape)
    _put(page, (x, y), line, tone, medium, rng)
    soil = ("none", "none", "ring", "none", "dust", "none", "stain", "none", "tape")[k % 9]
    print_ = "ruled" if medium == "ruled ink" else PRINTS[int(rng.integers(4))] if k % 3 == 1 else "plain"
    flat = page_papers.lay(page, "", print_, soil, rng)
    stem = f"{name}-{what}-{medium.replace(' ', '-')}"
    if k % 4 == 3:
        return save(folder, stem, rough_scan(flat, rng), rng), False
    return save(folder, stem, page_photos.photograph(flat, rng)[0], rng), False


def _sheet(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """Six drawings on one page in one medium."""
    medium = LONE[(3 * k + 1 + int(rng.integers(2))) % len(LONE)]
    page = Page(round(SIDE * 0.72), SIDE)
    cell = page.shape[1] // 3
    order = rng.permutation(12)
    for j in range(6):
        side = round(cell * rng.uniform(0.68, 0.86))
        line, tone = _clip(rng, side, half) if j % 3 == 2 else _draw(rng, side, half, int(order[j]))[1:]
        at = (j % 3) * cell + (cell - side) // 2, (j // 3) * cell + (cell - side) // 2 + 20
        _put(page, at, line, tone, medium, rng)
    soil = ("none", "ring", "stain", "dust")[k % 4]
    flat = page_papers.lay(page, "", PRINTS[int(rng.integers(4))], soil, rng)
    picture = page_photos.photograph(flat, rng)[0] if k % 3 else rough_scan(flat, rng)
    return save(folder, f"{name}-sheet-{medium.replace(' ', '-')}", picture, rng), True


def _clip_sheet(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """Clip art on a photographed sheet."""
    media = ("wash", "underdrawing", "pencil", "ink")
    page = page_photos.make_page(
        ("grid", "scatter")[k % 2], int(rng.integers(1, 10**6)), medium=media[k % 4], print_=PRINTS[(k + 1) % 4],
        soil=("none", "ring", "none", "stain")[(k + 1) % 4], photo=k % 3 != 2,
        half="report" if half == "fresh" else "tune", width=SIDE,
    )  # fmt: skip
    return save(folder, f"{name}-art-{media[k % 4]}", page.rgba[..., :3], rng), True


PLAN: Plan = ((_lone, 30, 1), (_sheet, 8, 3), (_clip_sheet, 5, 3))
