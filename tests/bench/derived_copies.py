"""Derived copies of drawings, by named transforms, for measuring the search for doubles.

Every transform takes the drawing (H, W, 4), a random generator and a second, unrelated drawing,
and returns a picture (H, W, 4). What it returns depends on the seed alone.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

Pixels = NDArray[np.uint8]
Transform = Callable[[Pixels, np.random.Generator, Sequence[Pixels]], Pixels]

WHITE = (255, 255, 255)


def on_ground(rgba: Pixels, colour: Sequence[int] = WHITE) -> Pixels:
    """The drawing flattened on a colour, fully opaque."""
    alpha = rgba[..., 3:].astype(np.float32) / 255
    rgb = rgba[..., :3] * alpha + np.asarray(colour, np.float32) * (1 - alpha)
    return np.dstack([np.round(rgb).astype(np.uint8), np.full(rgba.shape[:2], 255, np.uint8)])


def from_pillow(image: Image.Image) -> Pixels:
    return np.array(image.convert("RGBA"))


def resized(rgba: Pixels, factor: float) -> Pixels:
    height, width = rgba.shape[:2]
    size = (max(8, round(width * factor)), max(8, round(height * factor)))
    premultiplied = Image.fromarray(rgba).convert("RGBa").resize(size, Image.Resampling.BOX)
    return from_pillow(premultiplied.convert("RGBA"))


def jpeg(rgba: Pixels, quality: int) -> Pixels:
    out = io.BytesIO()
    Image.fromarray(on_ground(rgba)[..., :3]).save(out, "JPEG", quality=quality)
    return from_pillow(Image.open(out))


def warped(rgba: Pixels, matrix: NDArray[np.float64], size: tuple[int, int]) -> Pixels:
    flat = on_ground(rgba)[..., :3]
    out = cv2.warpAffine(flat, matrix, size, flags=cv2.INTER_AREA, borderValue=WHITE)
    return np.dstack([out, np.full(out.shape[:2], 255, np.uint8)])


def turned(rgba: Pixels, degrees: float) -> Pixels:
    """Turned about the middle on a canvas that holds all of it, on white."""
    height, width = rgba.shape[:2]
    angle = np.radians(abs(degrees))
    new = (
        int(np.ceil(width * np.cos(angle) + height * np.sin(angle))),
        int(np.ceil(height * np.cos(angle) + width * np.sin(angle))),
    )
    matrix = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    matrix[:, 2] += [(new[0] - width) / 2, (new[1] - height) / 2]
    return warped(rgba, matrix, new)


def padded(rgba: Pixels, share: float, rng: np.random.Generator) -> Pixels:
    height, width = rgba.shape[:2]
    more = [int(share * width), int(share * height)]
    left, top = (int(rng.integers(0, m + 1)) for m in more)
    out = np.zeros((height + more[1], width + more[0], 4), np.uint8)
    if bool((rgba[..., 3] == 255).all()):
        out[:] = (255, 255, 255, 255)
    out[top : top + height, left : left + width] = rgba
    return out


def ink_extent(rgba: Pixels) -> tuple[int, int, int, int]:
    dark = on_ground(rgba)[..., :3].min(axis=2) < 200
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    if len(rows) == 0:
        return (0, 0, rgba.shape[1], rgba.shape[0])
    return (int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1)


def cropped(rgba: Pixels, share: float, rng: np.random.Generator) -> Pixels:
    """One side cut off, by a share of the ink's own extent."""
    left, top, right, bottom = ink_extent(rgba)
    cut_x, cut_y = int(share * (right - left)), int(share * (bottom - top))
    side = int(rng.integers(4))
    if side == 0:
        left += cut_x
    elif side == 1:
        right -= cut_x
    elif side == 2:
        top += cut_y
    else:
        bottom -= cut_y
    return rgba[top : max(bottom, top + 4), left : max(right, left + 4)].copy()


def cropped_round(rgba: Pixels, share: float) -> Pixels:
    left, top, right, bottom = ink_extent(rgba)
    x, y = int(share / 2 * (right - left)), int(share / 2 * (bottom - top))
    return rgba[top + y : bottom - y, left + x : right - x].copy()


