"""How an evening is filled by pencil: visits of the coach, and what a group does until then."""

import pytest

from coachbook.model.term_plan import Reason, Slot, SlotKind, Why
from coachbook.term.layout import EveningDraft, stretch_of
from coachbook.term.request import CoachTime
from tests.term.samples import START

QUIET = Slot(SlotKind.PRACTICE, "a", 20)
LED = Slot(SlotKind.NEW, "a", 20, with_coach=True)


def evening(*slots: Slot, busy: tuple[CoachTime, ...] = (), turn: int = 60) -> EveningDraft:
    made = EveningDraft(START, 60, turn, busy)
    for slot in slots:
        made.put(slot)
    return made


def test_a_short_wait_prolongs_the_quiet_work_before_it() -> None:
    short = evening(LED, QUIET, busy=(CoachTime(40, 49, "Owls"),))
    short.wait(49, knows_something=True)
    assert [(slot.kind, slot.minutes) for slot in short.slots] == [
        (SlotKind.NEW, 20),
        (SlotKind.PRACTICE, 29),
    ]
    assert short.at == 49


@pytest.mark.parametrize(("slots", "until"), [((QUIET,), 30), ((QUIET, LED), 45), ((), 5)])
def test_any_other_wait_is_work_of_its_own(slots: tuple[Slot, ...], until: int) -> None:
    waiting = evening(*slots, busy=(CoachTime(0, 60, "Owls"),))
    begins = waiting.at
    waiting.wait(until, knows_something=True)
    last = waiting.slots[-1]
    assert (len(waiting.slots), last.kind, last.unit) == (len(slots) + 1, SlotKind.PRACTICE, "")
    assert (last.minutes, last.with_coach, waiting.at) == (until - begins, False, until)


def test_who_knows_nothing_yet_plays_while_waiting() -> None:
    waiting = evening(busy=(CoachTime(0, 20, "Owls"),))
    waiting.wait(20, knows_something=False)
    assert waiting.slots[-1].kind is SlotKind.PLAY_OUT


def test_only_those_whom_the_coach_is_with_meanwhile_are_waited_for() -> None:
    busy = (
        CoachTime(0, 20, "Before"),
        CoachTime(20, 30, "Owls"),
        CoachTime(30, 40, "Hares"),
        CoachTime(40, 60, "After"),
    )
    waiting = evening(LED, busy=busy)
    waiting.wait(40, knows_something=True)
    assert waiting.slots[-1].why == Reason(Why.QUIET_SHEET, names=("Owls", "Hares"))


def test_the_coach_comes_in_the_first_gap_that_is_long_enough_and_for_the_turn_that_is_left() -> None:
    busy = (CoachTime(25, 40, "Owls"), CoachTime(0, 20, "Hares"))
    assert evening(busy=busy).visit(15) == (40, 15)
    assert evening(busy=busy).visit(5) == (20, 5)
    assert evening(busy=busy).visit(40) == (40, 20)
    assert evening(busy=busy, turn=10).visit(40) == (40, 10)
    assert evening(busy=(CoachTime(0, 60, "Owls"),)).visit(5) is None
    assert evening(LED, turn=20).visit(10) is None
    assert evening(QUIET, turn=20).visit(10) == (20, 10)


@pytest.mark.parametrize(
    ("need", "free", "minutes"),
    [
        (20, 20, 20),
        (20, 30, 20),
        (25, 20, 15),
        (25, 14, 14),
        (25, 9, 0),
        (19, 18, 0),
        (20, 10, 10),
        (0, 30, 0),
    ],
)
def test_work_is_cut_so_that_neither_piece_is_shorter_than_ten_minutes(
    need: int, free: int, minutes: int
) -> None:
    assert stretch_of(need, free) == minutes
