"""Versions have cuts: what is said of a drawing hangs on the version, what is computed hangs on the cut.

Until now every correction made a version. Rows of `versions` become rows of `cuts` with the same id; those whose
reason is *cut again* are cuts of the version before them, the rest are renumbered as drawn. No original is decoded.
"""

import io

import numpy as np
import sqlalchemy as sa
from alembic import op
from PIL import Image

revision = "0002"
down_revision = "0001"

MUCH = 0.1
"""Share of the ink that must differ for what was said to be asked again (the house rule; no source)."""

SOURCES = "'artist', 'title', 'caption', 'file', 'file name', 'job', 'suggestion', 'model', 'picture'"
STATES = "'given', 'suggested', 'taken', 'left'"

CUTS = """
CREATE TABLE cuts (
    id INTEGER NOT NULL,
    version_id INTEGER NOT NULL,
    number INTEGER NOT NULL,
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    ground TEXT NOT NULL,
    page_fix TEXT,
    caption_box TEXT,
    made_at TEXT NOT NULL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_cuts PRIMARY KEY (id),
    CONSTRAINT uq_cuts_version_id_number UNIQUE (version_id, number),
    CONSTRAINT fk_cuts_version_id FOREIGN KEY(version_id) REFERENCES versions (id)
)"""

# Which version as drawn every row belongs to: the last one up to it that was not a mere correction.
DRAWN = """
CREATE TEMP TABLE drawn AS
SELECT v.id AS cut_id, coalesce(
    (SELECT w.id FROM versions w WHERE w.entry_id = v.entry_id AND w.number <= v.number
     AND w.reason <> 'cut again' ORDER BY w.number DESC LIMIT 1),
    (SELECT w.id FROM versions w WHERE w.entry_id = v.entry_id ORDER BY w.number LIMIT 1)
) AS version_id FROM versions v"""

FILL_CUTS = """
INSERT INTO cuts (id, version_id, number, width, height, ground, made_at, reason)
SELECT v.id, d.version_id, row_number() OVER (PARTITION BY d.version_id ORDER BY v.number),
       v.width, v.height, v.ground, v.made_at, v.reason
FROM versions v JOIN temp.drawn d ON d.cut_id = v.id"""

# The column has to be named with its table: a bare `version_id` would be the one of `drawn`.
VERSION = "(SELECT d.version_id FROM temp.drawn d WHERE d.cut_id = {})"

