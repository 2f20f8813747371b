"""The shapes of JSON answers: which of them a command line is to answer with, and whether it does."""

from __future__ import annotations

import functools
import json
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

import jsonschema


@functools.cache
def schema() -> dict[str, Any]:
    """The schema file of the package; no key may stand twice in one object, since readers would keep the last."""
    text = files("assetlib.cli").joinpath("answers.schema.json").read_text(encoding="utf-8")
    document: dict[str, Any] = json.loads(text, object_pairs_hook=_once)
    return document


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    told = dict(pairs)
    assert len(told) == len(pairs), f"a key stands twice among {[key for key, _ in pairs]}"
    return told


def command_of(arguments: Sequence[str]) -> str:
    """The name under which the schema holds what this line answers with."""
    words = [word for word in arguments if not word.startswith("-")]
    for name in (" ".join(words[:2]), *words[:1]):
        if name in schema()["commands"]:
            return name
    return "assetlib" if not words else words[0]


def check(arguments: Sequence[str], out: str, code: int) -> None:
    """Raise ValidationError where `out` is not one document of the shape that the line promises."""
    document = json.loads(out)
    name = "/error" if "error" in document else f"/commands/{command_of(arguments)}"
    assert ("error" in document) == (code > 1), f"exit code {code} with {list(document)}"
    jsonschema.validate(document, {**schema(), "$ref": f"#{name}"})
