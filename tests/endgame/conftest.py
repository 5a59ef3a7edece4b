import pytest

from coachbook.endgame.tables import Tables
from coachbook.files.reading import cache_folder


@pytest.fixture(scope="session")
def tables() -> Tables:
    """Tables solved in this run: the folder is empty at its start, and one for all workers."""
    return Tables(cache_folder())
