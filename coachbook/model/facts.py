"""The slips that marking can name, as codes.

The least that does the job: a name to call the student by, and groups. No birth
dates, addresses, photos or contact details.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Goal
from coachbook.model.term_plan import Closure, PlanChange

_SLOWER = "slower:"


class Slip(StrEnum):
    """A named mistake in an answer.

    For NOT_QUICKEST marking says by how much, where it is known (see `slower`).
    """

    NOT_TRIED = "not tried"
    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"
    MISREAD_SIDE = "misread the side to move"
    STALEMATE = "stalemate"
    PIECE_LOST = "piece lost"
    NOT_MATE = "not mate"
    MISSED_MATE = "missed mate"
    NOT_STALEMATE = "not stalemate"
    MISSED_STALEMATE = "missed stalemate"
    WRONG_COUNT = "wrong count"
    NOT_QUICKEST = "not quickest"
    WIN_THROWN_AWAY = "win thrown away"
    DRAW_THROWN_AWAY = "draw thrown away"
    WIN_NOT_SEEN = "win not seen"
    DRAW_NOT_SEEN = "draw not seen"
    MISJUDGED = "misjudged"
    MISSED_DANGER = "missed danger"
    BOX_GREW = "box grew"
    MISSED_SMALLER_BOX = "missed a smaller box"
    NOT_BEST_BOX = "not best box"
    WRONG_SQUARE = "wrong square"
    MISSED_SQUARE = "missed square"
    NO_OPPOSITION = "no opposition"
    WRONG_RULE = "wrong rule"
    AGAINST_RULE = "against rule"
    MISCOUNTED_MOVES = "miscounted moves"
    LINE_UNFINISHED = "line unfinished"
    RULE_NOT_KNOWN = "rule not known"


def slower(moves: int) -> str:
    """The code of a win that takes `moves` more than need be: what is counted as NOT_QUICKEST."""
    return f"{_SLOWER}{moves}"


def slower_by(slip: str) -> int | None:
    """The number in a code that `slower` made; None for any other."""
    moves = slip.removeprefix(_SLOWER)
    return int(moves) if slip.startswith(_SLOWER) and moves.isdecimal() else None


def slip_family(slip: str) -> str:
    """The slip that a code is counted as: NOT_QUICKEST for a slower win, by however much; else itself."""
    return slip if slower_by(slip) is None else Slip.NOT_QUICKEST


@dataclass(frozen=True, slots=True)
class Student:
    """A student. `id` is the book's own number; names are unique in a book."""

    id: int
    name: str
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """A teaching group and how many students it has. `id` is the book's own number."""

    id: int
    name: str
    size: int


@dataclass(frozen=True, slots=True)
class Attendance:
    """Whether a student was there on an evening (local date), and if so, whether `late`. `guest_of` is the
    group whose evening it was, "" for a group of the student's own, or where nobody said."""

    student: str
    on: date
    present: bool
    late: bool = False
    guest_of: str = ""


