"""Clean copies through the library: ink, body, openings that are switched and kept."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from assetlib.errors import WrongUsage
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.services.bringing.clean_copies import Changes, make
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.bringing.taking_along import export
from assetlib.services.jobs import cutouts
from assetlib.services.keeping.history import undo_steps
from tests.outside import read_with_exiftool


@pytest.fixture
def window(lib: Library, tmp_path: Path) -> str:
    """The code of a house front with one window, black line on white paper."""
    page = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(page)
    pen.rectangle((60, 60, 340, 340), outline=0, width=6)
    pen.rectangle((150, 130, 250, 230), outline=0, width=6)
    page.save(tmp_path / "window.png")
    return bring_in(lib, [tmp_path / "window.png"], Wishes(role="element")).added[0].code


def _alpha(path: Path) -> np.ndarray:
    with Image.open(path) as opened:
        return np.array(opened.convert("RGBA"))[..., 3]


def test_ink_body_and_mask(lib: Library, window: str) -> None:
    copies = make(lib, window)
    ink, body = _alpha(copies.ink), _alpha(copies.body)
    assert ink[10, 10] == 0
    assert ink[100, 100] == 0  # paper inside the house
    assert ink[60, 200] == 255
    assert body[10, 10] == 0
    assert body[100, 100] == 255
    with Image.open(copies.mask) as mask:
        assert mask.getpixel((100, 100)) == 255
        assert mask.getpixel((10, 10)) == 0


def _say_resolution(path: Path) -> tuple[float, float]:
    """Pixels an inch across and down, as exiftool reads them from the file."""
    told = read_with_exiftool(path, "PNG-pHYs:all")
    assert told["PixelUnits"] == 1  # a metre
    return round(told["PixelsPerUnitX"] * 0.0254, 1), round(told["PixelsPerUnitY"] * 0.0254, 1)


@pytest.mark.parametrize(
    ("name", "options", "wanted"),
    [
        ("scan.png", {"dpi": (300, 300)}, (300, 300)),
        ("fax.tif", {"dpi": (204, 98)}, (204, 98)),
        ("fax on its side.jpg", {"dpi": (204, 98), "exif": True}, (98, 204)),
    ],
)
def test_clean_copies_say_how_large_the_drawing_is(
    lib: Library, tmp_path: Path, name: str, options: dict[str, Any], wanted: tuple[float, float]
) -> None:
    page = Image.new("L", (300, 200), 255)
    ImageDraw.Draw(page).ellipse((60, 40, 240, 160), outline=0, width=6)
    if options.pop("exif", False):
        options["exif"] = Image.Exif()
        options["exif"][0x0112] = 6
    page.save(tmp_path / name, **options)
    copies = make(lib, bring_in(lib, [tmp_path / name], Wishes(role="element")).added[0].code)
    for path in (copies.ink, copies.body, copies.mask):
        assert _say_resolution(path) == pytest.approx(wanted, abs=0.1)


def test_a_drawing_whose_file_says_no_resolution_gets_none(lib: Library, window: str) -> None:
    assert "PixelUnits" not in read_with_exiftool(make(lib, window).body, "PNG-pHYs:all")


def _window_of(copies) -> dict:  # type: ignore[no-untyped-def, type-arg]
    return next(o for o in copies.openings if 150 <= o["inside"][0] <= 250 and 130 <= o["inside"][1] <= 230)


def test_an_opening_is_switched_kept_and_undone(lib: Library, window: str) -> None:
    first = _window_of(make(lib, window))
    number = first["number"]
    shut = make(lib, window, Changes(shut=(number,)))
    assert _alpha(shut.body)[180, 200] == 255
    opened = make(lib, window, Changes(open=(number,)))
    assert _alpha(opened.body)[180, 200] == 0
    assert _alpha(make(lib, window).body)[180, 200] == 0
    undo_steps(lib)
    assert _alpha(make(lib, window).body)[180, 200] == 255
    assert _window_of(make(lib, window))["open"] is False


@pytest.mark.parametrize("place", [(152, 180), (200, 132), (249, 229), (62, 200), (180, 180), (5, 5)])
def test_opening_takes_no_ink_away_wherever_it_is_pointed(
    lib: Library, window: str, place: tuple[int, int]
) -> None:
    first = _alpha(make(lib, window).ink)
    copies = make(lib, window, Changes(open_at=(place,)))
    assert (_alpha(copies.ink) == first).all()


def test_a_place_on_line_opens_what_is_beside_it(lib: Library, window: str) -> None:
    assert _alpha(make(lib, window).body)[300, 300] == 255
    body = _alpha(make(lib, window, Changes(open_at=((63, 300),))).body)
    assert body[300, 300] == 0


def test_a_place_where_there_is_nothing_but_line_is_refused(lib: Library, tmp_path: Path) -> None:
    page = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(page)
    pen.rectangle((60, 60, 340, 340), outline=0, width=6)
    pen.rectangle((150, 130, 250, 230), fill=0)
    page.save(tmp_path / "dark window.png")
    (added,) = bring_in(lib, [tmp_path / "dark window.png"], Wishes(role="element")).added
    with pytest.raises(WrongUsage, match="there is line at 200,180"):
        make(lib, added.code, Changes(open_at=((200, 180),)))


@pytest.mark.parametrize("word", ["hair", "Hairs", "lint", "dust"])
def test_a_hair_is_a_speck(lib: Library, window: str, word: str) -> None:
    assert make(lib, window, Changes(remove=(word,))).in_vain == ("speck",)


def test_what_is_no_blemish_is_told_with_all_that_are(lib: Library, window: str) -> None:
    with pytest.raises(WrongUsage, match="'moths' is no blemish") as told:
        make(lib, window, Changes(remove=("moths",)))
    assert "hair, lint and dust are specks" in str(told.value.hint)


def test_a_number_that_is_not_there(lib: Library, window: str) -> None:
    with pytest.raises(WrongUsage, match="no opening 99"):
        make(lib, window, Changes(open=(99,)))


def test_files_to_take_along_replace_nothing(lib: Library, window: str, tmp_path: Path) -> None:
    copies = make(lib, window)
    written = export(copies, tmp_path / "out").written
    assert len(written) == 3
    before = [path.stat().st_mtime_ns for path in written]
    assert export(copies, tmp_path / "out").there == written  # a run that was stopped goes on
    assert [path.stat().st_mtime_ns for path in written] == before
    written[1].write_bytes(b"mine")
    with pytest.raises(WrongUsage, match="there already"):
        export(copies, tmp_path / "out")
    assert written[1].read_bytes() == b"mine"
    assert export(copies, tmp_path / "out", replace=True).written == [written[1]]
    assert export(copies, tmp_path / "out").there == written


def test_what_was_cut_from_a_sheet_has_a_body_and_no_paper(lib: Library, tmp_path: Path) -> None:
    """Drawings that fill their boxes to the edges, on grey-yellow paper: nothing of it is left, and white stands in."""
    page = Image.new("RGB", (1300, 500), (236, 228, 208))
    pen = ImageDraw.Draw(page)
    pen.ellipse((100, 100, 400, 400), outline=(20, 20, 20), width=8)
    pen.rectangle((500, 100, 800, 400), outline=(20, 20, 20), width=8)
    pen.rectangle((520, 120, 780, 200), fill=(20, 20, 20))
    pen.polygon([(900, 400), (1050, 100), (1200, 400)], outline=(20, 20, 20), width=8)
    page.save(tmp_path / "three.png")
    sheet = bring_in(lib, [tmp_path / "three.png"], Wishes(role="sheet")).added[0].code
    (cut,) = cut_sheet(lib, sheet)
    assert len(cut.elements) == 3
    for out in cut.elements:
        assert out.code is not None
        copies = make(lib, out.code)
        ink, body = _alpha(copies.ink), _alpha(copies.body)
        middle = body.shape[0] * 2 // 3, body.shape[1] // 2
        assert ink[middle] == 0
        assert body[middle] == 255
        assert 0.02 < (ink > 0).mean() < 0.5


def test_a_cut_drawing_ends_at_its_box_and_is_not_closed_there(lib: Library, tmp_path: Path) -> None:
    """An arch stands on two thin feet on the line where its box ends: the street goes through under it."""
    page = Image.new("L", (1000, 500), 255)
    pen = ImageDraw.Draw(page)
    pen.line([(150, 400), (150, 120), (400, 120), (400, 400)], fill=0, width=8)
    pen.ellipse((600, 120, 880, 400), outline=0, width=8)
    page.save(tmp_path / "arch.png")
    sheet = bring_in(lib, [tmp_path / "arch.png"], Wishes(role="sheet")).added[0].code
    (cut,) = cut_sheet(lib, sheet)
    arch, ring = (make(lib, out.code or "") for out in cut.elements)
    for copies, stands in ((arch, 0), (ring, 255)):
        body = _alpha(copies.body)
        assert body[body.shape[0] // 2, body.shape[1] // 2] == stands


def test_what_was_chosen_stays_when_the_box_is_drawn_anew(lib: Library, tmp_path: Path) -> None:
    page = Image.new("L", (1000, 600), 255)
    pen = ImageDraw.Draw(page)
    pen.rectangle((100, 120, 400, 420), outline=0, width=6)
    pen.rectangle((200, 200, 300, 300), outline=0, width=6)
    pen.line((350, 60, 350, 125), fill=0, width=8)
    pen.ellipse((600, 120, 880, 400), outline=0, width=8)
    page.save(tmp_path / "house.png")
    sheet = bring_in(lib, [tmp_path / "house.png"], Wishes(role="sheet")).added[0].code
    (cut,) = cut_sheet(lib, sheet)
    code = cut.elements[0].code or ""
    middle = next(
        o for o in make(lib, code).openings if 110 < o["inside"][0] < 190 and 150 < o["inside"][1] < 230
    )
    is_open = not middle["open"]
    switched = Changes(open=(middle["number"],)) if is_open else Changes(shut=(middle["number"],))
    make(lib, code, switched)
    (again,) = cut_sheet(lib, sheet, CutSettings(boxes=((90, 110, 330, 330),)))
    assert {out.code for out in again.elements} >= {code}
    body = _alpha(make(lib, code).body)
    assert body.shape[0] < 320
    assert body[140, 150] == (0 if is_open else 255)


def test_a_copy_says_how_sure_it_is(lib: Library, window: str) -> None:
    copies = make(lib, window)
    assert copies.sure == "sure"
    assert copies.sure_why == ()
    assert copies.look == ()


def test_a_full_picture_cannot_be_made_a_clean_copy_and_says_so(lib: Library, tmp_path: Path) -> None:
    rough = np.random.default_rng(1).integers(0, 255, (14, 14, 3), np.uint8)
    Image.fromarray(rough).resize((420, 420), Image.Resampling.BICUBIC).save(tmp_path / "photo.png")
    code = bring_in(lib, [tmp_path / "photo.png"], Wishes(role="element")).added[0].code
    copies = make(lib, code)
    assert copies.sure == "cannot"
    assert copies.sure_why
    assert cutouts.load(lib, copies.card.code).look == copies.sure_why


def test_what_is_pointed_at_is_switched_and_undone(lib: Library, window: str) -> None:
    opened = make(lib, window, Changes(open_at=((300, 300),)))
    assert _alpha(opened.body)[300, 300] == 0
    assert _alpha(make(lib, window, Changes(shut_at=((300, 300),))).body)[300, 300] == 255
    undo_steps(lib)
    assert _alpha(make(lib, window).body)[300, 300] == 0


def test_a_place_outside_the_drawing_is_refused(lib: Library, window: str) -> None:
    with pytest.raises(WrongUsage):
        make(lib, window, Changes(open_at=((4000, 3),)))


def test_gaps_of_one_thing_are_switched_together(lib: Library, tmp_path: Path) -> None:
    page = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(page)
    pen.rectangle((40, 40, 360, 360), outline=0, width=5)
    for x in (70, 140, 210, 280):
        pen.rectangle((x, 70, x + 40, 330), outline=0, width=5)
    page.save(tmp_path / "chair.png")
    code = bring_in(lib, [tmp_path / "chair.png"], Wishes(role="element")).added[0].code
    slats = [o for o in make(lib, code).openings if o["box"][2] < 60]
    assert len(slats) == 4
    opened = make(lib, code, Changes(open_like=(slats[0]["number"],)))
    assert [o["open"] for o in opened.openings if o["box"][2] < 60] == [True] * 4
    shut = make(lib, code, Changes(shut_like=(slats[0]["number"],)))
    assert [o["open"] for o in shut.openings if o["box"][2] < 60] == [False] * 4


@pytest.fixture
def soiled(lib: Library, tmp_path: Path) -> str:
    """The code of a house in black over a blue sketch, a cup's ring beside it and dust on the paper."""
    page = Image.new("RGB", (700, 700), (250, 250, 248))
    pen = ImageDraw.Draw(page)
    for shift in (-7, 7):
        pen.rectangle((200 + shift, 300 + shift, 480 + shift, 560 - shift), outline=(140, 175, 235), width=3)
        pen.line((200 + shift, 300, 480 + shift, 560), fill=(140, 175, 235), width=3)
    ring = Image.new("L", (700, 700), 0)
    ImageDraw.Draw(ring).ellipse((460, 60, 600, 200), outline=200, width=9)
    page.paste((205, 172, 128), mask=ring.filter(ImageFilter.GaussianBlur(1.5)))
    pen.rectangle((200, 300, 480, 560), outline=(20, 20, 24), width=7)
    pen.ellipse((70, 120, 73, 123), fill=(90, 90, 90))
    page.save(tmp_path / "soiled.png")
    return bring_in(lib, [tmp_path / "soiled.png"], Wishes(role="element")).added[0].code


