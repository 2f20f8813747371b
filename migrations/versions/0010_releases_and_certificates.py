"""Releases with their days and files, and the certificates of buyers."""

from alembic import op

revision = "0010"
down_revision = "0009"

RELEASES = """CREATE TABLE releases (
    id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    who TEXT NOT NULL,
    signed_on DATE NOT NULL,
    first_day DATE,
    last_day DATE,
    withdrawn_on DATE,
    place TEXT NOT NULL,
    sha256 TEXT,
    format TEXT,
    note TEXT,
    made_at TEXT NOT NULL,
    CONSTRAINT pk_releases PRIMARY KEY (id),
    CONSTRAINT fk_releases_id FOREIGN KEY(id) REFERENCES codes (id)
)"""

CERTIFICATES = """CREATE TABLE certificates (
    id INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bundle_id INTEGER NOT NULL,
    buyer TEXT NOT NULL,
    issued_on DATE NOT NULL,
    document TEXT NOT NULL,
    signature TEXT NOT NULL,
    revoked_on DATE,
    revoked_why TEXT,
    made_at TEXT NOT NULL,
    CONSTRAINT pk_certificates PRIMARY KEY (id),
    CONSTRAINT uq_certificates_uuid UNIQUE (uuid),
    CONSTRAINT fk_certificates_id FOREIGN KEY(id) REFERENCES codes (id),
    CONSTRAINT fk_certificates_bundle_id FOREIGN KEY(bundle_id) REFERENCES bundles (id)
)"""


def upgrade() -> None:
    op.execute(RELEASES)
    op.execute(CERTIFICATES)
    op.execute("CREATE INDEX ix_certificates_bundle_id ON certificates (bundle_id)")
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
