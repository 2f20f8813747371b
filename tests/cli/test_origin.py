"""Saying where drawings came from: a paper counts for one answer, and many drawings keep what was said of each."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from PIL import Image

from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from tests.cli.conftest import Command
from tests.conftest import Draw

OWN = ("--drawn", "out of the head", "--rights", "own", "--shows", "none", "--ai", "none")


@pytest.fixture
def codes(lib: Library, draw: Draw) -> list[str]:
    paths = [draw(f"dog {number}.png", number) for number in range(1, 4)]
    return [item.code for item in bring_in(lib, paths, Wishes(role="element")).added]


def _answers(command: Command, code: str) -> dict[str, tuple[str, list[str]]]:
    (row,) = command("clearance", code, "--json").json["drawings"]
    return {a["question"]: (a["value"], [paper["kind"] for paper in a["papers"]]) for a in row["answers"]}


def test_a_line_with_several_answers_and_a_paper_is_refused(command: Command, codes: list[str]) -> None:
    traced = ("--drawn", "traced from found", "--whose", "a photographer", "--shows", "brand")
    refused = command("origin", codes[0], *traced, "--paper", "consent=mail of 3 May", "--json")
    assert (refused.code, refused.json["error"]["kind"]) == (2, "wrong-usage")
    assert _answers(command, codes[0]) == {}


def test_a_paper_counts_for_the_answer_given_with_it(command: Command, codes: list[str]) -> None:
    command("origin", codes[0], *OWN, "--drawn", "traced from found", "--whose", "a photographer")
    command("origin", codes[0], "--shows", "brand", "--paper", "consent=mail of 3 May")
    found = _answers(command, codes[0])
    assert found["depicts"] == ("brand", ["consent"])
    assert [papers for question, (_, papers) in found.items() if question != "depicts"] == [[], [], []]
    assert command("clearance", codes[0], "--json").json["drawings"][0]["state"] == "blocked"


def test_many_drawings_keep_what_was_said_of_each(command: Command, codes: list[str]) -> None:
    first, second, third = codes
    command("origin", first, "--ai", "assisted")
    command("origin", second, "--drawn", "traced from found", "--whose", "a photographer",
            "--paper", "resale-permission=drawer 2")  # fmt: skip
    many = command("origin", *codes, *OWN, "--json")
    assert many.code == 1
    assert [(row["code"], row["question"], row["stands"], row["asked"]) for row in many.json["left"]] == [
        (first, "ai", ["assisted"], ["none"]),
        (second, "origin", ["traced-from-found"], ["out-of-the-head"]),
    ]
    assert _answers(command, first) == {"ai": ("assisted", [])}  # all or nothing
    assert _answers(command, second) == {"origin": ("traced-from-found", ["resale-permission"])}
    assert _answers(command, third) == {}
    said = command("origin", *codes, *OWN).out
    assert f"{first} --ai: assisted was said of it, not none" in said
    assert ("nothing was noted" in said, "clear" in said) == (True, False)

    again = command("origin", first, second, "--drawn", "traced from found", "--json").json
    assert again["left"] == []
    assert _answers(command, second)["origin"] == ("traced-from-found", ["resale-permission"])
    replaced = command("origin", *codes, *OWN, "--replace", "--json")
    assert (replaced.code, replaced.json["left"]) == (0, [])
    assert {row["state"] for row in replaced.json["drawings"]} == {"clear"}
    assert command("origin", first, "--ai", "assisted", "--json").json["left"] == []


def test_a_paper_that_comes_later_is_laid_to_the_answer_that_waits_for_it(
    command: Command, codes: list[str]
) -> None:
    command("origin", codes[0], "--shows", "real person")
    command("origin", codes[0], "--paper", "model-release=drawer 2")
    assert _answers(command, codes[0])["depicts"] == ("real-person", ["model-release"])
    for_nothing = command("origin", codes[0], "--paper", "agreement=drawer 3")
    assert (for_nothing.code, codes[0] in for_nothing.err) == (2, True)
    command("undo")
    assert _answers(command, codes[0])["depicts"] == ("real-person", [])


def test_show_tells_where_a_drawing_stands_and_was_sold(command: Command, codes: list[str]) -> None:
    def told() -> tuple[list[str], str | None, list[tuple[str, int]]]:
        shown = command("show", codes[0], "--json").json
        return shown["collections"], shown["sold"], [(b["collection"], b["number"]) for b in shown["bundles"]]

    assert told() == ([], None, [])
    command("origin", codes[0], *OWN)
    command("collection", "make", "Quay")
    command("collection", "add", "Quay", codes[0])
    command("licence", "Quay", "one artist")
    command("bundle", "build", "Quay")
    assert told() == (["Quay"], "clear", [("Quay", 1)])
    assert "Quay, issue 1" in command("show", codes[0]).out


def test_what_is_in_a_bundle_for_sale_is_minded_where_a_job_assigns_rights(
    command: Command, codes: list[str], tmp_path: Path
) -> None:
    command("origin", codes[0], *OWN)
    command("collection", "make", "Quay")
    command("collection", "add", "Quay", codes[0])
    command("licence", "Quay", "one artist")

    listing = tmp_path / "list.txt"
    listing.write_text("1 WS, dog\n", encoding="utf-8")

    def minded(job: str) -> tuple[list[str], str]:
        """What a pull says of the drawing that leads, and what pasting it says."""
        pulled = command("pull", listing, "--job", job, "--pick", f"1={codes[0]}", "--json")
        (first, *_) = pulled.json["shots"][0]["elements"]
        assert first["code"] == codes[0]
        pasted = command(
            "paste",
            codes[0],
            "--job",
            job,
            "--to",
            tmp_path / f"{job} {len(list(tmp_path.iterdir()))}.png",
            "--json",
        )
        shown = command("pull", "--job", job).out
        assert ("mind: in a bundle" in shown) == bool(first["warn"])
        return first["warn"], " ".join(pasted.json["warn"])

    command("job", "open", "Ferry", "--agreement", "assigned")
    command("job", "open", "Bakery", "--agreement", "rights kept")
    assert minded("Ferry")[0] == []
    command("bundle", "build", "Quay")
    warned, pasted = minded("Ferry")
    assert warned == ["in a bundle built for sale, while this job assigns rights"]
    assert warned[0] in pasted
    kept, said = minded("Bakery")
    assert (kept, "bundle" in said) == ([], False)


def test_what_was_answered_is_a_table_with_papers_and_their_days(command: Command, codes: list[str]) -> None:
    code = codes[0]
    assert "nothing was said of it yet" in command("origin", code).out
    command("origin", code, "--drawn", "own photo", "--rights", "own", "--ai", "none", "--whose", "Ida")
    command("origin", code, "--shows", "real person")
    kept = command("release", "add", code, "--kind", "model-release", "--who", "Ada Quist", "--signed", "2026-03-01",
                   "--until", "2027-03-01", "--place", "binder 3", "--json").json["releases"][0]  # fmt: skip
    for line in (("origin", code), ("clearance", code)):
        said = " ".join(command(*line).out.split())
        wanted = (
            "own photo",
            "Ida",
            "real person",
            kept["code"],
            "Ada",
            "2026-03-01",
            "2027-03-01",
        )
        assert [word for word in wanted if word not in said] == []
    (row,) = command("origin", code, "--json").json["drawings"]
    (paper,) = next(a["papers"] for a in row["answers"] if a["question"] == "depicts")
    assert (paper["who"], paper["from"], paper["until"]) == ("Ada Quist", "2026-03-01", "2027-03-01")


def test_the_drawing_of_somebody_else_waits_for_a_paper(command: Command, codes: list[str]) -> None:
    command(
        "origin",
        codes[0],
        "--drawn",
        "someone else",
        "--rights",
        "someone else",
        "--shows",
        "none",
        "--ai",
        "none",
    )
    state = lambda: command("clearance", codes[0], "--json").json["drawings"][0]["state"]  # noqa: E731
    assert state() == "blocked"
    command("origin", codes[0], "--paper", "resale-licence=mail of 3 May")
    assert state() == "clear"


def test_hints_run_as_they_are_shown(command: Command, codes: list[str]) -> None:
    for code, kind in zip(codes, ("model-release", "consent", "property-release"), strict=True):
        line = (
            "release",
            "add",
            code,
            "--kind",
            kind,
            "--who",
            "Ada",
            "--signed",
            "2026-03-01",
            "--place",
            "binder 3",
        )
        shown = " ".join(command(*line).err.split())
        told = re.search(r"assetlib (origin [^;]*)", shown)
        assert told is not None
        assert command(*shlex.split(told[1])).code == 0
        assert command(*line).code == 0


@pytest.mark.parametrize(
    ("option", "said", "meant"),
    [("--drawn", "memory", "out of the head"), ("--rights", "mine", "own"), ("--shows", "nothing", "none"),
     ("--ai", "no", "none"), ("--shows", "real persn", "real person")],
)  # fmt: skip
def test_a_slip_is_answered_with_what_was_meant(
    command: Command, codes: list[str], option: str, said: str, meant: str
) -> None:
    refused = " ".join(command("origin", codes[0], option, said).err.split())
    assert f"does not answer {option}" in refused
    assert f'did you mean {option} "{meant}"?' in refused


def test_somebody_elses_name_in_the_file_is_asked_of(command: Command, tmp_path: Path, draw: Draw) -> None:
    for name, by in (("theirs.png", "Jonas Fremd"), ("mine too.png", "BRANDT, Ida")):
        exif = Image.Exif()
        exif[0x013B], exif[0x8298] = by, f"All rights {by}"
        path = draw(name, len(name))
        Image.open(path).save(path, exif=exif)
    came = " ".join(command("intake", tmp_path / "drawings", "--as", "element").out.split())
    hint = re.search(
        r'(\w+): the file names Jonas Fremd: is it yours\? assetlib (origin .* --whose "Jonas Fremd")', came
    )
    assert hint is not None, came
    assert came.endswith(hint[0])
    mine = next(row["code"] for row in command("find", "--json").json["results"] if row["code"] != hint[1])
    command("origin", hint[1], mine, *OWN)
    state = lambda code: command("clearance", code, "--json").json["drawings"][0]["state"]  # noqa: E731
    assert (state(mine), state(hint[1])) == ("clear", "ask")
    assert "The file names Jonas Fremd" in " ".join(command("clearance", hint[1]).out.split())
    assert command(*shlex.split(hint[2])).code == 0
    assert state(hint[1]) == "clear"
