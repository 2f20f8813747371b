"""A clean copy on its way onto a frame: loaded, coloured, scaled, and laid out as a group of layers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.formats.stored import Stored, read_stored
from assetlib.imaging.layering import colours
from assetlib.imaging.layering.layers import FULL, AnyPixels, Layer, LayerGroup, Pixels, as_plain

WHITE, TONED = 255, 214
"""Grey levels of a body: white paper, and a light tone (chosen by eye on the demo's drawings)."""

FULL_COVER = 255

_CUT_SHARE = 0.25
"""Share of a side that a body takes up where it was cut straight through; chosen by eye on the demo's hands."""

_FINER, _FINE_SIDE = 3.0, 1800.0
"""Lines of few pixels are measured enlarged, so that halves of pixels count."""
_DARK = 110  # coverage of 255 from which ink is dark
_THIN, _WIDEST = 3.0, 0.02
"""Ink is a line up to so many pixels, or this share of the drawing's diagonal: what is wider is an area. By eye, on the
demo's drawings."""

_CUT_DEPTH = 0.02  # of the drawing's size: how near to its edge a cut lies
_STANDS = 0.7  # a body this wide at its foot stands on it and was not cut


Tone = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Cutout:
    """A clean copy without empty borders: ink uint8 (h, w, 4), body uint8 (h, w), 255 where white lies under it.

    `kept` is the same ink with the depth and the colours of its original, in the ICC profile `profile`, where those
    are more than 8 bits of sRGB. `tone` is the colour of its body where that is not white: of the dark ground that
    light line stands on.
    """

    ink: Pixels
    body: NDArray[np.uint8]
    kept: AnyPixels | None = None
    profile: bytes | None = None
    tone: Tone | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.ink.shape[1], self.ink.shape[0]


def load_cutout(ink: Path, mask: Path, stored: Stored | None = None, bodied: Path | None = None) -> Cutout:
    """The clean copy in these files, trimmed to what is in it; one empty pixel where nothing is.

    `stored` is the original of it, of the same size; its depth and colours are kept. `bodied` is its ink with its
    body, which tells the tone of that.
    """
    with Image.open(ink) as opened:
        picture = opened.convert("RGBA")
    with Image.open(mask) as opened:
        body = opened.convert("L")
    seen = Image.fromarray(np.maximum(np.asarray(picture.getchannel("A")), np.asarray(body)))
    left, top, right, bottom = seen.getbbox() or (0, 0, 1, 1)
    here = np.s_[top:bottom, left:right]
    cutout = Cutout(np.asarray(picture)[here], np.asarray(body)[here])
    if bodied is not None:
        cutout = replace(cutout, tone=_tone(cutout, bodied, here))
    if stored is None or stored.pixels.shape != (picture.height, picture.width, 4):
        return cutout
    part = Stored(stored.pixels[here], stored.profile)
    return replace(cutout, kept=colours.enriched(cutout.ink, part), profile=stored.profile)


def _tone(cutout: Cutout, bodied: Path, here: tuple[slice, slice]) -> Tone | None:
    """The colour of a copy's bare body; None where it is white or no body is bare."""
    with Image.open(bodied) as opened:
        pixels = np.asarray(opened.convert("RGBA"))[here]
    bare = pixels[(cutout.body == FULL_COVER) & (cutout.ink[..., 3] == 0), :3]
    if not bare.size or (bare[0] == WHITE).all():
        return None
    red, green, blue = (int(value) for value in bare[0])
    return red, green, blue


def recoloured(cutout: Cutout, colour: tuple[int, int, int]) -> Cutout:
    """The cutout with all its ink in one colour, as strong as it is dark; that is sRGB, and 8 bits of strength.

    Light line on a dark body is as strong as it covers.
    """
    ink = cutout.ink.copy()
    if cutout.tone is None:
        darkness = 255 - ink[..., :3].astype(np.uint16).mean(axis=2)
        ink[..., 3] = (ink[..., 3] * darkness / 255).astype(np.uint8)
    ink[..., :3] = colour
    return Cutout(ink, cutout.body, tone=cutout.tone)


def on_paper(cutout: Cutout) -> Cutout:
    """The cutout for a light body, on which light line would not show: that takes the tone of its dark ground."""
    if cutout.tone is None:
        return cutout
    return replace(recoloured(cutout, cutout.tone), tone=None)


def scaled(cutout: Cutout, size: tuple[int, int], *, mirrored: bool = False) -> Cutout:
    """The cutout at another size in pixels, mirrored left to right when asked."""
    size = max(1, size[0]), max(1, size[1])
    ink, body, kept = cutout.ink, cutout.body, cutout.kept
    if size != cutout.size:
        ink = as_plain(resized(ink, size))
        body = _resized(body, size)
        kept = None if kept is None else resized(kept, size)
    if mirrored:
        ink, body = ink[:, ::-1], body[:, ::-1]
        kept = None if kept is None else kept[:, ::-1]
    return replace(cutout, ink=ink, body=body, kept=kept)


def resized(pixels: AnyPixels, size: tuple[int, int]) -> AnyPixels:
    """A picture (h, w, 4) at another size, its colours weighed by alpha: no dark rim comes from what is see-through."""
    if pixels.dtype == np.uint8:
        return _resized_plain(np.ascontiguousarray(as_plain(pixels)), size)
    how = Image.Resampling.LANCZOS
    alpha = pixels[..., 3].astype(np.float32) / FULL
    weighed = [pixels[..., place] * alpha for place in range(3)] + [pixels[..., 3].astype(np.float32)]
    red, green, blue, strength = (
        np.asarray(Image.fromarray(plane).resize(size, how, reducing_gap=3.0)) for plane in weighed
    )
    share = np.clip(strength, 1e-3, FULL) / FULL
    planes = [np.where(strength > 0.5, plane / share, 0.0) for plane in (red, green, blue)]
    whole = np.clip(np.stack([*planes, strength], axis=2), 0, FULL)
    return np.asarray(np.rint(whole), np.uint16)


def _resized(plane: NDArray[np.uint8], size: tuple[int, int]) -> NDArray[np.uint8]:
    image = Image.fromarray(np.ascontiguousarray(plane))
    return np.asarray(image.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0))


