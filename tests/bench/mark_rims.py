"""What a made page is not: table at its rim, torn edges, holes, fingers, clips, a shade beside the fold."""

from __future__ import annotations

import cv2
import numpy as np

from tests.bench.mark_sheet import OFF, Floats, Labels, Rng, Sheet, noise


def lay_off_page(sheet: Sheet, levels: Floats) -> Floats:
    """Levels (H, W, 3) with what is no page at some of its sides."""
    rng = sheet.rng
    for make, often in (
        (_table, 0.35),
        (_torn, 0.12),
        (_holes, 0.15),
        (_perforated, 0.06),
        (_finger, 0.15),
        (_gutter, 0.15),
        (_clip, 0.06),
    ):
        if rng.random() < often:
            turns = int(rng.integers(4))
            view, label = np.rot90(levels, turns), np.rot90(sheet.label, turns)
            levels = np.ascontiguousarray(np.rot90(make(np.ascontiguousarray(view), label, rng), -turns))
    return levels


def _laid(levels: Floats, label: Labels, mask: Floats, colour: Floats) -> Floats:
    """A colour laid over, all of it off the page."""
    label[mask > 0.4] = OFF
    return np.asarray(levels * (1 - mask[..., None]) + mask[..., None] * colour, np.float32)


def _surface(shape: tuple[int, int], rng: Rng) -> Floats:
    """A table: of one colour, grained like wood, or checked like a cloth."""
    base = np.float32(rng.uniform(0.03, 0.85) * rng.uniform(0.6, 1, 3))
    tone = rng.uniform(0, 0.15) * noise(shape, rng.uniform(2, 60), rng)
    kind = rng.random()
    if kind < 0.35:
        along = cv2.resize(
            noise((shape[0], 24), rng.uniform(1.5, 8), rng), shape[::-1], interpolation=cv2.INTER_CUBIC
        )
        tone = tone + rng.uniform(0.02, 0.2) * along
    elif kind < 0.45:
        y, x = np.mgrid[: shape[0], : shape[1]].astype(np.float32) / rng.uniform(6, 40)
        tone = tone + rng.uniform(0.05, 0.4) * ((np.floor(x) + np.floor(y)) % 2 - 0.5)
    return np.clip(base * (1 + tone[..., None]), 0, 1)


