"""Flat pages seen by a camera or a scanner: bent sheets in space, a real lens, what a phone does to its pictures.

The sheet is bent without stretching, projected by OpenCV with lens distortion, and laid on photographed tables.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import LinearNDInterpolator

from tests.bench.foreign_papers import Flat, Floats, Picture, Rng, Textures, tiled
from tests.bench.page_papers import Box

# name, and how much it is enlarged
TABLES = tuple(
    tuple((one.split(":")[0], float(one.split(":")[1])) for one in group.split(", "))
    for group in (
        "oldWoodenFloor:3.2, HR_Cork:1.5, marbleWall:2.2, woodenFloor:2.6, bluejean-texture:4, greyTile:4, gravel:1.6",
        "walnut:6, wood1:7, lightBlueTile:4, burlap:4, HR_DecoPaper:1.6, stoneTiles:3.5, brick:1.7, roughcast:2.5",
        "wood5:6, parque1:6, beigeTile:4, pavingStone:3, leather:5, granit-pattern:5, redTiles:4, wallBeigeTile:4",
    )
)
STEEPEST = 25.0  # degrees
BEYOND = 0.12  # of the sheet's size: how far its surface goes on, so that its edge is sampled cleanly
COARSE = 6  # pixels of the picture to one of the map from picture to page


@dataclass(frozen=True, slots=True)
class Taken:
    """A picture, uint8 (H, W, 4), of a page of `size` (width, height) with drawings at `boxes`; as `MadePage`.

    `u` and `v` float32 are where every COARSE-th pixel of a photograph lies on the page; `flatten` takes points of a
    scan there instead.
    """

    name: str
    rgba: Picture
    corners: NDArray[np.float64] | None
    size: tuple[int, int]
    boxes: list[Box]
    u: Floats | None = None
    v: Floats | None = None
    back: NDArray[np.float64] | None = None
    torn: NDArray[np.float64] | None = None
    """Where the corners are at the deepest of a tear; a corner anywhere between is right."""

    def on_page(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where points (n, 2) of the picture lie on the flat page."""
        if self.back is not None:
            return np.asarray(cv2.perspectiveTransform(points[None].astype(np.float64), self.back)[0])
        assert self.u is not None
        assert self.v is not None
        at = ((points + 0.5) / COARSE - 0.5).astype(np.float32)[None]
        seen = [
            cv2.remap(way, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)[0]
            for way in (self.u, self.v)
        ]
        return np.stack(seen, axis=1).astype(np.float64)


# ---- a sheet in space


