"""Colours of 16 bits from one ICC profile to another, for profiles of three curves and a matrix.

That is what the RGB spaces of pictures are made of (ICC.1:2022, 8.3.3 and annex F.3). Pillow's lcms converts 8 bits.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import ImageCms

Doubles = NDArray[np.float64]

FULL = 65535
_TABLE, _TAG = 128, 12  # bytes before the tag table, bytes of one of its rows (ICC.1:2022, 7.1)
_FIXED = 65536.0  # s15Fixed16Number
_GAMMA = 256.0  # u8Fixed8Number of a curve of one number
_POWERS = {0: "g", 1: "gab", 2: "gabc", 3: "gabcd", 4: "gabcdef"}
"""Parameters of a `para` curve by its function type (ICC.1:2022, table 68)."""


@dataclass(frozen=True, slots=True)
class Shaper:
    """Three curves from stored values to light, float64 (65536,) each, and a matrix (3, 3) from there to D50 XYZ."""

    curves: tuple[Doubles, Doubles, Doubles]
    matrix: Doubles


def shaper_of(profile: bytes) -> Shaper | None:
    """The curves and matrix of a profile; None for one that is made of tables, or not whole."""
    try:
        if profile[16:20] != b"RGB " or profile[20:24] != b"XYZ ":
            return None
        tags = _tags(profile)
        if b"A2B0" in tags or b"A2B1" in tags:
            return None
        red, green, blue = (_curve(tags[name]) for name in (b"rTRC", b"gTRC", b"bTRC"))
        columns = [_xyz(tags[name]) for name in (b"rXYZ", b"gXYZ", b"bXYZ")]
    except (KeyError, ValueError, IndexError, struct.error):
        return None
    matrix = np.array(columns).T
    return Shaper((red, green, blue), matrix) if abs(np.linalg.det(matrix)) > 1e-9 else None


def srgb_profile() -> bytes:
    """The sRGB profile that lcms makes."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def converted(pixels: NDArray[np.uint16], source: Shaper, target: Shaper) -> NDArray[np.uint16]:
    """Pixels (h, w, 4) of 16 bits in the target's colours; what it has not is the nearest that it has, by channel."""
    out = pixels.copy()
    matrix = np.linalg.inv(target.matrix) @ source.matrix
    # rows at a time, or a large picture takes many times its own memory
    for row in range(0, pixels.shape[0], 256):
        part = pixels[row : row + 256]
        light = np.stack([curve[part[..., place]] for place, curve in enumerate(source.curves)], axis=2)
        shown = np.clip(light @ matrix.T, 0, 1)
        for place, curve in enumerate(target.curves):
            stored = np.interp(shown[..., place], curve, np.arange(FULL + 1))
            out[row : row + 256, :, place] = np.rint(stored)
    return out


def _tags(profile: bytes) -> dict[bytes, bytes]:
    (count,) = struct.unpack_from(">I", profile, _TABLE)
    found = {}
    for number in range(min(count, 100)):
        name, start, length = struct.unpack_from(">4sII", profile, _TABLE + 4 + number * _TAG)
        found[name] = profile[start : start + length]
    return found


def _xyz(tag: bytes) -> list[float]:
    return [value / _FIXED for value in struct.unpack_from(">iii", tag, 8)]


def _curve(tag: bytes) -> Doubles:
    x = np.linspace(0.0, 1.0, FULL + 1)
    if tag[:4] == b"curv":
        (count,) = struct.unpack_from(">I", tag, 8)
        values = np.array(struct.unpack_from(f">{count}H", tag, 12), np.float64)
        if count == 0:
            return x
        if count == 1:
            return np.asarray(x ** (values[0] / _GAMMA))
        return _rising(np.interp(x, np.linspace(0.0, 1.0, count), values / FULL))
    if tag[:4] != b"para":
        raise ValueError("a curve of neither kind")
    kind = struct.unpack_from(">H", tag, 8)[0]
    names = _POWERS[kind]
    p = {
        name: value / _FIXED
        for name, value in zip(names, struct.unpack_from(f">{len(names)}i", tag, 12), strict=True)
    }
    return _rising(_power(x, kind, p))


def _power(x: Doubles, kind: int, p: dict[str, float]) -> Doubles:
    """A `para` curve: a power above its break, a line or a constant below."""
    a, b, c = p.get("a", 1.0), p.get("b", 0.0), p.get("c", 0.0)
    powered = np.maximum(a * x + b, 0.0) ** p["g"]
    if kind in (0, 1, 2):
        broken = np.zeros_like(x, dtype=bool) if kind == 0 else x < -b / a
        return np.asarray(np.where(broken, 0.0, powered) + (c if kind == 2 else 0.0))
    upper, lower = (p["e"], p["f"]) if kind == 4 else (0.0, 0.0)
    return np.asarray(np.where(x >= p["d"], powered + upper, c * x + lower))


def _rising(curve: Doubles) -> Doubles:
    """The curve within 0 to 1 and never falling, so that it can be read both ways. Raises ValueError for a flat one."""
    whole = np.maximum.accumulate(np.clip(curve, 0.0, 1.0))
    if whole[-1] - whole[0] < 0.5:
        raise ValueError("a curve that leads nowhere")
    return np.asarray(whole)
