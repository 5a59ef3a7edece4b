"""Reads the syllabus, or cannot go on."""

from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.syllabus.check import check_syllabus


def read_syllabus(
    folder: Path,
    known_kinds: frozenset[str] | None = None,
    known_methods: frozenset[str] | None = None,
) -> Syllabus:
    """The syllabus in `folder`, checked as `check_syllabus` does.

    Raises CoachbookError with the first mistake and how many more there are.
    """
    syllabus, problems = check_syllabus(folder, known_kinds, known_methods)
    if syllabus is None:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise CoachbookError(f"The syllabus has a mistake: {problems[0]}{more}.", f"Mend it in {folder}.")
    return syllabus
