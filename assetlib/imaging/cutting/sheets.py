"""Cutting a sheet: the drawings on a page, their boxes, masks and captions, in reading order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting import numbering
from assetlib.imaging.cutting.dust import find_dust, is_dust
from assetlib.imaging.cutting.frames import find_frames
from assetlib.imaging.cutting.furniture import find_furniture
from assetlib.imaging.cutting.layout import PageFacts, Seen, page_facts, see_page
from assetlib.imaging.cutting.numbering import Gap, Maker
from assetlib.imaging.cutting.paper import Ink, find_ink
from assetlib.imaging.cutting.pieces import Parts, box_of, find_parts, without
from assetlib.imaging.cutting.placing import (
    Box,
    Owners,
    arrangement,
    match_captions,
    outline,
    reading_order,
    stand_apart,
)
from assetlib.imaging.cutting.sheetness import sheetness
from assetlib.imaging.cutting.strays import find_stray_parts, find_strays

__all__ = ["Box", "Cut", "CutPiece", "CutSettings", "cut", "judge_sheet", "tell_sheet"]

CRUMB = 0.1  # of a piece's ink: less than that from a neighbour does not name it after the neighbour
JUDGED_SIDE = 700  # pixels of the longer side that a picture is judged at
DOUBTFUL = (0.02, 0.9)  # likenesses between which it is told by what cutting the picture would give
SEVERAL_FROM = 0.2  # likeness below which what stands apart may be the parts of one drawing all the same
SURELY_SEVERAL = 0.9  # likeness of what is told as several, and stands apart


@dataclass(frozen=True, slots=True)
class CutSettings:
    """Corrections to a cut; `join`, `split` and `drop` hold numbers of pieces.

    The pieces of the uncorrected cut are numbered in reading order; every piece that a correction makes takes
    the next number after these, in the order in which the corrections were made, and keeps it however many follow.
    `gap` is the widest paper, in pixels of the picture, inside one element; `boxes` are x, y, w, h
    whose ink is made an element as it stands. All are in pixels of the page that is cut: the flattened one, where
    the picture is a photograph.
    """

    gap: float | None = None
    join: tuple[tuple[int, ...], ...] = ()
    split: tuple[int, ...] = ()
    drop: tuple[int, ...] = ()
    boxes: tuple[Box, ...] = ()
    made: tuple[Maker, ...] = ()
    """Gaps, splits and boxes as they were made one after the other, gaps that no longer hold with them: a piece keeps
    its number. A gap that it does not hold comes before all, splits and then boxes after."""
    as_it_is: bool = False
    """Whether the picture is cut as it stands, without looking for a page in it, print on its paper or soil."""

    def makers(self) -> tuple[Maker, ...]:
        """What gives pieces their numbers, in that order."""
        there: tuple[Maker, ...] = (*self.split, *self.boxes)
        first = (Gap(self.gap),) if self.gap is not None and Gap(self.gap) not in self.made else ()
        made = (maker for maker in self.made if maker in there or isinstance(maker, Gap))
        return tuple(dict.fromkeys((*first, *made, *there)))


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One element: its box x, y, w, h of visible ink, right and bottom exclusive, in pixels of the picture.

    `mask` (h, w): its ink and all that it encloses, without its neighbours' ink.
    """

    order: int
    box: Box
    mask: NDArray[np.bool_]
    caption_box: Box | None
    numbers: tuple[int, ...] = ()
    """Which pieces its ink comes from: what corrections are named by. A piece belongs to one element alone."""
    owner: int = 0
    """Its number on the map that it was made from."""


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
    missing: tuple[int, ...] = ()
    """Numbers in the corrections that no piece has."""
    empty: tuple[Box, ...] = ()
    """Boxes in the corrections that hold no ink."""
    whole: tuple[int, ...] = ()
    """Numbers that were to be split, and that nothing parts."""


def cut(rgba: NDArray[np.uint8], settings: CutSettings = CutSettings()) -> Cut:
    """The drawings of a page, straight alpha uint8 (H, W, 4); no pieces for an empty page."""
    ink = find_ink(rgba, judged=not settings.as_it_is)
    parts = _clean_parts(ink)
    seen = _see(parts, ink)
    automatic = _owners(seen.parts, seen.groups)
    captions = [_full_size(line.box, parts.step, rgba.shape) for line in seen.lines]
    pieces = _pieces(automatic, ink, parts.step, captions)
    missing: tuple[int, ...] = ()
    empty: tuple[Box, ...] = ()
    whole: tuple[int, ...] = ()
    if replace(settings, as_it_is=False) != CutSettings():
        automatic = _renumbered(automatic, pieces)
        empty = tuple(box for box in settings.boxes if not _holds_ink(box, parts))
        numbered = numbering.numbered(parts, automatic, partial(_by_gap, parts), settings)
        missing = tuple(sorted(_named(settings) - numbered.known))
        whole = tuple(sorted({*settings.split} & numbered.known - {*numbered.parted}))
        pieces = _pieces(numbered.owned, ink, parts.step, captions, numbered.pieces)
    size = (rgba.shape[1], rgba.shape[0])
    boxes = [piece.box for piece in pieces]
    kind = "empty" if not pieces else "frames" if seen.framed else arrangement(boxes, size[0])
    return Cut(size, pieces, kind, sheetness(*page_facts(parts, seen)), missing, empty, whole)


