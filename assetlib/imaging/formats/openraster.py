"""OpenRaster: layers in a ZIP (freedesktop.org OpenRaster specification 0.0.5)."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element, ParseError

import defusedxml.ElementTree
import numpy as np
from defusedxml import DefusedXmlException
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats.colour import to_srgb
from assetlib.imaging.formats.interface import (
    MAX_PIXELS,
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
from assetlib.imaging.formats.zips import open_zip, read_named

DEEPEST = 100  # nested stacks
MOST_LAYERS = 2000


@dataclass(frozen=True, slots=True)
class Node:
    """A layer or stack of the file."""

    path: str
    name: str
    element: Element
    children: tuple[Node, ...]

    @property
    def is_stack(self) -> bool:
        return self.element.tag == "stack"

    @property
    def visible(self) -> bool:
        return self.element.get("visibility", "visible") != "hidden"

    @property
    def opacity(self) -> float:
        return min(max(_number(self.element.get("opacity"), 1.0), 0.0), 1.0)

    @property
    def multiplies(self) -> bool:
        return self.element.get("composite-op") == "svg:multiply"


def open_reading(source: Source, kind: Kind) -> OpenRasterReading:
    """The file, its list of layers read."""
    return OpenRasterReading(source, kind)


class OpenRasterReading:
    """A layered drawing in an OpenRaster file."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.source = source
        self.kind = kind
        self.archive = open_zip(source.read())
        root = _parse(read_named(self.archive, "stack.xml"))
        self.size = (int(_number(root.get("w"), 0)), int(_number(root.get("h"), 0)))
        check_size(*self.size)
        self.resolution = _number(root.get("xres"), 0), _number(root.get("yres"), 0)
        stack = root.find("stack")
        self.nodes = tuple(_nodes(stack, "", 0)) if stack is not None else ()
        if sum(1 for _ in _all(self.nodes)) > MOST_LAYERS:
            raise BadPicture(f"it has more than {MOST_LAYERS} layers", "Save it in parts.")

    def facts(self) -> Facts:
        """What the file is, with every layer from the top."""
        return Facts(
            format=self.kind.name,
            media_type=self.kind.media_type,
            size=self.size,
            mode="RGBA",
            has_alpha=True,
            resolution=self.resolution if min(self.resolution) > 1 else None,
            layers=tuple(self._infos()),
            note=tell_ending(self.source.path, self.kind),
        )

    def image(self, ask: Ask) -> Image.Image:
        """The whole drawing as its program merged it, or one layer or stack on the whole canvas."""
        if ask.page:
            raise BadPicture(f"it has one page, not {ask.page + 1}")
        if ask.together:
            return self._together(ask.together)
        if ask.layer is None:
            merged = read_named(self.archive, "mergedimage.png")
            if merged is not None:
                return self._decoded(merged)
            return self._merged(self.nodes, (0, 0, *self.size))
        for node in _all(self.nodes):
            if node.path == ask.layer:
                return self._shown(node, ask.box)
        raise BadPicture(f"it has no layer '{ask.layer}'")

    def deep(self, page: int) -> DeepPixels | None:
        """None: deep OpenRaster files are read at 8 bits."""
        return None

    def _infos(self) -> Iterator[LayerInfo]:
        corners = {node.path: box for top in self.nodes for node, box in self._measured(top)}
        for node in _all(self.nodes):
            kind = "group" if node.is_stack else "pixels"
            box = inside(corners[node.path], self.size)
            if kind == "pixels" and box == (0, 0, *self.size) and is_paper(self._shown(node)):
                kind = "paper"
            yield LayerInfo(node.path, node.name, node.visible, kind, box)

    def _measured(self, node: Node) -> Iterator[tuple[Node, Box]]:
        """A node and those in it with the corners of their ink, each layer decoded once."""
        if node.is_stack:
            within = [pair for child in node.children for pair in self._measured(child)]
            yield from within
            yield node, around([box for child, box in within if box[2] > box[0] and child.visible])
        else:
            found = self.stored(node)
            box = found[0].getchannel("A").getbbox() if found else None
            yield node, _moved(box, found[1]) if found and box else NOWHERE

    def _shown(self, node: Node, box: Box | None = None) -> Image.Image:
        """A layer or stack alone on the whole canvas, or on a box x, y, w, h, RGBA, its own opacity applied."""
        box = box or (0, 0, *self.size)
        check_size(*box[2:])
        if node.is_stack:
            picture = self._merged(node.children, box)
        else:
            picture = Image.new("RGBA", box[2:])
            found = self.stored(node)
            if found is not None:
                picture.paste(found[0], (found[1][0] - box[0], found[1][1] - box[1]))
        if node.opacity < 1:
            alpha = picture.getchannel("A").point([round(value * node.opacity) for value in range(256)])
            picture.putalpha(alpha)
        return picture

    def stored(self, node: Node) -> tuple[Image.Image, tuple[int, int]] | None:
        """The picture of a layer, RGBA, and where its upper left corner stands; None for an empty layer."""
        data = read_named(self.archive, node.element.get("src", ""))
        if data is None:
            return None
        place = (int(_number(node.element.get("x"), 0)), int(_number(node.element.get("y"), 0)))
        return self._decoded(data), place

    def _merged(self, nodes: tuple[Node, ...], box: Box) -> Image.Image:
        """Visible nodes over each other, the lowest first; only multiply differs from plain laying over."""
        below = Image.new("RGBA", box[2:])
        for node in reversed(nodes):
            if node.visible:
                layer = self._shown(node, box)
                below = _multiplied(below, layer) if node.multiplies else Image.alpha_composite(below, layer)
        return below

    def _together(self, paths: tuple[str, ...]) -> Image.Image:
        """Several layers on the whole canvas, blended with each other."""
        missing = next((path for path in paths if path not in {node.path for node in _all(self.nodes)}), None)
        if missing is not None:
            raise BadPicture(f"it has no layer '{missing}'")
        return self._merged(tuple(_among(self.nodes, frozenset(paths))), (0, 0, *self.size))

    def _decoded(self, data: bytes) -> Image.Image:
        with damage():
            Image.MAX_IMAGE_PIXELS = MAX_PIXELS
            opened = Image.open(io.BytesIO(data), formats=("PNG",))
            check_size(*opened.size)
            return to_srgb(opened).convert("RGBA")


