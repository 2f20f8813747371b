"""Openings proposed from drawn line; which areas are holes is known from the drawing."""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.errors import ModelBroken
from assetlib.imaging.cleaning import lookthrough
from assetlib.imaging.cleaning.body import fill_body
from assetlib.imaging.cleaning.ink import lift
from assetlib.imaging.cleaning.openings import Opening, alike_together, openings_overlay, propose_openings
from assetlib.imaging.formats import read_picture


def a_mug(side: int = 400) -> NDArray[np.uint8]:
    """A mug in line with a handle; the handle's hole is at (330, 200), the wall at (150, 200)."""
    alpha = np.zeros((400, 400), np.uint8)
    cv2.ellipse(alpha, (270, 200), (95, 95), 0, -80, 80, 255, 4)
    cv2.ellipse(alpha, (270, 200), (65, 65), 0, -76, 76, 255, 4)
    cv2.rectangle(alpha, (70, 70), (285, 340), 0, -1)
    cv2.rectangle(alpha, (70, 70), (285, 340), 255, 4)
    line = np.zeros((side, side, 4), np.uint8)
    line[..., 3] = cv2.resize(alpha, (side, side), interpolation=cv2.INTER_AREA)
    return line


def a_shirt(side: int = 400) -> NDArray[np.uint8]:
    """A shirt in line, its two halves and its sleeves enclosed."""
    alpha = np.zeros((400, 400), np.uint8)
    sleeves = (
        ((140, 70), (115, 100), (50, 220), (90, 245), (115, 200)),
        ((260, 70), (285, 100), (350, 220), (310, 245), (285, 200)),
    )
    front = ((140, 70), (260, 70), (285, 100), (285, 350), (115, 350), (115, 100))
    cv2.polylines(alpha, [np.array(part) for part in (*sleeves, front)], True, 255, 4)
    cv2.ellipse(alpha, (200, 70), (35, 28), 0, 0, 180, 255, 4)
    cv2.line(alpha, (200, 98), (200, 350), 255, 3)
    line = np.zeros((side, side, 4), np.uint8)
    line[..., 3] = cv2.resize(alpha, (side, side), interpolation=cv2.INTER_AREA)
    return line


def at(openings: tuple[Opening, ...], x: int, y: int) -> Opening:
    return next(opening for opening in openings if opening.mask[y, x])


def test_every_enclosed_area_is_proposed_and_numbered_from_the_largest() -> None:
    line = a_mug()
    openings = propose_openings(line, line, fill_body(line))
    assert [opening.number for opening in openings] == list(range(1, len(openings) + 1))
    sizes = [int(opening.mask.sum()) for opening in openings]
    assert sizes == sorted(sizes, reverse=True)
    handle = at(openings, 310, 200)
    assert not handle.mask[200, 150]
    assert not (handle.mask & (line[..., 3] > 64)).any()


def test_a_handle_is_likelier_open_than_the_wall_it_sits_on() -> None:
    line = a_mug()
    openings = propose_openings(line, line, fill_body(line))
    assert at(openings, 310, 200).score > at(openings, 150, 200).score
    assert not at(openings, 150, 200).is_open


