"""Stage `render`: the collected drawings as arrays, coloured on transparent ground and as line art.

Writes `colour.npy` uint8 (N, 192, 192, 4) and `line.npy` uint8 (N, 2, 192, 192), 255 = paper: first line art from the
vector file (fills white, edges black), then line art from the picture (edges of its colours). Both are memory-mapped.
"""

from __future__ import annotations

import io
import multiprocessing
import re
import time
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

SIDE = 192
MARGIN = 0.06  # of the side, on each side; the same as assetlib.vectors.crop.MARGIN
_FIRST_SIDE = 256
_LARGEST_SIDE = 1024
_STALLED_SECONDS = 15
_FAINT = 150  # darkness of a line's core below which it is strengthened
_FILL = re.compile(r"(fill\s*[:=]\s*[\"']?\s*)(url\([^)]*\)|#[0-9a-fA-F]{3,8}|rgb\([^)]*\)|[a-zA-Z]+)")
_STROKE = re.compile(r"(stroke\s*[:=]\s*[\"']?\s*)(url\([^)]*\)|#[0-9a-fA-F]{3,8}|rgb\([^)]*\)|[a-zA-Z]+)")
_WIDTH = re.compile(r"(stroke-width\s*[:=]\s*[\"']?\s*)[\d.eE+-]+(px|pt|mm|%)?")
_BOX = re.compile(r"viewBox=[\"']\s*([-\d.eE]+)[ ,]+([-\d.eE]+)[ ,]+([-\d.eE]+)[ ,]+([-\d.eE]+)")
_SIZE = re.compile(r"<svg[^>]*?\swidth=[\"']([\d.]+)")


def draw_svg(svg: str, side: int) -> NDArray[np.uint8]:
    """The drawing as uint8 (H, W, 4), straight alpha, at most `side` pixels wide and high."""
    import resvg_py

    png = bytes(resvg_py.svg_to_bytes(svg_string=svg, width=side, height=side, dpi=96))
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))


def ink_box(picture: NDArray[np.uint8]) -> tuple[int, int, int, int] | None:
    """Left, top, right, bottom of what is not empty, None if nothing is drawn."""
    mask = picture[..., 3] > 8
    rows, columns = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
    if not len(rows):
        return None
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def cropped(svg: str) -> tuple[NDArray[np.uint8], float] | None:
    """The drawing cropped to its ink, large enough for `SIDE`, and the pixels a page unit took; None if empty."""
    side = _FIRST_SIDE
    picture = draw_svg(svg, side)
    box = ink_box(picture)
    if box is None:
        return None
    longest = max(box[2] - box[0], box[3] - box[1])
    if longest < SIDE:
        side = min(_LARGEST_SIDE, int(side * _FIRST_SIDE / max(longest, 8)))
        picture = draw_svg(svg, side)
        box = ink_box(picture)
    if box is None:
        return None
    return picture[box[1] : box[3], box[0] : box[2]], side


def fit(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture centred in (SIDE, SIDE, channels), scaled to the margin, alpha kept."""
    height, width = picture.shape[:2]
    scale = SIDE * (1 - 2 * MARGIN) / max(height, width)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    weighted = picture.astype(np.float32)
    weighted[..., :3] *= weighted[..., 3:] / 255
    small = cv2.resize(weighted, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
    small[..., :3] *= 255 / np.maximum(small[..., 3:], 1)
    out = np.zeros((SIDE, SIDE, 4), np.uint8)
    top, left = (SIDE - size[1]) // 2, (SIDE - size[0]) // 2
    out[top : top + size[1], left : left + size[0]] = np.clip(small, 0, 255).astype(np.uint8)
    return out


def line_svg(svg: str) -> str:
    """The same vector drawing with white fills and black edges of one width."""
    box = _BOX.search(svg)
    size = _SIZE.search(svg)
    extent = max(float(box.group(3)), float(box.group(4))) if box else float(size.group(1)) if size else 100.0
    text = _FILL.sub(
        lambda m: m.group() if m.group(2) in ("none", "freeze", "remove") else m.group(1) + "#fff", svg
    )
    text = _STROKE.sub(lambda m: m.group(1) + "#000", text)
    text = _WIDTH.sub(lambda m: f"{m.group(1)}{extent / 110:.4g}", text)
    root = re.search(r"<(?:svg:)?svg\b[^>]*>", text)
    wanted = {"fill": "#fff", "stroke": "#000", "stroke-width": f"{extent / 110:.4g}"}
    added = "".join(
        f' {k}="{v}"' for k, v in wanted.items() if root and not re.search(rf"\s{k}\s*=", root.group())
    )
    return re.sub(r"<(svg:)?svg\b", lambda m: m.group() + added, text, count=1)


def line_from_picture(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Line art uint8 (H, W), 255 = paper, from the edges of a drawing's colours and its own dark thin lines."""
    alpha = picture[..., 3:].astype(np.float32) / 255
    flat = picture[..., :3] * alpha + 255 * (1 - alpha)
    flat = cv2.GaussianBlur(np.dstack([flat, picture[..., 3:]]).astype(np.float32), (0, 0), 0.8)
    dark = 255 - flat[..., :3].max(2)
    kernel = np.ones((7, 7), np.uint8)
    thin = np.clip(cv2.morphologyEx(dark, cv2.MORPH_TOPHAT, kernel) - 60, 0, None) * 2
    filled = cv2.morphologyEx(flat, cv2.MORPH_CLOSE, kernel)  # light closes over thin dark lines
    gradient = cv2.morphologyEx(filled, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)).max(2)
    edges = np.clip((gradient - 30) * 4, 0, 255)
    edges[cv2.dilate(thin, kernel) > 60] = 0
    return np.asarray(255 - np.clip(np.maximum(thin, edges), 0, 255), np.uint8)


