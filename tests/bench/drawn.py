"""Drawings with a known truth for the clean-copy benchmark, from the Debian package openclipart-svg.

Each drawing is rendered in colour (its alpha is the true silhouette) and as a
line drawing: the same shapes with fills taken out and strokes black. Rendering
happens in a child process, because a broken drawing can take the renderer down.
"""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import cv2
import numpy as np
from numpy.typing import NDArray

SOURCE = Path("/usr/share/openclipart/svg")
DPI = 96
BARE = 16  # alpha up to which nothing is painted
MARGIN = 12  # pixels round a drawing
ICONS = ("buttons/", "computer/", "logos/", "shapes/", "signs_and_symbols/")  # folders of icons and signs
NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
LINE_STYLE = {
    "fill": "none",
    "stroke": "#000000",
    "stroke-opacity": "1",
    "opacity": "1",
    "stroke-linejoin": "round",
    "stroke-linecap": "round",
    "stroke-dasharray": "none",
    "filter": "none",
}
SHAPES = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"}
NOT_DRAWN = {"defs", "clipPath", "mask", "pattern", "marker", "symbol", "text", "image", "use", "metadata"}


def list_drawings(half: int, count: int, kept_apart: Path | None = None) -> list[Path]:
    """The first `count` drawings of one half (0 tuned on, 1 reported on), in an order fixed by their names.

    `kept_apart` names a JSON file of lists of drawings ("oc:folder/name.svg") that are never looked at.
    """
    apart = set()
    if kept_apart:
        apart = {name for part in json.loads(kept_apart.read_text()).values() for name in part}
    names = sorted(str(path.relative_to(SOURCE)) for path in SOURCE.rglob("*.svg"))
    names = [name for name in names if f"oc:{name}" not in apart]
    order = sorted(names, key=lambda name: hashlib.sha256(name.encode()).hexdigest())
    mine = [name for name in order if int(hashlib.sha256(name.encode()).hexdigest(), 16) % 2 == half]
    return [SOURCE / name for name in mine[:count]]


def render(path: Path, width: int, pen: float | None = None) -> NDArray[np.uint8] | None:
    """The drawing as uint8 (H, W, 4) RGBA; as black line `pen` pixels wide if given. None if it cannot be drawn."""
    command = [sys.executable, "-m", "tests.bench.drawn", str(path), str(width), str(pen or 0)]
    done = subprocess.run(command, capture_output=True, timeout=60, check=False)
    return _decoded(done.stdout)


def rasterise(text: str, width: int, pen: float | None = None) -> NDArray[np.uint8] | None:
    """As `render`, from the text of a drawing and in this process, which a broken drawing may end."""
    try:
        return _decoded(_png(text, width, pen))
    except (ValueError, ElementTree.ParseError):
        return None


def _png(text: str, width: int, pen: float | None) -> bytes:
    import resvg_py

    text = draw_as_line(text, pen, width) if pen else text
    return bytes(resvg_py.svg_to_bytes(svg_string=text, width=width, dpi=DPI))


def _decoded(png: bytes) -> NDArray[np.uint8] | None:
    picture = cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_UNCHANGED) if png else None
    if picture is None or picture.ndim != 3 or picture.shape[2] != 4:
        return None
    return np.ascontiguousarray(picture[..., [2, 1, 0, 3]]).astype(np.uint8)


def draw_contours(colour: NDArray[np.uint8], pen: float) -> NDArray[np.uint8]:
    """Alpha, uint8 (H, W), of the outline of a coloured drawing and of the edges between its colours."""
    alpha = colour[..., 3]
    height, width = alpha.shape
    canvas = np.zeros((height * 4, width * 4), np.uint8)
    inside = (alpha > 127).astype(np.uint8)
    outlines = cv2.findContours(np.pad(inside, 1), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)[0]
    for outline in outlines:
        cv2.polylines(canvas, [(outline.astype(np.int32) - 1) * 4 + 2], True, 255, max(1, round(pen * 4)))
    share = alpha[..., None].astype(np.float32) / 255
    shown = np.rint(colour[..., :3] * share + 255 * (1 - share)).astype(np.uint8)
    edges = np.zeros_like(inside)
    for channel in cv2.split(cv2.cvtColor(shown, cv2.COLOR_RGB2LAB)):
        edges |= cv2.Canny(cv2.GaussianBlur(channel, (0, 0), 1), 40, 90)
    edges &= cv2.erode(inside, np.ones((5, 5), np.uint8))
    for edge in cv2.findContours(edges, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)[0]:
        cv2.polylines(canvas, [edge.astype(np.int32) * 4 + 2], False, 255, max(1, round(pen * 2.8)))
    return np.asarray(cv2.resize(canvas, (width, height), interpolation=cv2.INTER_AREA), np.uint8)


