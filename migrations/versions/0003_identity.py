"""A library has an identity and a counter; derived files carry checksums; removals are records."""

import sqlalchemy as sa
from alembic import op

from assetlib.catalogue.identity import derived_identity

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table(
        "library",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("writes", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_library")),
    )
    connection = op.get_bind()
    plain = connection.connection.dbapi_connection
    connection.execute(
        sa.text("INSERT INTO library (id, uuid, writes) VALUES (1, :uuid, 0)"),
        {"uuid": derived_identity(plain)},
    )
    op.create_table(
        "removals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_removals")),
        sa.UniqueConstraint("sha256", name=op.f("uq_removals_sha256")),
    )
    # Plain ALTER TABLE: a batch rebuild would have to bring indexes and foreign keys along for two empty columns.
    op.add_column("derived", sa.Column("sums", sa.Text(), nullable=True))
    op.add_column("entries", sa.Column("removed_at", sa.Text(), nullable=True))
