"""What leaves a clean copy unasked, and what of it looks alike and stays; judged on pages with known marks."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.assembly import PicturePlan, PiecePlan, write_clean
from assetlib.imaging.cleaning.soil import find_soil

Picture = NDArray[np.uint8]


def a_page(side: int = 900) -> Picture:
    rng = np.random.default_rng(3)
    grain = np.float32((246, 244, 238)) + rng.normal(0, 1.6, (side, side, 1)).astype(np.float32)
    page = np.dstack([np.clip(grain, 0, 255).astype(np.uint8), np.full((side, side), 255, np.uint8)])
    cv2.rectangle(page, (300, 330), (640, 640), (24, 24, 28, 255), 6)
    cv2.circle(page, (420, 450), 12, (24, 24, 28, 255), -1)
    cv2.circle(page, (520, 450), 12, (24, 24, 28, 255), -1)
    return page


def copy_of(page: Picture, folder: Path, *blemishes: str) -> tuple[Picture, set[str]]:
    path = folder / "page.png"
    Image.fromarray(page).save(path)
    whole = (0, 0, page.shape[1], page.shape[0])
    made = write_clean(
        PicturePlan((PiecePlan(str(path), whole),), target=str(folder / "out.png"), blemishes=blemishes)
    )
    return np.asarray(Image.open(made.ink)), {kind for kind, _ in made.removed}


def dusty(page: Picture) -> list[tuple[int, int]]:
    rng = np.random.default_rng(8)
    places = [(int(x), int(y)) for x, y in rng.integers(20, 280, (14, 2))]
    for x, y in places:
        cv2.circle(page, (x, y), 2, (70, 66, 60, 255), -1, cv2.LINE_AA)
    return places


def test_dust_goes_and_the_eyes_of_a_face_stay(tmp_path: Path) -> None:
    page = a_page()
    places = dusty(page)
    ink, removed = copy_of(page, tmp_path)
    assert "speck" in removed
    assert sum(ink[y, x, 3] > 40 for x, y in places) <= 1
    assert ink[450, 420, 3] > 200
    assert ink[450, 520, 3] > 200


def test_dust_that_was_put_back_stays(tmp_path: Path) -> None:
    page = a_page()
    places = dusty(page)
    ink, removed = copy_of(page, tmp_path, "keep speck")
    assert "speck" not in removed
    assert sum(ink[y, x, 3] > 40 for x, y in places) > len(places) // 2


def spilt(page: Picture, at: tuple[int, int], radius: int) -> Picture:
    spot = np.zeros(page.shape[:2], np.float32)
    cv2.circle(spot, at, radius, 1.0, -1)
    spot = cv2.GaussianBlur(spot, (0, 0), 3)[..., None]
    out = page.copy()
    out[..., :3] = np.rint(page[..., :3] * (1 - spot * (1 - np.float32((0.9, 0.8, 0.6)))))
    return out


def test_a_spill_across_the_outline_goes_and_the_line_under_it_stays(tmp_path: Path) -> None:
    ink, removed = copy_of(spilt(a_page(), (480, 660), 60), tmp_path)
    assert "stain" in removed
    assert ink[640, 440:520, 3].min() > 150
    assert (ink[670:700, 440:520, 3] > 40).mean() < 0.05


@pytest.mark.parametrize("patches", [1, 2])
def test_a_brown_wash_within_its_outline_is_no_stain(patches: int) -> None:
    page = a_page()
    for k in range(patches):
        wash = page.copy()
        cv2.rectangle(wash, (306, 336 + 160 * k), (634, 480 + 150 * k), (190, 150, 110, 255), -1)
        page = wash
    cv2.rectangle(page, (300, 330), (640, 640), (24, 24, 28, 255), 6)
    assert find_soil(page).stains is None
