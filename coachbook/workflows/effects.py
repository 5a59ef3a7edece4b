"""Conversations as pure states, and what they do to the book: values that a front end has carried out.

A conversation is frozen data. Begun, or told what was typed, it gives a `Turn`: its next state, with what is
to be shown and done, in this order. Whoever drives it shows the one, carries out the other (`carry_out`),
and tells the conversation how that went; then it asks its `question`, until it is over.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from enum import StrEnum, auto
from typing import Generic, Self, TypeVar

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine
from coachbook.club.students import list_students
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Alone, Question, Say, Told, tell
from coachbook.model.facts import ItemResult, LogEntry, Observation
from coachbook.model.play_outs import JudgedPlayOut
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.closing import ToClose, close, to_close
from coachbook.workflows.evening_log import (
    answers_that_evening,
    find_changed,
    keep_answers,
    keep_attendance,
    put_right,
)
from coachbook.workflows.playing import Start, keep_observation, keep_play_out
from coachbook.workflows.typed_answers import TypedSheet, forget, put_aside, sheets_to_type, with_drafts

State = TypeVar("State", covariant=True)
Next = TypeVar("Next")

HELP = "?"
"""What is typed to be told how a question is answered."""


@dataclass(frozen=True, slots=True)
class PutAside:
    """Keep a line outside the book until it is kept in it."""

    line: DraftLine


@dataclass(frozen=True, slots=True)
class Forget:
    """Take lines out of what was put aside."""

    lines: tuple[DraftLine, ...]


@dataclass(frozen=True, slots=True)
class KeepAnswers:
    """Log marked answers; `lines` are how they were put aside."""

    results: tuple[ItemResult, ...]
    lines: tuple[DraftLine, ...]


@dataclass(frozen=True, slots=True)
class KeepAttendance:
    """Log who was there of a group, with its guests; with `tells_changes` it is told of whom something else
    was logged before."""

    group: str
    present: Mapping[str, bool]
    on: date
    lines: tuple[DraftLine, ...] = ()
    tells_changes: bool = False


@dataclass(frozen=True, slots=True)
class CorrectAttendance:
    """Log of these students alone whether they were there."""

    group: str
    came: tuple[str, ...]
    missing: tuple[str, ...]
    on: date


@dataclass(frozen=True, slots=True)
class KeepPlayOut:
    """Log a play-out, judged or as told."""

    student: str
    start: Start
    told: str
    judged: JudgedPlayOut | None
    on: date
    line: DraftLine


@dataclass(frozen=True, slots=True)
class KeepNote:
    """Log what the coach saw."""

    seen: Observation
    line: DraftLine


class Part(StrEnum):
    """The parts of closing an evening, in their order."""

    ATTENDANCE = auto()
    ANSWERS = auto()
    PLAY_OUTS = auto()
    NOTES = auto()
    NOT_DONE = auto()


@dataclass(frozen=True, slots=True)
class LookAgain:
    """Look up what is still to be logged of a group's evening, for one part of closing it; `lines` were put
    aside, and the coach goes on with them."""

    group: str
    on: date
    part: Part
    lines: tuple[DraftLine, ...]


@dataclass(frozen=True, slots=True)
class MoveOn:
    """Plan anew what was not done, and find out what moves to the next evening."""

    group: str
    on: date
    not_done: tuple[str, ...]


Effect = (
    PutAside
    | Forget
    | KeepAnswers
    | KeepAttendance
    | CorrectAttendance
    | KeepPlayOut
    | KeepNote
    | LookAgain
    | MoveOn
)


@dataclass(frozen=True, slots=True)
class KeptAttendance:
    """The entry, and the students of whom something else was logged before."""

    entry: LogEntry
    changed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Looked:
    """What is `left` to be logged; and what the part needs: the sheets to type, how many answers of the
    evening each student of the group has, the names of all students, and the club's own letters."""

    left: ToClose
    steps: tuple[TypedSheet, ...] = ()
    answered: Mapping[str, int] = field(default_factory=dict)
    names: tuple[str, ...] = ()
    letters: str = ""


@dataclass(frozen=True)
class Turn(Generic[State]):
    """The state of a conversation after something, and what is to be shown and done."""

    state: State
    out: tuple[Told | Effect, ...] = ()

    def then(self, step: "Callable[[State], Turn[Next]]") -> "Turn[Next]":
        """The turn after a further step."""
        turn = step(self.state)
        return Turn(turn.state, (*self.out, *turn.out))


