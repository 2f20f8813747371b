"""What was noted where a licence was sold although drawings did not stand clear that day."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    op.execute(sa.text("ALTER TABLE certificates ADD COLUMN despite TEXT"))
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