def _resized_plain(pixels: Pixels, size: tuple[int, int]) -> Pixels:
    """A picture of 8 bits at another size. Ink of one colour keeps it, so that its strength alone is resized."""
    colour = _one_colour(pixels)
    if colour is None:
        weighed = Image.fromarray(pixels).convert("RGBa")
        return np.asarray(weighed.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0).convert("RGBA"))
    found = np.empty((size[1], size[0], 4), np.uint8)
    found[..., :3] = colour
    found[..., 3] = _resized(pixels[..., 3], size)
    return found


def _one_colour(pixels: Pixels) -> list[int] | None:
    """The colour of all that is seen, where it is one."""
    alpha = cv2.extractChannel(pixels, 3)
    found = []
    for channel in range(3):
        least, most, _, _ = cv2.minMaxLoc(cv2.extractChannel(pixels, channel), alpha)
        if least != most:
            return None
        found.append(int(least))
    return found


def group(
    cutout: Cutout,
    name: str,
    place: tuple[int, int],
    body: int | Tone | None = WHITE,
    *,
    visible: bool = True,
    opacity: int = 255,
) -> LayerGroup:
    """The cutout as a group of its layers, body below ink; `body` is its grey level or colour, None for none."""
    ink = cutout.ink if cutout.kept is None else cutout.kept
    layers = [Layer("ink", ink, *place, profile=cutout.profile)]
    if body is not None:
        under = np.empty((*cutout.body.shape, 4), np.uint8)
        under[..., :3] = body
        under[..., 3] = cutout.body
        layers.insert(0, Layer("body", under, *place))
    return LayerGroup(name, tuple(layers), visible=visible, opacity=opacity)


def cut_sides(cutout: Cutout) -> tuple[str, ...]:
    """The sides (left, top, right, bottom) where a drawing runs straight out, as a sleeve does that was cut."""
    solid = np.maximum(cutout.body, cutout.ink[..., 3]) > 127
    height, width = solid.shape
    deep = max(1, round(_CUT_DEPTH * max(height, width)))
    runs = {
        "left": solid[:, :deep].any(axis=1).mean(),
        "top": solid[:deep].any(axis=0).mean(),
        "right": solid[:, -deep:].any(axis=1).mean(),
        "bottom": solid[-deep:].any(axis=0).mean(),
    }
    return tuple(side for side, share in runs.items() if share >= _CUT_SHARE)


