"""Pages and files as they come, made from seeds for looking at their clean copies: photographed, soiled, see-through.

What `page_photos` makes is one part; the other has media, papers and soil of its own, over drawings by hand.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.layering.layers import Layer, LayeredFrame
from assetlib.imaging.layering.psd import write_psd
from tests.bench import copy_strokes, page_papers, page_photos
from tests.bench.sheet_drawings import fit, line_version, pick_clip_art

Floats = NDArray[np.float32]
Pixels = NDArray[np.uint8]
Rng = np.random.Generator

HALVES = ("tune", "report", "practice", "fresh")
SIDE = 1500  # pixels of a page's longer side


@dataclass(frozen=True, slots=True)
class MadeFile:
    """A file of a name; `is_sheet` where several drawings stand on it, of which `wanted` are looked at."""

    name: str
    is_sheet: bool
    wanted: int


def make_files(folder: Path, half: str, base: int, plan: Plan) -> list[MadeFile]:
    """Write all pages of a half, about 75 drawings to be looked at."""
    folder.mkdir(parents=True, exist_ok=True)
    made: list[MadeFile] = []
    for number, (how, count, wanted) in enumerate(plan):
        for k in range(count):
            rng = np.random.default_rng([base, number, k])
            name, is_sheet = how(folder, f"{half[0]}{number:02d}-{k:02d}", rng, half, k)
            target = folder / ("sheets" if is_sheet else "drawings")
            target.mkdir(exist_ok=True)
            (folder / name).rename(target / name)
            made.append(MadeFile(name, is_sheet, wanted if is_sheet else 1))
    return made


def save(folder: Path, name: str, rgb: Pixels, rng: Rng) -> str:
    if rgb.shape[2] == 4 or rng.random() < 0.3:
        Image.fromarray(rgb).save(folder / f"{name}.png")
        return f"{name}.png"
    Image.fromarray(rgb).save(folder / f"{name}.jpg", quality=int(rng.integers(80, 95)))
    return f"{name}.jpg"


# ---- from the other maker of pages


def _photographed(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    media = ("ink", "pencil", "ball-pen", "underdrawing", "marker", "wash")
    prints = ("plain", "ruled", "squared", "dotted")
    kind = ("grid+line", "scatter", "grid")[k % 3]
    kind = kind if kind in ("scatter", "grid") else "grid"
    page = page_photos.make_page(
        kind, int(rng.integers(1, 10**6)), medium=media[(k * 2 + int(rng.integers(2))) % 6],
        print_=prints[k % 4], half=half, width=SIDE,
    )  # fmt: skip
    return save(folder, f"{name}-photo", page.rgba[..., :3], rng), True


def _scanned(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    page = page_photos.make_page(
        "scatter", int(rng.integers(1, 10**6)), medium=("ink", "ball-pen", "underdrawing", "wash")[k % 4],
        soil=("ring", "dust", "grain", "stain")[k % 4], photo=False, half=half, width=SIDE,
    )  # fmt: skip
    return save(folder, f"{name}-scan", page.rgba[..., :3], rng), True


# ---- drawings by hand on papers of their own


class Page:
    """Ink and underdrawing as `page_papers.lay` wants them, float32 (H, W, 3), light let back."""

    def __init__(self, height: int, width: int) -> None:
        self.ink = np.ones((height, width, 3), np.float32)
        self.under = np.ones_like(self.ink)
        self.boxes: list[tuple[int, int, int, int]] = []

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width in pixels."""
        return self.ink.shape[0], self.ink.shape[1]


def noise(shape: tuple[int, int], grain: float, rng: Rng) -> Floats:
    coarse = rng.normal(0, 1, (max(2, round(shape[0] / grain)), max(2, round(shape[1] / grain)))).astype(
        np.float32
    )
    return np.asarray(cv2.resize(coarse, shape[::-1], interpolation=cv2.INTER_CUBIC), np.float32)


def _put(page: Page, x: int, y: int, line: Floats, tone: Floats, medium: str, rng: Rng) -> None:
    side = line.shape[0]
    window = np.s_[y : y + side, x : x + side]
    ink, under = as_drawn(line, tone, medium, rng)
    page.ink[window] *= ink
    page.under[window] *= under
    page.boxes.append((x, y, side, side))


