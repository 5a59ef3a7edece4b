"""Why a slot stands in a plan, and by how much a win was slower, are codes and no longer sentences."""

import json
import re

import sqlalchemy as sa
from alembic import op

from coachbook.club.earlier_words import reason_of
from coachbook.club.stored import is_sealed, opened, sealed

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

_SLOWER = re.compile(r"slower by ([0-9]+) moves?")


def upgrade() -> None:
    """Rewrites the plans, those that were taken back too. Damaged ones stay as they are."""
    connection = op.get_bind()
    for row_id, body in connection.execute(sa.text("SELECT id, body FROM term_plan")).all():
        _write(connection, "term_plan", row_id, body, _upgraded(body))
    taken_back = sa.text("SELECT id, body FROM taken_back WHERE fact = 'term_plan'")
    for row_id, body in connection.execute(taken_back).all():
        _write(connection, "taken_back", row_id, body, _upgraded_row(body))
    _slips(connection)


def _slips(connection: sa.Connection) -> None:
    """Wins that were slower than need be; each table and its column of slips."""
    for table in ("answer", "play_out"):
        slower = sa.text(f"SELECT DISTINCT slip FROM {table} WHERE slip LIKE 'slower by %'")  # noqa: S608
        for (slip,) in connection.execute(slower).all():
            update = sa.text(f"UPDATE {table} SET slip = :new WHERE slip = :old")  # noqa: S608
            connection.execute(update, {"new": _slip(slip), "old": slip})
    taken_back = sa.text("SELECT id, body FROM taken_back WHERE body LIKE '%\"slower by %'")
    for row_id, body in connection.execute(taken_back).all():
        _write(connection, "taken_back", row_id, body, _with_slip(body))


def _slip(slip: str) -> str:
    found = _SLOWER.fullmatch(slip)
    return f"slower:{found[1]}" if found else slip


def _with_slip(body: str) -> str:
    try:
        row = json.loads(body)
        return json.dumps(row | {"slip": _slip(row["slip"])}, ensure_ascii=False)
    except (ValueError, KeyError, TypeError):
        return body


def _write(connection: sa.Connection, table: str, row_id: int, before: str, after: str) -> None:
    if after != before:
        update = sa.text(f"UPDATE {table} SET body = :body WHERE id = :id")  # noqa: S608 - one of two tables
        connection.execute(update, {"body": after, "id": row_id})


def _upgraded_row(body: str) -> str:
    """A row that was taken back: the plan is the text of one of its columns."""
    try:
        row = json.loads(body)
        return json.dumps(row | {"body": _upgraded(row["body"])}, ensure_ascii=False)
    except (ValueError, KeyError, TypeError):
        return body


def _upgraded(body: str) -> str:
    try:
        plan = json.loads(opened(body) or "")
        groups = tuple(plan.get("room", ()))
        for session in plan["sessions"]:
            for slot in session["slots"]:
                if isinstance(slot["why"], str):
                    slot["why"] = reason_of(slot["why"], groups)
    except (ValueError, KeyError, TypeError, AttributeError):
        return body
    text = json.dumps(plan, ensure_ascii=False, separators=(",", ":"))
    return sealed(text) if is_sealed(body) else text
