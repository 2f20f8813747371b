"""Line drawings whose enclosed areas are known to be holes or paint: what the judge of openings is trained on.

`python -m tests.bench.opening_views collect DRAWINGS [--icons FOLDER] [--kept-apart FILE]` gathers the tuning half of
openclipart and the coloured sets of `SETS` into one file; `... draw DRAWINGS VIEWS` draws their lines and the scenes
of `opening_scenes`, and keeps what the judge sees of each, with the truth: half an hour on four cores. FOLDER is
`node_modules/@iconify-json` after `npm install` of the sets. Drawings whose bytes are the same as one of the report
half are left out, and so are those that FILE, JSON lists of names, keeps apart.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import lzma
import os
import pickle
import re
from collections.abc import Iterator
from concurrent.futures import as_completed
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from pebble import ProcessPool

from assetlib.imaging.cleaning.body import fill_body
from assetlib.imaging.cleaning.lookthrough import see_areas
from assetlib.imaging.cleaning.openings import measure_areas
from assetlib.vectors.training.collect import icon_svg
from tests.bench import drawn, panes
from tests.bench.opening_scenes import draw_scene

# Read from the `info` of each package; line sets and sets of one colour are no use, what they enclose is bare.
SETS = {
    "noto": "Apache-2.0", "noto-v1": "Apache-2.0", "fxemoji": "Apache-2.0", "icon-park": "Apache-2.0",
    "fluent-emoji-flat": "MIT", "flat-color-icons": "MIT", "fluent-color": "MIT", "meteocons": "MIT",
    "twemoji": "CC-BY-4.0", "emojione": "CC-BY-4.0", "streamline-emojis": "CC-BY-4.0", "streamline-color": "CC-BY-4.0",
    "streamline-flex-color": "CC-BY-4.0", "streamline-plump-color": "CC-BY-4.0",
    "streamline-kameleon-color": "CC-BY-4.0", "streamline-stickies-color": "CC-BY-4.0",
    "streamline-ultimate-color": "CC-BY-4.0", "streamline-freehand-color": "CC-BY-4.0",
}  # fmt: skip
LEFT_OUT = re.compile(
    r"skin-tone|^flag|-flag|(^|-)(light|medium-light|medium|medium-dark|dark)$|logo|brand|keycap|arrow|chevron"
    r"|letter-|-(16|20|24)(-|$)|-flat$|-duo$"
)
GLAZED = re.compile(
    r"^transportation/|^buildings/|car|bus|train|truck|house|home|window|building|plane|taxi|ambulance|tram|van|boat"
    r"|ship|shop|school|hospital|hotel|railway|vehicle|office|bank|store|rocket|helicopter|tractor|locomotive|glass"
)
# what has glass that was not looked at, and what is looked at elsewhere, is not shown
VEHICLE = re.compile(
    r"^transportation/(vehicles/)?(?!road|aiga|boat)|(^|[-/])(car|cars|taxi|bus|minibus|van|truck|lorry|tram|trolleybus|train"
    r"|metro|railway|locomotive|ambulance|automobile|vehicle|jeep|suv|tractor|helicopter|camper|caravan|pickup|autobus"
    r"|monorail|tramway|rickshaw|tuk|fire-engine|firetruck|excavator|bulldozer|forklift|limousine|delivery|transport)([-.]|$)"
)
METADATA = re.compile(r"<metadata.*?</metadata>", re.S)
PENS = (1.5, 2.2, 3.0, 4.0, 6.0, 8.0)  # pixels, in drawings of one of these widths:
WIDTHS = (300, 500, 700)
ICON_WIDTH = 360
GAPS = 4  # cut out of some lines
SCENES = 9000
SCENE_GAPS = 0.15  # share of scenes with gaps
THUMB = 72  # pixels of the square that the colours are kept in
STALLED = 40  # seconds


@dataclass(frozen=True, slots=True)
class View:
    """One line drawing of a coloured one, pictures as WebP: `line` and `places` as `see_areas` gives them, `colour`.

    Per area, the largest first: `measured`, shares of `hole` and of half-transparent `glass`, `size` as a share of
    the paint, and mean colour on white `tint`, RGB 0-255.
    """

    source: str
    name: str
    way: str
    line: bytes
    places: bytes
    colour: bytes
    measured: NDArray[np.float32]
    hole: NDArray[np.float32]
    glass: NDArray[np.float32]
    size: NDArray[np.float32]
    tint: NDArray[np.float32]


def collect(file: Path, icons: Path | None, kept_apart: Path | None) -> None:
    """Write source, name and SVG of every drawing, JSON lines in xz."""
    with lzma.open(file, "wt", preset=9, encoding="utf-8") as out:
        for name, svg in _drawings(kept_apart):
            out.write(json.dumps(["oc", name, svg]) + "\n")
        for source in SETS if icons else ():
            for name, svg in _icons(icons / source):  # type: ignore[operator]
                out.write(json.dumps([source, name, svg]) + "\n")


def draw(drawings: Path, file: Path, every: int, workers: int) -> None:
    """Keep views of every drawing, or of one in `every`."""
    with lzma.open(drawings, "rt", encoding="utf-8") as lines:
        wanted = [json.loads(line) for line in lines][::every]
    # the large ones first, so that no process is left to end alone
    wanted.sort(key=lambda one: -len(one[2]))
    views: list[View] = []
    with ProcessPool(max_workers=workers, max_tasks=500) as pool:
        asked = [pool.schedule(views_of, args=one, timeout=STALLED) for one in wanted]
        asked += [pool.schedule(views_of_scene, args=(k,), timeout=STALLED) for k in range(SCENES // every)]
        for k, answer in enumerate(as_completed(asked)):
            if answer.exception() is None:  # a broken drawing takes its process down
                views += answer.result()
            if k % 1000 == 0:
                print(k, "of", len(asked), len(views), flush=True)
    views.sort(key=lambda view: (view.source, view.name, view.way))
    file.write_bytes(pickle.dumps(views))


def _drawings(kept_apart: Path | None) -> Iterator[tuple[str, str]]:
    """Names and SVG of the tuning half that no other file repeats, vehicles left out."""
    seen = {hashlib.sha256(path.read_bytes()).digest() for path in drawn.list_drawings(1, 100_000)}
    for path in drawn.list_drawings(0, 100_000, kept_apart):
        digest, name = hashlib.sha256(path.read_bytes()).digest(), path.relative_to(drawn.SOURCE).as_posix()
        if digest not in seen and path.stat().st_size < 400_000 and not VEHICLE.search(name):
            seen.add(digest)
            yield name, METADATA.sub("", path.read_text(encoding="utf-8", errors="replace"))


def _icons(folder: Path) -> Iterator[tuple[str, str]]:
    """Names and SVG of a set's drawings; flags, doubles in other skin, vehicles not looked at left out."""
    stored = json.loads((folder / "icons.json").read_text(encoding="utf-8"))
    for name, icon in stored["icons"].items():
        unseen = VEHICLE.search(name) and not panes.is_glazed(folder.name, name)
        if LEFT_OUT.search(name) or icon.get("hidden") or unseen:
            continue
        yield name, icon_svg(icon, stored)


