"""What a picture may be in place of what it was taken for, kept until that is settled."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    op.execute(sa.text("ALTER TABLE entries ADD COLUMN may_be VARCHAR"))
    op.execute("DELETE FROM changes")
    op.execute("DELETE FROM steps")
