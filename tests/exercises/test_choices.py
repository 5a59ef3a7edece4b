"""What is ticked is read by words, signs and the numbers of the card; what may mean two means none."""

from dataclasses import replace

import pytest

from coachbook.exercises.answers_read import fitting_options, is_doubtful_number
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.exercises.verify import check_exercise
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.method.teaching_order import method_names
from coachbook.model.claims import MethodRule
from coachbook.model.facts import Slip
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import printed_options
from tests.exercises.samples import Made, of_each_kind

EXERCISES = of_each_kind(9)
CHOICES = Made(lambda: (each for each in EXERCISES if each.answer.form is AnswerForm.CHOICE))
RULES = Made(lambda: (each for each in CHOICES if each.kind == "next_rule"))
METHODS = [method for name in method_names() if (method := find_method(name)) is not None]


def of(kind: str) -> tuple[Exercise, ...]:
    return tuple(exercise for exercise in CHOICES if exercise.kind == kind)


def asking(method: Method, right: str, *, numbered: bool) -> Exercise:
    """Which rule of a method comes next, as on a sheet of now, or of before the options had numbers."""
    answer = replace(
        RULES[0].answer,
        accepted=(right,),
        options=tuple(rule.code for rule in method.rules),
        numbers=tuple(map(method.number_of, method.rules)) if numbered else (),
    )
    return replace(RULES[0], answer=answer, claims=(MethodRule(method.name, right, frozenset()),))


@pytest.mark.parametrize(
    ("kind", "written", "option"),
    [
        *(("final_position", way, "mate") for way in ("mate", "checkmate", "check mate", "Check-mate!", "#")),
        *(("final_position", way, "mate") for way in ("Checkmate.", "it's mate", "it is checkmate", "m")),
        *(("final_position", way, "stalemate") for way in ("stalemate!", "stale mate", "Stale-Mate", "s")),
        *(("final_position", way, "stalemate") for way in ("a stalemate", "stale", "it's a stale mate.")),
        *(("final_position", way, "neither") for way in ("none", "Neither of them", "n", "none of them")),
        *(("win_or_draw", way, "draw") for way in ("draw", "drawn", "a draw", "It's a draw!", "½", "=", "d")),
        *(
            ("win_or_draw", way, "draw")
            for way in ("1/2", "½-½", "1/2-1/2", "½\N{EN DASH}½", "½ - ½", "1/2 - 1/2")
        ),
        *(
            ("win_or_draw", way, "white_wins")
            for way in ("white", "White won", "win", "wins", "1-0", "1\N{EN DASH}0")
        ),
        *(("catch_pawn", way, "yes") for way in ("yes", "Y", "YES!")),
        *(("catch_pawn", way, "no") for way in ("no", "n", "No.")),
    ],
)
def test_ordinary_words_and_signs_are_read(kind: str, written: str, option: str) -> None:
    for exercise in of(kind):
        right = option in exercise.answer.accepted
        assert fitting_options(exercise, written) == (option,)
        assert mark_answer(exercise, written) == (RIGHT if right else Mark(False, exercise.answer.wrong))


@pytest.mark.parametrize(
    "written", ["pat", "check", "remis", "black", "0-1", "yes", "matt", "stalemate mate"]
)
def test_other_words_are_unreadable(written: str) -> None:
    for exercise in (*of("final_position"), *of("win_or_draw")):
        assert fitting_options(exercise, written) == ()
        assert mark_answer(exercise, written) == Mark(False, Slip.UNREADABLE)


@pytest.mark.parametrize("written", ["", " ", "?", "-", "...", "!", "()"])
def test_nothing_fits_nothing(written: str) -> None:
    for exercise in EXERCISES:
        assert fitting_options(exercise, written) == ()


@pytest.mark.parametrize("written", ["=", "#"])
def test_a_sign_for_one_question_says_nothing_to_another(written: str) -> None:
    for exercise in EXERCISES:
        if not {"draw", "mate"} & {*exercise.answer.options}:
            assert mark_answer(exercise, written) == Mark(False, Slip.NOT_TRIED)


def test_only_a_choice_has_options_that_fit() -> None:
    for exercise in EXERCISES:
        assert bool(fitting_options(exercise, "1")) == (exercise.answer.form is AnswerForm.CHOICE)


