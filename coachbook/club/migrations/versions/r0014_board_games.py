"""Games at the boards of an evening; and of each play-out, whether it was against coachbook, and its
clock."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes one table anew with two columns more, and another table."""
    _add_to_play_outs()
    op.execute(
        "UPDATE taken_back SET body = json_set(body, '$.against_coachbook', json('false'), '$.clocks', '')"
        " WHERE fact = 'play_out'"
    )
    op.create_table(
        "board_game",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("play_out", sa.Integer(), nullable=False),
        sa.Column("mirrored", sa.Boolean(), nullable=False),
        sa.Column("moves", sa.String(), nullable=False),
        sa.Column("clocks", sa.String(), nullable=False),
        sa.Column("begun_at", sa.DateTime(), nullable=False),
        sa.Column("moved_at", sa.DateTime(), nullable=False),
        sa.Column("stopped", sa.Boolean(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_board_game"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_board_game_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_board_game_entry_id", ondelete="SET NULL"
        ),
    )
    op.create_index("ix_board_game_evening", "board_game", ["evening"])
    op.create_index("ix_board_game_entry_id", "board_game", ["entry_id"])
    columns = ["student_id", "evening", "unit", "play_out", "mirrored"]
    columns += ["moves", "clocks", "begun_at", "moved_at", "stopped", "entry_id"]
    op.create_index("ix_board_game_copy", "board_game", columns)


def _add_to_play_outs() -> None:
    """By hand, as columns that are added have defaults that the table should not have."""
    for index in ("ix_play_out_copy", "ix_play_out_entry_id"):
        op.drop_index(index, "play_out")
    op.create_table(
        "play_out_with_clocks",
        sa.Column("student_id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("fen", sa.String(), nullable=False),
        sa.Column("goal", sa.String(), nullable=False),
        sa.Column("allowance", sa.Integer(), nullable=False),
        sa.Column("end", sa.String(), nullable=False),
        sa.Column("used", sa.Integer(), nullable=True),
        sa.Column("card", sa.String(), nullable=False),
        sa.Column("moves", sa.String(), nullable=False),
        sa.Column("slip", sa.String(), nullable=False),
        sa.Column("against_coachbook", sa.Boolean(), nullable=False),
        sa.Column("clocks", sa.String(), nullable=False),
        sa.CheckConstraint("allowance >= 1", name="ck_play_out_allows_a_move"),
        sa.CheckConstraint("used >= 0", name="ck_play_out_used_is_counted"),
        sa.PrimaryKeyConstraint("student_id", "entry_id", name="pk_play_out"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_play_out_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["log_entry.id"], name="fk_play_out_entry_id", ondelete="CASCADE"
        ),
        sqlite_with_rowid=False,
    )
    columns = ["student_id", "entry_id", "unit", "evening", "fen", "goal"]
    columns += ["allowance", "end", "used", "card", "moves", "slip"]
    listed = ", ".join(f'"{column}"' for column in columns)
    op.execute(f"INSERT INTO play_out_with_clocks SELECT {listed}, 0, '' FROM play_out")  # noqa: S608 - ours
    op.drop_table("play_out")
    op.rename_table("play_out_with_clocks", "play_out")
    op.create_index("ix_play_out_entry_id", "play_out", ["entry_id"])
    op.create_index("ix_play_out_copy", "play_out", [*columns, "against_coachbook", "clocks"])