def scanned(rgba: Pixels, rng: np.random.Generator, askew: float) -> Pixels:
    """Printed and scanned: grey paper with a shade, blur, grain, dust, JPEG."""
    page = turned(padded(rgba, 0.12, rng), askew)[..., :3].astype(np.float32)
    height, width = page.shape[:2]
    page = cv2.GaussianBlur(page, (0, 0), 0.7 * max(height, width) / 500)
    paper = rng.uniform(225, 248) - rng.uniform(0, 12) * np.linspace(0, 1, width)[None, :, None]
    page = 20 + (paper - 20) * page / 255 + rng.normal(0, 3.5, (height, width, 1))
    for _ in range(int(rng.integers(4, 20))):
        y, x = int(rng.integers(height)), int(rng.integers(width))
        page[y : y + 2, x : x + 2] *= 0.6
    grey = np.clip(page, 0, 255).astype(np.uint8)
    return jpeg(np.dstack([grey, np.full((height, width), 255, np.uint8)]), 80)


def darkness(rgba: Pixels) -> NDArray[np.float32]:
    grey = cv2.cvtColor(on_ground(rgba)[..., :3], cv2.COLOR_RGB2GRAY)
    return (255 - grey).astype(np.float32)


def black_line(alpha: NDArray[np.float32] | Pixels) -> Pixels:
    """Black ink on transparent ground with this alpha."""
    out = np.zeros((*alpha.shape, 4), np.uint8)
    out[..., 3] = np.clip(alpha, 0, 255).astype(np.uint8)
    return out


def line_drawing(rgba: Pixels, way: int = 0) -> Pixels:
    """Black line on transparent ground made from a coloured drawing, in one of three ways."""
    flat = on_ground(rgba)[..., :3]
    thick = max(1, round(max(flat.shape[:2]) / 320))
    grey = cv2.GaussianBlur(flat, (0, 0), 0.8 * thick)
    if way == 0:
        channels = [cv2.Canny(np.ascontiguousarray(grey[..., c]), 40, 110) for c in range(3)]
        line = np.maximum.reduce(channels)
        line = cv2.dilate(line, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (thick + 1, thick + 1)))
        return black_line(cv2.GaussianBlur(line, (0, 0), 0.5))
    luma = cv2.cvtColor(flat, cv2.COLOR_RGB2GRAY).astype(np.float32)
    if way == 1:  # what is darker than its surroundings, and every strong change
        wide = cv2.GaussianBlur(luma, (0, 0), 3.0 * thick)
        near = cv2.GaussianBlur(luma, (0, 0), 0.6 * thick)
        return black_line((wide - near) * 8)
    gx, gy = cv2.Sobel(luma, cv2.CV_32F, 1, 0), cv2.Sobel(luma, cv2.CV_32F, 0, 1)
    return black_line(np.clip(cv2.magnitude(gx, gy) / 2 - 20, 0, 255))


def recoloured(rgba: Pixels, rng: np.random.Generator) -> Pixels:
    """Hues shifted; a black line gets another dark colour."""
    hsv = cv2.cvtColor(np.ascontiguousarray(rgba[..., :3]), cv2.COLOR_RGB2HSV)
    hsv[..., 0] = (hsv[..., 0].astype(int) + int(rng.integers(25, 155))) % 180
    rgb = cv2.cvtColor(hsv, cv2.COLOR_HSV2RGB).astype(np.float32)
    ink = rng.integers(0, 110, 3)
    rgb = rgb + (255 - rgb) * (ink / 255)
    return np.dstack([rgb.astype(np.uint8), rgba[..., 3]])


def contrast(rgba: Pixels, rng: np.random.Generator) -> Pixels:
    factor, lift = rng.uniform(0.6, 1.4), rng.uniform(-15, 15)
    rgb = np.clip((rgba[..., :3].astype(np.float32) - 128) * factor + 128 + lift, 0, 255)
    return np.dstack([rgb.astype(np.uint8), rgba[..., 3]])


def line_weight(rgba: Pixels, thicker: bool) -> Pixels:
    flat = on_ground(rgba)[..., :3]
    size = 2 + round(max(flat.shape[:2]) / 400)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    changed = (
        cv2.erode(flat, kernel) if thicker else cv2.addWeighted(cv2.dilate(flat, kernel), 0.75, flat, 0.25, 0)
    )
    return np.dstack([changed, np.full(flat.shape[:2], 255, np.uint8)])


def one_bit(rgba: Pixels, rng: np.random.Generator) -> Pixels:
    dark = darkness(rgba)
    black = dark > max(30.0, float(rng.uniform(0.35, 0.5)) * float(np.percentile(dark, 99.5)))
    flat = np.where(black, 0, 255).astype(np.uint8)
    return np.dstack([flat, flat, flat, np.full(flat.shape, 255, np.uint8)])