# Each leaf table: its columns and constraints, and what fills it from the old one.
LEAVES = {
    "pieces": (
        """id INTEGER NOT NULL, cut_id INTEGER NOT NULL, ordinal INTEGER NOT NULL, original_id INTEGER NOT NULL,
        page INTEGER NOT NULL, layer TEXT, resolution DOUBLE, x INTEGER NOT NULL, y INTEGER NOT NULL,
        w INTEGER NOT NULL, h INTEGER NOT NULL, mask BLOB, reading_order INTEGER,
        CONSTRAINT pk_pieces PRIMARY KEY (id),
        CONSTRAINT uq_pieces_cut_id_ordinal UNIQUE (cut_id, ordinal),
        CONSTRAINT fk_pieces_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id),
        CONSTRAINT fk_pieces_original_id FOREIGN KEY(original_id) REFERENCES originals (id)""",
        """SELECT id, version_id, ordinal, original_id, page, layer, resolution, x, y, w, h, mask, reading_order
        FROM pieces""",
        ("cut_id", "original_id"),
    ),
    "opening_choices": (
        """id INTEGER NOT NULL, cut_id INTEGER NOT NULL, x INTEGER NOT NULL, y INTEGER NOT NULL,
        is_open BOOLEAN NOT NULL,
        CONSTRAINT pk_opening_choices PRIMARY KEY (id),
        CONSTRAINT uq_opening_choices_cut_id_x_y UNIQUE (cut_id, x, y),
        CONSTRAINT fk_opening_choices_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id)""",
        "SELECT id, version_id, x, y, is_open FROM opening_choices",
        ("cut_id",),
    ),
    "blemish_choices": (
        """id INTEGER NOT NULL, cut_id INTEGER NOT NULL, blemish TEXT NOT NULL,
        CONSTRAINT pk_blemish_choices PRIMARY KEY (id),
        CONSTRAINT uq_blemish_choices_cut_id_blemish UNIQUE (cut_id, blemish),
        CONSTRAINT fk_blemish_choices_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id)""",
        "SELECT id, version_id, blemish FROM blemish_choices",
        ("cut_id",),
    ),
    "derived": (
        """id INTEGER NOT NULL, cut_id INTEGER NOT NULL, recipe_id INTEGER NOT NULL, path TEXT, value TEXT,
        failure TEXT, made_at TEXT NOT NULL,
        CONSTRAINT pk_derived PRIMARY KEY (id),
        CONSTRAINT uq_derived_cut_id_recipe_id UNIQUE (cut_id, recipe_id),
        CONSTRAINT fk_derived_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id) ON DELETE CASCADE,
        CONSTRAINT fk_derived_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id)""",
        "SELECT id, version_id, recipe_id, path, value, failure, made_at FROM derived",
        ("recipe_id",),
    ),
    "fingerprints": (
        """cut_id INTEGER NOT NULL, recipe_id INTEGER NOT NULL, data BLOB NOT NULL,
        CONSTRAINT pk_fingerprints PRIMARY KEY (cut_id, recipe_id),
        CONSTRAINT fk_fingerprints_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id) ON DELETE CASCADE,
        CONSTRAINT fk_fingerprints_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id)""",
        "SELECT version_id, recipe_id, data FROM fingerprints",
        (),
    ),
    "vectors": (
        """cut_id INTEGER NOT NULL, recipe_id INTEGER NOT NULL, data BLOB NOT NULL,
        CONSTRAINT pk_vectors PRIMARY KEY (cut_id, recipe_id),
        CONSTRAINT fk_vectors_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id) ON DELETE CASCADE,
        CONSTRAINT fk_vectors_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id)""",
        "SELECT version_id, recipe_id, data FROM vectors",
        (),
    ),
    "pair_findings": (
        """id INTEGER NOT NULL, a_id INTEGER NOT NULL, b_id INTEGER NOT NULL, recipe_id INTEGER NOT NULL,
        kind TEXT NOT NULL, how TEXT NOT NULL, score DOUBLE NOT NULL, box TEXT, found_at TEXT NOT NULL,
        CONSTRAINT pk_pair_findings PRIMARY KEY (id),
        CONSTRAINT uq_pair_findings_a_id_b_id_recipe_id UNIQUE (a_id, b_id, recipe_id),
        CONSTRAINT ck_pair_findings_not_itself CHECK (a_id <> b_id),
        CONSTRAINT fk_pair_findings_a_id FOREIGN KEY(a_id) REFERENCES cuts (id) ON DELETE CASCADE,
        CONSTRAINT fk_pair_findings_b_id FOREIGN KEY(b_id) REFERENCES cuts (id) ON DELETE CASCADE,
        CONSTRAINT fk_pair_findings_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipes (id)""",
        "SELECT id, a_id, b_id, recipe_id, kind, how, score, box, found_at FROM pair_findings",
        ("b_id",),
    ),
    "pair_decisions": (
        """id INTEGER NOT NULL, a_id INTEGER NOT NULL, b_id INTEGER NOT NULL, a_cut_id INTEGER NOT NULL,
        b_cut_id INTEGER NOT NULL, to_confirm BOOLEAN NOT NULL, verdict TEXT NOT NULL, decided_at TEXT NOT NULL,
        CONSTRAINT pk_pair_decisions PRIMARY KEY (id),
        CONSTRAINT uq_pair_decisions_a_id_b_id UNIQUE (a_id, b_id),
        CONSTRAINT ck_pair_decisions_verdict CHECK (verdict IN ('merged', 'family', 'different')),
        CONSTRAINT fk_pair_decisions_a_id FOREIGN KEY(a_id) REFERENCES versions (id),
        CONSTRAINT fk_pair_decisions_b_id FOREIGN KEY(b_id) REFERENCES versions (id),
        CONSTRAINT fk_pair_decisions_a_cut_id FOREIGN KEY(a_cut_id) REFERENCES cuts (id),
        CONSTRAINT fk_pair_decisions_b_cut_id FOREIGN KEY(b_cut_id) REFERENCES cuts (id)""",
        # The newest decision about two drawings stands; a is the lower number of the two.
        f"""SELECT max(id), min(a, b), max(a, b), iif(a < b, a_id, b_id), iif(a < b, b_id, a_id), 0,
            verdict, decided_at
        FROM (SELECT p.*, {VERSION.format("p.a_id")} AS a, {VERSION.format("p.b_id")} AS b FROM pair_decisions p)
        WHERE a <> b GROUP BY min(a, b), max(a, b)""",
        ("b_id", "a_cut_id", "b_cut_id"),
    ),
    "origin_answers": (
        """id INTEGER NOT NULL, question TEXT NOT NULL, value TEXT NOT NULL, whose TEXT, reference_id INTEGER,
        evidence TEXT NOT NULL, note TEXT, answered_at TEXT NOT NULL, version_id INTEGER NOT NULL,
        cut_id INTEGER NOT NULL, to_confirm BOOLEAN NOT NULL,
        CONSTRAINT pk_origin_answers PRIMARY KEY (id),
        CONSTRAINT uq_origin_answers_version_id_question_value UNIQUE (version_id, question, value),
        CONSTRAINT fk_origin_answers_reference_id FOREIGN KEY(reference_id) REFERENCES entries (id),
        CONSTRAINT fk_origin_answers_version_id FOREIGN KEY(version_id) REFERENCES versions (id),
        CONSTRAINT fk_origin_answers_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id)""",
        # Answers to a question replace older ones to it, as they did while there was one version.
        """SELECT o.id, o.question, o.value, o.whose, o.reference_id, o.evidence, o.note, o.answered_at,
            d.version_id, o.version_id, 0
        FROM origin_answers o JOIN temp.drawn d ON d.cut_id = o.version_id
        WHERE o.version_id = (SELECT n.version_id FROM origin_answers n
            JOIN temp.drawn e ON e.cut_id = n.version_id JOIN cuts c ON c.id = n.version_id
            WHERE e.version_id = d.version_id AND n.question = o.question ORDER BY c.number DESC LIMIT 1)""",
        ("version_id", "cut_id"),
    ),
    "bundle_items": (
        """id INTEGER NOT NULL, bundle_id INTEGER NOT NULL, version_id INTEGER NOT NULL, cut_id INTEGER NOT NULL,
        ordinal INTEGER NOT NULL, facts TEXT NOT NULL,
        CONSTRAINT pk_bundle_items PRIMARY KEY (id),
        CONSTRAINT fk_bundle_items_bundle_id FOREIGN KEY(bundle_id) REFERENCES bundles (id),
        CONSTRAINT fk_bundle_items_version_id FOREIGN KEY(version_id) REFERENCES versions (id),
        CONSTRAINT fk_bundle_items_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id)""",
        f"""SELECT id, bundle_id, {VERSION.format("bundle_items.version_id")}, version_id, ordinal, facts
        FROM bundle_items""",
        ("bundle_id", "version_id", "cut_id"),
    ),
    "uses": (
        """id INTEGER NOT NULL, version_id INTEGER NOT NULL, cut_id INTEGER NOT NULL, job_id INTEGER, shot TEXT,
        frame TEXT, width INTEGER, height INTEGER, mirrored BOOLEAN NOT NULL, sha256 TEXT, day DATE NOT NULL,
        used_at TEXT NOT NULL, voided_at TEXT,
        CONSTRAINT pk_uses PRIMARY KEY (id),
        CONSTRAINT fk_uses_version_id FOREIGN KEY(version_id) REFERENCES versions (id),
        CONSTRAINT fk_uses_cut_id FOREIGN KEY(cut_id) REFERENCES cuts (id),
        CONSTRAINT fk_uses_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)""",
        f"""SELECT id, {VERSION.format("uses.version_id")}, version_id, job_id, shot, NULL, NULL, NULL, 0, NULL,
            substr(used_at, 1, 10), used_at, NULL FROM uses""",
        ("version_id", "cut_id", "job_id"),
    ),
    "tags": (
        f"""id INTEGER NOT NULL, entry_id INTEGER NOT NULL, concept_id INTEGER NOT NULL, source TEXT NOT NULL,
        state TEXT NOT NULL, made_at TEXT NOT NULL,
        CONSTRAINT pk_tags PRIMARY KEY (id),
        CONSTRAINT ck_tags_source CHECK (source IN ({SOURCES})),
        CONSTRAINT ck_tags_state CHECK (state IN ({STATES})),
        CONSTRAINT uq_tags_entry_id_concept_id UNIQUE (entry_id, concept_id),
        CONSTRAINT fk_tags_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id),
        CONSTRAINT fk_tags_concept_id FOREIGN KEY(concept_id) REFERENCES concepts (id)""",
        "SELECT id, entry_id, concept_id, source, state, made_at FROM tags",
        ("concept_id",),
    ),
    "facets": (
        f"""id INTEGER NOT NULL, entry_id INTEGER NOT NULL, facet TEXT NOT NULL, value TEXT NOT NULL,
        source TEXT NOT NULL, state TEXT NOT NULL, made_at TEXT NOT NULL,
        CONSTRAINT pk_facets PRIMARY KEY (id),
        CONSTRAINT ck_facets_source CHECK (source IN ({SOURCES})),
        CONSTRAINT ck_facets_state CHECK (state IN ({STATES})),
        CONSTRAINT uq_facets_entry_id_facet_value UNIQUE (entry_id, facet, value),
        CONSTRAINT fk_facets_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)""",
        "SELECT id, entry_id, facet, value, source, state, made_at FROM facets",
        (),
    ),
    "changes": (
        """id INTEGER NOT NULL, step_id INTEGER NOT NULL, table_name TEXT NOT NULL, row_id INTEGER NOT NULL,
        "before" BLOB, "after" BLOB,
        CONSTRAINT pk_changes PRIMARY KEY (id),
        CONSTRAINT fk_changes_step_id FOREIGN KEY(step_id) REFERENCES steps (id)""",
        "SELECT id, step_id, table_name, row_id, NULL, NULL FROM changes WHERE 0",
        ("step_id",),
    ),
}


