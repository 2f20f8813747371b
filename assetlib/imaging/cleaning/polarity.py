"""Light line on dark ground: which tone its body takes, so that white line never lies on a white shape."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import LUMINANCE, Ground
from assetlib.imaging.cleaning.pagewide import PageGround

Pixels = NDArray[np.uint8]

LIGHTER = 25.0  # levels that light line is lighter than its ground, at least
DARK_LINE, DARK_SHARE = (
    100.0,
    0.03,
)  # luminance of dark line, and its share of all ink from which line is dark
DARK_PAPER = 170.0  # luminance under which a ground can carry light line
LIGHT_LINE = 190.0  # luminance of line that would not show on white
NO_GROUND = (46, 50, 58)  # the tone of a board, for light line that came without a ground; own choice
PAGE_SIDE = 1200  # longest side, pixels, that the ground is measured at
SAMPLED = 128  # alpha from which ink says how light it is

Tone = tuple[int, int, int]


def ground_tone(page: Pixels, ink: Pixels, known: PageGround | None = None) -> Tone | None:
    """The tone of the dark ground that light line stands on; None for dark line, which lies on white.

    `page` is uint8 (H, W, 4), what the ink uint8 (h, w, 4) was lifted from; `known` is its ground, where it is known.
    """
    strong = ink[..., 3] > SAMPLED
    if not strong.any():
        return None
    levels = ink[..., :3][strong].astype(np.float32) @ LUMINANCE
    light = float(np.median(levels))
    measured = known or PageGround(page)
    if measured.kind is Ground.TRANSPARENT:
        # white panes in dark line are painted white
        is_white = light > LIGHT_LINE and float((levels < DARK_LINE).mean()) < DARK_SHARE
        return NO_GROUND if is_white and _is_thin(strong) else None
    if measured.kind is Ground.FULL:
        return None
    colour = measured.paper(PAGE_SIDE).colour
    level = float(colour @ LUMINANCE)
    if level >= DARK_PAPER or light < level + LIGHTER:
        return None
    red, green, blue = (int(v) for v in np.rint(colour))
    return red, green, blue


def _is_thin(strong: NDArray[np.bool_]) -> bool:
    """Whether ink is line: painted white on transparent ground is paint, and meant."""
    rows, columns = np.nonzero(strong)
    box = (np.ptp(rows) + 1) * (np.ptp(columns) + 1)
    return bool(strong.sum() < 0.35 * box)


def in_dark_line(ink: Pixels, tone: Tone) -> Pixels:
    """The ink of a dark ground turned about: its line in the ground's own tone, for a white body."""
    turned = ink.copy()
    turned[ink[..., 3] > 0, :3] = tone
    return turned