def erased(rgba: Pixels, rng: np.random.Generator, redrawn: bool) -> Pixels:
    """A blot that holds 8-15 % of the ink wiped out; where ``redrawn``, other lines drawn in its place."""
    out = rgba.copy()
    dark = darkness(rgba)
    goal, total = rng.uniform(0.08, 0.15), float(dark.sum()) + 1
    ys, xs = np.nonzero(dark > 60)
    if len(ys) == 0:
        return out
    pick = int(rng.integers(len(ys)))
    centre = (int(xs[pick]), int(ys[pick]))
    mask = np.zeros(dark.shape, np.uint8)
    stretch, angle = rng.uniform(0.6, 1.6), rng.uniform(0, 180)
    for radius in np.linspace(3, max(dark.shape), 60):
        mask[:] = 0
        axes = (max(1, int(radius * stretch)), max(1, int(radius)))
        cv2.ellipse(mask, centre, axes, float(angle), 0, 360, 1, -1)
        if float((dark * mask).sum()) / total >= goal:
            break
    out[mask > 0] = (255, 255, 255, 255) if bool((rgba[..., 3] == 255).all()) else (0, 0, 0, 0)
    if redrawn:
        _draw_over(out, centre, int(np.sqrt(mask.sum() / np.pi)) + 2, rng)
    return out


def _draw_over(out: Pixels, centre: tuple[int, int], radius: int, rng: np.random.Generator) -> None:
    weight = max(1, round(max(out.shape[:2]) / 200))
    for _ in range(int(rng.integers(3, 6))):
        points = np.asarray(centre) + rng.uniform(-0.9, 0.9, (4, 2)) * radius
        cv2.polylines(out, [points.astype(np.int32)], False, (20, 20, 20, 255), weight, cv2.LINE_AA)


def fit(rgba: Pixels, width: int, height: int) -> Pixels:
    left, top, right, bottom = ink_extent(rgba)
    inner = rgba[top:bottom, left:right]
    factor = min(width / inner.shape[1], height / inner.shape[0])
    return resized(inner, factor)


def lay(page: Pixels, drawing: Pixels, left: int, top: int) -> None:
    """Draws ``drawing`` over the page, in place."""
    height = min(drawing.shape[0], page.shape[0] - top)
    width = min(drawing.shape[1], page.shape[1] - left)
    part = drawing[:height, :width]
    alpha = part[..., 3:].astype(np.float32) / 255
    spot = page[top : top + height, left : left + width]
    spot[..., :3] = (part[..., :3] * alpha + spot[..., :3] * (1 - alpha)).astype(np.uint8)
    spot[..., 3] = np.maximum(spot[..., 3], part[..., 3])


def white_out(rgba: Pixels) -> Pixels:
    """White ground made transparent where the drawing is opaque."""
    if not bool((rgba[..., 3] == 255).all()):
        return rgba
    out = rgba.copy()
    near_white = rgba[..., :3].min(axis=2) > 245
    out[near_white, 3] = 0
    return out


def pasted_beside(rgba: Pixels, rng: np.random.Generator, others: Sequence[Pixels]) -> Pixels:
    left, top, right, bottom = ink_extent(rgba)
    inner = rgba[top:bottom, left:right]
    height, width = inner.shape[:2]
    scale = rng.uniform(0.6, 1.1)
    other = fit(others[0], max(8, int(max(width, height) * scale)), max(8, int(max(width, height) * scale)))
    gap = int(rng.uniform(0.02, 0.15) * max(width, height))
    beside = bool(rng.integers(2))
    if beside:
        size = (max(height, other.shape[0]), width + gap + other.shape[1])
    else:
        size = (height + gap + other.shape[0], max(width, other.shape[1]))
    page = np.zeros((*size, 4), np.uint8)
    page[:] = (255, 255, 255, 255)
    first = bool(rng.integers(2))
    spots = [
        (inner, 0 if first else other.shape[1 if beside else 0] + gap),
        (other, (width if beside else height) + gap if first else 0),
    ]
    for drawing, offset in spots:
        lay(page, drawing, offset if beside else 0, 0 if beside else offset)
    return page