def _table(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """A wedge of table at the top, where the page's edge was found not quite."""
    height, width = levels.shape[:2]
    x = np.linspace(0, 1, width)
    depth = (
        rng.uniform(-0.012, 0.018) + rng.normal(0, 0.01) * (x - 0.5) + rng.normal(0, 0.006) * 4 * x * (1 - x)
    )
    y = np.arange(height)[:, None]
    mask = cv2.GaussianBlur((y < depth[None] * height).astype(np.float32), (0, 0), 0.7)
    shade = 1 - rng.uniform(0, 0.4) * np.exp(-np.clip(y - depth[None] * height, 0, None) / rng.uniform(1, 8))
    return _laid(levels * shade[..., None].astype(np.float32), label, mask, _surface((height, width), rng))


def _torn(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    rough = (
        noise((1, width), rng.uniform(3, 12), rng)[0] * rng.uniform(0.5, 4)
        + noise((1, width), 80, rng)[0] * 6
    )
    depth = np.clip(rng.uniform(2, 22) + rough, 0, None)
    y = np.arange(height)[:, None]
    rim = ((y >= depth) & (y < depth + rng.uniform(1, 5))).astype(np.float32)
    levels = levels * (1 - rim[..., None]) + rim[..., None] * np.float32(rng.uniform(0.85, 1))
    mask = cv2.GaussianBlur((y < depth).astype(np.float32), (0, 0), 0.6)
    return _laid(levels, label, mask, _surface((height, width), rng))


def _holes(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """Punched holes, or the many of a spiral binding."""
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    many = rng.random() < 0.4
    count = int(rng.integers(18, 50)) if many else int(rng.choice([2, 3, 4]))
    radius = rng.uniform(2.5, 6) if many else rng.uniform(7, 17)
    top = radius * rng.uniform(1.3, 3.5)
    square = many and rng.random() < 0.4
    for k in range(count):
        at = (width * (k + 0.5) / count, top + rng.normal(0, 0.5))
        if square:
            low = np.rint(np.array(at) - radius).astype(int)
            cv2.rectangle(mask, tuple(low.tolist()), tuple((low + round(2 * radius)).tolist()), 1.0, -1)
        else:
            cv2.circle(
                mask, (round(at[0] * 16), round(at[1] * 16)), round(radius * 16), 1.0, -1, cv2.LINE_AA, 4
            )
    if rng.random() < 0.4:
        shade = cv2.GaussianBlur(np.roll(mask, (2, 2), axis=(0, 1)), (0, 0), 1.5)
        levels = levels * (1 - 0.3 * shade[..., None])
    if many and rng.random() < 0.4:
        return _wired(
            _laid(levels, label, mask, _surface((height, width), rng)), label, (count, top, radius), rng
        )
    return _laid(levels, label, mask, _surface((height, width), rng))


def _wired(levels: Floats, label: Labels, holes: tuple[int, float, float], rng: Rng) -> Floats:
    """The wire of a spiral binding, through its holes and over the page's edge."""
    count, top, radius = holes
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    lean = rng.uniform(-0.6, 0.6) * radius
    for k in range(count):
        x = width * (k + 0.5) / count
        for pair in (0.0, radius * 0.8) if rng.random() < 0.9 else ():
            ends = (round((x + pair) * 16), round(top * 16)), (round((x + pair + lean) * 16), -80)
            cv2.line(mask, *ends, 1.0, max(1, round(radius * 0.35)), cv2.LINE_AA, 4)
    return _laid(levels, label, mask, np.full((height, width, 3), rng.uniform(0.1, 0.9), np.float32))


def _perforated(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """A sheet torn off its spiral: a row of notches, rags of paper between."""
    height, width = levels.shape[:2]
    count, deep = int(rng.integers(16, 50)), rng.uniform(5, 14)
    x = np.arange(width) / width * count
    notch = np.abs(x % 1 - 0.5) < rng.uniform(0.2, 0.38)
    ragged = np.abs(noise((1, width), rng.uniform(2, 6), rng)[0]) * rng.uniform(0.5, 3)
    depth = np.where(notch, deep, 0) + ragged
    mask = cv2.GaussianBlur((np.arange(height)[:, None] < depth).astype(np.float32), (0, 0), 0.6)
    return _laid(levels, label, mask, _surface((height, width), rng))


def _finger(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    x = rng.uniform(0.05, 0.95) * width
    deep, wide = rng.uniform(0.01, 0.13) * height, rng.uniform(0.03, 0.085) * width
    mask = np.zeros((height, width), np.float32)
    away = (round(x + rng.normal(0, 40)), -100)
    cv2.line(mask, (round(x), round(deep - wide / 2)), away, 1.0, round(wide), cv2.LINE_AA)
    shade = np.roll(cv2.GaussianBlur(mask, (0, 0), rng.uniform(3, 14)), (5, 5), axis=(0, 1))
    form = 0.75 + 0.25 * cv2.GaussianBlur(mask, (0, 0), wide * 0.2)
    skin = np.float32([(0.85, 0.63, 0.52), (0.55, 0.36, 0.26), (0.35, 0.22, 0.16)][rng.integers(3)])
    levels = levels * (1 - rng.uniform(0.1, 0.4) * shade[..., None])
    soft = cv2.GaussianBlur(mask, (0, 0), 1.0)
    return _laid(levels, label, soft, np.asarray(form[..., None] * skin * rng.uniform(0.85, 1.1), np.float32))


def _gutter(levels: Floats, label: Labels, rng: Rng) -> Floats:
    """The shade of a scan beside a book's fold or a lifted edge, with a black rim now and then."""
    height = levels.shape[0]
    y = np.arange(height, dtype=np.float32)[:, None, None] / height
    levels = levels * (1 - rng.uniform(0.15, 0.8) * np.exp(-y / rng.uniform(0.008, 0.09)))
    if rng.random() < 0.4:
        deep = int(rng.integers(1, 16))
        levels[:deep] = rng.uniform(0, 0.25)
        label[:deep] = OFF
    return np.asarray(levels, np.float32)


def _clip(levels: Floats, label: Labels, rng: Rng) -> Floats:
    height, width = levels.shape[:2]
    mask = np.zeros((height, width), np.float32)
    x, wide = rng.uniform(0.1, 0.8) * width, rng.uniform(0.04, 0.16) * width
    cv2.rectangle(mask, (round(x), 0), (round(x + wide), round(rng.uniform(0.01, 0.06) * height)), 1.0, -1)
    return _laid(levels, label, mask, _surface((height, width), rng))
