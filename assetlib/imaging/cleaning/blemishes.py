"""Blemishes of paper and scanner taken out on request, each one told.

Nothing here is done unasked, the scan handed in is not changed, and every
removal says what it was and where, so that it can be shown and taken back.
"""

from __future__ import annotations

import enum
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.body import pen_weight
from assetlib.imaging.cleaning.grounds import Ground, Paper, estimate_paper, judge_ground
from assetlib.imaging.cleaning.tinted import (
    find_stains,
    find_underdrawing,
    stains_asked_for,
    stands,
    without_stain,
    without_tint,
)
from assetlib.imaging.cleaning.worn import find_binding, find_torn_edges

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

MARK_FROM = 14.0  # levels from paper that show
INK_FROM = 60.0  # levels from paper that only ink has, not a pale rule or the shadow of tape
SPECK_IN_PENS = 1.2  # diameter of the largest speck in line weights
LONELY_IN_PENS = 5.0  # how far a speck is from any drawing, in line weights
STIPPLE_COUNT = 4  # specks that close together are drawn on purpose
HOLE_SIZE = (0.010, 0.035)  # diameter by the page's longest side: ISO 838 has 6 mm, A4 297 mm (from memory)
HOLE_FROM_EDGE = 0.10  # ISO 838 has 12 mm from the edge (from memory); scans are cropped and askew
HOLE_ROUNDNESS = 0.72
RULE_LENGTH = 0.55  # share of the page's width or height that a ruled line spans at least
RULE_BITE = 0.08  # length of the shortest piece of rule between two lines of the drawing
RULES_AT_LEAST = 3
RULE_EVENNESS = 0.25  # of their usual distance that ruled lines may be off by
TAPE_SIDE = 0.03  # shortest side of a piece of tape by the page's longest
PROPOSED_AT = 900  # pixels of the longest side at which blemishes are proposed
TAPE_LONGEST = 0.6  # of a side of the page
TAPE_FILL = 0.75  # share of its own upright box or turned box that tape fills


PART_OF_INK = 0.02  # share of a drawing's ink that a blemish is, from which it is told; by eye


class Blemish(enum.StrEnum):
    """What can be taken out of a scan."""

    SPECK = "speck"
    PUNCH_HOLE = "punch hole"
    RULED_LINE = "ruled line"
    TAPE_SHADOW = "tape shadow"
    UNDERDRAWING = "underdrawing"
    STAIN = "stain"
    TORN_EDGE = "torn edge"


@dataclass(frozen=True, slots=True)
class Removal:
    """One blemish taken out: `box` is x, y, width, height; `mask` bool (height, width) within the box."""

    blemish: Blemish
    box: tuple[int, int, int, int]
    mask: Mask


def clean(rgba: Pixels, wanted: Iterable[Blemish]) -> tuple[Pixels, tuple[Removal, ...]]:
    """The scan with the wanted kinds of blemish laid over with its own paper, and all that was removed."""
    cleaned = rgba.copy()
    if judge_ground(rgba) not in (Ground.WHITE, Ground.OFF_WHITE):
        return cleaned, ()
    kinds, removals = set(wanted), []
    # tape first, because lines drawn across it are kept; specks last, because rules cross them
    for blemish, find in _FINDERS.items():
        if blemish not in kinds:
            continue
        rgb = np.ascontiguousarray(cleaned[..., :3])
        paper = estimate_paper(rgb)
        if blemish in TINTED:
            for mask in ASKED_FOR.get(blemish, TINTED[blemish])(rgb, paper):
                removals.append(take_tinted(cleaned, mask, paper, blemish))
            continue
        strength = np.abs(paper.colour - paper.flatten(rgb)).max(axis=2)
        for mask in find(strength):
            _lay_over(cleaned, mask, paper, lift_only=blemish is Blemish.TAPE_SHADOW)
            removals.append(as_removal(blemish, mask))
    return cleaned, tuple(removals)


def take_tinted(rgba: Pixels, mask: Mask, paper: Paper, blemish: Blemish) -> Removal:
    """Take a stain or underdrawing at a mask bool (H, W) out of a picture, in place; black ink on it stays."""
    take = without_tint if blemish is Blemish.UNDERDRAWING else without_stain
    bare, inked = take(rgba, mask, paper)
    _lay_over(rgba, bare, paper, lift_only=False)
    return as_removal(blemish, bare | inked)


