"""Conversations without a terminal: each is driven as data, one request at a time, by a desk that remembers
what is put aside and what is kept."""

import pickle
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.cli.talking import words
from coachbook.club.draft import DraftLine, Typed
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Alone, Say, Told, ask
from coachbook.model.facts import EntryFacts, EntryKind, Impression, LogEntry, PlayOutResult
from coachbook.model.syllabus import Syllabus
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.wording.conversations import in_words
from coachbook.workflows.answers_conversation import Answers
from coachbook.workflows.attendance_conversation import Absences, PutAttendanceRight
from coachbook.workflows.closing import NextWeek, ToClose
from coachbook.workflows.closing_conversation import Closing
from coachbook.workflows.effects import (
    Conversation,
    CorrectAttendance,
    Effect,
    Forget,
    KeepAnswers,
    KeepAttendance,
    KeepNote,
    KeepPlayOut,
    KeptAttendance,
    LookAgain,
    Looked,
    MoveOn,
    PutAside,
    YesOrNo,
    drive,
)
from coachbook.workflows.evening_log import PutRight
from coachbook.workflows.lines_conversation import HowItWent, Lines
from coachbook.workflows.playing import start_of
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.typed_answers import TypedSheet
from tests.exercises.samples import FIRST_USES, sample

ON = date(2026, 9, 10)
NAMES = ("Ana", "Bo", "Łucja")
Talked = TypeVar("Talked", bound=Conversation)


def first(kind: str) -> Exercise:
    return sample(next(use for use in FIRST_USES if use.use.kind == kind), 1)[0]


TICK, MOVES = first("final_position"), first("every_mate")
SHEET = Worksheet("A-1", "", "queen-box", "The queen's box", 1, "", ON, 1, (TICK, MOVES, TICK))
STEPS = tuple(TypedSheet(name, SHEET, ON) for name in NAMES)


@pytest.fixture(scope="session")
def syllabus() -> Syllabus:
    return load_syllabus(None)


@dataclass
class Desk:
    """Keeps what it is told to, unless it `refuses`; and looks up the same evening again and again."""

    aside: dict[tuple[str, ...], DraftLine] = field(default_factory=dict)
    kept: list[Effect] = field(default_factory=list)
    shown: list[Told] = field(default_factory=list)
    refuses: bool = False
    evening: Looked | None = None

    def do(self, effect: Effect) -> object:
        if isinstance(effect, PutAside):
            self.aside[effect.line.key] = effect.line
            return None
        if isinstance(effect, Forget):
            for line in effect.lines:
                self.aside.pop(line.key, None)
            return None
        if isinstance(effect, LookAgain):
            return self.evening
        if self.refuses:
            raise CoachbookError("The disk is full.", "Make room.")
        self.kept.append(effect)
        return outcome_of(effect)

    def talk(self, state: Talked, lines: Sequence[str]) -> Talked:
        """The state after these lines, or when it is over: between two requests it is only bytes."""
        state = drive(state.begun(), self.do, self.shown.append)
        for line in lines:
            assert state.is_over == (state.question is None)
            if state.question is None:
                break
            assert in_words(state.question)
            state = drive(carried_over(state).said(line), self.do, self.shown.append)
        return state

    @property
    def codes(self) -> list[Say]:
        return [told.code for told in self.shown]


def carried_over(state: Talked) -> Talked:
    """The state as it comes back from where a front end keeps it between two requests."""
    again: Talked = pickle.loads(pickle.dumps(state))  # noqa: S301 - what it wrote itself
    assert again == state
    return again


def outcome_of(effect: Effect) -> object:
    entry = LogEntry(1, EntryFacts(EntryKind.NOTE, ("Ana",), (ON,), unit="queen-box"), datetime.now(UTC))
    match effect:
        case KeepAttendance():
            return KeptAttendance(entry, ("Bo",))
        case CorrectAttendance(_, came, missing):
            there = tuple(name for name in (*NAMES, *came) if name not in missing)
            return PutRight(entry, tuple(dict.fromkeys(there)), missing)
        case KeepPlayOut(student, start, _, judged, on):
            play_out = start.play_out
            return PlayOutResult(
                student=student,
                unit=start.unit.code,
                on=on,
                fen=play_out.fen,
                goal=play_out.goal,
                allowance=play_out.allowance,
                end=judged.end if judged else "mate",  # type: ignore[arg-type] # any end will do
                used=9,
                card=start.card,
                moves=(),
                slip="",
            )
        case MoveOn():
            return NextWeek(date(2026, 9, 17), (), (), (), (), (), (), ())
    return entry


