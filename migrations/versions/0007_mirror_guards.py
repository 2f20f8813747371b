"""The mirror guard is said of a version and names the cut it was said of; until now it was a facet of the entry."""

from alembic import op

revision = "0007"
down_revision = "0006"

SOURCES = "('artist', 'title', 'caption', 'file', 'file name', 'job', 'suggestion', 'model', 'picture')"

TABLE = f"""CREATE TABLE mirror_guards (
    id INTEGER NOT NULL,
    source TEXT NOT NULL,
    state TEXT NOT NULL,
    made_at TEXT NOT NULL,
    version_id INTEGER NOT NULL,
    cut_id INTEGER NOT NULL,
    to_confirm BOOLEAN NOT NULL,
    CONSTRAINT pk_mirror_guards PRIMARY KEY (id),
    CONSTRAINT uq_mirror_guards_version_id UNIQUE (version_id),
    CONSTRAINT ck_mirror_guards_source CHECK (source IN {SOURCES}),
    CONSTRAINT ck_mirror_guards_state CHECK (state IN ('given', 'suggested', 'taken', 'left')),
    CONSTRAINT fk_mirror_guards_version_id FOREIGN KEY(version_id) REFERENCES versions (id),
    CONSTRAINT fk_mirror_guards_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id)
)"""

# Nothing tells of which version a guard was said: it counts for the current one, as it did until now.
MOVED = """INSERT INTO mirror_guards (source, state, made_at, version_id, cut_id, to_confirm)
    SELECT f.source, f.state, f.made_at, v.id, v.current_cut_id, 0
    FROM facets f JOIN entries e ON e.id = f.entry_id JOIN versions v ON v.id = e.current_version_id
    WHERE f.facet = 'mirror' AND v.current_cut_id IS NOT NULL ORDER BY f.id"""


def upgrade() -> None:
    op.execute(TABLE)
    for column in ("version_id", "cut_id"):
        op.execute(f"CREATE INDEX ix_mirror_guards_{column} ON mirror_guards ({column})")
    op.execute(MOVED)
    op.execute("DELETE FROM facets WHERE facet = 'mirror'")
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
