"""Which pixels of a page belong to a drawing: masks and boxes compared with each other."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Box = tuple[int, int, int, int]
INSIDE = 0.9
"""Share of the smaller mask that must lie in the larger one for it to be the same contour, opened (by eye)."""

SAME_PLACE = 0.7
"""Intersection over union of two boxes from which they stand in the same place (by eye)."""

Mask = NDArray[np.bool_]


def pack_mask(mask: NDArray[np.bool_]) -> bytes:
    """A mask as a 1-bit PNG."""
    buffer = io.BytesIO()
    Image.fromarray(mask).save(buffer, "PNG", optimize=True)
    return buffer.getvalue()


def unpack_mask(data: bytes) -> NDArray[np.bool_]:
    """The mask of a 1-bit PNG: bool (h, w)."""
    return np.array(Image.open(io.BytesIO(data)).convert("1"), dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class Region:
    """Pixels of one page: a box x, y, w, h and a 1-bit PNG of its size, or None for the whole box."""

    page: Hashable
    """Whatever tells one page from another."""
    box: Box
    mask: bytes | None = None


def difference(first: Sequence[Region], second: Sequence[Region]) -> float:
    """How far `second` is from `first`: what is in one but not in both, over what is in `first`; 0 for the same.

    1 where `first` has nothing in it.
    """
    if list(first) == list(second):
        return 0.0
    pages: dict[Hashable, tuple[list[Region], list[Region]]] = defaultdict(lambda: ([], []))
    for side, regions in enumerate((first, second)):
        for region in regions:
            pages[region.page][side].append(region)
    apart = ink = 0
    for one, other in pages.values():
        bounds = around([region.box for region in (*one, *other)])
        a, b = painted(one, bounds), painted(other, bounds)
        apart += int(np.count_nonzero(a ^ b))
        ink += int(np.count_nonzero(a))
    return apart / ink if ink else 1.0


def likeness(first: Region, second: Region) -> float:
    """How far two regions of one page are the same, 0 to 1: their intersection over their union.

    A contour that its box cuts open is no longer filled, and then hardly anything of a mask is left. Where one mask
    lies inside the other, their boxes are compared instead.
    """
    bounds = around([first.box, second.box])
    a, b = painted([first], bounds), painted([second], bounds)
    both, either = int(np.count_nonzero(a & b)), int(np.count_nonzero(a | b))
    least = min(int(np.count_nonzero(a)), int(np.count_nonzero(b)))
    by_mask = both / either if either else 0.0
    by_box = _boxes_alike(first.box, second.box)
    return max(by_mask, by_box) if least and both >= INSIDE * least and by_box >= SAME_PLACE else by_mask


def _boxes_alike(a: Box, b: Box) -> float:
    """Intersection over union of two boxes."""
    width = min(a[0] + a[2], b[0] + b[2]) - max(a[0], b[0])
    height = min(a[1] + a[3], b[1] + b[3]) - max(a[1], b[1])
    both = max(width, 0) * max(height, 0)
    return both / (a[2] * a[3] + b[2] * b[3] - both)


def around(boxes: Sequence[Box]) -> Box:
    """The smallest box around several."""
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, bottom = max(box[0] + box[2] for box in boxes), max(box[1] + box[3] for box in boxes)
    return left, top, right - left, bottom - top


def painted(regions: Sequence[Region], bounds: Box) -> Mask:
    """The pixels of regions of one page within `bounds`, which must hold them: bool (h, w)."""
    page = np.zeros((bounds[3], bounds[2]), np.bool_)
    for region in regions:
        x, y, w, h = region.box
        left, top = x - bounds[0], y - bounds[1]
        page[top : top + h, left : left + w] |= True if region.mask is None else unpack_mask(region.mask)
    return page


def window_around(box: Sequence[int], reach: int) -> tuple[slice, slice]:
    """The rows and columns of a box x, y, width, height and of `reach` pixels around it, as an index of a picture."""
    x, y, width, height = (int(v) for v in box)
    return slice(max(0, y - reach), y + height + reach), slice(max(0, x - reach), x + width + reach)
