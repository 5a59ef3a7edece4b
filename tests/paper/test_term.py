from dataclasses import replace
from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import Reason, Shortfall, Slot, SlotKind, TermPlan, Why
from coachbook.paper.wall_plan import term_pdf
from coachbook.wording.counting import short_day
from tests.paper import printed, samples

PRIME = "\N{PRIME}"


def printed_term(path: Path, plan: TermPlan) -> list[str]:
    path.write_bytes(
        term_pdf(plan, samples.TITLES, "Lindenhof Chess Club", "Tuesday beginners", PaperOptions())
    )
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_a_term_fits_on_one_page_with_every_evening_on_it(tmp_path: Path) -> None:
    plan = samples.term_plan(13)
    (text,) = printed_term(tmp_path / "term.pdf", plan)
    assert "Term plan: Tuesday beginners" in text
    assert "Tue 14 Jan 2025 to Tue 8 Apr 2025" in text
    places = [text.index(short_day(session.on), text.index("Practice")) for session in plan.sessions]
    assert places == sorted(set(places))


def test_an_evening_shows_its_units_by_title_with_minutes(tmp_path: Path) -> None:
    (text,) = printed_term(tmp_path / "term.pdf", samples.term_plan(2))
    assert f"Tue 21 Jan 10{PRIME} 25{PRIME} The queen's box 25{PRIME} The queen's box" in text


def test_play_outs_and_assessments_have_their_places_and_minutes_to_spare_none(tmp_path: Path) -> None:
    slots = (
        Slot(SlotKind.ASSESSMENT, "", 20, Reason(Why.LAST_EVENING)),
        Slot(SlotKind.PLAY_OUT, "q2", 15),
        Slot(SlotKind.PLAY_OUT, "", 20),
        Slot(SlotKind.BUFFER, "", 5),
    )
    plan = replace(samples.term_plan(1), at="18:30")
    plan = replace(plan, sessions=(replace(plan.sessions[0], slots=slots),))
    (text,) = printed_term(tmp_path / "term.pdf", plan)
    assert f"20{PRIME} Assessment 15{PRIME} The queen's box 20{PRIME} Mixed No room" in text
    assert "18:30, 60 min" in text


def test_what_is_missing_to_a_goal_is_told_in_evenings(tmp_path: Path) -> None:
    plan = replace(samples.term_plan(2), goal=2, left_over=("r1", "q3"), shortfalls=(Shortfall("r1", 2),))
    (text,) = printed_term(tmp_path / "term.pdf", plan)
    assert "No room this term for: The rook's box. “The rook's box” needs two more evenings" in text


def test_of_many_units_without_room_the_first_are_named(tmp_path: Path) -> None:
    plan = replace(samples.term_plan(2), left_over=tuple(f"u{number}" for number in range(9)))
    assert "for: u0, u1, u2, u3, u4 and 4 more." in printed_term(tmp_path / "term.pdf", plan)[0]


def test_units_without_room_are_named(tmp_path: Path) -> None:
    assert (
        "No room this term for: The rook's box." in printed_term(tmp_path / "t.pdf", samples.term_plan(2))[0]
    )
    complete = replace(samples.term_plan(2), left_over=())
    assert "No room" not in printed_term(tmp_path / "t.pdf", complete)[0]


def test_a_unit_without_a_title_is_printed_by_its_code(tmp_path: Path) -> None:
    (tmp_path / "t.pdf").write_bytes(term_pdf(samples.term_plan(1), {}, "Club", "Group", PaperOptions()))
    assert "q1" in printed.texts(tmp_path / "t.pdf")[0]


def test_the_column_heads_return_on_a_second_page(tmp_path: Path) -> None:
    pages = printed_term(tmp_path / "t.pdf", samples.term_plan(40))
    assert len(pages) == 2
    assert all("Date Review New Practice Play-outs" in page for page in pages)


def test_the_same_term_gives_the_same_bytes_with_all_fonts_in_it(tmp_path: Path) -> None:
    printed_term(tmp_path / "one.pdf", samples.term_plan())
    printed_term(tmp_path / "two.pdf", samples.term_plan())
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert all(printed.fonts(tmp_path / "one.pdf").values())
