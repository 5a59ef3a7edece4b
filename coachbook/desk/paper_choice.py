"""What is chosen for papers on a form: boards a page, large print, both sides, two pages on one."""

from dataclasses import dataclass

from coachbook.desk.asked import Asked
from coachbook.model.print_options import BOARDS_A_PAGE, PaperOptions
from coachbook.model.settings import ClubSettings, paper_options

BOARDS = BOARDS_A_PAGE


@dataclass(frozen=True, slots=True)
class PaperChoice:
    """How the form stands at first."""

    boards: int
    large: bool
    two_sides: bool
    two_up: bool


def chosen_paper(asked: Asked, club: ClubSettings) -> PaperOptions:
    """What was sent, with the club's own ways. Raises CoachbookError for what does not go together."""
    return paper_options(
        club,
        None,
        boards=asked.number("boards"),
        large=bool(asked.text("large")),
        two_sides=bool(asked.text("two_sides")),
        two_up=bool(asked.text("two_up")),
    )


def first_choice(asked: Asked) -> PaperChoice:
    """As the page's address says, else as is usual."""
    usual = PaperOptions()
    boards = asked.query.get("boards", "")
    known = {str(number): number for number in BOARDS}
    return PaperChoice(
        boards=known.get(boards, usual.boards_a_page),
        large="large" in asked.query,
        two_sides="two_sides" in asked.query,
        two_up="two_up" in asked.query,
    )


def as_query(boards: int, *, large: bool, two_sides: bool, two_up: bool) -> str:
    """What `first_choice` reads, to stand after an address."""
    ticks = {"large": large, "two_sides": two_sides, "two_up": two_up}
    return "&".join([f"?boards={boards}", *(f"{name}=1" for name, ticked in ticks.items() if ticked)])
