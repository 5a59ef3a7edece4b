"""The first book: club, students, groups, worksheets, term plans and the log."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes all tables, each after those that it refers to."""
    _make_people()
    _make_plans()
    _make_log()


def _make_people() -> None:
    op.create_table(
        "club",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_club"),
        sa.CheckConstraint("id = 1", name="ck_club_one_row"),
    )
    op.create_table(
        "student",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_student"),
        sa.UniqueConstraint("name", name="uq_student_name"),
    )
    op.create_table(
        "teaching_group",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_teaching_group"),
        sa.UniqueConstraint("name", name="uq_teaching_group_name"),
    )
    op.create_table(
        "membership",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("group_id", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "group_id", name="pk_membership"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_membership_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["group_id"], ["teaching_group.id"], name="fk_membership_group_id"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_membership_group_id", "membership", ["group_id"])


def _make_plans() -> None:
    op.create_table(
        "term_plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("group_id", sa.Integer(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_term_plan"),
        sa.ForeignKeyConstraint(["group_id"], ["teaching_group.id"], name="fk_term_plan_group_id"),
    )
    op.create_index("ix_term_plan_group_id", "term_plan", ["group_id"])
    op.create_table(
        "sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sheet"),
        sa.UniqueConstraint("code", name="uq_sheet_code"),
    )
    op.create_index("ix_sheet_made_on", "sheet", ["made_on"])
    op.create_table(
        "sheet_item",
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("item", sa.Integer(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("sheet_id", "item", name="pk_sheet_item"),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheet.id"], name="fk_sheet_item_sheet_id"),
        sa.CheckConstraint("item >= 1", name="ck_sheet_item_counts_from_1"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_sheet_item_unit", "sheet_item", ["unit"])
    op.create_table(
        "handout",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "sheet_id", name="pk_handout"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_handout_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheet.id"], name="fk_handout_sheet_id"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_handout_sheet_id", "handout", ["sheet_id"])


def _make_log() -> None:
    op.create_table(
        "log_entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("logged_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_log_entry"),
    )
    op.create_table(
        "attendance",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("present", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "evening", "entry_id", name="pk_attendance"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_attendance_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_attendance_entry_id", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_attendance_evening", "attendance", ["evening"])
    op.create_index("ix_attendance_entry_id", "attendance", ["entry_id"])
    op.create_table(
        "answer",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("item", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("written", sa.String(), nullable=False),
        sa.Column("is_right", sa.Boolean(), nullable=False),
        sa.Column("slip", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("student_id", "sheet_id", "item", "entry_id", name="pk_answer"),
        sa.ForeignKeyConstraint(
            ["student_id", "sheet_id"],
            ["handout.student_id", "handout.sheet_id"],
            name="fk_answer_student_id_sheet_id",
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["sheet_id", "item"], ["sheet_item.sheet_id", "sheet_item.item"], name="fk_answer_sheet_id_item"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_answer_entry_id", ondelete="CASCADE"
        ),
        sa.CheckConstraint("slip = '' OR NOT is_right", name="ck_answer_right_has_no_slip"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_answer_entry_id", "answer", ["entry_id"])
    op.create_index("ix_answer_sheet_id_item", "answer", ["sheet_id", "item"])
