"""What a search asks of the catalogue: the full-text index, labels and facets, in plain SQL on one snapshot.

Kept apart from the mapped classes, whose import takes longer than a search.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from assetlib.catalogue.guards import FACETS, FACETS_OR_OFFERED
from assetlib.errors import LibraryBroken, LibraryBusy
from assetlib.rules.words.thesaurus import ENGLISH_TOO

BUSY_SECONDS = 120
"""How long a reader waits while the journal is being made anew; as long as a writer does."""

Facets = dict[str, tuple[str, ...]]


def existing(path: Path) -> str:
    """The SQLite address of a catalogue that is there: opened for writing, as a journal asks for, but never made."""
    return f"{path.resolve().as_uri()}?mode=rw"


@contextmanager
def looking(catalogue: Path) -> Iterator[sqlite3.Connection]:
    """A connection for reads alone, on one snapshot. Raises LibraryBusy or LibraryBroken for SQLite's own errors."""
    try:
        with closing(
            sqlite3.connect(existing(catalogue), uri=True, timeout=BUSY_SECONDS, isolation_level=None)
        ) as connection:
            connection.execute("BEGIN")
            yield connection
    except sqlite3.DatabaseError as error:
        if "locked" in str(error) or "busy" in str(error):
            raise LibraryBusy(
                "another assetlib is writing to this library", "try again in a moment"
            ) from error
        raise LibraryBroken(
            f"the catalogue cannot be read ({error})", "restore the last backup, or run `assetlib check`"
        ) from error


def quote(word: str) -> str:
    """A word or phrase as an FTS5 string, so that no character in it is read as a command."""
    return '"' + word.replace('"', '""') + '"'


def any_of(phrases: Sequence[str], *, prefix: bool = False) -> str:
    """The FTS5 expression for any of these phrases; with `prefix`, the last word of each may go on."""
    return "(" + " OR ".join(quote(phrase) + ("*" if prefix else "") for phrase in phrases) + ")"


def in_columns(columns: Sequence[str], expression: str) -> str:
    """The expression, matched in these columns alone."""
    return f"{{{' '.join(columns)}}} : {expression}"


def matches(connection: sqlite3.Connection, expression: str, limit: int) -> list[int]:
    """Ids of entries that match an expression of quoted words, `limit` of them at the most."""
    rows = connection.execute(
        "SELECT rowid FROM entry_text WHERE entry_text MATCH ? LIMIT ?", (expression, limit)
    )
    return [row[0] for row in rows.fetchall()]


def size(connection: sqlite3.Connection) -> int:
    """About how many entries the index holds."""
    return int(connection.execute("SELECT max(rowid) FROM entry_text").fetchone()[0] or 0)


def terms(connection: sqlite3.Connection) -> dict[str, int]:
    """The stems of the index with how many entries carry each; some ten thousand for 100,000 entries."""
    return dict(
        connection.execute("SELECT term, doc FROM entry_text_terms WHERE length(term) > 2").fetchall()
    )


def texts(connection: sqlite3.Connection, ids: Collection[int]) -> dict[int, tuple[str, str, str]]:
    """Title, tags, and captions with notes of these entries, as they are indexed."""
    query = "SELECT rowid, title, tags, words FROM entry_text WHERE rowid IN (SELECT value FROM json_each(?))"
    return {row[0]: row[1:] for row in connection.execute(query, (json.dumps(list(ids)),))}


def facts(connection: sqlite3.Connection, ids: Collection[int]) -> dict[int, set[tuple[str, str]]]:
    """The facets of these entries that are the artist's own or stand in the title."""
    found: dict[int, set[tuple[str, str]]] = {entry_id: set() for entry_id in ids}
    query = f"""SELECT entry_id, facet, value FROM {FACETS}
                WHERE {_SURE} AND entry_id IN (SELECT value FROM json_each(?))"""
    for entry_id, facet, value in connection.execute(query, (json.dumps(list(ids)),)):
        found[entry_id].add((facet, value))
    return found