def _bent(size: tuple[int, int], rng: Rng) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points of a sheet (n, 2) in its own pixels, and where they lie in space (n, 3): bent, not stretched."""
    width, height = size
    u = np.linspace(-BEYOND, 1 + BEYOND, 57) * width
    v = np.linspace(-BEYOND, 1 + BEYOND, 57) * height
    flat = np.stack(np.meshgrid(u, v), axis=-1).reshape(-1, 2)
    turn = rng.choice([0, math.pi / 2, rng.uniform(0, math.pi)])  # the axis that it is rolled around
    across, along = np.array([math.cos(turn), math.sin(turn)]), np.array([-math.sin(turn), math.cos(turn)])
    middle = np.array(size) / 2
    s, t = (flat - middle) @ across, (flat - middle) @ along
    reach = float(np.abs(s).max())
    high = rng.choice([0, 0, 1, 1]) * rng.uniform(0.006, 0.03) * width
    run = np.linspace(-reach, reach, 2001)
    if rng.random() < 0.5:  # arched
        rise = high * np.cos(run / reach * math.pi / 2)
    else:  # rolled up at one end
        rise = high * np.clip((run / reach - 0.1) / 0.9, 0, None) ** 2
    slope = np.gradient(rise, run)
    walked = np.cumsum(np.sqrt(np.clip(1 - slope**2, 0.2, 1))) * (run[1] - run[0])
    walked -= np.interp(0, run, walked)
    x = np.interp(s, run, walked)
    z = np.interp(s, run, rise)
    place = middle + x[:, None] * across + t[:, None] * along
    return flat, np.column_stack([place - middle, -z])


def photograph(flat: Flat, name: str, rng: Rng, textures: Textures, longest: int = 2300) -> Taken:
    """The page on a table as a phone takes it."""
    height, width = flat.cover.shape
    frame = (longest, round(longest * 0.75)) if width > height else (round(longest * 0.75), longest)
    sheet, space = _bent((width, height), rng)
    focal = max(frame) * rng.uniform(0.72, 1.0)
    lens = np.array([rng.uniform(-0.06, 0.05), rng.uniform(-0.03, 0.03), 0, 0])
    camera = np.array([[focal, 0, frame[0] / 2], [0, focal, frame[1] / 2], [0, 0, 1]])
    tilt, way, roll = (
        math.radians(rng.uniform(3, STEEPEST)),
        rng.uniform(0, 2 * math.pi),
        math.radians(rng.normal(0, 5)),
    )
    turned = (
        cv2.Rodrigues(np.array([0, 0, roll]))[0]
        @ cv2.Rodrigues(np.array([math.cos(way), math.sin(way), 0]) * tilt)[0]
    )
    corners3 = (
        np.array([[-width, -height, 0], [width, -height, 0], [width, height, 0], [-width, height, 0]], float)
        / 2
    )
    away = focal * max(width / frame[0], height / frame[1])
    aim = np.zeros(2)
    for _ in range(30):  # step back until the page is in the picture
        moved = np.array([*aim, away])
        seen = cv2.projectPoints(corners3, cv2.Rodrigues(turned)[0], moved, camera, lens)[0][:, 0]
        low, high = seen.min(axis=0), seen.max(axis=0)
        aim = aim - ((low + high) / 2 - np.array(frame) / 2) * away / focal
        if ((high - low) < np.array(frame) * 0.93).all() and rng.random() < 0.6:
            break
        away *= 1.03
    moved = np.array([*aim + rng.normal(0, 0.008, 2) * width, away])
    seen = cv2.projectPoints(space, cv2.Rodrigues(turned)[0], moved, camera, lens)[0][:, 0]
    u, v = _maps(sheet, seen, frame)
    corners = _corners(sheet, seen, np.array([[0, 0], [width, 0], [width, height], [0, height]], float))
    torn = None if flat.torn is None else _corners(sheet, seen, flat.torn)
    picture = _scene(flat, u, v, frame, corners, rng, textures)
    return Taken(name, _opaque(_phone(picture, rng)), corners, (width, height), flat.boxes, u, v, torn=torn)


def _maps(
    sheet: NDArray[np.float64], seen: NDArray[np.float64], frame: tuple[int, int]
) -> tuple[Floats, Floats]:
    x, y = np.meshgrid(
        (np.arange(-(-frame[0] // COARSE)) + 0.5) * COARSE - 0.5,
        (np.arange(-(-frame[1] // COARSE)) + 0.5) * COARSE - 0.5,
    )
    found = LinearNDInterpolator(seen, sheet, fill_value=-1e5)(x, y)
    return found[..., 0].astype(np.float32), found[..., 1].astype(np.float32)


def _corners(
    sheet: NDArray[np.float64], seen: NDArray[np.float64], goal: NDArray[np.float64]
) -> NDArray[np.float64]:
    return np.asarray(LinearNDInterpolator(sheet, seen)(goal), np.float64)


def _scene(
    flat: Flat, u: Floats, v: Floats, frame: tuple[int, int], corners: NDArray[np.float64], rng: Rng, textures: Textures
) -> Floats:  # fmt: skip
    fine = [_enlarged(way, frame) for way in (u, v)]
    levels = cv2.remap(
        flat.levels, fine[0] - 0.5, fine[1] - 0.5, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    padded = np.pad(flat.cover, 2)
    cover = cv2.remap(
        padded, fine[0] + 1.5, fine[1] + 1.5, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=0
    )
    name, larger = TABLES[textures.group][rng.integers(len(TABLES[textures.group]))]
    table = tiled(textures[name], frame[::-1], larger * rng.uniform(0.8, 1.4), rng)
    table = cv2.GaussianBlur(table, (0, 0), 1.2) * rng.uniform(0.65, 1.0)
    if rng.random() < 0.35:
        table = _beside(table, rng)
    deep = max(frame) * rng.uniform(0.002, 0.01)
    shadow = cv2.GaussianBlur(cover, (0, 0), deep)
    move = np.float32([[1, 0, rng.uniform(-1, 1) * deep], [0, 1, rng.uniform(-1, 1) * deep]])
    shadow = np.maximum(0, cv2.warpAffine(shadow, move, frame) - 0.0)
    table = table * (1 - rng.uniform(0.25, 0.6) * shadow[..., None])
    shade = _form(u, v, frame, rng)
    scene = table * (1 - cover[..., None]) + levels * shade[..., None] * cover[..., None]
    if rng.random() < 0.5:
        scene = _hand(scene, corners, rng) if rng.random() < 0.7 else _clip(scene, corners, rng)
    return _lit(scene, rng)


def _enlarged(way: Floats, frame: tuple[int, int]) -> Floats:
    x, y = np.meshgrid(
        (np.arange(frame[0], dtype=np.float32) + 0.5) / COARSE - 0.5,
        (np.arange(frame[1], dtype=np.float32) + 0.5) / COARSE - 0.5,
    )
    return np.asarray(cv2.remap(way, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), np.float32)


def _form(u: Floats, v: Floats, frame: tuple[int, int], rng: Rng) -> Floats:
    """How a bent sheet takes the light: by how its map's scale changes from place to place."""
    near = np.abs(cv2.Sobel(np.clip(u, -1e4, 1e4), cv2.CV_32F, 1, 0)) + np.abs(
        cv2.Sobel(np.clip(v, -1e4, 1e4), cv2.CV_32F, 0, 1)
    )
    usual = float(np.median(near[np.isfinite(near)]))
    form = np.clip(cv2.GaussianBlur(np.clip(near / usual, 0.7, 1.4), (0, 0), 6), 0.8, 1.25)
    return _enlarged((1 + rng.uniform(-0.6, 0.6) * (form - 1)).astype(np.float32), frame)


