"""Line drawings whose outlines stay open, with what of them is body: what the judge of rooms is trained on.

`python -m tests.bench.room_views VIEWS --count N` draws them: things drawn by chance (`opening_scenes`) whose strokes
stop short, clip art of both tuning halves in line with its outline cut, and strokes that bound nothing.
"""

from __future__ import annotations

import argparse
import time
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import fill_body, solid_line
from assetlib.imaging.cleaning.rooms import see
from tests.bench import drawn, opening_scenes, opening_things, sheet_drawings
from tests.bench.opening_sketch import Sketch, box, disc

Pixels = NDArray[np.uint8]
Rng = np.random.Generator
SEED = 4100
CLIP_ART, BARE_STROKES = 0.42, 0.04  # shares of the drawings; the rest are things drawn by chance
MOST_OPEN = 0.35  # of an outline
FOLDERS = ("animals", "buildings", "containers", "education", "food", "office", "people", "plants", "recreation",
           "science", "tools", "transportation",
           "electronics", "unsorted", "special", "decorations", "shapes")  # fmt: skip
HOLE_WEIGHT, BODY_WEIGHT, FAR_WEIGHT = 0.3, 0.5, 0.1


class Careless(Sketch):
    """A pen whose strokes stop short: sleeves, hems, feet, rims."""

    def __init__(self, rng: Rng, width: int) -> None:
        super().__init__(rng, width)
        self.careless = float(rng.choice([0.15, 0.4, 0.8]))
        self.pen = float(rng.uniform(0.3, 1.2))
        self.blacks = float(rng.choice([0, 0, 0.05, 0.3]))
        self.most = float(rng.choice([0.12, 0.22, MOST_OPEN]))

    def _stroke(self, outline: NDArray[np.int32], weight: float, closed: bool) -> None:
        if closed and len(outline) > 8 and self.rng.random() < self.careless:
            outline = np.roll(outline, int(self.rng.integers(len(outline))), axis=0)
            for part in _broken(self.rng, outline, self.most):
                super()._stroke(part, weight, False)
            return
        super()._stroke(outline, weight, closed)


def _broken(rng: Rng, path: NDArray[np.int32], most: float) -> list[NDArray[np.int32]]:
    """A closed path as one to three open strokes that leave up to `most` of it open altogether."""
    path = np.vstack([path, path[:1]])
    steps = np.hypot(*np.diff(path, axis=0).T)
    along = np.concatenate([[0], np.cumsum(steps)]) / max(1e-6, steps.sum())
    count = int(rng.choice([1, 1, 2, 3]))
    opened = rng.uniform(0.02, most) * rng.dirichlet(np.ones(count))
    starts = np.sort(rng.uniform(0, 1, count))
    starts[0] = 0
    fine = np.linspace(0, 1, 400)
    at = np.stack([np.interp(fine, along, path[:, k]) for k in (0, 1)], axis=1)
    parts = []
    for k in range(count):
        end = starts[k + 1] if k + 1 < count else 1.0
        inside = (fine >= starts[k] + opened[k]) & (fine <= end)
        if inside.sum() > 3:
            parts.append(np.rint(at[inside]).astype(np.int32))
    return parts


def assembly(s: Sketch) -> None:
    """A thing of chance: one to four bodies with legs, arms, a spout, a handle or a foot."""
    rng = s.rng
    legs = int(rng.choice([0, 0, 2, 2, 3, 4]))
    wide, tall, low = rng.uniform(14, 46), rng.uniform(10, 34), rng.uniform(0, 20)
    thick = rng.uniform(2, 11)
    bend = bool(rng.random() < 0.5)
    spread = rng.uniform(-0.2, 0.4)
    for k in range(legs):
        x = wide * (2 * (k + 0.5) / legs - 1)
        s.tube(
            [(x, low), (x * (1 + spread), low + rng.uniform(20, 45))], [thick, thick * rng.uniform(0.6, 1.2)]
        )
    for side in (-1, 1) if rng.random() < 0.4 else ():
        hand = (side * rng.uniform(wide, 58), rng.uniform(-50, 40))
        s.tube(
            [(side * wide * 0.8, -tall * 0.5), (side * (wide + 12), rng.uniform(-20, 20)), hand], [thick] * 3
        )
    if rng.random() < 0.3:
        s.ring(wide * float(rng.choice([-1, 1])), low - tall, rng.uniform(8, 20), rng.uniform(2, 6))
    for _ in range(int(rng.integers(0, 3))):
        s.shape(disc(rng.uniform(-30, 30), rng.uniform(-50, 10), rng.uniform(5, 18), rng.uniform(5, 18)))
    shape = box(-wide, low - 2 * tall, wide, low, 0, rng.uniform(-6, 10))
    s.shape(disc(0, low - tall, wide, tall) if rng.random() < 0.5 else shape, bend=bend, black=s.blacks / 2)
    if rng.random() < 0.5:
        s.shape(disc(rng.normal(0, 6), low - 2 * tall - 6, rng.uniform(5, 14)))
    for _ in range(int(rng.integers(0, 5))):
        x, y = rng.uniform(-wide, wide) * 0.7, low - tall * rng.uniform(0.3, 1.7)
        s.stroke([(x, y), (x + rng.normal(0, 7), y + rng.normal(0, 7))])


