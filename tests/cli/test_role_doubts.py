"""Pictures that may be a sheet, or one drawing, after all: told by every screen until it is settled, and no longer."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.library import Library
from assetlib.services.describing.tray import Tray
from tests.cli.conftest import Command

LITTLE, WIDE = 40, 100
"""Pixels of paper between two drawings that make a page be taken for one drawing, and for a sheet, neither surely."""


def _page(path: Path, gap: int) -> Path:
    page = Image.new("RGB", (1000, 800), "white")
    pen = ImageDraw.Draw(page)
    for left in (150, 300 + gap):
        pen.ellipse((left, 250, left + 150, 450), outline="black", width=5)
        pen.line((left + 30, 310, left + 100, 370), fill="black", width=4)
    page.save(path)
    return path


@pytest.mark.parametrize(
    ("heights", "doubt"),
    [((200, 200, 200), None), ((200, 170, 240), None), ((200, 200, 60), "may be one drawing")],
)
def test_three_drawings_of_like_size_far_apart_are_asked_about_no_more(
    command: Command, tmp_path: Path, heights: tuple[int, ...], doubt: str | None
) -> None:
    page = Image.new("RGB", (1000, 800), "white")
    pen = ImageDraw.Draw(page)
    for place, height in enumerate(heights):
        left, wide = 150 + 210 * place, round(150 * height / 200)
        pen.ellipse((left, 250, left + wide, 250 + height), outline="black", width=5)
        pen.line(
            (left + wide / 4, 250 + height / 4, left + wide / 2, 250 + height / 2), fill="black", width=4
        )
    page.save(tmp_path / "three.png")
    (item,) = command("intake", tmp_path / "three.png", "--json").json["added"]
    assert (item["as"], item["doubt"]) == ("sheet", doubt)


def _doubted(command: Command) -> list[str]:
    return [item["code"] for item in command("find", "--unsure", "--json").json["doubted"]]


@pytest.fixture
def twins(command: Command, tmp_path: Path) -> str:
    """The code of an element that may be a sheet."""
    (item,) = command("intake", _page(tmp_path / "twins.png", LITTLE), "--json").json["added"]
    assert (item["as"], item["doubt"]) == ("element", "may be a sheet of several drawings")
    return str(item["code"])


def test_what_may_be_a_sheet_is_told_until_it_is_cut(command: Command, twins: str) -> None:
    assert _doubted(command) == [twins]
    told = {"code": twins, "doubt": "may be a sheet of several drawings",
            "mend": f"assetlib cut {twins}", "keep": f"assetlib cut {twins} --whole"}  # fmt: skip
    assert command("show", twins, "--json").json["doubt"] == told
    for screen in (command("show", twins).out, command("find", "--unsure").out):
        assert "may be a sheet of several drawings" in screen
        assert told["mend"] in screen
        assert told["keep"] in screen
    assert command("--json").json["doubted"] == 1
    assert command("cut", twins).code == 0
    assert _doubted(command) == []
    assert command("show", twins, "--json").json["doubt"] is None


def test_what_is_left_whole_is_asked_about_no_more_and_undo_asks_again(command: Command, twins: str) -> None:
    assert command("cut", twins, "--whole", "--dry-run").code == 0
    assert _doubted(command) == [twins]
    kept = command("cut", twins, "--whole", "--json").json["whole"]
    assert kept == [{"code": twins, "title": "twins", "was_sheet": False}]
    assert _doubted(command) == []
    assert command("show", twins, "--json").json["as"] == "element"
    assert command("undo").code == 0
    assert _doubted(command) == [twins]


def test_a_sheet_that_is_one_drawing_becomes_one_under_its_code(command: Command, tmp_path: Path) -> None:
    (item,) = command("intake", _page(tmp_path / "scissors.png", WIDE), "--json").json["added"]
    code = item["code"]
    assert (item["as"], item["doubt"]) == ("sheet", "may be one drawing")
    assert (item["mend"], item["keep"]) == (f"assetlib cut {code} --whole", f"assetlib cut {code}")
    assert command("cut", code, "--whole").code == 0
    assert command("show", code, "--json").json["as"] == "element"
    assert _doubted(command) == []
    assert len(command("find", "--json", "--as", "element").json["results"]) == 1


def test_a_sheet_whose_drawings_are_there_is_not_left_whole(command: Command, twins: str) -> None:
    command("cut", twins)
    refused = command("cut", twins, "--whole")
    assert refused.code == 2
    assert f"assetlib attic --sheet {twins}" in refused.err
    assert command("attic", "--sheet", twins).code == 0
    assert command("cut", twins, "--whole").code == 0


def test_a_part_of_a_sheet_is_not_left_whole(command: Command, twins: str) -> None:
    (sheet,) = command("cut", twins, "--json").json["sheets"]
    assert command("cut", sheet["elements"][0]["code"], "--whole").code == 2
    assert command("cut", twins, "--whole", "--split", "1").code == 2


def test_said_outright_when_it_is_brought_in_again(command: Command, twins: str, tmp_path: Path) -> None:
    command("intake", tmp_path / "twins.png")
    assert _doubted(command) == [twins]
    command("intake", "--as", "element", tmp_path / "twins.png")
    assert _doubted(command) == []


def test_the_in_tray_says_it_and_takes_being_described_for_an_answer(
    command: Command, lib: Library, twins: str
) -> None:
    tray = Tray(lib)
    assert tray.view().doubt == "may be a sheet of several drawings: c cuts it"
    tray.name("two crates")
    assert tray.finish()
    assert _doubted(command) == []
    tray.undo()
    assert _doubted(command) == [twins]


def test_a_file_with_drawings_in_its_layers_says_so_until_it_is_taken_apart(command: Command) -> None:
    layered = Path(__file__).parents[1] / "imaging" / "files" / "van-gimp.psd"
    (item,) = command("intake", layered, "--json").json["added"]
    code = item["code"]
    (told,) = command("find", "--unsure", "--json").json["doubted"]
    assert (told["code"], told["mend"]) == (code, f"assetlib cut {code} --layers")
    command("cut", code, "--layers")
    assert _doubted(command) == []