def lines_of(
    colour: NDArray[np.uint8], stroked: NDArray[np.uint8] | None, pen: float
) -> Iterator[tuple[str, NDArray[np.uint8]]]:
    """Ways of making a line of a coloured drawing and its alpha: its stroked shapes, where these enclose its paint."""
    if stroked is not None:
        solid = fill_holes(colour[..., 3] > 127) | (stroked > 127)
        enclosed = fill_holes(stroked > 64)
        if (enclosed & solid).sum() > 0.97 * (enclosed | solid).sum():
            yield "svg", stroked
    yield "contour", draw_contours(colour, pen)


def with_margin(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """A picture, (H, W) or (H, W, C), with empty ground round it."""
    return np.pad(picture, ((MARGIN, MARGIN), (MARGIN, MARGIN)) + ((0, 0),) * (picture.ndim - 2))


def stroked_to(colour: NDArray[np.uint8], line: NDArray[np.uint8] | None) -> NDArray[np.uint8] | None:
    """The alpha of a drawing's stroked shapes, with the margin that its colours have; None where it does not fit."""
    if line is None or line.shape[0] != colour.shape[0] - 2 * MARGIN:
        return None
    return with_margin(line[..., 3])


def as_ink(line: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Black ink, uint8 (H, W, 4), of which a line is the alpha."""
    ink = np.zeros((*line.shape, 4), np.uint8)
    ink[..., 3] = line
    return ink


def paint_of(
    colour: NDArray[np.uint8],
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_]]:
    """Where a coloured drawing is painted at all, where what it encloses is bare, where paint is half transparent."""
    painted = colour[..., 3] > BARE
    return painted, fill_holes(painted) & ~painted, painted & (colour[..., 3] <= 127)


def fill_holes(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """A silhouette with its holes filled."""
    framed = np.pad(mask, 1).astype(np.uint8)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    return np.asarray(framed[1:-1, 1:-1] != 2)


def cut_gaps(alpha: NDArray[np.uint8], count: int, rng: np.random.Generator) -> NDArray[np.uint8]:
    """The line with round gaps of 0.6-1.8 % of the drawing's diagonal cut out of it."""
    gapped = alpha.copy()
    rows, columns = np.nonzero(alpha > 127)
    diagonal = float(np.hypot(np.ptp(rows), np.ptp(columns)))
    for k in rng.integers(0, len(rows), count):
        radius = max(2, round(float(rng.uniform(0.003, 0.009)) * diagonal))
        cv2.circle(gapped, (int(columns[k]), int(rows[k])), radius, 0, -1)
    return gapped


def draw_as_line(text: str, pen: float, width: int) -> str:
    """The SVG with fills removed and every shape stroked black, `pen` pixels wide at `width` pixels."""
    root = ElementTree.fromstring(text)
    _stroke(root, pen / _page_scale(root, width))
    return ElementTree.tostring(root, encoding="unicode")


def _page_scale(root: ElementTree.Element, width: int) -> float:
    box = [float(v) for v in re.findall(NUMBER, root.get("viewBox", ""))]
    if len(box) == 4 and box[2] > 0:
        return width / box[2]
    stated = re.findall(NUMBER, root.get("width", ""))
    return width / float(stated[0]) if stated and float(stated[0]) > 0 else 1.0


def _stroke(element: ElementTree.Element, pen: float) -> None:
    name = element.tag.rsplit("}", 1)[-1] if isinstance(element.tag, str) else ""
    pen /= _scale(element.get("transform", ""))
    if name in SHAPES:
        style = element.get("style", "")
        if "display:none" in style.replace(" ", "") or element.get("display") == "none":
            return
        for key in ("fill", "stroke", "stroke-width", "opacity", "filter", "class"):
            element.attrib.pop(key, None)
        wanted = {**LINE_STYLE, "stroke-width": f"{pen:.6f}"}
        element.set("style", ";".join(f"{key}:{value}" for key, value in wanted.items()))
    for child in list(element):
        tag = child.tag.rsplit("}", 1)[-1] if isinstance(child.tag, str) else ""
        if tag in {"text", "image", "use"}:
            element.remove(child)
        elif tag not in NOT_DRAWN:
            _stroke(child, pen)


def _scale(transform: str) -> float:
    """How much a transform enlarges, the square root of its determinant."""
    scale = 1.0
    for kind, inside in re.findall(r"(\w+)\s*\(([^)]*)\)", transform):
        values = [float(v) for v in re.findall(NUMBER, inside)]
        if kind == "matrix" and len(values) == 6:
            scale *= abs(values[0] * values[3] - values[1] * values[2]) ** 0.5
        elif kind == "scale" and values:
            scale *= abs(values[0] * values[-1]) ** 0.5
    return scale or 1.0


def _main() -> None:
    path, width, pen = Path(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3])
    text = path.read_text(encoding="utf-8", errors="replace")
    sys.stdout.buffer.write(_png(text, width, pen))


if __name__ == "__main__":
    _main()