PIECES = (
    "s",
    "m",
    "n",
    "1",
    "0",
    "-",
    ";",
    "; ",
    " ",
    ",",
    "3: ",
    "2: ",
    "Qe5",
    "Kb3",
    "drop",
    "Bo",
    "=",
    "?",
)
ANY_LINE = st.one_of(
    st.sampled_from(
        ["", "<", "?", "skip", "y", "n", "drop", "1", "Ana", "s; Qe5; n", "2: Kb3", "1 0 1", "s"]
    ),
    st.lists(st.sampled_from(PIECES), max_size=8).map("".join),
    st.text(max_size=12),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(ANY_LINE, max_size=14), st.booleans())
def test_no_answer_is_lost_before_it_is_kept_whatever_is_typed(lines: list[str], ticks: bool) -> None:
    desk, state = Desk(), Answers(steps=STEPS, ticks=ticks)
    state = drive(state.begun(), desk.do, desk.shown.append)
    for line in lines:
        if state.question is None:
            break
        typed = {step.key: step.typed for step in state.steps if step.results}
        assert {(each.student, each.about): dict(each.written) for each in desk.aside.values()} == typed
        assert 0 <= state.at <= len(state.steps)
        state = drive(carried_over(state).said(line), desk.do, desk.shown.append)
    if state.is_over:
        assert not desk.aside
        assert Say.KEPT in desk.codes or Say.DROPPED in desk.codes or Say.NO_ANSWERS in desk.codes
        kept = [each for each in desk.kept if isinstance(each, KeepAnswers)]
        assert [each.results for each in kept] in ([], [state.typed])
    assert all(words(told) for told in desk.shown if told.code is not Say.BLANK)


def test_answers_of_three_students_are_kept_as_one() -> None:
    desk = Desk()
    state = desk.talk(Answers(steps=STEPS), ["s; Qe5; n", "", "skip", ""])
    assert state.is_over
    (kept,) = desk.kept
    assert isinstance(kept, KeepAnswers)
    assert [(each.student, each.item, each.written) for each in kept.results] == [
        ("Ana", 1, "s"),
        ("Ana", 2, "Qe5"),
        ("Ana", 3, "n"),
    ]
    assert [line.student for line in kept.lines] == ["Ana"]


def test_stopping_asks_once_whether_to_keep_what_is_typed() -> None:
    desk = Desk()
    state = desk.talk(Answers(steps=STEPS), ["s; Qe5; n"])
    turn = state.stopped()
    assert turn is not None
    asked = drive(turn, desk.do, desk.shown.append)
    assert asked.question == ask(Say.KEEP, Alone.YES)
    assert asked.stopped() is None
    assert Answers(steps=STEPS).stopped() is None
    done = drive(asked.said(""), desk.do, desk.shown.append)
    assert done.is_stopped
    assert done.is_over
    assert len(desk.kept) == 1


def test_a_line_that_cannot_be_put_aside_is_typed_on() -> None:
    def full(effect: Effect) -> object:
        if isinstance(effect, PutAside):
            raise CoachbookError("The disk is full.")
        return outcome_of(effect)

    shown: list[Told] = []
    state = drive(Answers(steps=STEPS).begun(), full, shown.append)
    state = drive(state.said("s; Qe5; n"), full, shown.append)
    assert Say.NOT_ASIDE in [told.code for told in shown]
    assert not state.is_aside
    assert state.question == ask(Say.LINE, student="Bo", missing=(), again=False)


def test_what_cannot_be_kept_stays_aside() -> None:
    desk = Desk(refuses=True)
    with pytest.raises(CoachbookError):
        desk.talk(Answers(steps=STEPS[:1]), ["s; Qe5; n", "y"])
    assert [line.student for line in desk.aside.values()] == ["Ana"]


def absences(**changed: object) -> Absences:
    begun = Absences(group="Owls", on=ON, students=NAMES, answered={"Ana": 2, "Bo": 0, "Łucja": 0})
    return replace(begun, **changed)  # type: ignore[arg-type] # as the test says


