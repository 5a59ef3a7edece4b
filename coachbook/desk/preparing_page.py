"""Before an evening: what its papers are to be like, and then the papers, with what they took."""

from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from coachbook.desk.advice import in_words
from coachbook.desk.asked import Asked, Page, number_sent
from coachbook.desk.evening_page import evening_path
from coachbook.desk.jobs import Progress
from coachbook.desk.paper_choice import BOARDS, as_query, chosen_paper, first_choice
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.model.print_options import PaperOptions
from coachbook.wording.counting import day_in_words, listed
from coachbook.wording.paper_words import CUT_IN_HALF, cheaper_in_words, paper_in_words
from coachbook.workflows.club_settings import folder_of_papers
from coachbook.workflows.evening_papers import EveningPapers, evening_groups, evening_papers, prepare_groups
from coachbook.workflows.evening_places import evening_folder
from coachbook.workflows.preparing import PreparedEvening


@dataclass(frozen=True, slots=True)
class _Made:
    """What was made, as it was asked for."""

    evening: PreparedEvening
    options: PaperOptions


def ask(asked: Asked) -> Response:
    """Which groups, and what kind of papers."""
    book, on = asked.book(), asked.day("on")
    evening = evening_groups(book, on)
    return shown(
        asked,
        "preparing.html",
        evening=evening,
        back=evening_path(evening.groups[0].id, on),
        boards=BOARDS,
        chosen=first_choice(asked),
        settings=book.settings,
    )


def prepare(asked: Asked) -> Response:
    """Make the papers, and go to the page that has them."""
    on, options = asked.day("on"), chosen_paper(asked, asked.book().settings)
    groups = [number_sent(each) for each in asked.all("group") if each]

    def do(progress: Progress) -> str:
        # The book is opened here: how days are shown holds for the thread in which it was opened.
        book, today = asked.book(), asked.today
        made = prepare_groups(book, asked.syllabus, on, groups, today, options, progress, in_words=in_words)
        return asked.desk.outcomes.keep(_papers_path(on), _Made(made, options))

    title = f"The papers of {day_in_words(on)}"
    return at_work(asked, title, _asking_path(on), do)


def papers(asked: Asked) -> Response:
    """The two files of an evening; just after they were made, what they took and what has changed, too."""
    on = asked.day("on")
    view = evening_papers(asked.book(), on, asked.today)
    made = asked.desk.outcomes.find(_papers_path(on), _Made)
    values = _told(made, on) if made is not None else {"made": None}
    left = view.still_open
    return shown(
        asked,
        "prepared.html",
        view=view,
        back=evening_path(view.evening.groups[0].id, on),
        asking=_asking_path(on),
        files=_files(asked, view, made),
        folder=evening_folder(folder_of_papers(asked.book()), on),
        left=(left[0], evening_path(left[1].id, left[0])) if left else None,
        **values,
    )


def _told(made: _Made, on: date) -> dict[str, object]:
    """What the papers took, and each way that takes less with the form that has it chosen."""
    paper, now = made.evening.paper, made.options
    cheaper = [
        (
            cheaper_in_words(way.leaves, two_sides=way.two_sides, two_up=way.two_up, boards=way.boards),
            _asking_path(on)
            + as_query(
                way.boards or now.boards_a_page,
                large=now.large_print,
                two_sides=now.two_sides or way.two_sides,
                two_up=now.two_up or way.two_up,
            ),
        )
        for way in made.evening.cheaper
    ]
    return {
        "made": made.evening,
        "paper": paper_in_words(paper.leaves, paper.pages),
        "cut": CUT_IN_HALF if now.two_up and now.two_sides else "",
        "cheaper": cheaper,
    }


def _files(asked: Asked, view: EveningPapers, made: _Made | None) -> list[tuple[str, str, str]]:
    """For which groups, and the addresses of the file for the printer and of the one for the coach; those
    that were just made come first."""
    found = [("All groups", view.of_all)] if view.of_all is not None else []
    found += [(listed(names), files) for names, files in view.of_some]
    found.sort(key=lambda each: made is None or each[1][0] != made.evening.printer_pdf)
    add = asked.desk.made.add
    return [(told, add(printer), add(coach)) for told, (printer, coach) in found]


def _asking_path(on: date) -> str:
    return f"/evening/{on}/prepare"


def _papers_path(on: date) -> str:
    return f"/evening/{on}/papers"


PAGES = (
    Page("/evening/{on}/prepare", ask),
    Page("/evening/{on}/prepare", prepare, "POST"),
    Page("/evening/{on}/papers", papers),
)
