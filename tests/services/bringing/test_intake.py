"""Bringing drawings in, from the outside: files in, entries out, nothing lost, nothing double."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Report, Wishes, bring_in
from assetlib.services.bringing.taking_in import Extras, take_in
from assetlib.services.finding.showing import show
from assetlib.services.jobs import jobs
from assetlib.services.keeping.checking import check
from tests.conftest import Draw


def test_a_folder_comes_in_with_titles_from_its_names(lib: Library, draw: Draw) -> None:
    draw("Dogs/hood_mount-02 FINAL.png", 1)
    folder = draw("Dogs/café night v3.png", 2).parent.parent
    report = bring_in(lib, [folder])
    assert sorted(item.title for item in report.added) == ["café night", "hood mount"]
    assert not report.known
    assert not report.failed


def test_the_original_is_kept_to_the_last_byte_and_cannot_be_written(lib: Library, draw: Draw) -> None:
    source = draw("dog.png")
    code = bring_in(lib, [source]).added[0].code
    kept = show(lib, code).original
    assert kept.read_bytes() == source.read_bytes()
    assert not kept.stat().st_mode & 0o222


def test_known_bytes_are_told_under_another_name(lib: Library, draw: Draw) -> None:
    source = draw("dog.png")
    first = bring_in(lib, [source]).added[0]
    copy = source.with_name("other name.png")
    shutil.copyfile(source, copy)
    (known,) = bring_in(lib, [copy]).known
    assert (known.code, known.how) == (first.code, "same file")
    assert len(show(lib, first.code).arrivals) == 2


def test_known_pixels_are_told_in_another_file(lib: Library, draw: Draw) -> None:
    source = draw("dog.png")
    first = bring_in(lib, [source]).added[0]
    again = source.with_name("dog.tif")
    Image.open(source).save(again, compression="tiff_lzw")
    (known,) = bring_in(lib, [again]).known
    assert (known.code, known.how) == (first.code, "same picture")


def test_the_same_picture_twice_in_one_intake_becomes_one_entry(lib: Library, draw: Draw) -> None:
    source = draw("a.png")
    shutil.copyfile(source, source.with_name("b.png"))
    report = bring_in(lib, [source.parent])
    assert (len(report.added), len(report.known)) == (1, 1)


def test_doubles_among_files_of_one_batch_arrive_at_one_entry(lib: Library, draw: Draw) -> None:
    first = draw("1.png")
    shutil.copyfile(first, first.with_name("2.png"))
    Image.open(first).save(first.with_name("3.tif"), compression="tiff_lzw")
    shutil.copyfile(first.with_name("3.tif"), first.with_name("4.tif"))
    draw("5.png", 2)
    report = bring_in(lib, [first.parent])
    assert [Path(item.source).name for item in report.added] == ["1.png", "5.png"]
    code = report.added[0].code
    assert [(item.code, Path(item.source).name, item.how) for item in report.known] == [
        (code, "2.png", "same file as 1.png of this intake"),
        (code, "3.tif", "same picture as 1.png of this intake"),
        (code, "4.tif", "same file as 3.tif of this intake"),
    ]
    assert len(bring_in(lib, [first.parent]).known) == 5
    assert check(lib).originals == 3
    assert check(lib).clean


def test_a_file_that_changed_in_place_arrives_again(lib: Library, draw: Draw) -> None:
    source = draw("dog.png", 1)
    first = bring_in(lib, [source]).added[0]
    draw("dog.png", 2, size=(131, 90))
    second = bring_in(lib, [source]).added[0]
    assert first.code != second.code
    os.utime(source, (1, 1))
    (known,) = bring_in(lib, [source]).known
    assert known.code == second.code
    assert len(show(lib, second.code).arrivals) == 1


def test_a_large_page_of_drawings_comes_in_as_a_sheet_unless_the_artist_says_otherwise(
    lib: Library, tmp_path: Path
) -> None:
    page = Image.new("RGB", (1400, 1000), "white")
    pen = ImageDraw.Draw(page)
    for place in range(6):
        left, top = 80 + place % 3 * 450, 80 + place // 3 * 480
        pen.ellipse((left, top, left + 230, top + 260), outline="black", width=5)
        pen.line((left + 40, top + 60, left + 190, top + 170 + 10 * place), fill="black", width=5)
    page.save(tmp_path / "page.png")
    assert [item.role for item in bring_in(lib, [tmp_path / "page.png"]).added] == ["sheet"]
    page.putpixel((0, 0), (254, 254, 254))
    page.save(tmp_path / "other.png")
    assert [item.role for item in bring_in(lib, [tmp_path / "other.png"], Wishes(role="element")).added] == [
        "element"
    ]


def test_a_second_run_reads_nothing_anew(lib: Library, draw: Draw) -> None:
    folder = draw("a.png", 1).parent
    draw("b.png", 2)
    bring_in(lib, [folder])
    report = bring_in(lib, [folder])
    assert (len(report.added), len(report.known)) == (0, 2)


def test_a_reference_does_not_become_an_element_unnoticed(lib: Library, draw: Draw) -> None:
    photo = draw("photo of a street.png")
    reference = bring_in(lib, [photo], Wishes(role="reference")).added[0]
    copy = photo.with_name("my drawing.png")
    shutil.copyfile(photo, copy)
    (known,) = bring_in(lib, [copy]).known
    assert known.code == reference.code
    assert "known as a reference" in known.how


def test_wishes_hold_for_every_file(lib: Library, draw: Draw) -> None:
    folder = draw("a.png", 1).parent
    draw("b.png", 2)
    jobs.open_job(lib, "Island ferry", jobs.Facts())
    report = bring_in(
        lib, [folder], Wishes(role="backdrop", title="Quay", tags=("ferry",), job="Island ferry")
    )
    for item in report.added:
        details = show(lib, item.code)
        assert (details.card.role, details.card.title, details.card.tags) == ("backdrop", "Quay", ("ferry",))
        assert details.arrivals[0].job == "Island ferry"


def test_a_trial_run_keeps_nothing(lib: Library, draw: Draw) -> None:
    folder = draw("a.png").parent
    assert len(bring_in(lib, [folder], dry_run=True).added) == 1
    assert check(lib).originals == 0
    assert not any((lib.folder / "originals").glob("??/*"))


@pytest.mark.parametrize("role", [None, "element", "sheet", "reference"])
@pytest.mark.parametrize("known_as", [None, "element", "sheet", "reference"])
@pytest.mark.parametrize("skip", [False, True])
def test_a_trial_run_tells_what_the_real_one_tells(
    lib: Library, draw: Draw, known_as: str | None, role: str | None, skip: bool
) -> None:
    first = draw("1.png")
    if known_as is not None:
        bring_in(lib, [first], Wishes(role=known_as))
    shutil.copyfile(first, first.with_name("2.png"))
    Image.open(first).save(first.with_name("3.tif"), compression="tiff_lzw")
    shutil.copyfile(first.with_name("3.tif"), first.with_name("4.tif"))
    draw("5.png", 2)
    extras = Extras(later=True, skip_doubles=skip)
    tried, real = (
        take_in(lib, [first.parent], Wishes(role=role), extras, dry_run=dry_run).report
        for dry_run in (True, False)
    )
    assert _told(tried) == _told(real)
    assert len(tried.added) == (1 if known_as and (skip or role in (None, known_as)) else 2)


def test_a_layered_file_is_no_double_of_its_flat_picture_in_a_trial_run_either(lib: Library) -> None:
    files = [
        Path(__file__).parents[2] / "imaging" / "files" / name for name in ("van-gimp.png", "van-gimp.psd")
    ]
    tried, real = (bring_in(lib, files, dry_run=dry_run) for dry_run in (True, False))
    assert _told(tried) == _told(real)


def _told(report: Report) -> list[tuple[str, str, str]]:
    """What a report says of every file, without the codes that only a real run gives."""
    told = [("added", item.role, item.source) for item in report.added]
    return told + [("known", item.how, item.source) for item in report.known]


def _reasons(report: Report) -> dict[str, str]:
    return {Path(item.source).name: item.reason for item in report.failed}


def test_bad_files_cost_themselves_alone(lib: Library, draw: Draw) -> None:
    good = draw("good.png")
    folder = good.parent
    (folder / "empty.png").write_bytes(b"")
    (folder / "words.png").write_text("this is no picture", encoding="utf-8")
    (folder / "cut off.png").write_bytes(good.read_bytes()[: good.stat().st_size // 2])
    report = bring_in(lib, [folder, folder / "not there.png"])
    assert [item.title for item in report.added] == ["good"]
    assert set(_reasons(report)) == {"empty.png", "words.png", "cut off.png", "not there.png"}
    assert all(reason and "\n" not in reason for reason in _reasons(report).values())
    assert check(lib).clean


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_a_link_loop_ends(lib: Library, draw: Draw) -> None:
    folder = draw("loop/a.png").parent
    (folder / "round").symlink_to(folder, target_is_directory=True)
    report = bring_in(lib, [folder])
    assert len(report.added) == 1
    assert "leads back" in report.failed[0].reason


def test_names_in_any_script(lib: Library, draw: Draw) -> None:
    folder = draw("夜の車内.png", 1).parent
    draw("собака бежит.png", 2)
    draw("ilıman çörek.png", 3)
    report = bring_in(lib, [folder])
    assert {item.title for item in report.added} == {"夜の車内", "собака бежит", "ilıman çörek"}


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse names that are no text")
def test_a_name_that_is_no_text(lib: Library, draw: Draw) -> None:
    source = draw("a.png")
    odd = os.fsencode(source.parent) + b"/d\xf6g.png"
    os.rename(source, odd)
    report = bring_in(lib, [source.parent])
    assert len(report.added) == 1
    assert "\\xf6" in report.added[0].source
    assert len(bring_in(lib, [source.parent]).known) == 1


def test_the_library_itself_is_never_brought_in(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("a.png")])
    report = bring_in(lib, [lib.folder.parent])
    assert (len(report.added), len(report.known)) == (0, 1)


def test_a_tag_that_cannot_be_stops_it_before_anything_is_read(lib: Library, draw: Draw) -> None:
    with pytest.raises(WrongUsage):
        bring_in(lib, [draw("a.png")], Wishes(tags=("",)))
    assert check(lib).originals == 0
