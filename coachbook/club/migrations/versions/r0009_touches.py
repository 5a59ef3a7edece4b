"""Who came late to an evening; and which touches of a screen are in the book."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a column, makes its second copy anew, and makes a table."""
    op.add_column("attendance", sa.Column("late", sa.Boolean(), nullable=False, server_default=sa.false()))
    with op.batch_alter_table("attendance") as attendance:
        attendance.alter_column("late", server_default=None)
    op.drop_index("ix_attendance_copy", "attendance")
    op.create_index(
        "ix_attendance_copy", "attendance", ["student_id", "evening", "entry_id", "present", "late"]
    )
    op.execute(
        "UPDATE taken_back SET body = json_set(body, '$.late', json('false')) WHERE fact = 'attendance'"
    )
    op.create_table(
        "touch",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kept_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_touch")),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_touch_kept_at", "touch", ["kept_at"])
