"""What programs are answered: one document of a shape that stands in the schema, also where a command fails."""

from __future__ import annotations

import importlib
import pkgutil
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import typer

import assetlib
from assetlib.cli.main import app, main
from assetlib.errors import UNEXPECTED, UNEXPECTED_KIND, AssetlibError
from assetlib.library import Library
from tests import answers
from tests.cli.conftest import Command
from tests.conftest import Draw

README = Path(__file__).parents[2] / "README.md"


def _commands(group: Any, before: tuple[str, ...] = ()) -> dict[str, Any]:
    """Every command by its name, those of groups too."""
    found = {}
    for name, command in group.commands.items():
        found[" ".join((*before, name))] = command
        if hasattr(command, "commands"):
            found |= _commands(command, (*before, name))
    return found


COMMANDS = _commands(typer.main.get_command(app))


def _all_errors() -> list[type[AssetlibError]]:
    for module in pkgutil.walk_packages(assetlib.__path__, "assetlib."):
        if not module.name.startswith("assetlib._") and ".training" not in module.name:
            importlib.import_module(module.name)
    waiting, found = [AssetlibError], []
    while waiting:
        found.append(waiting.pop())
        waiting += found[-1].__subclasses__()
    return found


def test_every_failure_has_a_code_and_a_kind_of_its_own() -> None:
    errors = [error for error in _all_errors() if {"exit_code", "kind"} & set(vars(error))]
    assert {error.__module__ for error in errors} == {"assetlib.errors"}
    assert len({error.exit_code for error in errors}) == len({error.kind for error in errors}) == len(errors)
    kinds = set(answers.schema()["error"]["properties"]["error"]["properties"]["kind"]["enum"])
    assert kinds == {*(error.kind for error in errors), UNEXPECTED_KIND}
    told = {
        int(code) for code in re.findall(r"\b(\d+) [a-z]", README.read_text("utf-8").split("Exit codes:")[1])
    }
    assert {error.exit_code for error in errors} - {AssetlibError.exit_code} | {UNEXPECTED} <= told


def test_every_command_that_takes_json_has_a_shape() -> None:
    takes = {name for name, made in COMMANDS.items() if any("--json" in p.opts for p in made.params)}
    assert takes == set(answers.schema()["commands"]) - {"assetlib"}
    jsonschema.Draft202012Validator.check_schema(
        {"$defs": {str(n): s for n, s in enumerate(answers.schema()["commands"].values())}}
    )


def test_readme_lists_the_commands_that_there_are() -> None:
    table = re.search(r"\| command \|.*?\n\n", README.read_text("utf-8"), re.DOTALL)
    assert table is not None
    told: dict[str, str] = {}
    for row in table[0].strip().splitlines()[2:]:
        _, names, what, *_ = row.split("|")
        told |= dict.fromkeys(re.findall(r"`([a-z]+)`", names), what)
    assert set(told) == {name for name in COMMANDS if " " not in name}
    for what in set(told.values()):
        names = {name for name in told if told[name] == what}
        made = [command for name, command in COMMANDS.items() if name.split()[0] in names]
        options = {option for command in made for parameter in command.params for option in parameter.opts}
        assert set(re.findall(r"(--[a-z-]+)", what)) <= options | {"--help", "--json"}, names


@pytest.mark.parametrize(
    ("arguments", "kind", "exit_code"),
    [
        (["show", "XXX"], "not-found", 15),
        (["tag", "XXX"], "wrong-usage", 2),
        (["find", "--only", "size=big"], "wrong-usage", 2),
        (["undo", "--nonsense"], "wrong-usage", 2),
        (["undo", "0"], "wrong-usage", 2),
        (["bundle", "verify", "nothing.zip"], "not-found", 15),
        (["licence", "Nothing"], "not-found", 15),
        (["--library", "nowhere", "find", "x"], "no-library", 11),
    ],
)
def test_a_failure_is_answered_too(command: Command, arguments: list[str], kind: str, exit_code: int) -> None:
    done = command(*arguments, "--json")
    error = done.json["error"]
    assert (done.code, error["exit"], error["kind"]) == (exit_code, exit_code, kind)
    assert error["message"] in " ".join(done.err.replace("│", " ").split())