def as_drawn(line: Floats, tone: Floats, medium: str, rng: Rng) -> tuple[Floats, Floats]:
    """The light that a drawing in a medium lets back, and its underdrawing's, float32 (H, W, 3)."""
    shape = line.shape
    one = np.ones((*shape, 3), np.float32)
    under = one
    colour = np.float32([0.08, 0.08, 0.09])
    if medium == "pencil":
        strokes = np.sin((np.add.outer(np.arange(shape[0]), np.arange(shape[1]))) * 0.55).astype(np.float32)
        grain = np.clip(0.62 + 0.42 * noise(shape, 1.3, rng) + 0.15 * noise(shape, 25, rng), 0.1, 1)
        line = line * grain * rng.uniform(0.6, 0.85)
        tone = tone * np.clip(0.5 + 0.5 * strokes, 0, 1) * grain * 0.7
        colour = np.float32([0.25, 0.25, 0.27])
    elif medium == "ball-pen":
        colour = np.float32([(0.12, 0.17, 0.5), (0.1, 0.1, 0.12), (0.5, 0.1, 0.15)][rng.integers(3)])
        line = cv2.erode(line, np.ones((2, 2), np.uint8)) * np.clip(1.05 + 0.2 * noise(shape, 6, rng), 0.5, 1)
    elif medium == "red under black":
        moved = np.roll(
            cv2.GaussianBlur(cv2.dilate(line, np.ones((3, 3), np.uint8)), (0, 0), 1.0), (4, -5), (0, 1)
        )
        wisps = np.clip(moved * np.clip(0.45 + 0.3 * noise(shape, 30, rng), 0, 0.8), 0, 1)
        under = (1 - wisps[..., None] * (1 - np.float32([0.93, 0.35, 0.33]))).astype(np.float32)
    elif medium == "marker":
        colour = np.float32(rng.uniform(0.05, 0.45, 3))
        line = cv2.dilate(line, np.ones((5, 5), np.uint8))
        streak = np.clip(
            0.75 + 0.12 * np.repeat(rng.normal(0, 1, (shape[0] // 11 + 1, 1)), 11, 0)[: shape[0]], 0.3, 1
        )
        tone = tone * streak.astype(np.float32)
    elif medium == "watercolour":
        blot = cv2.GaussianBlur((filled(line) * 1.0).astype(np.float32), (0, 0), 4)
        wash = np.clip(blot * (0.45 + 0.22 * noise(shape, 40, rng)), 0, 0.9)
        rim = np.clip(4 * np.abs(blot - cv2.GaussianBlur(blot, (0, 0), 3)), 0, 0.35)
        hue = np.float32(rng.uniform(0.25, 0.95, 3))
        one = (1 - np.clip(wash + rim, 0, 1)[..., None] * (1 - hue)).astype(np.float32)
    laid = np.clip(np.maximum(line, 0.6 * tone), 0, 1)[..., None]
    return (one * (1 - laid * (1 - colour))).astype(np.float32), under


def filled(line: Floats) -> NDArray[np.bool_]:
    framed = np.pad(cv2.dilate((line > 0.4).astype(np.uint8), np.ones((5, 5), np.uint8)), 1)
    cv2.floodFill(framed, None, (0, 0), 2)
    return framed[1:-1, 1:-1] != 2


_MEDIA = ("ink", "pencil", "ball-pen", "red under black", "marker", "watercolour")
_PRINTS = ("plain", "ruled", "squared", "dotted")


def _lone(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """One drawing on a page, photographed or scanned."""
    del half
    page = Page(round(SIDE * 0.75), SIDE) if k % 2 else Page(SIDE, round(SIDE * 0.75))
    side = round(min(page.shape) * rng.uniform(0.6, 0.85))
    what, line, tone = copy_strokes.draw(rng, side)
    y, x = (int(rng.integers(40, free - side - 30)) for free in page.shape)
    _put(page, x, y, line, tone, _MEDIA[k % 6], rng)
    soil = ("none", "ring", "none", "none", "dust", "none", "stain")[k % 7]
    flat = page_papers.lay(page, "", _PRINTS[int(rng.integers(4))] if k % 3 else "plain", soil, rng)
    if k % 4 == 3:
        return save(folder, f"{name}-{what}-scan", rough_scan(flat, rng), rng), False
    return save(folder, f"{name}-{what}-photo", page_photos.photograph(flat, rng)[0], rng), False


def rough_scan(flat: Pixels, rng: Rng) -> Pixels:
    """A scan with noise and a shaded margin."""
    shade = 1 - rng.uniform(0.05, 0.3) * np.exp(-np.linspace(0, 30, flat.shape[1], dtype=np.float32))
    levels = flat * shade[None, :, None] + rng.normal(0, rng.uniform(1, 4), flat.shape)
    return np.clip(np.rint(levels), 0, 255).astype(np.uint8)


def _hand_sheet(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """Six things by hand on one page."""
    del half
    page = Page(round(SIDE * 0.72), SIDE)
    medium = _MEDIA[(k * 2 + int(rng.integers(6))) % 6]
    cell = page.shape[1] // 3
    order = rng.permutation(len(copy_strokes.THINGS))
    for j in range(6):
        side = round(cell * rng.uniform(0.68, 0.86))
        _, line, tone = copy_strokes.draw(rng, side, int(order[j]))
        x, y = (j % 3) * cell + (cell - side) // 2, (j // 3) * cell + (cell - side) // 2 + 20
        _put(page, x, y, line, tone, medium, rng)
    flat = page_papers.lay(page, "", _PRINTS[int(rng.integers(4))], "none", rng)
    picture = page_photos.photograph(flat, rng)[0] if k % 2 == 0 else rough_scan(flat, rng)
    return save(folder, f"{name}-hand-{medium.replace(' ', '-')}", picture, rng), True


def _on_dark(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """White line on dark paper, or chalk on a board."""
    del half
    height, width = round(SIDE * 0.7), SIDE
    ground = np.float32(
        [(0.13, 0.16, 0.2), (0.1, 0.2, 0.16), (0.06, 0.06, 0.07), (0.25, 0.2, 0.17)][rng.integers(4)]
    )
    levels = np.ones((height, width, 3), np.float32) * ground
    cover = np.zeros((height, width), np.float32)
    many = k % 2 == 0
    for j in range(4 if many else 1):
        side = round(height * (0.45 if many else 0.8))
        _, line, tone = copy_strokes.draw(rng, side)
        x, y = ((j % 2) * width // 2 + 90, (j // 2) * height // 2 + 20) if many else (260, 60)
        cover[y : y + side, x : x + side] = np.maximum(line, 0.3 * tone)
    if k % 3 == 1:
        cover *= np.clip(0.8 + 0.5 * noise(cover.shape, 1.6, rng), 0, 1)
        levels *= 1 + 0.4 * np.clip(noise(cover.shape, 110, rng), 0, 2)[..., None]
    levels += cover[..., None] * (0.95 - levels) * 0.95
    levels += rng.normal(0, 0.012, levels.shape)
    rgb = np.clip(np.rint(levels * 255), 0, 255).astype(np.uint8)
    return save(folder, f"{name}-dark", rgb, rng), many


# ---- on transparent ground


def _line_alone(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """Line on transparent ground."""
    del half
    what, line, tone = copy_strokes.draw(rng, int(rng.integers(500, 1100)))
    alpha = np.maximum(line, 0.5 * tone if k % 2 else 0)
    rgba = np.zeros((*line.shape, 4), np.uint8)
    rgba[..., :3] = rng.integers(0, 60, 3)
    rgba[..., 3] = np.rint(alpha * 255)
    return save(folder, f"{name}-{what}-alpha", rgba, rng), False


def _clip_art(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """A coloured drawing as it was saved with alpha, or its line alone."""
    drawing = fit(pick_clip_art(rng, half), 800, 800)
    if k % 3 == 2:
        drawing = line_version(drawing, 4, (0, 0, 0), 0, rng)
    return save(folder, f"{name}-art", np.pad(drawing, ((20, 20), (20, 20), (0, 0))), rng), False


def _with_alpha(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """A thing painted white or in colour under its line, saved with alpha: a van keeps white windows."""
    del half
    what, line, tone = copy_strokes.draw(rng, 800, (2, 0, 1, 7)[k % 4])
    rgba = _painted(line, tone, rng, white=k % 2 == 0)
    return save(folder, f"{name}-{what}-painted", rgba, rng), False


def _painted(line: Floats, tone: Floats, rng: Rng, white: bool) -> Pixels:
    inside = filled(line)
    colour = np.float32([255, 255, 255]) if white else np.float32(rng.integers(90, 250, 3))
    rgb = np.where(inside[..., None], colour * (1 - 0.4 * tone[..., None]), 0)
    rgb = rgb * (1 - line[..., None]) + 25 * line[..., None]
    return np.dstack([rgb, np.where(inside, 255, 255 * line)]).round().astype(np.uint8)


def _layered(folder: Path, name: str, rng: Rng, half: str, k: int) -> tuple[str, bool]:
    """Line, tone, colour and ground of one drawing as layers."""
    del half
    what, line, tone = copy_strokes.draw(rng, 900)
    words = (("line", "tone", "paper"), ("ink", "colour", "bg"), ("Linie", "Schatten", "Hintergrund"))[k % 3]
    ink = np.zeros((*line.shape, 4), np.uint8)
    ink[..., :3], ink[..., 3] = 20, np.rint(line * 255)
    shade = np.zeros_like(ink)
    shade[..., :3] = rng.integers(90, 220, 3)
    shade[..., 3] = np.rint(255 * np.maximum(tone, 0.7 * (filled(line) if k % 2 else 0)))
    ground = np.full_like(ink, 255)
    ground[..., :3] = rng.integers(200, 255, 3)
    layers = (Layer(words[2], ground), Layer(words[1], shade), Layer(words[0], ink))
    with open(folder / f"{name}-{what}-layers.psd", "wb") as file:
        write_psd(LayeredFrame((line.shape[1], line.shape[0]), layers), file)
    return f"{name}-{what}-layers.psd", False


Maker = Callable[[Path, str, Rng, str, int], tuple[str, bool]]
Plan = tuple[tuple[Maker, int, int], ...]
"""Makers of pages, how many pages of each, and how many drawings of a sheet are looked at."""
PLAN: Plan = (
    (_photographed, 5, 3),
    (_scanned, 4, 2),
    (_lone, 14, 1),
    (_hand_sheet, 3, 4),
    (_on_dark, 4, 2),
    (_line_alone, 8, 1),
    (_clip_art, 6, 1),
    (_with_alpha, 4, 1),
    (_layered, 4, 1),
)
