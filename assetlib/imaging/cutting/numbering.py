"""Pieces and their numbers: what corrections are named by, and what they make of a page.

A number is never given twice, and is the same whenever the same corrections, or more of them, are done.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from assetlib.imaging.cutting import corrections
from assetlib.imaging.cutting.pieces import Parts
from assetlib.imaging.cutting.placing import Box, Owners, reading_order

if TYPE_CHECKING:
    from assetlib.imaging.cutting.sheets import CutSettings


@dataclass(frozen=True, slots=True)
class Gap:
    """The widest paper, in pixels of the picture, inside one element, from some time on."""

    widest: float


Maker = int | Box | Gap
"""What makes pieces: a split by its number, a box drawn, another gap."""

SHARE = 0.1  # of a piece's ink: less than that in another element makes no piece of its own


@dataclass(slots=True)
class Numbered:
    """A page under correction: which element owns each working pixel, and which numbered piece."""

    owned: Owners
    pieces: Owners
    last: int
    known: set[int]
    """Every number that a piece has or had."""
    parted: dict[int, tuple[int, ...]] = field(default_factory=dict)
    """Pieces that are no more, with those that were made of them."""

    def part(self, number: int, makes: Owners) -> None:
        """Give the parts of a piece numbers of their own, in reading order; `makes` is 0 beside it."""
        found = [int(made) for made in np.unique(makes) if made]
        boxes = [_extent(makes == made) for made in found]
        numbers = []
        for place in reading_order(boxes):
            numbers.append(self._next())
            self.pieces[makes == found[place]] = numbers[-1]
        self.parted[number] = tuple(numbers)

    def _next(self) -> int:
        self.last += 1
        self.known.add(self.last)
        return self.last

    def take(self, box: tuple[slice, slice], ink: np.ndarray[tuple[int, ...], np.dtype[np.uint8]]) -> None:
        """Make all ink inside a box one element and one piece."""
        self.owned = corrections.take_box(self.owned, ink, box)
        number = self._next()
        inside = self.pieces[box]
        inside[ink[box] > 0] = number
        self.pieces[self.owned == 0] = 0

    def under(self, numbers: tuple[int, ...]) -> list[int]:
        """The numbers with those of the pieces that were made of them."""
        found = list(numbers)
        for number in found:
            found += self.parted.get(number, ())
        return found


def numbered(
    parts: Parts, automatic: Owners, by_gap: Callable[[Gap], Owners], settings: CutSettings
) -> Numbered:
    """The page after all corrections; `automatic` is the uncorrected cut, `by_gap` gives those by another gap.

    Gaps that no longer hold are gone through again for the numbers that they gave; then the last one is put in force.
    """
    count = int(automatic.max())
    page = Numbered(automatic.copy(), automatic.copy(), count, set(range(1, count + 1)))
    ink = np.where(parts.labels > 0, 255, 0).astype(np.uint8)
    done: list[int | tuple[slice, slice]] = []
    in_force: Gap | None = None
    for maker in settings.makers():
        if isinstance(maker, Gap):
            _regroup(page, by_gap(maker))
            _repeat(page, done, ink)
            in_force = maker
        elif isinstance(maker, int):
            _split(page, maker)
            done.append(maker)
        else:
            place = rows_and_columns(maker, parts.step)
            page.take(place, ink)
            done.append(place)
    if settings.gap is not None and in_force != Gap(settings.gap):
        page.owned = by_gap(Gap(settings.gap))
        _repeat(page, done, ink)
    groups = [np.isin(page.pieces, group) & (page.pieces > 0) for group in _merged(settings.join)]
    page.owned = corrections.join(page.owned, groups)
    dropped = np.isin(page.pieces, page.under(settings.drop)) & (page.pieces > 0)
    page.owned = corrections.drop(page.owned, dropped)
    return page


def _repeat(
    page: Numbered,
    done: Iterable[int | tuple[slice, slice]],
    ink: np.ndarray[tuple[int, ...], np.dtype[np.uint8]],
) -> None:
    """Make splits and boxes elements once more in another grouping; their pieces have their numbers already."""
    for maker in done:
        if not isinstance(maker, int):
            page.owned = corrections.take_box(page.owned, ink, maker)
            continue
        for part in page.parted.get(maker, ()):
            inked = np.isin(page.pieces, page.under((part,))) & (page.pieces > 0)
            for owner in np.unique(page.owned[inked]).tolist():
                if owner:
                    page.owned[inked & (page.owned == owner)] = page.owned.max() + 1


def _regroup(page: Numbered, owned: Owners) -> None:
    """Take another grouping over: what of a piece now lies in several elements are pieces of their own."""
    page.owned = owned.copy()
    for number in range(1, page.last + 1):
        inked = page.pieces == number
        counted = np.bincount(owned[inked], minlength=1)
        counted[0] = 0
        if np.count_nonzero(counted >= max(1.0, SHARE * counted.sum())) > 1:
            page.part(number, np.where(inked, owned, 0).astype(np.int32))
    unnamed = np.where((page.pieces == 0) & (owned > 0), owned, 0).astype(np.int32)
    for made in np.unique(unnamed[unnamed > 0]).tolist():
        if not np.any((owned == made) & (page.pieces > 0)):
            page.pieces[unnamed == made] = page._next()


def _split(page: Numbered, number: int) -> None:
    """Split a piece in two; one that nothing parts stays as it is, and keeps its number."""
    inked = page.pieces == number
    parted = corrections.split(page.owned, inked)
    makes = np.where(inked & (parted != page.owned), parted, 0).astype(np.int32)
    if makes.any():
        page.owned = parted
        page.part(number, makes)


def _extent(inked: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> Box:
    """x, y, w, h of a mask's ink."""
    ys, xs = np.nonzero(inked)
    left, top = int(xs.min()), int(ys.min())
    return left, top, int(xs.max()) + 1 - left, int(ys.max()) + 1 - top


def _merged(groups: tuple[tuple[int, ...], ...]) -> list[list[int]]:
    """The groups, those that share a number made one."""
    apart: list[set[int]] = []
    for group in groups:
        touched = [other for other in apart if other & set(group)]
        apart = [other for other in apart if other not in touched] + [set(group).union(*touched)]
    return [sorted(group) for group in apart]


def rows_and_columns(box: Box, step: int) -> tuple[slice, slice]:
    """The rows and columns of the working map that a box in pixels of the picture covers."""
    x, y, w, h = box
    left, top = max(0, x // step), max(0, y // step)
    return slice(top, max(top, -(-(y + h) // step))), slice(left, max(left, -(-(x + w) // step)))
