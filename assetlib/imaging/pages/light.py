"""Light and shadow on a page, evened: the paper becomes as light everywhere as where the light falls on it best."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Picture
from assetlib.imaging.pages.tones import find_tones
from assetlib.imaging.pixels import colours, shrink

Floats = NDArray[np.float32]

FIELD_SIDE = 96  # blocks along the longer side in which the light is measured
DARK_BELOW = 90.0  # levels of the usual brightness under which a page is dark and its drawing light
ASKED, RIM = 128, 8  # pixels of the square that a page is reduced to for that, and of its rim
NEAR_PAPER = 0.75  # of the paper nearby: what is darker is drawing, not shadow
ROUNDS = 4
CARRIED = 300  # rounds in which the light of a tone's rim gets to the middle of the largest
WHITE = 250.0  # levels that white paper is brought to
TINTED = 0.10  # share of a channel that paper may lack and still be white paper in warm light
SMOOTH = 1.6  # blocks
STRIP_PIXELS = 1 << 19  # that are evened at a time


def even_light(picture: Picture) -> Picture:
    """The picture of a page, uint8 (H, W, 3 or 4), as if it were lit evenly; white paper becomes nearly white."""
    rgb = colours(picture)
    field = paper_light(rgb)
    if is_dark(rgb):
        return picture  # on a dark page the shading cannot be told from the ground, and is left
    goal = _goal(field)
    gain = np.clip(goal / np.maximum(field, 8), 0.5, 6).astype(np.float32)
    if picture.shape[2] == 4:  # what is seen through stays so
        gain = np.dstack([gain, np.ones(gain.shape[:2], np.float32)])
    height, width = rgb.shape[:2]
    out = np.empty_like(picture)
    strip = max(1, STRIP_PIXELS // width)
    for top in range(0, height, strip):
        rows = slice(top, min(height, top + strip))
        part = _rows_of(gain, rows, (width, height))
        cv2.multiply(picture[rows], part, out[rows], dtype=cv2.CV_8U)
    return out


def is_dark(rgb: Picture) -> bool:
    """Whether a page, uint8 (H, W, 3), is dark and drawn on in light: most of it is, and most of its rim.

    The rim alone may be a scanner's edge, and most of a white page may be black ink.
    """
    small = shrink(rgb, (ASKED, ASKED)).max(axis=2)
    rim = np.ones(small.shape, bool)
    rim[RIM:-RIM, RIM:-RIM] = False
    return bool(np.median(small) < DARK_BELOW and np.median(small[rim]) < DARK_BELOW)


def _rows_of(gain: Floats, rows: slice, size: tuple[int, int]) -> Floats:
    """Some rows of the field at full size, without making all of it."""
    across, down = gain.shape[1] / size[0], gain.shape[0] / size[1]
    places = np.array([[across, 0, across / 2 - 0.5], [0, down, (rows.start + 0.5) * down - 0.5]])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    wanted = (size[0], rows.stop - rows.start)
    return np.asarray(
        cv2.warpAffine(gain, places, wanted, flags=flags, borderMode=cv2.BORDER_REPLICATE), np.float32
    )


def _goal(field: Floats) -> Floats:
    """The colour that the paper gets everywhere: white where it is white paper, its own colour otherwise."""
    lightest = np.quantile(field.reshape(-1, 3), 0.9, axis=0)
    tint = lightest / lightest.max()
    if tint.min() >= 1 - 3 * TINTED:
        tint = np.ones(3) if tint.min() >= 1 - TINTED else tint
    return np.asarray(WHITE * tint, np.float32)


def paper_light(rgb: Picture) -> Floats:
    """The bare paper's colour block by block, float32 (h, w, 3), drawing left out."""
    height, width = rgb.shape[:2]
    side = max(4, max(height, width) // FIELD_SIDE)
    size = (max(1, width // side), max(1, height // side))
    quarter = shrink(rgb, (size[0] * 4, size[1] * 4))
    cells = quarter.reshape(size[1], 4, size[0], 4, 3).swapaxes(1, 2).reshape(size[1], size[0], 16, 3)
    # the light ones of a block, without the very lightest
    order = np.argsort(cells.sum(axis=3, dtype=np.int32), axis=2)[..., 11:15]
    blocks = np.take_along_axis(cells, order[..., None], axis=2).mean(axis=2).astype(np.float32)
    light = blocks.max(axis=2)
    toned = find_tones(rgb).hide(light.shape)
    sure = ~toned
    field = blocks
    for _ in range(ROUNDS):
        field = _spread(blocks, sure)
        around = _spread_wide(blocks, sure)
        sure = light > NEAR_PAPER * np.maximum(field.max(axis=2), around.max(axis=2) * 0.8)
        sure &= ~_steps(light, field.max(axis=2)) & ~toned
    return _carried_across(field, toned) if toned.any() else np.asarray(field, np.float32)


def _carried_across(field: Floats, toned: NDArray[np.bool_]) -> Floats:
    """The light around tones carried on across them as evenly as may be: each block the mean of its neighbours."""
    light = np.asarray(field, np.float32).copy()
    for _ in range(CARRIED):
        light[toned] = cv2.blur(light, (3, 3))[toned]
    return light


def _steps(light: Floats, field: Floats) -> NDArray[np.bool_]:
    """Blocks darker than the paper around them: tones of the drawing."""
    return np.asarray(light < 0.93 * field, np.bool_)


def _spread(blocks: Floats, sure: NDArray[np.bool_]) -> Floats:
    held = sure.astype(np.float32)
    near = cv2.GaussianBlur(held, (0, 0), SMOOTH)
    mean = cv2.GaussianBlur(blocks * held[..., None], (0, 0), SMOOTH) / (near + 1e-4)[..., None]
    far = _spread_wide(blocks, sure)
    trust = np.clip(near * 5, 0, 1)[..., None]
    return np.asarray(mean * trust + far * (1 - trust), np.float32)


def _spread_wide(blocks: Floats, sure: NDArray[np.bool_]) -> Floats:
    held = sure.astype(np.float32)
    wide = SMOOTH * 6
    total = cv2.GaussianBlur(blocks * held[..., None], (0, 0), wide)
    return np.asarray(total / (cv2.GaussianBlur(held, (0, 0), wide) + 1e-4)[..., None], np.float32)
