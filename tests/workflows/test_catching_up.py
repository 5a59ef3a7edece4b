"""When the coach has time for those who missed a lesson, and what is said if two groups need the coach at
once."""

from datetime import date

from coachbook.model.term_plan import PlannedSession, Slot, SlotKind
from coachbook.workflows.catching_up import GroupTonight, catch_up_times, needed_twice

ON = date(2026, 9, 10)


def slot(kind: SlotKind, minutes: int, unit: str = "") -> Slot:
    return Slot(kind, unit, minutes, with_coach=kind is SlotKind.NEW)


def evening(*slots: Slot) -> PlannedSession:
    return PlannedSession(ON, (*slots, slot(SlotKind.BUFFER, 5)))


EXPLAINED_FIRST = evening(slot(SlotKind.NEW, 20, "a"), slot(SlotKind.PRACTICE, 35, "a"))
EXPLAINED_LAST = evening(slot(SlotKind.PRACTICE, 35, "b"), slot(SlotKind.NEW, 20, "b"))


def test_what_is_caught_up_comes_when_no_group_needs_the_coach() -> None:
    groups = [
        GroupTonight("Foxes", EXPLAINED_FIRST, 0, ["x"]),
        GroupTonight("Owls", EXPLAINED_LAST, 0, ["y", "x"]),
    ]
    assert catch_up_times(groups) == {("Foxes", "x"): 20, ("Owls", "x"): 20}


def test_each_unit_has_ten_minutes_of_its_own_while_there_are_any() -> None:
    (group,) = [GroupTonight("Foxes", EXPLAINED_FIRST, 0, ["x", "y", "z", "more"])]
    assert catch_up_times([group]) == {("Foxes", "x"): 20, ("Foxes", "y"): 30, ("Foxes", "z"): 40}


def test_groups_that_come_one_after_the_other_have_their_own_times() -> None:
    groups = [
        GroupTonight("Foxes", EXPLAINED_FIRST, 17 * 60, ["x"]),
        GroupTonight("Owls", EXPLAINED_FIRST, 18 * 60 + 30, ["x"]),
    ]
    assert catch_up_times(groups) == {("Foxes", "x"): 20, ("Owls", "x"): 20}


def test_two_groups_that_need_the_coach_at_once_for_different_things_are_named() -> None:
    other = evening(slot(SlotKind.PRACTICE, 10, "b"), slot(SlotKind.NEW, 20, "b"))
    foxes, owls = GroupTonight("Foxes", EXPLAINED_FIRST, 0, []), GroupTonight("Owls", other, 0, [])
    assert needed_twice([foxes, owls]) == {10: ("Foxes", "Owls")}
    assert needed_twice([foxes, GroupTonight("Owls", EXPLAINED_FIRST, 0, [])]) == {}
    assert needed_twice([foxes, GroupTonight("Owls", EXPLAINED_LAST, 0, [])]) == {}
