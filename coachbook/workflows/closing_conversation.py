"""Closing an evening as one conversation: attendance, answers, play-outs, notes, what was not done; and what
moves to the next evening then."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Self

from coachbook.club.draft import DraftLine, Typed
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Question, Say, Told, ask, tell
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.answers_conversation import Answers
from coachbook.workflows.attendance_conversation import Absences, PutAttendanceRight
from coachbook.workflows.closing import NextWeek
from coachbook.workflows.effects import HELP, Conversation, Effect, LookAgain, Looked, MoveOn, Part, Turn
from coachbook.workflows.evening_to_log import picked
from coachbook.workflows.joint_lessons import NOTHING_SAID, Said
from coachbook.workflows.lines_conversation import Lines


@dataclass(frozen=True, kw_only=True)
class NotDone(Conversation):
    """Which units (by code and title) are to be planned again; of some that is `noted` already. Those of
    which it was `said_before` are not asked about.

    Afterwards `chosen` are those that are to be planned again and are not noted yet.
    """

    units: tuple[tuple[str, str], ...]
    noted: tuple[str, ...]
    said_before: Said = NOTHING_SAID
    chosen: tuple[str, ...] = ()

    @property
    def asked(self) -> tuple[tuple[str, str], ...]:
        """The units that are asked about."""
        return tuple(unit for unit in self.units if unit[0] not in self.said_before.units)

    @property
    def unfinished(self) -> frozenset[str]:
        """The codes of all that were not finished."""
        return frozenset((*self.chosen, *(code for code, title in self.units if title in self.noted)))

    @property
    def question(self) -> Question | None:
        asked = [title for _, title in self.asked]
        noted = tuple(title for title in self.noted if title in asked)
        return None if self.is_over else ask(Say.NOT_FINISHED, noted=noted)

    def begun(self) -> Turn[Self]:
        said = [(code, title) for code, title in self.units if code in self.said_before.units]
        unfinished = [(code, title) for code, title in said if code in self.said_before.unfinished]
        told = (tell(Say.SAID_BEFORE, unfinished=tuple(title for _, title in unfinished)),) if said else ()
        chosen = tuple(code for code, title in unfinished if title not in self.noted)
        now = replace(self, chosen=chosen, is_over=not self.asked)
        return Turn(now, (*told, tell(Say.WHAT_IS_LEFT, units=self.asked)) if self.asked else told)

    def said(self, text: str) -> Turn[Self]:
        if text.strip() == HELP:
            return self.begun()
        codes = {title: code for code, title in self.asked}
        try:
            chosen = picked(tuple(codes), text, "unit")
        except CoachbookError as error:
            return Turn(self, (tell(Say.REFUSED, error=error),))
        new = tuple(codes[title] for title in chosen if title not in self.noted)
        return Turn(replace(self, chosen=(*self.chosen, *new), is_over=True))


@dataclass(frozen=True, kw_only=True)
class Closing(Conversation):
    """An evening of one group, part after part; each is kept before the next one begins.

    `lines` were put aside, and the coach goes on with them. Of some units it was `said_before` whether they
    were finished. `inner` is the part that is open. Afterwards `unfinished` are those that were not, and
    `ahead` is the next evening, None if there is none; or the evening `is_stopped` among its answers.
    """

    group: str
    on: date
    syllabus: Syllabus
    lines: tuple[DraftLine, ...] = ()
    ticks: bool = False
    said_before: Said = NOTHING_SAID
    part: Part = Part.ATTENDANCE
    inner: Conversation | None = None
    unfinished: frozenset[str] = frozenset()
    ahead: date | None = None
    is_stopped: bool = False

    @property
    def question(self) -> Question | None:
        return None if self.inner is None else self.inner.question

    @property
    def unkept(self) -> Told | None:
        return None if self.inner is None else self.inner.unkept

    def begun(self) -> Turn[Self]:
        return Turn(self, (LookAgain(self.group, self.on, self.part, self.lines),))

    def said(self, text: str) -> Turn[Self]:
        return Turn(self) if self.inner is None else self._with(self.inner.said(text))

    def stopped(self) -> Turn[Self] | None:
        turn = None if self.inner is None else self.inner.stopped()
        return None if turn is None else self._with(turn)

    def heard(self, effect: Effect, outcome: object) -> Turn[Self]:
        if isinstance(outcome, Looked):
            return self._opened(outcome)
        if isinstance(outcome, NextWeek):
            told = what_moves(self.group, self.on, outcome, self.syllabus.titles)
            return Turn(replace(self, ahead=outcome.on, is_over=True), tuple(told))
        return Turn(self) if self.inner is None else self._with(self.inner.heard(effect, outcome))

    def failed(self, effect: Effect, error: CoachbookError) -> Turn[Self] | None:
        turn = None if self.inner is None else self.inner.failed(effect, error)
        return None if turn is None else self._with(turn)

    def _opened(self, looked: Looked) -> Turn[Self]:
        """Begins a part with what was looked up for it."""
        left = looked.left
        match self.part:
            case Part.ATTENDANCE:
                return self._with(self._attendance(looked).begun())
            case Part.ANSWERS if left.sheets:
                answers = Answers(steps=looked.steps, letters=looked.letters, ticks=self.ticks)
                return self._with(answers.begun())
            case Part.ANSWERS:
                there = left.students if left.present is None else left.present
                away = tuple(name for name in left.students if name not in there)
                return Turn(self, (tell(Say.ALL_LOGGED, away=away),)).then(type(self)._next)
            case Part.NOT_DONE:
                asks = NotDone(units=left.units, noted=left.not_done, said_before=self.said_before)
                return self._with(asks.begun())
        what = Typed.PLAY_OUT if self.part is Part.PLAY_OUTS else Typed.NOTE
        lines = Lines(
            what=what,
            left=left,
            syllabus=self.syllabus,
            names=looked.names,
            letters=looked.letters,
            waiting=tuple(line for line in self.lines if line.what is what and line.about == self.group),
        )
        return self._with(lines.begun())

    def _attendance(self, looked: Looked) -> Conversation:
        left, answered = looked.left, looked.answered
        if left.present is not None:
            return PutAttendanceRight(
                group=self.group,
                on=self.on,
                students=left.students,
                present=left.present,
                answered=answered,
            )
        absent = (each for each in self.lines if each.what is Typed.ABSENT and each.about == self.group)
        waiting = next((line.text for line in absent), None)
        return Absences(
            group=self.group, on=self.on, students=left.students, answered=answered, waiting=waiting
        )

    def _with(self, turn: Turn[Conversation]) -> Turn[Self]:
        """With the part after its turn; the next one follows if it is over."""
        inner = turn.state
        now = Turn(replace(self, inner=inner, is_aside=inner.is_aside), turn.out)
        return now.then(type(self)._next) if inner.is_over else now

    def _next(self) -> Turn[Self]:
        inner, blank = self.inner, (tell(Say.BLANK),)
        if isinstance(inner, NotDone):
            state = replace(self, inner=None, unfinished=inner.unfinished)
            return Turn(state, (MoveOn(self.group, self.on, inner.chosen),))
        if isinstance(inner, Answers) and inner.is_stopped:
            return Turn(replace(self, inner=None, is_stopped=True, is_over=True))
        parts = list(Part)
        state = replace(self, inner=None, part=parts[parts.index(self.part) + 1])
        told = () if inner is None or isinstance(inner, Lines) else blank
        return Turn(state, told).then(type(self).begun)


def what_moves(group: str, on: date, moves: NextWeek, titles: Mapping[str, str]) -> Iterator[Told]:
    """What moves from the evening of a day to the next one, a line for each thing: said when an evening is
    closed, in whichever way."""
    yield tell(Say.CLOSED, group=group, ahead=moves.on)
    yield from _planned_anew(moves, titles)
    if moves.absent and moves.missed:
        yield tell(Say.CATCH_UP, absent=moves.absent, missed=moves.missed)
    for name, code in moves.open_sheets:
        yield tell(Say.NOT_LOGGED, student=name, sheet=code)
    for half in moves.half:
        yield tell(Say.HALF_LOGGED, student=half.student, sheet=half.sheet, items=half.items)
    if moves.open_sheets or moves.half:
        yield tell(Say.LOG_THE_REST, on=on)
    if moves.bring_back:
        yield tell(Say.BRING_BACK_BY, on=moves.on)
    for each in moves.bring_back:
        yield tell(Say.BRING_BACK, student=each.student, units=each.units)
    if moves.all_right:
        yield tell(Say.DUE_AND_FINE, on=moves.on, students=moves.all_right)


def _planned_anew(moves: NextWeek, titles: Mapping[str, str]) -> Iterator[Told]:
    if moves.changes:
        yield tell(Say.MOVED, changes=moves.changes, titles=titles)
    if moves.also:
        yield tell(Say.MOVED_WITH_IT, groups=moves.also)
    if moves.apart:
        yield tell(Say.APART, groups=moves.apart)
    if moves.refused is not None:
        yield tell(Say.PLAN_STAYS, error=moves.refused)