@pytest.mark.parametrize("side", [250, 400, 800, 1600])
def test_a_handle_is_open_and_the_mug_is_not_at_every_size(side: int) -> None:
    line = a_mug(side)
    openings = propose_openings(line, line, fill_body(line))
    assert at(openings, 310 * side // 400, side // 2).is_open
    assert [opening.is_open for opening in openings].count(True) == 1


@pytest.mark.parametrize("side", [300, 900])
def test_a_shirt_and_its_sleeves_stay_closed(side: int) -> None:
    line = a_shirt(side)
    openings = propose_openings(line, line, fill_body(line))
    assert len(openings) >= 4
    assert not any(opening.is_open for opening in openings)


@pytest.mark.parametrize("held", [None, b"", b"no network"])
def test_a_judge_that_is_missing_or_damaged_is_told(
    held: bytes | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "openings.onnx"
    if held is not None:
        file.write_bytes(held)
    monkeypatch.setattr(lookthrough, "JUDGE", file)
    line = a_mug()
    with pytest.raises(ModelBroken, match=r"openings\.onnx"):
        propose_openings(line, line, fill_body(line))


def test_a_box_encloses_its_mask_exactly_at_every_size() -> None:
    for side in (400, 1600):
        line = a_mug(side)
        for opening in propose_openings(line, line, fill_body(line)):
            x, y, width, height = opening.box
            inside = opening.mask[y : y + height, x : x + width]
            assert inside.sum() == opening.mask.sum()
            assert inside[0].any()
            assert inside[-1].any()
            assert inside[:, 0].any()
            assert inside[:, -1].any()


def test_a_heavy_black_line_is_no_paint_and_opens_nothing_by_itself() -> None:
    line = np.zeros((400, 400, 4), np.uint8)
    cv2.rectangle(line, (60, 60), (340, 340), (0, 0, 0, 255), 44)
    cv2.line(line, (200, 60), (200, 340), (0, 0, 0, 255), 44)
    openings = propose_openings(line, line, fill_body(line))
    assert len(openings) == 2
    assert not any(opening.is_open for opening in openings)


def test_holes_of_a_painted_cut_out_are_open() -> None:
    ring = np.zeros((200, 200, 4), np.uint8)
    alpha = np.zeros((200, 200), np.uint8)
    cv2.circle(alpha, (100, 100), 80, 255, -1)
    cv2.circle(alpha, (100, 100), 30, 0, -1)
    ring[..., 3], ring[..., :3] = alpha, (200, 150, 60)
    openings = propose_openings(ring, ring, fill_body(ring))
    assert [opening.is_open for opening in openings] == [True]
    assert openings[0].mask[100, 100]


def test_nothing_enclosed_proposes_nothing() -> None:
    line = np.zeros((100, 100, 4), np.uint8)
    line[50, 10:90, 3] = 255
    assert propose_openings(line, line, fill_body(line)) == ()


def test_the_overlay_shows_open_areas_tinted_and_leaves_the_rest() -> None:
    line = a_mug()
    mask = np.zeros((400, 400), bool)
    mask[100:300, 100:200] = True
    overlay = np.array(openings_overlay(line, [Opening(7, (100, 100, 100, 200), mask, True, 0.9)]))
    assert overlay.shape == (400, 400, 3)
    assert (overlay[20, 20] == 255).all()
    assert overlay[110, 110, 2] > overlay[110, 110, 0]


# places on the demo sheet of vans, in its pixels: what one looks through and what one does not
DEMO = Path(__file__).parents[3] / "demo_assets"
SHEET = DEMO / "sheets" / "BAKERY_van_interiors_v3.png"
THROUGH = {
    "Delivery van, front": [(340, 1400)],
    "Delivery van, profile": [(1010, 1420)],
    "Delivery van, three-quarter back": [(1375, 1400), (1485, 1400), (1665, 1410)],
    "Hood mount two-shot": [(320, 300)],
    "Hood mount, driver alone": [(910, 300)],
    "Driver's side in profile": [(2020, 260)],
}
SHUT = {
    "Delivery van, front": [(250, 1600), (215, 1545)],
    "Delivery van, profile": [(800, 1380), (800, 1440)],
    "Delivery van, three-quarter back": [(1340, 1520), (1600, 1500)],
    "Hood mount two-shot": [(235, 300), (410, 290), (300, 430)],
    "Hood mount, driver alone": [(995, 280), (900, 430)],
    "Driver's side in profile": [(2150, 450), (2090, 320)],
}


@pytest.mark.parametrize("title", THROUGH)
def test_one_looks_through_the_glass_of_a_vehicle_and_not_through_its_metal_and_people(title: str) -> None:
    told = json.loads((DEMO / "expected.json").read_text(encoding="utf-8"))
    drawings = {own["title"]: own["box"] for sheet in told["sheets"] for own in sheet["elements"]}
    x, y, width, height = drawings[title]
    drawing = read_picture(SHEET)[y - 9 : y + height + 9, x - 9 : x + width + 9]
    ink = lift(drawing)
    openings = propose_openings(drawing, ink, fill_body(ink))
    is_open = np.zeros(drawing.shape[:2], bool)
    for opening in openings:
        if opening.is_open:
            is_open |= opening.mask
    assert all(is_open[b - y + 9, a - x + 9] for a, b in THROUGH[title])
    assert not any(is_open[b - y + 9, a - x + 9] for a, b in SHUT[title])


def test_gaps_of_one_thing_go_together_and_its_slats_apart_from_them() -> None:
    gaps = [(200, 100 + 60 * k, 180, 26) for k in range(4)]
    slats = [(190, 130 + 60 * k, 205, 26) for k in range(3)]
    alone = (40, 300, 60, 60)
    likely = np.array([1.5, -3.0, 0.5, 1.0, -3.5, -2.0, -3.5, 2.0], np.float32)
    evened = alike_together(likely, [*gaps, *slats, alone])
    assert evened[:4].tolist() == [0.0] * 4
    assert evened[4:7].tolist() == [-3.0] * 3
    assert evened[7] == 2.0
