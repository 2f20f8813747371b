"""Titles are read: what a title says of shot, view and people is a fact of the drawing; a sheet's name is none.

Facets that came from names of sheets, files and folders go, those that titles, captions and tags state come, and the
text that is searched is written anew: the artist's words apart from what stands far behind them.
"""

import datetime as dt

from alembic import op

from assetlib.rules.shots.titles import read_title
from assetlib.rules.words.names import title_from

revision = "0006"
down_revision = "0005"

ENTRIES = """
SELECT e.id, e.title, e.title_source, coalesce(e.note, ''),
       EXISTS (SELECT 1 FROM versions v JOIN cuts c ON c.version_id = v.id JOIN pieces p ON p.cut_id = c.id
               WHERE v.entry_id = e.id AND p.reading_order IS NOT NULL),
       coalesce((SELECT a.source FROM arrivals a WHERE a.entry_id = e.id ORDER BY a.id LIMIT 1), '')
FROM entries e"""

TAGS = """
SELECT t.entry_id, group_concat(l.text, ' ') FROM tags t JOIN labels l ON l.concept_id = t.concept_id
WHERE t.state IN ('given', 'taken') AND l.kind = 'preferred' GROUP BY t.entry_id"""

STANDING = "SELECT entry_id, facet, value, state FROM facets"

STATED = """
INSERT OR IGNORE INTO facets (entry_id, facet, value, source, state, made_at)
VALUES (?, ?, ?, 'title', 'suggested', ?)"""


def upgrade() -> None:
    connection = op.get_bind()
    # The step log speaks of facets that were suggested by names, and is emptied.
    connection.exec_driver_sql("DELETE FROM changes")
    connection.exec_driver_sql("DELETE FROM steps")
    connection.exec_driver_sql("DELETE FROM facets WHERE source = 'file name' AND state = 'suggested'")
    tags = dict(connection.exec_driver_sql(TAGS).fetchall())
    standing: dict[int, set[str]] = {}
    for entry_id, facet, _, state in connection.exec_driver_sql(STANDING).fetchall():
        if state in ("given", "taken"):
            standing.setdefault(entry_id, set()).add(facet)
    now = dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    for entry_id, title, source, note, is_cut, path in connection.exec_driver_sql(ENTRIES).fetchall():
        own, behind = title, ""
        if source == "file name" and is_cut:
            own, behind = "", title
        elif source == "file" and title_from(path):
            own, behind = title_from(path), title
        _write(connection, entry_id, own, behind, note)
        texts = [text for text in (own, note, tags.get(entry_id, "")) if text]
        stated = [fact for fact in read_title(texts) if fact[0] not in standing.get(entry_id, set())]
        for facet, value in stated:
            connection.exec_driver_sql(STATED, (entry_id, facet, value, now))


def _write(connection, entry_id, own, behind, note) -> None:
    """Put the texts of one entry where they belong; what was found inside its file goes far behind."""
    row = connection.exec_driver_sql(
        "SELECT words, path FROM entry_text WHERE rowid = ?", (entry_id,)
    ).fetchone()
    if row is None:
        return
    inside = row[0].removeprefix(note).strip() if note else row[0]
    path = " ".join(part for part in (behind, row[1], inside) if part)
    connection.exec_driver_sql(
        "UPDATE entry_text SET title = ?, words = ?, path = ? WHERE rowid = ?", (own, note, path, entry_id)
    )
