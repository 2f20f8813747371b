"""Pages held against what others make of them: OpenCV's own homography, and pictures as phones turn them."""

from __future__ import annotations

import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.cutting.cutwork import CutJob, CutPage, cut_page
from assetlib.imaging.cutting.paper import find_ink
from assetlib.imaging.pages import find_page, flatten
from assetlib.imaging.pages.carrying import carried_length, carried_points
from assetlib.imaging.pages.fixing import PageFix
from assetlib.imaging.pages.flattening import TRIM, page_size
from tests.imaging.pages.test_finding import TILTED, photograph
from tests.outside import PATIENCE, needs_program

Points = NDArray[np.float64]
WIDTH, HEIGHT = 900, 640
SIZE = (1100, 780)
MARKS = [(150.0, 120.0), (450.0, 330.0), (760.0, 130.0), (140.0, 520.0), (770.0, 510.0)]
WOOD = (120, 84, 52)
STORED = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}
"""How an upright picture lies in a file whose Exif says this (CIPA DC-008, Orientation: 3 has row 0 at the bottom, 6 at
the right, 8 at the left)."""


def opencv_homography(size: tuple[int, int]) -> Points:
    """OpenCV's own matrix from the photograph to a page of this size, whose edge is trimmed."""
    trim = TRIM * max(size)
    right, lower = size[0] + trim, size[1] + trim
    goal = np.array([[-trim, -trim], [right, -trim], [right, lower], [-trim, lower]])
    matrix, _ = cv2.findHomography(np.array(TILTED, np.float64), goal)
    return np.asarray(matrix, np.float64)


def dots_of(picture: NDArray[np.uint8]) -> Points:
    """The middles of the dots on a page, (n, 2), as OpenCV finds connected parts."""
    dark = (cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY) < 110).astype(np.uint8)
    _, _, stats, middles = cv2.connectedComponentsWithStats(dark)
    return np.asarray(middles[1:][stats[1:, cv2.CC_STAT_AREA] > 100], np.float64)


def test_dots_of_a_found_page_lie_where_the_homography_of_its_known_corners_puts_them() -> None:
    page = np.full((HEIGHT, WIDTH, 3), 244, np.uint8)
    for x, y in MARKS:
        cv2.circle(page, (int(x), int(y)), 12, (20, 20, 20), -1)
    shot = photograph(page, TILTED, WOOD)
    found = find_page(shot)
    assert found is not None
    flat = flatten(shot, found)
    size = (flat.shape[1], flat.shape[0])
    onto, _ = cv2.findHomography(
        np.array([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)], np.float64), np.array(TILTED, np.float64)
    )
    there = cv2.perspectiveTransform(np.array(MARKS)[:, None], opencv_homography(size) @ onto)[:, 0]
    dots = dots_of(flat)
    assert len(dots) == len(MARKS)
    for mark in there:
        assert np.hypot(*(dots - mark).T).min() < 0.01 * size[0]


def test_places_are_carried_as_the_homography_carries_them() -> None:
    fix = PageFix(tuple((float(x), float(y)) for x, y in TILTED))
    matrix = opencv_homography(page_size(np.array(TILTED, np.float64), SIZE))
    seen = np.random.default_rng(4).uniform((200, 150), (850, 620), (200, 2))
    there = cv2.perspectiveTransform(seen[:, None], matrix)[:, 0]
    assert np.abs(carried_points(seen, None, fix, SIZE) - there).max() < 0.01
    assert np.abs(carried_points(there, fix, None, SIZE) - seen).max() < 0.01


def test_places_on_a_curled_page_come_back_to_themselves() -> None:
    fix = PageFix(tuple((float(x), float(y)) for x, y in TILTED), (14.0, -6.0, 21.0, 8.0))
    seen = np.random.default_rng(5).uniform((200, 150), (850, 620), (200, 2))
    flat = carried_points(seen, None, fix, SIZE)
    straight = carried_points(seen, None, PageFix(fix.corners), SIZE)
    assert np.abs(flat - straight).max() > 5
    assert np.abs(carried_points(flat, fix, None, SIZE) - seen).max() < 0.01


@pytest.fixture(scope="module")
def upright(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A photographed page of three drawings, whose sides are whole blocks of JPEG."""
    page = np.full((HEIGHT, WIDTH, 3), 244, np.uint8)
    cv2.circle(page, (200, 200), 90, (30, 30, 30), 6)
    cv2.rectangle(page, (480, 340), (760, 540), (30, 30, 30), 6)
    cv2.fillPoly(page, [np.array([(500, 240), (700, 240), (600, 70)])], (60, 60, 60))
    file = tmp_path_factory.mktemp("upright") / "phone.jpg"
    Image.fromarray(photograph(page, TILTED, WOOD)[:768, :1088]).save(file, quality=95, subsampling=0)
    return file


@pytest.fixture(scope="module")
def cut_upright(upright: Path) -> CutPage:
    return cut_page(CutJob(str(upright)))


@pytest.mark.parametrize("orientation", STORED)
@pytest.mark.parametrize("writer", ["Pillow", "exiftool"])
def test_a_picture_that_a_phone_held_otherwise_is_cut_as_the_upright_one(
    upright: Path, cut_upright: CutPage, tmp_path: Path, writer: str, orientation: int
) -> None:
    file = tmp_path / "turned.jpg"
    with Image.open(upright) as opened:
        turned = opened.transpose(STORED[orientation])
    if writer == "Pillow":
        told = Image.Exif()
        told[0x0112] = orientation
        turned.save(file, quality=95, subsampling=0, exif=told)
    else:
        turned.save(file, quality=95, subsampling=0)
        said = [needs_program("exiftool"), "-q", "-n", "-overwrite_original", f"-Orientation={orientation}"]
        subprocess.run([*said, str(file)], check=True, timeout=PATIENCE)
    cut = cut_page(CutJob(str(file)))
    assert cut_upright.page_fix is not None
    assert cut.page_fix is not None
    corners = np.subtract(cut.page_fix["corners"], cut_upright.page_fix["corners"])
    assert np.abs(corners).max() < 2
    assert (cut.picture, len(cut.elements)) == ((1088, 768), 3)
    boxes = np.subtract([e.box for e in cut.elements], [e.box for e in cut_upright.elements])
    assert np.abs(boxes).max() <= 3


def test_a_length_on_a_page_seen_at_half_its_size_is_as_long_in_the_picture() -> None:
    """Pages keep the detail of the photograph, so that a pixel stays a pixel where the camera looks straight down."""
    fix = PageFix(((100.0, 50.0), (500.0, 50.0), (500.0, 350.0), (100.0, 350.0)), (0.0,) * 4)
    assert carried_length(40.0, fix, None, (600, 400)) == pytest.approx(40, rel=0.02)
    assert carried_length(40.0, None, None, (600, 400)) == 40.0


def test_ink_on_scikit_images_page_is_what_its_own_threshold_calls_ink() -> None:
    """A photographed page of print in uneven light; Sauvola's threshold as scikit-image has it, on its own example."""
    pytest.importorskip("skimage")
    from skimage import data, filters

    page = np.asarray(data.page(), np.uint8)
    print_ = page < filters.threshold_sauvola(page, 25)
    rgba = np.dstack([page, page, page, np.full_like(page, 255)])
    ink = find_ink(rgba).mask > 0
    assert (ink & print_).sum() > 0.8 * print_.sum()
    assert (ink & print_).sum() > 0.6 * ink.sum()
