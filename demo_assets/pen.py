"""A pen on paper: strokes with wobble, pressure, taper and overshoot; white bodies that hide what lies behind."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw

Points = NDArray[np.float64]
Path = Sequence[Sequence[float]]

INK = (26, 24, 26)
PAPER = (255, 255, 255)
OVERSAMPLE = 3
# The light comes from the upper left: contours facing this way (x right, y down) are inked heavier.
SHADOW_SIDE = np.array([0.55, 0.83])


def _hermite(pts: Points, closed: bool, density: float) -> Points:
    """A centripetal Catmull-Rom curve through the points, float (N, 2), about `density` samples a unit."""
    if len(pts) < 3 and not closed:
        n = max(2, int(np.hypot(*(pts[-1] - pts[0])) * density))
        return pts[0] + np.linspace(0, 1, n)[:, None] * (pts[-1] - pts[0])
    ring = np.vstack([pts[-1:], pts, pts[:2]]) if closed else np.vstack([pts[:1], pts, pts[-1:]])
    knots = np.sqrt(np.maximum(np.hypot(*np.diff(ring, axis=0).T), 1e-6))
    out = []
    for i in range(1, len(ring) - 2):
        a, b, c = knots[i - 1], knots[i], knots[i + 1]
        p0, p1, p2, p3 = ring[i - 1 : i + 3]
        m1 = (p2 - p1) if a < 2e-3 else ((p2 - p1) / b * a + (p1 - p0) / a * b) / (a + b) * b
        m2 = (p2 - p1) if c < 2e-3 else ((p3 - p2) / c * b + (p2 - p1) / b * c) / (b + c) * b
        n = max(3, int(np.hypot(*(p2 - p1)) * density))
        t = np.linspace(0, 1, n, endpoint=False)[:, None]
        out.append(
            (2 * t**3 - 3 * t**2 + 1) * p1 + (t**3 - 2 * t**2 + t) * m1
            + (3 * t**2 - 2 * t**3) * p2 + (t**3 - t**2) * m2
        )
    out.append(ring[-2:-1])
    return np.vstack(out)


def smooth(path: Path, closed: bool = False, density: float = 4.0) -> Points:
    """The path as a dense curve, float (N, 2). A point written (x, y, 1) is a corner; the rest bend softly."""
    pts = np.array([p[:2] for p in path], float)
    corners = [i for i, p in enumerate(path) if len(p) > 2 and p[2]]
    if not corners:
        return _hermite(pts, closed, density)
    if closed:
        pts = np.roll(pts, -corners[0], axis=0)
        corners = [i - corners[0] for i in corners] + [len(pts)]
        pts = np.vstack([pts, pts[:1]])
    else:
        corners = sorted({0, *corners, len(pts) - 1})
    runs = [_hermite(pts[a : b + 1], False, density) for a, b in pairwise(corners)]
    return np.vstack(runs)


def arc(cx: float, cy: float, rx: float, ry: float | None = None, start: float = 0, end: float = 360,
        turn: float = 0) -> list[tuple[float, float]]:
    """Points on an ellipse from start to end, degrees clockwise from the right; `turn` tilts the whole."""
    ry = rx if ry is None else ry
    n = max(5, int(abs(end - start) / 22))
    angles = np.linspace(start, end, n, endpoint=abs(end - start) < 360)
    a, t = np.radians(angles), math.radians(turn)
    x, y = rx * np.cos(a), ry * np.sin(a)
    return [(cx + u * math.cos(t) - v * math.sin(t), cy + u * math.sin(t) + v * math.cos(t))
            for u, v in zip(x, y, strict=True)]


def box(x0: float, y0: float, x1: float, y1: float, r: float = 0) -> list[tuple[float, ...]]:
    """A rectangle as a closed path, with corners rounded by r."""
    if r <= 0:
        return [(x0, y0, 1), (x1, y0, 1), (x1, y1, 1), (x0, y1, 1)]
    out: list[tuple[float, ...]] = []
    for cx, cy, a in ((x1 - r, y0 + r, -90), (x1 - r, y1 - r, 0), (x0 + r, y1 - r, 90), (x0 + r, y0 + r, 180)):
        b, m = math.radians(a), math.radians(a + 45)
        e = math.radians(a + 90)
        out += [(cx + r * math.cos(b), cy + r * math.sin(b), 1), (cx + r * math.cos(m), cy + r * math.sin(m)),
                (cx + r * math.cos(e), cy + r * math.sin(e), 1)]
    return out


def _length(c: Points) -> Points:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(c, axis=0).T))])


def _normals(c: Points) -> Points:
    t = np.gradient(c, axis=0)
    t /= np.maximum(np.hypot(t[:, 0], t[:, 1]), 1e-9)[:, None]
    return np.stack([-t[:, 1], t[:, 0]], axis=1)


def tube_sides(centre: Path, halves: Sequence[float]) -> tuple[Points, Points]:
    """Left and right contour of a limb along a centre line; one half-width for each point of the line."""
    c = smooth(centre)
    stations = _length(c)
    at = [stations[int(np.argmin(np.hypot(*(c - np.array(p[:2])).T)))] for p in centre]
    half = np.interp(stations, np.maximum.accumulate(at), halves)
    soft = max(1, len(half) // 8)
    padded = np.pad(half, soft, mode="edge")
    half = np.convolve(padded, np.ones(2 * soft + 1) / (2 * soft + 1), "valid")
    n = _normals(c) * half[:, None]
    return c - n, c + n


class Pen:
    """Draws one element in its own units, origin in the middle of the paper, x right and y down."""

    def __init__(self, seed: int, scale: float = 5.0, span: tuple[float, float] = (150, 150), weight: float = 3.3,
                 colours: dict[str, tuple[int, int, int]] | None = None, wobble: float = 1.0) -> None:
        self.rng = np.random.default_rng(seed)
        self.scale, self.weight, self.wobble, self.colours = scale, weight, wobble, colours
        k = scale * OVERSAMPLE
        size = (int(span[0] * k), int(span[1] * k))
        self.ink = Image.new("L", size, 0)
        self.body = Image.new("L", size, 0)
        self.tint = Image.new("RGB", size, PAPER) if colours else None
        self.matrix = np.array([[k, 0, size[0] / 2], [0, k, size[1] / 2]])
        self.heavy = 1.0

    @contextmanager
    def place(self, x: float = 0, y: float = 0, scale: float = 1, turn: float = 0, flip: bool = False,
              heavy: float = 1) -> Iterator[None]:
        """Moves, sizes, turns (degrees clockwise) and flips what is drawn inside; `heavy` scales the line."""
        before, weight = self.matrix, self.heavy
        a = math.radians(turn)
        f = -1 if flip else 1
        local = np.array([[f * scale * math.cos(a), -scale * math.sin(a), x],
                          [f * scale * math.sin(a), scale * math.cos(a), y], [0, 0, 1]])
        self.matrix, self.heavy = before @ local, weight * heavy
        yield
        self.matrix, self.heavy = before, weight

    @contextmanager
    def inside(self, path: Path) -> Iterator[None]:
        """Keeps what is drawn inside within the closed path, as through a window."""
        layers = [x.copy() for x in (self.ink, self.body, self.tint) if x]
        yield
        mask = Image.new("L", self.ink.size, 0)
        ImageDraw.Draw(mask).polygon(self._flat(self._curve(path, True)), fill=255)
        now = [x for x in (self.ink, self.body, self.tint) if x]
        for new, old in zip(now, layers, strict=True):
            new.paste(Image.composite(new, old, mask))

    def _px(self, pts: Points) -> Points:
        return pts @ self.matrix[:, :2].T + self.matrix[:, 2]

    def _unit(self) -> float:
        return float(np.sqrt(abs(np.linalg.det(self.matrix[:, :2]))))

    def _curve(self, path: Path | Points, closed: bool) -> Points:
        if isinstance(path, np.ndarray):
            return self._px(path)
        return self._px(smooth(path, closed, density=max(0.4, self._unit() / 6)))

    @staticmethod
    def _flat(px: Points) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in px]

    def _noise(self, s: Points, waves: Sequence[tuple[float, float]]) -> Points:
        """Slow random drift along arc length s (pixels): a sum of waves (wavelength, height)."""
        total = np.zeros_like(s)
        for length, height in waves:
            total += height * np.sin(2 * math.pi * (s / (length * self.rng.uniform(0.7, 1.4)) + self.rng.random()))
        return total

    def _shake(self, px: Points) -> Points:
        k = OVERSAMPLE * self.wobble
        s = _length(px)
        small = min(1.0, s[-1] / (90 * OVERSAMPLE))
        waves = [(150.0 * OVERSAMPLE, 0.9 * k * small), (60.0 * OVERSAMPLE, 0.45 * k * small), (17.0 * OVERSAMPLE, 0.16 * k)]
        return px + _normals(px) * self._noise(s, waves)[:, None]

    def _stamp(self, px: Points, radius: Points, ink: bool) -> None:
        s = _length(px)
        step = max(1.0, float(radius.mean()) * 0.4)
        at = np.arange(0, s[-1] + step, step)
        xs, ys, rs = (np.interp(at, s, v) for v in (px[:, 0], px[:, 1], radius))
        draw = ImageDraw.Draw(self.ink)
        under = ImageDraw.Draw(self.body)
        for x, y, r in zip(xs.tolist(), ys.tolist(), rs.tolist(), strict=True):
            draw.ellipse((x - r, y - r, x + r, y + r), fill=255 if ink else 0)
            if ink:
                under.ellipse((x - r, y - r, x + r, y + r), fill=255)

    def line(self, path: Path | Points, w: float = 1, taper: tuple[float, float] = (0.35, 0.25), shade: Points | None = None,
             ink: bool = True, over: float = 0) -> None:
        """One stroke. `taper` is the width left at start and end; `over` overshoots both ends, in pixels."""
        px = self._curve(path, False)
        if len(px) < 2:
            return
        if over:
            d0, d1 = px[0] - px[min(3, len(px) - 1)], px[-1] - px[max(-4, -len(px))]
            ends = [p + d / max(np.hypot(*d), 1e-6) * over * OVERSAMPLE * self.rng.uniform(0.3, 1.2)
                    for p, d in ((px[0], d0), (px[-1], d1))]
            px = np.vstack([ends[0], px, ends[1]])
            shade = None if shade is None else np.concatenate([shade[:1], shade, shade[-1:]])
        self._ribbon(px, w, taper, shade, ink)

    def _ribbon(self, px: Points, w: float, taper: tuple[float, float], shade: Points | None, ink: bool) -> None:
        s = _length(px)
        total = max(s[-1], 1e-6)
        ramp = min(0.5 * total, 26.0 * OVERSAMPLE)
        rise = np.clip(s / ramp, 0, 1) ** 0.7
        fall = np.clip((total - s) / ramp, 0, 1) ** 0.7
        width = (taper[0] + (1 - taper[0]) * rise) * (taper[1] + (1 - taper[1]) * fall)
        width = width * (1 + self._noise(s, [(90.0 * OVERSAMPLE, 0.13), (31.0 * OVERSAMPLE, 0.06)]))
        if shade is not None:
            width = width * np.asarray(shade)
        r = np.maximum(width * w * self.heavy * self.weight * OVERSAMPLE / 2, 0.45 * OVERSAMPLE)
        self._stamp(self._shake(px), r, ink)

    def fill(self, path: Path | Points, tint: str | None = "white") -> None:
        """Lays a body without a contour: white (or the named tint), or solid black."""
        if tint is None:
            return
        flat = self._flat(self._curve(path, True))
        ImageDraw.Draw(self.body).polygon(flat, fill=255)
        ImageDraw.Draw(self.ink).polygon(flat, fill=255 if tint == "black" else 0)
        if self.tint is not None and tint != "black":
            ImageDraw.Draw(self.tint).polygon(flat, fill=(self.colours or {}).get(tint, PAPER))

    def shape(self, path: Path | Points, tint: str | None = "white", w: float = 1, lift: bool = True) -> None:
        """A closed contour over its own body; heavier on the shadow side, the ends of the stroke cross a little."""
        self.fill(path, tint)
        if w <= 0:
            return
        px = self._curve(path, True)
        px = self._turned(px)
        n = _normals(px)
        area = float(np.sum(px[:-1, 0] * px[1:, 1] - px[1:, 0] * px[:-1, 1]))
        facing = (n @ SHADOW_SIDE) * (-1 if area > 0 else 1)
        shade = 1 + 0.38 * facing
        extra = min(len(px) - 1, max(2, int(len(px) * 0.02)))
        again = px[:extra] + self.rng.normal(0, 0.6, 2) * OVERSAMPLE
        px, shade = np.vstack([px, again]), np.concatenate([shade, shade[:extra]])
        self._ribbon(px, w, (0.45, 0.3) if lift else (1, 1), shade, True)

    @staticmethod
    def _turned(px: Points) -> Points:
        """The same ring, starting at its upper left, where the light lets a pen begin and end unseen."""
        start = int(np.argmin(px @ SHADOW_SIDE))
        ring = px[:-1] if np.allclose(px[0], px[-1]) else px
        start %= len(ring)
        ring = np.roll(ring, -start, axis=0)
        return np.vstack([ring, ring[:1]])

    def merge(self, paths: Sequence[Path | Points], tint: str = "white", w: float = 1) -> None:
        """Several closed shapes inked as one contour: what overlaps leaves no line."""
        for p in paths:
            self.shape(p, None, w * 1.7)
        for p in paths:
            self.fill(p, tint)

    def tube(self, centre: Path, halves: Sequence[float], tint: str | None = "white", w: float = 1, tip: bool = False,
             butt: bool = False, cap: bool = False) -> None:
        """A limb: body and both contours. `tip` rounds the far end, `butt` closes it straight, `cap` rounds both."""
        left, right = tube_sides(centre, halves)
        if tip or cap:
            self._finger(left, right, tint, w, cap)
            return
        self.fill(np.vstack([left, right[::-1]]), tint)
        for side, sign in ((left, -1), (right, 1)):
            n = _normals(self._px(side)) * sign * (1 if np.linalg.det(self.matrix[:, :2]) > 0 else -1)
            self.line(side, w, (0.55, 0.45), 1 + 0.34 * (n @ SHADOW_SIDE))
        if butt:
            self.line(np.vstack([left[-1], right[-1]]), w, over=1)

    def _finger(self, left: Points, right: Points, tint: str | None, w: float, cap: bool) -> None:
        end = self._dome(left[-1], right[-1], left[-1] - left[-4 if len(left) > 4 else 0])
        ring = np.vstack([left, end, right[::-1]])
        if cap:
            ring = np.vstack([ring, self._dome(right[0], left[0], left[0] - left[3])])
            self.shape(ring, tint, w)
            return
        self.fill(ring, tint)
        n = _normals(self._px(ring)) * (-1 if np.linalg.det(self.matrix[:, :2]) > 0 else 1)
        self.line(ring, w, (0.4, 0.4), 1 + 0.34 * (n @ SHADOW_SIDE))

    @staticmethod
    def _dome(a: Points, b: Points, ahead: Points) -> Points:
        mid, half = (a + b) / 2, (b - a) / 2
        ahead = ahead / max(np.hypot(*ahead), 1e-9) * np.hypot(*half)
        t = np.linspace(0, math.pi, 14)[1:-1, None]
        return mid - half * np.cos(t) + ahead * np.sin(t)

    def hatch(self, path: Path | Points, gap: float = 1.6, turn: float = -55, w: float = 0.5, skip: float = 0.06) -> None:
        """Parallel strokes inside the closed path, `gap` units apart, leaning `turn` degrees, now and then one left out."""
        poly = self._curve(path, True)
        a = math.radians(turn)
        along, across = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
        u, v = poly @ along, poly @ across
        step = gap * self._unit()
        level = float(v.min()) + step * 0.6
        while level < v.max():
            cuts = self._crossings(u, v, level)
            for u0, u1 in zip(cuts[::2], cuts[1::2], strict=False):
                if u1 - u0 > 2 * OVERSAMPLE and self.rng.random() > skip:
                    j = self.rng.normal(0, 1.1 * OVERSAMPLE, 2)
                    ends = np.array([u0 + j[0], u1 + j[1]])
                    bend = np.linspace(*ends, 8)
                    px = bend[:, None] * along + (level + self.rng.normal(0, 0.08) * step) * across
                    self._ribbon(px, w, (0.9, 0.25), None, True)
            level += step * self.rng.uniform(0.85, 1.15)

    @staticmethod
    def _crossings(u: Points, v: Points, level: float) -> list[float]:
        above = v > level
        nxt = np.roll(above, -1)
        i = np.nonzero(above != nxt)[0]
        k = (i + 1) % len(v)
        t = (level - v[i]) / (v[k] - v[i])
        return sorted((u[i] + t * (u[k] - u[i])).tolist())

    def dot(self, x: float, y: float, r: float) -> None:
        """A solid spot of ink, r in units."""
        self.fill(arc(x, y, r * self.rng.uniform(0.92, 1.08), r), "black")

    def finish(self, pad: int = 4) -> Image.Image:
        """The element, RGBA on transparent ground, cropped to what was drawn plus `pad` pixels."""
        size = (self.ink.width // OVERSAMPLE, self.ink.height // OVERSAMPLE)
        ink, body = (x.resize(size, Image.Resampling.BOX) for x in (self.ink, self.body))
        tint = self.tint.resize(size, Image.Resampling.BOX) if self.tint else Image.new("RGB", size, PAPER)
        rgb = Image.composite(Image.new("RGB", size, INK), tint, ink)
        alpha = ImageChops.lighter(ink, body)
        rgb.putalpha(alpha)
        left, top, right, bottom = alpha.getbbox() or (0, 0, 1, 1)
        return rgb.crop((max(0, left - pad), max(0, top - pad), min(size[0], right + pad), min(size[1], bottom + pad)))
