"""Reading commands write nothing; what is told of an intake is what happened, and one undo takes it back."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw

from assetlib.errors import Stopped
from assetlib.library import Library
from assetlib.progress import SILENT, Stoppable
from assetlib.services.bringing.intake import bring_in
from assetlib.services.bringing.taking_in import take_in
from tests.cli.conftest import Command
from tests.cli.pages import three_shapes
from tests.conftest import Draw


def _files(folder: Path) -> dict[str, str]:
    """Every file of a library with its content; SQLite's own helpers beside the catalogue come and go."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.endswith(("-wal", "-shm"))
    }


def _rows(lib: Library) -> list[Any]:
    with lib.reading() as session:
        tables = (
            session.connection().exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'table'").all()
        )
        return [session.connection().exec_driver_sql(f"SELECT * FROM {name}").all() for (name,) in tables]


def test_reading_commands_leave_the_library_as_it_is(command: Command, lib: Library, draw: Draw) -> None:
    (dog,) = command("intake", draw("dog.png"), "--json").json["added"]
    command("collection", "make", "Ferry")
    command("collection", "add", "Ferry", dog["code"])
    command("licence", "Ferry", "one artist")
    before, rows = _files(lib.folder), _rows(lib)
    for line in (
        ["show", dog["code"]],
        ["find", "dog"],
        ["clearance", dog["code"]],
        ["collection", "list"],
        ["collection", "show", "Ferry"],
        ["licence"],
        ["licence", "Ferry"],
        ["bundle", "list"],
        ["doubles"],
        ["undo", "--list"],
        ["upkeep", "--dry-run"],
        ["model"],
        ["check"],
        [],
    ):
        assert command(*line, "--json").code == 0, line
        assert command(*line).code == 0, line
    assert (_files(lib.folder), _rows(lib)) == (before, rows)
    shown = command("show", dog["code"], "--json").json
    assert (shown["clean"], shown["body"], shown["mask"]) == (None, None, None)
    made = command("show", dog["code"], "--clean", "--json").json
    assert all(Path(made[kind]).is_file() for kind in ("clean", "body", "mask"))


def test_a_drawing_in_the_attic_and_a_large_scan_are_shown(
    command: Command, lib: Library, tmp_path: Path
) -> None:
    scan = Image.new("L", (7000, 5000), 255)
    ImageDraw.Draw(scan).ellipse((500, 500, 6500, 4500), outline=0, width=40)
    scan.save(tmp_path / "scan.png")
    scan.rotate(180).save(tmp_path / "same scan.png")
    args = ["--as", "element", "--later", "--json"]
    first, second = command("intake", tmp_path / "scan.png", tmp_path / "same scan.png", *args).json["added"]
    assert command("show", first["code"], "--json").json["size"] == [7000, 5000]
    command("doubles", first["code"], second["code"], "--keep", first["code"])
    shown = command("show", second["code"], "--json")
    assert (shown.code, shown.json["in_attic"]) == (0, True)


def _sheet(path: Path) -> Path:
    three_shapes().save(path)
    return path


