from dataclasses import replace
from datetime import date
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.stored import opened, term_plan_from, term_plan_text, worksheet_from, worksheet_text
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.marking import RIGHT, mark_answer
from coachbook.exercises.verify import find_damage
from coachbook.model.claims import Claim, MateIn
from coachbook.model.position import Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import TermPlan
from coachbook.model.worksheet import NOTHING, Answer, AnswerForm, Exercise, Plan, Solution, Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.exercises import accepted_words
from tests.exercises.samples import FIRST_USES, Use, sample
from tests.model.an_exercise import AN_EXERCISE

OPTIONS = PaperOptions()
positions = st.sampled_from(
    [
        Position("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"),
        Position("8/8/8/3k4/8/8/R7/K7 b - - 12 40"),
        Position("8/2p5/3k4/1P6/8/8/8/K7 b - b6 0 1"),
    ]
)
texts = st.text(max_size=12)
numbers = st.builds(Answer, form=st.just(AnswerForm.NUMBER), accepted=st.tuples(texts))
moves = st.builds(Answer, form=st.just(AnswerForm.MOVES), accepted=st.lists(texts, max_size=3).map(tuple))
plans = st.none() | st.builds(Plan, start=positions)
claims: st.SearchStrategy[Claim] = st.one_of([st.from_type(kind) for kind in get_args(Claim)])
exercises = st.builds(
    Exercise,
    position=positions,
    answer=numbers | moves,
    solution=st.builds(Solution, plan=plans),
    claims=st.lists(claims, max_size=3).map(tuple),
)
worksheets = st.builds(Worksheet, items=st.lists(exercises, min_size=1, max_size=2).map(tuple))


@given(worksheets)
def test_a_worksheet_comes_back_exactly(worksheet: Worksheet) -> None:
    assert worksheet_from(worksheet_text(worksheet), "QB-1") == worksheet


@pytest.mark.parametrize("kind", get_args(Claim))
@given(data=st.data())
def test_a_claim_comes_back_as_the_claim_it_was(kind: type[Claim], data: st.DataObject) -> None:
    claim = data.draw(st.from_type(kind))
    stored = worksheet_from(worksheet_text(_sheet_with(claim)), "A-1")
    assert stored.items[0].claims == (claim,)
    assert type(stored.items[0].claims[0]) is type(claim)


@given(st.from_type(TermPlan))
def test_a_term_plan_comes_back_exactly(plan: TermPlan) -> None:
    assert term_plan_from(term_plan_text(plan), "Tuesday") == plan


def test_a_term_plan_without_what_came_later_is_read() -> None:
    text = (
        '{"starts_on":"2026-09-10","ends_on":"2026-12-10","minutes":60,"sessions":[{"on":"2026-09-10","slots":'
        '[{"kind":"review","unit":"","minutes":10,"why":{"why":"review"}},{"kind":"new","unit":"queen-box","minutes":40,'
        '"why":{"why":"next"}}]}],"left_over":["rook-box"]}'
    )
    plan = term_plan_from(text, "Tuesday")
    assert plan.sessions[0].starts == (0, 10)
    assert plan.left_over == ("rook-box",)
    assert not plan.sessions[0].slots[1].with_coach
    assert term_plan_from(term_plan_text(plan), "Tuesday") == plan


def test_a_flipped_bit_of_a_term_plan_is_told_with_its_group() -> None:
    text = term_plan_text(TermPlan(date(2026, 9, 10), date(2026, 12, 10), 60, ()))
    with pytest.raises(CoachbookError, match="term plan of group 'Tuesday' is damaged"):
        term_plan_from(text.replace('"minutes":60', '"minutes":62'), "Tuesday")


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"starts_on": 5}', "{"])
def test_text_that_is_no_term_plan_is_told_with_its_group(text: str) -> None:
    with pytest.raises(CoachbookError, match="term plan of group 'Tuesday' is damaged"):
        term_plan_from(text, "Tuesday")


@pytest.mark.parametrize(
    ("written", "damaged"),
    [("Qg7#", "Qf7#"), ("6Q1", "6P1"), ('"words":""', '"words":"1"'), ("sha256", "sha257")],
)
def test_a_flipped_bit_of_a_worksheet_is_told_with_its_code_and_what_to_do(
    written: str, damaged: str
) -> None:
    text = worksheet_text(_sheet_with(MateIn(1)))
    assert written in text
    with pytest.raises(CoachbookError, match="sheet A-1 is damaged") as told:
        worksheet_from(text.replace(written, damaged), "A-1")
    assert told.value.hint == Advice(Step.RESTORE_AND_PRINT_AGAIN)


def test_a_worksheet_of_the_first_coachbook_has_no_checksum_and_is_read_as_it_was() -> None:
    sheet = _sheet_with(MateIn(1))
    said = opened(worksheet_text(sheet))
    assert said is not None
    assert "sha256" not in said
    assert worksheet_from(said, "A-1") == sheet


def test_a_worksheet_that_breaks_a_rule_of_the_model_is_damaged() -> None:
    text = worksheet_text(_sheet_with(MateIn(1)))
    broken = (opened(text) or "").replace("7k/8", "7q/8")
    assert broken != opened(text)
    with pytest.raises(CoachbookError, match="sheet A-1 is damaged"):
        worksheet_from(broken, "A-1")


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_a_sheet_of_any_kind_is_read_printed_and_marked_as_it_was_made(use: Use) -> None:
    items = sample(use, 6)
    sheet = replace(_sheet_with(MateIn(1)), unit_title=use.unit.title, items=items)
    read = worksheet_from(worksheet_text(sheet), "A-1")
    assert read == sheet
    assert worksheets_pdf([(read, "Ana")], OPTIONS) == worksheets_pdf([(sheet, "Ana")], OPTIONS)
    assert key_pdf([read], OPTIONS) == key_pdf([sheet], OPTIONS)
    for item in read.items:
        assert find_damage(item) is None
        assert mark_answer(item, ", ".join(accepted_words(item.answer))) == RIGHT


def _sheet_with(claim: Claim) -> Worksheet:
    exercise = replace(AN_EXERCISE, unit="queen-box", task=NOTHING, claims=(claim,))
    return Worksheet("A-1", "", "queen-box", "", 1, "", date(2026, 1, 1), 1, (exercise,))