def views_of(source: str, name: str, svg: str) -> list[View]:
    """Both ways of making a line, in a random pen; again, some with gaps, where there are holes or it is no icon."""
    cv2.setNumThreads(1)
    rng = np.random.default_rng(int.from_bytes(hashlib.sha256(f"{source}:{name}".encode()).digest()[:8]))
    views: list[View] = []
    is_glazed = panes.is_glazed(source, name)
    for turn in range(4):
        width = int(rng.choice(WIDTHS)) if source == "oc" else ICON_WIDTH
        pen = max(1.0, float(rng.choice(PENS)) * width / int(rng.choice((300, 500, 700, 900))))
        gaps = GAPS if turn % 2 and rng.random() < 0.6 else 0
        views += _one_turn(source, name, svg, width, pen, gaps, rng)
        has_holes = any((view.hole > 0.6).any() for view in views)
        if not has_holes and (turn == 1 or source != "oc"):
            break
        if source != "oc" and turn == 1 and not is_glazed:
            break
    return views


def views_of_scene(number: int) -> list[View]:
    """A scene drawn by chance, in its own line."""
    cv2.setNumThreads(1)
    rng = np.random.default_rng(number)
    name, colour, line = draw_scene(number, int(rng.choice(WIDTHS)))
    colour, line = drawn.with_margin(colour), drawn.with_margin(line)
    if rng.random() < SCENE_GAPS:
        line = drawn.cut_gaps(line, GAPS, rng)
    painted, bare, glass = drawn.paint_of(colour)
    if painted.sum() <= 1500:
        return []
    view = _view("scene", f"{name}-{number}", "scene", colour, line, bare, glass)
    return [view] if view is not None else []


