"""The syllabus as the commands use it: read, and checked against the kinds and methods there are."""

from pathlib import Path

from coachbook.exercises.registry import kind_names
from coachbook.method.names import METHOD_NAMES
from coachbook.model.problem import Problem
from coachbook.model.syllabus import Syllabus
from coachbook.syllabus.check import check_syllabus
from coachbook.syllabus.read import read_syllabus
from coachbook.workflows.places import shipped_folder


def load_syllabus(folder: Path | None = None) -> Syllabus:
    """The syllabus in a folder, else the one that came with coachbook. Raises CoachbookError."""
    return read_syllabus(
        folder or shipped_folder("curricula"), frozenset(kind_names()), frozenset(METHOD_NAMES)
    )


def find_mistakes(folder: Path | None = None) -> tuple[Problem, ...]:
    """Every mistake in the files of a syllabus."""
    source = folder or shipped_folder("curricula")
    return check_syllabus(source, frozenset(kind_names()), frozenset(METHOD_NAMES))[1]