def upgrade() -> None:
    op.execute(DRAWN)
    op.execute("CREATE UNIQUE INDEX temp.ix_drawn ON drawn (cut_id)")
    op.execute("CREATE INDEX temp.ix_drawn_version ON drawn (version_id)")
    op.execute(CUTS)
    op.execute(FILL_CUTS)
    op.execute("CREATE INDEX ix_cuts_version_id ON cuts (version_id)")
    for name, (columns, rows, indexed) in LEAVES.items():
        _rebuild(name, columns, rows, indexed)
    op.execute("CREATE INDEX ix_facets_facet_value ON facets (facet, value)")
    _keep_as_drawn()
    _ask_again_where_much_changed(op.get_bind())
    op.execute("DROP TABLE releases")
    op.execute("DROP TABLE temp.drawn")


def _rebuild(name: str, columns: str, rows: str, indexed: tuple[str, ...]) -> None:
    op.execute(f"CREATE TABLE new_{name} ({columns})")
    op.execute(f"INSERT INTO new_{name} {rows}")
    op.execute(f"DROP TABLE {name}")
    op.execute(f"ALTER TABLE new_{name} RENAME TO {name}")
    for column in indexed:
        op.execute(f"CREATE INDEX ix_{name}_{column} ON {name} ({column})")