def test_a_skipped_double_is_told_as_known(command: Command, tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    for number in range(4):
        image = Image.new("RGB", (400, 300), "white")
        pen = ImageDraw.Draw(image)
        for k in range(number + 2):
            pen.arc((20 + 35 * k, 30 + 13 * number, 180 + 20 * k, 270), 20 * number, 200 + 15 * k, "black", 5)
        pen.line([(30 + 40 * number, 20), (200, 150 + 15 * number), (370 - 20 * number, 280)], "black", 6)
        image.save(folder / f"drawing {number}.png")
    came = command("intake", folder, "--as", "element", "--json").json["added"]
    code = {Path(row["source"]).stem: row["code"] for row in came}
    with Image.open(folder / "drawing 2.png") as image:
        image.transpose(Image.Transpose.FLIP_LEFT_RIGHT).save(tmp_path / "mirrored.png")
    skipped = command(
        "intake", tmp_path / "mirrored.png", "--as", "element", "--doubles", "skip", "--json"
    ).json
    assert skipped["added"] == []
    (known,) = skipped["known"]
    assert (known["code"], Path(known["source"]).name) == (code["drawing 2"], "mirrored.png")
    assert "mirrored" in known["how"]
    assert command("find", "--json").json["total"] == len(came)
    assert command("undo", "--json").json["steps"][0]["what"] == "intake of mirrored.png"
    assert command("undo", "--dry-run", "--json").json["steps"][0]["what"] == "intake of in"


def test_an_intake_that_cuts_is_one_step(command: Command, tmp_path: Path) -> None:
    path = _sheet(tmp_path / "three shapes.png")
    came = command("intake", path, "--as", "sheet", "--cut", "--json").json["added"]
    assert [row["as"] for row in came] == ["sheet", "element", "element", "element"]
    assert len(command("undo", "--list", "--json").json["steps"]) == 1
    assert command("undo").code == 0
    assert command("find", "--as", "sheet", "--as", "element", "--json").json["total"] == 0
    cut = command("cut", path, "--json").json["sheets"][0]
    assert len(cut["elements"]) == 3
    assert [step["undone"] for step in command("undo", "--list", "--json").json["steps"]] == [False, True]
    assert command("undo").code == 0
    assert command("find", "--as", "sheet", "--as", "element", "--json").json["total"] == 0


def test_an_intake_that_is_stopped_keeps_what_it_has_as_one_step(lib: Library, draw: Draw) -> None:
    paths = [draw(f"dog {number}.png", number) for number in range(3)]
    answers = iter([False, True])
    with pytest.raises(Stopped):
        take_in(lib, paths, progress=Stoppable(SILENT, lambda: next(answers)))
    again = take_in(lib, paths)
    assert len(again.report.known) + len(again.report.added) == 3


def test_openings_stay_as_they_are_where_the_folder_refuses(command: Command, tmp_path: Path) -> None:
    page = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(page).rectangle((60, 60, 340, 340), outline=0, width=6)
    page.save(tmp_path / "crate.png")
    code = command("intake", tmp_path / "crate.png", "--later", "--json").json["added"][0]["code"]
    (before,) = command("clean", code, "--to", tmp_path / "out", "--json").json["copies"]
    number = next(o["number"] for o in before["openings"] if not o["open"])
    (tmp_path / "file").write_text("in the way")
    for folder in (tmp_path / "out", tmp_path / "file"):
        assert command("clean", code, "--open", number, "--to", folder).code == 2
    (after,) = command("clean", code, "--json").json["copies"]
    assert after["openings"] == before["openings"]


def test_assetlib_alone_says_where_things_stand(
    command: Command, lib: Library, draw: Draw, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    empty = command("--json").json
    assert (empty["drawings"]["element"], empty["next"][0]) == (0, "assetlib intake FOLDER")
    command("intake", draw("dog.png"), "--as", "element")
    stands = command("--json").json
    assert (stands["drawings"]["element"], stands["in_tray"], stands["doubles"]) == (1, 1, 0)
    told = command().out
    assert "1 element" in told
    assert "assetlib tag --in-tray" in told


def test_assetlib_alone_without_a_library(assetlib: Any) -> None:
    done = assetlib()
    assert (done.code, "assetlib start" in done.out) == (0, True)
    assert assetlib("--json").json["library"] is None


def test_a_file_that_came_twice_is_no_pair_on_the_screen(
    command: Command, draw: Draw, tmp_path: Path
) -> None:
    drawing = draw("dog.png")
    (tmp_path / "again.png").write_bytes(drawing.read_bytes())
    code = command("intake", drawing, tmp_path / "again.png", "--later", "--json").json["added"][0]["code"]
    told = command("doubles").out
    assert code not in told
    assert "0 pairs" in told
    assert "1 drawing came in more than once and is kept once" in told


def test_a_list_of_steps_that_is_cut_says_how_many_there_are(command: Command, draw: Draw) -> None:
    code = command("intake", draw("dog.png"), "--later", "--json").json["added"][0]["code"]
    for number in range(21):
        command("tag", code, "--add", f"word {number}")
    assert "and 2 more before them" in command("undo", "--list").out


def test_answers_for_programs_load_only_what_they_need(
    lib: Library, draw: Draw, run_python: Callable[[str], str]
) -> None:
    code = bring_in(lib, [draw("dog.png")]).added[0].code
    loaded = """
import contextlib, io, sys
from assetlib.cli.main import main
with contextlib.redirect_stdout(io.StringIO()) as out:
    assert main({line!r}) == 0
assert "dog" in out.getvalue()
print([name for name in ("rich", "cv2", "PIL", "torch", "sqlalchemy", "onnxruntime") if name in sys.modules])
"""
    place = ["--library", str(lib.folder)]
    assert run_python(loaded.format(line=[*place, "find", "dog", "--json"])).strip() == "[]"
    assert run_python(loaded.format(line=[*place, "show", code, "--json"])).strip() == "['sqlalchemy']"
