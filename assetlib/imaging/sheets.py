"""Cutting a sheet: the drawings on a page, their boxes, masks and captions, in reading order."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.captions import Line, find_captions
from assetlib.imaging.frames import Frame, find_frames
from assetlib.imaging.furniture import find_furniture
from assetlib.imaging.grouping import LEAST_SIZE, group_parts, members
from assetlib.imaging.paper import find_ink
from assetlib.imaging.pieces import Parts, find_parts, without

Box = tuple[int, int, int, int]

JUDGED_SIDE = 700  # pixels of the longer side that a picture is judged at
FILLS_PANEL = 0.96  # of the panel's width or height: the art runs to its edges


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
    """A picture of `size` (width, height) in pieces; `is_sheet` 0..1 tells how surely it is several drawings."""

    size: tuple[int, int]
    pieces: tuple[CutPiece, ...]
    kind: str
    is_sheet: float


def cut(rgba: NDArray[np.uint8], settings: CutSettings = CutSettings()) -> Cut:
    """The drawings of a page, straight alpha uint8 (H, W, 4); empty for an empty page."""
    size = (rgba.shape[1], rgba.shape[0])
    ink = find_ink(rgba)
    parts = find_parts(ink.mask)
    parts = without(parts, find_furniture(parts))
    if parts.count == 0:
        return Cut(size, (), "empty", 0.0)
    frames = find_frames(parts)
    if frames:
        groups, kind, lines = _framed(parts, frames), "frames", []
    else:
        lines = find_captions(parts)
        lettered = np.zeros(parts.count, bool)
        for line in lines:
            lettered[list(line.parts)] = True
        chosen = np.flatnonzero(~lettered)
        grouping = group_parts(
            without(parts, lettered), None if settings.gap is None else settings.gap / parts.step
        )
        groups = [chosen[group].tolist() for group in members(grouping)]
        kind = "scatter"
    groups = _sizeable(parts, groups)
    pieces = _pieces(parts, groups, ink.mask, lines)
    return Cut(size, pieces, kind, 1.0 if len(pieces) > 1 else 0.0)


def judge_sheet(rgba: NDArray[np.uint8]) -> float:
    """How surely a picture is a sheet of several drawings, 0..1, from a reduced copy: quick enough for intake."""
    scale = JUDGED_SIDE / max(rgba.shape[:2])
    if scale < 1:
        size = (max(1, round(rgba.shape[1] * scale)), max(1, round(rgba.shape[0] * scale)))
        rgba = np.asarray(cv2.resize(rgba, size, interpolation=cv2.INTER_AREA), np.uint8)
    return cut(rgba).is_sheet


def _framed(parts: Parts, frames: list[Frame]) -> list[list[int]]:
    """The parts inside each frame; a panel that its art fills is its own content."""
    centres = parts.boxes[:, :2] + parts.boxes[:, 2:] / 2
    ruled = {frame.part for frame in frames}
    groups = []
    for frame in frames:
        x0, y0, x1, y1 = frame.inner
        inside = (centres[:, 0] > x0) & (centres[:, 0] < x1) & (centres[:, 1] > y0) & (centres[:, 1] < y1)
        own = [part for part in np.flatnonzero(inside).tolist() if part not in ruled]
        groups.append(own or [frame.part])
    return groups


def _sizeable(parts: Parts, groups: list[list[int]]) -> list[list[int]]:
    least = LEAST_SIZE * max(parts.labels.shape)
    return [group for group in groups if _extent(parts, group) >= least]


def _extent(parts: Parts, group: list[int]) -> float:
    boxes = parts.boxes[group]
    return float(((boxes[:, :2] + boxes[:, 2:]).max(axis=0) - boxes[:, :2].min(axis=0)).max())


def _pieces(
    parts: Parts, groups: list[list[int]], mask: NDArray[np.uint8], lines: list[Line]
) -> tuple[CutPiece, ...]:
    owner = np.zeros(parts.count + 1, np.int32)
    for number, group in enumerate(groups, 1):
        owner[np.array(group) + 1] = number
    owned = owner[parts.labels]
    found = []
    for number, group in enumerate(groups, 1):
        boxes = parts.boxes[group]
        low, high = boxes[:, :2].min(axis=0), (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
        piece = _piece(
            owned, number, mask, (int(low[0]), int(low[1]), int(high[0]), int(high[1])), parts.step
        )
        if piece is not None:
            found.append(piece)
    order = reading_order([box for box, _ in found])
    return tuple(CutPiece(place, *found[k], None) for place, k in enumerate(order, 1))


def _piece(
    owned: NDArray[np.int32], number: int, mask: NDArray[np.uint8], around: Box, step: int
) -> tuple[Box, NDArray[np.bool_]] | None:
    """Box and mask at full size of one group, from the working-scale map of owners."""
    x0, y0, x1, y1 = around
    tile = owned[y0:y1, x0:x1].astype(np.uint8 if owned.max() < 256 else np.uint16)
    ink = mask[y0 * step : y1 * step, x0 * step : x1 * step]
    tile = cv2.resize(tile, ((x1 - x0) * step, (y1 - y0) * step), interpolation=cv2.INTER_NEAREST)
    tile = tile[: ink.shape[0], : ink.shape[1]]
    own = ((tile == number) & (ink > 0)).astype(np.uint8)
    bx, by, bw, bh = cv2.boundingRect(own)
    if bw == 0:
        return None
    own = np.ascontiguousarray(own[by : by + bh, bx : bx + bw])
    others = ((tile != number) & (ink > 0))[by : by + bh, bx : bx + bw]
    contours, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.zeros_like(own)
    cv2.drawContours(filled, contours, -1, 1, cv2.FILLED)
    return (x0 * step + bx, y0 * step + by, bw, bh), (filled > 0) & ~others


def reading_order(boxes: list[Box]) -> list[int]:
    """Indices in reading order: row by row, left to right; a row is what overlaps by half in height."""
    left = sorted(range(len(boxes)), key=lambda k: boxes[k][1] + boxes[k][3] / 2)
    rows: list[list[int]] = []
    for k in left:
        y, h = boxes[k][1], boxes[k][3]
        row = rows[-1] if rows else []
        tops, ends = [boxes[m][1] for m in row], [boxes[m][1] + boxes[m][3] for m in row]
        middle_top, middle_end = (float(np.median(tops)), float(np.median(ends))) if row else (0.0, 0.0)
        shared = min(y + h, middle_end) - max(y, middle_top)
        if row and shared >= 0.5 * min(h, middle_end - middle_top):
            row.append(k)
        else:
            rows.append([k])
    return [k for row in rows for k in sorted(row, key=lambda m: boxes[m][0])]
