"""A drawing that came in anew is made the next state of the older one, and undo says what stays after a sale."""

from __future__ import annotations

from pathlib import Path

import cv2
from PIL import Image

from tests.cli.conftest import Command
from tests.conftest import Assetlib, Draw
from tests.imaging.art import van


def test_redrawn_confirmed_issued_and_undone(assetlib: Assetlib, draw: Draw, tmp_path: Path) -> None:
    library = tmp_path / "library"
    assert assetlib("start", library).code == 0
    settings = library / "assetlib.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(
        text.replace('artist = ""', 'artist = "Ida"').replace(
            'contact = ""', 'contact = "ida@boards.example"'
        ),
        encoding="utf-8",
    )
    files = [draw("dog.png", 2), draw("dog redrawn.png", 9)]
    added = assetlib("intake", *files, "--as", "element", "--json", library=library).json["added"]
    older, newer = (item["code"] for item in added)
    said = ("--drawn", "out of the head", "--rights", "own", "--shows", "none", "--ai", "none")
    assert assetlib("origin", older, *said, library=library).code == 0
    done = assetlib("doubles", older, newer, "--redrawn", library=library)
    assert (done.code, f"{older} is the newer drawing now, 2nd state" in done.out) == (0, True)
    shown = assetlib("show", older, "--json", library=library).json
    assert (shown["version"], shown["cut"], shown["versions"]) == (2, 1, 2)
    (stands,) = assetlib("clearance", older, "--json", library=library).json["drawings"]
    assert (stands["state"], stands["to_confirm"]) == ("ask", True)
    (stands,) = assetlib("origin", older, "--confirm", "--json", library=library).json["drawings"]
    assert stands["state"] == "clear"
    assert assetlib("collection", "make", "Dogs", library=library).code == 0
    assert assetlib("collection", "add", "Dogs", older, library=library).code == 0
    assert assetlib("licence", "Dogs", "one artist", library=library).code == 0
    assert assetlib("bundle", "build", "Dogs", library=library).code == 0
    undone = assetlib("undo", "7", library=library)
    assert undone.code == 0, undone.err
    assert f"{older} stays: in bundle Dogs 1, which was issued" in undone.out
    assert f"{newer} stays" in undone.out  # what was issued is taken from its file
    shown = assetlib("show", older, "--json", library=library).json
    assert (shown["version"], shown["versions"], shown["in_attic"]) == (1, 2, False)


def test_what_comes_back_altered_is_offered_as_the_next_state_and_left(
    command: Command, tmp_path: Path
) -> None:
    drawing = van(7)
    cv2.circle(drawing, (500, 320), 40, (0, 0, 0, 255), 5, cv2.LINE_AA)
    cv2.circle(drawing, (500, 320), 22, (0, 0, 0, 255), 5, cv2.LINE_AA)
    Image.fromarray(drawing).save(tmp_path / "van.png")
    Image.fromarray(van(7)).save(tmp_path / "van two wheels.png")
    Image.fromarray(van(8)).save(tmp_path / "another.png")
    (first,) = command("intake", tmp_path / "van.png", "--as", "element", "--json").json["added"]
    assert "--altered" not in command("intake", tmp_path / "another.png", "--as", "element").out
    said = command("intake", tmp_path / "van two wheels.png", "--as", "element").out.splitlines()
    offer = said[-1].partition(":  assetlib ")[2].split()
    assert (offer[0], offer[1], offer[3]) == ("doubles", first["code"], "--altered"), said
    assert command("show", first["code"], "--json").json["versions"] == 1
    assert command("find", "--json").json["total"] == 3
    assert command(*offer).code == 0
    assert command("show", first["code"], "--json").json["version"] == 2


def test_what_waited_to_be_compared_is_told_by_upkeep(command: Command, tmp_path: Path) -> None:
    for number, name in enumerate(("van.png", "van again.png")):
        picture = Image.fromarray(van(7))
        picture.resize((picture.width // (number + 1), picture.height // (number + 1))).save(tmp_path / name)
    command("intake", tmp_path / "van.png", tmp_path / "van again.png", "--as", "element", "--later")
    assert command("upkeep").out.splitlines()[-1] == "1 pair to settle or leave:  assetlib doubles"
    assert "pair" not in command("upkeep").out
