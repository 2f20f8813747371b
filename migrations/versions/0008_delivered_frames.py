"""Frames that were delivered are kept with their job, in a role of their own."""

from alembic import op

revision = "0008"
down_revision = "0007"

TABLE = """CREATE TABLE delivered_frames (
    id INTEGER NOT NULL,
    job_id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    shot TEXT,
    round INTEGER,
    day DATE NOT NULL,
    CONSTRAINT pk_delivered_frames PRIMARY KEY (id),
    CONSTRAINT uq_delivered_frames_job_id_entry_id UNIQUE (job_id, entry_id),
    CONSTRAINT fk_delivered_frames_job_id FOREIGN KEY(job_id) REFERENCES jobs (id),
    CONSTRAINT fk_delivered_frames_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)
)"""

# A CHECK is changed in the schema's own text, as sqlite.org/lang_altertable.html (7) has it: nothing that is kept
# in the table has to be written anew, and no index or reference goes astray.
BEFORE = "role IN ('element', 'sheet', 'reference', 'backdrop')"
AFTER = "role IN ('element', 'sheet', 'reference', 'backdrop', 'frame')"


def upgrade() -> None:
    op.execute(TABLE)
    for column in ("job_id", "entry_id"):
        op.execute(f"CREATE INDEX ix_delivered_frames_{column} ON delivered_frames ({column})")
    connection = op.get_bind()
    version = connection.exec_driver_sql("PRAGMA schema_version").scalar_one()
    connection.exec_driver_sql("PRAGMA writable_schema = ON")
    connection.exec_driver_sql(
        "UPDATE sqlite_master SET sql = replace(sql, ?, ?) WHERE type = 'table' AND name = 'entries'",
        (BEFORE, AFTER),
    )
    connection.exec_driver_sql(f"PRAGMA schema_version = {version + 1}")
    connection.exec_driver_sql("PRAGMA writable_schema = OFF")
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