def _multiplied(below: Image.Image, layer: Image.Image) -> Image.Image:
    """The layer multiplied onto what is below (W3C Compositing 1, 5.8: source over with the multiply blend)."""
    b, s = np.asarray(below, np.float32) / 255, np.asarray(layer, np.float32) / 255
    ab, as_ = b[..., 3:], s[..., 3:]
    colour = (1 - ab) * s[..., :3] + ab * b[..., :3] * s[..., :3]
    alpha = as_ + ab * (1 - as_)
    mixed = as_ * colour + (1 - as_) * ab * b[..., :3]
    straight = np.divide(mixed, alpha, out=np.zeros_like(mixed), where=alpha > 0)
    return Image.fromarray(np.rint(np.concatenate([straight, alpha], axis=2) * 255).astype(np.uint8))


def _moved(box: Box, place: tuple[int, int]) -> Box:
    return box[0] + place[0], box[1] + place[1], box[2] + place[0], box[3] + place[1]


def _parse(data: bytes | None) -> Element:
    if data is None:
        raise BadPicture("damaged: its list of layers is missing", "Save or copy it again.")
    try:
        root: Element = defusedxml.ElementTree.fromstring(data, forbid_dtd=True)
    except (ParseError, DefusedXmlException, RecursionError):
        raise BadPicture("damaged: its list of layers cannot be read", "Save or copy it again.") from None
    return root


def _nodes(stack: Element, above: str, depth: int) -> Iterator[Node]:
    if depth > DEEPEST:
        raise BadPicture(
            f"its groups are nested more than {DEEPEST} deep", "Save it again with flatter groups."
        )
    taken: set[str] = set()
    for element in stack:
        if element.tag in ("layer", "stack"):
            name = plain_name(element.get("name") or "") or ("Group" if element.tag == "stack" else "Layer")
            path = path_of(above, name, taken)
            yield Node(path, name, element, tuple(_nodes(element, path, depth + 1)))


def _among(nodes: tuple[Node, ...], paths: frozenset[str]) -> Iterator[Node]:
    """The nodes of these paths, and stacks that some of them are in with nothing else in them."""
    for node in nodes:
        inner = tuple(_among(node.children, paths))
        if node.path in paths:
            yield node
        elif inner:
            yield replace(node, children=inner)


def _all(nodes: tuple[Node, ...]) -> Iterator[Node]:
    for node in nodes:
        yield node
        yield from _all(node.children)


def _number(text: str | None, otherwise: float) -> float:
    try:
        value = float(text or "")
    except ValueError:
        return otherwise
    return value if abs(value) < 1e7 else otherwise
