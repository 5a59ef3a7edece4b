"""The club's own ways, beside its letters: paper, notation, the folder for papers, how dates are shown."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_NEW = ("paper", "notation", "folder", "dates")


def upgrade() -> None:
    """Adds the columns, without a choice in them, and makes the second copy anew with them."""
    for column in _NEW:
        op.add_column("club", sa.Column(column, sa.String(), nullable=True))
    op.drop_index("ix_club_copy", "club")
    op.create_index("ix_club_copy", "club", ["name", "letters", *_NEW])
