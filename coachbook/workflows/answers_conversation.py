"""Typing the answers of an evening in as a conversation, line by line, each student's marked at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum, auto
from typing import Self

from coachbook.errors import CoachbookError
from coachbook.model.conversation import Alone, Question, Say, Told, ask, tell
from coachbook.model.facts import ItemResult, Slip
from coachbook.workflows.effects import (
    HELP,
    Conversation,
    Effect,
    Forget,
    KeepAnswers,
    PutAside,
    Turn,
    kept,
    yes_or_no,
)
from coachbook.workflows.evening_log import mark_sheet, tally
from coachbook.workflows.evening_to_log import find_picked
from coachbook.workflows.typed_answers import (
    TypedSheet,
    changes,
    check_typed,
    could_be,
    left_out,
    suggested_letters,
    typed_answers,
    typed_ticks,
)

BACK = "<"
_SKIP, _DROP = "skip", ("drop", "none")


class _Asks(StrEnum):
    """Which question is open."""

    LINE = auto()
    REST = auto()
    ITEM = auto()
    KEEP = auto()
    WHICH = auto()


@dataclass(frozen=True, kw_only=True)
class Answers(Conversation):
    """The sheets that are typed in. What is not seen yet is asked for first; in the end, whether all is to
    be kept. If nothing is, nothing stays aside.

    `at` is the sheet that is next, one more than the last when all were gone through; `number` the one
    of which a line is typed, perhaps to mend it. `written` is a line that says nothing of its last
    items, the `blank` ones; `results` is a line with answers that cannot be read, but for the first
    ones, so many as are `settled`. `is_stopped` says that there was perhaps more to type.
    """

    steps: tuple[TypedSheet, ...]
    letters: str = ""
    ticks: bool = False
    at: int = 0
    number: int = 0
    asks: _Asks = _Asks.LINE
    mends: bool = False
    written: Mapping[int, str] = field(default_factory=dict)
    blank: tuple[int, ...] = ()
    results: tuple[ItemResult, ...] = ()
    settled: int = 0
    shown: str = ""
    suggests_letters: bool = True
    is_stopped: bool = False

    @property
    def question(self) -> Question | None:
        if self.is_over:
            return None
        match self.asks:
            case _Asks.REST:
                return ask(Say.REST, blank=self.blank)
            case _Asks.ITEM:
                return ask(Say.ITEM_AGAIN, back=BACK)
            case _Asks.KEEP:
                return ask(Say.KEEP, Alone.YES)
            case _Asks.WHICH:
                return ask(Say.WHICH_AGAIN)
        step = self._step
        return ask(Say.LINE, student=step.student, missing=step.missing, again=step.is_seen)

    @property
    def typed(self) -> tuple[ItemResult, ...]:
        """All that was typed, marked."""
        return tuple(result for step in self.steps for result in step.results)

    @property
    def unkept(self) -> Told | None:
        return tell(Say.TYPED_ANSWERS, **self._count) if self.typed else None

    def begun(self) -> Turn[Self]:
        at = next((number for number, step in enumerate(self.steps) if not step.is_seen), len(self.steps))
        tallies = zip(_labels(self.steps), self.steps, strict=True)
        out = [line for label, step in tallies for line in _tally(step, label)]
        return Turn(replace(self, at=at), tuple(out)).then(type(self)._go_on)

    def said(self, text: str) -> Turn[Self]:
        line = text.strip()
        match self.asks:
            case _Asks.REST if not line:
                return self._marked({**self.written, **dict.fromkeys(self.blank, "")})
            case _Asks.REST:
                return self._read(line)
            case _Asks.ITEM:
                return self._item_said(line)
            case _Asks.KEEP:
                return self._keep_said(line.lower())
            case _Asks.WHICH:
                return self._which_said(line)
        return self._line_said(line)

    def stopped(self) -> Turn[Self] | None:
        if self.is_stopped or not self.typed:
            return None
        student = self.steps[self.at].student if self.at < len(self.steps) else ""
        told = tell(Say.STOPPED, student=student, **self._count)
        return Turn(replace(self, is_stopped=True), (told,)).then(type(self)._ask_to_keep)

    def heard(self, effect: Effect, outcome: object) -> Turn[Self]:
        if isinstance(effect, KeepAnswers):
            return Turn(replace(self, is_over=True), kept(outcome, effect.lines))
        return Turn(self)

    @property
    def _step(self) -> TypedSheet:
        return self.steps[self.number]

    @property
    def _count(self) -> dict[str, object]:
        return {"answers": len(self.typed), "students": _students(self.typed)}

    def _go_on(self) -> Turn[Self]:
        """To the sheet that is next, or to the end."""
        if self.at >= len(self.steps):
            return Turn(self, (tell(Say.BLANK),)).then(type(self)._ask_to_keep)
        sheet = self.steps[self.at].sheet
        head = tell(
            Say.SHEET, code=sheet.code, title=sheet.unit_title, items=len(sheet.items), first=not self.shown
        )
        state = replace(self, asks=_Asks.LINE, number=self.at, mends=False, shown=sheet.code)
        return Turn(state, () if sheet.code == self.shown else (head,))

    def _ask_to_keep(self) -> Turn[Self]:
        if not self.typed:
            return Turn(replace(self, is_over=True), (tell(Say.NO_ANSWERS),))
        return Turn(replace(self, asks=_Asks.KEEP))

    def _line_said(self, line: str) -> Turn[Self]:
        if line == BACK:
            if self.mends:
                return self._ask_to_keep()
            if self.at:
                return replace(self, at=self.at - 1)._go_on()
            return Turn(self, (tell(Say.NO_ONE_BEFORE),))
        if line == HELP:
            return self._helped()
        if not line:
            return self._with(self._step.with_line(()))
        if line.casefold() == _SKIP:
            return self._with(self._step.emptied())
        return self._read(line)

    def _helped(self) -> Turn[Self]:
        return Turn(self, (tell(Say.HELP, ticks=self.ticks, back=BACK, skip=_SKIP),))

    def _with(self, now: TypedSheet) -> Turn[Self]:
        """With a sheet as it is after its line: put aside if it changed."""
        out: tuple[Effect, ...] = ()
        if now.results != self._step.results:
            out = (PutAside(now.draft) if now.results else Forget((now.draft,)),)
        steps = (*self.steps[: self.number], now, *self.steps[self.number + 1 :])
        state = replace(self, steps=steps, at=self.at + (not self.mends))
        return Turn(state, out).then(type(self)._ask_to_keep if self.mends else type(self)._go_on)

    def _read(self, line: str) -> Turn[Self]:
        """What a line says, item by item; of the last ones it may say nothing."""
        step = self._step
        try:
            if self.ticks:
                return self._marked(typed_ticks(step.sheet, line, step.missing))
            written = typed_answers(step.sheet, line, step.missing)
        except CoachbookError as error:
            return self._line_again(error)
        blank = () if step.missing else left_out(step.sheet, line, written)
        if not blank:
            return self._marked(written)
        told = tell(Say.FEWER, answers=len(written), items=len(step.sheet.items))
        return Turn(replace(self, asks=_Asks.REST, written=written, blank=blank), (told,))

    def _marked(self, written: Mapping[int, str]) -> Turn[Self]:
        step = self._step
        try:
            results = mark_sheet(step.sheet, step.student, written, step.on, self.letters)
        except CoachbookError as error:
            return self._line_again(error)
        suggests = self.suggests_letters and not self.letters
        found = suggested_letters(step.sheet, results) if suggests else None
        state = replace(self, results=results, settled=0, suggests_letters=suggests and not found)
        out = (tell(Say.LETTERS, letter=found.letter, man=found.man, letters=found.letters),) if found else ()
        return Turn(state, out).then(type(self)._settle)

    def _line_again(self, *errors: CoachbookError) -> Turn[Self]:
        told = tuple(tell(Say.REFUSED, error=error) for error in errors)
        return Turn(replace(self, asks=_Asks.LINE, results=(), written={}, blank=()), told)

    def _settle(self) -> Turn[Self]:
        """On to the next answer that cannot be read; after the last one the line is done."""
        for at, result in enumerate(self.results[self.settled :], start=self.settled):
            if result.slip == Slip.UNREADABLE:
                return Turn(replace(self, asks=_Asks.ITEM, settled=at), (self._unreadable(result),))
        now = self._step.with_line(self.results)
        out = self._shown(now)
        return Turn(self._line_again().state, out).then(lambda state: state._with(now))

    def _unreadable(self, result: ItemResult) -> Told:
        item = self._step.sheet.items[result.item - 1]
        return tell(
            Say.UNREADABLE,
            item=result.item,
            written=result.written,
            meant=could_be(item, result.written),
            exercise=item,
            letters=self.letters,
        )

    def _item_said(self, line: str) -> Turn[Self]:
        result = self.results[self.settled]
        if line == BACK:
            return self._line_again()
        if line == HELP:
            return self._helped().then(type(self)._settle)
        if not line:
            return replace(self, settled=self.settled + 1)._settle()
        try:
            check_typed(line)
        except CoachbookError as error:
            return Turn(self, (tell(Say.REFUSED, error=error),)).then(type(self)._settle)
        step, at = self._step, self.settled
        (read,) = mark_sheet(step.sheet, step.student, {result.item: line}, step.on, self.letters)
        return replace(self, results=(*self.results[:at], read, *self.results[at + 1 :]))._settle()

    def _shown(self, now: TypedSheet) -> tuple[Told, ...]:
        """The marks of a line, what it has changed, and how the student did in all."""
        step = self._step
        marks = () if self.ticks else (tell(Say.MARKS, results=self.results),)
        return (*marks, *changes({**step.logged, **step.typed}, now.typed), *_tally(now))

    def _keep_said(self, said: str) -> Turn[Self]:
        if said == BACK:
            number = min(self.at, len(self.steps) - 1)
            return Turn(replace(self, asks=_Asks.LINE, number=number, mends=True))
        agreed = yes_or_no(said, Alone.YES)
        if agreed is None:
            return Turn(self, (tell(Say.TYPE_KEEP, other=(BACK,)),))
        if agreed:
            lines = tuple(step.draft for step in self.steps if step.results)
            return Turn(self, (KeepAnswers(self.typed, lines),))
        told = [
            tell(Say.CHOICE, number=number, of=len(self.steps), label=label, tally=tuple(_tally(step)))
            for number, (label, step) in enumerate(zip(_labels(self.steps), self.steps, strict=True), start=1)
        ]
        return Turn(replace(self, asks=_Asks.WHICH), tuple(told))

    def _which_said(self, line: str) -> Turn[Self]:
        """Lets one student's line be typed again, or throws everything away."""
        if not line:
            return self._ask_to_keep()
        labels = _labels(self.steps)
        if line.casefold() in _DROP:
            lines = tuple(step.draft for step in self.steps)
            out = (tell(Say.DROPPED, **self._count), Forget(lines))
            return Turn(replace(self, is_over=True), out)
        try:
            number = labels.index(find_picked(labels, line, "student"))
        except CoachbookError as error:
            return Turn(self, (tell(Say.REFUSED, error=error),))
        return Turn(replace(self, asks=_Asks.LINE, number=number, mends=True))


def _tally(step: TypedSheet, label: str = "") -> tuple[Told, ...]:
    """How a student did by what was typed; nothing if that is nothing."""
    return tuple(
        tell(Say.TALLY, label=label, right=told.right, tried=told.tried, slips=told.slips)
        for told in tally(step.results)
    )


def _students(results: Sequence[ItemResult]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(result.student for result in results))


def _labels(steps: Sequence[TypedSheet]) -> tuple[str, ...]:
    """The students' names, with the sheet for who has several."""
    names = [step.student for step in steps]
    return tuple(
        step.student if names.count(step.student) == 1 else f"{step.student}, {step.sheet.code}"
        for step in steps
    )
