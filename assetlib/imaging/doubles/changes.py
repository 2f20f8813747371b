"""What was done to a drawing, told from the fingerprints of two versions of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.doubles.alterations import HEAVIER, Alteration, find_alteration, heavier
from assetlib.imaging.doubles.fingerprints import Fingerprint
from assetlib.imaging.doubles.matching import Agreement, Contours, contours_of, lay_finely
from assetlib.imaging.doubles.normalise import Pixels, steepness
from assetlib.imaging.doubles.orientations import ORIENTATIONS

# All bounds were tuned on one half of openclipart, drawings in colour and as black line.
RECOLOURED = 0.055
"""Share of the ink by which tints are apart in drawings that were recoloured."""

RESIZED = 1.4
"""How many times as large a drawing is that is told to be resized where it was changed otherwise as well."""

LIGHTER = 12.0
"""Levels of 255 by which areas of ink are apart in drawings of another contrast."""

HARDENED = 0.02
"""Share of the ink that no threshold gives, in a drawing made hard black and white; edges left out."""

_EVEN_GAIN = 0.3, 3.0
_COLOURLESS, _COLOURFUL = 6.0, 20.0  # levels of 255
_FILLED_IN = 1.3
_TURNED = 1.0  # degrees
_INKED, _STEEP, _FILLED_SHARE = 40, 6.0, 0.25
_SQUARE, _AREA = np.ones((3, 3), np.uint8), np.ones((7, 7), np.uint8)


@dataclass(frozen=True)
class Laid:
    """Two drawings laid over each other: ink (H, W) of the first in this orientation, ink of the second, the fit.

    What is looked at more closely is made once, when it is first asked for.
    """

    orientation: int
    mine: Pixels
    theirs: Pixels
    agreement: Agreement
    cropped: bool

    @cached_property
    def finely(self) -> tuple[Pixels, Pixels]:
        """Both as ``lay_finely`` gives them."""
        return lay_finely(self.mine, self.theirs, self.agreement.warp)

    @cached_property
    def contours(self) -> Contours:
        """Contours of both, as finely."""
        return contours_of(*self.finely)

    @cached_property
    def alteration(self) -> Alteration:
        """What only one of the two has."""
        return find_alteration(*self.finely)


def picture_changes(a: Fingerprint, b: Fingerprint) -> tuple[str, ...]:
    """What was done to the file of one and the same picture."""
    changes = []
    if not 0.95 < _drawn_side(a) / _drawn_side(b) < 1.05:
        changes.append("resized")
    if float(np.abs(a.boxes[0] - b.boxes[0]).max()) > 0.02:
        changes.append("padded")
    if a.opaque != b.opaque or max(abs(x - y) for x, y in zip(a.ground, b.ground, strict=True)) > 12:
        changes.append("other ground")
    return tuple(changes) or ("re-encoded",)


def drawing_changes(a: Fingerprint, b: Fingerprint, laid: Laid) -> tuple[str, ...]:
    """What was done to one and the same drawing, how it lies left out."""
    if laid.cropped:
        return ("cropped", *finish_changes(a, b))
    changes = ["turned"] if abs(laid.agreement.angle) > _TURNED else []
    finish = finish_changes(a, b)
    if not finish and _tint_apart(a, b, laid.orientation) > RECOLOURED:
        finish = ("recoloured",)
    changes += finish
    if not 1 / RESIZED < _drawn_side(a) / _drawn_side(b) < RESIZED:
        changes.append("resized")
    if not changes:
        changes += _weight_changes(laid)
    return tuple(changes) if changes or laid.orientation else picture_changes(a, b)


def finish_changes(a: Fingerprint, b: Fingerprint) -> tuple[str, ...]:
    """Whether the one is a scan or hard black and white, and the other is not."""
    if is_scan(a) != is_scan(b):
        return ("scanned",)
    return ("black and white",) if a.two_tone != b.two_tone else ()


def is_scan(fingerprint: Fingerprint) -> bool:
    """Whether it stands on grey or yellowed paper."""
    ground = fingerprint.ground
    return 180 < min(ground) < 251 and max(ground) - min(ground) < 30


def is_coloured_in(a: Fingerprint, b: Fingerprint) -> bool:
    """Whether one is coloured and the other is the bare line of it: without colour, and with far less ink."""
    chroma = [float((f.colours.max(axis=2) - f.colours.min(axis=2)).mean()) for f in (a, b)]
    inks = [float(f.portrait.mean()) for f in (a, b)]
    bare = 0 if chroma[0] < chroma[1] else 1
    filled = inks[1 - bare] > _FILLED_IN * inks[bare]
    return chroma[bare] < _COLOURLESS and chroma[1 - bare] > _COLOURFUL and filled


def is_hardened(a: Fingerprint, b: Fingerprint, laid: Laid) -> bool:
    """Whether one is the other made hard black and white: black wherever that is darker than some level."""
    if a.two_tone == b.two_tone:
        return False
    grey, hard = laid.finely if b.two_tone else laid.finely[::-1]
    black = hard > 127
    return any(_astray(grey > level, black) < HARDENED for level in range(24, 232, 16))


def _astray(bits: NDArray[np.bool_], black: NDArray[np.bool_]) -> float:
    apart = cv2.morphologyEx((bits != black).astype(np.uint8), cv2.MORPH_OPEN, _SQUARE)
    return float(apart.sum()) / max(1.0, float((bits | black).sum()))


def _drawn_side(fingerprint: Fingerprint) -> int:
    """Pixels of the drawing's longer side, the same however it is laid."""
    assert fingerprint.box is not None
    left, top, right, bottom = fingerprint.box
    return max(1, right - left, bottom - top)


def _weight_changes(laid: Laid) -> list[str]:
    """Whether areas are darker in the one, or its edges lie farther out."""
    mine, theirs = laid.finely
    filled = cv2.morphologyEx((cv2.min(mine, theirs) > _INKED).astype(np.uint8), cv2.MORPH_OPEN, _AREA)
    even = (filled > 0) & (steepness(mine) < _STEEP) & (steepness(theirs) < _STEEP)
    is_area = int(even.sum()) > _FILLED_SHARE * int((mine > _INKED).sum())
    if is_area and float(cv2.absdiff(mine, theirs)[even].mean()) > LIGHTER:
        return ["contrast"]
    return ["line weight"] if abs(heavier(mine, theirs)) > HEAVIER else []


def _tint_apart(a: Fingerprint, b: Fingerprint, orientation: int) -> float:
    """How far the two are apart in colour, as a share of all ink; more or less colour all over does not count."""
    mine, theirs = (f.ground - cv2.blur(f.colours, (3, 3)).astype(np.float32) for f in (a, b))
    mine = ORIENTATIONS[orientation].apply(mine)
    tints = [ink - ink.mean(axis=2, keepdims=True) for ink in (mine, theirs)]
    held = float((tints[1] * tints[1]).sum())
    gain = float((tints[0] * tints[1]).sum() / max(held, 1.0))
    gain = gain if _EVEN_GAIN[0] < gain < _EVEN_GAIN[1] else 1.0
    ink = np.abs(mine).mean(axis=2).sum() + np.abs(theirs).mean(axis=2).sum()
    return float(2 * np.abs(tints[0] - gain * tints[1]).max(axis=2).sum() / max(float(ink), 1.0))
