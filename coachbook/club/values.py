"""Values as they stand in a book's columns, read with a check: SQLite lets any column hold anything."""

from collections.abc import Callable
from datetime import date, datetime
from enum import StrEnum
from typing import Any, TypeVar

from sqlalchemy import Boolean, Date, DateTime, Dialect, Integer, String
from sqlalchemy.dialects import sqlite
from sqlalchemy.types import TypeEngine

from coachbook.errors import CoachbookError
from coachbook.model.dates import read_date

Named = TypeVar("Named", bound=StrEnum)
_Read = Callable[[Any], Any]  # what SQLAlchemy is to call for each value of a column


class DamagedValueError(ValueError):
    """A column holds what it cannot hold, such as "soon" where a date should stand."""

    def __init__(self, value: object, what: str) -> None:
        super().__init__(f"{str(value)[:40]!a} is {what}")


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
    """A text as it stands in a column. Raises DamagedValueError."""
    if not isinstance(value, str):
        raise DamagedValueError(value, "no text")
    return value


def stored_number(value: object) -> int:
    """A whole number as it stands in a column. Raises DamagedValueError."""
    if not isinstance(value, int):
        raise DamagedValueError(value, "no whole number")
    return value


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
        return _checked(super().result_processor(dialect, coltype), int, "no whole number")


class _YesOrNo(Boolean):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:  # noqa: ARG002 - as the others
        return _checked({0: False, 1: True}.get, bool, "neither yes nor no")


class _Day(sqlite.DATE):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:  # noqa: ARG002 - as the others
        return _checked(stored_date, date, "no date")


class _Moment(sqlite.DATETIME):
    def result_processor(self, dialect: Dialect, coltype: object) -> _Read:
        return _checked(super().result_processor(dialect, coltype), datetime, "no date and time")


CHECKED_TYPES: dict[type[TypeEngine[Any]], type[TypeEngine[Any]]] = {
    String: _Text,
    Integer: _Number,
    Boolean: _YesOrNo,
    Date: _Day,
    DateTime: _Moment,
}
"""What takes the place of SQLAlchemy's own types (its dialect's `colspecs`)."""
