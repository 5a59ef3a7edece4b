"""Of which group's evening a guest was."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes one table anew with a column more, in which old rows have nothing."""
    for index in ("ix_attendance_copy", "ix_attendance_evening", "ix_attendance_entry_id"):
        op.drop_index(index, "attendance")
    op.create_table(
        "attendance_with_guests",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("present", sa.Boolean(), nullable=False),
        sa.Column("late", sa.Boolean(), nullable=False),
        sa.Column("guest_of", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("student_id", "evening", "entry_id", name="pk_attendance"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_attendance_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_attendance_entry_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["guest_of"], ["teaching_group.id"], name="fk_attendance_guest_of", ondelete="SET NULL"
        ),
        sqlite_with_rowid=False,
    )
    op.execute(
        "INSERT INTO attendance_with_guests"
        " SELECT student_id, evening, entry_id, present, late, NULL FROM attendance"
    )
    op.drop_table("attendance")
    op.rename_table("attendance_with_guests", "attendance")
    op.create_index("ix_attendance_evening", "attendance", ["evening"])
    op.create_index("ix_attendance_entry_id", "attendance", ["entry_id"])
    columns = ["student_id", "evening", "entry_id", "present", "late", "guest_of"]
    op.create_index("ix_attendance_copy", "attendance", columns)
    op.execute("UPDATE taken_back SET body = json_set(body, '$.guest_of', NULL) WHERE fact = 'attendance'")