def test_what_fits_several_options_fits_them_in_printed_order() -> None:
    box = asking(METHODS[1], "mate", numbered=True)
    assert fitting_options(box, "m") == ("mate", "smaller_queen_box", "other_queen_box")
    assert fitting_options(box, "Make ") == ("smaller_queen_box", "other_queen_box")
    assert fitting_options(box, "mate") == ("mate",)
    assert mark_answer(box, "m") == Mark(False, Slip.UNREADABLE)


@pytest.mark.parametrize("method", METHODS, ids=lambda method: str(method.name))
def test_the_number_that_is_typed_is_that_of_the_card(method: Method) -> None:
    for right in method.rules:
        exercise = asking(method, right.code, numbered=True)
        for number, rule in enumerate(method.told, start=1):
            assert method.number_of(rule) == number
            is_option = rule is not method.never
            assert fitting_options(exercise, f"{number}") == ((rule.code,) if is_option else ())
            mark = Mark(False, Slip.WRONG_RULE) if is_option else Mark(False, Slip.UNREADABLE)
            for way in ("{}", "{}.", "({})", "rule {}", " {} "):
                assert mark_answer(exercise, way.format(number)) == (RIGHT if rule is right else mark)
        assert fitting_options(exercise, "0") == fitting_options(exercise, f"{len(method.told) + 1}") == ()


def test_a_new_sheet_prints_the_numbers_of_the_card() -> None:
    assert len(RULES) > 5
    for exercise in RULES:
        claim = next(claim for claim in exercise.claims if isinstance(claim, MethodRule))
        method = find_method(claim.method)
        assert method is not None
        card = [f"{number}. {rule.name}" for number, rule in enumerate(method.told, start=1)]
        options = list(printed_options(exercise.answer))
        assert [option for option in card if option in options] == options, exercise.position.fen
        assert len(options) == len(method.rules)


@pytest.mark.parametrize("method", METHODS, ids=lambda method: str(method.name))
def test_on_a_sheet_without_numbers_one_that_card_and_list_count_differently_is_unreadable(
    method: Method,
) -> None:
    """Typed by the list, or by the card? Only where both say the same, or only one knows it, it is read."""
    listed = [rule.code for rule in method.rules]
    exercise = asking(method, listed[-1], numbered=False)
    assert fitting_options(exercise, "1") == (listed[0],)
    assert fitting_options(exercise, f"{len(listed) + 1}") == (listed[-1],)
    assert mark_answer(exercise, f"{len(listed) + 1}") == RIGHT
    assert fitting_options(exercise, "2") == ()  # on the card it is no option
    for number in range(3, len(listed) + 1):
        assert fitting_options(exercise, f"{number}") == (listed[number - 2], listed[number - 1])
    for number in range(2, len(listed) + 1):
        assert mark_answer(exercise, f"{number}") == Mark(False, Slip.UNREADABLE)


def test_a_number_is_doubtful_only_where_list_and_card_differ_and_none_is_printed() -> None:
    method = METHODS[1]
    old, new = (asking(method, "mate", numbered=numbered) for numbered in (False, True))
    assert [is_doubtful_number(old, f"{n}") for n in range(1, 6)] == [False, True, True, True, False]
    assert not any(is_doubtful_number(new, f"{n}") for n in range(1, 9))
    assert not is_doubtful_number(old, "mate")
    others = [exercise for exercise in EXERCISES if exercise.kind != "next_rule"]
    assert not any(is_doubtful_number(exercise, f"{n}") for exercise in others for n in range(1, 9))


def test_on_a_sheet_whose_rules_have_other_names_today_a_number_is_unreadable() -> None:
    exercise = asking(METHODS[1], "mate", numbered=False)
    answer = replace(exercise.answer, options=("mate", "shrink the box", "fetch the king", "begin again"))
    old = replace(exercise, answer=answer)
    assert [fitting_options(old, f"{number}") for number in range(1, 6)] == [("mate",), (), (), (), ()]
    assert fitting_options(old, "shrink") == ("shrink the box",)


def test_numbers_that_a_sheet_has_printed_hold_whatever_the_card_says_today() -> None:
    exercise = asking(METHODS[1], "mate", numbered=True)
    old = replace(exercise, answer=replace(exercise.answer, numbers=(1, 2, 3, 4)))
    assert [fitting_options(old, f"{number}") for number in range(1, 5)] == [
        (option,) for option in old.answer.options
    ]


def test_a_sheet_without_numbers_is_still_sound() -> None:
    for exercise in RULES:
        check_exercise(replace(exercise, answer=replace(exercise.answer, numbers=())))
