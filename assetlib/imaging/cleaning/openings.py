"""Openings of a drawing: enclosed paper that a backdrop should show through.

Every enclosed area is proposed. Whether it looks open is told by `lookthrough`, which sees the whole drawing, and
by what is measured here: a window or handle is held by body all round, a limb is parted from the outside by a line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from assetlib.imaging.cleaning.body import LINE_ALPHA, pen_weight, solid_line
from assetlib.imaging.cleaning.gaps import part_at_gaps
from assetlib.imaging.cleaning.grouping import grouped
from assetlib.imaging.cleaning.lookthrough import judge_areas
from assetlib.imaging.masks import window_around

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

FEATURES = 20
LEAST_PIXELS = 16
LEAST_SHARE = 0.0004  # share of the body; smaller areas are gaps in hatching
MOST_OPENINGS = 60  # the largest are kept: more cannot be numbered legibly
WORKING_SIDE = 700  # longest side, pixels, at which surroundings are measured
EMPTY_ALPHA, EMPTY_SHARE = 8, 0.01  # as for a transparent ground
PAINTED_SHARE = 0.25  # share of the body that must be solid paint for its holes to be meant
TONED_SHARE, TONED_PENALTY = 0.12, 2.0  # few drawings with much black were trained on; judged by eye
DARK_INK = 90  # level that no channel of black ink reaches
CUT_OUT_SCORE = 0.95
OPEN_FROM = 0.15  # one closed area in twenty-five scores higher, in tuning drawings held back from training
MOST_OPEN = 0.9  # share of a drawing's paper; were more of it open, nothing but line would stand there
NEARLY_OPEN = OPEN_FROM - 0.001
ALIKE_AREA, ALIKE_SHAPE = 2.2, 1.7  # factors by which gaps of one thing differ; by eye, on chairs and fences
IN_LINE, BESIDE = (
    0.03,
    1.5,
)  # of a side that edges of areas in one row are off, and sides that they are apart, at most
SEEN_AROUND = 1.6  # line weights beyond an area's own line that count as its surroundings
LINE_DARK = 0.9  # quantile of the ink's darkness that its lines have
RIM_REACH = 5  # pixels around an area in which its line is looked for
# Of the lines' darkness, what tone stays under, and of an area's rim, how much is tone where it is a highlight. By eye.
PALE_RIM, PALE_SHARE = 0.6, 0.5
NO_LINE_SCORE = 0.05
OPEN_COLOUR, CLOSED_COLOUR = (40, 120, 200), (150, 150, 150)


@dataclass(frozen=True, slots=True)
class Opening:
    """An enclosed paper area. `box` is x, y, width, height; `mask` bool (H, W); `score` 0-1, how likely open."""

    number: int
    box: tuple[int, int, int, int]
    mask: Mask
    is_open: bool
    score: float


def propose_openings(rgba: Pixels, ink: Pixels, body: Mask) -> tuple[Opening, ...]:
    """The enclosed paper areas of a drawing, the largest first, each with whether it looks open.

    Raises ModelBroken.
    """
    labels, features, wanted = measure_areas(ink, body)
    if not len(wanted):
        return ()
    if _is_cut_out(rgba, body):
        scores = np.full(len(wanted), CUT_OUT_SCORE, np.float32)
    else:
        toned = TONED_PENALTY * (features[:, 17] > TONED_SHARE)
        likely = judge_areas(ink[..., 3], body, labels, wanted, features) - toned
        evened = alike_together(likely, _boxes(labels, wanted))
        scores = np.asarray(1 / (1 + np.exp(-evened)), np.float32)
        sizes = np.exp(features[:, 0])
        if sizes[scores >= OPEN_FROM].sum() > MOST_OPEN * sizes.sum():
            scores = np.minimum(scores, NEARLY_OPEN)
    bare = body & (ink[..., 3] < LINE_ALPHA)
    factor = max(1, -(-max(body.shape) // WORKING_SIDE))
    dark = _darkness(ink)
    firm = float(np.quantile(dark[ink[..., 3] >= LINE_ALPHA], LINE_DARK))
    openings = []
    for number, (label, score) in enumerate(zip(wanted, scores, strict=True), start=1):
        mask = _at_full_size(labels == label, bare, factor)
        box = cv2.boundingRect(mask.astype(np.uint8))
        if not box[2]:
            continue
        if score < CUT_OUT_SCORE and _is_highlight(mask, box, dark, firm):
            score = np.minimum(score, np.float32(NO_LINE_SCORE))
        openings.append(Opening(number, box, mask, bool(score >= OPEN_FROM), round(float(score), 3)))
    return tuple(openings)


def _darkness(ink: Pixels) -> Floats:
    """How much light the ink takes from white, float32 (H, W), 0..1."""
    light = cv2.cvtColor(np.ascontiguousarray(ink[..., :3]), cv2.COLOR_RGB2GRAY).astype(np.float32) / 255
    return np.asarray((1 - light) * (ink[..., 3] / np.float32(255)), np.float32)


def _is_highlight(mask: Mask, box: Sequence[int], dark: Floats, firm: float) -> bool:
    """Whether what goes round an area is tone alone: paper was left white there, and nothing ends at it."""
    window = window_around(box, RIM_REACH)
    own = mask[window]
    reach = np.ones((2 * RIM_REACH + 1, 2 * RIM_REACH + 1), np.uint8)
    darkest = cv2.dilate(dark[window], reach)
    rim = own & (cv2.erode(own.astype(np.uint8), np.ones((3, 3), np.uint8)) == 0)
    return bool(rim.any()) and float((darkest[rim] < PALE_RIM * firm).mean()) > PALE_SHARE


def are_alike(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two boxes x, y, w, h are about as large and of one shape, as the gaps of one thing are."""
    areas = sorted((one[2] * one[3], other[2] * other[3]))
    shapes = sorted((one[2] / one[3], other[2] / other[3]))
    return areas[1] <= ALIKE_AREA * areas[0] and shapes[1] <= ALIKE_SHAPE * shapes[0]


