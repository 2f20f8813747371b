"""Captions of drawings that were cut from a sheet: their pictures, and the titles that are read from them."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Version
from assetlib.catalogue.offers import offer
from assetlib.catalogue.words import Suggestion
from assetlib.imaging.lettering import CaptionMade
from assetlib.library import Library
from assetlib.rules.words.learning import TITLE
from assetlib.rules.words.tags import fold
from assetlib.services import shelf
from assetlib.services.finding.known_words import is_known

RECIPE = "caption"
"""What suggestions that were read from a caption are kept under."""

KNOWN_FROM, OTHER_FROM = 0.95, 0.98
"""The mean chance of its letters from which a caption is offered as a title: where all its words are known, and where
one is not (a name, another language, or a letter misread). Tuned on made pages (`python -m tests.bench.captions
--half tune`): of what is offered there, .98 is right but for case and points."""

_POINTS = ".,;:!?()&\"'“”’/-"

_NUMBER = re.compile(r"^\(?(?:0\d{1,2}|\d{1,3}(?=[.):]))[.):]?\s+(?=\S*[^\W\d_])")
"""The number of a drawing on its sheet: *07 van*, *3. van*, *(12) van*; not that of *2 women*."""


def keep_caption(lib: Library, session: Session, cut: Cut, recipe: int, made: CaptionMade) -> None:
    """Note a caption's picture and what was read of it, and offer that as the title of its drawing.

    What was offered of an earlier cut goes; what was taken or left of it stays.
    """
    name = Path(made.path).relative_to(lib.derived).as_posix()
    shelf.keep_derived(lib, session, cut, recipe, path=name, value={"text": made.text, "sure": made.sure})
    entry_id = session.get_one(Version, cut.version_id).entry_id
    stale = select(Suggestion).where(
        Suggestion.entry_id == entry_id, Suggestion.recipe == RECIPE, Suggestion.state == "offered"
    )
    for row in session.scalars(stale):
        session.delete(row)
    session.flush()
    title = title_of(made.text)
    if title and made.sure >= least_sure(session, title):
        offer(
            session, entry_id, (TITLE, title),
            recipe=RECIPE, why="read from its caption", confidence=made.sure, at=lib.now(),
        )  # fmt: skip


def title_of(text: str) -> str:
    """A caption as a title: without its number on the sheet, and all in capitals where nearly all of it is."""
    words = _NUMBER.sub("", text.strip())
    small = sum(letter.islower() for letter in words)
    letters = sum(letter.isalpha() for letter in words)
    return words.upper() if letters > 3 and small / letters < 0.25 else words


def least_sure(session: Session, title: str) -> float:
    """How sure a reading has to be: words that nobody knows are mostly misread."""
    connection = queries.plain_connection(session)
    words = [word.strip(_POINTS) for word in fold(title).split()]
    return KNOWN_FROM if all(_is_word(connection, word) for word in words) else OTHER_FROM


def _is_word(connection: sqlite3.Connection, word: str) -> bool:
    """Whether a word is one that is known, or a number; *@3* and *6:3c* are neither."""
    if word.isalpha():
        return len(word) <= 2 or is_known(connection, word)
    return all(part.isdigit() or is_known(connection, part) for part in re.split(r"[:/'’.-]", word) if part)
