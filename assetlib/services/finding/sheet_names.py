"""Drawings that carry what was asked for only in the name of the sheet they were cut from.

Such a name says nothing of what is drawn and never makes a drawing fit; but it is what the artist reads on the screen.
"""

from __future__ import annotations

import sqlite3

from assetlib.catalogue import lookup
from assetlib.catalogue.lookup import any_of, in_columns
from assetlib.rules.words.forms import other_forms
from assetlib.rules.words.tags import fold
from assetlib.services.finding.asking import STOP_WORDS, WORD
from assetlib.services.finding.meeting import FAR, MANY, Keep


def carriers(connection: sqlite3.Connection, text: str, keep: Keep) -> list[int]:
    """Entries named after their sheet whose title has every word of the line, in the order they came in."""
    words = [fold(word) for word in WORD.findall(text)]
    words = [word for word in words if word not in STOP_WORDS]
    if not words:
        return []
    asked = [{word, *map(fold, other_forms(word)), *_singulars(word), f"{word}s"} for word in words]
    every = " AND ".join(in_columns(FAR, any_of(sorted(forms))) for forms in asked)
    found = keep(lookup.matches(connection, every, MANY))
    named = [
        (entry_id, {fold(word) for word in WORD.findall(title)})
        for entry_id, title in lookup.named_after_sheets(connection, found)
    ]
    return [entry_id for entry_id, has in named if all(forms & has for forms in asked)]


def _singulars(word: str) -> set[str]:
    return {word[:-1]} if len(word) > 3 and word.endswith("s") else set()
