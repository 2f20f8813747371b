"""Style periods that a line names: a name like *brush, to 2022* is one idea, though it has a comma and a number."""

from __future__ import annotations

import re
import sqlite3

from assetlib.rules.words.tags import fold

_NAMES = """
    SELECT l.text, p.concept_id FROM style_periods p JOIN labels l ON l.concept_id = p.concept_id
    WHERE l.kind != 'hidden' ORDER BY length(l.text) DESC, l.id"""


def periods_in(connection: sqlite3.Connection, text: str) -> tuple[str, list[tuple[str, int]]]:
    """The line without the periods it names, other words where they were, and those periods with their concepts."""
    found = []
    for name, concept in connection.execute(_NAMES):
        words = re.findall(r"\w+", fold(name))
        if len(words) < 2:  # one word is read like any other tag
            continue
        pattern = r"[\W_]+".join(map(re.escape, words))
        match = re.search(rf"(?<!\w){pattern}(?!\w)", text, re.IGNORECASE)
        if match is not None:
            found.append((name, concept))
            text = text[: match.start()] + " " * len(match.group()) + text[match.end() :]
    return text, found
