"""Words for terminals and programs, without Rich: text from outside made harmless, counts in words, JSON."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable
from typing import Any

_INERT = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
"""Controls of terminals (ECMA-48), line ends, marks that turn text around (Unicode UAX #9), broken text."""

_NAMED = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


def plain(text: object) -> str:
    """Text from outside (names of files, titles, captions) on one line, with nothing in it that a terminal obeys."""
    return _INERT.sub(lambda found: _NAMED.get(found[0], ascii(found[0])[1:-1]), str(text))


def print_json(document: dict[str, Any]) -> None:
    """Write one JSON document to stdout; controls in it are written as JSON escapes, C1 controls too."""
    text = json.dumps(document, ensure_ascii=False, indent=1, default=str)
    sys.stdout.write(_BEYOND_JSON.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n")


_BEYOND_JSON = re.compile("[\x7f-\x9f\ud800-\udfff]")
"""What the json module leaves as it stands, though a terminal may obey it or cannot write it."""


def facet_words(facets: dict[str, tuple[str, ...]]) -> str:
    """Facets in one line: *CU, hood mount, night*."""
    return ", ".join(value for values in facets.values() for value in values)


_ENDING = {2: "nd", 3: "rd"}
"""Of 2nd and 3rd; hardly any drawing has states beyond the 20th."""


def often(count: int) -> str:
    """*once*, *twice*, *3 times*."""
    return {1: "once", 2: "twice"}.get(count, f"{count:,} times")


def state_words(version: int, cut: int) -> str:
    """Which state of a drawing it is, both counted from 1: *2nd state, corrected twice since*; empty for the first."""
    state = f"{version}{_ENDING.get(version, 'th')} state" if version > 1 else ""
    since = " since" if state else ""
    corrected = f"corrected {often(cut - 1)}{since}" if cut > 1 else ""
    return ", ".join(filter(None, (state, corrected)))


def how_words(how: Iterable[str]) -> str:
    """How a drawing differs from its double, as an artist says it: *saved anew, mirrored*."""
    return ", ".join("saved anew" if word == "re-encoded" else word for word in how)


def plural(count: int, one: str, many: str | None = None) -> str:
    """*1 drawing*, *2 drawings*."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
