"""Jobs, the pull sheet and pasting on the command line: stable JSON, one sentence for what cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import Assetlib, Draw


@pytest.fixture
def library(assetlib: Assetlib, draw: Draw, tmp_path: Path) -> Path:
    folder = tmp_path / "lib"
    done = assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example")
    assert done.code == 0, done.err
    drawings = [draw("dog sitting.png", 2), draw("delivery van.png", 9)]
    came = assetlib("intake", *drawings, "--as", "element", "--later", "--json", library=folder)
    assert came.code == 0, came.err
    return folder


def test_from_the_list_to_a_frame(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
    opened = assetlib(
        "job", "open", "Bakery van", "--frame", "640x360", "--client", "Two Gulls", "--json", library=library
    )
    assert opened.code == 0, opened.err
    assert (opened.json["name"], opened.json["in_use"], opened.json["frame"]) == (
        "Bakery van",
        True,
        "640x360",
    )
    listing = "1 EXT. STREET - WS, dog sitting\n2 CU, crab\n3 OMIT\nVO: So fresh.\nSUPER: Two Gulls\n"
    pulled = assetlib("pull", "-", "--frames", tmp_path / "frames", "--json", library=library, stdin=listing)
    assert pulled.code == 0, pulled.err
    assert "for job Bakery van" in pulled.err
    assert set(pulled.json) == {"job", "kept", "count", "omitted", "shots", "frames_left"}
    first, second = pulled.json["shots"]
    assert {"number", "text", "heading", "understood", "needs", "served", "elements", "frames"} <= set(first)
    assert {"code", "need", "fit", "score", "why", "alter", "warn"} <= set(first["elements"][0])
    assert (first["served"], second["served"], second["elements"]) == ("yes", "no", [])
    assert [Path(frame).name for frame in first["frames"]] == ["01a_r1.psd"]
    assert pulled.json["omitted"] == ["3"]
    assert "1 voice-over, 1 super" in pulled.err
    assert "no frame begun for 2: drawn new" in pulled.err
    assert assetlib("pull", "--json", library=library).json["omitted"] == ["3"]
    counted = assetlib("pull", "--count", library=library)
    assert counted.out.strip() == "2 shots: 1 drawn, 0 half, 1 new"
    gaps = assetlib("pull", "--gaps", "--json", library=library).json
    assert gaps == {"gaps": [{"need": "crab", "asked": 1}]}
    report = assetlib("job", "report", "--json", library=library).json
    assert (report["private"], report["jobs"][0]["uses"], report["jobs"][0]["hours"]) == (True, 1, None)


def test_an_empty_library_says_so(assetlib: Assetlib, tmp_path: Path) -> None:
    folder = tmp_path / "bare"
    assetlib("start", folder, "--artist", "Ida Brandt", "--contact", "ida@boards.example")
    pulled = assetlib("pull", "-", library=folder, stdin="1 WS, dog sitting\n")
    assert (pulled.code, "the library is empty" in pulled.err) == (0, True)
    assert "1 shot: 0 drawn, 0 half, 1 new" in pulled.out


def test_frames_that_a_changed_list_leaves_over_are_told(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assetlib("job", "open", "Bakery van", "--frame", "320x180", library=library)
    folder = tmp_path / "frames"

    def begun(listing: str) -> tuple[list[tuple[str, str]], str]:
        done = assetlib("pull", "-", "--frames", folder, "--json", library=library, stdin=listing)
        assert done.code == 0, done.err
        return [(Path(row["frame"]).name, row["why"]) for row in done.json["frames_left"]], done.err

    listing = "1 WS, dog sitting, push in\n2 MS, delivery van\n3 CU, delivery van\n"
    assert begun(listing)[0] == []
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    left, told = begun("1 WS, dog sitting\n3 CU, crab\n")
    assert left == [
        ("01b_r1.psd", "it shows its shot as the line was before"),
        ("02a_r1.psd", "its shot is no longer in the list"),
        ("03a_r1.psd", "it shows its shot as the line was before"),
    ]
    assert "left as it is: 02a_r1.psd, shot 2a: its shot is no longer in the list" in told
    assert all((folder / name).read_bytes() == before[name] for name, _ in left)
    assert assetlib("pull", "-", "--frames", folder, "--round", "2", "--json", library=library,
                    stdin="1 WS, dog sitting\n").json["frames_left"] == []  # fmt: skip


def test_what_is_behind_a_scene_is_told_once(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    assetlib("intake", draw("street.png", 13), "--as", "backdrop", "--later", library=library)
    listing = "EXT. STREET - DAY\n1 WS, dog sitting\n2 CU, dog sitting\n3 WS, delivery van\n"
    assert assetlib("pull", "-", library=library, stdin=listing).out.count("behind:") == 1


def test_another_list_is_asked_for_and_counting_keeps_nothing(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assetlib("job", "open", "Bakery van", library=library)
    own = "1 WS, dog sitting\n2 CU, crab\n3 MS, lighthouse\n4 WS, van\n"
    other = "1 CU, teapot\n2 MS, clown\n"
    assert assetlib("pull", "-", "--json", library=library, stdin=own).json["kept"] is True
    counted = assetlib("pull", "-", "--count", library=library, stdin=other)
    assert (counted.code, counted.out.strip()[:8]) == (0, "2 shots:")
    asked = assetlib("pull", "-", "--json", library=library, stdin=other)
    assert (asked.code, asked.json["kept"]) == (1, False)
    assert "is it the list of that job?" in asked.err
    assert "--new-list" in asked.err
    frames = assetlib("pull", "-", "--frames", tmp_path / "f", library=library, stdin=other)
    assert (frames.code, (tmp_path / "f").exists()) == (2, False)
    assert len(assetlib("pull", "--json", library=library).json["shots"]) == 4
    said = assetlib("pull", "-", "--new-list", "--json", library=library, stdin=other)
    assert (said.code, said.json["kept"]) == (0, True)


def test_frames_come_back_and_are_found_with_their_job(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assetlib("job", "open", "Bakery van", "--frame", "640x360", library=library)
    folder = tmp_path / "frames"
    assetlib("pull", "-", "--frames", folder, library=library, stdin="1 WS, dog sitting\n")
    foreseen = assetlib(
        "job", "close", "Bakery van", "--delivered", folder, "--dry-run", "--json", library=library
    )
    assert (foreseen.json["job"], foreseen.json["frames"][0]["code"]) == (None, None)
    closed = assetlib("job", "close", "Bakery van", "--delivered", folder, "--json", library=library)
    (frame,) = closed.json["frames"]
    assert (frame["file"], frame["shot"], frame["round"]) == ("01a_r1.psd", "01a", 1)
    assert [row["state"] for row in frame["layers"]] == ["unchanged"]
    found = assetlib("find", "--as", "frame", "--job", "bakery van", "--json", library=library)
    assert [row["code"] for row in found.json["results"]] == [frame["code"]]
    assert frame["code"] not in assetlib("find", "--codes", library=library).out


@pytest.mark.parametrize(
    ("asked", "first", "fitting"),
    [
        ("02a", "02a", 1),
        ("2", "02a", 1),
        ("shot 2", "02a", 1),
        ("02a_r1.psd", "02a", 1),
        ("02a round 1", "02a", 2),
        ("2 MS, dog sitting", "02a", 2),
        ("dog sitting", "", 2),
        ("9", "", 0),
    ],
)
def test_a_frame_is_found_by_the_number_of_its_shot(
    assetlib: Assetlib, library: Path, tmp_path: Path, asked: str, first: str, fitting: int
) -> None:
    assetlib("job", "open", "Bakery van", "--frame", "320x180", library=library)
    folder = tmp_path / "frames"
    listing = "1 WS, dog sitting\n2 CU, dog sitting\n"
    assetlib("pull", "-", "--frames", folder, library=library, stdin=listing)
    closed = assetlib("job", "close", "Bakery van", "--delivered", folder, "--json", library=library)
    frames = closed.json["frames"]
    codes = {frame["code"]: frame["shot"] for frame in frames}
    found = assetlib("find", "--as", "frame", asked, "--json", library=library).json["results"]
    assert len([row for row in found if row["fit"] == "fits"]) == fitting
    assert not first or codes[found[0]["code"]] == first


def test_a_single_drawing_is_mirrored_without_its_code(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    code = assetlib("find", "dog", "--json", library=library).json["results"][0]["code"]
    lines = [
        ("--to", "1.png", "--mirror"),
        ("--mirror", "--to", "2.png"),
        ("--mirror", code, "--to", "3.png"),
    ]
    for line in lines:
        done = assetlib("paste", code, *line, "--json", library=library)
        assert done.code == 0, done.err
        assert done.json["elements"][0]["mirrored"] is True
    folder = assetlib("paste", code, "--to", tmp_path, library=library)
    assert (folder.code, "is a folder" in folder.err) == (2, True)


def test_the_job_in_use_is_shown_where_none_is_named(assetlib: Assetlib, library: Path) -> None:
    none = assetlib("job", "show", library=library)
    assert (none.code, "none is in use" in none.err) == (2, True)
    assetlib("job", "open", "Ferry", "--confidential", "2027-02-01", library=library)
    shown = assetlib("job", "show", library=library)
    assert "Ferry" in shown.out
    assert "until 01 Feb 2027" in shown.out


def test_a_job_without_a_last_day_says_from_when(assetlib: Assetlib, library: Path) -> None:
    begun = assetlib("job", "open", "Ferry", "--from", "2026-11-20", library=library)
    assert "from 20 Nov 2026" in begun.out, begun.err
    ended = assetlib("job", "open", "Ferry", "--to", "2026-11-22", library=library)
    assert "20 Nov 2026 to 22 Nov 2026" in ended.out


def test_a_mistyped_job_is_told_everywhere_and_never_made(
    assetlib: Assetlib, library: Path, tmp_path: Path
) -> None:
    assetlib("job", "open", "Bakery van", library=library)
    (tmp_path / "list.txt").write_text("1 CU, dog\n")
    lines = [
        ("pull", "list.txt"), ("paste", "dog", "--to", "x.png"), ("intake", "drawings"),
        ("job", "show"), ("job", "close"),
    ]  # fmt: skip
    for line in lines:
        named = ("Bakry van",) if line[0] == "job" else ("--job", "Bakry van")
        done = assetlib(*line, *named, library=library)
        assert done.code == 15, (line, done.err)
        if line[0] != "paste":
            assert "Bakery van" in done.err
    assert len(assetlib("job", "list", "--json", library=library).json["jobs"]) == 1


@pytest.mark.parametrize(
    ("arguments", "stdin", "says"),
    [
        (("pull", "-"), "", "empty"),
        (("pull", "-"), "SUPER: hello\n", "no shot"),
        (("pull", "nowhere.txt"), "", "cannot be read"),
        (("pull", "-", "--pick", "5"), "1 CU dog\n", "picks nothing"),
        (("pull", "-", "--pick", "9=ZZZ"), "1 CU dog\n", "no shot 9"),
        (("pull", "-", "--frames", "f", "--frame", "0:0"), "1 CU dog\n", "no frame"),
        (("pull", "-", "--frames", "f", "--as", "doc"), "1 CU dog\n", "not written as doc"),
        (("pull",), "", "no shot list"),
        (("paste", "ZZZ", "--to", "x.png"), "", "ZZZ"),
        (("paste", "ZZZ"), "", "where to paste"),
        (("job", "open", "X", "--wheel", "up"), "", "steering wheel"),
        (("job", "open", "X", "--to", "soon"), "", "no day"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    assetlib: Assetlib, library: Path, arguments: tuple[str, ...], stdin: str, says: str
) -> None:
    done = assetlib(*arguments, library=library, stdin=stdin)
    assert done.code in (2, 15), done.err
    assert says in done.err
    assert "Traceback" not in done.err
