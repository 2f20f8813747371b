"""Which drawings have the vectors of which model, in plain SQL, so that a search can ask."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection

LOOKED_AT = ("element", "sheet", "backdrop")
"""Roles whose drawings get vectors; references are no drawings of the artist's."""

_STANDS = """NOT e.in_attic AND e.current_version_id IS NOT NULL
             AND e.role IN (SELECT value FROM json_each(?))"""


def recipe_number(connection: sqlite3.Connection, recipe: str) -> int | None:
    """The id of a model's recipe; None where no drawing has had it yet."""
    row = connection.execute(
        "SELECT id FROM recipes WHERE kind = 'vector' AND name = ?", (recipe,)
    ).fetchone()
    return None if row is None else int(row[0])


def having(connection: sqlite3.Connection, recipe: str) -> int:
    """How many drawings have vectors of this recipe."""
    query = f"""SELECT count(*) FROM entries e JOIN versions w ON w.id = e.current_version_id
                JOIN vectors v ON v.cut_id = w.current_cut_id AND v.recipe_id = ? WHERE {_STANDS}"""
    number = recipe_number(connection, recipe)
    return int(connection.execute(query, (number, json.dumps(LOOKED_AT))).fetchone()[0])


def waiting(connection: sqlite3.Connection, recipe: str) -> int:
    """How many drawings have none yet; those that failed do not wait."""
    query = f"""SELECT count(*) FROM entries e JOIN versions w ON w.id = e.current_version_id WHERE {_STANDS}
                AND NOT EXISTS (SELECT 1 FROM vectors v
                                WHERE v.cut_id = w.current_cut_id AND v.recipe_id = ?)
                AND NOT EXISTS (SELECT 1 FROM derived d
                                WHERE d.cut_id = w.current_cut_id AND d.recipe_id = ?)"""
    number = recipe_number(connection, recipe)
    return int(connection.execute(query, (json.dumps(LOOKED_AT), number, number)).fetchone()[0])


def described_with(
    connection: sqlite3.Connection, recipes: Collection[str]
) -> list[tuple[int, str, list[str]]]:
    """Id, title and tags of every drawing that the artist has put words on and that has vectors of all these recipes.

    A tag is its preferred label.
    """
    query = f"""SELECT e.id, e.title, json_group_array(DISTINCT l.text)
                FROM entries e JOIN versions w ON w.id = e.current_version_id
                JOIN tags t ON t.entry_id = e.id AND t.state IN ('given', 'taken')
                JOIN labels l ON l.concept_id = t.concept_id AND l.kind = 'preferred'
                WHERE {_STANDS} AND (SELECT count(*) FROM vectors v JOIN recipes r ON r.id = v.recipe_id
                                     WHERE v.cut_id = w.current_cut_id AND r.kind = 'vector'
                                     AND r.name IN (SELECT value FROM json_each(?))) = ?
                GROUP BY e.id ORDER BY e.id"""
    values = (json.dumps(LOOKED_AT), json.dumps(list(recipes)), len(recipes))
    return [(row[0], row[1], sorted(json.loads(row[2]))) for row in connection.execute(query, values)]
