"""Where things are: the shipped data, the book when none is named, and what can be made again."""

import os
from pathlib import Path

from platformdirs import user_cache_path, user_data_path

from coachbook.errors import CoachbookError

FOLDER_VARIABLE = "COACHBOOK_CACHE"


def cache_folder() -> Path:
    """The folder in COACHBOOK_CACHE, else the user's cache folder."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("coachbook", appauthor=False)


_PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder(name: str) -> Path:
    """The folder "curricula" or "sample_club" as it came with coachbook. Raises CoachbookError."""
    for folder in (_PACKAGE / "data" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise CoachbookError(
        f"The folder {name} that came with coachbook is missing.", "Install coachbook again."
    )


def usual_book() -> Path:
    """The book in the user's data folder, taken when no other is named."""
    return user_data_path("coachbook", appauthor=False) / "club.book"