@dataclass(frozen=True, slots=True)
class ItemResult:
    """One marked answer.

    `item` counts from 1 as printed, `written` is what the student wrote, as typed;
    `slip` is a short code (see `Slip`) or "" when right.
    """

    student: str
    sheet: str
    unit: str
    item: int
    on: date
    written: str
    right: bool
    slip: str = ""

    def __post_init__(self) -> None:
        if self.right and self.slip:
            raise CoachbookError(f"A right answer has no slip ({self.sheet}, item {self.item}).")


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a day may be a slip: it is still to come; or the `group` has a plan, but neither planned nor held
    an evening then. `nearest` is the evening nearest to it, and `last` the last one up to today."""

    on: date
    group: str = ""
    nearest: date | None = None
    last: date | None = None


class PlayOutEnd(StrEnum):
    """How a play-out ended, for the student: `HELD` is a draw that was to be held, `DRAW` any
    other draw but a stalemate, `LOST` a game that the coach won. `STOPPED` is one that stopped before its
    end, as when time ran out: it tells nothing of the student. `UNFINISHED` is one that stopped when its goal
    could not be reached any more, and in books of earlier versions any that stopped."""

    MATE = "mate"
    HELD = "held"
    STALEMATE = "stalemate"
    DRAW = "draw"
    LOST = "lost"
    GAVE_UP = "gave up"
    STOPPED = "stopped"
    UNFINISHED = "not finished"


def is_reached(goal: Goal, end: PlayOutEnd) -> bool:
    """Whether a play-out that ended so reached its goal, in however many moves."""
    if goal is Goal.WIN:
        return end is PlayOutEnd.MATE
    # Who mates where a draw was asked for did more than hold it.
    return end in (PlayOutEnd.HELD, PlayOutEnd.DRAW, PlayOutEnd.STALEMATE, PlayOutEnd.MATE)


def is_within(goal: Goal, end: PlayOutEnd, used: int | None, allowance: int) -> bool:
    """Whether it was reached within the allowance: a mate in few enough counted moves."""
    if goal is Goal.DRAW:
        return is_reached(goal, end)
    return is_reached(goal, end) and used is not None and used <= allowance


@dataclass(frozen=True, slots=True)
class PlayOutResult:
    """A position played out against the coach or a partner; the student had the side to move in `fen`.

    `used` counts the student's moves, None where nobody counted. `card` is the code of the card,
    or "" for another position. `moves` are those of both sides in UCI, empty if only the end was
    told. `slip` is the first slip by its short code, or "". In a game `against_coachbook` at a board,
    `clocks` say how many seconds after its beginning each of the moves was made; () where nobody knows.
    """

    student: str
    unit: str
    on: date
    fen: str
    goal: Goal
    allowance: int
    end: PlayOutEnd
    used: int | None = None
    card: str = ""
    moves: tuple[str, ...] = ()
    slip: str = ""
    against_coachbook: bool = False
    clocks: tuple[int, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it tells what the student can do."""
        return self.end is not PlayOutEnd.STOPPED

    @property
    def reached(self) -> bool:
        """Whether the student reached the goal, in however many moves."""
        return is_reached(self.goal, self.end)

    @property
    def within(self) -> bool:
        """Whether the goal was reached within the allowance."""
        return is_within(self.goal, self.end, self.used, self.allowance)


class Impression(StrEnum):
    """What an observation says of the student, by the coach's own judgement."""

    CAN = "can do it"
    TROUBLE = "has trouble"
    NONE = ""


@dataclass(frozen=True, slots=True)
class Observation:
    """What the coach saw of a student, in the coach's words: in a unit, or on the evening as such ("")."""

    student: str
    unit: str
    on: date
    note: str
    impression: Impression = Impression.NONE


@dataclass(frozen=True, slots=True)
class SavedSheet:
    """A worksheet in a list: when it was made, how many items it has, and who was given it."""

    code: str
    unit: str
    made_on: date
    items: int
    students: tuple[str, ...]


class EntryKind(StrEnum):
    """What an entry of the log is about."""

    ATTENDANCE = "attendance"
    ANSWERS = "answers"
    PLAY_OUT = "play-out"
    NOTE = "note"
    PLAN = "plan"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class EntryFacts:
    """What an entry holds: of which students, evenings, sheets and groups, each once and in order, and how
    many facts. `present` counts those who were there, `late` those of them who were late; `item`, `right`
    and `slip` are of a single answer, `end` and `used` of a play-out, `change` and `days` of a plan.
    `with_evenings` asks for the evenings to be named where they are not always."""

    kind: EntryKind
    students: tuple[str, ...] = ()
    evenings: tuple[date, ...] = ()
    count: int = 0
    sheets: tuple[str, ...] = ()
    present: int = 0
    late: int = 0
    item: int | None = None
    right: bool = False
    slip: str = ""
    unit: str = ""
    end: str = ""
    used: int | None = None
    change: PlanChange | None = None
    groups: tuple[str, ...] = ()
    days: Closure | None = None
    with_evenings: bool = False


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One thing the coach logged (and may take back): what, and when (aware UTC)."""

    id: int
    what: EntryFacts
    logged_at: datetime
