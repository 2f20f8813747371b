"""A drawing that came in anew is made the next state of the older one, and undo says what stays after a sale."""

from __future__ import annotations

from pathlib import Path

from tests.conftest import Assetlib, Draw


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
    assert (done.code, f"{older}: redraw 2, cut 1" in done.out) == (0, True)
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