_SURE = "(state IN ('given', 'taken', 'read'))"


def concepts_by_label(connection: sqlite3.Connection, folded: Collection[str]) -> list[tuple[str, int]]:
    """Folded labels among these, each with a concept that it stands for.

    A word of another language counts where English has no such word.
    """
    query = """SELECT DISTINCT folded, concept_id FROM labels l WHERE folded IN (SELECT value FROM json_each(?))
               AND (language = 'en' OR (folded NOT IN (SELECT value FROM json_each(?)) AND NOT EXISTS
                    (SELECT 1 FROM labels h WHERE h.folded = l.folded AND h.language = 'en')))"""
    return connection.execute(query, (json.dumps(list(folded)), json.dumps(sorted(ENGLISH_TOO)))).fetchall()


def labels_of(connection: sqlite3.Connection, concepts: Collection[int]) -> list[str]:
    """The English labels of these concepts, without misspellings that are only understood."""
    query = """SELECT text FROM labels WHERE kind != 'hidden' AND language = 'en'
               AND concept_id IN (SELECT value FROM json_each(?)) ORDER BY id"""
    return [row[0] for row in connection.execute(query, (json.dumps(list(concepts)),))]


def labels_abroad(connection: sqlite3.Connection, concepts: Collection[int]) -> list[str]:
    """What these concepts are called in other languages, where English has no such word."""
    query = """SELECT text, folded FROM labels l WHERE language != 'en' AND kind != 'hidden'
               AND concept_id IN (SELECT value FROM json_each(?))
               AND NOT EXISTS (SELECT 1 FROM labels h WHERE h.folded = l.folded AND h.language = 'en') ORDER BY id"""
    rows = connection.execute(query, (json.dumps(list(concepts)),))
    return [text for text, folded in rows if folded not in ENGLISH_TOO]


def near_to(connection: sqlite3.Connection, concepts: Collection[int], most: int) -> list[int]:
    """What these concepts are a kind of where no more than `most` are of that kind, and what they are related to.

    Related are only things of one kind, a courier and a delivery driver, or what is done and what is there then;
    not a thing and its maker or place.
    """
    query = """SELECT other_id FROM relations r WHERE concept_id IN (SELECT value FROM json_each(?))
               AND CASE kind WHEN 'broader' THEN (SELECT count(*) FROM relations n
                    WHERE n.kind = 'broader' AND n.other_id = r.other_id) <= ?
               ELSE EXISTS (SELECT 1 FROM relations a JOIN relations b ON a.other_id = b.other_id
                    WHERE a.kind = 'broader' AND b.kind = 'broader'
                    AND a.concept_id = r.concept_id AND b.concept_id = r.other_id)
                 OR EXISTS (SELECT 1 FROM relations a JOIN concepts c ON c.id = a.other_id
                    WHERE a.kind = 'broader' AND c.slug = 'action' AND a.concept_id IN (r.concept_id, r.other_id))
               END"""
    return [row[0] for row in connection.execute(query, (json.dumps(list(concepts)), most))]


def narrower_than(connection: sqlite3.Connection, concepts: Collection[int]) -> list[int]:
    """The concepts one step below these."""
    query = """SELECT concept_id FROM relations WHERE kind = 'broader'
               AND other_id IN (SELECT value FROM json_each(?))"""
    return [row[0] for row in connection.execute(query, (json.dumps(list(concepts)),))]


def around(connection: sqlite3.Connection, concept: int, steps: int) -> frozenset[int]:
    """What a concept is a kind of, up to so many steps, and what it is related to."""
    query = """WITH RECURSIVE up(id, far) AS (
                 SELECT :concept, 0 UNION
                 SELECT r.other_id, up.far + 1 FROM relations r JOIN up ON r.concept_id = up.id
                 WHERE r.kind = 'broader' AND up.far < :steps)
               SELECT id FROM up WHERE far > 0
               UNION SELECT other_id FROM relations WHERE kind = 'related' AND concept_id = :concept
               UNION SELECT concept_id FROM relations WHERE kind = 'related' AND other_id = :concept"""
    return frozenset(row[0] for row in connection.execute(query, {"concept": concept, "steps": steps}))


