"""Numbers of students, groups and log entries that are never given again."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes three tables anew, with the same rows under the same numbers, and a counter each."""
    for table in ("student", "teaching_group"):
        _make_anew(
            table,
            sa.Column("name", sa.String(), nullable=False),
            sa.UniqueConstraint("name", name=f"uq_{table}_name"),
        )
    op.drop_index("ix_log_entry_copy", "log_entry")
    _make_anew("log_entry", sa.Column("logged_at", sa.DateTime(), nullable=False))
    op.create_index("ix_log_entry_copy", "log_entry", ["logged_at"])
    # An entry that was taken back may come back under its number.
    op.execute("DELETE FROM sqlite_sequence WHERE name = 'log_entry'")
    op.execute(
        "INSERT INTO sqlite_sequence (name, seq) SELECT 'log_entry', coalesce(max(number), 0)"
        " FROM (SELECT max(id) AS number FROM log_entry UNION SELECT max(entry_id) FROM taken_back)"
    )


def _make_anew(table: str, *parts: sa.Column[Any] | sa.UniqueConstraint) -> None:
    columns = ", ".join(["id", *(part.name for part in parts if isinstance(part, sa.Column))])
    op.create_table(
        f"{table}_numbered",
        sa.Column("id", sa.Integer(), nullable=False),
        *parts,
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
        sqlite_autoincrement=True,
    )
    op.execute(f"INSERT INTO {table}_numbered ({columns}) SELECT {columns} FROM {table}")  # noqa: S608 - ours
    op.drop_table(table)
    op.rename_table(f"{table}_numbered", table)
