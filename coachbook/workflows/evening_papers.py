"""An evening's papers for a screen: whose they are to be, making them in the club's own folder, and where
they stand."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coachbook.club.book import Book, Reading
from coachbook.club.sheets import prepared_for
from coachbook.club.students import group_numbered, list_groups
from coachbook.errors import CoachbookError, InWords
from coachbook.model.facts import Group
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus
from coachbook.wording.counting import day_in_words
from coachbook.workflows.club_settings import folder_of_papers
from coachbook.workflows.evening_grid import groups_meeting
from coachbook.workflows.evening_places import Files, evening_files_in, evening_folder, files_of_some
from coachbook.workflows.evening_to_log import evening_still_open
from coachbook.workflows.members import planned_sessions
from coachbook.workflows.preparing import PreparedEvening, Progress, prepare_evening


@dataclass(frozen=True, slots=True)
class EveningGroups:
    """The groups whose plan has an evening on a day, by name, and those of them that have papers for it."""

    on: date
    groups: tuple[Group, ...]
    with_papers: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class EveningPapers:
    """The two files of an evening for all its groups, None if they are not there, and those for some of them,
    with the names of these; and an earlier evening of one of its groups that is not closed, None if there is
    none."""

    evening: EveningGroups
    of_all: Files | None
    of_some: tuple[tuple[tuple[str, ...], Files], ...]
    still_open: tuple[date, Group] | None


def evening_groups(book: Book, on: date) -> EveningGroups:
    """Whose papers can be made for a day. Raises CoachbookError if no plan has an evening on it."""
    with book.reading() as tx:
        meeting = groups_meeting(tx, on)
        groups = [group for group in list_groups(tx) if group.name in meeting]
        if not groups:
            raise CoachbookError(f"No evening is planned on {day_in_words(on)}.", _next_one(tx, on))
        with_papers = [group for group in groups if prepared_for(tx, group.name, on)]
    return EveningGroups(on, tuple(groups), tuple(with_papers))


def evening_papers(book: Book, on: date, today: date) -> EveningPapers:
    """The papers of an evening as they stand. Raises CoachbookError if no plan has an evening on the day."""
    evening = evening_groups(book, on)
    names = [group.name for group in evening.groups]
    left = evening_still_open(book, min(on - timedelta(1), today), names)
    with book.reading() as tx:
        meeting = groups_meeting(tx, left) if left else frozenset()
        whose = [group for group in evening.groups if group.name in meeting]
    folder = evening_folder(folder_of_papers(book), on)
    files = evening_files_in(book, folder, on, names)
    of_all = files if all(file.is_file() for file in files) else None
    of_some = tuple(files_of_some(book, folder))
    return EveningPapers(evening, of_all, of_some, (left, whose[0]) if left else None)


def prepare_groups(
    book: Book,
    syllabus: Syllabus,
    on: date,
    groups: Sequence[int],
    today: date,
    options: PaperOptions,
    progress: Progress,
    *,
    in_words: InWords,
) -> PreparedEvening:
    """Make the papers of groups (by their ids) for an evening, in the club's own folder; see
    `prepare_evening`. Raises CoachbookError for no group at all, too, and for an unknown one."""
    if not groups:
        raise CoachbookError("No group is chosen.", "Tick one or more.")
    with book.reading() as tx:
        names = [group_numbered(tx, number).name for number in groups]
    place = evening_folder(folder_of_papers(book), on)
    return prepare_evening(book, syllabus, on, names, place, today, options, progress, in_words=in_words)


def _next_one(tx: Reading, on: date) -> str:
    days = [each.on for group in list_groups(tx) for each in planned_sessions(tx, group.name)]
    later = min((day for day in days if day > on), default=None)
    return f"The next one is {day_in_words(later)}." if later is not None else ""