def _one_turn(
    source: str, name: str, svg: str, width: int, pen: float, gaps: int, rng: np.random.Generator
) -> list[View]:
    colour = drawn.rasterise(svg, width)
    if colour is None or max(colour.shape) > 1400:
        return []
    colour = drawn.with_margin(colour)
    solid = colour[..., 3] > 127
    if not 1500 < solid.sum() < 0.92 * solid.size or drawn.fill_holes(solid).sum() > 1.35 * solid.sum():
        return []
    stroked = drawn.stroked_to(colour, drawn.rasterise(svg, width, pen))
    made = drawn.lines_of(colour, stroked, pen)
    cut = [(way, drawn.cut_gaps(alpha, gaps, rng) if gaps else alpha) for way, alpha in made]
    _, bare, glass = drawn.paint_of(colour)
    if panes.is_glazed(source, name):
        bare |= panes.glass_of(source, colour)
    views = [_view(source, name, way, colour, alpha, bare, glass) for way, alpha in cut]
    return [view for view in views if view is not None]


def _view(
    source: str,
    name: str,
    way: str,
    colour: NDArray[np.uint8],
    line: NDArray[np.uint8],
    bare: NDArray[np.bool_],
    glass: NDArray[np.bool_],
) -> View | None:
    ink = drawn.as_ink(line)
    body = fill_body(ink)
    labels, measured, wanted = measure_areas(ink, body)
    if not len(wanted):
        return None
    share = colour[..., 3:].astype(np.float32) / 255
    shown = colour[..., :3] * share + 255 * (1 - share)
    total = _sums(np.ones(bare.shape, np.float32), labels)[wanted]
    hole, pane = (_sums(mask.astype(np.float32), labels)[wanted] / total for mask in (bare, glass))
    tint = np.stack([_sums(shown[..., c], labels)[wanted] / total for c in range(3)], axis=1)
    size = total / _sums((colour[..., 3] > drawn.BARE).astype(np.float32), labels).sum()
    seen, places, fitted = see_areas(line, body, labels, wanted, shown)
    return View(
        source,
        name,
        way,
        _webp(seen // 8 * 8, None),
        _webp(places, None),
        _webp(cv2.resize(fitted, (THUMB, THUMB), interpolation=cv2.INTER_AREA), 80),
        measured,
        hole.astype(np.float32),
        pane.astype(np.float32),
        size.astype(np.float32),
        tint.astype(np.float32),
    )


def _webp(picture: NDArray[np.uint8], quality: int | None) -> bytes:
    """WebP, lossless without a quality."""
    import io

    from PIL import Image

    held = io.BytesIO()
    shown = Image.fromarray(picture if picture.ndim == 3 else np.repeat(picture[..., None], 3, axis=2))
    shown.save(held, "WEBP", lossless=quality is None, quality=quality or 40, method=3, exact=True)
    return held.getvalue()


def _sums(values: NDArray[np.float32], labels: NDArray[np.int32]) -> NDArray[np.float64]:
    """The sum of values in every labelled area, in pixels of the labels."""
    share = cv2.resize(values, labels.shape[::-1], interpolation=cv2.INTER_AREA)
    return np.bincount(labels.ravel(), weights=share.ravel(), minlength=int(labels.max()) + 1)


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("what", choices=["collect", "draw"])
    options.add_argument("drawings", type=Path)
    options.add_argument("views", type=Path, nargs="?")
    options.add_argument("--icons", type=Path)
    options.add_argument("--kept-apart", type=Path, help="JSON lists of drawings never to look at")
    options.add_argument("--every", type=int, default=1, help="one drawing in so many, for a trial")
    chosen = options.parse_args()
    if chosen.what == "collect":
        collect(chosen.drawings, chosen.icons, chosen.kept_apart)
    else:
        draw(chosen.drawings, chosen.views, chosen.every, os.cpu_count() or 1)


if __name__ == "__main__":
    # by its name, so that what is pickled can be read by others
    from tests.bench import opening_views

    opening_views.main()
