"""Cutting a sheet: the drawings on a page, their boxes, masks and captions, in reading order."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging import corrections
from assetlib.imaging.captions import Line, find_captions
from assetlib.imaging.frames import Frame, find_frames
from assetlib.imaging.furniture import find_furniture
from assetlib.imaging.grouping import LEAST_SIZE, group_parts
from assetlib.imaging.paper import Ink, find_ink
from assetlib.imaging.pieces import Parts, find_parts, without
from assetlib.imaging.placing import Box, Owners, arrangement, match_captions, outline, reading_order
from assetlib.imaging.sheetness import sheetness

__all__ = ["Box", "Cut", "CutPiece", "CutSettings", "cut", "judge_sheet"]

FILLED_BY_ART = 0.04  # share of a frame's inside that is inked by what the frame is part of
PageFacts = tuple[list[Box], tuple[int, int], float, float, int, int]
JUDGED_SIDE = 700  # pixels of the longer side that a picture is judged at


@dataclass(frozen=True, slots=True)
class CutSettings:
    """Corrections to a cut; `join`, `split` and `drop` hold numbers of the uncorrected cut.

    `gap` is the widest paper, in pixels of the picture, inside one element; `boxes` are x, y, w, h
    whose ink is made an element as it stands.
    """

    gap: float | None = None
    join: tuple[tuple[int, ...], ...] = ()
    split: tuple[int, ...] = ()
    drop: tuple[int, ...] = ()
    boxes: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One element: its box x, y, w, h of visible ink, right and bottom exclusive, in pixels of the picture.

    `mask` (h, w): its ink and all that it encloses, without its neighbours' ink.
    """

    order: int
    box: Box
    mask: NDArray[np.bool_]
    caption_box: Box | None


@dataclass(frozen=True, slots=True)
class Cut:
    """A picture of `size` (width, height) in pieces.

    `kind` is 'empty', 'single', 'frames', 'grid' or 'scatter'; `is_sheet` 0..1 tells how surely it
    is several drawings.
    """

    size: tuple[int, int]
    pieces: tuple[CutPiece, ...]
    kind: str
    is_sheet: float


@dataclass(frozen=True, slots=True)
class _Seen:
    """What was made out on a page: the groups of parts that are elements, and the lettering."""

    groups: list[list[int]]
    lines: list[Line]
    framed: bool
    score: float
    several: float


def cut(rgba: NDArray[np.uint8], settings: CutSettings = CutSettings()) -> Cut:
    """The drawings of a page, straight alpha uint8 (H, W, 4); no pieces for an empty page."""
    ink = find_ink(rgba)
    parts = find_parts(ink.mask, ink.rgb)
    parts = without(parts, find_furniture(parts))
    seen = _see(parts, None)
    owned = _owners(parts, seen.groups)
    if settings != CutSettings():
        owned = _corrected(parts, owned, settings)
    captions = [_full_size(line.box, parts.step, rgba.shape) for line in seen.lines]
    pieces = _pieces(owned, ink, parts.step, captions)
    size = (rgba.shape[1], rgba.shape[0])
    boxes = [piece.box for piece in pieces]
    kind = "empty" if not pieces else "frames" if seen.framed else arrangement(boxes, size[0])
    return Cut(size, pieces, kind, sheetness(*_page_facts(parts, seen)))


def judge_sheet(rgba: NDArray[np.uint8]) -> float:
    """How surely a picture is a sheet of several drawings, 0..1, judged on a reduced copy."""
    return sheetness(*reduced_facts(rgba))


def reduced_facts(rgba: NDArray[np.uint8]) -> PageFacts:
    """What `sheetness` asks, of a copy at most 700 px long."""
    scale = JUDGED_SIDE / max(rgba.shape[:2])
    if scale < 1:
        size = (max(1, round(rgba.shape[1] * scale)), max(1, round(rgba.shape[0] * scale)))
        rgba = np.asarray(cv2.resize(rgba, size, interpolation=cv2.INTER_AREA), np.uint8)
    ink = find_ink(rgba)
    parts = find_parts(ink.mask, ink.rgb)
    parts = without(parts, find_furniture(parts))
    return _page_facts(parts, _see(parts, None))


def _page_facts(parts: Parts, seen: _Seen) -> PageFacts:
    """What `sheetness` asks of a page."""
    boxes = [_box_of(parts, group) for group in seen.groups]
    height, width = parts.labels.shape
    return boxes, (width, height), seen.several, seen.score, len(seen.lines), parts.count


