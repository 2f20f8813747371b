"""The demo's drawings: the files agree with what is told of them, and drawing again gives the same."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from demo_assets.sheets import SHEETS, draw_sheet
from demo_assets.singles import SINGLES, draw_single

FOLDER = Path(__file__).parents[1] / "demo_assets"
DRAWN = [p for name in ("sheets", "singles", "backdrops") for p in sorted((FOLDER / name).iterdir())]
DARK = 140  # darker than any paper of the sheets, lighter than their ink


def told() -> dict[str, Any]:
    expected: dict[str, Any] = json.loads((FOLDER / "expected.json").read_text(encoding="utf-8"))
    return expected


SHEET_FACTS = told()["sheets"]


def ink_of(path: Path) -> np.ndarray[Any, Any]:
    with Image.open(path) as picture:
        return np.asarray(picture.convert("L")) < DARK


def is_clear(path: Path) -> bool:
    with Image.open(path) as picture:
        return picture.convert("RGBA").getchannel("A").getextrema()[0] == 0


def test_there_are_sixty_elements_and_more_on_five_sheets() -> None:
    counts = [len(s["elements"]) for s in SHEET_FACTS]
    titles = [e["title"] for s in SHEET_FACTS for e in s["elements"]]
    assert len(counts) == 5
    assert all(8 <= n <= 14 for n in counts)
    assert sum(counts) >= 60
    assert len(set(titles)) == len(titles)


def test_every_file_is_told_of_and_together_they_stay_small() -> None:
    facts = told()
    names = [s["file"] for s in facts["sheets"]] + [s["file"] for s in facts["singles"]] + facts["backdrops"]
    assert sorted(names) == sorted(p.relative_to(FOLDER).as_posix() for p in DRAWN)
    assert sum(p.stat().st_size for p in DRAWN) <= 6_000_000


@pytest.mark.parametrize("sheet", SHEET_FACTS, ids=lambda s: s["file"])
def test_boxes_hold_the_ink_and_touch_it_on_all_sides(sheet: dict[str, Any]) -> None:
    ink = ink_of(FOLDER / sheet["file"])
    assert [ink.shape[1], ink.shape[0]] == sheet["size"]
    for element in sheet["elements"]:
        x, y, w, h = element["box"]
        inside = ink[y : y + h, x : x + w]
        rows, columns = np.flatnonzero(inside.any(axis=1)), np.flatnonzero(inside.any(axis=0))
        assert inside.shape == (h, w), element["title"]
        assert max(rows[0], h - 1 - rows[-1], columns[0], w - 1 - columns[-1]) <= 3, element["title"]


@pytest.mark.parametrize("sheet", SHEET_FACTS, ids=lambda s: s["file"])
def test_boxes_keep_apart_and_stand_in_reading_order(sheet: dict[str, Any]) -> None:
    boxes = [e["box"] for e in sheet["elements"]]
    assert [e["order"] for e in sheet["elements"]] == list(range(1, len(boxes) + 1))
    for n, (x, y, w, h) in enumerate(boxes):
        for u, v, p, q in boxes[n + 1 :]:
            assert x + w <= u or u + p <= x or y + h <= v or v + q <= y
            assert v + q / 2 > y or u > x


def test_outside_the_boxes_there_are_only_captions_and_frames() -> None:
    for sheet in SHEET_FACTS:
        ink = ink_of(FOLDER / sheet["file"])
        before = int(ink.sum())
        for x, y, w, h in (e["box"] for e in sheet["elements"]):
            ink[y - 2 : y + h + 2, x - 2 : x + w + 2] = False
        assert ink.sum() < 0.2 * before, sheet["file"]


@pytest.mark.parametrize("number", [0, 4])
def test_drawing_a_sheet_again_gives_the_same_pixels(number: int) -> None:
    page, boxes = draw_sheet(SHEETS[number])
    facts = SHEET_FACTS[number]
    assert [list(b) for b in boxes] == [e["box"] for e in facts["elements"]]
    with Image.open(FOLDER / facts["file"]) as kept:
        apart = np.abs(np.asarray(page, int) - np.asarray(kept.convert("L"), int))
    assert np.percentile(apart, 99.9) <= 24  # the file keeps 16 greys


def test_copies_name_an_original_among_the_singles() -> None:
    singles = told()["singles"]
    originals = {s["file"] for s in singles if s["copy_of"] is None}
    copies = [s for s in singles if s["copy_of"]]
    assert len(singles) == 12
    assert {s["how"] for s in copies} == {"mirrored", "altered", "coloured"}
    assert all(s["copy_of"] in originals for s in copies)


def test_a_mirrored_copy_is_its_original_the_other_way_round() -> None:
    copy = next(s for s in SINGLES if s.how == "mirrored")
    first = next(s for s in SINGLES if s.file == copy.copy_of)
    clear = draw_single(first)
    paper = Image.new("L", clear.size, 255)
    paper.paste(clear.convert("L"), mask=clear.getchannel("A"))
    turned, original = np.asarray(draw_single(copy), int), np.asarray(paper, int)
    h, w = original.shape
    edge = (turned.shape[0] - h) // 2
    assert np.array_equal(turned[edge : edge + h, edge : edge + w], original[:, ::-1])
    assert not np.array_equal(original, original[:, ::-1])


def test_formats_and_grounds_are_mixed() -> None:
    kinds = {p.suffix for p in DRAWN}
    clear = [p for p in DRAWN if p.suffix == ".png" and is_clear(p)]
    assert kinds == {".png", ".jpg", ".tif", ".webp"}
    assert len(clear) >= 3


def test_the_shot_list_has_twenty_lines() -> None:
    lines = (FOLDER / "shot_list.txt").read_text(encoding="utf-8").splitlines()
    assert len([line for line in lines if line[:1].isdigit()]) == 20
