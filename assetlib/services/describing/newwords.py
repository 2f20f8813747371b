"""Words that came with a newer assetlib than a library was begun with: told of once, taken over when asked."""

from __future__ import annotations

import contextlib
import json

from assetlib.catalogue import lookup
from assetlib.errors import AssetlibError
from assetlib.library import Library
from assetlib.rules.words import thesaurus
from assetlib.rules.words.tags import fold
from assetlib.storage.durable import write_atomic

TOLD_FILE = "words-told.json"
"""Of which words the artist was told, below derived/: lost, they are told of once more."""


def note_told(lib: Library) -> None:
    """The artist knows of the words of this assetlib, or has them."""
    write_atomic(lib.derived / TOLD_FILE, json.dumps({"words": thesaurus.digest()}).encode())


def untold_words(lib: Library) -> int:
    """How many words of this assetlib the library has not under some label, and the artist was not told of; 0 mostly.

    They count as told from now on. A folder that cannot be written is not asked.
    """
    path = lib.derived / TOLD_FILE
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        if json.loads(path.read_text(encoding="utf-8"))["words"] == thesaurus.digest():
            return 0
    try:
        note_told(lib)
    except (OSError, AssetlibError):  # a full disk, or one that is not to be written: it only costs this line
        return 0
    with lookup.looking(lib.catalogue) as connection:
        held = set(connection.execute("SELECT folded, language FROM labels"))
    return sum(
        any(label not in held for label in _labels(concept)) for concept in thesaurus.load().concepts.values()
    )


def _labels(concept: thesaurus.ThesaurusConcept) -> list[tuple[str, str]]:
    return [
        *((fold(text), thesaurus.HOME) for text in (*concept.labels, *concept.hidden)),
        *((fold(text), language) for language, text in concept.abroad),
    ]
