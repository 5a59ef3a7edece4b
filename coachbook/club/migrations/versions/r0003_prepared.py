"""What was made ready for an evening, so that the same papers can be made again."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes one table."""
    op.create_table(
        "prepared",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("group_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=True),
        sa.Column("wanted", sa.String(), nullable=False),
        sa.Column("cards", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "group_id", "evening", name="pk_prepared"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_prepared_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["group_id"], ["teaching_group.id"], name="fk_prepared_group_id"),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheet.id"], name="fk_prepared_sheet_id"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_prepared_evening", "prepared", ["evening"])
    op.create_index("ix_prepared_sheet_id", "prepared", ["sheet_id"])
