"""A clean copy made whole: body under the ink, openings as proposed and switched, its ground's tone, how sure it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning import pointing
from assetlib.imaging.cleaning.body import body_layer, fill_body
from assetlib.imaging.cleaning.grounds import judge_ground
from assetlib.imaging.cleaning.openings import Opening, propose_openings
from assetlib.imaging.cleaning.polarity import Tone, ground_tone, in_dark_line
from assetlib.imaging.cleaning.seethrough import doubts
from assetlib.imaging.cleaning.sureness import Sureness, judge_copy, with_doubts

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Choice = tuple[int, int, bool]
Rim = tuple[tuple[int, int], tuple[int, int]]

GROUND_TONE = "ground tone"
"""Taken out like a blemish: light line then lies dark on a white body."""


@dataclass(frozen=True, slots=True)
class Copy:
    """Ink uint8 (H, W, 4), the layer of its body alike, its openings, and how sure it is."""

    ink: Pixels
    layer: Pixels
    openings: tuple[Opening, ...]
    sure: Sureness


def make_copy(
    picture: Pixels, ink: Pixels, page: Pixels, choices: tuple[Choice, ...], rim: Rim, white_body: bool
) -> Copy:
    """The clean copy of ink lifted from `picture`, both uint8 (H, W, 4), on the ground of `page`.

    `choices` are places x, y with whether what is there is open; `rim` is 1 for top, bottom, left and right where
    bare page follows; `white_body` asks for white where the tone of a dark ground would lie under light line.
    """
    body, openings = find_openings(picture, ink, choices, rim)
    tone = ground_tone(page, ink)
    decided = {o.number for o in openings if any(_holds(o, x, y) for x, y, _ in choices)}
    sure = judge_copy(ink, body, judge_ground(page), rim)
    sure = with_doubts(sure, doubts(ink, body, openings, decided))
    ink, body = pointing.settle(ink, body, openings)
    layer = body_layer(picture, ink, body, openings)
    if tone is not None and white_body:
        ink = in_dark_line(ink, tone)
    elif tone is not None:
        layer = _toned(layer, tone)
    return Copy(ink, layer, openings, sure)


def find_openings(
    picture: Pixels, ink: Pixels, choices: tuple[Choice, ...], rim: Rim
) -> tuple[Mask, tuple[Opening, ...]]:
    """The body under the line, bool (H, W), and all numbered areas as proposed, switched and pointed at."""
    height, width = ink.shape[:2]
    (top, _), (left, _) = rim
    body = fill_body(np.pad(ink, (*rim, (0, 0))))[top : top + height, left : left + width]
    proposed = propose_openings(picture, ink, body)
    proposed += pointing.more_areas(picture, ink, body, proposed)
    found = [_switched(opening, choices) for opening in proposed]
    for x, y, is_open in choices:
        if any(_holds(opening, x, y) for opening in found):
            continue
        mask = pointing.area_at(ink, body, (x, y), is_open, picture)
        if mask is not None and mask.any():
            found.append(pointing.opening_at(len(found) + 1, mask, is_open))
    return body, tuple(found)


def _toned(layer: Pixels, tone: Tone) -> Pixels:
    toned = layer.copy()
    toned[layer[..., 3] > 0, :3] = tone
    return toned


def _switched(opening: Opening, choices: tuple[Choice, ...]) -> Opening:
    for x, y, is_open in choices:
        if _holds(opening, x, y):
            return replace(opening, is_open=is_open)
    return opening


def _holds(opening: Opening, x: int, y: int) -> bool:
    height, width = opening.mask.shape
    return 0 <= x < width and 0 <= y < height and bool(opening.mask[y, x])
