"""Pale tones, washes and shading, that are no stronger than the paper's grain but go on over a whole place.

A pixel of them cannot be told from grain, the mean of many can. They come as a veil: as little covered, in a colour as
strong, as gives their own over white, so that they stay what they are on a body and never count as line.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Paper, largest
from assetlib.imaging.pages.tones import find_tones

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

WORTH_IT = 1.2  # levels of grain under which single pixels of a tone stand out of it
REACH = 5.0  # pixels over which a tone is evened out, and to which it is followed beyond its calm inside
WITHIN = 1e-3  # weight of a tone's own pixels from which it is followed there
UNLIKE, UNLIKE_NOISE = 0.5, 1.5  # of a tone's depth, and of the grain, that its pixels may be off
PALE = 60.0  # levels up to which a tone is looked after; a stronger one is ink as any other
FAINT, MISSED = (
    2.0,
    10.0,
)  # limits of what is paper up to which ink is cut off; levels that its colour may be off by
LEAST, INNER = 2.5, 0.8  # levels; share of a tone's depth that its inside has
# pixels across, and levels by the grain and beyond it, that a tone varies by in them where it is texture
TEXTURE, ROUGH, ROUGH_LEVELS = (9, 9), 1.5, 3.0


@dataclass(frozen=True, slots=True)
class PaleTones:
    """`depth` float32 (H, W, 3): a tone's own, evened out; `near`, `plain` bool (H, W): with its lines, and alone."""

    depth: Floats
    near: Mask
    plain: Mask
    inner: Mask
    """Its calm inside, away from all edges."""

    def lay(self, lifted: Pixels, limit: Floats, paper: Paper) -> None:
        """Lay a tone where it is too pale for ink, or came out in another colour, in place; `limit` (H, W), levels."""
        strength = largest(np.abs(self.depth))
        alpha = lifted[..., 3:].astype(np.float32) / 255
        shown = 255 + alpha * (lifted[..., :3].astype(np.float32) - 255)
        faint = strength < FAINT * limit
        missed = self.inner & (largest(np.abs(shown - (paper.colour - self.depth))) > MISSED)
        laid = self.plain & (strength < PALE) & (faint | missed)
        depth = self.depth[laid]
        # on tinted paper a strong tone keeps the paper's tint, as ink does, and the palest have none
        tinted = (strength[laid] / PALE)[:, None] ** 2
        white = 255 * (1 - depth / np.maximum(paper.colour, 8))
        colour = np.clip(white + tinted * (paper.colour - depth - white), 0, 255)
        missing = np.asarray(1 - colour / 255, np.float32)
        most = np.maximum(largest(missing), 1e-3)[:, None]
        veil = faint[laid][:, None]
        lifted[laid, :3] = np.rint(np.where(veil, 255 * (1 - missing / most), colour))
        lifted[laid, 3:] = np.rint(np.where(veil, 255 * most, 255))


def find_pale(rgb: Pixels, depth: Floats, grain: float, tones: Mask | None = None) -> PaleTones | None:
    """The pale tones of a picture, uint8 (H, W, 3), whose `depth` (H, W, 3) is levels from paper; None without any.

    `tones` bool (H, W) is where tones are, if it is known; they are looked for otherwise.
    """
    if grain < WORTH_IT:
        return None
    known = find_tones(rgb).mask if tones is None else tones
    if not known.any():
        return None
    size = (rgb.shape[1], rgb.shape[0])
    own = cv2.resize(known.astype(np.float32), size, interpolation=cv2.INTER_LINEAR)
    own[own < 0.5] = 0
    weight = cv2.GaussianBlur(own, (0, 0), REACH)
    mean = cv2.GaussianBlur(depth * own[..., None], (0, 0), REACH) / np.maximum(weight, 1e-6)[..., None]
    even = cv2.blur(depth, (3, 3))
    size_of = np.einsum("hwc,hwc->hw", mean, mean)
    share = np.einsum("hwc,hwc->hw", even, mean) / np.maximum(size_of, 1)
    near = (weight > WITHIN) & (share > 0.5) & (largest(mean) > LEAST)
    off = largest(np.abs(even - mean))
    brightness = depth.mean(axis=2)
    spread = cv2.blur(brightness * brightness, TEXTURE) - cv2.blur(brightness, TEXTURE) ** 2
    # what is rougher than the paper's grain is drawn so
    textured = (np.sqrt(np.maximum(spread, 0)) > ROUGH * grain + ROUGH_LEVELS).astype(np.float32) * own
    near &= cv2.blur(textured, TEXTURE) < 0.5 * np.maximum(cv2.blur(own, TEXTURE), 1e-3)
    plain = near & (off <= UNLIKE * np.sqrt(size_of) + UNLIKE_NOISE * grain)
    inner = (own > 0) & (share > INNER)
    return PaleTones(np.asarray(mean, np.float32), np.asarray(near), np.asarray(plain), np.asarray(inner))
