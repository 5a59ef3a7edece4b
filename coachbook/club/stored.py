"""How values stand in the book's columns: each is checked when it is read, and JSON carries a checksum.

The checksum is the first member of the JSON object (see `sealed`), so that the text stays JSON, and it
is read only if it is what was written. Texts that coachbook 0.1.0 wrote have none.
"""

from collections.abc import Callable
from dataclasses import fields
from datetime import date, datetime
from enum import StrEnum
from functools import cache, lru_cache
from hashlib import sha256
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError
from sqlalchemy import Boolean, Date, DateTime, Dialect, Integer, String
from sqlalchemy.dialects import sqlite
from sqlalchemy.types import TypeEngine

from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.problem import read_date
from coachbook.model.term_plan import TermPlan
from coachbook.model.worksheet import Worksheet

_BEGINNING = '{"sha256":"'
_LENGTH = 64


def sealed(text: str) -> str:
    """A JSON object, with the checksum of all that it says as its first member."""
    return f'{_BEGINNING}{_checksum(text)}",{text[1:]}'


def is_sealed(text: str) -> bool:
    """Whether a text carries a checksum, right or wrong."""
    return text.startswith(_BEGINNING)


def opened(text: str) -> str | None:
    """What was sealed; None if that is not what it was. A text without a checksum is given back as it is."""
    if not is_sealed(text):
        return text
    end = len(_BEGINNING) + _LENGTH
    said = f"{{{text[end + 2 :]}"
    return said if text == sealed(said) else None


def _checksum(text: str) -> str:
    return sha256(text.encode()).hexdigest()


Named = TypeVar("Named", bound=StrEnum)
_Read = Callable[[Any], Any]  # what SQLAlchemy is to call for each value of a column


class DamagedValueError(ValueError):
    """A column holds what it cannot hold, such as "soon" where a date should stand."""

    def __init__(self, value: object, what: str) -> None:
        super().__init__(f"{str(value)[:40]!a} is {what}")


@lru_cache(maxsize=10_000)
def stored_date(value: object) -> date:
    """A day as it stands in a column. Raises DamagedValueError, also for a year far from ours."""
    try:
        found = read_date(value)  # type: ignore[arg-type] # a column may hold anything
    except (CoachbookError, TypeError) as error:
        raise DamagedValueError(value, "no date") from error
    if found.isoformat() != value:  # as "20260910", which does not sort among the others
        raise DamagedValueError(value, "no date")
    return found


def stored_text(value: object) -> str:
    """A text as it stands in a column. Raises DamagedValueError if it is none."""
    if not isinstance(value, str):
        raise DamagedValueError(value, "no text")
    return value


def stored_number(value: object) -> int:
    """A whole number as it stands in a column. Raises DamagedValueError if it is none."""
    if not isinstance(value, int):
        raise DamagedValueError(value, "not a whole number")
    return value


def stored_numbers(value: str) -> tuple[int, ...]:
    """Whole numbers with spaces between. Raises DamagedValueError if they are none."""
    try:
        return tuple(int(each) for each in value.split())
    except ValueError as error:
        raise DamagedValueError(value, "no whole numbers") from error


def stored_as(kind: type[Named], value: str, what: str) -> Named:
    """One of several words; `what` they are ("goal"). Raises DamagedValueError if it is none of them."""
    try:
        return kind(value)
    except ValueError as error:
        raise DamagedValueError(value, f"no {what}") from error


def _checked(read: _Read | None, kind: type, what: str) -> _Read:
    """Reads a value of this kind or raises DamagedValueError; None stands for no value at all."""

    def processed(value: object) -> object:
        if value is None:
            return None
        try:
            found = value if read is None else read(value)
        except (ValueError, TypeError) as error:
            raise DamagedValueError(value, what) from error
        if not isinstance(found, kind):
            raise DamagedValueError(value, what)
        return found

    return processed


class _Text(String):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:
        return _checked(super().result_processor(dialect, coltype), str, "no text")


class _Number(Integer):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:
        return _checked(super().result_processor(dialect, coltype), int, "not a whole number")


class _YesOrNo(Boolean):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:  # noqa: ARG002 - as the others
        return _checked({0: False, 1: True}.get, bool, "neither yes nor no")


class _Day(sqlite.DATE):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:  # noqa: ARG002 - as the others
        return _checked(stored_date, date, "no date")


class _Moment(sqlite.DATETIME):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:
        return _checked(super().result_processor(dialect, coltype), datetime, "not a date and time")


CHECKED_TYPES: dict[type[TypeEngine[Any]], type[TypeEngine[Any]]] = {
    String: _Text,
    Integer: _Number,
    Boolean: _YesOrNo,
    Date: _Day,
    DateTime: _Moment,
}
"""What takes the place of SQLAlchemy's own types (its dialect's `colspecs`)."""


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
        Advice(Step.RESTORE_AND_PRINT_AGAIN),
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
            Advice(Step.RESTORE_A_BACKUP),
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
