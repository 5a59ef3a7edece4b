"""Nothing yet: the step that is to stand here comes with another change."""

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Changes nothing."""
