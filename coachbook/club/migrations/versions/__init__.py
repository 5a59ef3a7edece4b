"""One file for each step, in order; alembic reads them from this folder."""