def test_soil_beyond_doubt_is_taken_out_unasked_and_told(lib: Library, soiled: str) -> None:
    copies = make(lib, soiled)
    assert {"underdrawing", "stain", "speck"} <= {item["kind"] for item in copies.removed}
    body = _alpha(copies.body)
    assert body[60:75, 500:560].max() < 40  # the ring
    assert body[110:130, 60:80].max() == 0  # the dust
    assert body[288:294, 220:460].max() < 40  # the sketch beside the line
    assert _alpha(copies.ink)[300:306, 220:460].min() > 200  # the line over it
    assert copies.sure == "sure"


def test_what_was_taken_out_unasked_is_put_back_for_good_until_it_is_asked_for(
    lib: Library, soiled: str
) -> None:
    copies = make(lib, soiled, Changes(put_back=("stain", "underdrawing", "specks")))
    assert copies.removed == ()
    assert _alpha(copies.body)[60:75, 500:560].max() > 100
    again = make(lib, soiled)
    assert again.removed == ()
    assert not any("underdrawing" in why for why in again.sure_why)  # it is meant
    assert "stain" in {item["kind"] for item in make(lib, soiled, Changes(remove=("stain",))).removed}


def test_what_is_said_last_of_an_area_holds_by_number_or_by_place(lib: Library, window: str) -> None:
    number = _window_of(make(lib, window))["number"]
    place = (160, 140)  # in the same area, beside the place that its number stands for
    for changes, alpha in (
        (Changes(shut=(number,)), 255),
        (Changes(open_at=(place,)), 0),
        (Changes(shut=(number,)), 255),
        (Changes(open=(number,)), 0),
        (Changes(shut_at=(place,)), 255),
    ):
        told = make(lib, window, changes)
        assert _alpha(told.body)[180, 200] == alpha
        assert [(n, now) for n, _, now in told.switched] in ([(number, alpha == 0)], [])
    assert make(lib, window, Changes(shut_at=(place,))).switched == ()


def test_what_is_said_last_of_a_place_without_a_number_holds(lib: Library, tmp_path: Path) -> None:
    page = Image.new("L", (400, 400), 255)
    pen = ImageDraw.Draw(page)
    pen.line([(80, 60), (80, 340), (320, 340), (320, 60)], fill=0, width=6)
    pen.line([(80, 60), (180, 60)], fill=0, width=6)
    page.save(tmp_path / "box.png")
    code = bring_in(lib, [tmp_path / "box.png"], Wishes(role="element")).added[0].code
    first, second = (200, 200), (150, 300)
    assert _alpha(make(lib, code, Changes(shut_at=(first,))).body)[200, 200] == 255
    assert _alpha(make(lib, code, Changes(open_at=(second,))).body)[200, 200] == 0
    assert _alpha(make(lib, code, Changes(shut_at=(first,))).body)[300, 150] == 255


def test_one_line_does_not_open_and_shut_the_same(lib: Library, window: str) -> None:
    number = _window_of(make(lib, window))["number"]
    with pytest.raises(WrongUsage, match="both open and shut"):
        make(lib, window, Changes(open=(number,), shut=(number,)))
