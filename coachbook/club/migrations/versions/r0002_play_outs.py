"""Play-outs and observations, and the club's own letters for the pieces."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes two tables of the log, and a column of the club."""
    op.add_column("club", sa.Column("letters", sa.String(), nullable=True))
    _make_fact(
        "play_out",
        sa.Column("fen", sa.String(), nullable=False),
        sa.Column("goal", sa.String(), nullable=False),
        sa.Column("allowance", sa.Integer(), nullable=False),
        sa.Column("end", sa.String(), nullable=False),
        sa.Column("used", sa.Integer(), nullable=True),
        sa.Column("card", sa.String(), nullable=False),
        sa.Column("moves", sa.String(), nullable=False),
        sa.Column("slip", sa.String(), nullable=False),
        sa.CheckConstraint("allowance >= 1", name="ck_play_out_allows_a_move"),
        sa.CheckConstraint("used >= 0", name="ck_play_out_used_is_counted"),
    )
    _make_fact(
        "observation",
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("impression", sa.String(), nullable=False),
    )


def _make_fact(table: str, *columns: sa.Column[object] | sa.CheckConstraint) -> None:
    op.create_table(
        table,
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        *columns,
        sa.PrimaryKeyConstraint("student_id", "entry_id", name=f"pk_{table}"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name=f"fk_{table}_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name=f"fk_{table}_entry_id", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )
    op.create_index(f"ix_{table}_entry_id", table, ["entry_id"])