def strengthened(line: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The line art with lines that came out too thin to see drawn darker; units inside a file can be anything."""
    ink = 255 - line
    drawn = ink[ink > 8]
    if not len(drawn):
        return line
    peak = float(np.percentile(drawn, 90))
    if peak >= _FAINT:
        return line
    wide = cv2.dilate(ink, np.ones((2, 2), np.uint8)).astype(np.float32)
    return np.asarray(255 - np.clip(wide * 230 / peak, 0, 255), np.uint8)


def render_one(svg: str) -> tuple[NDArray[np.uint8], NDArray[np.uint8]] | None:
    """Coloured (SIDE, SIDE, 4) and line art (2, SIDE, SIDE), None if the drawing is empty or broken."""
    try:
        found = cropped(svg)
        if found is None:
            return None
        colour = fit(found[0])
    except (ValueError, OSError, RuntimeError):
        return None
    second = line_from_picture(colour)
    try:
        lines = cropped(line_svg(svg))
    except (ValueError, OSError, RuntimeError):
        lines = None
    first = second if lines is None else strengthened(flatten(fit(lines[0])))
    if not (first < 128).any():
        first = second
    return colour, np.stack([first, second])


def flatten(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Grey uint8 (H, W) on white paper."""
    alpha = picture[..., 3].astype(np.float32) / 255
    return np.asarray(picture[..., :3].mean(2) * alpha + 255 * (1 - alpha), np.uint8)


def render(drawings: list[dict[str, Any]], folder: Path, workers: int) -> NDArray[np.bool_]:
    """Which drawings could be rendered, after writing both arrays into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    count = len(drawings)
    shapes = {"colour": (count, SIDE, SIDE, 4), "line": (count, 2, SIDE, SIDE)}
    for name, shape in shapes.items():
        np.lib.format.open_memmap(folder / f"{name}.npy", mode="w+", dtype=np.uint8, shape=shape).flush()
    context = multiprocessing.get_context("fork")
    done = context.Array("b", count, lock=False)
    position = context.Array("q", [-1] * workers, lock=False)
    _supervise(context, drawings, folder, done, position, workers)
    return np.asarray(np.frombuffer(done, np.int8) == 1)


def _supervise(
    context: Any, drawings: list[Any], folder: Path, done: Any, position: Any, workers: int
) -> None:
    # A hostile or broken SVG can end or stall its process: that drawing is skipped, the rest of the share goes on.
    def start(worker: int) -> Any:
        process = context.Process(target=_work, args=(drawings, folder, done, position, worker, workers))
        process.start()
        return process

    running = {w: start(w) for w in range(workers)}
    moved = {w: (-1, time.monotonic()) for w in range(workers)}
    while running:
        time.sleep(0.2)
        for worker, process in list(running.items()):
            if moved[worker][0] != position[worker]:
                moved[worker] = (position[worker], time.monotonic())
            stalled = time.monotonic() - moved[worker][1] > _STALLED_SECONDS
            if process.is_alive() and not stalled:
                continue
            process.kill()
            process.join()
            if process.exitcode == 0:
                del running[worker]
            else:
                running[worker] = start(worker)
                moved[worker] = (position[worker], time.monotonic())


def _work(drawings: list[Any], folder: Path, done: Any, position: Any, worker: int, workers: int) -> None:
    cv2.setNumThreads(1)
    colour = np.load(folder / "colour.npy", mmap_mode="r+")
    line = np.load(folder / "line.npy", mmap_mode="r+")
    first = worker if position[worker] < 0 else position[worker] + workers
    for index in range(first, len(drawings), workers):
        position[worker] = index
        result = render_one(drawings[index]["svg"])
        if result is not None:
            colour[index], line[index] = result
            done[index] = 1
