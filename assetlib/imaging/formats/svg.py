"""SVG drawings, rendered by resvg after their size and structure were found harmless.

The renderer aborts on pages of 100,000 pixels and overflows its stack on deeply
nested groups, so both are refused before it sees them. It loads no outside pictures.
"""

from __future__ import annotations

import io
import math
import re
from xml.etree.ElementTree import Element, ParseError, TreeBuilder

import resvg_py
from defusedxml import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats.interface import Ask, DeepPixels, Facts, Kind, Source, check_size, tell_ending
from assetlib.imaging.formats.raster import check_plain, damage
from assetlib.imaging.metadata import read_svg_words

CSS_DPI = 96.0  # CSS Values 3, 5.2: an inch is 96 pixels
DEEPEST = 200  # nested elements, two Python calls for each; drawings that people make stay under 100 (openclipart: 38)
MOST_DRAWN = 1_000_000  # elements after every `use` is written out
LARGEST_BOX = 1e9  # CSS pixels of a page's side; endless and not-a-number sides are none of a page
GOOD_SIDE = 1600  # pixels of the longest side that a drawing is rendered at
_UNITS = {
    "": 1.0,
    "px": 1.0,
    "pt": 96 / 72,
    "pc": 16.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "q": 96 / 101.6,
}
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z%]*)\s*", re.IGNORECASE)


def open_reading(source: Source, kind: Kind) -> SvgReading:
    """The file, parsed and checked, not yet rendered."""
    return SvgReading(source, kind)


class SvgReading:
    """An SVG document."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.source = source
        self.kind = kind
        self.data = source.read()
        self.root = _parse(self.data)
        if _local(self.root) != "svg":
            raise BadPicture("not an SVG drawing", "Save it again as SVG or PNG.")
        _check_drawn(self.root)
        self.size = _natural_size(self.root)
        if not all(0 < side < LARGEST_BOX for side in self.size):
            raise BadPicture("its page has no size that can be", "Save it again with a width and a height.")
        check_size(*(max(1, round(side)) for side in self.size))
        self.dpi = _good_resolution(self.size)
        if not math.isfinite(self.dpi):
            raise BadPicture("its page has no size that can be", "Save it again with a width and a height.")

    def facts(self) -> Facts:
        """What the file is; `resolution` is the one that it is rendered at."""
        return Facts(
            format=self.kind.name,
            media_type=self.kind.media_type,
            size=self._pixels(self.dpi),
            mode="RGBA",
            has_alpha=True,
            resolution=(self.dpi, self.dpi),
            note=tell_ending(self.source.path, self.kind),
            words=read_svg_words(self.root),
        )

    def image(self, ask: Ask) -> Image.Image:
        """The drawing at the wanted resolution, RGBA."""
        check_plain(ask)
        dpi = ask.resolution or self.dpi
        if ask.max_side:
            dpi = min(dpi, CSS_DPI * ask.max_side / max(self.size))
        width, height = self._pixels(dpi)
        check_size(width, height)
        with damage():
            text = _as_text(self.data)
            rendered = resvg_py.svg_to_bytes(svg_string=text, dpi=CSS_DPI, width=width)
            image = Image.open(io.BytesIO(bytes(rendered))).convert("RGBA")
            return image if image.size == (width, height) else image.resize((width, height))

    def deep(self, page: int) -> DeepPixels | None:
        """None: a drawing of lines has no pixels of its own."""
        return None

    def _pixels(self, dpi: float) -> tuple[int, int]:
        width, height = (max(1, round(side * dpi / CSS_DPI)) for side in self.size)
        return width, height


def _parse(data: bytes) -> Element:
    """The root, without outside entities; expat itself stops entities that blow up (2.4.1 and later)."""
    parser = DefusedXMLParser(
        target=_Shallow(), forbid_dtd=False, forbid_entities=False, forbid_external=True
    )
    try:
        parser.feed(data)
        root: Element = parser.close()
    except ParseError as error:
        raise BadPicture(f"damaged: it is not well-formed XML ({error})", "Save it again.") from None
    except DefusedXmlException:
        raise BadPicture("it refers to files outside itself", "Save it again as a plain SVG.") from None
    return root


class _Shallow(TreeBuilder):
    """Builds the tree and refuses one that is nested too deep, before it is walked by anybody."""

    def __init__(self) -> None:
        super().__init__()
        self._depth = 0

    def start(self, tag: str, attrs: dict[str, str], /) -> Element:
        self._depth += 1
        if self._depth > DEEPEST:
            raise BadPicture(
                f"its groups are nested more than {DEEPEST} deep", "Save it again with flatter groups."
            )
        return super().start(tag, attrs)

    def end(self, tag: str, /) -> Element:
        self._depth -= 1
        return super().end(tag)


def _check_drawn(root: Element) -> None:
    """Refuse drawings whose `use` elements multiply into millions, or lead back to themselves."""
    named = {node.get("id"): node for node in root.iter() if node.get("id")}
    counted: dict[int, int] = {}

    def count(node: Element, above: frozenset[int]) -> int:
        if id(node) in counted:
            return counted[id(node)]
        if id(node) in above or len(above) > DEEPEST:
            raise BadPicture("its parts refer to themselves", "Save it again as a plain SVG.")
        inner = above | {id(node)}
        total = 1 + sum(count(child, inner) for child in node)
        if _local(node) == "use":
            target = named.get((node.get("href") or node.get("{http://www.w3.org/1999/xlink}href") or "")[1:])
            total += count(target, inner) if target is not None else 0
        if total > MOST_DRAWN:
            raise BadPicture(
                "its repeated parts add up to more than a million", "Save it again with fewer parts."
            )
        counted[id(node)] = total
        return total

    count(root, frozenset())


def _natural_size(root: Element) -> tuple[float, float]:
    """Width and height in CSS pixels, by SVG 1.1, 7.2: the attributes, else the viewBox."""
    box = _view_box(root)
    width, height = _length(root.get("width")), _length(root.get("height"))
    if box is None:
        return width or 100.0, height or 100.0
    if width is None and height is None:
        return box
    if width is None:
        return (height or 1.0) * box[0] / box[1], height or 1.0
    return width, height if height is not None else width * box[1] / box[0]


def _view_box(root: Element) -> tuple[float, float] | None:
    try:
        _, _, width, height = (
            float(part) for part in re.split(r"[\s,]+", (root.get("viewBox") or "").strip())
        )
    except ValueError:
        return None
    return (width, height) if width > 0 and height > 0 else None


def _length(text: str | None) -> float | None:
    """A length in CSS pixels; None for none, a percentage or a relative unit."""
    found = _LENGTH.fullmatch(text or "")
    if not found or found[2].lower() not in _UNITS:
        return None
    value = float(found[1]) * _UNITS[found[2].lower()]
    return value if value > 0 else None


def _good_resolution(size: tuple[float, float]) -> float:
    """The resolution at which the longest side has `GOOD_SIDE` pixels."""
    return round(CSS_DPI * GOOD_SIDE / max(size), 3)


def _as_text(data: bytes) -> str:
    for encoding in ("utf-8-sig", "utf-16"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _local(node: Element) -> str:
    return node.tag.rsplit("}", 1)[-1] if isinstance(node.tag, str) else ""
