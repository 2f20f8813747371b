"""The ink of a drawing alone, on fully transparent ground, with straight alpha.

Physics used: a pixel is a mixture of bare paper and inks, each covering a share
of it. Flat places show an ink pure; at edges and in thin lines its share is
found by projecting the pixel on the way from the paper to that ink.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.finishes import Finish, judge_finish
from assetlib.imaging.cleaning.grounds import (
    LUMINANCE,
    Ground,
    Paper,
    estimate_paper,
    judge_ground,
    largest,
    largest_apart,
)
from assetlib.imaging.cleaning.pagewide import PageGround, paper_at
from assetlib.imaging.cleaning.pale import find_pale
from assetlib.imaging.cleaning.unmixing import (
    Departure,
    chroma_is_blurred,
    cover,
    mostly_brightness,
    sharpen_colour,
)

__all__ = ["Finish", "Ground", "compose", "judge_finish", "judge_ground", "lift", "lift_piece"]

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

SHADED_LIMIT = 3.0  # levels; what an estimated shading is off by
LEAST_LIMIT = 1.5  # levels; a clean ground is exact to one level
NOISE_REACH = 4.0  # standard deviations of grain that still are paper
STRONG_INK = 64.0  # levels; ink this far from paper rings under JPEG
RING_NEAR, RING_FAR = 3, 10  # pixels from strong ink between which ringing shows alone
BLEEDING = 4  # pixels that colour spreads around strong ink in a picture coded at half its resolution
BLEEDING_CHROMA = 0.5  # weight of colour against brightness there; tuned on made scans
RING_TAIL = 6.0  # how far ringing reaches, of its upper quartile; tuned on made scans
# pixels across which ringing evens out, and what share of them must be clear of ink
TONE_WINDOW, LEAST_CLEAR = 15, 0.1
TONE_FROM = 14.0  # levels that a tone there is from paper
AGAINST_LIMIT = 22.0  # levels; overshoot of sharpening stays under it; tuned on made scans
MIDDLE_GREY = 118.0  # levels, 18 % reflectance in sRGB
RING_LIMIT = 20.0  # levels; ringing of JPEG quality 70 stays under it; tuned on made scans
SURE_FACTOR = 1.3  # limits that a departure averaged over 3x3 must reach to be ink at a grainy place
PANEL_SHARE = 0.98  # share of its box that a panel covers
GUTTER = 4  # pixels around a panel that are looked at; gutters may be narrow
PANEL_PAPER, LIKE_PAPER = (
    0.1,
    14.0,
)  # share of a painted panel that may be within these levels of paper; by eye
GRAINY = 0.7  # levels of grain from which single pixels are not trusted


def lift(rgba: Pixels, mask: Mask | None = None) -> Pixels:
    """The ink alone: uint8 (H, W, 4), straight alpha, the paper taken out of its colour.

    `rgba` is uint8 (H, W, 4). Pixels outside `mask` (bool (H, W)) come back empty.
    A transparent ground passes unchanged, and so does a full picture, which has no paper.
    """
    if judge_ground(rgba) in (Ground.TRANSPARENT, Ground.FULL):
        lifted = rgba.copy()
    else:
        rgb = np.ascontiguousarray(rgba[..., :3])
        lifted = _lift_from(rgb, estimate_paper(rgb))
    if mask is not None:
        lifted[~mask] = 0
    lifted[lifted[..., 3] == 0] = 0
    return lifted


def lift_piece(
    piece: Pixels, mask: Mask, page: Pixels, box: tuple[int, int, int, int], ground: PageGround | None = None
) -> Pixels:
    """The ink of a piece cut from a page, uint8 (H, W, 4), straight alpha, empty outside `mask`.

    The page tells what paper is: a piece that fills its box shows little of it. `piece` (H, W, 4) is what stands
    in the page's `box` (x, y, width, height). A panel painted to its edges has no paper, and stays whole.
    `ground` is the page's, where it is known already.
    """
    ground = ground or PageGround(page)
    if ground.kind in (Ground.TRANSPARENT, Ground.FULL):
        return lift(piece, mask)
    rgb = np.ascontiguousarray(piece[..., :3])
    painted = _is_painted_panel(page, mask, box)
    lifted = piece.copy() if painted else _lift_from(rgb, paper_at(ground, box), _tones_at(ground, page, box))
    lifted[~mask] = 0
    lifted[lifted[..., 3] == 0] = 0
    return lifted


def _tones_at(ground: PageGround, page: Pixels, box: tuple[int, int, int, int]) -> Mask:
    """Where tones are in a box of a page, bool (H, W) at the scale that they were looked for at."""
    x, y, width, height = box
    rows, columns = (ground.tones.shape[k] / page.shape[k] for k in (0, 1))
    top, left = int(y * rows), int(x * columns)
    return ground.tones[
        top : max(top + 1, round((y + height) * rows)), left : max(left + 1, round((x + width) * columns))
    ]


def _is_painted_panel(page: Pixels, mask: Mask, box: tuple[int, int, int, int]) -> bool:
    """Whether a piece fills its box and hardly anything in it has the colour of the gutter around it."""
    if mask.mean() < PANEL_SHARE:
        return False
    x, y, width, height = box
    rim = page[max(0, y - GUTTER) : y + height + GUTTER, max(0, x - GUTTER) : x + width + GUTTER, :3]
    around = np.ones(rim.shape[:2], np.bool_)
    top, left = min(y, GUTTER), min(x, GUTTER)
    around[top : top + height, left : left + width] = False
    if not around.any():
        return False
    gutter = np.median(rim[around], axis=0).astype(np.float32)
    inside = page[y : y + height, x : x + width, :3].astype(np.float32)
    return float((largest_apart(inside, gutter) <= LIKE_PAPER).mean()) < PANEL_PAPER


def compose(
    ink: Pixels, body_layer: Pixels | None = None, over: Pixels | tuple[int, int, int] = (255, 255, 255)
) -> Pixels:
    """The clean copy on a ground: uint8 (H, W, 3). `over` is a colour or a picture, uint8 (H, W, 3)."""
    ground = np.empty((*ink.shape[:2], 3), np.float32)
    ground[:] = np.asarray(over, np.float32)
    for layer in (body_layer, ink):
        if layer is not None:
            alpha = layer[..., 3:].astype(np.float32) / 255
            ground += alpha * (layer[..., :3] - ground)
    return np.clip(np.rint(ground), 0, 255).astype(np.uint8)


def _lift_from(rgb: Pixels, paper: Paper, tones: Mask | None = None) -> Pixels:
    """The ink over a known paper; uint8 (H, W, 4). `tones` is where tones are, where it is known."""
    depth = paper.colour - paper.flatten(rgb)
    blurred = chroma_is_blurred(depth, paper.grain)
    if blurred:
        depth = sharpen_colour(depth)
    strength = largest(np.abs(depth))
    ringing = _measure_ringing(strength)
    limit = _dead_zone(depth, strength, paper, ringing)
    pale, paper_to = find_pale(rgb, depth, paper.grain, tones), limit
    if pale is not None:
        limit = np.where(pale.near, np.minimum(limit, LEAST_LIMIT + paper.grain), limit)
    if blurred:
        strength = _without_bleeding(depth, strength)
    inked = _inked(strength, limit, paper.grain)
    lifted = np.zeros((*rgb.shape[:2], 4), np.uint8)
    if not inked.any():
        return lifted
    departure = Departure(depth, strength, inked, paper, max(paper.grain, ringing / 2), blurred)
    alpha, colour = cover(departure)
    # no step at the dead zone's edge: alpha rises from nothing there and is whole at twice the limit
    alpha = alpha * np.clip(strength[inked] / limit[inked] - 1, 0, 1)
    lifted[inked, :3] = np.clip(np.rint(colour), 0, 255)
    lifted[inked, 3] = np.clip(np.rint(alpha * 255), 0, 255)
    if pale is not None:
        pale.lay(lifted, paper_to, paper)
    return lifted


def _measure_ringing(strength: Floats) -> float:
    """How far paper near strong ink is from bare paper, in levels: what JPEG and sharpening leave there."""
    strong = (strength > STRONG_INK).astype(np.uint8)
    around = cv2.dilate(strong, _disc(RING_FAR)) - cv2.dilate(strong, _disc(RING_NEAR))
    ring = strength[(around > 0) & (strength < 2 * RING_LIMIT)]
    # most of the ring is bare, so that a faint line running there does not move the quantile
    return float(np.quantile(ring, 0.75)) if ring.size else 0.0


def _dead_zone(depth: Floats, strength: Floats, paper: Paper, ringing: float) -> Floats:
    """How far from paper a pixel may lie and still be paper; float32 (H, W), levels."""
    everywhere = NOISE_REACH * paper.grain + (LEAST_LIMIT if paper.shading is None else SHADED_LIMIT)
    limit = np.full(strength.shape, everywhere, np.float32)
    brightness = depth @ LUMINANCE
    strong = (strength > STRONG_INK).astype(np.uint8)
    around = (cv2.dilate(strong, _disc(RING_FAR)) > 0) & ~_is_toned(depth, strong)
    limit[around] = max(everywhere, min(RING_LIMIT, RING_TAIL * ringing))
    # paint lighter than light paper is rare and strong; overshoot of a scanner or JPEG is common and weak
    against = brightness * (1 if float(paper.colour @ LUMINANCE) > MIDDLE_GREY else -1) < 0
    limit[against] = np.maximum(limit[against], AGAINST_LIMIT)
    return limit


def _is_toned(depth: Floats, strong: Pixels) -> Mask:
    """Where the ground beside strong ink is a tone: ringing swings about the paper, a tone does not; bool (H, W)."""
    window = (TONE_WINDOW, TONE_WINDOW)
    clear = (cv2.dilate(strong, _disc(RING_NEAR)) == 0).astype(np.float32)
    share = cv2.blur(clear, window)
    mean = cv2.blur(depth * clear[..., None], window) / np.maximum(share, 1e-3)[..., None]
    return np.asarray((share > LEAST_CLEAR) & (largest(np.abs(mean)) > TONE_FROM))


def _without_bleeding(depth: Floats, strength: Floats) -> Floats:
    """The strength without the colour that coding spreads around a line; float32 (H, W)."""
    strong = (strength > STRONG_INK).astype(np.uint8)
    around = (cv2.dilate(strong, _disc(BLEEDING)) > strong) & ~_is_toned(depth, strong)
    true = strength.copy()
    seen = largest(np.abs(depth[around] @ mostly_brightness(BLEEDING_CHROMA)))
    true[around] = np.minimum(strength[around], seen)
    return true


def _inked(strength: Floats, limit: Floats, grain: float) -> Mask:
    """Where there is ink: past the limit, and at grainy places not alone; bool (H, W)."""
    past = strength > limit
    if grain < GRAINY:
        return past
    sure = cv2.blur(strength, (3, 3)) > SURE_FACTOR * limit
    sure = cv2.dilate(sure.astype(np.uint8), _disc(2)) > 0
    return np.asarray(past & sure)


def _disc(radius: int) -> Pixels:
    return np.asarray(
        cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1)), np.uint8
    )
