"""Cards: what lists and pages show of an entry, read in plain SQL.

On a plain connection, because a search is a whole process that must answer
at once: importing the mapped classes alone takes longer than the search.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from assetlib.catalogue.guards import FACETS_OR_OFFERED

_WANTED = "(SELECT value FROM json_each(?))"

_ENTRIES = f"""
    SELECT e.id, c.code, e.uuid, e.role, e.title, e.in_attic
    FROM entries e JOIN codes c ON c.id = e.id WHERE e.id IN {_WANTED}"""

_TAGS = f"""
    SELECT t.entry_id, l.text
    FROM tags t JOIN labels l ON l.concept_id = t.concept_id
    WHERE t.entry_id IN {_WANTED} AND l.kind = 'preferred' ORDER BY t.id"""

_OFFERED = f"""
    SELECT s.entry_id, l.text
    FROM suggestions s JOIN concepts c ON c.slug = s.value JOIN labels l ON l.concept_id = c.id
    WHERE s.entry_id IN {_WANTED} AND s.facet = 'tag' AND s.state = 'offered' AND l.kind = 'preferred'
    ORDER BY s.id"""

_FACETS = f"""
    SELECT entry_id, facet, value FROM {FACETS_OR_OFFERED} WHERE entry_id IN {_WANTED} ORDER BY facet, id"""

# The last row of an entry wins: its first piece, and of that the first arrival.
_SOURCES = f"""
    SELECT e.id, a.source, o.sha256
    FROM entries e JOIN versions v ON v.id = e.current_version_id
    JOIN pieces p ON p.cut_id = v.current_cut_id
    JOIN originals o ON o.id = p.original_id LEFT JOIN arrivals a ON a.original_id = o.id
    WHERE e.id IN {_WANTED} ORDER BY e.id, p.ordinal DESC, a.id DESC"""

_PROOFS = f"""
    SELECT e.id, d.path
    FROM entries e JOIN versions v ON v.id = e.current_version_id
    JOIN derived d ON d.cut_id = v.current_cut_id JOIN recipes r ON r.id = d.recipe_id
    WHERE e.id IN {_WANTED} AND r.kind = 'proof' AND d.path != '' ORDER BY r.id"""


@dataclass(frozen=True, slots=True)
class Card:
    """What a list or page shows of one entry."""

    id: int
    code: str
    uuid: str
    role: str
    title: str
    source: str
    """The path that was brought in, the first one where there were several."""
    original: str
    """SHA-256 of the first original it is made of."""
    proof: str | None
    """Path of the proof below derived/, with forward slashes."""
    tags: tuple[str, ...] = ()
    facets: dict[str, tuple[str, ...]] = field(default_factory=dict)
    suggested: tuple[str, ...] = ()
    """Tags that wait to be taken or left."""
    in_attic: bool = False


def read_cards(connection: sqlite3.Connection, ids: Iterable[int]) -> dict[int, Card]:
    """The cards of these entries by id."""
    wanted = (json.dumps(list(dict.fromkeys(ids))),)
    tags: dict[int, list[str]] = defaultdict(list)
    for entry_id, text in connection.execute(_TAGS, wanted):
        tags[entry_id].append(text)
    offered: dict[int, list[str]] = defaultdict(list)
    for entry_id, text in connection.execute(_OFFERED, wanted):
        offered[entry_id].append(text)
    facets: dict[int, dict[str, tuple[str, ...]]] = defaultdict(dict)
    for entry_id, facet, value in connection.execute(_FACETS, wanted):
        facets[entry_id][facet] = (*facets[entry_id].get(facet, ()), value)
    sources = {row[0]: (row[1] or "", row[2]) for row in connection.execute(_SOURCES, wanted)}
    proofs = dict(connection.execute(_PROOFS, wanted).fetchall())
    return {
        entry_id: Card(
            entry_id,
            code,
            uuid,
            role,
            title,
            *sources.get(entry_id, ("", "")),
            proofs.get(entry_id),
            tuple(tags[entry_id]),
            facets[entry_id],
            tuple(offered[entry_id]),
            bool(in_attic),
        )
        for entry_id, code, uuid, role, title, in_attic in connection.execute(_ENTRIES, wanted)
    }
