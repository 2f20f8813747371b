"""The command line as its user meets it: own process, real files, exit codes, one JSON document."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from tests.cli.pages import three_shapes
from tests.conftest import Assetlib, Draw

HEAVY = (
    "sqlalchemy",
    "alembic",
    "numpy",
    "scipy",
    "PIL",
    "imagehash",
    "cv2",
    "onnxruntime",
    "torch",
    "rich",
    "pebble",
)


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    done = assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example")
    assert done.code == 0, done.err
    return folder


def test_help_loads_nothing_heavy(run_python) -> None:  # type: ignore[no-untyped-def]
    code = f"""
import contextlib, io, sys
from assetlib.cli.main import main
with contextlib.redirect_stdout(io.StringIO()) as out:
    assert main(["--help"]) == 0
    assert main(["intake", "--help"]) == 0
assert "intake" in out.getvalue()
print([name for name in {HEAVY!r} if name in sys.modules])
"""
    assert run_python(code).strip() == "[]"


def test_intake_find_show_tag_undo(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    folder = draw("hood_mount-02 FINAL.png", 1).parent
    draw("baker with tray.png", 2)
    (folder / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nxx")
    came = assetlib("intake", folder, "--json", library=library)
    assert came.code == 1  # done, and one item had a problem
    assert set(came.json) == {"added", "known", "failed"}
    assert {tuple(row) for row in came.json["added"]} == {
        ("code", "title", "as", "source", "page", "doubt", "mend", "keep", "looks_like")
    }
    assert Path(came.json["failed"][0]["source"]).name == "broken.png"

    found = assetlib("find", "baker", "--json", library=library).json
    own = {"query", "heading", "understood", "total", "fitting", "results"}
    assert set(found) == own | {"named_after_sheet", "named_after_sheet_total"}
    (result,) = [row for row in found["results"] if row["fit"] == "fits"]
    keys = {
        "code",
        "uuid",
        "title",
        "fit",
        "unmet",
        "source",
        "file",
        "proof",
        "score",
        "why",
        "facets",
        "tags",
    }
    assert keys <= set(result)
    assert Path(result["source"]) == folder / "baker with tray.png"
    assert Path(result["file"]).read_bytes() == (folder / "baker with tray.png").read_bytes()
    with Image.open(result["proof"]) as proof:
        assert proof.format == "WEBP"

    code = result["code"]
    shown = assetlib("show", code[:4].lower(), "--clean", "--json", library=library).json
    assert {"original", "clean", "proof"} <= set(shown)
    assert all(Path(shown[key]).is_file() for key in ("original", "clean", "proof"))

    tagged = assetlib("tag", code, "--add", "bread", "--set", "pose=standing", "--json", library=library).json
    assert tagged["described"][0]["tags"] == ["bread"]
    assert assetlib("undo", library=library).code == 0
    assert assetlib("show", code, "--json", library=library).json["tags"] == []


def test_a_search_can_be_piped_into_tag(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    folder = draw("dog one.png", 1).parent
    draw("dog two.png", 2)
    assetlib("intake", folder, library=library)
    found = assetlib("find", "dog", "--json", library=library).out
    assert assetlib("tag", "--add", "animal", stdin=found, library=library).code == 0
    codes = assetlib("find", "dog", "--codes", library=library).out
    assert assetlib("tag", "-", "--add", "running", stdin=codes, library=library).code == 0
    results = assetlib("find", "--tag", "running", "--tag", "animal", "--json", library=library).json
    assert results["total"] == 2


def test_many_lines_in_one_process(assetlib: Assetlib, library: Path, draw: Draw, tmp_path: Path) -> None:
    assetlib("intake", draw("dog.png"), library=library)
    lines = tmp_path / "lines.txt"
    lines.write_text("dog\n\nCU ferry\n", encoding="utf-8")
    answers = assetlib("find", "--each", lines, "--json", library=library).json["queries"]
    assert [answer["query"] for answer in answers] == ["dog", "CU ferry"]
    assert [answer["total"] for answer in answers] == [1, 0]


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["show", "XXX"], 15, "XXX"),
        (["show", "A"], 15, "too short"),
        (["tag", "XXX", "--add", "dog"], 15, "XXX"),
        (["tag", "XXX"], 2, "nothing is to change"),
        (["tag", "--add", "dog"], 2, "no drawing"),
        (["find", "dog", "--only", "size=big"], 2, "size=big"),
        (["undo"], 2, "only 0"),
        (["bundle", "build", "Nothing"], 15, "Nothing"),
        (["bundle", "verify", "nothing.zip"], 15, "nothing.zip"),
        (["find", "--each", "nothing.txt"], 15, "nothing.txt"),
        (["find", ""], 2, "no word was given"),
        (["bundle", "verify", "."], 15, "is a folder"),
        (["cut", "XXX"], 15, "XXX"),
        (["cut", "gone/sheet.png"], 15, "there is no such file: gone/sheet.png"),
        (["show", "XXU"], 15, "is not the code of a drawing"),
        (["no-such-command"], 2, "no-such-command"),
        (["intake"], 2, ""),
    ],
)
def test_an_error_is_one_line_and_a_code(
    assetlib: Assetlib, library: Path, arguments: list[str], code: int, says: str
) -> None:
    done = assetlib(*arguments, library=library)
    assert done.code == code
    assert says in done.err
    assert "Traceback" not in done.err
    assert done.out == ""


def test_no_library(assetlib: Assetlib) -> None:
    done = assetlib("find", "dog")
    assert done.code == 11
    assert "assetlib start" in done.err


def test_the_library_is_found_from_a_folder_inside_it(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assert assetlib("--library", library, "check").code == 0
    assert assetlib("check", f"--library={library}", "--json").json["clean"] is True


def test_unknown_settings_are_told(assetlib: Assetlib, library: Path) -> None:
    settings = library / "assetlib.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + "colour = 'red'\n", encoding="utf-8")
    done = assetlib("check", library=library)
    assert (done.code, "colour" in done.err) == (22, True)


def _sheet(path: Path) -> Path:
    three_shapes().save(path)
    return path


def test_cut_a_plain_file_without_a_library(assetlib: Assetlib, tmp_path: Path) -> None:
    path = _sheet(tmp_path / "three shapes.png")
    (sheet,) = assetlib("cut", path, "--dry-run", "--json").json["sheets"]
    assert (Path(sheet["source"]), sheet["size"]) == (path, [900, 420])
    assert [element["order"] for element in sheet["elements"]] == [1, 2, 3]
    for element, box in zip(
        sheet["elements"], ([60, 90, 201, 241], [360, 90, 201, 241], [660, 90, 181, 241]), strict=True
    ):
        assert all(abs(a - b) <= 8 for a, b in zip(element["box"], box, strict=True))


def test_from_a_sheet_to_a_bundle(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    path = _sheet(tmp_path / "three shapes.png")
    cut = assetlib("cut", path, "--json", library=library).json["sheets"][0]
    codes = [element["code"] for element in cut["elements"]]
    assert len(codes) == 3

    again = assetlib("cut", cut["sheet"], "--json", library=library).json["sheets"][0]
    assert [(e["code"], e["what"]) for e in again["elements"]] == [(code, "kept") for code in codes]

    assetlib("collection", "make", "Shapes", library=library)
    assetlib("collection", "add", "Shapes", *codes, library=library)
    assert assetlib("licence", "Shapes", "one artist", library=library).code == 0
    refused = assetlib("bundle", "build", "Shapes", library=library)
    assert refused.code == 20
    assert codes[0] in refused.err

    own = ("--drawn", "out of the head", "--rights", "own", "--shows", "none", "--ai", "none")
    stated = assetlib("origin", *codes, *own, "--json", library=library).json
    assert {row["state"] for row in stated["drawings"]} == {"clear"}
    assetlib("origin", codes[0], "--drawn", "traced from found", "--whose", "a photographer", library=library)
    assert assetlib("bundle", "build", "Shapes", library=library).code == 20
    assert not list((library / "bundles").glob("*.zip"))
    assetlib("origin", codes[0], "--drawn", "out of the head", library=library)

    issued = assetlib("bundle", "build", "Shapes", "--json", library=library).json
    bundle = Path(issued["path"])
    assert assetlib("bundle", "verify", bundle, "--json").json["ok"] is True
    damaged = tmp_path / "damaged.zip"
    data = bytearray(bundle.read_bytes())
    data[len(data) // 2] ^= 1
    damaged.write_bytes(data)
    assert assetlib("bundle", "verify", damaged).code == 1
    again = ("bundle", "build", "Shapes", "--again", "--json")
    assert assetlib(*again, library=library).json["issue"] == 2
    assert assetlib("check", library=library).code == 0


def test_corrections_are_kept(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    path = _sheet(tmp_path / "three shapes.png")
    cut = assetlib("cut", path, "--join", "1,2", "--json", library=library).json["sheets"][0]
    assert len(cut["elements"]) == 2
    again = assetlib("cut", cut["sheet"], "--json", library=library).json["sheets"][0]
    assert [e["code"] for e in again["elements"]] == [e["code"] for e in cut["elements"]]
    fresh = assetlib("cut", cut["sheet"], "--fresh", "--json", library=library).json["sheets"][0]
    assert len(fresh["elements"]) == 3
    assert cut["elements"][1]["code"] in [e["code"] for e in fresh["elements"]]


def test_a_described_element_is_never_taken_away(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    path = _sheet(tmp_path / "three shapes.png")
    cut = assetlib("cut", path, "--json", library=library).json["sheets"][0]
    first, second, _ = (element["code"] for element in cut["elements"])
    assetlib("tag", first, "--add", "egg", library=library)
    dropped = assetlib("cut", cut["sheet"], "--drop", "1", "--drop", "2", "--json", library=library).json[
        "sheets"
    ][0]
    assert dropped["gone"] == [second]
    assert assetlib("find", "--tag", "egg", "--json", library=library).json["results"][0]["code"] == first


def test_backup_and_restore(assetlib: Assetlib, library: Path, draw: Draw, tmp_path: Path) -> None:
    assetlib("intake", draw("dog.png"), library=library)
    saved = assetlib("backup", tmp_path / "safe", "--json", library=library).json
    assert (saved["files"], saved["copied"]) == (1, 1)
    assert assetlib("backup", tmp_path / "safe", "--json", library=library).json["copied"] == 0
    original = next((library / "originals").glob("??/??/*"))
    original.chmod(0o644)
    original.write_bytes(b"damaged")
    broken = assetlib("check", "--json", library=library)
    assert (broken.code, broken.json["clean"]) == (1, False)
    assert assetlib("restore", tmp_path / "safe", tmp_path / "again").code == 0
    assert assetlib("check", "--json", library=tmp_path / "again").json["clean"] is True
    assert assetlib("find", "dog", "--json", library=tmp_path / "again").json["total"] == 1


def test_check_mends_what_can_be_made_again(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    assetlib("intake", draw("dog.png"), library=library)
    proof = next((library / "derived").rglob("*.webp"))
    proof.unlink()
    assert assetlib("check", library=library).code == 1
    assert assetlib("check", "--repair", library=library).code == 0
    assert json.loads(assetlib("upkeep", "--json", library=library).out)["worked"][0]["done"] == 1
    assert assetlib("check", library=library).code == 0


def test_doubles_and_find_by_picture(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    for number in range(9):
        image = Image.new("RGB", (400, 300), "white")
        pen = ImageDraw.Draw(image)
        for k in range(number + 2):
            pen.arc((20 + 35 * k, 30 + 13 * number, 180 + 20 * k, 270), 20 * number, 200 + 15 * k, "black", 5)
        pen.line([(30 + 40 * number, 20), (200, 150 + 15 * number), (370 - 20 * number, 280)], "black", 6)
        image.save(folder / f"drawing {number}.png")
    with Image.open(folder / "drawing 4.png") as image:
        image.transpose(Image.Transpose.FLIP_LEFT_RIGHT).save(folder / "mirrored.png")
        image.resize((200, 150)).save(tmp_path / "outside.png")
    came = assetlib("intake", folder, "--as", "element", "--json", library=library).json
    code = {Path(row["source"]).stem: row["code"] for row in came["added"]}
    told = {row["code"]: row["looks_like"] for row in came["added"]}
    assert {"code": code["drawing 4"], "kind": "same-drawing", "how": ["mirrored"]} in told[code["mirrored"]]

    listed = assetlib("doubles", "--all", "--json", library=library).json
    assert set(listed) == {"pairs", "groups"}
    both = {code["drawing 4"], code["mirrored"]}
    (pair,) = [p for p in listed["pairs"] if {p["a"]["code"], p["b"]["code"]} == both]
    assert set(pair) == {"a", "b", "kind", "how", "score", "box"}
    assert (pair["a"]["code"], pair["kind"]) == (code["drawing 4"], "same-drawing")
    assert any(both <= set(family) for family in listed["groups"])

    answer = assetlib("doubles", "--of", tmp_path / "outside.png", "--json", library=library).json
    asked, hashes = answer["pairs"], answer["hashes"]
    by_hash = assetlib("doubles", "--of", hashes["phash_wide"], "--json", library=library).json["pairs"]
    assert [p["a"]["code"] for p in by_hash] == [code["drawing 4"]]
    (itself,) = [p for p in asked if p["a"]["code"] == code["drawing 4"]]
    assert itself["kind"] in ("same-picture", "same-drawing")
    assert "mirrored" not in itself["how"]

    alike = assetlib("find", "--like", tmp_path / "outside.png", "--json", library=library).json["results"]
    assert code["drawing 4"] in [row["code"] for row in alike[:2]]  # the other is its mirror image
    others = assetlib("find", "--like", code["drawing 4"], "--json", library=library).json["results"]
    assert code["drawing 4"] not in [row["code"] for row in others]
    wrong = assetlib("find", "--like", tmp_path / "gone.png", library=library)
    assert (wrong.code, "gone.png" in wrong.err) == (15, True)

    decided = assetlib("doubles", code["drawing 4"], code["mirrored"], "--different", library=library)
    assert decided.code == 0
    left = assetlib("doubles", "--json", library=library).json["pairs"]
    assert not [p for p in left if {p["a"]["code"], p["b"]["code"]} == both]
    assert assetlib("doubles", code["mirrored"], "--family", library=library).code == 2
    kept = assetlib("doubles", *both, "--keep", code["drawing 4"], "--json", library=library)
    assert (kept.code, kept.json["merged"][0]["keep"]) == (0, code["drawing 4"]), kept.err
    assert assetlib("undo", library=library).code == 0
