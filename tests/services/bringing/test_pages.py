"""Photographs of pages through the library: flattened, cut, cleaned, and left alone on request."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from sqlalchemy import select

from assetlib.catalogue.entries import Cut, Original
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing.clean_copies import Changes, make
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.trade.clearance import Statement, answer, clearance
from tests.imaging.pages.test_finding import TILTED, draw_page, photograph

Picture = NDArray[np.uint8]
SLATE = (70, 80, 95)


def draw_sheet() -> Picture:
    """Six drawings, two rows of three."""
    page = np.full((640, 900, 3), 244, np.uint8)
    for k, (x, y) in enumerate((x, y) for y in (180, 460) for x in (160, 450, 740)):
        cv2.circle(page, (x, y), 60 + 5 * k, (30, 30, 30), 5)
        cv2.line(page, (x - 30, y - 20), (x + 30, y + 25), (30, 30, 30), 5)
    return page


@pytest.fixture
def shot(tmp_path: Path) -> Path:
    """A photograph of that sheet on slate."""
    file = tmp_path / "table.jpg"
    Image.fromarray(photograph(draw_sheet(), TILTED, SLATE)).save(file, quality=92)
    return file


def test_a_photographed_sheet_is_cut_as_its_page(lib: Library, shot: Path) -> None:
    (sheet,) = bring_in(lib, [shot], Wishes(role="sheet")).added
    assert sheet.page == ("photograph flattened",)
    (page,) = cut_sheet(lib, sheet.code)
    assert len(page.elements) == 6
    assert page.page_fix is not None
    assert page.page_fix["corners"] is not None
    with lib.reading() as session:
        kept = session.scalars(select(Cut).where(Cut.reason == "brought in").order_by(Cut.id)).all()
        assert all(cut.page_fix == page.page_fix for cut in kept[1:])
        original = session.scalars(select(Original)).one()
    assert lib.originals.path(original.sha256).read_bytes() == shot.read_bytes()  # type: ignore[arg-type]


def test_its_clean_copy_is_the_drawing_and_not_the_photograph(lib: Library, shot: Path) -> None:
    (sheet,) = bring_in(lib, [shot], Wishes(role="sheet")).added
    (page,) = cut_sheet(lib, sheet.code)
    first = page.elements[0]
    assert first.code is not None
    with Image.open(make(lib, first.code).ink) as opened:
        ink = np.array(opened.convert("RGBA"))
    assert 0.02 < (ink[..., 3] > 128).mean() < 0.4
    assert ink[ink[..., 3] > 200][:, :3].mean() < 90


def test_the_photograph_stays_one_on_request(lib: Library, shot: Path) -> None:
    (sheet,) = bring_in(lib, [shot], Wishes(role="sheet", as_it_is=True)).added
    assert sheet.page == ()
    (page,) = cut_sheet(lib, sheet.code, CutSettings(as_it_is=True))
    assert page.page_fix is None
    assert page.size == (1100, 780)
    (again,) = cut_sheet(lib, sheet.code)
    assert again.page_fix is None  # kept with the other corrections


def test_a_photographed_drawing_is_an_element_of_its_page(lib: Library, tmp_path: Path) -> None:
    file = tmp_path / "one.png"
    page = np.full((640, 900, 3), 244, np.uint8)
    cv2.circle(page, (450, 320), 150, (30, 30, 30), 6)
    Image.fromarray(photograph(page, TILTED, SLATE)).save(file)
    (element,) = bring_in(lib, [file]).added
    assert element.role == "element"
    assert element.page == ("photograph flattened",)
    copies = make(lib, element.code)
    with Image.open(copies.body) as opened:
        body = np.array(opened.convert("RGBA"))[..., 3]
    assert body[body.shape[0] // 2, body.shape[1] // 2] == 255
    assert (body > 0).mean() < 0.35


def test_a_reference_stays_the_photograph_that_it_is(lib: Library, tmp_path: Path) -> None:
    file = tmp_path / "reference.png"
    Image.fromarray(photograph(draw_page(), TILTED, SLATE)).save(file)
    (kept,) = bring_in(lib, [file], Wishes(role="reference")).added
    assert kept.page == ()


def test_the_overlay_shows_where_the_page_was_found(lib: Library, shot: Path, tmp_path: Path) -> None:
    (sheet,) = bring_in(lib, [shot], Wishes(role="sheet")).added
    (page,) = cut_sheet(lib, sheet.code, dry_run=True, overlays=tmp_path)
    assert page.overlay is not None
    with Image.open(page.overlay) as opened:
        shown = np.array(opened.convert("RGB"))
    assert shown.shape[0] > page.size[1] * shown.shape[1] / page.size[0]
    strip = shown[-100:, :300].reshape(-1, 3)
    assert (np.abs(strip.astype(int) - (186, 73, 0)).max(axis=1) < 40).any()


def brought_in_and_cut(lib: Library, shot: Path) -> tuple[str, list[str]]:
    """The code of a photographed sheet and those of its drawings, in reading order."""
    (sheet,) = bring_in(lib, [shot], Wishes(role="sheet")).added
    (page,) = cut_sheet(lib, sheet.code)
    return sheet.code, [out.code or "" for out in page.elements]


@pytest.fixture
def pale_shot(tmp_path: Path) -> Path:
    """A photograph of that sheet on a table hardly darker than it, where drawings are found without its page too."""
    file = tmp_path / "pale table.png"
    Image.fromarray(photograph(draw_sheet(), TILTED, (225, 222, 215))).save(file)
    return file


def test_codes_stay_with_drawings_when_the_page_is_refused_and_wanted_again(
    lib: Library, pale_shot: Path
) -> None:
    sheet, codes = brought_in_and_cut(lib, pale_shot)
    assert len(codes) == 6
    (flat,) = cut_sheet(lib, sheet, dry_run=True)
    (whole,) = cut_sheet(lib, sheet, CutSettings(as_it_is=True))
    assert flat.page_fix is not None
    assert whole.page_fix is None
    kept = [out for out in whole.elements if out.code in codes]  # the page's own edge may be one more
    assert [out.code for out in kept] == codes
    assert all(out.what == "changed" for out in kept)
    assert [out.element.box for out in kept] != [out.element.box for out in flat.elements]
    (back,) = cut_sheet(lib, sheet, fresh=True)
    assert [(out.code, out.element.box) for out in back.elements] == [
        (code, out.element.box) for code, out in zip(codes, flat.elements, strict=True)
    ]


def test_drawings_lost_with_the_page_come_back_with_it_under_their_codes(lib: Library, shot: Path) -> None:
    sheet, codes = brought_in_and_cut(lib, shot)
    (whole,) = cut_sheet(lib, sheet, CutSettings(as_it_is=True))
    assert sorted(whole.gone) == sorted(codes)  # paper and table are one thing to whoever refuses the page
    (back,) = cut_sheet(lib, sheet, fresh=True)
    assert [out.code for out in back.elements] == codes


def test_what_was_said_and_chosen_of_a_drawing_stays_when_its_page_is_refused(
    lib: Library, pale_shot: Path
) -> None:
    sheet, codes = brought_in_and_cut(lib, pale_shot)
    answer(lib, codes[:1], Statement(((Question.ORIGIN, "out-of-the-head"),)))
    first = make(lib, codes[0]).openings[0]
    switched = make(
        lib, codes[0], Changes(shut=(first["number"],)) if first["open"] else Changes(open=(first["number"],))
    )
    (whole,) = cut_sheet(lib, sheet, CutSettings(as_it_is=True))
    assert (whole.elements[0].code, whole.elements[0].what) == (codes[0], "changed")
    (now,) = [opening for opening in make(lib, codes[0]).openings if opening["number"] == first["number"]]
    (was,) = [opening for opening in switched.openings if opening["number"] == first["number"]]
    assert now["open"] == was["open"] != first["open"]
    (told,) = clearance(lib, codes[:1])
    assert not told.to_confirm


def test_boxes_stay_where_they_were_drawn_when_the_page_is_refused(lib: Library, pale_shot: Path) -> None:
    sheet, _ = brought_in_and_cut(lib, pale_shot)
    (flat,) = cut_sheet(lib, sheet, dry_run=True)
    first, second = (out.element.box for out in flat.elements[:2])
    both = (
        first[0] - 4,
        min(first[1], second[1]) - 4,
        second[0] + second[2] - first[0] + 8,
        max(first[3], second[3]) + 12,
    )
    (joined,) = cut_sheet(lib, sheet, CutSettings(boxes=(both,)))
    assert len(joined.elements) == 5
    kept = joined.elements[0].code
    (whole,) = cut_sheet(lib, sheet, CutSettings(as_it_is=True))
    assert whole.page_fix is None
    drawn = [out for out in whole.elements if out.what != "new"]  # the page's own edge may be new
    assert len(drawn) == 5
    assert drawn[0].code == kept
    widths = sorted(out.element.box[2] for out in drawn)
    assert widths[-1] > 1.6 * widths[-2]
