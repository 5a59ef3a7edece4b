"""The syllabus: its levels, a unit with its lesson, its rules, and fresh examples."""

from functools import partial

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.shown import shown
from coachbook.desk.work_page import shown_when_made
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Unit
from coachbook.workflows.sheet_shown import ShownExercise, fresh_example
from coachbook.workflows.unit_view import ShownRules, shown_rules, unit_view

_MOST_EXAMPLES = 999_999


def show_all(asked: Asked) -> Response:
    """All levels with their units."""
    return shown(asked, "syllabus.html", levels=asked.syllabus.levels)


def show_unit(asked: Asked) -> Response:
    """What a unit is about, and all that its lesson needs."""
    view = unit_view(asked.syllabus, unit_asked(asked).code, letters_of(asked))
    return shown(asked, "unit.html", view=view, base=unit_path(view.unit))


def show_rules(asked: Asked) -> Response:
    """The rules of a unit with pictures."""
    unit, letters = unit_asked(asked), letters_of(asked)

    def show(rules: ShownRules) -> Response:
        return shown(asked, "unit_rules.html", unit=unit, rules=rules, back=unit_path(unit))

    make, title = partial(shown_rules, unit, letters), f"The rules: {unit.title}"
    return shown_when_made(asked, f"{unit_path(unit)}/rules", letters, title, make, show)


def show_example(asked: Asked) -> Response:
    """A fresh exercise of a unit, another one for each seed."""
    unit, kind, seed = unit_asked(asked), str(asked.values["kind"]), _seed(asked)
    base = f"{unit_path(unit)}/example/{kind}"

    def show(exercise: ShownExercise) -> Response:
        return shown(
            asked,
            "unit_example.html",
            unit=unit,
            each=exercise,
            another=f"{base}?seed={seed + 1}",
            back=unit_path(unit),
        )

    letters, title = letters_of(asked), f"An example: {unit.title}"
    make = partial(fresh_example, unit, kind, seed, letters)
    return shown_when_made(asked, f"{base}?seed={seed}", letters, title, make, show)


def unit_asked(asked: Asked) -> Unit:
    """The unit in the address. Raises CoachbookError if there is none."""
    return asked.syllabus.unit(str(asked.values["unit"]))


def unit_path(unit: Unit) -> str:
    """The address of a unit's page."""
    return f"/syllabus/{unit.code}"


def letters_of(asked: Asked) -> str:
    """The club's own letters for the men, else English ones; a syllabus is read without a club, too."""
    own = asked.book().letters if asked.desk.has_book else ""
    return own or PaperOptions().letters


def _seed(asked: Asked) -> int:
    given = asked.query.get("seed", "1")
    if not (given.isascii() and given.isdecimal()) or int(given) > _MOST_EXAMPLES:
        raise CoachbookError("There is no such example.", "Go back to the page of its unit.")
    return int(given)


_UNIT = "/syllabus/{unit}"

PAGES = (
    Page("/syllabus", show_all),
    Page(_UNIT, show_unit),
    Page(f"{_UNIT}/rules", show_rules),
    Page(f"{_UNIT}/example/{{kind}}", show_example),
)
