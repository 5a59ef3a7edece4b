"""A second copy of every fact, in an index: SQLite's own check compares it with the first.

One bit of a date, a mark or a note may flip on an old disk, and nothing else would tell.
"""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_COPIED = {
    "club": ("name", "letters"),
    "log_entry": ("logged_at",),
    "attendance": ("student_id", "evening", "entry_id", "present"),
    "answer": ("student_id", "sheet_id", "item", "entry_id", "evening", "written", "is_right", "slip"),
    "play_out": (
        *("student_id", "entry_id", "unit", "evening", "fen", "goal"),
        *("allowance", "end", "used", "card", "moves", "slip"),
    ),
    "observation": ("student_id", "entry_id", "unit", "evening", "note", "impression"),
    "term_plan": ("group_id", "term", "entry_id", "change"),
    "taken_back": ("entry_id", "logged_at", "taken_back_at", "student_id", "group_id", "fact", "body"),
    "prepared": ("student_id", "group_id", "evening", "sheet_id", "wanted", "cards"),
}


def upgrade() -> None:
    """Makes an index of all columns of each table of facts."""
    for table, columns in _COPIED.items():
        op.create_index(f"ix_{table}_copy", table, list(columns))