def test_what_nobody_foresaw_and_an_interrupt_are_answered(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by nought")

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Library, "open", broken)
    assert command("check", "--json").json["error"]["kind"] == "unforeseen"
    monkeypatch.setattr(Library, "open", stopped)
    assert command("check", "--json").json["error"]["kind"] == "interrupted"


def test_collections_and_licences_are_listed(command: Command) -> None:
    assert command("collection", "list", "--json").json == {"collections": []}
    made = command("collection", "make", "Ferry", "--json").json["collections"]
    assert command("collection", "list", "--json").json["collections"] == made
    assert command("collection", "show", "--json").json["collections"] == made
    tiers = [row["licence"] for row in command("licence", "--json").json["licences"]]
    assert "one artist" in tiers
    assert command("licence", "Ferry", "--json").json["error"]["exit"] == 2
    chosen = command("licence", "Ferry", "one artist", "--json").json
    assert (chosen["collection"], chosen["licence"]) == ("Ferry", "one artist")
    assert "Ferry" in command("licence", "Ferry", "--json").json["text"]


def test_names_from_outside_cannot_steer_the_terminal(command: Command, draw: Draw) -> None:
    path = draw("dog.png")
    nasty = path.with_name("dog \x1b[31mred\x1b[0m\x9b2J\nassetlib: all gone \u202egnp.png")
    path.rename(nasty)
    (nasty.parent / "broken \x1b]0;x\x07.png").write_bytes(b"\x89PNG\r\n\x1a\nxx")
    came = command("intake", nasty.parent)
    assert came.code == 1
    title = "dog \x1b[1mbold\r\ngone"
    code = command("find", "--json").json["results"][0]["code"]
    outputs = [
        came,
        command("tag", code, "--title", title),
        command("show", code),
        command("find"),
        command("cut", nasty, "--dry-run"),
        command("clearance", code),
        command("doubles", code),
        command("undo", "--list"),
        command("show", f"X\x1b[2J\n{code}"),
    ]
    for ran in outputs:
        assert not re.search(
            "[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", ran.out.replace("\t", "") + ran.err
        )
        assert not [line for line in ran.out.splitlines() if line.startswith(("assetlib: all gone", "gone"))]
    assert not re.search("[\x7f-\x9f]", command("show", code, "--json").out)


MACHINERY = re.compile(
    r"facets?\b|vectors?\b|fingerprints?\b|digests?\b|recipes?\b|embedding|\b(?:str|int|bool)\b",
    re.IGNORECASE,
)
"""Words of the machinery, which no artist should meet."""


@pytest.mark.parametrize("name", ["", *COMMANDS])
def test_help_speaks_plainly(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*name.split(), "--help"]) == 0
    told = capsys.readouterr().out
    assert MACHINERY.findall(told) == []
    assert not [line for line in told.partition("Commands:")[2].splitlines() if line.endswith("...")]


def test_screens_speak_plainly(command: Command, draw: Draw) -> None:
    came = command("intake", draw("dog.png", 1), draw("dog copy.png", 2))
    code = command("find").out.split()[0]
    told = [
        came,
        command("tag", code, "--set", "nonsense=x"),
        command("tag", code, "--set", "pose=seated"),
        command("find", "--only", "nonsense=x"),
        command("show", code),
        command("doubles", "--all"),
        command("upkeep", "--dry-run"),
        command("upkeep"),
        command("undo", "--list"),
        command("undo"),
        command("check"),
        command("model"),
        command("model", "measure"),
        command(),
    ]
    for ran in told:
        assert MACHINERY.findall(re.sub(r"/\S+", "", ran.out + ran.err)) == []
