"""Which drawings a command is about: named, piped, or all of a sheet, a job or a collection; lists of numbers."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.cli.context import numbers
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from tests.cli.conftest import Command
from tests.cli.pages import three_shapes
from tests.conftest import Draw


@pytest.mark.parametrize(
    ("texts", "meant"),
    [
        (["2,3"], (2, 3)),
        (["4-6", "2"], (4, 5, 6, 2)),
        (["1, 3-4 ,3"], (1, 3, 4)),
        (["7 8"], (7, 8)),
        (None, ()),
    ],
)
def test_lists_of_numbers(texts: list[str] | None, meant: tuple[int, ...]) -> None:
    assert numbers(texts, "--drop") == meant


@pytest.mark.parametrize("text", ["", "a", "3-", "-3", "6-4", "1,,2", "1-999999999999", "²"])
def test_what_is_no_list_of_numbers(text: str) -> None:
    with pytest.raises(WrongUsage, match="number"):
        numbers([text], "--drop")


@pytest.fixture
def shapes(tmp_path: Path) -> Path:
    three_shapes().save(tmp_path / "shapes.png")
    return tmp_path / "shapes.png"


def test_every_command_takes_drawings_alike(command: Command, lib: Library, draw: Draw, shapes: Path) -> None:
    # before any job is in use: what is brought in later goes to that one
    (dog,) = command("intake", draw("dog.png"), "--later", "--json").json["added"]
    command("job", "open", "Bakery spot")
    sheet = command(
        "intake", shapes, "--as", "sheet", "--cut", "--job", "Bakery spot", "--later", "--json"
    ).json
    whole, *cut = [row["code"] for row in sheet["added"]]
    assert command("collection", "add", "Ferry", "--sheet", whole, "--json").code == 15
    command("collection", "make", "Ferry")
    put = command("collection", "add", "Ferry", "--job", "Bakery spot", "--json").json["collections"][0]
    assert [row["code"] for row in put["items"]] == cut  # the sheet itself is no element

    ways = (
        (["--sheet", whole], "", cut),
        (["--job", "Bakery spot"], "", cut),
        (["--collection", "Fery", "--collection", "Ferry"], "", None),
        (["--collection", "Ferry", cut[0][:5]], "", cut),
        (["-"], "".join(f"{code}\tshape\n" for code in cut), cut),
        (["-", dog["code"]], "\n".join(cut), [dog["code"], *cut]),
        ([], command("show", "--sheet", whole, "--json").out, cut),
    )
    for given, piped, meant in ways:
        answers = [
            command("clearance", *given, "--json", stdin=piped).json.get("drawings"),
            command("tag", *given, "--add", "shape", "--dry-run", "--json", stdin=piped).json.get(
                "described"
            ),
        ]
        for rows in answers:
            # a sheet can be tagged, and is no element that is cleared
            codes = rows and sorted(row["code"] for row in rows if row["code"] != whole)
            assert codes == (meant and sorted(meant)), given
    assert [row["code"] for row in command("show", "--sheet", whole, "--json").json["drawings"]] == cut
    assert command("doubles", "--sheet", whole, "--json").json == {"pairs": [], "groups": []}
    assert command("tag", "--job", "Nothing of the kind", "--add", "x", "--json").code == 15
    again = command("cut", "--job", "Bakery spot", "--json").json["sheets"]
    assert [page["sheet"] for page in again] == [whole]
    assert [row["code"] for row in command("clean", "--sheet", whole, "--json").json["copies"]] == cut


def test_a_search_that_is_piped_is_a_code_and_a_title_a_line(command: Command, draw: Draw) -> None:
    added = command("intake", draw("dog one.png", 1), draw("dog two.png", 2), "--later", "--json").json[
        "added"
    ]
    lines = command("find", "dog").out.splitlines()
    assert sorted(lines) == sorted(f"{row['code']}\t{row['title']}" for row in added)
    assert command("tag", "-", "--add", "animal", stdin="\n".join(lines)).code == 0
    assert command("find", "--tag", "animal", "--json").json["total"] == 2


def test_what_only_narrows_is_piped_whole_and_a_search_says_that_there_is_more(
    command: Command, lib: Library, draw: Draw
) -> None:
    paths = [draw(f"dog {number}.png", number) for number in range(1, 54)]
    codes = [item.code for item in bring_in(lib, paths, Wishes(role="element")).added]
    command("tag", *codes, "--add", "quay")
    assert len(command("find", "--tag", "quay", "--codes").out.split()) == 53
    ranked = command("find", "dog", "--codes")
    assert (len(ranked.out.split()), "--limit 53 gives all" in ranked.err) == (50, True)


def test_a_sheet_in_a_pipe_is_passed_over_with_a_word(command: Command, lib: Library, shapes: Path) -> None:
    rows = command("intake", shapes, "--as", "sheet", "--cut", "--later", "--json").json["added"]
    sheet, *cut = [row["code"] for row in rows]
    piped = "\n".join((cut[0], sheet, cut[1]))
    command("collection", "make", "Ferry")
    for line in (["clearance"], ["origin", "--drawn", "observed"], ["collection", "add", "Ferry"]):
        verb, rest = (line[:2], line[2:]) if line[0] == "collection" else (line[:1], line[1:])
        done = command(*verb, *([rest.pop(0)] if verb[0] == "collection" else []), "-", *rest, stdin=piped)
        assert done.code == 0, (line, done.err)
        assert f"{sheet} is a sheet and passed over" in done.err
        assert all(code in done.out for code in cut[:2]), (line, done.out)
    alone = command("clearance", "-", "--json", stdin=sheet)
    assert (alone.code, alone.json["error"]["message"]) == (2, "what is piped in is no element")
    assert command("clearance", sheet, cut[0], "--json").code == 15  # named by hand, it is a slip
