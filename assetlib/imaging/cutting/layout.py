"""What is made out on a page: frames, lettering, and the groups of parts that are drawings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from assetlib.imaging.cutting.captions import MarkLine, find_captions, lettering, read_lines
from assetlib.imaging.cutting.frames import Frame, find_frames
from assetlib.imaging.cutting.grouping import LEAST_SIZE, group_parts
from assetlib.imaging.cutting.pieces import Parts, box_of, carve, without
from assetlib.imaging.cutting.placing import Box

FILLED_BY_ART = 0.04  # share of a frame's inside that is inked by what the frame is part of
PageFacts = tuple[list[Box], tuple[int, int], bool, float, float, int, int]


@dataclass(frozen=True, slots=True)
class Seen:
    """What was made out on a page: the groups of its parts that are elements, and the lettering."""

    parts: Parts
    groups: list[list[int]]
    lines: list[MarkLine]
    framed: bool
    score: float
    several: float


def see_page(parts: Parts, gap: float | None) -> Seen:
    """Elements and lettering of a page; with `gap` (working pixels) that alone decides what is one."""
    if parts.count == 0:
        return Seen(parts, [], [], False, 0.0, 0.0)
    frames = find_frames(parts)
    if frames and gap is None:
        parts, groups = _framed(parts, frames)
        groups = _sizeable(parts, groups)
        rest = np.ones(parts.count, bool)
        rest[[part for group in groups for part in group] + [frame.part for frame in frames]] = False
        lines = [line for line in find_captions(parts, read_lines(parts)) if rest[list(line.parts)].all()]
        return Seen(parts, groups, lines, True, 1.0, 1.0)
    read = read_lines(parts)
    lines = find_captions(parts, read)
    lettered = lettering(lines, parts.count) > 0
    chosen = np.flatnonzero(~lettered)
    grouping = group_parts(without(parts, lettered), lettering(read, parts.count)[chosen], gap)
    groups = _sizeable(parts, [chosen[group].tolist() for group in grouping.elements])
    return Seen(parts, groups, lines, False, grouping.score, grouping.several)


def _framed(parts: Parts, frames: list[Frame]) -> tuple[Parts, list[list[int]]]:
    """The parts inside each frame; a panel whose art runs to its edges is taken whole.

    Where that art hangs together with the ruling of several panels it is carved out as a part.
    """
    ruled = [frame.part for frame in frames]
    groups = []
    for frame in frames:
        x0, y0, x1, y1 = frame.inner
        middle = parts.boxes[:, :2] + parts.boxes[:, 2:] / 2
        inside = (middle[:, 0] > x0) & (middle[:, 0] < x1) & (middle[:, 1] > y0) & (middle[:, 1] < y1)
        own = [part for part in np.flatnonzero(inside).tolist() if part not in ruled]
        dx, dy = (x1 - x0) // 16 + 1, (y1 - y0) // 16 + 1  # a tilted ruling cuts the corners
        within = parts.labels[y0 + dy : y1 - dy, x0 + dx : x1 - dx] == frame.part + 1
        if within.size and float(within.mean()) > FILLED_BY_ART:
            if ruled.count(frame.part) > 1:
                parts = carve(parts, frame.part, frame.inner)
                own.append(parts.count - 1)
            else:
                own.append(frame.part)
        groups.append(own)
    return parts, [group for group in groups if group]


def _sizeable(parts: Parts, groups: list[list[int]]) -> list[list[int]]:
    least = LEAST_SIZE * max(parts.labels.shape)
    return [group for group in groups if _extent(parts, group) >= least]


def _extent(parts: Parts, group: list[int]) -> int:
    return max(box_of(parts, group)[2:])


def page_facts(parts: Parts, seen: Seen) -> PageFacts:
    """What `sheetness` asks of a page."""
    boxes = [box_of(seen.parts, group) for group in seen.groups]
    height, width = parts.labels.shape
    return boxes, (width, height), seen.framed, seen.several, seen.score, len(seen.lines), parts.count
