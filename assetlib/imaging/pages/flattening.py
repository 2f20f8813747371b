"""A page made flat: perspective undone, its sides' lengths as the camera saw them, its light evened."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.pages.finding import Page
from assetlib.imaging.pages.guesses import Corners, Picture
from assetlib.imaging.pages.light import even_light

TRIM = 0.004  # of the longer side, cut off all round: the edge itself is half table
STRIP = 512  # rows that are unbent at a time, for the sake of memory
MOST_PIXELS = 40_000_000  # of a flattened page


def flatten(picture: Picture, page: Page) -> Picture:
    """The page alone, uint8 (h, w, channels of the picture), upright as it is seen, its light evened."""
    return flatten_from(picture, page.corners, page.bows)


def flatten_from(picture: Picture, corners: Corners, bows: tuple[float, ...] = ()) -> Picture:
    """The same from the page's corners, and how far the middle of each side lies outside the line between them."""
    return even_light(straighten(picture, corners, bows))


def straighten(picture: Picture, corners: Corners, bows: tuple[float, ...] = ()) -> Picture:
    """The page alone, uint8 (h, w, channels of the picture), with the light it has."""
    size = page_size(corners, (picture.shape[1], picture.shape[0]))
    matrix = homography(corners, size)
    if not any(bows):
        flags = cv2.INTER_LINEAR
        seen = cv2.warpPerspective(picture, matrix, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(seen, np.uint8)
    return _unbend(picture, corners, bows, size, np.asarray(np.linalg.inv(matrix), np.float64))


def _unbend(
    picture: Picture, corners: Corners, bows: tuple[float, ...], size: tuple[int, int], back: Corners
) -> Picture:
    """The page with its bowed sides made straight; what lies between them moves in proportion."""
    width, height = size
    out = np.empty((height, width, picture.shape[2]), np.uint8)
    x = (np.arange(width, dtype=np.float32) + 0.5)[None]
    for top in range(0, height, STRIP):
        y = np.arange(top, min(height, top + STRIP), dtype=np.float32)[:, None] + 0.5
        places = _places(x, y, corners, bows, size, back)
        out[top : top + len(y)] = cv2.remap(
            picture, *places, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    return out


def _places(
    x: NDArray[np.float32], y: NDArray[np.float32], corners: Corners, bows: tuple[float, ...],
    size: tuple[int, int], back: Corners,
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:  # fmt: skip
    """Where places of the flat page, x (1, W) and y (H, 1) or both (n,), lie in the picture."""
    sides = np.roll(corners, -1, axis=0) - corners
    outward = (
        np.stack([sides[:, 1], -sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None] * np.array(bows)[:, None]
    )
    u, v = x / size[0], y / size[1]
    depth = back[2, 0] * x + back[2, 1] * y + back[2, 2]
    along, down = 4 * u * (1 - u), 4 * v * (1 - v)
    places = []
    for axis in (0, 1):
        straight = (back[axis, 0] * x + back[axis, 1] * y + back[axis, 2]) / depth
        bent = along * ((1 - v) * outward[0, axis] + v * outward[2, axis])
        bent = bent + down * ((1 - u) * outward[3, axis] + u * outward[1, axis])
        places.append(np.asarray(straight + bent, np.float32))
    return places[0], places[1]


def seen_at(
    points: NDArray[np.float64], corners: Corners, bows: tuple[float, ...], picture: tuple[int, int]
) -> NDArray[np.float64]:
    """Where points (n, 2) of the flat page lie in the picture, of `picture` (width, height), that it was made of."""
    size = page_size(corners, picture)
    back = np.asarray(np.linalg.inv(homography(corners, size)), np.float64)
    x, y = points.astype(np.float32).T
    return np.stack(_places(x, y, corners, bows or (0.0,) * 4, size, back), axis=1).astype(np.float64)


def homography(corners: Corners, size: tuple[int, int]) -> NDArray[np.float64]:
    """The matrix (3, 3) from pixels of the picture to pixels of the page, its edge trimmed off."""
    trim = TRIM * max(size)
    width, height = size
    goal = np.array(
        [[-trim, -trim], [width + trim, -trim], [width + trim, height + trim], [-trim, height + trim]],
        np.float32,
    )
    return np.asarray(cv2.getPerspectiveTransform(corners.astype(np.float32), goal), np.float64)


def page_size(corners: Corners, picture: tuple[int, int]) -> tuple[int, int]:
    """Width and height in pixels that keep the detail that the photograph has and the page's own proportions."""
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    width, height = max(sides[0], sides[2]), max(sides[1], sides[3])
    aspect = _aspect(corners, picture)
    if aspect is not None and 0.6 < aspect / (width / height) < 1.7:
        area = width * height
        width, height = (area * aspect) ** 0.5, (area / aspect) ** 0.5
    scale = min(1.0, (MOST_PIXELS / (width * height)) ** 0.5)
    return max(16, round(float(width * scale))), max(16, round(float(height * scale)))


def _aspect(corners: Corners, picture: tuple[int, int]) -> float | None:
    """Width by height of the rectangle that is seen so by a camera whose axis goes through the picture's middle.

    After Zhang and He, "Whiteboard scanning and image enhancement" (2007), section 3.3; None where the
    corners are too nearly a parallelogram to tell.
    """
    middle = np.array(picture) / 2
    m1, m2, m4, m3 = (np.array([*(corner - middle), 1.0]) for corner in corners)
    k2 = np.cross(m1, m4) @ m3 / (np.cross(m2, m4) @ m3)
    k3 = np.cross(m1, m4) @ m2 / (np.cross(m3, m4) @ m2)
    n2, n3 = k2 * m2 - m1, k3 * m3 - m1
    if abs(n2[2]) < 0.02 or abs(n3[2]) < 0.02:
        return _flat_aspect(n2, n3, max(picture))
    focal2 = -(n2[0] * n3[0] + n2[1] * n3[1]) / (n2[2] * n3[2])
    if not (0.3 * max(picture)) ** 2 < focal2 < (4 * max(picture)) ** 2:
        return None
    return _length_ratio(n2, n3, focal2)


def _flat_aspect(n2: Corners, n3: Corners, longest: int) -> float:
    """The same with the angle of view that a phone's main camera has (about 65 degrees across, from memory)."""
    return _length_ratio(n2, n3, (0.8 * longest) ** 2)


def _length_ratio(n2: Corners, n3: Corners, focal2: float) -> float:
    def length(n: Corners) -> float:
        return float(((n[0] ** 2 + n[1] ** 2) / focal2 + n[2] ** 2) ** 0.5)

    return length(n2) / max(1e-9, length(n3))
