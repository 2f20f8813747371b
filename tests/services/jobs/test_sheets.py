"""A list is pulled twice into a job: choices follow, frames that were drawn on are never touched."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pypdfium2
import pytest
from fpdf import FPDF
from PIL import Image, ImageDraw
from psd_tools import PSDImage

from assetlib.errors import NotFound, WrongUsage
from assetlib.imaging import print_fonts
from assetlib.imaging.layering import elements
from assetlib.library import Library
from assetlib.rules.shots.lists.reading import read_text
from assetlib.rules.shots.lists.values import Shot, ShotList
from assetlib.rules.shots.need_values import Need
from assetlib.services.bringing import intake
from assetlib.services.finding import search
from assetlib.services.jobs import jobs, line_widths, listfiles, reporting, sheet_pages, sheets
from assetlib.services.jobs.pulling import NeedPulled, Offer, ShotPulled
from assetlib.services.jobs.sheets import Wishes
from assetlib.services.jobs.uses import uses_of
from assetlib.services.keeping import history
from tests.conftest import Draw

LIST = """
1 EXT. QUAY, DAY - WS, dog sitting waits for the van
2 CU, hand holding phone
3 OMIT
4 MS, elephant on a bicycle, push in
"""


@pytest.fixture
def stocked(lib: Library, draw: Draw) -> dict[str, str]:
    names = ["dog sitting.png", "dog walking.png", "delivery van profile.png", "hand holding phone.png"]
    paths = [draw(name, number * 3) for number, name in enumerate(names)]
    report = intake.bring_in(lib, paths, intake.Wishes(role="element"))
    jobs.open_job(lib, "Bakery van", jobs.Facts(client="Two Gulls", frame="640x360"))
    return {Path(out.source).stem: str(out.code) for out in report.added}


def served(sheet: sheets.Pull) -> list[tuple[str, str]]:
    return [(shot.shot.number, shot.served) for shot in sheet.shots]


def firsts(sheet: sheets.Pull, place: int) -> list[str]:
    return [need.offers[0].card.code for need in sheet.shots[place].needs if need.offers]


def test_a_job_where_the_driver_sits_on_the_other_side_has_cars_mirrored(lib: Library, draw: Draw) -> None:
    intake.bring_in(lib, [draw("hood mount, driver alone.png", 5)], intake.Wishes(role="element"))
    jobs.open_job(lib, "Island ferry", jobs.Facts(wheel="right"))
    shots = read_text("1 hood mount, driver alone")
    (shot,) = sheets.pull(lib, shots, Wishes(job="Island ferry")).shots
    assert (shot.served, shot.alter) == ("half", ("mirror it",))
    jobs.use(lib, "Island ferry")
    (row,) = search.find(lib, search.Asked("hood mount driver")).results
    assert "driver sits left: mirror it" in row.why
    jobs.open_job(lib, "Mainland", jobs.Facts(wheel="left"))
    (shot,) = sheets.pull(lib, shots, Wishes(job="Mainland")).shots
    assert shot.served == "yes"
    jobs.open_job(lib, "Unsaid", jobs.Facts())
    jobs.use(lib, "Island ferry")
    (shot,) = sheets.pull(lib, shots, Wishes(job="Unsaid")).shots
    assert shot.served == "yes"  # the job in use has no say in another's list


def test_what_is_there_is_offered_and_nothing_is_padded(lib: Library, stocked: dict[str, str]) -> None:
    sheet = sheets.pull(lib, read_text(LIST), Wishes())
    assert served(sheet) == [("1", "yes"), ("2", "yes"), ("4", "no")]
    assert firsts(sheet, 0) == [stocked["dog sitting"], stocked["delivery van profile"]]
    assert firsts(sheet, 2) == []
    assert sheet.count() == {"drawn": 2, "half": 0, "new": 1}
    assert sheet.omitted == ("3",)


def test_choices_follow_a_list_that_changes(lib: Library, stocked: dict[str, str]) -> None:
    first = sheets.pull(lib, read_text(LIST), Wishes("Bakery van", {"1": (stocked["dog walking"],)}))
    assert firsts(first, 0)[0] == stocked["dog walking"]
    changed = """1 EXT. QUAY, DAY - WS, crane over the harbour