def _beside(table: Floats, rng: Rng) -> Floats:
    """A pencil, a ruler or a phone lies on the table; the page covers what it covers."""
    height, width = table.shape[:2]
    at = np.array([rng.choice([0.04, 0.96]) * width, rng.uniform(0.1, 0.9) * height])
    size = [(0.012, 0.5), (0.06, 0.6), (0.14, 0.28)][rng.integers(3)]
    box = cv2.boxPoints(
        ((float(at[0]), float(at[1])), (size[0] * width, size[1] * height), float(rng.normal(0, 12)))
    )
    mask = np.zeros((height, width), np.float32)
    cv2.fillPoly(mask, [np.rint(box).astype(np.int32)], 1.0, cv2.LINE_AA)
    shade = cv2.GaussianBlur(mask, (0, 0), 8)
    colour = np.float32(rng.uniform(0.05, 0.9, 3))
    return table * (1 - 0.4 * shade[..., None]) * (1 - mask[..., None]) + mask[..., None] * colour


def _hand(scene: Floats, corners: NDArray[np.float64], rng: Rng) -> Floats:
    """Two or three fingers with nails and knuckles that hold the sheet at one side."""
    height, width = scene.shape[:2]
    side = int(rng.integers(4))
    start, end = corners[side], corners[(side + 1) % 4]
    inward = corners.mean(axis=0) - (start + end) / 2
    inward /= np.hypot(*inward)
    way = (end - start) / np.hypot(*(end - start))
    wide = rng.uniform(0.028, 0.04) * max(width, height)
    at = start + (end - start) * rng.uniform(0.2, 0.75)
    tone = np.float32(
        [(0.86, 0.66, 0.55), (0.72, 0.5, 0.38), (0.45, 0.3, 0.22), (0.3, 0.2, 0.15)][rng.integers(4)]
    )
    for k in range(int(rng.integers(2, 4))):
        tip = at + way * wide * 1.25 * k + inward * wide * rng.uniform(0.4, 1.4)
        root = tip - inward * wide * 14 + way * rng.normal(0, 1.5) * wide
        mask = np.zeros((height, width), np.float32)
        for t in np.linspace(0, 1, 60):
            place = tip + (root - tip) * t
            radius = wide * 0.5 * (0.86 + 0.3 * t + 0.06 * math.cos(t * 18))
            cv2.circle(mask, tuple(np.rint(place).astype(int).tolist()), round(radius), 1.0, -1, cv2.LINE_AA)
        shade = cv2.GaussianBlur(
            np.roll(mask, (round(wide * 0.2), round(wide * 0.25)), (0, 1)), (0, 0), wide * 0.25
        )
        scene = scene * (1 - 0.35 * shade[..., None])
        inner = cv2.distanceTransform((mask > 0.5).astype(np.uint8), cv2.DIST_L2, 3)
        form = 0.6 + 0.4 * np.clip(inner / (wide * 0.4), 0, 1) ** 0.6
        skin = form[..., None] * tone * (1 + 0.03 * rng.normal(0, 1, (height, width, 1)))
        nail = np.zeros((height, width), np.float32)
        turn = math.degrees(math.atan2(inward[1], inward[0]))
        cv2.ellipse(
            nail,
            tuple(np.rint(tip + inward * wide * 0.05).astype(int).tolist()),
            (round(wide * 0.36), round(wide * 0.27)),
            turn,
            0,
            360,
            0.6,
            -1,
            cv2.LINE_AA,
        )
        skin = skin * (1 - nail[..., None]) + nail[..., None] * np.clip(tone * 1.1 + 0.06, 0, 1)
        soft = cv2.GaussianBlur(mask, (0, 0), 1.2)[..., None]
        scene = scene * (1 - soft) + soft * skin
    return np.asarray(scene, np.float32)


