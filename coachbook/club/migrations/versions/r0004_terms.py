"""Plans belong to terms and to entries of the log; what is taken back can be brought back."""

import json
from datetime import date

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns to one table, numbers the terms of each group, and makes another table."""
    _add_columns()
    _number_terms()
    op.create_table(
        "taken_back",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("logged_at", sa.DateTime(), nullable=False),
        sa.Column("taken_back_at", sa.DateTime(), nullable=False),
        sa.Column("student_id", sa.Integer(), nullable=True),
        sa.Column("group_id", sa.Integer(), nullable=True),
        sa.Column("fact", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_taken_back"),
        sa.ForeignKeyConstraint(
            ["student_id"], ["student.id"], name="fk_taken_back_student_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["group_id"], ["teaching_group.id"], name="fk_taken_back_group_id", ondelete="CASCADE"
        ),
    )
    for column in ("entry_id", "student_id", "group_id"):
        op.create_index(f"ix_taken_back_{column}", "taken_back", [column])


def _add_columns() -> None:
    with op.batch_alter_table("term_plan", recreate="always") as plans:
        plans.add_column(sa.Column("term", sa.Integer(), nullable=False, server_default="0"))
        plans.add_column(sa.Column("entry_id", sa.Integer(), nullable=True))
        plans.add_column(sa.Column("change", sa.String(), nullable=False, server_default=""))
        plans.create_foreign_key(
            "fk_term_plan_entry_id", "log_entry", ["entry_id"], ["id"], ondelete="CASCADE"
        )
    with op.batch_alter_table("term_plan", recreate="always") as plans:
        plans.alter_column("term", server_default=None)
        plans.alter_column("change", server_default=None)
    op.create_index("ix_term_plan_entry_id", "term_plan", ["entry_id"])


def _number_terms() -> None:
    """A plan that shares days with an earlier one took its place, and so is of the same term."""
    connection = op.get_bind()
    found = connection.execute(sa.text("SELECT id, group_id, body FROM term_plan ORDER BY id")).all()
    terms: dict[int, list[tuple[date, date]]] = {}
    for row_id, group_id, body in found:
        known = terms.setdefault(group_id, [])
        first, last = _days(body)
        number = next(
            (index for index, (begins, ends) in enumerate(known) if begins <= last and first <= ends),
            len(known),
        )
        known[number : number + 1] = [(first, last)]
        connection.execute(
            sa.text("UPDATE term_plan SET term = :term WHERE id = :id"), {"term": number + 1, "id": row_id}
        )


def _days(body: str) -> tuple[date, date]:
    """The first and last day of a plan; of one that is damaged, days that no other plan shares."""
    try:
        plan = json.loads(body)
        return date.fromisoformat(plan["starts_on"]), date.fromisoformat(plan["ends_on"])
    except (ValueError, KeyError, TypeError):
        return date.max, date.min
