"""The tables of the book. Row classes never leave `coachbook.club`.

A student's name stands in one column only, and everything that belongs to a student or
to a log entry goes with it (ON DELETE CASCADE). Rules that a table cannot state, such as
names that differ only in case, are kept by the functions that write.

Every fact that cannot be had from another one is stored twice, in its table and in an index: SQLite's
own check compares the two, and finds a flipped bit.
"""

from datetime import date
from typing import Any

from pydantic import AwareDatetime
from sqlalchemy import CheckConstraint, ForeignKeyConstraint, Index, MetaData
from sqlmodel import Field, SQLModel

# Constraints have names, so that a later migration can drop or change them.
_NAMES = {
    "ix": "ix_%(column_0_N_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

# A table whose key is its order on disk: no hidden row number, no second tree for the key.
_KEYED: dict[str, Any] = {"sqlite_with_rowid": False}


# A number that was given is never given again, so that what still names it reaches nobody else.
_NUMBERED: dict[str, Any] = {"sqlite_autoincrement": True}


def _copy_of(table: str, *columns: str) -> Index:
    """The second copy of what stands in these columns. The key comes first, so that it is used like it."""
    return Index(f"ix_{table}_copy", *columns)


class Row(SQLModel):
    """The base of all rows, with tables of its own. An `id` is None only until the row is written."""

    metadata = MetaData(naming_convention=_NAMES)


class ClubRow(Row, table=True):
    """The club itself: always one row. `letters` are its own letters for the pieces, and the other columns
    its own ways with papers and dates; None where it has not chosen."""

    __tablename__ = "club"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        _copy_of("club", "name", "letters", "paper", "notation", "folder", "dates"),
    )

    id: int = Field(default=1, primary_key=True)
    name: str
    letters: str | None = None
    paper: str | None = None
    notation: str | None = None
    folder: str | None = None
    dates: str | None = None


class StudentRow(Row, table=True):
    """A student: the one place where the name stands."""

    __tablename__ = "student"
    __table_args__ = (_NUMBERED,)

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)


class GroupRow(Row, table=True):
    """A teaching group."""

    __tablename__ = "teaching_group"
    __table_args__ = (_NUMBERED,)

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)


class MembershipRow(Row, table=True):
    """A student is in a group."""

    __tablename__ = "membership"
    __table_args__ = (_KEYED,)

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    group_id: int = Field(foreign_key="teaching_group.id", primary_key=True, index=True)


class SheetRow(Row, table=True):
    """A worksheet: `body` is all of it as JSON, the other columns are for finding it."""

    __tablename__ = "sheet"

    id: int = Field(default=None, primary_key=True)
    code: str = Field(unique=True)
    unit: str
    made_on: date = Field(index=True)
    body: str


class SheetItemRow(Row, table=True):
    """An item of a worksheet: what an answer refers to, and the exercise's key and unit."""

    __tablename__ = "sheet_item"
    __table_args__ = (CheckConstraint("item >= 1", name="counts_from_1"), _KEYED)

    sheet_id: int = Field(foreign_key="sheet.id", primary_key=True)
    item: int = Field(primary_key=True)
    unit: str = Field(index=True)
    key: str


class HandoutRow(Row, table=True):
    """A worksheet was given to a student."""

    __tablename__ = "handout"
    __table_args__ = (_KEYED,)

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    sheet_id: int = Field(foreign_key="sheet.id", primary_key=True, index=True)


class TermPlanRow(Row, table=True):
    """The plan of a group's term as JSON; the newest of a `term` (a number within the group) is in force.

    Days that two terms are planned for belong to the one with the higher number. `change` says what was
    done, in the log entry; plans of the first version have none.
    """

    __tablename__ = "term_plan"
    __table_args__ = (_copy_of("term_plan", "group_id", "term", "entry_id", "change"),)

    id: int = Field(default=None, primary_key=True)
    group_id: int = Field(foreign_key="teaching_group.id", index=True)
    term: int
    entry_id: int | None = Field(foreign_key="log_entry.id", ondelete="CASCADE", index=True)
    change: str
    body: str


class LogEntryRow(Row, table=True):
    """One act of logging. Of two facts about the same thing the one of the later entry holds."""

    __tablename__ = "log_entry"
    __table_args__ = (_copy_of("log_entry", "logged_at"), _NUMBERED)

    id: int = Field(default=None, primary_key=True)
    logged_at: AwareDatetime


class AttendanceRow(Row, table=True):
    """A student was there, perhaps late, or was not, on an evening (local date). `guest_of` is the group
    whose evening it was, where the student was not in it; None also in rows of versions that did not note
    it."""

    __tablename__ = "attendance"
    __table_args__ = (
        _copy_of("attendance", "student_id", "evening", "entry_id", "present", "late", "guest_of"),
        _KEYED,
    )

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    evening: date = Field(primary_key=True, index=True)
    entry_id: int = Field(foreign_key="log_entry.id", ondelete="CASCADE", primary_key=True, index=True)
    present: bool
    late: bool
    guest_of: int | None = Field(foreign_key="teaching_group.id", ondelete="SET NULL")