def still_there(
    original: Pixels, cleaned: Pixels, wanted: Iterable[Blemish], removals: Iterable[Removal], ink: Mask
) -> tuple[Blemish, ...]:
    """Those kinds that were taken out and still are seen: in the `ink` bool (H, W), or much of them where they were."""
    wanted = set(wanted)
    removals = [item for item in removals if item.blemish in wanted]
    taken = {item.blemish for item in removals}
    left = taken & set(propose(cleaned, ink)) if taken else set()
    for removal in removals:
        x, y, width, height = removal.box
        room = max(width, height) // 6 + 4
        place = np.s_[max(0, y - room) : y + height + room, max(0, x - room) : x + width + room, :3]
        if removal.blemish is Blemish.STAIN and stands(
            *(np.ascontiguousarray(p[place]) for p in (original, cleaned))
        ):
            left.add(Blemish.STAIN)
    return tuple(kind for kind in Blemish if kind in left)


def restore(cleaned: Pixels, original: Pixels, removals: Iterable[Removal]) -> Pixels:
    """The cleaned scan with some removals taken back from the original."""
    restored = cleaned.copy()
    for removal in removals:
        x, y, width, height = removal.box
        place = np.s_[y : y + height, x : x + width]
        restored[place][removal.mask] = original[place][removal.mask]
    return restored


def _lay_over(rgba: Pixels, mask: Mask, paper: Paper, lift_only: bool) -> None:
    """Paper in place of the blemish; under tape only brightened, so that ink on it stays."""
    bare = paper.field(rgba.shape[:2])[mask]
    if lift_only:
        under = np.median(rgba[mask][:, :3], axis=0).astype(np.float32)
        bare = np.minimum(
            rgba[mask][:, :3] * bare / np.maximum(under, 1), np.maximum(bare, rgba[mask][:, :3])
        )
    rgba[mask, :3] = np.clip(np.rint(bare), 0, 255)


def as_removal(blemish: Blemish, mask: Mask) -> Removal:
    """What was taken out, by a mask bool (H, W) of the whole picture."""
    x, y, width, height = cv2.boundingRect(mask.astype(np.uint8))
    return Removal(blemish, (x, y, width, height), mask[y : y + height, x : x + width].copy())


def _parts(marks: Mask) -> tuple[int, NDArray[np.int32], NDArray[np.int32], NDArray[np.float64]]:
    return cv2.connectedComponentsWithStats(marks.astype(np.uint8), connectivity=8)


def _find_specks(strength: Floats) -> Iterator[Mask]:
    """Tiny lone marks; dots in company are stipple or lettering and stay."""
    marks = strength > MARK_FROM
    _, labels, stats, centres = _parts(marks)
    pen = pen_weight(strength > INK_FROM)
    small = stats[:, 2:4].max(axis=1) <= max(2.0, SPECK_IN_PENS * pen)
    small[0] = False
    reach = max(8.0, LONELY_IN_PENS * pen)
    drawing = marks & ~small[labels]
    away = cv2.distanceTransform((~drawing).astype(np.uint8), cv2.DIST_L2, 5)
    for k in np.flatnonzero(small):
        x, y = centres[k]
        company = (np.hypot(*(centres[small] - centres[k]).T) < 4 * reach).sum() - 1
        if away[int(y), int(x)] > reach and company < STIPPLE_COUNT:
            yield cv2.dilate((labels == k).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0


def _find_holes(strength: Floats) -> Iterator[Mask]:
    """Round spots of one size in line along an edge, two at least."""
    height, width = strength.shape
    longest = max(height, width)
    _, labels, stats, centres = _parts(strength > MARK_FROM)
    spots = [k for k in range(1, len(stats)) if _is_round(labels, stats[k], k, longest)]
    for axis, size in ((0, width), (1, height)):
        for far_side in (False, True):
            place = np.array([centres[k][axis] for k in spots])
            depth = size - place if far_side else place
            near = [k for k, d in zip(spots, depth, strict=True) if d < HOLE_FROM_EDGE * size]
            for k in _in_line(near, centres[:, axis], stats, 0.015 * longest):
                disc = cv2.dilate((labels == k).astype(np.uint8), np.ones((7, 7), np.uint8))
                yield _filled(disc) > 0
    yield from find_binding(strength, MARK_FROM)


def _is_round(labels: NDArray[np.int32], stat: NDArray[np.int32], label: int, longest: int) -> bool:
    x, y, width, height, _ = (int(v) for v in stat)
    low, high = HOLE_SIZE
    if not low * longest <= max(width, height) <= high * longest or min(width, height) < 0.8 * max(
        width, height
    ):
        return False
    own = _filled((labels[y : y + height, x : x + width] == label).astype(np.uint8))
    contour = max(cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0], key=len)
    length = float(cv2.arcLength(contour, True))
    return 4 * np.pi * float(own.sum()) / max(length, 1.0) ** 2 > HOLE_ROUNDNESS


