"""The sides of a page: how well they part paper from what is not, and where exactly they run."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.guesses import Corners, Mask, Picture
from assetlib.imaging.pages.quads import is_page_shaped, meet

Floats = NDArray[np.float32]

STEP_WEIGHTS = np.array([0.8, 1.5, 1.5], np.float32)  # of lightness and tints
SAMPLES = 64  # places looked at along a side
STEP_FROM = 9.0  # levels between paper and table that are a step
LEAST_SUPPORT = 0.45  # share of a side along which there is one
LEAST_SIDES = 3  # of a page in view: a picture full of shapes has two that meet
LEAST_SHARE = 0.15  # of the picture
AT_RIM = 0.012  # of the picture's side: a side that runs along the rim needs no step
RIM_WORTH = 0.85  # of a side that is seen: table beside the page is no page that runs out of the picture
STROKE_REACH, STROKE_STEPS = 0.065, 27  # of the diagonal, to both sides, in which a drawn line is looked for
STROKE_DARK = 70.0  # levels that it is darker by than paper on both sides of it
STROKE_SHARE = 0.25  # of the sides, along which a line is drawn around paper
EVEN = 12.0  # levels that plain paper around a drawing varies by along it, shading and grain included
LIGHT = 150.0  # levels of lightness from which paper around a drawing may be
DARK_PAGE = 90.0  # levels of lightness of a blackboard or black paper
NEXT_TO = (
    4.0  # times the step from one place of paper to the next counts as its unevenness, where that is less
)
SKEWED = 2.0  # degrees between opposite sides, or of all sides against the picture's: nobody draws a sign so
SEARCHED = 0.014  # of the diagonal, to both sides, in which the edge itself is looked for
LEAST_BOW = 1.5  # pixels; flatter sides are straight
NEAR_CORNER = 0.45  # share of a side, next to its corner, that places the corner: long sides may bow
ALIKE = 16.0  # levels that paper differs by along the page's rim, in its median


def judge_quad(small: Picture, corners: Corners) -> float:
    """How well the sides of a quadrilateral part an even page from another ground, 0 for no page, to 1."""
    height, width = small.shape[:2]
    diagonal = float(np.hypot(height, width))
    share = _area(corners) / (height * width)
    if share < LEAST_SHARE or not is_page_shaped(corners):
        return 0.0
    lab = cv2.cvtColor(cv2.GaussianBlur(small, (0, 0), 1.0), cv2.COLOR_RGB2LAB)
    supports, insides, outsides, strokes = [], [], [], []
    for k in range(4):
        if _at_rim(corners[k], corners[(k + 1) % 4], (width, height)):
            continue
        inside, outside, valid = _both_sides(np.asarray(lab, np.uint8), corners, k, diagonal)
        if valid.sum() < SAMPLES // 4:
            continue
        step = np.sqrt(((inside - outside) ** 2 * STEP_WEIGHTS).sum(axis=2)).min(axis=1)
        supports.append(float((step[valid] > STEP_FROM).mean()))
        insides.append(inside[valid, 0])
        outsides.append(outside[valid, -1])
        strokes.append(_along_stroke(np.asarray(lab, np.uint8), corners, k, diagonal)[valid])
    if len(supports) < LEAST_SIDES or min(supports) < LEAST_SUPPORT:
        return 0.0
    within, without = np.concatenate(insides), np.concatenate(outsides)
    if _is_paper_around(within, without, corners) or float(np.concatenate(strokes).mean()) > STROKE_SHARE:
        return 0.0
    even = float(np.median(np.abs(within - np.median(within, axis=0)).max(axis=1)))
    # half of a page may lie in shadow: then it is even from one place to the next
    steps = np.concatenate([np.abs(np.diff(one, axis=0)).max(axis=1) for one in insides])
    even = min(even, NEXT_TO * float(np.median(steps)))
    paper = np.clip(1.6 - even / ALIKE, 0.3, 1)
    return float(
        RIM_WORTH ** (4 - len(supports))
        * np.mean(supports)
        * (0.6 + 0.4 * min(supports))
        * paper
        * (0.75 + 0.25 * min(1, share / 0.5))
    )


def _along_stroke(lab: Picture, corners: Corners, k: int, diagonal: float) -> Mask:
    """Where it is much darker along side k than on both sides of it: a drawn line, no edge."""
    places, inward = _along(corners, k)
    depths = np.linspace(-STROKE_REACH, STROKE_REACH, STROKE_STEPS) * diagonal
    light = _colours(lab, places[:, None] + depths[None, :, None] * inward)[..., 0]
    near = np.abs(depths) < STROKE_REACH * diagonal / 2
    darkest = np.where(near, light, 255).argmin(axis=1)
    lighter = [
        min(float(row[:at].max(initial=0)), float(row[at + 1 :].max(initial=0)))
        for row, at in zip(light, darkest, strict=True)
    ]
    dark = light[np.arange(len(light)), darkest]
    return np.asarray((dark < np.array(lighter) - STROKE_DARK) & (np.array(lighter) > LIGHT), np.bool_)


def _is_paper_around(within: Floats, without: Floats, corners: Corners) -> bool:
    """Whether even light paper lies around something darker: a drawing with straight sides, no page."""
    usual = np.median(without, axis=0)
    spread = float(np.median(np.abs(without - usual).max(axis=1)))
    inside = float(np.median(within[:, 0]))
    if usual[0] < LIGHT or spread > EVEN or usual[0] < inside - 2:
        return False
    return inside > DARK_PAGE or not _is_skewed(corners)


def _is_skewed(corners: Corners) -> bool:
    ways = np.roll(corners, -1, axis=0) - corners
    turns = np.degrees(np.arctan2(ways[:, 1], ways[:, 0])) % 90
    return bool(np.minimum(turns, 90 - turns).max() > SKEWED)


def _area(corners: Corners) -> float:
    return abs(float(cv2.contourArea(corners.astype(np.float32))))


def is_seen_whole(small: Picture, corners: Corners) -> bool:
    """Whether no side of a quadrilateral runs along the picture's rim."""
    size = (small.shape[1], small.shape[0])
    return not any(_at_rim(corners[k], corners[(k + 1) % 4], size) for k in range(4))


