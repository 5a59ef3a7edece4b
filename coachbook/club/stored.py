"""Worksheets and term plans as the JSON text that a row holds, and back, without loss."""

from functools import cache
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from coachbook.errors import CoachbookError
from coachbook.model.term import TermPlan
from coachbook.model.worksheet import Worksheet

Stored = TypeVar("Stored")


# Made at first use: it takes as long as a tenth of a command's start.
@cache
def _worksheets() -> TypeAdapter[Worksheet]:
    return TypeAdapter(Worksheet)


@cache
def _term_plans() -> TypeAdapter[TermPlan]:
    return TypeAdapter(TermPlan)


def worksheet_text(worksheet: Worksheet) -> str:
    """The worksheet as JSON."""
    return _worksheets().dump_json(worksheet).decode()


def worksheet_from(text: str, code: str) -> Worksheet:
    """Raises CoachbookError, naming the sheet's `code`, if the text is no worksheet."""
    return _read(_worksheets(), text, f"sheet {code}")


def term_plan_text(plan: TermPlan) -> str:
    """The plan as JSON."""
    return _term_plans().dump_json(plan).decode()


def term_plan_from(text: str, group: str) -> TermPlan:
    """Raises CoachbookError, naming the `group`, if the text is no term plan."""
    return _read(_term_plans(), text, f"term plan of group '{group}'")


def _read(adapter: TypeAdapter[Stored], text: str, what: str) -> Stored:
    try:
        return adapter.validate_json(text, strict=True)
    except (ValidationError, CoachbookError) as error:
        raise CoachbookError(f"The {what} is damaged in the book.", "Bring back a backup of it.") from error
