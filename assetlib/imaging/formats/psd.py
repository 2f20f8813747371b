"""PSD and PSB: layered drawings, read by psd-tools."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from PIL import Image
from psd_tools import PSDImage
from psd_tools.constants import Resource

from assetlib.errors import BadPicture
from assetlib.imaging.formats.colour import profile_name
from assetlib.imaging.formats.interface import (
    Ask,
    DeepPixels,
    Facts,
    Kind,
    LayerInfo,
    Source,
    check_size,
    tell_ending,
)
from assetlib.imaging.formats.layers import NOWHERE, Box, around, inside, is_paper, path_of, plain_name
from assetlib.imaging.formats.raster import damage
from assetlib.imaging.metadata import join_words, read_iim, read_xmp

MOST_LAYERS = 2000
_FIXED = 65536.0  # resolutions are 16.16 fixed-point numbers (PSD specification, ResolutionInfo)


def open_reading(source: Source, kind: Kind) -> PsdReading:
    """The file, its structure read, its layers not yet decoded."""
    return PsdReading(source, kind)


class PsdReading:
    """A layered drawing in a PSD or PSB file."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.source = source
        self.kind = kind
        data = source.read()
        check_size(int.from_bytes(data[18:22], "big"), int.from_bytes(data[14:18], "big"))
        with damage():
            self.file = PSDImage.open(io.BytesIO(data))
            self.layers = list(_layers(self.file, "", MOST_LAYERS))
        self.size = (self.file.width, self.file.height)
        self.corners: dict[int, Box] = {}
        self.merged_mode = ""  # known once the whole drawing was decoded

    def facts(self) -> Facts:
        """What the file is, with every layer from the top."""
        with damage():
            resources = self.file.image_resources
            return Facts(
                format=self.kind.name,
                media_type=self.kind.media_type,
                size=self.size,
                bits=self.file.depth,
                mode=self.file.color_mode.name,
                has_alpha=(self.merged_mode or self.image(Ask()).mode) in ("RGBA", "LA"),
                resolution=_resolution(resources.get_data(Resource.RESOLUTION_INFO)),
                icc=profile_name(resources.get_data(Resource.ICC_PROFILE)),
                layers=tuple(self._info(path, layer) for path, layer in self.layers),
                note=tell_ending(self.source.path, self.kind),
                words=join_words(
                    (
                        read_xmp(resources.get_data(Resource.XMP_METADATA)),
                        read_iim(_iim(resources.get_data(Resource.IPTC_NAA))),
                    )
                ),
            )

    def image(self, ask: Ask) -> Image.Image:
        """The whole drawing as its program merged it, or layers or groups of it on the whole canvas."""
        if ask.page:
            raise BadPicture(f"it has one page, not {ask.page + 1}")
        with damage():
            if ask.together:
                return self._together(ask.together)
            if ask.layer is None:
                merged = self.file.topil() if self.file.has_preview() or not self.layers else None
                merged = merged if merged is not None else self.file.composite(force=True)
                picture = _plain(merged)
                self.merged_mode = picture.mode
                return picture
            for path, layer in self.layers:
                if path == ask.layer:
                    return self._shown(layer, ask.box)
        raise BadPicture(f"it has no layer '{ask.layer}'")

    def deep(self, page: int) -> DeepPixels | None:
        """None: layered files are read at 8 bits; the original keeps its depth."""
        return None

    def _info(self, path: str, layer: Any) -> LayerInfo:
        # a clipped layer is shown by the one below it, and is no drawing by itself
        drawn = _has_pixels(layer) and not layer.clipping
        kind = "group" if layer.is_group() else "pixels" if drawn else "adjustment"
        box = inside(self._ink_corners(layer), self.size)
        if kind == "pixels" and box == (0, 0, *self.size) and is_paper(self._shown(layer)):
            kind = "paper"
        return LayerInfo(path, plain_name(layer.name), bool(layer.visible), kind, box)

    def _ink_corners(self, layer: Any) -> Box:
        """Corners around the ink of a layer, or of the visible layers of a group; no area where there is none.

        Some programs keep every layer as large as the canvas, so its own corners tell nothing.
        """
        if id(layer) not in self.corners:
            self.corners[id(layer)] = self._measured(layer)
        return self.corners[id(layer)]

    def _measured(self, layer: Any) -> Box:
        if layer.has_mask() or layer.has_vector_mask():
            return self._shown(layer).getchannel("A").getbbox() or NOWHERE
        if layer.is_group():
            within = [self._ink_corners(child) for child in layer if child.visible]
            return around([box for box in within if box[2] > box[0]])
        picture = layer.topil() if _has_pixels(layer) else None
        if picture is None or picture.mode not in ("RGBA", "LA"):
            left, top, right, bottom = layer.bbox
            return left, top, right, bottom
        return _moved(picture.getchannel("A").getbbox(), layer.left, layer.top)

    def _shown(self, layer: Any, box: Box | None = None) -> Image.Image:
        """A layer or group alone on the whole canvas or a box, RGBA, with its masks, clipped layers and opacity."""
        left, top, width, height = box or (0, 0, *self.size)
        check_size(width, height)
        if layer.clipping and not layer.is_group():
            return self._unclipped(layer, (left, top, width, height))
        view = left, top, left + width, top + height
        picture = layer.composite(viewport=view, force=True, layer_filter=_unless_hidden(layer))
        if picture is None:
            return Image.new("RGBA", (width, height))
        return _plain(picture).convert("RGBA")

    def _together(self, paths: tuple[str, ...]) -> Image.Image:
        """Several layers on the whole canvas, RGBA, blended, with what is clipped to or adjusts them."""
        known = dict(self.layers)
        missing = next((path for path in paths if path not in known), None)
        if missing is not None:
            raise BadPicture(f"it has no layer '{missing}'")
        wanted = [known[path] for path in paths]
        ways = {id(above) for layer in wanted for above in _above(layer)}
        whole = {id(layer) for layer in wanted}

        def is_shown(layer: Any) -> bool:
            above = {id(one) for one in _above(layer)}
            if id(layer) in whole or id(layer) in ways:
                return True
            if not layer.visible:
                return False
            beside = id(layer.parent) in ways or layer.parent is self.file
            return bool(above & whole) or (beside and (bool(layer.clipping) or not _is_drawn(layer)))

        picture = self.file.composite(viewport=(0, 0, *self.size), force=True, layer_filter=is_shown)
        return Image.new("RGBA", self.size) if picture is None else _plain(picture).convert("RGBA")

    def _unclipped(self, layer: Any, box: Box) -> Image.Image:
        """The pixels of a clipped layer on a box, RGBA, without what it is clipped to."""
        canvas = Image.new("RGBA", box[2:])
        pixels = layer.topil()
        if pixels is not None:
            canvas.paste(_plain(pixels).convert("RGBA"), (layer.left - box[0], layer.top - box[1]))
        return canvas