def _in_line(
    spots: list[int], places: NDArray[np.float64], stats: NDArray[np.int32], slack: float
) -> list[int]:
    """Those spots that another one of about their size stands in line with."""
    kept = []
    for k in spots:
        mates = [j for j in spots if j != k and abs(places[j] - places[k]) <= slack]
        if any(abs(int(stats[j, 2]) - int(stats[k, 2])) <= 0.25 * stats[k, 2] + 2 for j in mates):
            kept.append(k)
    return kept


def _filled(own: Pixels) -> Pixels:
    framed = np.pad(own, 1)
    cv2.floodFill(framed, None, (0, 0), 2, flags=4)
    return np.asarray(framed[1:-1, 1:-1] != 2, np.uint8)


def _find_rules(strength: Floats) -> Iterator[Mask]:
    """Long pale lines at even distances, without the ink that crosses them."""
    for turned in (False, True):
        field = strength.T if turned else strength
        pale = ((field > MARK_FROM / 2) & (field < 3 * INK_FROM)).astype(np.uint8)
        bite = max(9, int(RULE_BITE * field.shape[1]))
        runs = cv2.morphologyEx(pale, cv2.MORPH_OPEN, np.ones((1, bite), np.uint8))
        # a thick band is a tone, not a line
        thick = cv2.morphologyEx(
            pale, cv2.MORPH_OPEN, np.ones((max(8, field.shape[0] // 80), bite), np.uint8)
        )
        runs[thick > 0] = 0
        for mask in _even_lines(runs, field):
            yield mask.T if turned else mask


def _even_lines(runs: Pixels, field: Floats) -> Iterator[Mask]:
    slack = max(3, field.shape[0] // 150)
    joined = cv2.morphologyEx(runs, cv2.MORPH_CLOSE, np.ones((slack, field.shape[1] // 6), np.uint8))
    count, labels, stats, centres = _parts(joined > 0)
    long = [k for k in range(1, count) if stats[k, 2] >= RULE_LENGTH * field.shape[1]]
    long.sort(key=lambda k: float(centres[k, 1]))
    gaps = np.diff([centres[k, 1] for k in long])
    if (
        len(long) < RULES_AT_LEAST
        or np.abs(gaps - np.median(gaps)).max() > RULE_EVENNESS * np.median(gaps) + 2
    ):
        return
    for k in long:
        own = (labels == k) & (runs > 0)
        usual = float(np.median(field[own]))
        band = cv2.dilate((labels == k).astype(np.uint8), np.ones((5, 1), np.uint8)) > 0
        yield band & (field < 1.8 * usual + MARK_FROM) & (field > 2)


def _find_tape(strength: Floats) -> Iterator[Mask]:
    """Large, even, pale patches with straight sides at the border of the page."""
    height, width = strength.shape
    pale = cv2.medianBlur(np.clip(strength, 0, 255).astype(np.uint8), 5)
    patch = ((pale > MARK_FROM / 2) & (pale < INK_FROM)).astype(np.uint8)
    side = max(5, int(TAPE_SIDE * max(height, width)))
    patch = cv2.morphologyEx(patch, cv2.MORPH_CLOSE, np.ones((7, 7), np.uint8))
    patch = cv2.morphologyEx(patch, cv2.MORPH_OPEN, np.ones((side, side), np.uint8))
    count, labels, stats, _ = _parts(patch > 0)
    for k in range(1, count):
        x, y, w, h, area = (int(v) for v in stats[k])
        at_border = x <= side or y <= side or x + w >= width - side or y + h >= height - side
        if w > TAPE_LONGEST * width or h > TAPE_LONGEST * height:
            continue  # the shade of a lifted edge
        points = np.stack(np.nonzero(labels == k), axis=1).astype(np.float32)
        turned = cv2.minAreaRect(points[:, ::-1].copy())[1]
        if not at_border or area < TAPE_FILL * max(1.0, turned[0] * turned[1]):
            continue
        if _edge_step(pale, labels == k) >= MARK_FROM / 2:  # a shadow has no such edge
            yield cv2.dilate((labels == k).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0


def _edge_step(pale: Pixels, own: Mask) -> float:
    """How much a patch differs from what lies right around it, levels in the median."""
    solid = own.astype(np.uint8)
    reach = max(5, round(0.006 * max(own.shape))) | 1
    near, beyond = np.ones((reach, reach), np.uint8), np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)
    within = own & (cv2.erode(solid, near, borderValue=1) == 0)
    around = (cv2.dilate(solid, beyond) > 0) & (cv2.dilate(solid, near) == 0)
    if not within.any() or not around.any():
        return 0.0
    return float(np.median(pale[within])) - float(np.median(pale[around]))


TINTED = {Blemish.UNDERDRAWING: find_underdrawing, Blemish.STAIN: find_stains}
"""What is told by its tint against paper and ink."""


ASKED_FOR = {Blemish.STAIN: stains_asked_for}
"""What is looked for more thoroughly where somebody asks for it to be taken out."""


PROPOSED = (Blemish.PUNCH_HOLE, Blemish.RULED_LINE, Blemish.TAPE_SHADOW, Blemish.TORN_EDGE)
"""What is proposed besides, by its shape; specks are in every scan."""


def propose(rgba: Pixels, ink: Mask | None = None) -> tuple[str, ...]:
    """Kinds of blemish that seem to be on a page, uint8 (H, W, 4), and that can be taken out of it.

    `ink` bool (H, W) is the ink of one drawing on it: then only those that are a part of it.
    """
    scale = min(1.0, PROPOSED_AT / max(rgba.shape[:2]))
    small, own = rgba, ink
    if scale < 1:
        small = np.asarray(cv2.resize(rgba, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)
    if own is not None and own.shape != small.shape[:2]:
        size = (small.shape[1], small.shape[0])
        own = cv2.resize(own.astype(np.uint8), size, interpolation=cv2.INTER_AREA) > 0
    if judge_ground(small) not in (Ground.WHITE, Ground.OFF_WHITE):
        return ()
    rgb = np.ascontiguousarray(small[..., :3])
    paper = estimate_paper(rgb)
    strength = np.abs(paper.colour - paper.flatten(rgb)).max(axis=2)
    seen = [kind for kind, find in TINTED.items() if _is_part(find(rgb, paper), own)]
    seen += [kind for kind in PROPOSED if _is_part(_FINDERS[kind](strength), own)]
    return tuple(kind.value for kind in seen)


def _is_part(masks: Iterator[Mask], ink: Mask | None) -> bool:
    """Whether blemishes are there at all, or, of the ink of one drawing, a part of it."""
    if ink is None:
        return any(True for _ in masks)
    return bool(sum(int((mask & ink).sum()) for mask in masks) > PART_OF_INK * int(ink.sum()))


_FINDERS: dict[Blemish, Callable[[Floats], Iterator[Mask]]] = {
    Blemish.TORN_EDGE: find_torn_edges,
    Blemish.STAIN: lambda _: iter(()),
    Blemish.UNDERDRAWING: lambda _: iter(()),
    Blemish.TAPE_SHADOW: _find_tape,
    Blemish.RULED_LINE: _find_rules,
    Blemish.PUNCH_HOLE: _find_holes,
    Blemish.SPECK: _find_specks,
}
