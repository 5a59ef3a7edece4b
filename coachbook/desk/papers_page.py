"""All papers but an evening's: worksheets, lesson plans, play-out cards, posters, and papers for review."""

import re
from secrets import randbelow

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.made_papers import MadePapers, make_papers
from coachbook.desk.paper_choice import BOARDS, chosen_paper, first_choice
from coachbook.desk.shown import shown
from coachbook.model.print_options import PaperOptions
from coachbook.model.settings import paper_options
from coachbook.wording.counting import counted, day_in_words
from coachbook.wording.paper_words import CUT_IN_HALF
from coachbook.wording.people import advice_in_words
from coachbook.workflows.members import groups_of, students_of
from coachbook.workflows.paper_orders import (
    MOST_ITEMS,
    ForWhom,
    SheetOrder,
    order_cards,
    order_lesson,
    order_poster,
    order_review,
    order_sheets,
)
from coachbook.workflows.posters import posters_known
from coachbook.workflows.printed_sheets import PrintedSheets
from coachbook.workflows.sheet_shown import sheets_listed

_BACK = "/papers"
_SEEDS = 1_000_000
_ITEMS = 6
_LATEST = 10


def show(asked: Asked) -> Response:
    """A form for each sort of paper, and the sheets that were made last."""
    book = asked.book()
    return shown(
        asked,
        "papers.html",
        levels=asked.syllabus.levels,
        unit=asked.query.get("unit", ""),
        groups=groups_of(book),
        students=students_of(book),
        posters=posters_known(),
        items=_ITEMS,
        most=MOST_ITEMS,
        boards=BOARDS,
        chosen=first_choice(asked),
        settings=book.settings,
        sheets=sheets_listed(book, None, _LATEST),
        titles=asked.syllabus.titles,
    )


def sheet(asked: Asked) -> Response:
    """Make a worksheet, or several."""
    options = chosen_paper(asked, asked.book().settings)
    order = SheetOrder(
        unit=asked.text("unit"),
        whom=whom(asked),
        items=asked.number("items"),
        forms=asked.text("way") == "forms",
        each=asked.text("way") == "each",
        own=asked.text("own"),
        kind=asked.text("kind"),
    )
    seed, today = randbelow(_SEEDS), asked.today

    def make(progress: Progress) -> MadePapers:
        made = order_sheets(asked.book(), asked.syllabus, order, seed, today, options, progress)
        return as_made(made, options)

    return make_papers(asked, "A worksheet", _BACK, make)


def lesson(asked: Asked) -> Response:
    """Make the lesson plan of a unit."""
    unit, chosen, today = asked.text("unit"), whom(asked), asked.today

    def make(_: Progress) -> MadePapers:
        book = asked.book()
        path = order_lesson(book, asked.syllabus, unit, chosen, today, paper_options(book.settings, None))
        return MadePapers("A lesson plan", (("Lesson plan", path),))

    return make_papers(asked, "A lesson plan", _BACK, make)


def cards(asked: Asked) -> Response:
    """Make the play-out cards of a unit."""
    unit, chosen, for_two = asked.text("unit"), whom(asked), bool(asked.text("two"))

    def make(_: Progress) -> MadePapers:
        book = asked.book()
        options = paper_options(book.settings, None)
        path, number = order_cards(book, asked.syllabus, unit, chosen, options, for_two=for_two)
        return MadePapers("Play-out cards", (("Cards", path),), (f"{counted(number, 'card')}.",))

    return make_papers(asked, "Play-out cards", _BACK, make)


def poster(asked: Asked) -> Response:
    """Make the poster of a method."""
    method = asked.text("method")

    def make(_: Progress) -> MadePapers:
        book = asked.book()
        path = order_poster(book, asked.syllabus, method, paper_options(book.settings, None))
        return MadePapers("A poster", (("Poster", path),))

    return make_papers(asked, "A poster", _BACK, make)


def review(asked: Asked) -> Response:
    """Make papers for those who are due."""
    chosen, seed, today = whom(asked), randbelow(_SEEDS), asked.today

    def make(_: Progress) -> MadePapers:
        book = asked.book()
        options = paper_options(book.settings, None)
        due, made = order_review(book, asked.syllabus, chosen, today, seed, options)
        title = f"Due by {day_in_words(due.due_by)}"
        if made is None:
            return MadePapers(title, (), ("Nobody needs review.",))
        short = tuple(f"No fresh positions are left for {name}." for name in made.short)
        files = tuple((_review_label(path.stem), path) for path in made.files)
        why = tuple(f"{each.student}: {advice_in_words(each)}" for each in due.advice)
        return MadePapers(title, files, (*short, *why), tuple(each.code for each, _ in made.handed_out))

    return make_papers(asked, "Papers for review", _BACK, make)


def as_made(made: PrintedSheets, options: PaperOptions) -> MadePapers:
    """Sheets with their key, and what is to be told of them."""
    told = [f"{each.code}: {', '.join(names)}" if names else each.code for each, names in made.handed_out]
    told += [CUT_IN_HALF] if options.two_up and options.two_sides else []
    told += [made.note] if made.note else []
    codes = tuple(each.code for each, _ in made.handed_out)
    files = (("To print", made.sheets_pdf), ("The key, for you", made.key_pdf))
    return MadePapers(made.handed_out[0][0].unit_title, files, tuple(told), codes)


def whom(asked: Asked) -> ForWhom:
    """For whom a paper is to be; nobody in particular, if none is chosen."""
    found = re.fullmatch("(group|student)-([0-9]{1,9})", asked.text("whom"))
    if found is None:
        return ForWhom()
    number = int(found[2])
    return ForWhom(group=number) if found[1] == "group" else ForWhom(student=number)


def _review_label(name: str) -> str:
    endings = {"-key": "The key, for you", "-cards": "Play-out cards"}
    return next((label for ending, label in endings.items() if name.endswith(ending)), "To print")


PAGES = (
    Page("/papers", show),
    Page("/papers/sheet", sheet, "POST"),
    Page("/papers/lesson", lesson, "POST"),
    Page("/papers/cards", cards, "POST"),
    Page("/papers/poster", poster, "POST"),
    Page("/papers/review", review, "POST"),
)