def _see(parts: Parts, gap: float | None) -> _Seen:
    """Elements and lettering of a page; with `gap` (working pixels) that alone decides what is one."""
    if parts.count == 0:
        return _Seen([], [], False, 0.0, 0.0)
    frames = find_frames(parts)
    if frames and gap is None:
        groups = _sizeable(parts, _framed(parts, frames))
        rest = np.ones(parts.count, bool)
        rest[[part for group in groups for part in group] + [frame.part for frame in frames]] = False
        lines = [line for line in find_captions(parts) if rest[list(line.parts)].all()]
        return _Seen(groups, lines, True, 1.0, 1.0)
    lines = find_captions(parts)
    lettered = np.zeros(parts.count, bool)
    for line in lines:
        lettered[list(line.parts)] = True
    chosen = np.flatnonzero(~lettered)
    grouping = group_parts(without(parts, lettered), gap)
    groups = _sizeable(parts, [chosen[group].tolist() for group in grouping.elements])
    return _Seen(groups, lines, False, grouping.score, grouping.several)


def _framed(parts: Parts, frames: list[Frame]) -> list[list[int]]:
    """The parts inside each frame; a panel whose art runs to its edges is taken whole."""
    centres = parts.boxes[:, :2] + parts.boxes[:, 2:] / 2
    ruled = {frame.part for frame in frames}
    groups = []
    for frame in frames:
        x0, y0, x1, y1 = frame.inner
        inside = (centres[:, 0] > x0) & (centres[:, 0] < x1) & (centres[:, 1] > y0) & (centres[:, 1] < y1)
        own = [part for part in np.flatnonzero(inside).tolist() if part not in ruled]
        filled = float((parts.labels[y0:y1, x0:x1] == frame.part + 1).mean()) > FILLED_BY_ART
        groups.append([frame.part, *own] if filled else own)
    return [group for group in groups if group]


def _sizeable(parts: Parts, groups: list[list[int]]) -> list[list[int]]:
    least = LEAST_SIZE * max(parts.labels.shape)
    return [group for group in groups if _extent(parts, group) >= least]


def _extent(parts: Parts, group: list[int]) -> int:
    return max(_box_of(parts, group)[2:])


def _box_of(parts: Parts, group: list[int]) -> Box:
    low = parts.boxes[group, :2].min(axis=0)
    high = (parts.boxes[group, :2] + parts.boxes[group, 2:]).max(axis=0)
    return (int(low[0]), int(low[1]), int(high[0] - low[0]), int(high[1] - low[1]))


def _owners(parts: Parts, groups: list[list[int]]) -> Owners:
    """Which element owns each working pixel, 1.. in reading order, 0 for paper and what is no element."""
    boxes = [_box_of(parts, group) for group in groups]
    owner = np.zeros(parts.count + 1, np.int32)
    for number, k in enumerate(reading_order(boxes), 1):
        owner[np.array(groups[k]) + 1] = number
    return np.asarray(owner[parts.labels], np.int32)


def _corrected(parts: Parts, automatic: Owners, settings: CutSettings) -> Owners:
    owned = automatic
    if settings.gap is not None:
        owned = _owners(parts, _see(parts, settings.gap / parts.step).groups)
    owned = corrections.join(
        owned, [np.isin(automatic, numbers) & (automatic > 0) for numbers in settings.join]
    )
    for number in settings.split:
        owned = corrections.split(owned, (automatic == number) & (automatic > 0))
    for number in settings.drop:
        owned = corrections.drop(owned, (automatic == number) & (automatic > 0))
    ink = np.where(parts.labels > 0, 255, 0).astype(np.uint8)
    for x, y, w, h in settings.boxes:
        step = parts.step
        owned = corrections.take_box(owned, ink, (x // step, y // step, -(-w // step), -(-h // step)))
    return owned


def _full_size(corners: tuple[int, int, int, int], step: int, shape: tuple[int, ...]) -> Box:
    x0, y0, x1, y1 = (corner * step for corner in corners)
    return (x0, y0, min(x1, shape[1]) - x0, min(y1, shape[0]) - y0)


def _pieces(owned: Owners, ink: Ink, step: int, captions: list[Box]) -> tuple[CutPiece, ...]:
    found = []
    for number, (x0, y0, x1, y1) in _extents(owned).items():
        piece = outline(owned, number, (x0, y0, x1 - x0, y1 - y0), ink.mask, step)
        if piece is not None:
            found.append(piece)
    boxes = [box for box, _ in found]
    matched = match_captions(captions, boxes, max(ink.mask.shape))
    order = reading_order(boxes)
    return tuple(CutPiece(place, *found[k], matched[k]) for place, k in enumerate(order, 1))


def _extents(owned: Owners) -> dict[int, tuple[int, int, int, int]]:
    """x0, y0, x1, y1 of every owner's ink in the map."""
    ys, xs = np.nonzero(owned)
    numbers = owned[ys, xs]
    total = int(owned.max()) + 1
    low = np.full((total, 2), max(owned.shape))
    high = np.zeros((total, 2), int)
    for axis, values in ((0, xs), (1, ys)):
        np.minimum.at(low[:, axis], numbers, values)
        np.maximum.at(high[:, axis], numbers, values + 1)
    return {
        n: (int(low[n, 0]), int(low[n, 1]), int(high[n, 0]), int(high[n, 1]))
        for n in np.unique(numbers).tolist()
    }