ABSENT_LINE = st.one_of(
    st.sampled_from(["", "1", "2 3", "Bo", "lucja", "y", "n", "yes", "4", "Ana late"]), st.text()
)


@settings(max_examples=150, deadline=None)
@given(st.lists(ABSENT_LINE, max_size=12))
def test_attendance_is_kept_of_everybody_or_not_at_all(lines: list[str]) -> None:
    desk = Desk()
    state = desk.talk(absences(), lines)
    if state.is_over:
        (kept,) = desk.kept
        assert isinstance(kept, KeepAttendance)
        assert tuple(kept.present) == NAMES
        assert not desk.aside
    else:
        assert not desk.kept
        assert (state.unkept is not None) == bool(desk.aside)


def test_who_has_answers_is_absent_only_if_the_coach_says_so() -> None:
    for said, there in (("y", False), ("", True), ("n", True)):
        desk = Desk()
        desk.talk(absences(tells_changes=True), ["1 2", said, "y"])
        (kept,) = desk.kept
        assert isinstance(kept, KeepAttendance)
        assert kept.present == {"Ana": there, "Bo": False, "Łucja": True}
        assert Say.CHANGED in desk.codes


def test_absences_that_were_put_aside_are_the_first_line() -> None:
    desk = Desk()
    state = desk.talk(absences(waiting="Bo"), [])
    assert state.question == ask(Say.KEEP, Alone.YES)
    assert [line.text for line in desk.aside.values()] == ["Bo"]


def test_whoever_is_named_as_wrong_changes_sides() -> None:
    desk = Desk()
    wrong = PutAttendanceRight(
        group="Owls", on=ON, students=NAMES, present=frozenset({"Ana", "Bo"}), answered={"Ana": 1}
    )
    state = desk.talk(wrong, ["Łucja late, 1", "y", "9", ""])
    assert desk.kept == [CorrectAttendance("Owls", ("Łucja",), ("Ana",), ON)]
    assert state.present == {"Bo", "Łucja"}
    assert state.is_over


LEFT = ToClose(
    "Owls",
    ON,
    NAMES,
    frozenset(NAMES),
    (),
    (("Ana", "PLAY-QUEEN-BOX-1"), ("Bo", "PLAY-QUEEN-BOX-1")),
    (("queen-box", "The queen's box"),),
    ("PLAY-QUEEN-BOX-1",),
)


def lines_of(what: Typed, syllabus: Syllabus, *waiting: str) -> Lines:
    aside = tuple(DraftLine(what, ON, "Owls", "Ana", text=text) for text in waiting)
    return Lines(what=what, left=LEFT, syllabus=syllabus, names=(*NAMES, "Dee"), waiting=aside)


def test_each_play_out_is_kept_at_once_and_each_card_of_the_list_once(syllabus: Syllabus) -> None:
    desk = Desk()
    typed = ["1 mated in 9", "1 gave up", "?", "3 gave up", "Dee queen-box-1 stalemate", "Bo nothing", ""]
    state = desk.talk(lines_of(Typed.PLAY_OUT, syllabus), typed)
    assert [each.student for each in desk.kept if isinstance(each, KeepPlayOut)] == ["Ana", "Dee"]
    assert [code for code in desk.codes if code in (Say.PLAYED_BEFORE, Say.REFUSED)] == [
        Say.PLAYED_BEFORE,
        *[Say.REFUSED] * 2,
    ]
    assert state.done == {1}
    assert state.is_over
    assert not desk.aside


def test_notes_say_whose_unit_and_what_was_seen(syllabus: Syllabus) -> None:
    desk = Desk()
    desk.talk(
        lines_of(Typed.NOTE, syllabus), ["2 +: helps", "Dee, queen-box: asks", "Zed: x", "no colon", ""]
    )
    seen = [each.seen for each in desk.kept if isinstance(each, KeepNote)]
    assert [(each.student, each.unit, each.impression) for each in seen] == [
        ("Bo", "queen-box", Impression.CAN),
        ("Dee", "queen-box", Impression.NONE),
    ]
    assert desk.codes.count(Say.REFUSED) == 2


