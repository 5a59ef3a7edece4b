"""Who came late to an evening; and which touches of a screen are in the book."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes one table anew with a column more, and another table."""
    _add_late()
    op.execute(
        "UPDATE taken_back SET body = json_set(body, '$.late', json('false')) WHERE fact = 'attendance'"
    )
    op.create_table(
        "touch",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kept_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_touch"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_touch_kept_at", "touch", ["kept_at"])


def _add_late() -> None:
    """By hand: a column that is added has a default that the table should not have, and older versions of
    alembic make such a table anew with row numbers."""
    for index in ("ix_attendance_copy", "ix_attendance_evening", "ix_attendance_entry_id"):
        op.drop_index(index, "attendance")
    op.create_table(
        "attendance_with_late",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("present", sa.Boolean(), nullable=False),
        sa.Column("late", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "evening", "entry_id", name="pk_attendance"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_attendance_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_attendance_entry_id", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )
    op.execute(
        "INSERT INTO attendance_with_late SELECT student_id, evening, entry_id, present, 0 FROM attendance"
    )
    op.drop_table("attendance")
    op.rename_table("attendance_with_late", "attendance")
    op.create_index("ix_attendance_evening", "attendance", ["evening"])
    op.create_index("ix_attendance_entry_id", "attendance", ["entry_id"])
    columns = ["student_id", "evening", "entry_id", "present", "late"]
    op.create_index("ix_attendance_copy", "attendance", columns)