def _at_rim(start: Corners, end: Corners, size: tuple[int, int]) -> bool:
    for axis in (0, 1):
        slack = max(2.0, AT_RIM * size[axis])
        if max(start[axis], end[axis]) < slack or min(start[axis], end[axis]) > size[axis] - 1 - slack:
            return True
    return False


def _both_sides(lab: Picture, corners: Corners, k: int, diagonal: float) -> tuple[Floats, Floats, Mask]:
    """Colours at three depths within and without side k, float32 (SAMPLES, 3, 3), and where both are seen."""
    places, inward = _along(corners, k)
    depths = np.array([0.006, 0.010, 0.015]) * diagonal
    inside = places[:, None] + depths[None, :, None] * inward
    outside = places[:, None] - depths[None, :, None] * inward
    height, width = lab.shape[:2]
    valid = np.all((outside >= 0) & (outside < np.array([width, height])), axis=(1, 2))
    valid &= np.all((inside >= 0) & (inside < np.array([width, height])), axis=(1, 2))
    return _colours(lab, inside), _colours(lab, outside), np.asarray(valid)


def _along(corners: Corners, k: int, low: float = 0.04, high: float = 0.96) -> tuple[Corners, Corners]:
    """Places along side k and the way into the page, (2,) of length 1."""
    start, end = corners[k], corners[(k + 1) % 4]
    places = start + np.linspace(low, high, SAMPLES)[:, None] * (end - start)
    way = (end - start) / max(1e-6, float(np.hypot(*(end - start))))
    inward = np.array([-way[1], way[0]])
    if inward @ (corners.mean(axis=0) - start) < 0:
        inward = -inward
    return places, inward


def _colours(picture: Picture, places: Corners) -> Floats:
    flat = places.reshape(1, -1, 2).astype(np.float32)
    seen = cv2.remap(picture, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen.reshape(*places.shape[:-1], 3), np.float32)


def draw_to_edge(picture: Picture, corners: Corners) -> Corners:
    """The corners moved to where the edges near them meet; unchanged where no edge shows."""
    soft = np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.8), np.uint8)
    reach = SEARCHED * float(np.hypot(*picture.shape[:2]))
    edges = [_edge_points(soft, corners, k, reach) for k in range(4)]
    moved = []
    for k in range(4):
        before = _line(edges[k - 1], corners[k - 1], corners[k], at_end=True)
        after = _line(edges[k], corners[k], corners[(k + 1) % 4], at_end=False)
        point = meet(before, after)
        far = point is None or float(np.hypot(*(point - corners[k]))) > 3 * reach
        moved.append(corners[k] if far or point is None else point)
    drawn = np.array(moved, np.float64)
    return drawn if is_page_shaped(drawn) else corners


