"""Days on which a club does not meet, from files and from the public holidays of a place."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.files.reading import read_file
from coachbook.model.term import Closure
from coachbook.term.closures import closures_in, public_holidays


def closures_from(
    files: Sequence[Path], places: Sequence[str], starts_on: date, ends_on: date
) -> tuple[Closure, ...]:
    """The days of calendar files, and the public holidays of places ("IE", "DE-BY"), in a term.

    Raises CoachbookError for a file that is no calendar or cannot be read, or an unknown place.
    """
    found: list[Closure] = []
    for path in files:
        try:
            content = read_file(path)
        except OSError as error:
            raise CoachbookError(f"{path} cannot be read: {error.strerror}.", "Check where it is.") from error
        found += closures_in(content, path.name, starts_on, ends_on)
    for place in places:
        found += public_holidays(place, starts_on, ends_on)
    return tuple(found)
