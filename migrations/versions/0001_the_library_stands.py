"""The library stands: art, words, derived data, jobs, trade, the step log, the full-text table."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

FULL_TEXT = """
CREATE VIRTUAL TABLE entry_text USING fts5(
    title, tags, facets, words, path,
    tokenize = "porter unicode61 remove_diacritics 2",
    prefix = "2 3"
)
"""


def upgrade() -> None:
    op.create_table(
        "codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_codes")),
        sa.UniqueConstraint("code", name=op.f("uq_codes_code")),
    )
    op.create_table(
        "concepts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("slug", sa.Text(), nullable=False),
        sa.Column(
            "scheme",
            sa.Text(),
            nullable=False,
            comment="'trade' for the starting thesaurus, 'own' for the artist's words",
        ),
        sa.Column("definition", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_concepts")),
        sa.UniqueConstraint("slug", name=op.f("uq_concepts_slug")),
    )
    op.create_table(
        "originals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("bytes", sa.Integer(), nullable=False),
        sa.Column("format", sa.Text(), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False, comment="oriented pixels"),
        sa.Column("height", sa.Integer(), nullable=False, comment="oriented pixels"),
        sa.Column("pages", sa.Integer(), nullable=False),
        sa.Column("bits", sa.Integer(), nullable=False, comment="bits a channel"),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("has_alpha", sa.Boolean(), nullable=False),
        sa.Column("x_dpi", sa.Double(), nullable=True),
        sa.Column("y_dpi", sa.Double(), nullable=True),
        sa.Column(
            "orientation",
            sa.Integer(),
            nullable=False,
            comment="the EXIF orientation that was applied, 1 for none",
        ),
        sa.Column("icc", sa.Text(), nullable=True, comment="name of the embedded colour profile"),
        sa.Column("ground", sa.Text(), nullable=False),
        sa.Column("pixel_sha256", sa.Text(), nullable=False, comment="of the decoded pixels"),
        sa.Column(
            "words", sa.Text(), nullable=False, comment="title, description, keywords … found inside the file"
        ),
        sa.Column("layers", sa.Text(), nullable=False, comment="layers of a layered file, top first"),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_originals")),
        sa.UniqueConstraint("sha256", name=op.f("uq_originals_sha256")),
    )
    op.create_index(op.f("ix_originals_pixel_sha256"), "originals", ["pixel_sha256"], unique=False)
    op.create_table(
        "recipes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("details", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recipes")),
        sa.UniqueConstraint("kind", "name", name=op.f("uq_recipes_kind_name")),
    )
    op.create_table(
        "steps",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.Column("undone_at", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_steps")),
    )
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["step_id"], ["steps.id"], name=op.f("fk_changes_step_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
    )
    op.create_index("ix_changes_step_id", "changes", ["step_id"], unique=False)
    op.create_table(
        "collections",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("licence", sa.Text(), nullable=True),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["id"], ["codes.id"], name=op.f("fk_collections_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_collections")),
        sa.UniqueConstraint("name", name=op.f("uq_collections_name")),
        sa.UniqueConstraint("uuid", name=op.f("uq_collections_uuid")),
    )
    op.create_table(
        "entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column(
            "title_source", sa.Text(), nullable=False, comment="artist, file, file name, caption, layer"
        ),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("in_attic", sa.Boolean(), nullable=False),
        sa.Column(
            "described_at", sa.Text(), nullable=True, comment="empty while the entry is in the in-tray"
        ),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.Column("current_version_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "role IN ('element', 'sheet', 'reference', 'backdrop')", name=op.f("ck_entries_role")
        ),
        sa.ForeignKeyConstraint(
            ["current_version_id"],
            ["versions.id"],
            name=op.f("fk_entries_current_version_id"),
            use_alter=True,
        ),
        sa.ForeignKeyConstraint(["id"], ["codes.id"], name=op.f("fk_entries_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entries")),
        sa.UniqueConstraint("uuid", name=op.f("uq_entries_uuid")),
    )
    op.create_index(op.f("ix_entries_current_version_id"), "entries", ["current_version_id"], unique=False)
    op.create_index("ix_entries_shelf", "entries", ["role", "in_attic"], unique=False)
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("client", sa.Text(), nullable=True),
        sa.Column("first_day", sa.Date(), nullable=True),
        sa.Column("last_day", sa.Date(), nullable=True),
        sa.Column("frame_width", sa.Integer(), nullable=True),
        sa.Column("frame_height", sa.Integer(), nullable=True),
        sa.Column("agreement", sa.Text(), nullable=True),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["id"], ["codes.id"], name=op.f("fk_jobs_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
        sa.UniqueConstraint("name", name=op.f("uq_jobs_name")),
        sa.UniqueConstraint("uuid", name=op.f("uq_jobs_uuid")),
    )
    op.create_table(
        "labels",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("concept_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column(
            "folded", sa.Text(), nullable=False, comment="as compared: case, accents and hyphens set aside"
        ),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.CheckConstraint("kind IN ('preferred', 'other', 'hidden')", name=op.f("ck_labels_kind")),
        sa.ForeignKeyConstraint(["concept_id"], ["concepts.id"], name=op.f("fk_labels_concept_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_labels")),
        sa.UniqueConstraint(
            "concept_id", "folded", "language", name=op.f("uq_labels_concept_id_folded_language")
        ),
    )
    op.create_index(op.f("ix_labels_concept_id"), "labels", ["concept_id"], unique=False)
    op.create_index(op.f("ix_labels_folded"), "labels", ["folded"], unique=False)
    op.create_table(
        "relations",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("concept_id", sa.Integer(), nullable=False),
        sa.Column("other_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.CheckConstraint("kind IN ('broader', 'related')", name=op.f("ck_relations_kind")),
        sa.ForeignKeyConstraint(["concept_id"], ["concepts.id"], name=op.f("fk_relations_concept_id")),
        sa.ForeignKeyConstraint(["other_id"], ["concepts.id"], name=op.f("fk_relations_other_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_relations")),
        sa.UniqueConstraint(
            "concept_id", "other_id", "kind", name=op.f("uq_relations_concept_id_other_id_kind")
        ),
    )
    op.create_index(op.f("ix_relations_concept_id"), "relations", ["concept_id"], unique=False)
    op.create_index(op.f("ix_relations_other_id"), "relations", ["other_id"], unique=False)
    op.create_table(
        "releases",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=True, comment="of the paper, kept in papers/"),
        sa.Column("holder", sa.Text(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=True),
        sa.Column("last_day", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["id"], ["codes.id"], name=op.f("fk_releases_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_releases")),
    )
    op.create_table(
        "arrivals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("original_id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False, comment="the path as it was given, made absolute"),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("file_time", sa.Text(), nullable=True),
        sa.Column("arrived_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_arrivals_entry_id")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_arrivals_job_id")),
        sa.ForeignKeyConstraint(["original_id"], ["originals.id"], name=op.f("fk_arrivals_original_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_arrivals")),
        sa.UniqueConstraint("original_id", "source", name=op.f("uq_arrivals_original_id_source")),
    )
    op.create_index(op.f("ix_arrivals_entry_id"), "arrivals", ["entry_id"], unique=False)
    op.create_index(op.f("ix_arrivals_original_id"), "arrivals", ["original_id"], unique=False)
    op.create_index(op.f("ix_arrivals_source"), "arrivals", ["source"], unique=False)
    op.create_table(
        "bundles",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("collection_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("licence", sa.Text(), nullable=False),
        sa.Column("issued_on", sa.Date(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False, comment="below bundles/, with forward slashes"),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("bytes", sa.Integer(), nullable=False),
        sa.Column("snapshot", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["collection_id"], ["collections.id"], name=op.f("fk_bundles_collection_id")),
        sa.ForeignKeyConstraint(["id"], ["codes.id"], name=op.f("fk_bundles_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bundles")),
        sa.UniqueConstraint("collection_id", "number", name=op.f("uq_bundles_collection_id_number")),
        sa.UniqueConstraint("uuid", name=op.f("uq_bundles_uuid")),
    )
    op.create_table(
        "collection_items",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("collection_id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["collection_id"], ["collections.id"], name=op.f("fk_collection_items_collection_id")
        ),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_collection_items_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_collection_items")),
        sa.UniqueConstraint(
            "collection_id", "entry_id", name=op.f("uq_collection_items_collection_id_entry_id")
        ),
    )
    op.create_index(op.f("ix_collection_items_entry_id"), "collection_items", ["entry_id"], unique=False)
    op.create_table(
        "cut_orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("page", sa.Integer(), nullable=False),
        sa.Column("corrections", sa.Text(), nullable=False),
        sa.Column("cut_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_cut_orders_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cut_orders")),
        sa.UniqueConstraint("entry_id", "page", name=op.f("uq_cut_orders_entry_id_page")),
    )
    op.create_table(
        "facets",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("facet", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "source IN ('artist', 'file', 'file name', 'job', 'suggestion', 'model', 'picture')",
            name=op.f("ck_facets_source"),
        ),
        sa.CheckConstraint("state IN ('given', 'suggested', 'taken', 'left')", name=op.f("ck_facets_state")),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_facets_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_facets")),
        sa.UniqueConstraint("entry_id", "facet", "value", name=op.f("uq_facets_entry_id_facet_value")),
    )
    op.create_index("ix_facets_facet_value", "facets", ["facet", "value"], unique=False)
    op.create_table(
        "tags",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("concept_id", sa.Integer(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "source IN ('artist', 'file', 'file name', 'job', 'suggestion', 'model', 'picture')",
            name=op.f("ck_tags_source"),
        ),
        sa.CheckConstraint("state IN ('given', 'suggested', 'taken', 'left')", name=op.f("ck_tags_state")),
        sa.ForeignKeyConstraint(["concept_id"], ["concepts.id"], name=op.f("fk_tags_concept_id")),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_tags_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tags")),
        sa.UniqueConstraint("entry_id", "concept_id", name=op.f("uq_tags_entry_id_concept_id")),
    )
    op.create_index(op.f("ix_tags_concept_id"), "tags", ["concept_id"], unique=False)
    op.create_table(
        "versions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("ground", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entries.id"], name=op.f("fk_versions_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_versions")),
        sa.UniqueConstraint("entry_id", "number", name=op.f("uq_versions_entry_id_number")),
        sa.UniqueConstraint("uuid", name=op.f("uq_versions_uuid")),
    )
    op.create_index(op.f("ix_versions_entry_id"), "versions", ["entry_id"], unique=False)
    op.create_table(
        "blemish_choices",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("blemish", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_blemish_choices_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blemish_choices")),
        sa.UniqueConstraint("version_id", "blemish", name=op.f("uq_blemish_choices_version_id_blemish")),
    )
    op.create_index(op.f("ix_blemish_choices_version_id"), "blemish_choices", ["version_id"], unique=False)
    op.create_table(
        "bundle_items",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundles.id"], name=op.f("fk_bundle_items_bundle_id")),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_bundle_items_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bundle_items")),
    )
    op.create_index(op.f("ix_bundle_items_bundle_id"), "bundle_items", ["bundle_id"], unique=False)
    op.create_index(op.f("ix_bundle_items_version_id"), "bundle_items", ["version_id"], unique=False)
    op.create_table(
        "derived",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("recipe_id", sa.Integer(), nullable=False),
        sa.Column("path", sa.Text(), nullable=True, comment="below derived/, with forward slashes"),
        sa.Column("value", sa.Text(), nullable=True),
        sa.Column("failure", sa.Text(), nullable=True),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipes.id"], name=op.f("fk_derived_recipe_id")),
        sa.ForeignKeyConstraint(
            ["version_id"], ["versions.id"], name=op.f("fk_derived_version_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_derived")),
        sa.UniqueConstraint("version_id", "recipe_id", name=op.f("uq_derived_version_id_recipe_id")),
    )
    op.create_index(op.f("ix_derived_recipe_id"), "derived", ["recipe_id"], unique=False)
    op.create_table(
        "descents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("child_id", sa.Integer(), nullable=False),
        sa.Column("parent_id", sa.Integer(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.CheckConstraint("child_id <> parent_id", name=op.f("ck_descents_not_itself")),
        sa.ForeignKeyConstraint(["child_id"], ["versions.id"], name=op.f("fk_descents_child_id")),
        sa.ForeignKeyConstraint(["parent_id"], ["versions.id"], name=op.f("fk_descents_parent_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_descents")),
        sa.UniqueConstraint("child_id", "parent_id", name=op.f("uq_descents_child_id_parent_id")),
    )
    op.create_index(op.f("ix_descents_child_id"), "descents", ["child_id"], unique=False)
    op.create_index(op.f("ix_descents_parent_id"), "descents", ["parent_id"], unique=False)
    op.create_table(
        "fingerprints",
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("recipe_id", sa.Integer(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipes.id"], name=op.f("fk_fingerprints_recipe_id")),
        sa.ForeignKeyConstraint(
            ["version_id"], ["versions.id"], name=op.f("fk_fingerprints_version_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("version_id", "recipe_id", name=op.f("pk_fingerprints")),
    )
    op.create_table(
        "opening_choices",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column(
            "x",
            sa.Integer(),
            nullable=False,
            comment="a pixel inside the opening, in the version's own pixels",
        ),
        sa.Column("y", sa.Integer(), nullable=False),
        sa.Column("is_open", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_opening_choices_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_opening_choices")),
        sa.UniqueConstraint("version_id", "x", "y", name=op.f("uq_opening_choices_version_id_x_y")),
    )
    op.create_index(op.f("ix_opening_choices_version_id"), "opening_choices", ["version_id"], unique=False)
    op.create_table(
        "origin_answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("whose", sa.Text(), nullable=True, comment="who owns the reference or the work"),
        sa.Column("reference_id", sa.Integer(), nullable=True),
        sa.Column("evidence", sa.Text(), nullable=False, comment="kept papers: kind and place of each"),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("answered_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["reference_id"], ["entries.id"], name=op.f("fk_origin_answers_reference_id")
        ),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_origin_answers_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_origin_answers")),
        sa.UniqueConstraint(
            "version_id", "question", "value", name=op.f("uq_origin_answers_version_id_question_value")
        ),
    )
    op.create_table(
        "pair_decisions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("a_id", sa.Integer(), nullable=False),
        sa.Column("b_id", sa.Integer(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("decided_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "verdict IN ('merged', 'family', 'different')", name=op.f("ck_pair_decisions_verdict")
        ),
        sa.ForeignKeyConstraint(["a_id"], ["versions.id"], name=op.f("fk_pair_decisions_a_id")),
        sa.ForeignKeyConstraint(["b_id"], ["versions.id"], name=op.f("fk_pair_decisions_b_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pair_decisions")),
        sa.UniqueConstraint("a_id", "b_id", name=op.f("uq_pair_decisions_a_id_b_id")),
    )
    op.create_index(op.f("ix_pair_decisions_b_id"), "pair_decisions", ["b_id"], unique=False)
    op.create_table(
        "pair_findings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("a_id", sa.Integer(), nullable=False),
        sa.Column("b_id", sa.Integer(), nullable=False),
        sa.Column("recipe_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.Column("score", sa.Double(), nullable=False),
        sa.Column("box", sa.Text(), nullable=True, comment="x, y, w, h of a in the pixels of b"),
        sa.Column("found_at", sa.Text(), nullable=False),
        sa.CheckConstraint("a_id <> b_id", name=op.f("ck_pair_findings_not_itself")),
        sa.ForeignKeyConstraint(
            ["a_id"], ["versions.id"], name=op.f("fk_pair_findings_a_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["b_id"], ["versions.id"], name=op.f("fk_pair_findings_b_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipes.id"], name=op.f("fk_pair_findings_recipe_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pair_findings")),
        sa.UniqueConstraint("a_id", "b_id", "recipe_id", name=op.f("uq_pair_findings_a_id_b_id_recipe_id")),
    )
    op.create_index(op.f("ix_pair_findings_b_id"), "pair_findings", ["b_id"], unique=False)
    op.create_table(
        "pieces",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("original_id", sa.Integer(), nullable=False),
        sa.Column("page", sa.Integer(), nullable=False),
        sa.Column("layer", sa.Text(), nullable=True),
        sa.Column(
            "resolution",
            sa.Double(),
            nullable=True,
            comment="dots an inch at which a vector page is rendered",
        ),
        sa.Column("x", sa.Integer(), nullable=False),
        sa.Column("y", sa.Integer(), nullable=False),
        sa.Column("w", sa.Integer(), nullable=False),
        sa.Column("h", sa.Integer(), nullable=False),
        sa.Column(
            "mask",
            sa.LargeBinary(),
            nullable=True,
            comment="1-bit PNG of w x h: the pixels of the box that belong here",
        ),
        sa.Column(
            "reading_order",
            sa.Integer(),
            nullable=True,
            comment="place on its sheet: rows, then left to right",
        ),
        sa.ForeignKeyConstraint(["original_id"], ["originals.id"], name=op.f("fk_pieces_original_id")),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_pieces_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pieces")),
        sa.UniqueConstraint("version_id", "ordinal", name=op.f("uq_pieces_version_id_ordinal")),
    )
    op.create_index(op.f("ix_pieces_original_id"), "pieces", ["original_id"], unique=False)
    op.create_index(op.f("ix_pieces_version_id"), "pieces", ["version_id"], unique=False)
    op.create_table(
        "uses",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("shot", sa.Text(), nullable=True),
        sa.Column("used_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_uses_job_id")),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name=op.f("fk_uses_version_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_uses")),
    )
    op.create_index(op.f("ix_uses_job_id"), "uses", ["job_id"], unique=False)
    op.create_index(op.f("ix_uses_version_id"), "uses", ["version_id"], unique=False)
    op.create_table(
        "vectors",
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("recipe_id", sa.Integer(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipes.id"], name=op.f("fk_vectors_recipe_id")),
        sa.ForeignKeyConstraint(
            ["version_id"], ["versions.id"], name=op.f("fk_vectors_version_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("version_id", "recipe_id", name=op.f("pk_vectors")),
    )

    op.execute(FULL_TEXT)
    op.execute("CREATE VIRTUAL TABLE entry_text_terms USING fts5vocab(entry_text, row)")
