"""Depth and colours of a frame: what pictures of different depth and profile become when they lie on each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from PIL import Image

from assetlib.imaging.formats.colour import between, is_srgb
from assetlib.imaging.formats.shaper import converted, shaper_of, srgb_profile
from assetlib.imaging.formats.stored import Stored
from assetlib.imaging.layering.layers import (
    AnyPixels,
    Layer,
    LayeredFrame,
    LayerGroup,
    Pixels,
    as_deep,
    as_plain,
    is_deep,
)

BACKDROP = "backdrop"
"""The name of the layer that a frame is built on."""

_AS_IT_WAS = 2
"""Levels of 255 by which a clean copy may be off its original and still show its colour: two roundings."""


def framed(
    size: tuple[int, int], layers: Sequence[Layer | LayerGroup], *, plain: bool = False
) -> LayeredFrame:
    """The layers as one frame, all of one depth and in the colours of one profile.

    Depth: 16 bits as soon as one layer, seen or hidden, has them. Profile: where all that name one other than sRGB
    name the same, it is the frame's, and what is sRGB is converted to it, which loses nothing in a wider space. Where
    several are named, it is the backdrop's; without one, or with one of sRGB, it is sRGB. Between profiles of curves
    and matrix 16 bits are converted as such, between others by 8. `plain` asks for sRGB of 8 bits, as clipboards take.
    """
    named = list(_profiles(layers))
    others = {profile for _, profile in named if not is_srgb(profile)}
    profile: bytes | None = None
    if plain:
        profile = None
    elif len(others) > 1:
        profile = next((found for name, found in named if name == BACKDROP), None)
    else:
        profile = next(iter(others), next((found for _, found in named), None))
    deep = not plain and is_deep(tuple(layers))
    return LayeredFrame(size, tuple(_alike(layer, profile, deep) for layer in layers), profile=profile)


def _profiles(layers: Sequence[Layer | LayerGroup]) -> Iterator[tuple[str, bytes]]:
    for layer in layers:
        if isinstance(layer, LayerGroup):
            yield from _profiles(layer.layers)
        elif layer.profile is not None:
            yield layer.name, layer.profile


def _alike(layer: Layer | LayerGroup, profile: bytes | None, deep: bool) -> Layer | LayerGroup:
    if isinstance(layer, LayerGroup):
        return replace(layer, layers=tuple(_alike(part, profile, deep) for part in layer.layers))
    pixels = in_profile(layer.pixels, layer.profile, profile)
    return replace(layer, pixels=as_deep(pixels) if deep else as_plain(pixels), profile=None)


def in_profile(pixels: AnyPixels, source: bytes | None, target: bytes | None) -> AnyPixels:
    """A picture (h, w, 4) in the colours of another profile, at its own depth; None is sRGB."""
    if not pixels.size or source == target or (is_srgb(source) and is_srgb(target)):
        return pixels
    if pixels.dtype == np.uint8:
        return _by_eight(as_plain(pixels), source, target)
    one, other = (shaper_of(profile or srgb_profile()) for profile in (source, target))
    if one is None or other is None:
        return as_deep(_by_eight(as_plain(pixels), source, target))
    return converted(as_deep(pixels), one, other)


def _by_eight(pixels: Pixels, source: bytes | None, target: bytes | None) -> Pixels:
    return np.array(between(Image.fromarray(np.ascontiguousarray(pixels)), source, target))


def enriched(ink: Pixels, stored: Stored) -> AnyPixels:
    """Ink, uint8 (h, w, 4), with the depth and in the colours of the original that it was taken from.

    Where the clean copy shows what the original has, it is the original's own value; where paper was taken out of a
    colour, or it was mended, what was found at 8 bits.
    """
    # clean copies are made of the high bytes, as pictures are read
    deep = stored.pixels.dtype == np.uint16
    shallow = (stored.pixels >> 8).astype(np.uint8) if deep else as_plain(stored.pixels)
    shown = _by_eight(shallow, stored.profile, None)
    same = (np.abs(shown.astype(np.int16) - ink) <= _AS_IT_WAS).all(axis=2) & (ink[..., 3] > 0)
    found = _by_eight(ink, None, stored.profile)
    out = as_deep(found) if deep else found
    out[same] = stored.pixels[same]
    return out
