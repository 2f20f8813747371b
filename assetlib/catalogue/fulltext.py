"""The full-text index: one text row an entry, written by one function; `lookup` asks it.

Rows of `entry_text` have the entry's id. Tokens are stemmed (Porter) and
stripped of accents; prefixes of two and three letters are indexed.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Arrival, Cut, Entry, Original, Piece, Version
from assetlib.catalogue.session import SQL_CHUNK
from assetlib.catalogue.words import LIVE_STATES, Facet, Label, Tag
from assetlib.rules.words.names import words_from

COLUMNS = ("title", "tags", "facets", "words", "path")


def refresh_text(session: Session, entry_ids: Collection[int]) -> None:
    """Write the text rows of these entries anew from their title, words, tags, facets and arrivals."""
    session.flush()
    ids = list(dict.fromkeys(entry_ids))
    for start in range(0, len(ids), SQL_CHUNK):
        _refresh_chunk(session, ids[start : start + SQL_CHUNK])


def _refresh_chunk(session: Session, ids: list[int]) -> None:
    texts: dict[int, dict[str, list[str]]] = {}
    query = select(Entry.id, Entry.title, Entry.note).where(Entry.id.in_(ids))
    for entry_id, title, note in session.execute(query):
        texts[entry_id] = {"title": [title], "tags": [], "facets": [], "words": [note or ""], "path": []}
    for entry_id, label in session.execute(
        select(Tag.entry_id, Label.text)
        .join(Label, Label.concept_id == Tag.concept_id)
        .where(Tag.entry_id.in_(ids), Tag.state.in_(LIVE_STATES), Label.kind == "preferred")
    ):
        texts[entry_id]["tags"].append(label)
    for entry_id, value in session.execute(
        select(Facet.entry_id, Facet.value).where(Facet.entry_id.in_(ids), Facet.state.in_(LIVE_STATES))
    ):
        texts[entry_id]["facets"].append(value)
    # By the originals it is made of, so that a drawing cut from a sheet is found by the sheet's name as well.
    for entry_id, source in session.execute(
        select(Version.entry_id, Arrival.source)
        .join(Cut, Cut.version_id == Version.id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Arrival, Arrival.original_id == Piece.original_id)
        .where(Version.entry_id.in_(ids))
        .order_by(Arrival.id)
    ):
        texts[entry_id]["path"].extend(words_from(source))
    for entry_id, words in session.execute(
        select(Version.entry_id, Original.words)
        .join(Cut, Cut.version_id == Version.id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Original, Original.id == Piece.original_id)
        .where(Version.entry_id.in_(ids), ~Piece.is_part)
        .distinct()
    ):
        found = [words.get("title"), words.get("description"), *words.get("keywords", ())]
        texts[entry_id]["words"].extend(word for word in found if word)
    connection = session.connection()
    connection.exec_driver_sql(
        "DELETE FROM entry_text WHERE rowid IN (SELECT value FROM json_each(?))", (json.dumps(ids),)
    )
    rows = [(i, *(" ".join(dict.fromkeys(text[c])) for c in COLUMNS)) for i, text in texts.items()]
    if rows:
        connection.exec_driver_sql(
            "INSERT INTO entry_text(rowid, title, tags, facets, words, path) VALUES (?, ?, ?, ?, ?, ?)", rows
        )


def forget_text(session: Session, entry_ids: Iterable[int]) -> None:
    """Take these entries out of the index."""
    session.connection().exec_driver_sql(
        "DELETE FROM entry_text WHERE rowid IN (SELECT value FROM json_each(?))",
        (json.dumps(list(entry_ids)),),
    )
