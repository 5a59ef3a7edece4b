import pytest

from coachbook.endgame.tables import Tables


@pytest.fixture(scope="session")
def tables() -> Tables:
    """Tables solved in this run, and read from no cache."""
    return Tables(None)
