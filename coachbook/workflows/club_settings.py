"""The club's own ways with letters, papers and dates: reading what is asked for, and keeping it."""

from pathlib import Path

from coachbook.club.book import Book, set_settings
from coachbook.errors import CoachbookError
from coachbook.files.reading import usual_book
from coachbook.model.print_options import PaperOptions
from coachbook.model.settings import ClubSettings
from coachbook.workflows.members import open_club


def settings_of_club(path: Path | None) -> ClubSettings:
    """The club's own ways; the usual ones if there is no club and none is named. Raises CoachbookError if
    the book that is named cannot be opened."""
    return open_club(path).settings if path is not None or usual_book().exists() else ClubSettings()


def papers_of(settings: ClubSettings) -> PaperOptions:
    """How a club's papers are printed where nothing else is asked for."""
    usual = PaperOptions()
    return PaperOptions(settings.paper, settings.notation, settings.letters or usual.letters)


def checked_letters(letters: str) -> str:
    """Letters for the pieces as capitals. Raises CoachbookError for letters that cannot be."""
    return PaperOptions(letters=letters.strip().upper()).letters


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


def folder_of_papers(book: Book) -> Path:
    """Where papers go that are not sent elsewhere, for a front end that is in no folder of its own: where the
    club has chosen none, beside the book."""
    return book.path.absolute().parent / book.settings.papers


def keep_settings(book: Book, settings: ClubSettings) -> None:
    """Keep the club's own ways. Letters come out of `checked_letters`, a folder out of `checked_folder`."""
    with book.writing() as tx:
        set_settings(tx, settings)
