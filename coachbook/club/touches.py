"""Touches of a screen, each with a code of its own: sent again after a break, it does not count again."""

import re
from datetime import UTC, datetime, timedelta

from sqlmodel import col, delete, select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import TouchRow
from coachbook.errors import CoachbookError

KEPT = timedelta(30)
"""How long a code is known: a screen that was off for longer is loaded anew."""

_CODE = re.compile("[0-9a-f-]{8,64}")
"""A number, such as a UUID: no name can stand in it."""


def is_kept(tx: Reading, code: str) -> bool:
    """Whether a touch is in the book already."""
    return tx.session.exec(select(TouchRow.code).where(TouchRow.code == code)).first() is not None


def check_code(code: str) -> None:
    """Raises CoachbookError for a code that is none."""
    if not _CODE.fullmatch(code):
        raise CoachbookError("The page sent a touch without its number.", "Load the page again.")


def remember(tx: Writing, code: str, now: datetime) -> None:
    """Notes, in the transaction that keeps it, that a touch is in the book; `now` is aware. Raises
    CoachbookError for a code that is none."""
    check_code(code)
    tx.session.exec(delete(TouchRow).where(col(TouchRow.kept_at) < now.astimezone(UTC) - KEPT))
    tx.session.add(TouchRow(code=code, kept_at=now.astimezone(UTC)))
    tx.session.flush()
