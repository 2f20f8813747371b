"""Suggestions stand in a table of their own; tags and facets keep what stands."""

from alembic import op

revision = "0009"
down_revision = "0008"

BEFORE = "state IN ('given', 'suggested', 'taken', 'left')"
AFTER = {
    "tags": "state IN ('given', 'taken')",
    "facets": "state IN ('given', 'taken', 'read')",
    "mirror_guards": "state IN ('given', 'taken', 'read')",
}
"""What a title or caption states was read from the artist's own words, and stands."""

READ_CHANCE = 0.6
"""How sure a word in a file is, and what was told from the picture, as it was offered until now."""

WHY = """CASE source WHEN 'picture' THEN 'seen in the picture' WHEN 'file' THEN 'a word in the file'
         ELSE 'its ' || source END"""

ROWS = {
    "tags": "(SELECT t.*, 'tag' AS facet, c.slug AS value FROM tags t JOIN concepts c ON c.id = t.concept_id)",
    "facets": "facets",
    "mirror_guards": """(SELECT g.*, 'mirror' AS facet, 'do not mirror' AS value, v.entry_id AS entry_id
                         FROM mirror_guards g JOIN versions v ON v.id = g.version_id)""",
}

READ = "state = 'suggested' AND source IN ('title', 'caption')"
OFFERED = {
    "tags": "state = 'suggested'",
    "facets": f"state = 'suggested' AND NOT ({READ})",
    "mirror_guards": f"state = 'suggested' AND NOT ({READ})",
}
"""What was read from a title is a facet, and stays one; a tag that was not taken was only ever offered."""


def upgrade() -> None:
    for table, rows in ROWS.items():
        # What was settled in the in-tray already is the later word of the artist.
        op.execute(
            f"""INSERT OR IGNORE INTO suggestions
                (entry_id, facet, value, recipe, why, confidence, state, offered_at, settled_at)
                SELECT entry_id, facet, value, source, {WHY}, {READ_CHANCE},
                       CASE state WHEN 'left' THEN 'left' ELSE 'offered' END, made_at,
                       CASE state WHEN 'left' THEN made_at END
                FROM {rows} AS rows WHERE state = 'left' OR ({OFFERED[table]})"""
        )
        op.execute(f"DELETE FROM {table} WHERE state = 'left' OR ({OFFERED[table]})")
    op.execute("CREATE INDEX ix_suggestions_facet_value ON suggestions (facet, value)")
    connection = op.get_bind()
    version = connection.exec_driver_sql("PRAGMA schema_version").scalar_one()
    connection.exec_driver_sql("PRAGMA writable_schema = ON")
    # A CHECK is changed in the schema's own text, as sqlite.org/lang_altertable.html (7) has it.
    for table, after in AFTER.items():
        connection.exec_driver_sql(
            "UPDATE sqlite_master SET sql = replace(sql, ?, ?) WHERE type = 'table' AND name = ?",
            (BEFORE, after, table),
        )
    connection.exec_driver_sql(f"PRAGMA schema_version = {version + 1}")
    connection.exec_driver_sql("PRAGMA writable_schema = OFF")
    for table in ("facets", "mirror_guards"):
        op.execute(f"UPDATE {table} SET state = 'read' WHERE {READ}")
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
