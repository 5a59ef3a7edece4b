"""Groups that share a room stand side by side, minute by minute."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import PlannedSession, Slot, SlotKind, TermPlan
from coachbook.paper.wall_plan import hall_pdf
from coachbook.wording.counting import short_day
from tests.paper import printed, samples

EVENING = samples.MADE_ON
FOXES = (
    Slot(SlotKind.NEW, "q1", 25, with_coach=True),
    Slot(SlotKind.PRACTICE, "q1", 30),
    Slot(SlotKind.BUFFER, "", 5),
)
OWLS = (
    Slot(SlotKind.REVIEW, "", 10),
    Slot(SlotKind.PLAY_OUT, "", 15),
    Slot(SlotKind.ASSESSMENT, "", 30, with_coach=True),
)


def plans(at: str = "18:50") -> dict[str, TermPlan]:
    empty = TermPlan(EVENING, EVENING, 60, (), room=("Foxes", "Owls"), at=at)
    return {
        name: replace(empty, sessions=(PlannedSession(EVENING, slots),))
        for name, slots in (("Foxes", FOXES), ("Owls", OWLS))
    }


def printed_room(path: Path, told: dict[str, TermPlan]) -> list[str]:
    path.write_bytes(hall_pdf(told, samples.TITLES, "Lindenhof Chess Club", PaperOptions()))
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_each_group_has_a_column_with_times_and_minutes_to_spare_are_left_out(tmp_path: Path) -> None:
    (text,) = printed_room(tmp_path / "room.pdf", plans())
    assert "Term plan: Foxes, Owls" in text
    assert "18:50 New: Mate in one with the queen 19:15 Practice: Mate in one with the queen" in text
    assert "18:50 Review 19:00 Play-out: mixed 19:15 Assessment" in text
    assert "Spare" not in text
    assert "In bold: with the coach." in text


def test_without_a_time_of_day_minutes_are_told(tmp_path: Path) -> None:
    (text,) = printed_room(tmp_path / "room.pdf", plans(at=""))
    assert "0\N{PRIME} Review 10\N{PRIME} Play-out: mixed 25\N{PRIME} Assessment" in text


def test_a_time_past_midnight_is_a_time(tmp_path: Path) -> None:
    assert "0:15 Assessment" in printed_room(tmp_path / "room.pdf", plans(at="23:50"))[0]


def test_a_group_that_does_not_meet_on_a_day_has_an_empty_place(tmp_path: Path) -> None:
    told = plans() | {"Bears": replace(plans()["Foxes"], sessions=(), left_over=("r1",))}
    (text,) = printed_room(tmp_path / "room.pdf", told)
    assert "No room this term (Bears) for: The rook's box." in text


def test_a_long_term_of_three_groups_stays_within_the_page(tmp_path: Path) -> None:
    long = samples.term_plan(20)
    pages = printed_room(tmp_path / "room.pdf", {"A": long, "B": long, "C": long})
    assert len(pages) > 1
    assert all("Date A B C" in page for page in pages)
    printed_room(tmp_path / "again.pdf", {"A": long, "B": long, "C": long})
    assert (tmp_path / "room.pdf").read_bytes() == (tmp_path / "again.pdf").read_bytes()


def test_a_day_on_which_no_group_meets_is_told_and_one_on_which_another_does_is_not(tmp_path: Path) -> None:
    weeks = [EVENING + timedelta(weeks=week) for week in range(4)]
    sessions = {"Foxes": (weeks[0], weeks[3]), "Owls": (weeks[0], weeks[1], weeks[3])}
    told = {
        name: replace(
            plan,
            ends_on=weeks[3],
            sessions=tuple(replace(plan.sessions[0], on=on) for on in sessions[name]),
        )
        for name, plan in plans().items()
    }
    text = " ".join(printed_room(tmp_path / "room.pdf", told))
    assert text.count("No club") == 1
    assert f"{short_day(weeks[2])} No club" in text


def test_the_length_of_an_evening_is_told_if_it_is_that_of_all_groups(tmp_path: Path) -> None:
    assert "60 min" in printed_room(tmp_path / "room.pdf", plans())[0]
    longer = {name: replace(plan, minutes=60 + 30 * (name == "Owls")) for name, plan in plans().items()}
    (text,) = printed_room(tmp_path / "room.pdf", longer)
    assert "60 min" not in text
    assert "90 min" not in text