def thing(rng: Rng, width: int) -> tuple[Pixels, Pixels]:
    """Colours, RGBA with what one looks through empty, and alpha of the line of a thing drawn by chance."""
    choice = rng.random()
    if choice < 0.3:
        draw = assembly
    else:
        shares, draws = zip(*(opening_things.THINGS if choice < 0.88 else opening_scenes.SCENES), strict=True)
        draw = draws[int(rng.choice(len(draws), p=np.array(shares) / sum(shares)))]
    sketch = Careless(rng, width) if rng.random() < 0.8 else Sketch(rng, width)
    draw(sketch)
    return sketch.done()


@lru_cache
def _names() -> list[Path]:
    """Clip art that neither half of drawings reports on."""
    other = {str(p.relative_to(drawn.SOURCE).with_suffix("")) for p in drawn.list_drawings(1, 100_000)}
    places = sheet_drawings.names_by_place("tune")
    found = [p for place in FOLDERS for p in places.get(place, ())]
    root = sheet_drawings.CLIP_ART
    return [p for p in found if str(p.relative_to(root).with_suffix("")) not in other]


def clip(rng: Rng, width: int) -> tuple[Pixels, Pixels] | None:
    """Colours and line of a piece of clip art whose outline is cut here and there."""
    names = _names()
    art = sheet_drawings.read_drawing(names[int(rng.integers(len(names)))])
    if art is None:
        return None
    art = drawn.with_margin(sheet_drawings.fit(art, width - 24, width - 24))
    solid = art[..., 3] > 127
    if not 0.06 < solid.mean() < 0.85 or drawn.fill_holes(solid).sum() > 1.35 * solid.sum():
        return None
    pen = float(rng.uniform(1.2, 4.5))
    if rng.random() < 0.25:  # its outline alone
        art[solid, :3] = 200
    line = drawn.draw_contours(art, pen)
    return art, _cut_outline(rng, line, solid, pen) if rng.random() < 0.85 else line


def _cut_outline(rng: Rng, line: Pixels, solid: NDArray[np.bool_], pen: float) -> Pixels:
    """The line with stretches of the silhouette's edge taken out, up to a share of the drawing's diagonal."""
    cut = np.zeros_like(line)
    contours = [
        c[:, 0] for c in cv2.findContours(solid.astype(np.uint8), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)[0]
    ]
    lengths = np.array([len(c) for c in contours], float)
    diagonal = float(np.hypot(*cv2.boundingRect(solid.astype(np.uint8))[2:]))
    for _ in range(int(rng.choice([1, 1, 2, 3, 5]))):
        contour = contours[int(rng.choice(len(contours), p=lengths / lengths.sum()))]
        gap = int(min(rng.uniform(0.02, MOST_OPEN) * diagonal, 0.4 * len(contour)))
        start = int(rng.integers(len(contour)))
        part = np.roll(contour, -start, axis=0)[: max(2, gap)]
        cv2.polylines(cut, [part.astype(np.int32)], False, 255, round(pen + 5))
    return np.where(cut > 0, 0, line).astype(np.uint8)


