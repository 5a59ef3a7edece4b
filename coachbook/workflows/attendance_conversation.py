"""Attendance as a conversation: who was absent, typed until it is right; and putting it right afterwards."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Self

from coachbook.club.draft import DraftLine, Typed
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Alone, Question, Say, Told, ask, tell
from coachbook.workflows.effects import (
    Conversation,
    CorrectAttendance,
    Effect,
    Forget,
    KeepAttendance,
    KeptAttendance,
    PutAside,
    Turn,
    kept,
    yes_or_no,
)
from coachbook.workflows.evening_log import PutRight
from coachbook.workflows.evening_to_log import picked

_LATE = re.compile(r"\s+late(?=\s*(,|$))", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class StillAbsent(Conversation):
    """Who is to count as absent, of students with the number of their answers that evening: whoever has
    some is asked about."""

    answered: tuple[tuple[str, int], ...]
    absent: tuple[str, ...] = ()

    @property
    def question(self) -> Question | None:
        if not self.answered:
            return None
        name, count = self.answered[0]
        return ask(Say.STILL_ABSENT, Alone.NO, student=name, answers=count)

    def begun(self) -> Turn[Self]:
        """Those without answers are absent, and not asked about."""
        left, absent = self.answered, self.absent
        while left and not left[0][1]:
            left, absent = left[1:], (*absent, left[0][0])
        return Turn(replace(self, answered=left, absent=absent, is_over=not left))

    def said(self, text: str) -> Turn[Self]:
        agreed = yes_or_no(text, Alone.NO)
        if agreed is None:
            return Turn(self)
        absent = (*self.absent, self.answered[0][0]) if agreed else self.absent
        return replace(self, answered=self.answered[1:], absent=absent).begun()


def still_absent(names: tuple[str, ...], answered: Mapping[str, int]) -> StillAbsent:
    """The question about those of the students who have answers of the evening, begun."""
    return StillAbsent(answered=tuple((name, answered.get(name, 0)) for name in names)).begun().state


@dataclass(frozen=True, kw_only=True)
class _AttendanceKept(Conversation):
    """Is over as soon as attendance is logged, which it tells."""

    def heard(self, effect: Effect, outcome: object) -> Turn[Self]:
        if not isinstance(effect, KeepAttendance) or not isinstance(outcome, KeptAttendance):
            return Turn(self)
        return Turn(replace(self, is_over=True), _kept(effect, outcome))


@dataclass(frozen=True, kw_only=True)
class Absences(_AttendanceKept):
    """Who of a group was there, as the coach types it until it is right.

    `answered` is how many answers of that evening each student has; `waiting` is a line that was put
    aside before; `sure` is asked about the students of the last line.
    """

    group: str
    on: date
    students: tuple[str, ...]
    answered: Mapping[str, int]
    waiting: str | None = None
    tells_changes: bool = False
    sure: StillAbsent | None = None

    @property
    def question(self) -> Question | None:
        if self.is_over:
            return None
        if self.sure is None:
            return ask(Say.ABSENT)
        return self.sure.question or ask(Say.KEEP, Alone.YES)

    @property
    def unkept(self) -> Told | None:
        return tell(Say.TYPED_ABSENT) if self.sure is not None or self.waiting is not None else None

    def begun(self) -> Turn[Self]:
        head = (
            tell(Say.WHO_IS_ABSENT, group=self.group, on=self.on),
            tell(Say.NUMBERED, names=self.students),
        )
        turn = Turn(self, head)
        return turn if self.waiting is None else turn.then(lambda state: state.said(state.waiting or ""))

    def said(self, text: str) -> Turn[Self]:
        if self.sure is None:
            return self._named(text)
        if not self.sure.is_over:
            return replace(self, sure=self.sure.said(text).state)._found()
        agreed = yes_or_no(text, Alone.YES)
        if agreed is None:
            return Turn(self, (tell(Say.TYPE_KEEP, other=()),))
        if not agreed:
            return Turn(replace(self, sure=None, waiting=""))
        present = {name: name not in self.sure.absent for name in self.students}
        line = DraftLine(Typed.ABSENT, self.on, self.group)
        if present:
            return Turn(self, (KeepAttendance(self.group, present, self.on, (line,), self.tells_changes),))
        return Turn(replace(self, is_over=True), (Forget((line,)),))

    def _named(self, text: str) -> Turn[Self]:
        try:
            named = picked(self.students, text)
        except CoachbookError as error:
            return Turn(self, (tell(Say.REFUSED, error=error),))
        line = DraftLine(Typed.ABSENT, self.on, self.group, text=", ".join(named))
        turn = Turn(replace(self, sure=still_absent(named, self.answered)), (PutAside(line),))
        return turn.then(type(self)._found)

    def _found(self) -> Turn[Self]:
        if self.sure is None or not self.sure.is_over:
            return Turn(self)
        absent = self.sure.absent
        there = len(self.students) - len(absent)
        return Turn(self, (tell(Say.THERE, there=there, of=len(self.students), absent=absent),))


@dataclass(frozen=True, kw_only=True)
class AttendanceNamed(_AttendanceKept):
    """Who was there of a group, and its guests, told in one go: nothing is asked."""

    group: str
    present: Mapping[str, bool]
    on: date

    def begun(self) -> Turn[Self]:
        return Turn(self, (KeepAttendance(self.group, self.present, self.on, tells_changes=True),))


def _kept(effect: KeepAttendance, outcome: KeptAttendance) -> tuple[Told | Effect, ...]:
    """That attendance is logged, and of whom something else was logged before."""
    told, *forget = kept(outcome.entry, effect.lines)
    changed = tuple((name, effect.present[name]) for name in outcome.changed if effect.tells_changes)
    return (told, *((tell(Say.CHANGED, changed=changed),) if changed else ()), *forget)


@dataclass(frozen=True, kw_only=True)
class PutAttendanceRight(Conversation):
    """Lets the coach put logged attendance right: of whom is named, the other thing holds."""

    group: str
    on: date
    students: tuple[str, ...]
    present: frozenset[str]
    answered: Mapping[str, int]
    came: tuple[str, ...] = ()
    sure: StillAbsent | None = None

    @property
    def question(self) -> Question | None:
        return ask(Say.WRONG) if self.sure is None else self.sure.question

    def begun(self) -> Turn[Self]:
        away = tuple(name for name in self.students if name not in self.present)
        logged = tell(Say.ATTENDANCE_LOGGED, group=self.group, on=self.on, away=away, students=self.students)
        return Turn(self, (logged,))

    def said(self, text: str) -> Turn[Self]:
        if self.sure is not None:
            return replace(self, sure=self.sure.said(text).state)._found()
        if not text.strip():
            return Turn(replace(self, is_over=True))
        try:
            wrong = picked(self.students, _LATE.sub("", text.strip()))
        except CoachbookError as error:
            return Turn(self, (tell(Say.REFUSED, error=error),))
        came = tuple(name for name in wrong if name not in self.present)
        missing = tuple(name for name in wrong if name in self.present)
        return replace(self, came=came, sure=still_absent(missing, self.answered))._found()

    def heard(self, effect: Effect, outcome: object) -> Turn[Self]:
        if not isinstance(outcome, PutRight):
            return super().heard(effect, outcome)
        told = tell(Say.THERE_NOW, there=outcome.there, away=outcome.away)
        return Turn(replace(self, present=frozenset(outcome.there)), (told, *kept(outcome.entry, ())))

    def _found(self) -> Turn[Self]:
        if self.sure is None or not self.sure.is_over:
            return Turn(self)
        correct = CorrectAttendance(self.group, self.came, self.sure.absent, self.on)
        return Turn(replace(self, sure=None, came=()), (correct,))
