"""Which evenings a student answered on can be found without looking through all answers."""

from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds an index."""
    op.create_index("ix_answer_student_id_evening", "answer", ["student_id", "evening"])
