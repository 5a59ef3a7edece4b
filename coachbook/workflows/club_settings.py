"""The club's own ways with letters, papers and dates: reading what is asked for, and keeping it."""

from dataclasses import dataclass, replace
from pathlib import Path

from coachbook.club.book import Book, rename_club, set_settings
from coachbook.club.names import clean_name
from coachbook.errors import CoachbookError
from coachbook.exercises.notation import MEN, likely_order, other_men, royals_look_swapped
from coachbook.files.reading import usual_book
from coachbook.model.print_options import PaperOptions
from coachbook.model.settings import ClubSettings, DateStyle
from coachbook.wording.counting import show_dates
from coachbook.wording.paper_words import ROYALS_LOOK_SWAPPED, letter_means_another
from coachbook.workflows.members import open_club


def settings_of_club(path: Path | None) -> ClubSettings:
    """The club's own ways; the usual ones if there is no club and none is named. Raises CoachbookError if
    the book that is named cannot be opened."""
    return open_club(path).settings if path is not None or usual_book().exists() else ClubSettings()


def checked_letters(letters: str) -> str:
    """Letters for the pieces as capitals. Raises CoachbookError for letters that cannot be."""
    return PaperOptions(letters=letters.strip().upper()).letters


@dataclass(frozen=True, slots=True)
class LettersMean:
    """What letters for the pieces would mean: each man with its letter; the same letters in the order that a
    language has them in, None if they are in one; and what is easily mistaken in them."""

    men: tuple[tuple[str, str], ...]
    likely: str | None
    careful: tuple[str, ...]


def what_letters_mean(letters: str) -> LettersMean:
    """What a coach should see before letters are kept, which come out of `checked_letters`."""
    careful = [letter_means_another(*each) for each in other_men(letters)]
    careful += [ROYALS_LOOK_SWAPPED] if royals_look_swapped(letters) else []
    return LettersMean(tuple(zip(MEN, letters, strict=True)), likely_order(letters), tuple(careful))


def checked_club_name(name: str) -> str:
    """The club's name as it is kept. Raises CoachbookError for one that cannot be."""
    return clean_name(name, "club")


def checked_folder(folder: Path) -> str:
    """The whole path of a folder for papers, which need not be there yet. Raises CoachbookError if it is
    something else."""
    try:
        whole = folder.expanduser().absolute()
        is_free = whole.is_dir() or not whole.exists()
    except (OSError, ValueError, RuntimeError) as error:
        raise CoachbookError(f"The folder '{folder}' cannot be used.", "Choose another one.") from error
    if not is_free:
        raise CoachbookError(f"'{folder}' is not a folder.", "Choose a folder for the papers.")
    if not str(whole).isprintable():
        raise CoachbookError("The folder's name has signs that cannot be seen.", "Choose another one.")
    return str(whole)


def opened_for_pages(path: Path | None) -> Book:
    """The book for a front end that shows pages: papers go beside the book, and days are shown as on paper,
    unless the club has chosen otherwise. Raises CoachbookError as `open_club` does."""
    book = open_club(path)
    usual = book.settings.dates is DateStyle.USUAL
    dates = DateStyle.DAY_FIRST if usual else book.settings.dates
    show_dates(dates)
    return replace(book, settings=replace(book.settings, folder=str(folder_of_papers(book)), dates=dates))


def folder_of_papers(book: Book) -> Path:
    """Where papers go that are not sent elsewhere, for a front end that is in no folder of its own: where the
    club has chosen none, beside the book."""
    return book.path.absolute().parent / book.settings.papers


def keep_settings(book: Book, settings: ClubSettings, club_name: str | None = None) -> None:
    """Keep the club's own ways, and its name (None: as it is); sheets that were made keep the name they have.
    Letters come out of `checked_letters`, a folder out of `checked_folder`. Raises CoachbookError for a name
    that cannot be."""
    with book.writing() as tx:
        set_settings(tx, settings)
        if club_name is not None:
            rename_club(tx, club_name)