_FAR_BAND = (0.3, 0.7)  # of a backdrop's height: where what is far off is drawn
_EMPTIER = 1.5  # times the ink of the other half, from which a side is told


def emptier_side(ink: Pixels) -> str:
    """The half (*left* or *right*) of a backdrop that has clearly less ink at its middle height; empty without."""
    height, width = ink.shape[:2]
    band = ink[round(height * _FAR_BAND[0]) : max(1, round(height * _FAR_BAND[1]))]
    dark = band[..., 3].astype(np.float32) * (255 - band[..., :3].mean(axis=2))
    left, right = float(dark[:, : width // 2].sum()), float(dark[:, width // 2 :].sum())
    if max(left, right) < _EMPTIER * min(left, right) or left == right:
        return ""
    return "left" if left < right else "right"


def line_width(ink: Pixels) -> float:
    """The usual width of the dark lines of a drawing in its own pixels, its black areas left out; 0.0 without any.

    Twice the depth at the ridges of the ink, of those that are thin enough to be lines.
    """
    cover = ink[..., 3].astype(np.float32) * (255 - ink[..., :3].mean(axis=2)) / 255
    height, width = cover.shape
    finer = min(_FINER, max(1.0, _FINE_SIDE / max(height, width)))
    large = cv2.resize(cover.astype(np.uint8), None, fx=finer, fy=finer, interpolation=cv2.INTER_LINEAR)
    depth = cv2.distanceTransform(np.pad((large > _DARK).astype(np.uint8), 1), cv2.DIST_L2, 5)
    ridge = (depth > 0) & (depth >= cv2.dilate(depth, np.ones((3, 3), np.uint8)))
    widths = (2 * depth[ridge] - 1) / finer
    lines = widths[widths <= max(_THIN, _WIDEST * float(np.hypot(height, width)))]
    return float(np.median(lines)) if lines.size else 0.0


def paper(size: tuple[int, int], level: int = WHITE) -> Layer:
    """White paper as large as the frame."""
    return Layer("paper", np.full((size[1], size[0], 4), (level, level, level, 255), np.uint8), locked=True)


def guide(
    name: str, size: tuple[int, int], boxes: list[tuple[int, int, int, int]], *, visible: bool
) -> Layer:
    """Thin boxes (x, y, w, h) on a locked layer."""
    picture = Image.new("RGBA", size)
    pen = ImageDraw.Draw(picture)
    width = max(1, round(max(size) / 960))
    for x, y, w, h in boxes:
        pen.rectangle((x, y, x + w - 1, y + h - 1), outline=(0, 140, 180, 255), width=width)
    return Layer(name, np.asarray(picture), visible=visible, locked=True)


def written(text: str, size: tuple[int, int]) -> Layer:
    """A hidden layer that is named with a line of text and shows it along the lower edge.

    The layer is pixels: text as text would need a font that every program has.
    """
    picture = Image.new("RGBA", size)
    pen = ImageDraw.Draw(picture)
    letters = max(10, round(size[1] / 38))
    font = ImageFont.load_default(letters)
    wide = max(12, round(size[0] * 0.94 / (letters * 0.52)))
    lines = _wrapped(text, wide)[:4]
    high = round(letters * 1.35)
    top = size[1] - high * len(lines) - high // 2
    pen.rectangle((0, top - high // 3, size[0], size[1]), fill=(255, 255, 255, 235))
    for place, line in enumerate(lines):
        pen.text((round(size[0] * 0.03), top + place * high), line, fill=(20, 20, 20, 255), font=font)
    return Layer(text[:200], np.asarray(picture), visible=False)


def _wrapped(text: str, wide: int) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > wide:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def covering(path: Path, size: tuple[int, int]) -> Layer:
    """A photo or drawn background over the whole frame, cropped where its shape is another."""
    from assetlib.imaging.formats import read_picture

    stored = read_stored(path)
    pixels = read_picture(str(path)) if stored is None else stored.pixels
    height, width = pixels.shape[:2]
    scale = max(size[0] / width, size[1] / height)
    wanted = max(size[0], round(width * scale)), max(size[1], round(height * scale))
    if wanted != (width, height):
        pixels = resized(pixels, wanted)
    left, top = (wanted[0] - size[0]) // 2, (wanted[1] - size[1]) // 2
    part = pixels[top : top + size[1], left : left + size[0]]
    return Layer(colours.BACKDROP, part, profile=stored.profile if stored else None)