def concept_called(connection: sqlite3.Connection, folded: str) -> int | None:
    """The concept with this label, a preferred one before others."""
    query = """SELECT concept_id FROM labels WHERE folded = ?
               ORDER BY language != 'en', CASE kind WHEN 'preferred' THEN 0 WHEN 'other' THEN 1 ELSE 2 END,
               concept_id LIMIT 1"""
    row = connection.execute(query, (folded,)).fetchone()
    return None if row is None else row[0]


def facet_carriers(connection: sqlite3.Connection, facet: str, value: str) -> Iterator[tuple[int, bool]]:
    """Entries that carry a facet, and whether it is the artist's own or stands in the title.

    What was only read from the name of a sheet, file or folder is no fact of the drawing and left out.
    """
    query = f"""SELECT entry_id, {_SURE} FROM {FACETS_OR_OFFERED}
                WHERE facet = ? AND value = ? AND (source != 'file name' OR {_SURE})"""
    for entry_id, sure in connection.execute(query, (facet, value)):
        yield entry_id, bool(sure)


def with_facet(connection: sqlite3.Connection, facet: str) -> list[int]:
    """Entries that surely carry any value of a facet."""
    return [
        row[0]
        for row in connection.execute(f"SELECT entry_id FROM {FACETS} WHERE facet = ? AND {_SURE}", (facet,))
    ]


def delivered_frames(connection: sqlite3.Connection) -> list[tuple[int, str]]:
    """Entries that are delivered frames, each with its shot and letter, *05a*."""
    return connection.execute("SELECT entry_id, shot FROM delivered_frames WHERE shot IS NOT NULL").fetchall()


def kinships(connection: sqlite3.Connection, among: Collection[int]) -> list[tuple[int, int]]:
    """Pairs of these entries of which one came from the other."""
    query = """SELECT DISTINCT c.entry_id, p.entry_id FROM descents d
               JOIN versions c ON c.id = d.child_id JOIN versions p ON p.id = d.parent_id
               WHERE c.entry_id IN (SELECT value FROM json_each(:among))
               AND p.entry_id IN (SELECT value FROM json_each(:among))"""
    return connection.execute(query, {"among": json.dumps(sorted(among))}).fetchall()


def titles(connection: sqlite3.Connection, ids: Iterable[int]) -> list[tuple[int, str]]:
    """Ids with titles."""
    query = "SELECT id, title FROM entries WHERE id IN (SELECT value FROM json_each(?))"
    return connection.execute(query, (json.dumps(list(ids)),)).fetchall()


def vector_state(connection: sqlite3.Connection, recipe: str) -> tuple[int, int, int]:
    """Count, highest cut and sum of cuts of the vectors of this recipe: together they change with any row.

    Read from one index alone: a search asks this every time. Which cut is current need not be asked: one that becomes
    so brings its vector along or gets a new one.
    """
    row = connection.execute(
        """SELECT count(*), coalesce(max(cut_id), 0), coalesce(sum(cut_id), 0) FROM vectors
           WHERE recipe_id = (SELECT id FROM recipes WHERE kind = 'vector' AND name = ?)""",
        (recipe,),
    ).fetchone()
    return row[0], row[1], row[2]


def vectors(
    connection: sqlite3.Connection, recipe: str, only: Collection[int] | None = None
) -> list[tuple[int, bytes]]:
    """Entry and vector of every current cut under this recipe, or of the entries `only`."""
    query = """SELECT e.id, v.data
               FROM vectors v JOIN recipes r ON r.id = v.recipe_id JOIN versions w ON w.current_cut_id = v.cut_id
               JOIN entries e ON e.current_version_id = w.id
               WHERE r.kind = 'vector' AND r.name = ?"""
    values: list[object] = [recipe]
    if only is not None:
        query += " AND e.id IN (SELECT value FROM json_each(?))"
        values.append(json.dumps(sorted(only)))
    return connection.execute(f"{query} ORDER BY e.id", values).fetchall()


