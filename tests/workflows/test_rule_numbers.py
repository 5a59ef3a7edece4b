"""A rule has one number: on the poster, on the card, on sheet and key, and where answers are typed."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from coachbook.exercises.answers_read import fitting_options
from coachbook.exercises.generate import make_exercises
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import KindUse
from coachbook.model.worksheet import Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.poster import poster_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.exercises import option_words
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.unit_papers import lesson_sheet, rules_in_words
from tests.paper import printed
from tests.paper.samples import worksheet
from tests.shipped import WITH_FIVE_MEN, is_large

SYLLABUS = load_syllabus()
UNITS = [unit for unit in SYLLABUS.units if unit.method]
LARGE = {unit.method for unit in UNITS if is_large(unit)}
NAMES, TICKED = (
    [pytest.param(name, marks=WITH_FIVE_MEN if name in LARGE else ()) for name in sorted(names)]
    for names in (
        {unit.method for unit in UNITS},
        {unit.method for unit in UNITS if any(use.kind == "next_rule" for use in unit.kinds)},
    )
)


def method_of(name: str) -> Method:
    method = find_method(name)
    assert method is not None
    return method


def text_of(path: Path) -> str:
    return " ".join(" ".join(printed.texts(path)).split())


@pytest.mark.parametrize("name", NAMES)
def test_poster_and_card_number_the_rules_alike(name: str, tmp_path: Path) -> None:
    method, unit = method_of(name), next(unit for unit in UNITS if unit.method == name)
    (tmp_path / "p.pdf").write_bytes(poster_pdf("A", rules_in_words(method), (), (), "", PaperOptions()))
    lesson = lesson_sheet(SYLLABUS, unit, "Club", "Group", date(2026, 9, 10), ())
    (tmp_path / "l.pdf").write_bytes(lesson_pdf(lesson, PaperOptions()))
    poster, card = text_of(tmp_path / "p.pdf"), text_of(tmp_path / "l.pdf").split("The rules")[1]
    for rule in method.told:
        begin = f"{method.number_of(rule)} {rule.name[0].upper()}{rule.name[1:]}:"
        assert begin in poster
        assert begin in card


@pytest.mark.parametrize("name", TICKED)
def test_sheet_and_key_print_the_numbers_by_which_an_answer_is_typed(name: str, tmp_path: Path) -> None:
    method, unit = method_of(name), next(unit for unit in UNITS if unit.method == name)
    (exercise,) = make_exercises(unit, KindUse("next_rule", 1, 100), 1, 1, frozenset())
    sheet: Worksheet = replace(worksheet(), items=(exercise,))
    (tmp_path / "s.pdf").write_bytes(worksheets_pdf([(sheet, "Ana")], PaperOptions()))
    (tmp_path / "k.pdf").write_bytes(key_pdf([sheet], PaperOptions()))
    for rule in method.rules:
        number = method.number_of(rule)
        assert fitting_options(exercise, f"{number}") == (rule.code,)
        for path in ("s.pdf", "k.pdf"):
            assert f"{number}. {rule.name}" in text_of(tmp_path / path)


@pytest.mark.parametrize("name", TICKED)
def test_a_sheet_that_was_made_without_numbers_is_printed_again_without(name: str, tmp_path: Path) -> None:
    unit = next(unit for unit in UNITS if unit.method == name)
    (exercise,) = make_exercises(unit, KindUse("next_rule", 1, 100), 1, 1, frozenset())
    old = replace(exercise, answer=replace(exercise.answer, numbers=()))
    (tmp_path / "s.pdf").write_bytes(
        worksheets_pdf([(replace(worksheet(), items=(old,)), "Ana")], PaperOptions())
    )
    text = text_of(tmp_path / "s.pdf")
    options = tuple(map(option_words, old.answer.options))
    assert all(option in text for option in options)
    assert not any(re.search(rf"\d\. {option}", text) for option in options)
