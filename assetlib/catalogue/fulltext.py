"""The full-text index: one text row an entry, written by one function; `lookup` asks it.

Rows of `entry_text` have the entry's id. Tokens are stemmed (Porter) and
stripped of accents; prefixes of two and three letters are indexed. `title` and
`tags` are the artist's words, `words` captions and notes; `path` is what stands
far behind: names of sheets, files, folders and jobs, and words inside files.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Arrival, Cut, Entry, Original, Piece, Version
from assetlib.catalogue.facets import facets_of
from assetlib.catalogue.session import SQL_CHUNK
from assetlib.catalogue.titles import read_facts
from assetlib.catalogue.words import LIVE_STATES, Label, Tag
from assetlib.catalogue.work import Job
from assetlib.rules.words.names import title_from, words_from

COLUMNS = ("title", "tags", "facets", "words", "path")


def refresh_text(session: Session, entry_ids: Collection[int]) -> None:
    """Write the text rows of these entries anew from their title, words, tags, facets and arrivals."""
    session.flush()
    ids = list(dict.fromkeys(entry_ids))
    for start in range(0, len(ids), SQL_CHUNK):
        _refresh_chunk(session, ids[start : start + SQL_CHUNK])


def _refresh_chunk(session: Session, ids: list[int]) -> None:
    texts = {entry_id: {column: list[str]() for column in COLUMNS} for entry_id in ids}
    named = dict(_arrivals(session, ids, texts))
    cut = _cut_from_sheets(session, ids)
    query = select(Entry.id, Entry.title, Entry.title_source, Entry.note).where(Entry.id.in_(ids))
    found = set()
    for entry_id, title, source, note in session.execute(query):
        found.add(entry_id)
        own, behind = _told(title, source, named.get(entry_id, ""), is_cut=entry_id in cut)
        texts[entry_id]["title"].append(own)
        texts[entry_id]["words"].append(note or "")
        texts[entry_id]["path"].append(behind)
    for entry_id, label in session.execute(
        select(Tag.entry_id, Label.text)
        .join(Label, Label.concept_id == Tag.concept_id)
        .where(Tag.entry_id.in_(ids), Tag.state.in_(LIVE_STATES), Label.kind == "preferred")
    ):
        texts[entry_id]["tags"].append(label)
    for entry_id, rows in facets_of(session, ids).items():
        texts[entry_id]["facets"] += [row.value for row in rows if row.state in LIVE_STATES]
    _strangers_words(session, ids, texts)
    kept = {entry_id: text for entry_id, text in texts.items() if entry_id in found}
    read_facts(session, {i: [*text["title"], *text["words"], *text["tags"]] for i, text in kept.items()})
    _write(session, ids, kept)


def _told(title: str, source: str, named: str, *, is_cut: bool) -> tuple[str, str]:
    """What of a title is the artist's own, and what stands far behind: a sheet's name, a title inside the file."""
    if source == "file name" and is_cut:
        return "", title
    if source == "file" and title_from(named):
        return title_from(named), title
    return title, ""


def _arrivals(
    session: Session, ids: list[int], texts: dict[int, dict[str, list[str]]]
) -> Iterator[tuple[int, str]]:
    """Note where entries came from; gives the path each came from first.

    By the originals it is made of, so that a drawing cut from a sheet is found by the sheet's name as well.
    """
    for entry_id, source, job in session.execute(
        select(Version.entry_id, Arrival.source, Job.name)
        .join(Cut, Cut.version_id == Version.id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Arrival, Arrival.original_id == Piece.original_id)
        .outerjoin(Job, Job.id == Arrival.job_id)
        .where(Version.entry_id.in_(ids))
        .order_by(Arrival.id.desc())
    ):
        texts[entry_id]["path"].extend((*words_from(source), job or ""))
        yield entry_id, source


def _cut_from_sheets(session: Session, ids: list[int]) -> set[int]:
    return set(
        session.scalars(
            select(Version.entry_id)
            .join(Cut, Cut.version_id == Version.id)
            .join(Piece, Piece.cut_id == Cut.id)
            # what it is called came with its first version; a later one may have come back in a frame
            .where(Version.entry_id.in_(ids), Version.number == 1, Piece.reading_order.is_not(None))
        )
    )


def _strangers_words(session: Session, ids: list[int], texts: dict[int, dict[str, list[str]]]) -> None:
    """What was found inside the files: whoever wrote it, it stands far behind."""
    for entry_id, words in session.execute(
        select(Version.entry_id, Original.words)
        .join(Cut, Cut.version_id == Version.id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Original, Original.id == Piece.original_id)
        .where(Version.entry_id.in_(ids), ~Piece.is_part)
        .distinct()
    ):
        inside = [words.get("title"), words.get("description"), *words.get("keywords", ())]
        texts[entry_id]["path"].extend(word for word in inside if word)


def _write(session: Session, ids: list[int], texts: dict[int, dict[str, list[str]]]) -> None:
    connection = session.connection()
    connection.exec_driver_sql(
        "DELETE FROM entry_text WHERE rowid IN (SELECT value FROM json_each(?))", (json.dumps(ids),)
    )
    rows = [(i, *(" ".join(dict.fromkeys(text[c])).strip() for c in COLUMNS)) for i, text in texts.items()]
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