def tag_state(connection: sqlite3.Connection) -> tuple[int, int]:
    """Count and sum of the rows of words that the artist put on drawings or took."""
    row = connection.execute(
        "SELECT count(*), coalesce(sum(id * 31 + concept_id), 0) FROM tags WHERE state IN ('given', 'taken')"
    ).fetchone()
    return row[0], row[1]


def described(connection: sqlite3.Connection) -> list[tuple[int, str]]:
    """Entry and every label of each tag that the artist put on it or took."""
    return connection.execute(
        """SELECT t.entry_id, l.text FROM tags t JOIN labels l ON l.concept_id = t.concept_id
           WHERE t.state IN ('given', 'taken') AND l.kind != 'hidden' ORDER BY t.entry_id, l.id"""
    ).fetchall()


def entries_coded(connection: sqlite3.Connection, beginning: str, limit: int = 6) -> list[tuple[int, str]]:
    """Id and code of entries whose code is or begins so, a few at the most."""
    return connection.execute(
        """SELECT e.id, c.code FROM codes c JOIN entries e ON e.id = c.id
           WHERE c.code >= ? AND c.code < ? LIMIT ?""",
        (beginning, beginning + "~", limit),
    ).fetchall()


def cut_sheets(connection: sqlite3.Connection, among: Collection[int]) -> set[int]:
    """Those of the entries that are sheets with elements of their own."""
    rows = connection.execute(
        "SELECT entry_id FROM cut_orders WHERE entry_id IN (SELECT value FROM json_each(?))",
        (json.dumps(sorted(among)),),
    )
    return {row[0] for row in rows}


def named_after_sheets(connection: sqlite3.Connection, ids: Iterable[int]) -> list[tuple[int, str]]:
    """Of these entries those cut from sheets that are called by the sheet's name and a number, with their titles."""
    query = """SELECT id, title FROM entries e WHERE id IN (SELECT value FROM json_each(?))
               AND title_source = 'file name' AND role = 'element' AND EXISTS (
                   SELECT 1 FROM versions v JOIN cuts c ON c.version_id = v.id JOIN pieces p ON p.cut_id = c.id
                   WHERE v.entry_id = e.id AND v.number = 1 AND p.reading_order IS NOT NULL)
               ORDER BY id"""
    return connection.execute(query, (json.dumps(list(ids)),)).fetchall()


def sheets_behind(connection: sqlite3.Connection, ids: Iterable[int]) -> list[str]:
    """Codes of the sheets on the shelf that these entries were cut from, in the order they came in."""
    query = """SELECT DISTINCT c.code FROM pieces p
               JOIN cuts k ON k.id = p.cut_id JOIN versions v ON v.id = k.version_id AND v.number = 1
               JOIN pieces w ON w.original_id = p.original_id AND w.reading_order IS NULL
               JOIN versions s ON s.current_cut_id = w.cut_id
               JOIN entries e ON e.current_version_id = s.id AND e.role = 'sheet' AND NOT e.in_attic
               JOIN codes c ON c.id = e.id
               WHERE v.entry_id IN (SELECT value FROM json_each(?)) ORDER BY e.id"""
    return [row[0] for row in connection.execute(query, (json.dumps(list(ids)),))]


def right_labels(connection: sqlite3.Connection) -> list[str]:
    """Every label as it is compared, without misspellings that are only understood."""
    return [row[0] for row in connection.execute("SELECT folded FROM labels WHERE kind != 'hidden'")]


def wheel_in_use(connection: sqlite3.Connection) -> str:
    """Where the driver of the job in use sits, *left* or *right*; empty where no job says so."""
    row = connection.execute(
        "SELECT jobs.wheel FROM job_in_use JOIN jobs ON jobs.id = job_in_use.job_id"
    ).fetchone()
    return (row[0] or "") if row else ""
