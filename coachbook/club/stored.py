"""Worksheets and term plans as the JSON text that a row holds, and back, without loss."""

from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from coachbook.errors import CoachbookError
from coachbook.model.term import TermPlan
from coachbook.model.worksheet import Worksheet

Stored = TypeVar("Stored")

_WORKSHEET = TypeAdapter(Worksheet)
_TERM_PLAN = TypeAdapter(TermPlan)


def worksheet_text(worksheet: Worksheet) -> str:
    """The worksheet as JSON."""
    return _WORKSHEET.dump_json(worksheet).decode()


def worksheet_from(text: str, code: str) -> Worksheet:
    """Raises CoachbookError, naming the sheet's `code`, if the text is no worksheet."""
    return _read(_WORKSHEET, text, f"sheet {code}")


def term_plan_text(plan: TermPlan) -> str:
    """The plan as JSON."""
    return _TERM_PLAN.dump_json(plan).decode()


def term_plan_from(text: str, group: str) -> TermPlan:
    """Raises CoachbookError, naming the `group`, if the text is no term plan."""
    return _read(_TERM_PLAN, text, f"term plan of group '{group}'")


def _read(adapter: TypeAdapter[Stored], text: str, what: str) -> Stored:
    try:
        return adapter.validate_json(text, strict=True)
    except (ValidationError, CoachbookError) as error:
        raise CoachbookError(f"The {what} is damaged in the book.", "Bring back a backup of it.") from error
