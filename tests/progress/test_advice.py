"""Who needs review comes first, with the reason in plain words."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from coachbook.model.facts import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening, Standing
from coachbook.model.syllabus import Goal
from coachbook.progress.standing import overview, review_advice
from coachbook.syllabus.read import read_syllabus
from coachbook.wording.counting import how_long_ago
from coachbook.wording.people import advice_in_words

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")
TONIGHT = date(2026, 10, 8)


def evening(days_ago: int, right: int, *slips: str) -> Evening:
    """`right` right answers, and one wrong answer for each slip."""
    return Evening(TONIGHT - timedelta(days_ago), right, right + len(slips), slips)


def in_queen_box(*evenings: Evening) -> dict[str, tuple[Evening, ...]]:
    return {"queen-box": evenings}


def test_the_reason_says_when_how_much_and_what_went_wrong() -> None:
    last = evening(21, 2, "stalemate", "stalemate", "missed mate", "not tried")
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(last)}, TONIGHT)
    assert advice_in_words(advice) == (
        "The queen's box: 3 weeks ago, 2 of 6; stalemated twice, missed a mate once, left 1 blank"
    )
    assert (advice.student, advice.unit, advice.unit_title) == ("Zoë", "queen-box", "The queen's box")
    assert advice.due_on == TONIGHT - timedelta(20)


def test_only_the_slips_of_the_last_evening_are_told() -> None:
    evenings = in_queen_box(evening(60, 0, "stalemate"), evening(30, 5))
    (advice,) = review_advice(SYLLABUS, {"Zoë": evenings}, TONIGHT)
    assert advice_in_words(advice) == "The queen's box: 4 weeks ago, 5 of 5"


def test_whoever_did_badly_tonight_needs_review_soon() -> None:
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(evening(0, 2, *["stalemate"] * 4))}, TONIGHT)
    assert advice_in_words(advice) == "The queen's box: today, 2 of 6; stalemated 4 times"
    assert advice.due_on == TONIGHT + timedelta(1)


def test_whoever_did_well_tonight_needs_none() -> None:
    assert (
        review_advice(SYLLABUS, {"Zoë": in_queen_box(evening(0, 5, "stalemate")), "Ana": {}}, TONIGHT) == ()
    )


def test_the_worse_and_the_longer_ago_the_more_urgent() -> None:
    results = {
        "Ana": in_queen_box(evening(20, 6)),
        "Bea": in_queen_box(evening(0, 1, *["stalemate"] * 5)),
        "Cai": in_queen_box(evening(20, 2, *["stalemate"] * 4)),
        "Dov": in_queen_box(evening(90, 6)),
        "Eve": in_queen_box(evening(20, 1, *["stalemate"] * 5)),
    }
    advice = review_advice(SYLLABUS, results, TONIGHT)
    assert [each.student for each in advice] == ["Eve", "Cai", "Bea", "Dov", "Ana"]
    assert all(0 < each.urgency < 1 for each in advice)


def test_equally_urgent_ones_stand_by_name_and_then_in_the_order_of_the_syllabus() -> None:
    last = evening(30, 3, "stalemate")
    both = {"queen-box": (last,), "two-majors": (last,)}
    advice = review_advice(SYLLABUS, {"Zoë": both, "Ana": both}, TONIGHT)
    assert [(each.student, each.unit) for each in advice] == [
        ("Ana", "two-majors"),
        ("Ana", "queen-box"),
        ("Zoë", "two-majors"),
        ("Zoë", "queen-box"),
    ]


def test_answers_in_a_unit_that_is_no_longer_taught_are_left_alone() -> None:
    old = {"old-unit": (evening(30, 0, "stalemate"),)}
    assert review_advice(SYLLABUS, {"Zoë": old}, TONIGHT) == ()


def test_the_overview_has_every_student_by_name_with_every_unit_in_order() -> None:
    found = overview(SYLLABUS, {"Zoë": in_queen_box(evening(0, 6)), "Ana": {}}, TONIGHT)
    assert [(each.student, each.unit) for each in found] == [
        (student, unit.code) for student in ("Ana", "Zoë") for unit in SYLLABUS.units
    ]
    assert [each.unit for each in found if each.standing is not Standing.NEW] == ["queen-box"]


def play_out(end: PlayOutEnd, used: int | None = 9, card: str = "PLAY-QUEEN-BOX-1") -> PlayOutResult:
    start = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
    return PlayOutResult("Zoë", "queen-box", TONIGHT, start, Goal.WIN, 16, end, used, card)


def played(days_ago: int, *results: PlayOutResult) -> Evening:
    return Evening(TONIGHT - timedelta(days_ago), play_outs=results)


def test_a_play_out_that_failed_is_given_again_on_the_card_played_least_often() -> None:
    failed = played(1, play_out(PlayOutEnd.STALEMATE))
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(failed)}, TONIGHT)
    assert advice_in_words(advice) == "The queen's box: yesterday, play-out: stalemate"
    assert (advice.items, advice.play_out) == (0, "PLAY-QUEEN-BOX-2")
    assert advice.urgency > 0.9


@pytest.mark.parametrize(
    ("right", "ends", "share"),
    [
        (1, (PlayOutEnd.MATE,), 1 / 6),
        (5, (PlayOutEnd.STALEMATE, PlayOutEnd.MATE), 1 / 2),
        (6, (PlayOutEnd.MATE, PlayOutEnd.MATE), 1),
    ],
)
def test_of_answers_and_play_outs_the_worse_share_counts(
    right: int, ends: tuple[PlayOutEnd, ...], share: float
) -> None:
    last = Evening(TONIGHT - timedelta(120), right, 6, play_outs=tuple(map(play_out, ends)))
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(last)}, TONIGHT)
    recall = next(
        each.recall for each in overview(SYLLABUS, {"Zoë": in_queen_box(last)}, TONIGHT) if each.recall
    )
    assert advice.urgency == pytest.approx(1 - recall * share)


def test_when_only_the_play_out_is_missing_a_card_is_given_and_else_a_sheet() -> None:
    good = in_queen_box(evening(90, 6), evening(80, 6))
    (advice,) = review_advice(SYLLABUS, {"Zoë": good}, TONIGHT)
    assert (advice.items, advice.play_out) == (0, "PLAY-QUEEN-BOX-1")
    known = in_queen_box(evening(90, 6), evening(80, 6), played(70, play_out(PlayOutEnd.MATE)))
    (advice,) = review_advice(SYLLABUS, {"Zoë": known}, TONIGHT + timedelta(200))
    assert (advice.items, advice.play_out) == (3, "")


def test_when_every_card_was_played_as_often_the_first_is_given_again() -> None:
    cards = [f"PLAY-QUEEN-BOX-{number}" for number in range(1, len(SYLLABUS.unit("queen-box").play_outs) + 1)]
    failed = played(1, *(play_out(PlayOutEnd.STALEMATE, card=card) for card in cards))
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(failed)}, TONIGHT)
    assert advice.play_out == cards[0]


def test_as_long_as_the_rule_is_not_met_a_sheet_has_the_items_that_make_an_evening_count() -> None:
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(evening(90, 6))}, TONIGHT)
    assert advice.items == SYLLABUS.unit("queen-box").secure.items == 5


def test_a_unit_is_advised_from_the_day_on_which_it_is_due() -> None:
    seen = {"Zoë": in_queen_box(evening(90, 6))}
    (advice,) = review_advice(SYLLABUS, seen, TONIGHT)
    assert review_advice(SYLLABUS, seen, advice.due_on)[0].due_on == advice.due_on
    assert review_advice(SYLLABUS, seen, advice.due_on - timedelta(1)) == ()
    before = advice.due_on - timedelta(3)
    assert review_advice(SYLLABUS, seen, before, due_by=advice.due_on)[0].due_on == advice.due_on
    assert review_advice(SYLLABUS, seen, before, due_by=advice.due_on - timedelta(1)) == ()


def test_whoever_wants_more_recall_reviews_earlier() -> None:
    seen = {"Zoë": in_queen_box(evening(90, 6))}
    (usual,) = review_advice(SYLLABUS, seen, TONIGHT)
    (strict,) = review_advice(SYLLABUS, seen, TONIGHT, target=0.97)
    assert strict.due_on < usual.due_on
    day = usual.due_on - timedelta(1)
    assert [each.standing for each in overview(SYLLABUS, seen, day) if each.unit == "queen-box"] == [
        Standing.WORKING
    ]
    assert review_advice(SYLLABUS, seen, day, target=0.97)[0].due_on == strict.due_on


def test_what_the_coach_saw_alone_is_as_urgent_as_recall_says() -> None:
    saw = Observation("Zoë", "queen-box", TONIGHT, "hesitates", Impression.TROUBLE)
    seen = in_queen_box(Evening(TONIGHT - timedelta(60), observations=(saw,)))
    (advice,) = review_advice(SYLLABUS, {"Zoë": seen}, TONIGHT)
    recall = next(each.recall for each in overview(SYLLABUS, {"Zoë": seen}, TONIGHT) if each.recall)
    assert advice.urgency == pytest.approx(1 - recall)


def test_advice_says_how_sure_it_is() -> None:
    once = in_queen_box(evening(60, 6))
    twice = in_queen_box(evening(90, 6), evening(80, 6))
    assert not review_advice(SYLLABUS, {"Zoë": once}, TONIGHT)[0].is_sure
    assert review_advice(SYLLABUS, {"Zoë": twice}, TONIGHT)[0].is_sure


def test_a_note_is_told_if_it_has_an_impression_and_never_hides_the_answers() -> None:
    on = TONIGHT - timedelta(2)
    note = Observation("Zoë", "queen-box", on, "hesitates", Impression.TROUBLE)
    bare = Evening(on + timedelta(1), observations=(Observation("Zoë", "queen-box", on, "was tired"),))
    seen = Evening(on, 1, 3, ("stalemate", "stalemate"), observations=(note,))
    (advice,) = review_advice(SYLLABUS, {"Zoë": in_queen_box(seen, bare)}, TONIGHT)
    assert (
        advice_in_words(advice) == "The queen's box: 2 days ago, 1 of 3, seen: has trouble; stalemated twice"
    )
    assert review_advice(SYLLABUS, {"Zoë": in_queen_box(bare)}, TONIGHT + timedelta(365)) == ()


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "yesterday"),
        (2, "2 days ago"),
        (13, "13 days ago"),
        (14, "2 weeks ago"),
        (27, "3 weeks ago"),
        (69, "9 weeks ago"),
        (70, "2 months ago"),
        (90, "3 months ago"),
    ],
)
def test_time_is_told_in_days_weeks_and_months(days: int, words: str) -> None:
    assert how_long_ago(days) == words