def _keep_as_drawn() -> None:
    """Leave the versions as drawn, each with the cut that is current; the rows that were corrections go."""
    op.execute(
        "ALTER TABLE versions ADD COLUMN current_cut_id INTEGER "
        "CONSTRAINT fk_versions_current_cut_id REFERENCES cuts (id)"
    )
    op.execute(
        """UPDATE versions SET current_cut_id = coalesce(
            (SELECT e.current_version_id FROM entries e JOIN cuts c ON c.id = e.current_version_id
             WHERE e.id = versions.entry_id AND c.version_id = versions.id),
            (SELECT c.id FROM cuts c WHERE c.version_id = versions.id ORDER BY c.number DESC LIMIT 1))"""
    )
    op.execute(
        f"""UPDATE entries SET current_version_id = {VERSION.format("current_version_id")}
        WHERE current_version_id IS NOT NULL"""
    )
    child, parent = VERSION.format("child_id"), VERSION.format("parent_id")
    op.execute(f"DELETE FROM descents WHERE {child} = {parent}")
    op.execute(f"UPDATE OR REPLACE descents SET child_id = {child}, parent_id = {parent}")
    op.execute("DELETE FROM versions WHERE id NOT IN (SELECT version_id FROM temp.drawn)")
    op.execute(
        """CREATE TEMP TABLE numbered AS SELECT id, row_number() OVER (PARTITION BY entry_id ORDER BY number) AS n
        FROM versions"""
    )
    op.execute("CREATE UNIQUE INDEX temp.ix_numbered ON numbered (id)")
    # Two steps, because numbers of one entry must differ at every moment.
    op.execute("UPDATE versions SET number = -(SELECT n FROM temp.numbered m WHERE m.id = versions.id)")
    op.execute("UPDATE versions SET number = -number")
    op.execute("DROP TABLE temp.numbered")
    for column in ("width", "height", "ground"):
        op.execute(f"ALTER TABLE versions DROP COLUMN {column}")
    op.execute("CREATE INDEX ix_versions_current_cut_id ON versions (current_cut_id)")


