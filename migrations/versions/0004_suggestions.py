"""Suggestions are kept in one table, taken or left, and the artist's style periods have their days."""

from alembic import op

revision = "0004"
down_revision = "0003"

TABLES = (
    """CREATE TABLE suggestions (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    facet TEXT NOT NULL,
    value TEXT NOT NULL,
    recipe TEXT NOT NULL,
    why TEXT NOT NULL,
    confidence DOUBLE NOT NULL,
    state TEXT NOT NULL,
    offered_at TEXT NOT NULL,
    settled_at TEXT,
    CONSTRAINT pk_suggestions PRIMARY KEY (id),
    CONSTRAINT uq_suggestions_entry_id_facet_value UNIQUE (entry_id, facet, value),
    CONSTRAINT ck_suggestions_state CHECK (state IN ('offered', 'taken', 'left')),
    CONSTRAINT fk_suggestions_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)
)""",
    """CREATE TABLE style_periods (
    id INTEGER NOT NULL,
    concept_id INTEGER NOT NULL,
    first_day DATE,
    last_day DATE,
    CONSTRAINT pk_style_periods PRIMARY KEY (id),
    CONSTRAINT uq_style_periods_concept_id UNIQUE (concept_id),
    CONSTRAINT fk_style_periods_concept_id FOREIGN KEY(concept_id) REFERENCES concepts (id)
)""",
)


def upgrade() -> None:
    """Two new tables; the step log holds rows of the older schema and is emptied."""
    for table in TABLES:
        op.execute(table)
    # What was left on a drawing until now stays left.
    op.execute(
        """INSERT INTO suggestions (entry_id, facet, value, recipe, why, confidence, state, offered_at, settled_at)
        SELECT t.entry_id, 'tag', c.slug, t.source, '', 0, 'left', t.made_at, t.made_at
        FROM tags t JOIN concepts c ON c.id = t.concept_id WHERE t.state = 'left'
        UNION ALL SELECT entry_id, facet, value, source, '', 0, 'left', made_at, made_at
        FROM facets WHERE state = 'left'"""
    )
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
