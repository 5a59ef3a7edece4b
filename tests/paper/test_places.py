from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.worksheet import Answer, AnswerForm
from coachbook.paper.page import MM, frame_of
from coachbook.paper.sheet_layout import Area, Layout, answer_place, cells, layouts, most_moves, spots
from coachbook.paper.text import LEADING
from tests.paper import samples

MEN = PaperOptions().men
LAYOUTS = [
    layout
    for options in (PaperOptions(boards_a_page=9), PaperOptions(large_print=True))
    for layout in layouts(options)
]
answers = st.one_of(
    st.just(Answer(AnswerForm.NUMBER, ("16",))),
    st.builds(Answer, st.just(AnswerForm.SQUARES), st.just(("e4",)), st.booleans()),
    st.just(Answer(AnswerForm.RACE, ("4 3 black",))),
    st.just(Answer(AnswerForm.LINE, ("Qe4", "Kb2", "Qc4"), replies=("Kc5", "Kxd6+"))),
    st.builds(Answer, st.just(AnswerForm.MOVES), st.just(("Qe4",)), st.booleans()),
    st.lists(st.text("abcd Q", min_size=1, max_size=40), min_size=2, max_size=7, unique=True).map(
        lambda options: Answer(AnswerForm.CHOICE, (options[0],), options=tuple(options))
    ),
)


def first_area(layout: Layout, size: PaperSize) -> Area:
    """The area for the answer under a task of two lines."""
    cell = cells(layout, frame_of(size))[0]
    return next(spots(layout, cell, 2 * LEADING * layout.task_sizes[0])).answer


@given(answers, st.sampled_from(LAYOUTS), st.sampled_from(PaperSize), st.integers(0, 12))
def test_a_place_is_never_higher_than_its_area(
    answer: Answer, layout: Layout, size: PaperSize, most: int
) -> None:
    area = first_area(layout, size)
    place = answer_place(answer, area, layout, MEN, most)
    assert place is None or 0 < place.height <= area.height + 0.01


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_has_room_for_each_form_of_ordinary_length(layout: Layout, size: PaperSize) -> None:
    area = first_area(layout, size)
    for item in samples.every_form(6).items:
        assert answer_place(item.answer, area, layout, MEN, 3) is not None


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_line_of_three_moves_has_room_with_up_to_six_boards_a_page(layout: Layout, size: PaperSize) -> None:
    place = answer_place(samples.three_moves().answer, first_area(layout, size), layout, MEN, 0)
    assert (place is None) == (layout.boards > 6)


def test_more_moves_than_there_is_room_for_have_no_place() -> None:
    layout = layouts(PaperOptions(boards_a_page=9))[0]
    answer = Answer(AnswerForm.MOVES, ("Qe4",))
    assert answer_place(answer, first_area(layout, PaperSize.A4), layout, MEN, 12) is None


def test_an_area_too_low_to_write_in_is_no_place_for_moves() -> None:
    layout = layouts(PaperOptions())[0]
    low = Area(0, 0, 28 * MM, 8 * MM)
    assert answer_place(Answer(AnswerForm.MOVES, ("Qe4",)), low, layout, MEN, 1) is None


def test_an_area_too_low_or_too_narrow_is_no_place_for_a_race() -> None:
    layout = layouts(PaperOptions())[0]
    for width, height in ((28, 15), (12, 60), (40, 8)):
        area = Area(0, 0, width * MM, height * MM)
        assert answer_place(Answer(AnswerForm.RACE, ("4 3 black",)), area, layout, MEN, 0) is None


def test_the_most_moves_of_a_sheet_are_counted_where_all_are_asked_for() -> None:
    many = replace(samples.all_mates(), answer=Answer(AnswerForm.MOVES, ("Qa1", "Qa2", "Qa3")))
    any_one = replace(many, answer=Answer(AnswerForm.MOVES, ("Qa1",) * 9, all_needed=False))
    assert most_moves([samples.how_big(), many, any_one, samples.all_mates()]) == 3
    assert most_moves([samples.how_big(), samples.which_rule()]) == 0