def test_lines_put_aside_come_first_and_go_if_they_cannot_be_read(syllabus: Syllabus) -> None:
    state = lines_of(Typed.NOTE, syllabus, "Ana: helps", "nonsense", "Bo: asks")
    desk = Desk(aside={line.key: line for line in state.waiting})
    state = desk.talk(state, [])
    assert [each.seen.student for each in desk.kept if isinstance(each, KeepNote)] == ["Ana", "Bo"]
    assert desk.codes.count(Say.AGAIN) == 3
    assert not state.waiting
    assert not [line for line in desk.aside.values() if line.text == "nonsense"]


@pytest.mark.full
@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.sampled_from(["Ana: helps", "1+: can", "2 -: no", "?", "Bo: a b"]), st.text(max_size=15)
        ),
        max_size=8,
    )
)
def test_a_note_that_cannot_be_kept_stays_aside_whatever_is_typed(
    syllabus: Syllabus, lines: list[str]
) -> None:
    refused, taken = Desk(refuses=True), Desk()
    refused.talk(lines_of(Typed.NOTE, syllabus), lines)
    taken.talk(lines_of(Typed.NOTE, syllabus), lines)
    kept = {each.line.key for each in taken.kept if isinstance(each, KeepNote)}
    assert set(refused.aside) == kept
    assert not taken.aside
    assert (Say.NOT_KEPT in refused.codes) == bool(kept)


def test_how_a_play_out_went_is_asked_for_and_its_moves_only_if_they_are_missing(syllabus: Syllabus) -> None:
    begun = HowItWent(start=start_of(syllabus, "queen-box-1", None, None), counts=True)
    assert Desk().talk(begun, ["mated in 9", "never asked"]).told == "mated in 9"
    assert Desk().talk(begun, ["mated", ""]).told == "mated not counted"
    assert Desk().talk(begun, ["mated", " 12 "]).told == "mated 12"
    assert Desk().talk(replace(begun, told="mated", counts=False), []).told == "mated"


@pytest.mark.parametrize(
    ("alone", "lines", "answer"),
    [
        *((Alone.YES, [""], True), (Alone.NO, [""], False), (Alone.NO, ["maybe", "", "yes"], False)),
        *((Alone.YES, ["perhaps", "N"], False), (Alone.NO, [" Yes "], True)),
    ],
)
def test_an_empty_line_says_what_the_question_says(alone: Alone, lines: list[str], answer: bool) -> None:
    state = Desk().talk(YesOrNo(asked=ask(Say.PLAN_ANEW, alone)), lines)
    assert state.is_over
    assert state.answer is answer


def evening(syllabus: Syllabus, **changed: object) -> tuple[Desk, Closing]:
    left = replace(LEFT, present=None, sheets=((SHEET, ("Ana",)),))
    left = replace(left, **changed)  # type: ignore[arg-type] # as the test says
    desk = Desk(evening=Looked(left, STEPS[:1], dict.fromkeys(NAMES, 0), NAMES))
    return desk, Closing(group="Owls", on=ON, syllabus=syllabus)


def test_an_evening_is_closed_part_after_part_in_one_conversation(syllabus: Syllabus) -> None:
    desk, state = evening(syllabus)
    typed = ["2", "y", "s; Qe5; n", "y", "1 mated in 9", "", "Ana: helps", "", "1"]
    state = desk.talk(state, typed)
    assert [type(each) for each in desk.kept] == [KeepAttendance, KeepAnswers, KeepPlayOut, KeepNote, MoveOn]
    assert desk.kept[-1] == MoveOn("Owls", ON, ("queen-box",))
    assert state.is_over
    assert state.ahead == date(2026, 9, 17)
    assert not desk.aside


def test_an_evening_that_is_stopped_goes_no_further_than_its_answers(syllabus: Syllabus) -> None:
    desk, state = evening(syllabus)
    state = desk.talk(state, ["", "y", "1: s"])
    turn = state.stopped()
    assert turn is not None
    state = drive(drive(turn, desk.do, desk.shown.append).said("y"), desk.do, desk.shown.append)
    assert state.is_stopped
    assert state.is_over
    assert [type(each) for each in desk.kept] == [KeepAttendance, KeepAnswers]


def test_parts_that_have_nothing_to_ask_are_left_out(syllabus: Syllabus) -> None:
    desk, state = evening(syllabus, present=frozenset(NAMES), sheets=(), cards=(), playable=(), units=())
    state = desk.talk(state, ["", ""])
    assert Say.ALL_LOGGED in desk.codes
    assert Say.PLAY_OUTS not in desk.codes
    assert state.is_over
