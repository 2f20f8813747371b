"""Jobs have a frame, days, paper, references and a shot list; frames that were written are known by their bytes."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

JOB_COLUMNS = {
    "frame": "TEXT",
    "shots_planned": "INTEGER",
    "wheel": "TEXT",
    "confidential_until": "DATE",
    "note": "TEXT",
    "round": "INTEGER",
    "closed_on": "DATE",
}

TABLES = {
    "job_agreements": (
        """id INTEGER NOT NULL, job_id INTEGER NOT NULL, kind TEXT NOT NULL, paper TEXT, first_day DATE,
        last_day DATE, CONSTRAINT pk_job_agreements PRIMARY KEY (id),
        CONSTRAINT fk_job_agreements_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)""",
        ("job_id",),
    ),
    "job_references": (
        """id INTEGER NOT NULL, job_id INTEGER NOT NULL, entry_id INTEGER NOT NULL, kind TEXT NOT NULL, owner TEXT,
        CONSTRAINT pk_job_references PRIMARY KEY (id),
        CONSTRAINT uq_job_references_job_id_entry_id UNIQUE (job_id, entry_id),
        CONSTRAINT fk_job_references_job_id FOREIGN KEY(job_id) REFERENCES jobs (id),
        CONSTRAINT fk_job_references_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)""",
        ("job_id", "entry_id"),
    ),
    "job_in_use": (
        """id INTEGER NOT NULL, job_id INTEGER NOT NULL, asked_on DATE NOT NULL,
        CONSTRAINT pk_job_in_use PRIMARY KEY (id),
        CONSTRAINT fk_job_in_use_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)""",
        (),
    ),
    "job_removals": (
        """id INTEGER NOT NULL, job_id INTEGER NOT NULL, what TEXT NOT NULL, owner TEXT, day DATE NOT NULL,
        CONSTRAINT pk_job_removals PRIMARY KEY (id),
        CONSTRAINT fk_job_removals_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)""",
        ("job_id",),
    ),
    "job_shots": (
        """id INTEGER NOT NULL, job_id INTEGER NOT NULL, spot TEXT NOT NULL, number TEXT NOT NULL, text TEXT NOT NULL,
        heading TEXT NOT NULL, ordinal INTEGER NOT NULL, served TEXT NOT NULL, lacking TEXT NOT NULL,
        omitted BOOLEAN NOT NULL, pulled_at TEXT NOT NULL,
        CONSTRAINT pk_job_shots PRIMARY KEY (id),
        CONSTRAINT fk_job_shots_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)""",
        ("job_id",),
    ),
    "shot_picks": (
        """id INTEGER NOT NULL, shot_id INTEGER NOT NULL, entry_id INTEGER NOT NULL,
        CONSTRAINT pk_shot_picks PRIMARY KEY (id),
        CONSTRAINT uq_shot_picks_shot_id_entry_id UNIQUE (shot_id, entry_id),
        CONSTRAINT fk_shot_picks_shot_id FOREIGN KEY(shot_id) REFERENCES job_shots (id),
        CONSTRAINT fk_shot_picks_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)""",
        ("shot_id", "entry_id"),
    ),
    "frame_files": (
        """id INTEGER NOT NULL, shot_id INTEGER NOT NULL, letter TEXT NOT NULL, round INTEGER NOT NULL,
        path TEXT NOT NULL, sha256 TEXT NOT NULL, made_of TEXT NOT NULL, written_at TEXT NOT NULL,
        CONSTRAINT pk_frame_files PRIMARY KEY (id),
        CONSTRAINT fk_frame_files_shot_id FOREIGN KEY(shot_id) REFERENCES job_shots (id)""",
        ("shot_id", "path"),
    ),
}


def upgrade() -> None:
    for name, kind in JOB_COLUMNS.items():
        op.execute(sa.text(f"ALTER TABLE jobs ADD COLUMN {name} {kind}"))
    for table, (columns, indexed) in TABLES.items():
        op.execute(sa.text(f"CREATE TABLE {table} ({columns})"))
        for column in indexed:
            op.execute(sa.text(f"CREATE INDEX ix_{table}_{column} ON {table} ({column})"))
    op.execute(sa.text("DELETE FROM changes"))
    op.execute(sa.text("DELETE FROM steps"))