def on_sheet(rgba: Pixels, rng: np.random.Generator, others: Sequence[Pixels], overlapping: bool) -> Pixels:
    """A sheet of 12, 4 by 3, with the drawing at a random place; apart, or each running into the next."""
    cell, reach = 300, (1.12 if overlapping else 0.86)
    page = np.zeros((3 * cell, 4 * cell, 4), np.uint8)
    page[:] = (255, 255, 255, 255)
    drawings = [white_out(o) for o in others[:11]]
    drawings.insert(int(rng.integers(12)), white_out(rgba))
    for place, drawing in enumerate(drawings):
        side = int(cell * reach * rng.uniform(0.85, 1.0))
        piece = fit(drawing, side, side)
        x = (place % 4) * cell + (cell - piece.shape[1]) // 2
        y = (place // 4) * cell + (cell - piece.shape[0]) // 2
        lay(page, piece, max(0, x), max(0, y))
    return page


def toned(rgba: Pixels, rng: np.random.Generator) -> Pixels:
    """A light tone laid under the drawing, inside its outline."""
    mark = (darkness(rgba) > 50).astype(np.uint8)
    size = max(3, max(mark.shape) // 20)
    body = cv2.morphologyEx(mark, cv2.MORPH_CLOSE, np.ones((size, size), np.uint8))
    tone = np.asarray(rng.integers(170, 235, 3), np.uint8)
    page = np.dstack(
        [np.where(body[..., None] > 0, tone, 255).astype(np.uint8), np.full(mark.shape, 255, np.uint8)]
    )
    lay(page, white_out(rgba), 0, 0)
    return page


def photographed(rgba: Pixels, rng: np.random.Generator) -> Pixels:
    page = on_ground(padded(rgba, 0.15, rng))[..., :3]
    height, width = page.shape[:2]
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
    moved = corners + rng.uniform(-0.03, 0.03, (4, 2)).astype(np.float32) * (width, height)
    matrix = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
    page = cv2.warpPerspective(page, matrix, (width, height), borderValue=WHITE).astype(np.float32)
    shade = 1 - 0.18 * np.linspace(0, 1, height)[:, None, None] * np.ones((1, width, 1))
    page = page * shade * (0.97, 0.95, 0.9) + rng.normal(0, 4, page.shape)
    flat = np.clip(page, 0, 255).astype(np.uint8)
    return jpeg(np.dstack([flat, np.full((height, width), 255, np.uint8)]), 75)


def palette(rgba: Pixels) -> Pixels:
    image = Image.fromarray(on_ground(rgba)[..., :3]).quantize(32)
    return from_pillow(image)


TRANSFORMS: dict[str, tuple[Transform, frozenset[str]]] = {
    # name: (transform, kinds that are a right answer)
    "metadata": (lambda d, r, o: d.copy(), frozenset({"same-picture"})),
    "re-encoded": (lambda d, r, o: on_ground(d) if r.integers(2) else d.copy(), frozenset({"same-picture"})),
    "palette": (lambda d, r, o: palette(d), frozenset({"same-picture"})),
    "jpeg q50": (lambda d, r, o: jpeg(d, 50), frozenset({"same-picture"})),
    "recoloured": (lambda d, r, o: recoloured(d, r), frozenset({"same-drawing"})),
    "contrast": (lambda d, r, o: contrast(d, r), frozenset({"same-drawing", "same-picture"})),
    "half": (lambda d, r, o: resized(d, 0.5), frozenset({"same-picture"})),
    "quarter": (lambda d, r, o: resized(d, 0.25), frozenset({"same-picture", "same-drawing"})),
    "padded 20": (lambda d, r, o: padded(d, 0.2, r), frozenset({"same-picture"})),
    "padded 50": (lambda d, r, o: padded(d, 0.5, r), frozenset({"same-picture"})),
    "to white": (lambda d, r, o: on_ground(d), frozenset({"same-picture"})),
    "to transparent": (lambda d, r, o: white_out(on_ground(d)), frozenset({"same-picture"})),
    "tinted ground": (
        lambda d, r, o: on_ground(d, [int(v) for v in r.integers(185, 250, 3)]),
        frozenset({"same-picture", "same-drawing"}),
    ),
    "mirrored": (lambda d, r, o: d[:, ::-1].copy(), frozenset({"same-drawing", "same-picture"})),
    "turned 90": (lambda d, r, o: np.rot90(d).copy(), frozenset({"same-drawing", "same-picture"})),
    "turned 180": (lambda d, r, o: np.rot90(d, 2).copy(), frozenset({"same-drawing", "same-picture"})),
    "turned 270": (lambda d, r, o: np.rot90(d, 3).copy(), frozenset({"same-drawing", "same-picture"})),
    "mirrored jpeg": (
        lambda d, r, o: jpeg(resized(d, 0.6)[:, ::-1].copy(), 70),
        frozenset({"same-drawing", "same-picture"}),
    ),
    "cropped 5": (lambda d, r, o: cropped(d, 0.05, r), frozenset({"same-drawing"})),
    "cropped 10": (lambda d, r, o: cropped(d, 0.10, r), frozenset({"same-drawing"})),
    "cropped 20": (lambda d, r, o: cropped(d, 0.20, r), frozenset({"same-drawing"})),
    "cropped round 10": (lambda d, r, o: cropped_round(d, 0.10), frozenset({"same-drawing"})),
    "scanned": (lambda d, r, o: scanned(d, r, float(r.uniform(-0.3, 0.3))), frozenset({"same-drawing"})),
    "scanned askew": (lambda d, r, o: scanned(d, r, 1.3), frozenset({"same-drawing"})),
    "photographed": (lambda d, r, o: photographed(d, r), frozenset({"same-drawing"})),
    "turned 3": (lambda d, r, o: turned(d, 3.0 if r.integers(2) else -3.0), frozenset({"same-drawing"})),
    "thicker": (lambda d, r, o: line_weight(d, True), frozenset({"same-drawing"})),
    "thinner": (lambda d, r, o: line_weight(d, False), frozenset({"same-drawing"})),
    "1-bit": (lambda d, r, o: one_bit(d, r), frozenset({"same-drawing"})),
    "toned": (lambda d, r, o: toned(d, r), frozenset({"same-drawing", "family"})),
    "erased": (lambda d, r, o: erased(d, r, False), frozenset({"family"})),
    "redrawn": (lambda d, r, o: erased(d, r, True), frozenset({"family"})),
    "pasted beside": (pasted_beside, frozenset({"family", "contained"})),
    "line art": (lambda d, r, o: line_drawing(d, int(r.integers(3))), frozenset({"family", "same-drawing"})),
    "sheet apart": (lambda d, r, o: on_sheet(d, r, o, False), frozenset({"contained"})),
    "sheet overlapping": (lambda d, r, o: on_sheet(d, r, o, True), frozenset({"contained"})),
}


LAID = ("mirrored", "turned 90", "turned 180", "turned 270")

HOW: dict[str, frozenset[str]] = {
    # name: words any of which says what was done
    "metadata": frozenset({"re-encoded"}),
    "re-encoded": frozenset({"re-encoded", "other ground"}),
    "palette": frozenset({"re-encoded", "other ground"}),
    "jpeg q50": frozenset({"re-encoded", "other ground"}),
    "recoloured": frozenset({"recoloured"}),
    "half": frozenset({"resized"}),
    "quarter": frozenset({"resized"}),
    "padded 20": frozenset({"padded"}),
    "padded 50": frozenset({"padded"}),
    "to white": frozenset({"other ground", "re-encoded"}),
    "to transparent": frozenset({"other ground", "re-encoded"}),
    "mirrored": frozenset({"mirrored"}),
    "turned 90": frozenset({"turned 90"}),
    "turned 180": frozenset({"turned 180"}),
    "turned 270": frozenset({"turned 270"}),
    "mirrored jpeg": frozenset({"mirrored"}),
    "cropped 5": frozenset({"cropped"}),
    "cropped 10": frozenset({"cropped"}),
    "cropped 20": frozenset({"cropped"}),
    "cropped round 10": frozenset({"cropped"}),
    "scanned": frozenset({"scanned"}),
    "scanned askew": frozenset({"scanned"}),
    "photographed": frozenset({"scanned"}),
    "turned 3": frozenset({"turned"}),
    "thicker": frozenset({"line weight"}),
    "thinner": frozenset({"line weight"}),
    "1-bit": frozenset({"black and white"}),
    "erased": frozenset({"erased"}),
    "redrawn": frozenset({"redrawn"}),
    "pasted beside": frozenset({"pasted beside"}),
    "line art": frozenset({"coloured"}),
}
"""What a verdict must say of a copy; of the others, sheets among them, no word is asked."""


def is_told(name: str, how: tuple[str, ...]) -> bool:
    """Whether the words say what was done, and of no mirroring or turning that was not."""
    wanted = HOW.get(name, frozenset())
    laid = wanted.intersection(LAID)
    return (not wanted or bool(wanted.intersection(how))) and (bool(laid) or not set(LAID).intersection(how))