def tell_sheet(rgba: NDArray[np.uint8], reduced: NDArray[np.uint8]) -> float:
    """How surely a flat page is a sheet, 0..1: judged on a reduced copy, where in doubt by what cutting it gives."""
    seen = judge_sheet(reduced)
    if not DOUBTFUL[0] < seen < DOUBTFUL[1]:
        return seen
    made = cut(rgba)
    if made.is_sheet >= SEVERAL_FROM and stand_apart([piece.box for piece in made.pieces]):
        return max(made.is_sheet, SURELY_SEVERAL)
    return made.is_sheet


def judge_sheet(rgba: NDArray[np.uint8]) -> float:
    """How surely a picture is a sheet of several drawings, 0..1, judged on a reduced copy."""
    parts, ink = _reduced_parts(rgba)
    # one part is one drawing, unless it is the ruling of several panels: most pictures end here
    if parts.count == 0 or (parts.count == 1 and not find_frames(parts)):
        return 0.0
    return sheetness(*page_facts(parts, _see(parts, ink)))


def reduced_facts(rgba: NDArray[np.uint8]) -> PageFacts:
    """What `sheetness` asks, of a copy at most 700 px long."""
    parts, ink = _reduced_parts(rgba)
    return page_facts(parts, _see(parts, ink))


def full_facts(rgba: NDArray[np.uint8]) -> PageFacts:
    """The same of the page as it is."""
    ink = find_ink(rgba)
    parts = _clean_parts(ink)
    return page_facts(parts, _see(parts, ink))


def _see(parts: Parts, ink: Ink) -> Seen:
    """What is made out on a page; on a photographed or scanned one crumbs and strays are no drawing."""
    seen = see_page(parts, None)
    if ink.flat:
        return seen
    groups = [group for group in seen.groups if not is_dust(seen.parts, group)]
    if ink.marks is not None:
        gone = find_strays(seen.parts, groups, ink.marks)
        groups = [group for group, stray in zip(groups, gone, strict=True) if not stray]
    return replace(seen, groups=groups)


def _reduced_parts(rgba: NDArray[np.uint8]) -> tuple[Parts, Ink]:
    """The parts of a copy at most 700 px long, without furniture, and its ink."""
    scale = JUDGED_SIDE / max(rgba.shape[:2])
    if scale < 1:
        size = (max(1, round(rgba.shape[1] * scale)), max(1, round(rgba.shape[0] * scale)))
        rgba = np.asarray(cv2.resize(rgba, size, interpolation=cv2.INTER_AREA), np.uint8)
    ink = find_ink(rgba)
    return _clean_parts(ink), ink


def _clean_parts(ink: Ink) -> Parts:
    """The parts of some ink without furniture, and without dust where it was photographed or scanned."""
    parts = find_parts(ink.mask, ink.rgb)
    parts = without(parts, find_furniture(parts))
    if ink.flat:
        return parts
    parts = without(parts, find_dust(parts))
    return parts if ink.marks is None else without(parts, find_stray_parts(parts, ink.marks))


def _owners(parts: Parts, groups: list[list[int]]) -> Owners:
    """Which element owns each working pixel, 1.. in reading order, 0 for paper and what is no element."""
    boxes = [box_of(parts, group) for group in groups]
    owner = np.zeros(parts.count + 1, np.int32)
    for number, k in enumerate(reading_order(boxes), 1):
        owner[np.array(groups[k]) + 1] = number
    return np.asarray(owner[parts.labels], np.int32)


def _by_gap(parts: Parts, gap: Gap) -> Owners:
    """Which element owns each working pixel where no paper wider than this stands inside one."""
    return _owners(parts, see_page(parts, gap.widest / parts.step).groups)


def _full_size(corners: tuple[int, int, int, int], step: int, shape: tuple[int, ...]) -> Box:
    x0, y0, x1, y1 = (corner * step for corner in corners)
    return (x0, y0, min(x1, shape[1]) - x0, min(y1, shape[0]) - y0)


def _named(settings: CutSettings) -> set[int]:
    return {*settings.split, *settings.drop, *(number for group in settings.join for number in group)}


def _holds_ink(box: Box, parts: Parts) -> bool:
    return bool((parts.labels[numbering.rows_and_columns(box, parts.step)] > 0).any())


def _pieces(
    owned: Owners, ink: Ink, step: int, captions: list[Box], numbered: Owners | None = None
) -> tuple[CutPiece, ...]:
    """The elements in reading order; `numbered` is the map of numbered pieces, where they are others."""
    found = []
    for number, (x0, y0, x1, y1) in _extents(owned).items():
        piece = outline(owned, number, (x0, y0, x1 - x0, y1 - y0), ink.mask, step)
        if piece is not None:
            found.append((number, piece))
    boxes = [box for _, (box, _) in found]
    matched = match_captions(captions, boxes, max(ink.mask.shape))
    pieces = []
    for place, k in enumerate(reading_order(boxes), 1):
        number, (box, mask) = found[k]
        numbers = (place,) if numbered is None else _came_from(owned == number, numbered)
        pieces.append(CutPiece(place, box, mask, matched[k], numbers, number))
    return tuple(pieces)


def _came_from(inked: NDArray[np.bool_], numbered: Owners) -> tuple[int, ...]:
    """The numbers of the pieces that a tenth or more of some ink belongs to."""
    counted = np.bincount(numbered[inked])
    counted[:1] = 0
    return tuple(np.flatnonzero(counted >= max(1.0, CRUMB * counted.sum())).tolist())


def _renumbered(automatic: Owners, pieces: tuple[CutPiece, ...]) -> Owners:
    """The map by the numbers that the pieces are shown under, which follow their exact boxes."""
    order = np.zeros(int(automatic.max()) + 1, np.int32)
    for piece in pieces:
        order[piece.owner] = piece.order
    return np.asarray(order[automatic], np.int32)


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
