"""Where coachbook keeps what it can make again, and notes what is unfinished."""

import os
from pathlib import Path

from platformdirs import user_cache_path

FOLDER_VARIABLE = "COACHBOOK_CACHE"


def cache_folder() -> Path:
    """The folder in COACHBOOK_CACHE, else the user's cache folder."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("coachbook", appauthor=False)
