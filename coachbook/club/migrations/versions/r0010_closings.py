"""Which evenings were closed, and when."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes one table."""
    op.create_table(
        "closing",
        sa.Column("group_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("closed_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("group_id", "evening", name="pk_closing"),
        sa.ForeignKeyConstraint(["group_id"], ["teaching_group.id"], name="fk_closing_group_id"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_closing_copy", "closing", ["group_id", "evening", "closed_at"])
