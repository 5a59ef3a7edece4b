"""Play-outs and notes as conversations: one line for each thing, kept at once."""

import re
from dataclasses import dataclass, replace
from typing import Self

from coachbook.club.draft import DraftLine, Typed
from coachbook.club.names import Roll, name_key
from coachbook.errors import CoachbookError
from coachbook.exercises.games import ENDS
from coachbook.model.conversation import Question, Say, Told, ask, tell
from coachbook.model.facts import Impression, LogEntry, Observation, PlayOutResult
from coachbook.model.play_outs import read_card_code
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.closing import ToClose
from coachbook.workflows.effects import (
    HELP,
    Conversation,
    Effect,
    Forget,
    KeepNote,
    KeepPlayOut,
    PutAside,
    Turn,
)
from coachbook.workflows.evening_to_log import find_picked
from coachbook.workflows.playing import Start, check_note, judge, lacks_its_count, start_of

_NUMBERED = re.compile(r"(?P<number>[0-9]{1,9})(?:\s*:\s*|\s+)(?P<told>\S.*)")
_SIGNS = {Impression.CAN: "+", Impression.TROUBLE: "-", Impression.NONE: ""}
"""How a coach types what was seen."""

_IMPRESSIONS = {sign: impression for impression, sign in _SIGNS.items() if sign}


@dataclass(frozen=True, kw_only=True)
class HowItWent(Conversation):
    """How one play-out went: asked for if nothing is `told`; and then, with `counts`, the number of moves if
    only that is missing."""

    start: Start
    told: str = ""
    counts: bool = False

    @property
    def question(self) -> Question | None:
        if self.is_over:
            return None
        return ask(Say.HOW_MANY_MOVES) if self.told else ask(Say.HOW_IT_WENT)

    def begun(self) -> Turn[Self]:
        return Turn(self._with(self.told)) if self.told else Turn(self)

    def said(self, text: str) -> Turn[Self]:
        if self.told:
            told = f"{self.told} {text.strip() or 'not counted'}"
            return Turn(replace(self, told=told, is_over=True))
        return Turn(self._with(text))

    def _with(self, told: str) -> Self:
        asks = bool(told) and self.counts and lacks_its_count(self.start, told)
        return replace(self, told=told, is_over=not asks)


@dataclass(frozen=True, kw_only=True)
class Lines(Conversation):
    """One line for each play-out, or for each note, until nothing is typed: each is kept at once. First come
    the lines that were put aside.

    `names` are those of all students; `done` are the numbers in the list of cards that are kept.
    """

    what: Typed
    left: ToClose
    syllabus: Syllabus
    names: tuple[str, ...]
    letters: str = ""
    waiting: tuple[DraftLine, ...] = ()
    done: frozenset[int] = frozenset()

    @property
    def question(self) -> Question | None:
        return None if self.is_over else ask(self._asks)

    @property
    def _asks(self) -> Say:
        return Say.PLAY_OUT if self.what is Typed.PLAY_OUT else Say.NOTE

    def begun(self) -> Turn[Self]:
        left = self.left
        if self.what is Typed.NOTE:
            head = _of_notes(left)
        elif left.cards or left.playable or self.waiting:
            head = tell(
                Say.PLAY_OUTS,
                cards=left.cards,
                example=_example_play_out(left),
                other=f"{_example_student(left)} {left.cards[0][1]} stalemate" if left.cards else "",
            )
        else:
            return Turn(replace(self, is_over=True))
        return Turn(self, (head,)).then(type(self)._go_on)

    def said(self, text: str) -> Turn[Self]:
        line = text.strip()
        if not line:
            return Turn(replace(self, is_over=True), (tell(Say.BLANK),))
        if line == HELP:
            plays = self.what is Typed.PLAY_OUT
            return Turn(self, (tell(Say.PLAY_OUTS_HELP, ends=ENDS) if plays else tell(Say.NOTES_HELP),))
        return Turn(self, self._read(line))

    def heard(self, effect: Effect, outcome: object) -> Turn[Self]:
        if isinstance(effect, KeepPlayOut) and isinstance(outcome, PlayOutResult):
            played = (name_key(outcome.student), outcome.card)
            numbered = enumerate(self.left.cards, start=1)
            done = {number for number, (name, card) in numbered if (name_key(name), card) == played}
            told = tell(Say.PLAYED, result=outcome, judged=effect.judged)
            state = replace(self, done=self.done | done)
        elif isinstance(effect, KeepNote) and isinstance(outcome, LogEntry):
            told, state = tell(Say.NOTED, what=outcome.what, impression=effect.seen.impression), self
        else:
            return Turn(self)
        return Turn(state, (told, Forget((effect.line,)))).then(type(self)._go_on)

    def failed(self, effect: Effect, error: CoachbookError) -> Turn[Self] | None:
        if isinstance(effect, KeepPlayOut | KeepNote):
            return Turn(self, (tell(Say.NOT_KEPT, error=error),)).then(type(self)._go_on)
        return super().failed(effect, error)

    def _go_on(self) -> Turn[Self]:
        """The next of the lines that were put aside; it is shown as if it was typed now."""
        if not self.waiting:
            return Turn(self)
        line, *rest = self.waiting
        state = replace(self, waiting=tuple(rest))
        shown, out = tell(Say.AGAIN, question=ask(self._asks), text=line.text), state._read(line.text)
        turn = Turn(state, (shown, *out))
        if any(isinstance(each, KeepPlayOut | KeepNote) for each in out):
            return turn
        return replace(turn, out=(*turn.out, Forget((line,)))).then(type(self)._go_on)

    def _read(self, line: str) -> tuple[Told | Effect, ...]:
        """What keeps a line; or why it cannot be read."""
        try:
            return self._read_play_out(line) if self.what is Typed.PLAY_OUT else self._read_note(line)
        except CoachbookError as error:
            return (tell(Say.REFUSED, error=error),)

    def _read_play_out(self, line: str) -> tuple[Told | Effect, ...]:
        named, card, told, number = _play_out(self.left, line)
        if number in self.done:
            return (tell(Say.PLAYED_BEFORE, number=number, student=named, card=card, told=told),)
        start = start_of(self.syllabus, card, None, None)
        student, judged = self._known(named), judge(self.letters, start, told)
        aside = self._line(student, f"{student} {start.card} {told}")
        return PutAside(aside), KeepPlayOut(student, start, told, judged, self.left.on, aside)

    def _read_note(self, line: str) -> tuple[Told | Effect, ...]:
        seen = _note(self.syllabus, self.left, line)
        student = self._known(seen.student)
        about = f", {seen.unit}{_SIGNS[seen.impression]}" if seen.unit else ""
        text = f"{student}{about}: {check_note(seen.note)}"
        aside = self._line(student, text)
        return PutAside(aside), KeepNote(seen, aside)

    def _known(self, name: str) -> str:
        return Roll("student", ((each, 0) for each in self.names)).name_of(name)

    def _line(self, student: str, text: str) -> DraftLine:
        return DraftLine(self.what, self.left.on, self.left.group, student, text=text)