def measure_bows(picture: Picture, corners: Corners) -> Corners:
    """How far the middle of each side lies outside the line between its corners, (4,), pixels; 0 where unclear."""
    soft = np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.8), np.uint8)
    reach = SEARCHED * float(np.hypot(*picture.shape[:2]))
    bows = np.zeros(4)
    for k in range(4):
        points = _edge_points(soft, corners, k, reach)
        if len(points) < SAMPLES // 2:
            continue
        start, end = corners[k], corners[(k + 1) % 4]
        way = (end - start) / max(1e-6, float(np.hypot(*(end - start))))
        off = (points[:, 1:] - start) @ np.array([way[1], -way[0]])
        shape = 4 * points[:, 0] * (1 - points[:, 0])
        middle = shape > 0.4
        # each point says how far the side bows; the median hears no finger
        bow = float(np.median(off[middle] / shape[middle])) if middle.sum() > SAMPLES // 6 else 0.0
        left = np.abs(off - bow * shape)
        if float(np.median(left)) < 0.25 * abs(bow) and abs(bow) > LEAST_BOW:
            bows[k] = bow
    return bows


def _edge_points(picture: Picture, corners: Corners, k: int, reach: float) -> Corners:
    """The strongest step from paper to not-paper near each place along side k, (n, 3): along 0..1, x, y."""
    height, width = picture.shape[:2]
    if _at_rim(corners[k], corners[(k + 1) % 4], (width, height)):
        return np.zeros((0, 3))
    places, inward = _along(corners, k, 0.02, 0.98)
    offsets = np.arange(-round(reach), round(reach) + 1)
    profile = _colours(picture, places[:, None] + offsets[None, :, None] * inward)
    sums = np.cumsum(np.pad(profile, ((0, 0), (1, 0), (0, 0))), axis=1)
    span = max(2, round(reach / 5))
    inner = (sums[:, 2 * span :] - sums[:, span:-span]) / span
    outer = (sums[:, span:-span] - sums[:, : -2 * span]) / span
    paper = np.median(inner[:, -1], axis=0)
    # a step counts by how much more like paper it is inside than outside
    gain = np.abs(outer - paper).max(axis=2) - np.abs(inner - paper).max(axis=2)
    best = gain.argmax(axis=1)
    strong = gain[np.arange(len(best)), best] > STEP_FROM
    at = offsets[best + span] - 0.5
    points = places + at[:, None] * inward
    along = np.linspace(0.02, 0.98, SAMPLES)
    return np.asarray(np.column_stack([along, points])[strong], np.float64)


def _line(edges: Corners, start: Corners, end: Corners, at_end: bool) -> Corners:
    """The line through a side's edge points near one of its ends; the side itself where there are too few."""
    near = edges[:, 0] > 1 - NEAR_CORNER if at_end else edges[:, 0] < NEAR_CORNER
    points = edges[near, 1:] if near.sum() >= SAMPLES // 6 else edges[:, 1:]
    if len(points) < SAMPLES // 6:
        return np.array([start, end])
    points = _agreeing(points)
    fit = cv2.fitLine(points.astype(np.float32), cv2.DIST_HUBER, 0, 0.01, 0.01).ravel()
    vx, vy, x, y = (float(v) for v in fit)
    return np.array([[x, y], [x + vx, y + vy]])


def _agreeing(points: Corners) -> Corners:
    """The points along the line that most of them agree on: pairs tried, the best kept (RANSAC, all pairs of few)."""
    best, kept = -1, np.ones(len(points), bool)
    picked = np.linspace(0, len(points) - 1, min(14, len(points))).astype(int)
    for a in picked:
        for b in picked[picked > a]:
            way = points[b] - points[a]
            length = float(np.hypot(*way))
            if length < 1:
                continue
            off = np.abs((points - points[a]) @ np.array([-way[1], way[0]])) / length
            agree = off < 1.5
            if agree.sum() > best:
                best, kept = int(agree.sum()), agree
    return np.asarray(points[kept])
