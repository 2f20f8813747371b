"""Bringing every colour mode of Pillow to sRGB."""

from __future__ import annotations

import contextlib
import io
from typing import TYPE_CHECKING, cast

import numpy as np
from PIL import Image

if TYPE_CHECKING:
    from PIL import ImageCms

_LONGEST_NAME = 80  # characters of a profile's name that are kept
_SRGB = "srgb"  # profiles of the sRGB family say so in their description


def profile_name(profile: object) -> str | None:
    """The name that a colour profile gives itself; None without a readable profile."""
    opened = _open_profile(profile)
    if opened is None:
        return None
    name = opened.profile.profile_description or opened.profile.model or "unnamed profile"
    return " ".join(name.split())[:_LONGEST_NAME]


def to_srgb(image: Image.Image) -> Image.Image:
    """The picture in mode L, LA, RGB or RGBA, converted to sRGB where it carries a profile."""
    profile = image.info.get("icc_profile")
    flat = _to_eight_bits(image)
    if profile:
        flat = _convert_profile(flat, profile)
    return flat if flat.mode in ("L", "LA", "RGB", "RGBA") else flat.convert("RGB")


def _to_eight_bits(image: Image.Image) -> Image.Image:
    """The picture in a mode of 8 bits a channel, transparency made an alpha channel."""
    if "transparency" in image.info and image.mode in ("1", "L", "P", "RGB"):
        return image.convert("RGBA")
    if image.mode == "P":
        return image.convert(image.palette.mode if image.palette and image.palette.mode == "RGBA" else "RGB")
    if image.mode in ("PA", "RGBa"):
        return image.convert("RGBA")
    if image.mode == "La":
        return image.convert("LA")
    if image.mode == "1":
        return image.convert("L")
    if image.mode.startswith(("I", "F")):
        return Image.fromarray(_scale_grey(np.asarray(image)))
    return image


def _scale_grey(values: np.ndarray) -> np.ndarray:
    """Deep grey values (any shape) as uint8: 16-bit by their high byte, others by their range."""
    if values.dtype == np.uint16:
        return (values >> 8).astype(np.uint8)
    finite = np.nan_to_num(values.astype(np.float32))
    top = float(finite.max(initial=0.0))
    full = 1.0 if top <= 1.0 else top
    if np.issubdtype(values.dtype, np.integer):
        full = 65535.0 if top > 255 else 255.0
    return cast(np.ndarray, np.clip(finite * (255.0 / full), 0, 255).astype(np.uint8))


def is_srgb(profile: bytes | None) -> bool:
    """Whether colours of this profile are taken for sRGB: it says so, or there is none that can be read."""
    opened = _open_profile(profile)
    return opened is None or _SRGB in (opened.profile.profile_description or "").casefold()


def is_rgb(profile: object) -> bool:
    """Whether a profile is one of red, green and blue."""
    opened = _open_profile(profile)
    return opened is not None and opened.profile.xcolor_space.strip() == "RGB"


def between(image: Image.Image, source: bytes | None, target: bytes | None) -> Image.Image:
    """A picture in mode RGB or RGBA from one profile into another, at 8 bits; None is sRGB.

    As it was where lcms cannot do it.
    """
    if source == target or (is_srgb(source) and is_srgb(target)):
        return image
    from PIL import ImageCms

    ends = [_open_profile(profile) or ImageCms.createProfile("sRGB") for profile in (source, target)]
    return _converted(image, *ends)


def _convert_profile(image: Image.Image, profile: bytes) -> Image.Image:
    """The picture converted from its profile; as it was where the profile does not fit it."""
    opened = _open_profile(profile)
    if opened is None or is_srgb(profile):
        return image
    from PIL import ImageCms

    return _converted(image, opened, ImageCms.createProfile("sRGB"))


def _converted(image: Image.Image, source: object, target: object) -> Image.Image:
    from PIL import ImageCms

    alpha = image.getchannel("A") if image.mode in ("RGBA", "LA") else None
    colour = image.convert(image.mode.rstrip("A")) if alpha else image
    with contextlib.suppress(ImageCms.PyCMSError, OSError, ValueError):
        converted = ImageCms.profileToProfile(colour, source, target, outputMode="RGB")  # type: ignore[arg-type]
        if converted is None:
            return image
        if alpha:
            converted.putalpha(alpha)
        return converted
    return image


def _open_profile(profile: object) -> ImageCms.ImageCmsProfile | None:
    if not (isinstance(profile, bytes) and profile):
        return None
    from PIL import ImageCms

    with contextlib.suppress(ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return ImageCms.ImageCmsProfile(io.BytesIO(profile))
    return None
