"""Worksheets and term plans as the JSON text that a row holds, and back, without loss.

What is written carries a checksum (see `seal`), and is read only if it is what was written.
"""

from dataclasses import fields
from functools import cache
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from coachbook.club.seal import opened, sealed
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
    return sealed(_worksheets().dump_json(worksheet).decode())


def worksheet_from(text: str, code: str) -> Worksheet:
    """The worksheet that a text holds. Raises CoachbookError, naming the sheet's `code`, if it is damaged,
    or is no worksheet."""
    sheet = _read(_worksheets(), Worksheet, text)
    if sheet is None:
        raise damaged_sheet(code)
    return sheet


def damaged_sheet(code: str) -> CoachbookError:
    """The error for a sheet that cannot be relied on."""
    return CoachbookError(
        f"The sheet {code} is damaged in the book.",
        "Bring back a backup with 'coachbook restore NAME', then print it again.",
    )


def term_plan_text(plan: TermPlan) -> str:
    """The plan as JSON."""
    return sealed(_term_plans().dump_json(plan).decode())


def term_plan_from(text: str, group: str) -> TermPlan:
    """The plan that a text holds. Raises CoachbookError, naming the `group`, if it is damaged, or is no
    term plan."""
    plan = _read(_term_plans(), TermPlan, text)
    if plan is None:
        raise CoachbookError(
            f"The term plan of group '{group}' is damaged in the book.",
            "Bring back a backup with 'coachbook restore NAME'.",
        )
    return plan


def _read(adapter: TypeAdapter[Stored], kind: type[Worksheet | TermPlan], text: str) -> Stored | None:
    said = opened(text)
    # A damaged checksum must not pass for a text that has none.
    if said is None or not said.startswith(f'{{"{fields(kind)[0].name}":'):
        return None
    try:
        return adapter.validate_json(said, strict=True)
    except (ValidationError, CoachbookError):
        return None