def _ask_again_where_much_changed(connection: sa.Connection) -> None:
    """Mark what was said of a cut that looks much unlike the one that is current."""
    for table, version, cut in (
        ("origin_answers", "version_id", "cut_id"),
        ("pair_decisions", "a_id", "a_cut_id"),
        ("pair_decisions", "b_id", "b_cut_id"),
    ):
        rows = connection.exec_driver_sql(
            f"""SELECT DISTINCT s.{cut}, v.current_cut_id FROM {table} s JOIN versions v ON v.id = s.{version}
            WHERE s.{cut} <> v.current_cut_id"""
        ).fetchall()
        for said, now in rows:
            if _difference(connection, said, now) > MUCH:
                connection.exec_driver_sql(
                    f"UPDATE {table} SET to_confirm = 1 WHERE {cut} = ? AND {version} ="
                    " (SELECT version_id FROM cuts WHERE id = ?)",
                    (said, now),
                )


def _difference(connection: sa.Connection, said: int, now: int) -> float:
    """Ink in one cut but not in both, over the ink of the first; by masks, by boxes where there are none."""
    first, second = _pieces(connection, said), _pieces(connection, now)
    apart = ink = 0
    for place in first.keys() | second.keys():
        boxes = [row[:4] for row in (*first.get(place, ()), *second.get(place, ()))]
        left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
        shape = (max(b[1] + b[3] for b in boxes) - top, max(b[0] + b[2] for b in boxes) - left)
        a, b = (_painted(rows.get(place, ()), (left, top), shape) for rows in (first, second))
        apart += int(np.count_nonzero(a ^ b))
        ink += int(np.count_nonzero(a))
    return apart / ink if ink else 1.0


def _pieces(connection: sa.Connection, cut: int) -> dict[tuple[object, ...], list[tuple[object, ...]]]:
    found: dict[tuple[object, ...], list[tuple[object, ...]]] = {}
    for row in connection.exec_driver_sql(
        "SELECT x, y, w, h, mask, original_id, page, layer FROM pieces WHERE cut_id = ?", (cut,)
    ):
        found.setdefault(tuple(row[5:]), []).append(tuple(row[:5]))
    return found


def _painted(rows, corner, shape):  # type: ignore[no-untyped-def]
    page = np.zeros(shape, np.bool_)
    for x, y, w, h, mask in rows:
        here = page[y - corner[1] : y - corner[1] + h, x - corner[0] : x - corner[0] + w]
        here |= True if mask is None else np.asarray(Image.open(io.BytesIO(mask)).convert("1"))
    return page