def _clip(scene: Floats, corners: NDArray[np.float64], rng: Rng) -> Floats:
    """A binder clip at one side."""
    side = int(rng.integers(4))
    start, end = corners[side], corners[(side + 1) % 4]
    way = (end - start) / np.hypot(*(end - start))
    inward = corners.mean(axis=0) - (start + end) / 2
    inward /= np.hypot(*inward)
    wide = rng.uniform(0.05, 0.09) * max(scene.shape[:2])
    at = start + (end - start) * rng.uniform(0.3, 0.7)
    shape = [
        at - way * wide / 2 - inward * wide * 0.3,
        at + way * wide / 2 - inward * wide * 0.3,
        at + way * wide * 0.42 + inward * wide * 0.3,
        at - way * wide * 0.42 + inward * wide * 0.3,
    ]
    mask = np.zeros(scene.shape[:2], np.float32)
    cv2.fillPoly(mask, [np.rint(np.array(shape)).astype(np.int32)], 1.0, cv2.LINE_AA)
    scene = scene * (1 - 0.4 * cv2.GaussianBlur(np.roll(mask, (6, 4), (0, 1)), (0, 0), 6)[..., None])
    return np.asarray(
        scene * (1 - mask[..., None]) + mask[..., None] * np.float32(rng.uniform(0.04, 0.2)), np.float32
    )


def _lit(scene: Floats, rng: Rng) -> Floats:
    """A lamp at one side and the shadow of whoever holds the phone, soft at one end and sharp at the other."""
    height, width = scene.shape[:2]
    y, x = np.mgrid[:height, :width].astype(np.float32) / max(height, width)
    lamp = rng.uniform(-0.6, 1.6, 2)
    far = (x - lamp[0]) ** 2 + (y - lamp[1]) ** 2 + rng.uniform(0.5, 2) ** 2
    light = (float(far.min()) / far) ** rng.uniform(0.3, 0.8)
    light = light / light.max()
    if rng.random() < 0.5:
        mask = np.zeros((height, width), np.float32)
        edge = np.array(
            [
                [-0.2, rng.uniform(0.3, 0.9)],
                [0.3, rng.uniform(0.4, 1)],
                [0.7, rng.uniform(0.5, 1.1)],
                [1.2, rng.uniform(0.3, 1.2)],
                [1.2, 2],
                [-0.2, 2],
            ]
        )
        cv2.fillPoly(mask, [np.rint(edge * np.array([width, height])).astype(np.int32)], 1.0)
        soft = cv2.GaussianBlur(mask, (0, 0), max(height, width) * rng.uniform(0.005, 0.03))
        light = light * (1 - rng.uniform(0.15, 0.45) * soft)
    warm = np.float32([rng.uniform(0.95, 1.06), 1, rng.uniform(0.72, 1.05)])
    lit = scene * light[..., None] * warm
    exposed = rng.uniform(0.75, 0.98) / float(np.quantile(lit[::8, ::8].max(axis=2), 0.96))
    return np.asarray(lit * min(exposed, 2.5), np.float32)


def _phone(scene: Floats, rng: Rng) -> Picture:
    """What a phone makes of it: a little blur, noise, noise smoothed away, sharpened, a tone curve, JPEG."""
    scene = cv2.GaussianBlur(scene, (0, 0), rng.uniform(0.5, 1.0))
    noisy = scene + rng.normal(0, rng.uniform(0.006, 0.02), scene.shape).astype(np.float32)
    calm = cv2.bilateralFilter(noisy.astype(np.float32), 5, 0.05, 1.6)
    sharp = calm + rng.uniform(0.3, 1.0) * (calm - cv2.GaussianBlur(calm, (0, 0), 1.3))
    curved = np.clip(sharp, 0, 1) ** rng.uniform(0.85, 1.1)
    return _coded(np.clip(np.rint(curved * 255), 0, 255).astype(np.uint8), int(rng.integers(74, 94)))


def _coded(rgb: Picture, quality: int) -> Picture:
    return np.asarray(
        cv2.imdecode(cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])[1], 1)[
            ..., ::-1
        ],
        np.uint8,
    )