def alike_together(likely: Floats, boxes: Sequence[Sequence[int]]) -> Floats:
    """The logits of areas, those of a row or column of like ones evened out: gaps of a chair are one thing."""
    numbers = np.array(
        grouped(len(boxes), lambda k, j: are_alike(boxes[k], boxes[j]) and in_line(boxes[k], boxes[j]))
    )
    evened = likely.copy()
    for number in np.unique(numbers):
        evened[numbers == number] = likely[numbers == number].mean()
    return evened


def in_line(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two boxes stand beside each other in one row or column, and end at the same edges of it.

    The slats of a chair reach over its posts, the gaps between them end there.
    """
    for along, across in ((0, 1), (1, 0)):
        off = max(
            abs(one[across] - other[across]),
            abs(one[across] + one[across + 2] - other[across] - other[across + 2]),
        )
        apart = max(one[along], other[along]) - min(
            one[along] + one[along + 2], other[along] + other[along + 2]
        )
        if off <= IN_LINE * one[across + 2] + 1 and apart <= BESIDE * max(one[along + 2], other[along + 2]):
            return True
    return False


def _boxes(labels: NDArray[np.int32], wanted: NDArray[np.int64]) -> list[tuple[int, ...]]:
    return [cv2.boundingRect((labels == label).astype(np.uint8)) for label in wanted]


def openings_overlay(rgba: Pixels, openings: Sequence[Opening]) -> Image.Image:
    """The drawing on white with every opening tinted and numbered: blue open, grey closed."""
    paper = Image.new("RGBA", (rgba.shape[1], rgba.shape[0]), "white")
    paper.alpha_composite(Image.fromarray(rgba, "RGBA"))
    picture = np.array(paper.convert("RGB"))
    for opening in openings:
        tint = np.array(OPEN_COLOUR if opening.is_open else CLOSED_COLOUR, np.float32)
        picture[opening.mask] = np.rint(0.5 * picture[opening.mask] + 0.5 * tint)
    drawn = Image.fromarray(picture)
    _write_numbers(drawn, openings)
    return drawn


def _write_numbers(picture: Image.Image, openings: Sequence[Opening]) -> None:
    pen = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=max(11.0, max(picture.size) / 50))
    for opening in openings:
        x, y, width, height = opening.box
        inner = np.pad(opening.mask[y : y + height, x : x + width], 1).astype(np.uint8)
        row, column = divmod(int(cv2.distanceTransform(inner, cv2.DIST_L2, 3).argmax()), width + 2)
        place, text = (x + column - 1, y + row - 1), str(opening.number)
        pen.rectangle(pen.textbbox(place, text, font=font, anchor="mm"), fill="white")
        pen.text(place, text, fill=OPEN_COLOUR if opening.is_open else "black", font=font, anchor="mm")


def _is_cut_out(rgba: Pixels, body: Mask) -> bool:
    """True for a drawing that stands on transparent ground with its white painted: its holes are meant."""
    empty = rgba[..., 3] <= EMPTY_ALPHA
    solid = cv2.erode((rgba[..., 3] > 250).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    solid &= rgba[..., :3].max(axis=2) > DARK_INK  # black alone may be a heavy line, white is left out of it
    return bool(empty.mean() > EMPTY_SHARE and body.any() and solid[body].mean() > PAINTED_SHARE)


def _at_full_size(area: Mask, bare: Mask, factor: int) -> Mask:
    """One area at the picture's own size, exact along its lines."""
    if factor == 1:
        return area
    x, y, width, height = cv2.boundingRect(area.astype(np.uint8))
    top, left = max(0, y - 1), max(0, x - 1)
    window = area[top : y + height + 1, left : x + width + 1].astype(np.uint8)
    grown = _enlarge(cv2.dilate(window, np.ones((3, 3), np.uint8)), factor)
    top, left = top * factor, left * factor
    here = bare[top : top + grown.shape[0], left : left + grown.shape[1]]
    near = grown[: here.shape[0], : here.shape[1]] & here
    _, labels = cv2.connectedComponents(near.astype(np.uint8), connectivity=4)
    core = _enlarge(window, factor)[: here.shape[0], : here.shape[1]]
    touched = np.unique(labels[core & near])
    mask = np.zeros_like(bare)
    mask[top : top + here.shape[0], left : left + here.shape[1]] = np.isin(labels, touched[touched > 0])
    return mask


def _enlarge(window: Pixels, factor: int) -> Mask:
    return np.repeat(np.repeat(window > 0, factor, axis=0), factor, axis=1)


def measure_areas(ink: Pixels, body: Mask) -> tuple[NDArray[np.int32], Floats, NDArray[np.int64]]:
    """Labels of enclosed areas (h, w) at the working scale, their features (N, F), their labels (N,)."""
    factor = max(1, -(-max(body.shape) // WORKING_SIDE))
    line = _thin(solid_line(ink[..., 3]), factor)
    inside = _majority(body, factor)
    pen = max(pen_weight(line), 1.0)
    labels = part_at_gaps(inside & ~line, line, pen)
    areas = np.bincount(labels.ravel()).astype(np.float32)
    areas[0] = 0
    whole = max(1.0, float(inside.sum()))
    wanted = np.flatnonzero(areas >= max(LEAST_PIXELS / factor**2, LEAST_SHARE * whole, 4))
    wanted = wanted[np.argsort(-areas[wanted])][:MOST_OPENINGS]
    outside = cv2.distanceTransform(np.pad(inside, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    shared = _describe_drawing(line, inside, pen, len(wanted), ink)
    rows = [[*_describe_area(labels, int(k), line, inside, outside, pen, whole), *shared] for k in wanted]
    return labels, np.array(rows, np.float32).reshape(len(rows), FEATURES), wanted


def _describe_drawing(line: Mask, inside: Mask, pen: float, count: int, ink: Pixels) -> list[float]:
    """Features that all areas of a drawing share."""
    whole = max(1.0, float(inside.sum()))
    filled = float((line & inside).sum()) / whole
    solid = cv2.erode(line.astype(np.uint8), np.ones((2 * int(pen) + 1,) * 2, np.uint8)).sum() / whole
    strong = ink[..., 3] > 128
    chroma = np.ptp(ink[..., :3].astype(np.int16), axis=2)[strong] if strong.any() else np.zeros(1)
    return [np.log1p(count), filled, float(solid), float((chroma > 40).mean()), pen / whole**0.5]


def _describe_area(
    labels: NDArray[np.int32],
    label: int,
    line: Mask,
    inside: Mask,
    outside: Floats,
    pen: float,
    whole: float,
) -> list[float]:
    """Features of one area: size, surroundings, distance from outside, shape, what stands in it, place."""
    whole_area = labels == label
    x, y, width, height = cv2.boundingRect(whole_area.astype(np.uint8))
    area = int(whole_area.sum())
    reach = int(np.ceil(SEEN_AROUND * pen)) + 2
    top, left = max(0, y - reach), max(0, x - reach)
    window = np.s_[top : y + height + reach, left : x + width + reach]
    own = labels[window] == label
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    filled, islands = _fill(own)
    around = (cv2.dilate(filled.astype(np.uint8), disc) > 0) & ~filled
    seen = max(1, int(around.sum()))
    others = labels[window][around & ~line[window] & inside[window]]
    counts = np.bincount(others) if others.size else np.zeros(1, np.int64)
    rim = outside[window][own & (cv2.erode(own.astype(np.uint8), np.ones((3, 3), np.uint8)) == 0)]
    contours = cv2.findContours(filled.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]
    contour = max(contours, key=len)
    hull = float(cv2.contourArea(cv2.convexHull(contour))) + 1
    length = float(cv2.arcLength(contour, True)) + 1
    side = float(np.sqrt(area))
    return [
        np.log(area / whole),
        np.log(side / pen),
        float((around & ~inside[window]).sum() / seen),
        float(counts.max() / max(1, others.size)),
        float((around & line[window]).sum() / seen),
        float((counts > 0.05 * seen).sum()),
        np.log1p(float(rim.min()) / pen),
        np.log1p(float(np.median(rim)) / pen),
        float(np.median(rim)) / side,
        float(rim.max()) / whole**0.5,
        min(1.2, float(filled.sum()) / hull),
        4 * np.pi * float(filled.sum()) / length**2,
        float(islands.sum()) / area,
        (y + height / 2) / labels.shape[0],
        np.log(width / height),
    ]


def _fill(own: Mask) -> tuple[Mask, Mask]:
    """An area with what stands in it, and what stands in it alone."""
    framed = np.pad(own, 1).astype(np.uint8)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    filled = framed[1:-1, 1:-1] != 2
    return filled, filled & ~own


def _thin(line: Mask, factor: int) -> Mask:
    if factor == 1:
        return line
    rows, columns = line.shape[0] // factor, line.shape[1] // factor
    return np.asarray(
        line[: rows * factor, : columns * factor].reshape(rows, factor, columns, factor).any(axis=(1, 3))
    )


def _majority(mask: Mask, factor: int) -> Mask:
    if factor == 1:
        return mask
    rows, columns = mask.shape[0] // factor, mask.shape[1] // factor
    cells = mask[: rows * factor, : columns * factor].reshape(rows, factor, columns, factor)
    return np.asarray(cells.mean(axis=(1, 3)) >= 0.5)