def _loose(rng: Rng, line: Pixels, solid: NDArray[np.bool_]) -> Pixels:
    """Strokes that bound nothing: hair and grass on the outline, ground, motion, rain, strings, a ruled line."""
    line, side = line.copy(), max(line.shape)
    pen = max(1, round(float(rng.uniform(0.004, 0.012)) * side))
    rows, columns = np.nonzero(solid ^ (cv2.erode(solid.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0))
    if not len(rows):
        return line
    low = float(rows.max())
    kind = int(rng.integers(6))
    far = float(rng.uniform(0.03, 0.2)) * side
    slant = rng.normal(0, 1, 2)
    for _ in range(1 if kind == 1 else int(rng.integers(2, 14))):
        i = int(rng.integers(len(rows)))
        start = np.array([columns[i], rows[i]], float)
        if kind == 0:
            end = start + rng.normal(0, 1, 2) * far
        elif kind == 1:
            start, end = np.array([0.02 * side, low + 2]), np.array([0.98 * side, low + rng.normal(0, 4)])
        elif kind in (2, 3):
            start = rng.uniform(0.03, 0.97, 2) * side if kind == 2 else start + 0.3 * far * slant
            end = start + far * slant / max(0.3, float(np.hypot(*slant)))
        elif kind == 4:
            end = start + np.array([rng.normal(0, 0.3), -abs(rng.normal(1, 0.3))]) * far
        else:
            end = rng.uniform(0.03, 0.97, 2) * side
        middle = (start + end) / 2 + rng.normal(0, 0.12, 2) * np.hypot(*(end - start))
        t = np.linspace(0, 1, 12)[:, None]
        path = (1 - t) ** 2 * start + 2 * t * (1 - t) * middle + t**2 * end
        mark = np.zeros_like(line)
        cv2.polylines(mark, [np.rint(path * 8).astype(np.int32)], False, 255, pen, cv2.LINE_AA, shift=3)
        if kind != 5:  # strokes within the body are hidden by it
            mark[solid] = 0
        line = np.maximum(line, mark)
    return line


def _bare(rng: Rng, width: int) -> tuple[Pixels, Pixels]:
    """Strokes alone: rain, grass, letters, a scribble; nothing is body."""
    line = np.zeros((width, width), np.uint8)
    for _ in range(int(rng.choice([1, 2, 3]))):
        seed = np.zeros((width, width), bool)
        y, x = (int(v) for v in rng.uniform(0.2, 0.8, 2) * width)
        cv2_box = slice(max(0, y - 20), y + 20), slice(max(0, x - 60), x + 60)
        seed[cv2_box] = True
        line = np.maximum(line, _loose(rng, np.zeros_like(line), seed))
    return np.zeros((width, width, 4), np.uint8), line


def _spoiled(rng: Rng, line: Pixels) -> Pixels:
    """In pencil with the tooth of its paper, or as it is."""
    if rng.random() < 0.25:
        tooth = cv2.GaussianBlur(
            rng.normal(0, 1, line.shape).astype(np.float32), (0, 0), float(rng.uniform(0.6, 1.1))
        )
        tooth /= tooth.std()
        line = np.clip(line * np.clip(0.75 + 0.5 * tooth, 0, 1), 0, 255).astype(np.uint8)
    return line


def view(seed: int) -> tuple[Pixels, Pixels] | None:
    """What the judge sees, uint8 (2, SIDE, SIDE), and truth with weight, uint8 (2, SIDE, SIDE)."""
    rng = np.random.default_rng([SEED, seed])
    width = int(rng.choice([220, 280, 340]))
    choice = rng.random()
    made = (
        _bare(rng, width) if choice < BARE_STROKES
        else clip(rng, width) if choice < BARE_STROKES + CLIP_ART
        else thing(rng, width)
    )  # fmt: skip
    if made is None:
        return None
    colour, line = made
    alpha = colour[..., 3]
    if rng.random() < 0.35:
        line = _loose(rng, line, alpha > 127)
    if rng.random() < 0.1:  # cropped by the border of its picture
        cut = round(float(rng.uniform(0.15, 0.45)) * width)
        side = int(rng.integers(4))
        part = (np.s_[cut:], np.s_[:-cut], np.s_[:, cut:], np.s_[:, :-cut])[side]
        alpha, line = alpha[part], line[part]
    line = _spoiled(rng, line)
    whole = solid_line(line)
    if whole.sum() < 60:
        return None
    body = fill_body(drawn.as_ink(line), judged=False)
    return see(whole, ~body), _truth(alpha, whole, body)


def _truth(alpha: Pixels, line: NDArray[np.bool_], body: NDArray[np.bool_]) -> Pixels:
    solid = alpha > 127
    hull = np.zeros(line.shape, np.uint8)
    rows, columns = np.nonzero(line)
    cv2.fillConvexPoly(hull, cv2.convexHull(np.stack([columns, rows], 1).astype(np.int32)), 1)
    weight = np.where(body, BODY_WEIGHT, np.where(hull > 0, 1.0, FAR_WEIGHT))
    weight[drawn.fill_holes(solid) & ~solid] *= HOLE_WEIGHT
    weight[line] *= 0.2
    weight[(alpha > drawn.BARE) & (alpha <= 127)] = 0
    both = see(line, ~solid, np.rint(255 * weight).astype(np.uint8))
    return np.stack([both[1], both[2]])


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("views", type=Path)
    options.add_argument("--count", type=int, default=12_000)
    options.add_argument("--first", type=int, default=0)
    asked = options.parse_args()
    cv2.setNumThreads(1)
    seen, truths, began = [], [], time.time()
    for seed in range(asked.first, asked.first + asked.count):
        made = view(seed)
        if made is not None:
            seen.append(made[0])
            truths.append(made[1])
        if seed % 500 == 0:
            print(seed, len(seen), round(time.time() - began), flush=True)
    np.savez(asked.views, seen=np.stack(seen), truth=np.stack(truths))


if __name__ == "__main__":
    main()