def _opaque(rgb: Picture) -> Picture:
    return np.dstack([rgb, np.full(rgb.shape[:2], 255, np.uint8)])


# ---- a scanner


def scan(flat: Flat, name: str, rng: Rng, dusty: bool = True) -> Taken:
    """The page as a cheap scanner takes it: askew, dust and lint on the glass, a lifted edge, streaks, grain."""
    height, width = flat.cover.shape
    lid = np.float32(rng.choice([0.98, 0.9, 0.12]))
    levels = flat.levels * flat.cover[..., None] + lid * (1 - flat.cover[..., None])
    move = cv2.getRotationMatrix2D((width / 2, height / 2), float(rng.normal(0, 0.8)), 1.0)
    levels = cv2.warpAffine(levels, move, (width, height), borderMode=cv2.BORDER_REPLICATE)
    if dusty:
        levels = _dust(levels, rng)
    levels = _lifted(levels, rng)
    for _ in range(int(rng.choice([0, 0, 1, 2]))):  # a dirty sensor draws a line down the page
        x = int(rng.integers(width))
        levels[:, x : x + 1 + int(rng.integers(2))] *= rng.uniform(0.75, 0.95)
    noise = cv2.GaussianBlur(rng.normal(0, 1, levels.shape).astype(np.float32), (0, 0), rng.uniform(0.3, 1.0))
    levels = cv2.GaussianBlur(levels, (0, 0), 0.6) + noise / noise.std() * rng.uniform(0.006, 0.022)
    sharp = levels + rng.uniform(0, 0.8) * (levels - cv2.GaussianBlur(levels, (0, 0), 1.2))
    rgb = np.clip(np.rint(np.clip(sharp, 0, 1) * 255), 0, 255).astype(np.uint8)
    back = np.linalg.inv(np.vstack([move, [0, 0, 1]]))
    return Taken(
        name, _opaque(_coded(rgb, int(rng.integers(72, 95)))), None, (width, height), flat.boxes, back=back
    )


def _dust(levels: Floats, rng: Rng) -> Floats:
    """Grit, crumbs of rubber, lint and hairs; dark, light, grey."""
    height, width = levels.shape[:2]
    for _ in range(int(math.exp(rng.uniform(3, 5.4)))):
        at = rng.uniform(0, 1, 2) * np.array([width, height])
        size = np.exp(rng.normal(0.3, 0.7, 2)) * max(height, width) / 1500
        tone = float(rng.choice([rng.uniform(0.15, 0.7), rng.uniform(0.4, 0.8), 1.0]))
        cv2.ellipse(
            levels,
            tuple(np.rint(at * 8).astype(int).tolist()),
            tuple(np.maximum(4, np.rint(size * 8)).astype(int).tolist()),
            float(rng.uniform(0, 180)),
            0,
            360,
            (tone,) * 3,
            -1,
            cv2.LINE_AA,
            3,
        )
    for _ in range(int(rng.integers(1, 9))):
        turn = rng.uniform(0, 6) + np.cumsum(
            rng.normal(0, rng.uniform(0.05, 0.35), int(rng.integers(10, 60)))
        )
        step = rng.uniform(1.5, 5) * max(height, width) / 1500
        hair = rng.uniform(0, 1, 2) * np.array([width, height]) + np.cumsum(
            np.stack([np.cos(turn), np.sin(turn)], 1) * step, axis=0
        )
        tone = float(rng.uniform(0.25, 0.75))
        cv2.polylines(
            levels,
            [np.rint(hair * 8).astype(np.int32)],
            False,
            (tone,) * 3,
            int(rng.integers(1, 3)),
            cv2.LINE_AA,
            3,
        )
    return levels


def _lifted(levels: Floats, rng: Rng) -> Floats:
    """Shade at one or two sides where the paper does not lie on the glass, a black strip beyond it."""
    for turn in rng.permutation(4)[: rng.integers(0, 3)]:
        view = np.rot90(levels, int(turn))
        length = view.shape[0]
        y = np.arange(length, dtype=np.float32)[:, None, None] / length
        slant = 1 + rng.uniform(-0.4, 0.4) * np.linspace(-1, 1, view.shape[1])[None, :, None]
        view *= 1 - rng.uniform(0.12, 0.55) * np.exp(-y / (rng.uniform(0.012, 0.08) * slant))
        if rng.random() < 0.35:
            view[: int(rng.integers(2, 26))] = rng.uniform(0.02, 0.3)
    return levels