class AnswerRow(Row, table=True):
    """A marked answer to an item of a sheet that the student was given. `slip` is empty when right."""

    __tablename__ = "answer"
    __table_args__ = (
        ForeignKeyConstraint(
            ["student_id", "sheet_id"], ["handout.student_id", "handout.sheet_id"], ondelete="CASCADE"
        ),
        ForeignKeyConstraint(["sheet_id", "item"], ["sheet_item.sheet_id", "sheet_item.item"]),
        Index("ix_answer_sheet_id_item", "sheet_id", "item"),
        Index("ix_answer_student_id_evening", "student_id", "evening"),
        CheckConstraint("slip = '' OR NOT is_right", name="right_has_no_slip"),
        _copy_of(
            "answer",
            *("student_id", "sheet_id", "item", "entry_id", "evening", "written", "is_right", "slip"),
        ),
        _KEYED,
    )

    student_id: int = Field(primary_key=True)
    sheet_id: int = Field(primary_key=True)
    item: int = Field(primary_key=True)
    entry_id: int = Field(foreign_key="log_entry.id", ondelete="CASCADE", primary_key=True, index=True)
    evening: date
    written: str
    is_right: bool
    slip: str


class PlayOutRow(Row, table=True):
    """A student played a position out; `moves` are in UCI, and `clocks` the seconds at which they were made,
    each with spaces between, or empty."""

    __tablename__ = "play_out"
    __table_args__ = (
        CheckConstraint("allowance >= 1", name="allows_a_move"),
        CheckConstraint("used >= 0", name="used_is_counted"),
        _copy_of(
            "play_out",
            *("student_id", "entry_id", "unit", "evening", "fen", "goal"),
            *("allowance", "end", "used", "card", "moves", "slip", "against_coachbook", "clocks"),
        ),
        _KEYED,
    )

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    entry_id: int = Field(foreign_key="log_entry.id", ondelete="CASCADE", primary_key=True, index=True)
    unit: str
    evening: date
    fen: str
    goal: str
    allowance: int
    end: str
    used: int | None
    card: str
    moves: str
    slip: str
    against_coachbook: bool
    clocks: str


class BoardGameRow(Row, table=True):
    """A game of a student's against coachbook, at a board in the room on an evening, as far as it has come:
    from a `play_out` of a `unit`, perhaps `mirrored`. The `id` is drawn by chance. `moves` are in UCI, and
    `clocks` the seconds at which they were made, with spaces between; `moved_at` is when the last one
    was."""

    __tablename__ = "board_game"
    __table_args__ = (
        _copy_of(
            "board_game",
            *("student_id", "evening", "unit", "play_out", "mirrored"),
            *("moves", "clocks", "begun_at", "moved_at", "stopped", "entry_id"),
        ),
    )

    id: int = Field(default=None, primary_key=True)
    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE")
    evening: date = Field(index=True)
    unit: str
    play_out: int
    mirrored: bool
    moves: str
    clocks: str
    begun_at: AwareDatetime
    moved_at: AwareDatetime
    stopped: bool
    entry_id: int | None = Field(foreign_key="log_entry.id", ondelete="SET NULL", index=True)


class ObservationRow(Row, table=True):
    """What the coach saw of a student in a unit."""

    __tablename__ = "observation"
    __table_args__ = (
        _copy_of("observation", "student_id", "entry_id", "unit", "evening", "note", "impression"),
        _KEYED,
    )

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    entry_id: int = Field(foreign_key="log_entry.id", ondelete="CASCADE", primary_key=True, index=True)
    unit: str
    evening: date
    note: str
    impression: str


class TakenBackRow(Row, table=True):
    """A fact of a log entry that was taken back, so that it can be brought back: the row of a table of
    facts as JSON. What is of a student goes with the student, a plan with its group."""

    __tablename__ = "taken_back"
    __table_args__ = (
        _copy_of(
            *("taken_back", "entry_id", "logged_at", "taken_back_at"),
            *("student_id", "group_id", "fact", "body"),
        ),
    )

    id: int = Field(default=None, primary_key=True)
    entry_id: int = Field(index=True)
    logged_at: AwareDatetime
    taken_back_at: AwareDatetime
    student_id: int | None = Field(foreign_key="student.id", ondelete="CASCADE", index=True)
    group_id: int | None = Field(foreign_key="teaching_group.id", ondelete="CASCADE", index=True)
    fact: str
    body: str


class PreparedRow(Row, table=True):
    """What was made ready for a student in a group for an evening: a sheet and what was `wanted` on it
    ("queen-box:4 rook-box:2"), and the codes of cards with spaces between."""

    __tablename__ = "prepared"
    __table_args__ = (
        _copy_of("prepared", "student_id", "group_id", "evening", "sheet_id", "wanted", "cards"),
        _KEYED,
    )

    student_id: int = Field(foreign_key="student.id", ondelete="CASCADE", primary_key=True)
    group_id: int = Field(foreign_key="teaching_group.id", primary_key=True)
    evening: date = Field(primary_key=True, index=True)
    sheet_id: int | None = Field(foreign_key="sheet.id", index=True)
    wanted: str
    cards: str


class ClosingRow(Row, table=True):
    """A group's evening was closed: when, for the last time."""

    __tablename__ = "closing"
    __table_args__ = (_copy_of("closing", "group_id", "evening", "closed_at"), _KEYED)

    group_id: int = Field(foreign_key="teaching_group.id", primary_key=True)
    evening: date = Field(primary_key=True)
    closed_at: AwareDatetime


class TouchRow(Row, table=True):
    """A touch of a screen that is in the book, by the code that the screen gave it: sent again, it does not
    count again. It says nothing of anybody."""

    __tablename__ = "touch"
    __table_args__ = (_KEYED,)

    code: str = Field(primary_key=True)
    kept_at: AwareDatetime = Field(index=True)
