"""A clean copy on its way onto a frame: loaded, coloured, scaled, and laid out as a group of layers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.layering.layers import Layer, LayerGroup, Pixels

WHITE, TONED = 255, 214
"""Grey levels of a body: white paper, and a light tone (chosen by eye on the demo's drawings)."""

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


@dataclass(frozen=True, slots=True)
class Cutout:
    """A clean copy without empty borders: ink uint8 (h, w, 4), body uint8 (h, w), 255 where white lies under it."""

    ink: Pixels
    body: NDArray[np.uint8]

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.ink.shape[1], self.ink.shape[0]


def load_cutout(ink: Path, mask: Path) -> Cutout:
    """The clean copy in these two files, trimmed to what is in it; one empty pixel where nothing is."""
    with Image.open(ink) as opened:
        picture = opened.convert("RGBA")
    with Image.open(mask) as opened:
        body = opened.convert("L")
    seen = Image.fromarray(np.maximum(np.asarray(picture.getchannel("A")), np.asarray(body)))
    box = seen.getbbox() or (0, 0, 1, 1)
    return Cutout(np.asarray(picture.crop(box)), np.asarray(body.crop(box)))


def recoloured(cutout: Cutout, colour: tuple[int, int, int]) -> Cutout:
    """The cutout with all its ink in one colour, as strong as it is dark."""
    ink = cutout.ink.copy()
    darkness = 255 - ink[..., :3].astype(np.uint16).mean(axis=2)
    ink[..., 3] = (ink[..., 3] * darkness / 255).astype(np.uint8)
    ink[..., :3] = colour
    return replace(cutout, ink=ink)


def scaled(cutout: Cutout, size: tuple[int, int], *, mirrored: bool = False) -> Cutout:
    """The cutout at another size in pixels, mirrored left to right when asked."""
    size = max(1, size[0]), max(1, size[1])
    ink, body = Image.fromarray(cutout.ink), Image.fromarray(cutout.body)
    if size != cutout.size:
        # colours are weighed by their alpha, so that no dark rim comes from what is see-through
        ink = ink.convert("RGBa").resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0).convert("RGBA")
        body = body.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)
    if mirrored:
        ink = ink.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        body = body.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    return Cutout(np.asarray(ink), np.asarray(body))


def group(
    cutout: Cutout,
    name: str,
    place: tuple[int, int],
    body: int | None = WHITE,
    *,
    visible: bool = True,
    opacity: int = 255,
) -> LayerGroup:
    """The cutout as a group of its layers, body below ink; `body` is the grey level of the body, None for none."""
    layers = [Layer("ink", cutout.ink, *place)]
    if body is not None:
        under = np.full((*cutout.body.shape, 4), body, np.uint8)
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

    picture = Image.fromarray(read_picture(str(path)))
    scale = max(size[0] / picture.width, size[1] / picture.height)
    wanted = max(size[0], round(picture.width * scale)), max(size[1], round(picture.height * scale))
    picture = (
        picture.convert("RGBa").resize(wanted, Image.Resampling.LANCZOS, reducing_gap=3.0).convert("RGBA")
    )
    left, top = (wanted[0] - size[0]) // 2, (wanted[1] - size[1]) // 2
    return Layer("backdrop", np.asarray(picture.crop((left, top, left + size[0], top + size[1]))))