@dataclass(frozen=True, kw_only=True)
class Conversation:
    """What all have: whether it is over, and whether every line could be put aside. This one is silent."""

    is_over: bool = False
    is_aside: bool = True

    @property
    def question(self) -> Question | None:
        """What is asked next; None if it is over."""
        return None

    @property
    def unkept(self) -> Told | None:
        """What was typed and is not kept, None if that is nothing."""
        return None

    def begun(self) -> Turn[Self]:
        """What comes before the first question."""
        return Turn(self)

    def said(self, _text: str, /) -> Turn[Self]:
        """What follows from a line, the answer to the question."""
        return Turn(self)

    def stopped(self) -> Turn[Self] | None:
        """What follows if the coach wants to stop; None if it ends here, with what is not kept."""
        return None

    def heard(self, _effect: Effect, _outcome: object, /) -> Turn[Self]:
        """What follows from something that was done."""
        return Turn(self)

    def failed(self, effect: Effect, error: CoachbookError, /) -> Turn[Self] | None:
        """What follows from something that could not be done; None if it ends here, with the error."""
        if isinstance(effect, PutAside):
            return Turn(replace(self, is_aside=False), (tell(Say.NOT_ASIDE, error=error),))
        return None


Talk = TypeVar("Talk", bound=Conversation)


@dataclass(frozen=True, kw_only=True)
class YesOrNo(Conversation):
    """One question, to be answered by yes or no. Anything else is asked again."""

    asked: Question
    answer: bool = False

    @property
    def question(self) -> Question | None:
        return None if self.is_over else self.asked

    def said(self, text: str) -> Turn[Self]:
        found = yes_or_no(text, self.asked.alone)
        return Turn(self if found is None else replace(self, answer=found, is_over=True))


def yes_or_no(text: str, alone: Alone) -> bool | None:
    """Whether a line says yes; None if it says neither yes nor no."""
    said = text.strip().lower() or alone.value
    return {"y": True, "yes": True, "n": False, "no": False}.get(said)


def kept(outcome: object, lines: tuple[DraftLine, ...]) -> tuple[Told | Effect, ...]:
    """That something is logged, of which these lines need not stay aside any more."""
    told = (tell(Say.KEPT, what=outcome.what),) if isinstance(outcome, LogEntry) else ()
    return (*told, Forget(lines)) if lines else told


def drive(turn: Turn[Talk], do: Callable[[Effect], object], show: Callable[[Told], None]) -> Talk:
    """The state after all that a turn has to show and to do. Raises the CoachbookError of what cannot be
    done, where the conversation has no answer to it."""
    state = turn.state
    for each in turn.out:
        if isinstance(each, Told):
            show(each)
            continue
        try:
            outcome = do(each)
        except CoachbookError as error:
            after = state.failed(each, error)
            if after is None:
                raise
        else:
            after = state.heard(each, outcome)
        state = drive(after, do, show)
    return state


def carry_out(book: Book, syllabus: Syllabus | None, effect: Effect, now: datetime) -> object:
    """Do what a conversation wants, and return what came of it. Raises CoachbookError if the book, or the
    disk, does not take it."""
    match effect:
        case PutAside():
            put_aside(book, effect.line)
            return None
        case Forget():
            forget(book, effect.lines)
            return None
        case KeepAnswers():
            return keep_answers(book, effect.results, now)
        case KeepAttendance():
            changed = find_changed(book, effect.present, effect.on)
            return KeptAttendance(
                keep_attendance(book, effect.present, effect.on, now, effect.group), changed
            )
        case CorrectAttendance():
            return put_right(book, effect.group, effect.came, effect.missing, effect.on, now)
        case KeepPlayOut(student, start, told, judged, on):
            return keep_play_out(book, student, start, told, judged, on, now)[0]
        case KeepNote():
            return keep_observation(book, effect.seen, now)
    if syllabus is None:
        raise ValueError("an evening is closed with its syllabus")
    if isinstance(effect, MoveOn):
        return close(book, syllabus, effect.group, effect.on, effect.not_done, now)
    return _looked(book, syllabus, effect)


def _looked(book: Book, syllabus: Syllabus, look: LookAgain) -> Looked:
    """Only what the part needs. Raises CoachbookError if what was put aside does not fit its sheet."""
    left = to_close(book, syllabus, look.group, look.on)
    if look.part is Part.ATTENDANCE:
        return Looked(left, answered=answers_that_evening(book, left.students, look.on))
    if look.part is Part.ANSWERS:
        half = {(each.student, each.sheet): each.items for each in left.half}
        steps = sheets_to_type(book, left.sheets, look.on, look.on, half)
        steps = with_drafts(steps, look.lines, book.letters, dated=True)
        return Looked(left, steps, letters=book.letters)
    if look.part is Part.NOT_DONE:
        return Looked(left)
    with book.reading() as tx:
        names = tuple(student.name for student in list_students(tx))
    return Looked(left, names=names, letters=book.letters)
