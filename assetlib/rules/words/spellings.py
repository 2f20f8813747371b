"""The rules of `spellings.txt`, which explains its own format."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from assetlib.rules.shots.phrases import PhraseIndex, PhraseRule

_CONDITIONS = ("after", "before", "where", "not after", "not before", "not near", "lifted by", "earlier")


class Spellings(NamedTuple):
    """What the file holds: named lists of words, and the rules with the traps before them."""

    lists: dict[str, frozenset[str]]
    rules: tuple[PhraseRule, ...]


@cache
def load() -> Spellings:
    """The spellings that come with assetlib."""
    return parse(Path(__file__).with_name("spellings.txt").read_text(encoding="utf-8"))


@cache
def load_index() -> PhraseIndex:
    """The rules ready for scanning."""
    spellings = load()
    return PhraseIndex(spellings.rules, spellings.lists)


def parse(text: str) -> Spellings:
    """The lists and rules of a text in the format of `spellings.txt`."""
    lists: dict[str, frozenset[str]] = {}
    rules: list[PhraseRule] = []
    traps: list[str] = []
    for name, lines in _sections(text):
        if name.startswith("list "):
            lists[name.removeprefix("list ")] = frozenset(" ".join(lines).split())
        elif name == "traps":
            traps.extend(lines)
        else:
            rules.extend(_rule(name, block) for block in _blocks(lines))
    return Spellings(lists, (PhraseRule("", (), ",".join(traps)), *rules))


def _sections(text: str) -> Iterator[tuple[str, list[str]]]:
    name, lines = "", list[str]()
    for line in text.splitlines():
        if line.startswith("["):
            if name:
                yield name, lines
            name, lines = line.strip("[] "), []
        elif line.strip() and not line.startswith("#"):
            lines.append(line.strip())
    yield name, lines


def _blocks(lines: list[str]) -> Iterator[list[str]]:
    block: list[str] = []
    for line in lines:
        if line.startswith("= ") and block:
            yield block
            block = []
        block.append(line)
    yield block


def _rule(facet: str, block: list[str]) -> PhraseRule:
    value, _, note = block[0].removeprefix("= ").partition("  (")
    conditions: dict[str, list[str]] = {}
    phrases: list[str] = []
    for line in block[1:]:
        name, colon, words = line.partition(": ")
        if colon and name in _CONDITIONS:
            conditions.setdefault(name.replace(" ", "_"), []).append(words)
        else:
            phrases.append(line.strip(","))
    joined = {name: " ".join(words) for name, words in conditions.items()}
    return PhraseRule(facet, tuple(value.split(" + ")), ",".join(phrases), note != "content)", **joined)
