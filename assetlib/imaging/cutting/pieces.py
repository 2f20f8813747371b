"""Connected parts of a page's ink, and the gaps between them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cutting.placing import Box

WORK_SIDE = 1700  # pixels of the longer side that parts are looked for at
MOST_PARTS = 4000  # more is grain or hatching: the smallest are left out


@dataclass(frozen=True, slots=True)
class Parts:
    """Connected parts at a working scale of 1 / `step`; everything is in working pixels.

    `labels` int32 (h, w), 0 is paper; part k has label k + 1. `boxes` int (n, 4) as x, y, w, h;
    `areas` (n,) pixels of ink; `colours` float32 (n, 3), mean levels 0..255.
    """

    labels: NDArray[np.int32]
    boxes: NDArray[np.int64]
    areas: NDArray[np.int64]
    colours: NDArray[np.float32]
    step: int

    @property
    def count(self) -> int:
        """Number of parts."""
        return len(self.boxes)


def box_of(parts: Parts, group: list[int]) -> Box:
    """The box around some parts: x, y, width, height, working pixels."""
    low = parts.boxes[group, :2].min(axis=0)
    high = (parts.boxes[group, :2] + parts.boxes[group, 2:]).max(axis=0)
    return (int(low[0]), int(low[1]), int(high[0] - low[0]), int(high[1] - low[1]))


def pool(mask: NDArray[np.uint8], step: int) -> NDArray[np.uint8]:
    """The mask at 1 / step, set wherever any of its pixels was, so that hairlines survive."""
    if step == 1:
        return mask
    height, width = mask.shape
    padded = cv2.copyMakeBorder(mask, 0, -height % step, 0, -width % step, cv2.BORDER_CONSTANT, value=0)
    small = cv2.resize(padded, None, fx=1 / step, fy=1 / step, interpolation=cv2.INTER_AREA)
    return np.asarray(cv2.compare(small, 0, cv2.CMP_GT), np.uint8)


def find_parts(mask: NDArray[np.uint8], rgb: NDArray[np.uint8], least: int = 2) -> Parts:
    """The connected parts of an ink mask (uint8, 0 and 255) that hold at least `least` working pixels."""
    step = max(1, -(-max(mask.shape) // WORK_SIDE))
    small = pool(mask, step)
    size = (small.shape[1] * step, small.shape[0] * step)
    grown = cv2.copyMakeBorder(
        rgb, 0, size[1] - rgb.shape[0], 0, size[0] - rgb.shape[1], cv2.BORDER_REPLICATE
    )
    tones = cv2.resize(grown, small.shape[::-1], interpolation=cv2.INTER_AREA) if step > 1 else rgb
    return label_parts(small, np.asarray(tones, np.uint8), step, least)


def label_parts(small: NDArray[np.uint8], tones: NDArray[np.uint8], step: int, least: int = 2) -> Parts:
    """The connected parts of a mask and its picture (h, w, 3), both at working scale."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(small, connectivity=8, ltype=cv2.CV_32S)
    areas = stats[1:, cv2.CC_STAT_AREA].astype(np.int64)
    keep = areas >= least
    if keep.sum() > MOST_PARTS:  # of dots of one size, too, no more than that
        keep[np.argsort(-areas, kind="stable")[MOST_PARTS:]] = False
    new = np.zeros(count, np.int32)
    new[1:][keep] = np.arange(1, keep.sum() + 1)
    kept = int(keep.sum())
    labels = new[labels]
    inked = labels > 0
    owner = labels[inked]
    sums = [np.bincount(owner, tones[..., k][inked], kept + 1)[1:] for k in range(3)]
    colours = np.stack(sums, axis=1) / np.maximum(1, areas[keep])[:, None]
    boxes = stats[1:, :4][keep].astype(np.int64)
    return Parts(labels, boxes, areas[keep], colours.astype(np.float32), step)


def without(parts: Parts, gone: NDArray[np.bool_]) -> Parts:
    """The parts that are not marked in `gone` (n,), renumbered."""
    new = np.zeros(parts.count + 1, np.int32)
    new[1:][~gone] = np.arange(1, (~gone).sum() + 1)
    kept = ~gone
    return Parts(new[parts.labels], parts.boxes[kept], parts.areas[kept], parts.colours[kept], parts.step)


def carve(parts: Parts, part: int, corners: tuple[int, int, int, int]) -> Parts:
    """The parts with what of one lies inside x0, y0, x1, y1 as a new last part."""
    x0, y0, x1, y1 = corners
    labels = parts.labels.copy()
    window = labels[y0:y1, x0:x1]
    inside = window == part + 1
    window[inside] = parts.count + 1
    areas = np.append(parts.areas, inside.sum())
    areas[part] -= areas[-1]
    x, y, w, h = cv2.boundingRect(inside.astype(np.uint8))
    boxes = np.concatenate([parts.boxes, [[x0 + x, y0 + y, w, h]]])
    return Parts(
        labels, boxes, areas, np.concatenate([parts.colours, parts.colours[part : part + 1]]), parts.step
    )


def find_gaps(parts: Parts) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Pairs of neighbouring parts, (m, 2), and the clear paper between them, (m,) working pixels.

    Neighbours are parts whose nearest-part regions touch: the pairs hold every edge of the minimum
    spanning tree of the parts.
    """
    ground = (parts.labels == 0).astype(np.uint8)
    distance, regions = cv2.distanceTransformWithLabels(
        ground, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_CCOMP
    )
    owner = np.zeros(int(regions.max()) + 1, np.int64)
    inked = parts.labels > 0
    owner[regions[inked]] = parts.labels[inked]
    nearest = owner[regions]
    keys, spans = [], []
    for first, second in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        edge = nearest[first] != nearest[second]
        a, b = nearest[first][edge], nearest[second][edge]
        keys.append(np.minimum(a, b) * (parts.count + 1) + np.maximum(a, b))
        spans.append(distance[first][edge] + distance[second][edge])
    return _shortest(np.concatenate(keys), np.concatenate(spans), parts.count + 1)


def _shortest(
    keys: NDArray[np.int64], spans: NDArray[np.float32], base: int
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    if len(keys) == 0:
        return np.zeros((0, 2), np.int64), np.zeros(0)
    order = np.argsort(keys, kind="stable")
    keys, spans = keys[order], spans[order]
    starts = np.flatnonzero(np.r_[True, keys[1:] != keys[:-1]])
    pairs = np.stack([keys[starts] // base - 1, keys[starts] % base - 1], axis=1)
    return pairs, np.minimum.reduceat(spans, starts).astype(np.float64)