def _of_notes(left: ToClose) -> Told:
    return tell(
        Say.NOTES,
        units=left.units,
        students=left.students,
        example=_example_note(left),
        of_evening=f"{_example_student(left)}: left early",
        signed=f"{_example_student(left)}, 1+",
    )


def _example_student(left: ToClose) -> str:
    """A student of the class for an example, one who was there if anybody was."""
    there = (name for name in left.students if name in (left.present or ()))
    return next(there, next(iter(left.students), "Name"))


def _example_play_out(left: ToClose) -> str:
    """What could be typed this evening."""
    if left.cards:
        return "1 mated in 14"
    return f"{_example_student(left)} {(*left.playable, 'PLAY-QUEEN-BOX-1')[0]} mated in 14"


def _example_note(left: ToClose) -> str:
    """What could be typed this evening."""
    unit = "1" if left.units else "queen-box"
    return f"{_example_student(left)}, {unit}: explained it to a neighbour"


def _play_out(left: ToClose, line: str) -> tuple[str, str, str, int | None]:
    """Whose play-out, of which card, how it went, and its number in the list of cards, None if the card is
    named: of a line such as "3 mated in 14" or "3: mated in 14" (a card of the list), or "Ana queen-box-1
    stalemate" (any card).

    Raises CoachbookError for a line that says neither.
    """
    words = line.split()
    for start in range(1, len(words)):
        # A code that is broken at the end of a line is typed with a space.
        for end in (start + 1, start + 2):
            code = "".join(words[start:end]).removesuffix(":")
            if words[end:] and (read_card_code(code) or read_card_code(f"PLAY-{code}")):
                return " ".join(words[:start]), code, line.split(maxsplit=end)[end], None
    numbered = _NUMBERED.fullmatch(line)
    cards = dict(enumerate(left.cards, start=1))
    if numbered is None or int(numbered["number"]) not in cards:
        raise CoachbookError(
            f"'{line}' is neither a number of the list nor a name and a card's code, and then how it went.",
            f"Such as: {_example_play_out(left)}.",
        )
    number = int(numbered["number"])
    return *cards[number], numbered["told"], number


def _note(syllabus: Syllabus, left: ToClose, line: str) -> Observation:
    """A line such as "Ana, 1+: helps others", or "3: left early" of the evening.

    The student is told by name or by the number in the class list, the unit by its number in the list
    or its code; a sign is about the only unit if none is named. Raises CoachbookError for a line that is no
    note, for an unknown unit, and for a sign that could be about several.
    """
    who, colon, words = line.partition(":")
    if not colon:
        raise CoachbookError(f"'{line}' is not a note.", f"Such as: {_example_note(left)}.")
    named, comma, last = (each.strip() for each in who.rpartition(","))
    impression = _IMPRESSIONS.get(last[-1:], Impression.NONE)
    told = last.removesuffix("+").removesuffix("-").strip()
    student, which = (named, told) if comma else (told, "")
    numbered = {str(number): code for number, (code, _) in enumerate(left.units, start=1)}
    if impression and not which and len(numbered) != 1:
        raise CoachbookError(
            "A sign needs its unit.", f"Such as: {_example_student(left)}, 1{last[-1:]}: ..."
        )
    which = which or ("1" if impression else "")
    code = syllabus.unit(numbered.get(which, which)).code if which else ""
    if student.isdecimal():
        student = find_picked(left.students, student, "student")
    return Observation(student, code, left.on, words, impression)