def _moved(box: Box | None, left: int, top: int) -> Box:
    return (box[0] + left, box[1] + top, box[2] + left, box[3] + top) if box else NOWHERE


def _above(layer: Any) -> Iterator[Any]:
    """The groups that a layer is in, from the inside out."""
    while (layer := layer.parent) is not None and layer.parent is not None:
        yield layer


def _is_drawn(layer: Any) -> bool:
    return bool(layer.is_group() or _has_pixels(layer))


def _unless_hidden(shown: Any) -> Any:
    """A filter that lets the asked-for layer through even when it is hidden, and its visible parts."""
    return lambda layer: layer is shown or layer.visible


def _layers(group: Any, above: str, left: int) -> Iterator[tuple[str, Any]]:
    """Every layer with its path, from the top."""
    taken: set[str] = set()
    for layer in reversed(list(group)):
        path = path_of(above, plain_name(layer.name), taken)
        yield path, layer
        if layer.is_group():
            yield from _layers(layer, path, left)


def _has_pixels(layer: Any) -> bool:
    return layer.kind in ("pixel", "smartobject", "type", "shape") or layer.has_pixels()


def _plain(picture: Image.Image) -> Image.Image:
    return picture if picture.mode in ("L", "LA", "RGB", "RGBA") else picture.convert("RGB")


def _iim(found: Any) -> bytes:
    data = getattr(found, "value", found)
    return data if isinstance(data, bytes) else b""


def _resolution(info: Any) -> tuple[float, float] | None:
    """Pixels an inch; the stored number is always per inch, whatever unit is shown (PSD specification)."""
    if info is None:
        return None
    across, down = info.horizontal / _FIXED, info.vertical / _FIXED
    return (round(across, 2), round(down, 2)) if across > 1 and down > 1 else None
