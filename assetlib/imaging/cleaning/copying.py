"""A clean copy made whole: body under the ink, openings as proposed and switched, its ground's tone, how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning import pointing, room_doubts
from assetlib.imaging.cleaning.body import body_layer, fill_body
from assetlib.imaging.cleaning.grounds import judge_ground
from assetlib.imaging.cleaning.openings import OPEN_FROM, Opening, propose_openings
from assetlib.imaging.cleaning.polarity import Tone, ground_tone, in_dark_line
from assetlib.imaging.cleaning.seethrough import doubts, without_large
from assetlib.imaging.cleaning.sureness import Sureness, judge_copy, with_doubts

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Choice = tuple[int, int, bool]
Rim = tuple[tuple[int, int], tuple[int, int]]

SAME_PLACE = 0.5  # of a place that an area has in common with it
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
    decided = {o.number for o in openings if any(_inside(o.mask, x, y) for x, y, _ in choices)}
    sure = judge_copy(ink, body, judge_ground(page), rim)
    sure = with_doubts(sure, doubts(body, openings, decided))
    ink, body = pointing.settle(ink, body, openings)
    sure = with_doubts(sure, room_doubts.doubts(ink, body, openings))
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
    proposed += _judged(pointing.more_areas(picture, ink, body, proposed), picture, ink, body)
    proposed = without_large(ink, body, proposed)
    found = [_switched(opening, choices) for opening in proposed]
    pointed = [choice for choice in choices if not any(_inside(o.mask, *choice[:2]) for o in found)]
    areas: list[tuple[int, Mask, bool]] = []  # by the first choice in each, so that numbers stay
    for place in range(len(pointed) - 1, -1, -1):  # what was said last holds for its whole area
        x, y, is_open = pointed[place]
        if any(_inside(mask, x, y) for _, mask, _ in areas):
            continue
        mask = _pointed_area(picture, ink, body, pointed[: place + 1])
        if mask is not None:
            held = [k for k in range(place + 1) if _inside(mask, *pointed[k][:2])]
            areas.append((min([place, *held]), mask, is_open))
    for _, mask, is_open in sorted(areas, key=lambda area: area[0]):
        found.append(pointing.opening_at(len(found) + 1, mask, is_open))
    return body, tuple(found)


def _pointed_area(picture: Pixels, ink: Pixels, body: Mask, choices: Sequence[Choice]) -> Mask | None:
    """The area that the last of `choices` is about; None where it says what is so anyhow."""
    x, y, is_open = choices[-1]
    mask = pointing.area_at(ink, body, (x, y), is_open, picture)
    if mask is not None and mask.any():
        return mask
    undone = pointing.area_at(ink, body, (x, y), not is_open, picture)
    if undone is None or not any(_inside(undone, a, b) for a, b, _ in choices[:-1]):
        return None
    return undone


def _judged(places: tuple[Opening, ...], picture: Pixels, ink: Pixels, body: Mask) -> tuple[Opening, ...]:
    """Places that an outline goes round without closing: filled where they would be, did it close."""
    empty = [place for place in places if place.is_open]
    if not empty:
        return places
    wide = np.logical_or.reduce([body, *(place.mask for place in empty)])
    closed = propose_openings(picture, ink, wide)
    return tuple(_as_if_closed(place, closed) if place.is_open else place for place in places)


def _as_if_closed(place: Opening, closed: tuple[Opening, ...]) -> Opening:
    size = int(place.mask.sum())
    for area in closed:
        if int((area.mask & place.mask).sum()) > SAME_PLACE * size:
            return replace(place, is_open=area.score >= OPEN_FROM, score=area.score)
    return place


def _toned(layer: Pixels, tone: Tone) -> Pixels:
    toned = layer.copy()
    toned[layer[..., 3] > 0, :3] = tone
    return toned


def _switched(opening: Opening, choices: tuple[Choice, ...]) -> Opening:
    """An opening as it was switched last."""
    for x, y, is_open in reversed(choices):
        if _inside(opening.mask, x, y):
            return replace(opening, is_open=is_open)
    return opening


def _inside(mask: Mask, x: int, y: int) -> bool:
    """Whether a place lies in an area; places of an older cut may lie outside the picture."""
    height, width = mask.shape
    return 0 <= x < width and 0 <= y < height and bool(mask[y, x])