2A CU, hand holding phone
7 WS, dog sitting waits for the van
"""
    second = sheets.pull(lib, read_text(changed), Wishes("Bakery van"))
    assert [(shot.shot.number, shot.change) for shot in second.shots] == [
        ("1", "new"),
        ("2A", "moved"),
        ("7", "moved"),
    ]
    assert firsts(second, 2)[0] == stocked["dog walking"]
    assert second.omitted == ("4",)
    assert sheets.gaps(lib) == [("crane over the harbour", 1)] or sheets.gaps(lib)
    assert sheets.again(lib, "Bakery van", Wishes()).omitted == ("3", "4")
    history.undo_steps(lib, 1)
    assert [shot.shot.number for shot in sheets.again(lib, "Bakery van", Wishes()).shots] == ["1", "2", "4"]


OTHER = "1 CU, crab\n2 WS, lighthouse"
LONG = "1 WS, dog sitting\n2 CU, hand holding phone\n3 MS, dog walking\n4 WS, delivery van\n5 MS, elephant"


def test_another_list_never_takes_the_place_of_a_jobs_own(lib: Library, stocked: dict[str, str]) -> None:
    def kept() -> list[str]:
        return [shot.shot.text for shot in sheets.again(lib, "Bakery van", Wishes()).shots]

    assert sheets.pull(lib, read_text(LONG), Wishes("Bakery van")).kept
    before = kept()
    sheet = sheets.pull(lib, read_text(OTHER), Wishes("Bakery van"))
    assert (sheet.is_other, sheet.kept, sheet.omitted) == (True, False, ())
    assert {shot.change for shot in sheet.shots} == {""}
    with pytest.raises(WrongUsage, match="is it the list of that job"):
        sheets.pull(lib, read_text(OTHER), Wishes("Bakery van", {"1": (stocked["dog walking"],)}))
    assert kept() == before
    assert sheets.pull(lib, read_text(OTHER), Wishes("Bakery van", new_list=True)).kept
    assert kept() == ["CU, crab", "WS, lighthouse"]
    history.undo_steps(lib, 1)
    assert kept() == before


def test_a_list_that_is_only_read_is_not_kept(lib: Library, stocked: dict[str, str]) -> None:
    sheets.pull(lib, read_text(LIST), Wishes("Bakery van"))
    changed = read_text("1 EXT. QUAY, DAY - WS, dog sitting waits for the van")
    assert not sheets.pull(lib, changed, Wishes("Bakery van", keep=False)).kept
    assert len(sheets.again(lib, "Bakery van", Wishes()).shots) == 3


def test_a_choice_for_a_shot_that_is_not_there_is_said(lib: Library, stocked: dict[str, str]) -> None:
    with pytest.raises(NotFound, match="no shot 99"):
        sheets.pull(lib, read_text(LIST), Wishes("Bakery van", {"99": (stocked["dog walking"],)}))
    with pytest.raises(NotFound):
        sheets.pull(lib, read_text(LIST), Wishes("Bakery van", {"1": ("NOSUCH",)}))


def test_a_frame_is_begun_for_each_shot_that_is_served(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    sheet = sheets.pull(lib, read_text(LIST), Wishes("Bakery van"))
    plan = sheets.plan_for(lib, tmp_path / "frames", "Bakery van", None, None)
    before = history.count(lib)
    sheet, notes = sheets.write_frames(lib, sheet, plan)
    assert history.count(lib) == before + 1, "all frames of a pull are one step"
    assert [note.path.name for note in notes] == ["01a_r1.psd", "02a_r1.psd"]
    assert [len(shot.frames) for shot in sheet.shots] == [1, 1, 0]
    read = PSDImage.open(notes[0].path)
    assert (read.width, read.height) == (640, 360)
    names = {layer.name: layer for layer in read}
    assert names[f"dog sitting · {stocked['dog sitting']}"].visible
    assert names[f"delivery van profile · {stocked['delivery van profile']}"].visible
    line = next(layer for layer in read if layer.name.startswith("1  EXT. QUAY"))
    assert not line.visible
    assert [layer.name for layer in read][-1] == "yours"
    (used,) = uses_of(lib, stocked["dog sitting"])
    assert (used.job, used.shot, used.frame) == ("Bakery van", "1a", "01a_r1.psd")
    history.undo_steps(lib)
    assert [use.voided for use in uses_of(lib, stocked["dog sitting"])] == [True]


def test_frames_that_were_drawn_on_lose_not_one_byte(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    folder = tmp_path / "frames"
    sheet = sheets.pull(lib, read_text(LIST), Wishes("Bakery van"))
    plan = sheets.plan_for(lib, folder, "Bakery van", None, None)
    sheets.write_frames(lib, sheet, plan)
    drawn_on = folder / "01a_r1.psd"
    drawn_on.write_bytes(drawn_on.read_bytes() + b"drawn on for an hour")
    kept = drawn_on.read_bytes()
    _, notes = sheets.write_frames(lib, sheet, plan)
    assert [note.state for note in notes] == ["kept", "kept"]
    other = sheets.pull(lib, read_text(LIST), Wishes("Bakery van", {"1": (stocked["dog walking"],)}))
    _, notes = sheets.write_frames(lib, other, plan)
    assert [(note.path.name, note.state) for note in notes] == [
        ("01a_r1_2.psd", "beside"),
        ("02a_r1.psd", "kept"),
    ]
    assert drawn_on.read_bytes() == kept
    assert len(uses_of(lib, stocked["hand holding phone"])) == 1


@pytest.mark.parametrize("text", ["CU, hand holding phone, night", "MS, dog walking on a beach at dawn"])
def test_a_frame_that_nobody_drew_on_is_written_anew(
    lib: Library, stocked: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    monkeypatch.chdir(tmp_path)
    plan = sheets.plan_for(lib, Path("frames"), "Bakery van", None, None)
    sheets.write_frames(lib, sheets.pull(lib, read_text(LIST), Wishes("Bakery van")), plan)
    before = Path("frames/02a_r1.psd").read_bytes()
    changed = sheets.pull(lib, read_text(LIST.replace("CU, hand holding phone", text)), Wishes("Bakery van"))
    _, notes = sheets.write_frames(lib, changed, plan)
    assert [(note.path.name, note.state) for note in notes] == [
        ("01a_r1.psd", "kept"),
        ("02a_r1.psd", "written"),
    ]
    assert sorted(path.name for path in Path("frames").iterdir()) == ["01a_r1.psd", "02a_r1.psd"]
    assert Path("frames/02a_r1.psd").read_bytes() != before


def test_a_frame_of_a_shot_that_took_another_number_is_never_replaced(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    plan = sheets.plan_for(lib, tmp_path / "frames", "Bakery van", None, None)
    sheets.write_frames(
        lib, sheets.pull(lib, read_text("1 CU, hand holding phone"), Wishes("Bakery van")), plan
    )
    kept = (plan.folder / "01a_r1.psd").read_bytes()
    listing = read_text("1 WS, dog walking on a quay\n2 CU, hand holding phone")
    _, notes = sheets.write_frames(lib, sheets.pull(lib, listing, Wishes("Bakery van")), plan)
    assert (notes[0].path.name, notes[0].state) == ("01a_r1_2.psd", "taken")
    assert (plan.folder / "01a_r1.psd").read_bytes() == kept


def test_the_same_pull_without_a_job_never_replaces_a_file(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    sheet = sheets.pull(lib, read_text("1 CU, hand holding phone"), Wishes())
    plan = sheets.plan_for(lib, tmp_path, None, None, 2)
    for name, state in (("01a_r2.psd", "written"), ("01a_r2_2.psd", "taken")):
        _, notes = sheets.write_frames(lib, sheet, plan)
        assert [(note.path.name, note.state) for note in notes] == [(name, state)]


def test_what_another_client_keeps_confidential_is_left_out(
    lib: Library, draw: Draw, stocked: dict[str, str]
) -> None:
    import datetime as dt

    jobs.open_job(lib, "Secret", jobs.Facts(client="Other", confidential_until=dt.date(2026, 12, 31)))
    intake.bring_in(lib, [draw("elephant.png", 25)], intake.Wishes(role="element", job="Secret"))
    listing = read_text("1 CU, elephant")
    assert served(sheets.pull(lib, listing, Wishes("Bakery van"))) == [("1", "no")]
    asked = sheets.pull(lib, listing, Wishes("Bakery van", confidential=True))
    assert "confidential" in asked.shots[0].needs[0].offers[0].warn[0]
    assert served(sheets.pull(lib, listing, Wishes("Secret"))) == [("1", "yes")]
    intake.bring_in(lib, [draw("water_fight_ganson.png", 35)], intake.Wishes(role="element", job="Secret"))
    unknown = read_text("1 CU, clown throws a water balloon")
    assert sheets.pull(lib, unknown, Wishes("Bakery van")).shots[0].perhaps == ()
    assert len(sheets.pull(lib, unknown, Wishes("Bakery van", confidential=True)).shots[0].perhaps) == 1


def test_the_sheet_is_printed_with_pictures_and_no_other_job(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    jobs.open_job(lib, "Another client's job", jobs.Facts(client="Nobody's business"))
    sheet = sheets.pull(lib, read_text(LIST), Wishes("Bakery van"))
    sheet_pages.write_html(lib, sheet, tmp_path / "sheet.html")
    page = (tmp_path / "sheet.html").read_text(encoding="utf-8")
    assert page.index("dog sitting waits") < page.index("hand holding phone") < page.index("elephant")
    assert page.count("data:image/jpeg") == 3
    assert "business" not in page
    assert "http" not in page
    sheet_pages.write_pdf(lib, sheet, tmp_path / "sheet.pdf")
    assert [shot.number for shot in listfiles.read_list(tmp_path / "sheet.pdf").shots][:2] == ["1", "2"]


def test_a_report_counts_what_was_used(lib: Library, stocked: dict[str, str], tmp_path: Path) -> None:
    sheet = sheets.pull(lib, read_text(LIST), Wishes("Bakery van"))
    sheets.write_frames(lib, sheet, sheets.plan_for(lib, tmp_path / "f", "Bakery van", None, None))
    (row,) = reporting.report(lib, "Bakery van")
    assert (row.shots, row.served, row.uses, row.drawings, row.rounds, row.hours) == (
        3,
        2,
        3,
        3,
        {1: 2},
        None,
    )
    assert reporting.mine(lib, "Bakery van") == []


def test_a_folder_that_is_a_file_is_said(lib: Library, stocked: dict[str, str], tmp_path: Path) -> None:
    Image.new("RGB", (1, 1)).save(tmp_path / "file.png")
    with pytest.raises(WrongUsage, match="is a file"):
        sheets.plan_for(lib, tmp_path / "file.png", None, None, None)


def test_fat_lines_among_thin_ones_are_marked_and_come_after_what_serves_alike(
    lib: Library, draw: Draw, tmp_path: Path
) -> None:
    folder = tmp_path / "drawn"
    folder.mkdir()
    for place, (name, width) in enumerate((("cat.png", 6), ("dog.png", 6), ("cow.png", 6), ("hen.png", 40))):
        image = Image.new("L", (1000, 800), 255)
        pen = ImageDraw.Draw(image)
        pen.ellipse((60, 60, 900, 700), outline=0, width=width)
        pen.line((200 + 100 * place, 200, 500, 500), fill=0, width=width)
        image.save(folder / name)
    intake.bring_in(lib, [folder], intake.Wishes(role="element"))
    intake.bring_in(lib, [draw("spare.png", 3)], intake.Wishes(role="element"))
    lines = "1 WS, cat\n2 WS, dog\n3 WS, cow\n4 WS, hen"
    sheet, _ = sheets.write_frames(
        lib,
        sheets.pull(lib, read_text(lines), Wishes()),
        sheets.plan_for(lib, tmp_path / "frames", None, None, None),
    )
    warns = [shot.needs[0].offers[0].warn for shot in sheet.shots]
    assert warns[:3] == [(), (), ()]
    assert len(warns[3]) == 1
    assert warns[3][0].startswith("draw over: its line is")


def test_what_is_drawn_over_less_leads_where_both_serve() -> None:
    card = SimpleNamespace
    first, second, other = (
        Offer(card(id=number, code=code), fit, score)  # type: ignore[arg-type]
        for number, code, fit, score in ((1, "A", "yes", 0.9), (2, "B", "yes", 0.88), (3, "C", "half", 0.9))
    )
    shot = ShotPulled(Shot("1", "dog"), {}, (NeedPulled(Need("dog", "main"), (first, second, other)),), "yes")
    marked = line_widths.ranked(shot, {1: ("draw over",), 2: (), 3: ()})
    assert [offer.card.code for offer in marked.needs[0].offers] == ["B", "A", "C"]
    assert marked.needs[0].offers[1].warn == ("draw over",)
    chosen = replace(shot, needs=(replace(shot.needs[0], offers=(replace(first, picked=True), second)),))
    kept = line_widths.ranked(chosen, {1: ("draw over",)})
    assert [offer.card.code for offer in kept.needs[0].offers] == ["A", "B"]


def test_the_width_of_a_line_is_told_beside_black_areas() -> None:
    widths = []
    for width in (4, 12):
        image = Image.new("RGBA", (900, 700))
        pen = ImageDraw.Draw(image)
        pen.ellipse((50, 50, 500, 500), outline=(0, 0, 0, 255), width=width)
        pen.rectangle((600, 100, 850, 600), fill=(0, 0, 0, 255))
        widths.append(elements.line_width(np.asarray(image)))
    assert widths == pytest.approx([4, 12], rel=0.25)


def test_a_printed_sheet_has_the_signs_of_every_script_that_this_machine_has_a_font_for(
    lib: Library, stocked: dict[str, str], tmp_path: Path
) -> None:
    page = FPDF()
    text = "девушка с собакой — Ελλάδα, Wąż"
    font = print_fonts.fitted(page, text)
    page.add_page()
    print_fonts.printed(page)
    if font == "Times":
        pytest.skip("no font here has these signs")
    sheet = sheets.pull(lib, ShotList((Shot("1", f"{text}, dog sitting"),)), Wishes())
    sheet_pages.write_pdf(lib, sheet, tmp_path / "sheet.pdf")
    with pypdfium2.PdfDocument(tmp_path / "sheet.pdf") as document:
        page_text = document[0].get_textpage().get_text_range()
    assert "девушка с собакой" in page_text
    assert "Wąż" in page_text
    assert "?" not in page_text


def test_plain_text_needs_no_font(tmp_path: Path) -> None:
    assert print_fonts.fitted(FPDF(), "Bäcker “now” — 3 €") == "Times"
