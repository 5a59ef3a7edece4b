"""The coach's answers of an evening: every answer in short, every key once."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.worksheet import Answer, AnswerForm, Worksheet
from coachbook.paper.answer_page import EveningAnswers, answer_pages, shortened
from coachbook.paper.text import text_width
from tests.paper import printed, samples
from tests.paper.report_samples import CLUB, TODAY

LETTERS = PaperOptions(notation=Notation.LETTERS)
ONE = replace(samples.worksheet(1), code="A-1", items=(samples.smaller_box(), samples.how_big()))
TWO = replace(ONE, code="B-2", items=(samples.how_big(), samples.which_rule("Draw", "White wins")))


def pages(tmp_path: Path, *groups: tuple[str, dict[str, Worksheet | None]]) -> dict[str, list[str]]:
    """By title: the text of each part's pages, lines joined."""
    found = {}
    for title, document in answer_pages(EveningAnswers(CLUB, TODAY, groups), LETTERS):
        (tmp_path / "part.pdf").write_bytes(document)
        found[title] = [" ".join(text.split()) for text in printed.texts(tmp_path / "part.pdf")]
    return found


def test_each_group_has_a_page_with_its_students_and_their_answers_and_the_number_of_each_key(
    tmp_path: Path,
) -> None:
    made = pages(tmp_path, ("Foxes", {"Ada": ONE, "Ben": TWO}), ("Owls", {"Zoë": ONE}))
    assert list(made) == ["Answers Foxes", "Answers Owls", "Keys"]
    (foxes,), (owls,) = made["Answers Foxes"], made["Answers Owls"]
    assert "Ada A-1 1 Qe4 2 16 Ben B-2 2 16 3 Draw" in foxes
    assert "Zoë A-1 1 Qe4 2 16" in owls
    assert "Zoë" not in foxes


def test_a_position_that_several_have_has_one_key_with_their_names_and_items(tmp_path: Path) -> None:
    made = pages(tmp_path, ("Foxes", {"Ada": ONE, "Ben": TWO, "Cy": ONE}))
    (keys,) = made["Keys"]
    assert "Keys 1 to 3" in keys
    assert "1 Ada 1, Cy 1" in keys
    assert "2 Ada 2, Ben 1, Cy 2" in keys
    assert "3 Ben 2" in keys


def test_who_has_no_sheet_is_named_so_that_nobody_is_thought_forgotten(tmp_path: Path) -> None:
    made = pages(tmp_path, ("Foxes", {"Ada": ONE, "Ben": None}), ("Owls", {"Zoë": None}))
    assert "Ben no sheet" in made["Answers Foxes"][0]
    assert list(made) == ["Answers Foxes", "Keys"]


def test_items_that_ask_something_else_of_the_same_position_have_keys_of_their_own(tmp_path: Path) -> None:
    other = replace(samples.how_big(), answer=Answer(AnswerForm.NUMBER, ("17",)))
    made = pages(tmp_path, ("Foxes", {"Ada": ONE, "Ben": replace(TWO, items=(other,))}))
    assert "3 Ben 1" in made["Keys"][0]


@given(st.lists(st.text("QKabc18#", min_size=1, max_size=7), min_size=1, max_size=30), st.floats(30, 80))
def test_a_short_answer_has_three_lines_at_most_and_is_whole_or_says_that_it_goes_on(
    words: list[str], width: float
) -> None:
    lines, size = shortened(" ".join(words), width)
    assert len(lines) <= 3
    assert all(text_width(line, size, bold=True) <= width for line in lines)
    told = "".join(lines).replace(" ", "")
    assert told == "".join(words) or (
        "".join(words).startswith(told[:-1]) and told[-1] == "\N{HORIZONTAL ELLIPSIS}"
    )


@pytest.mark.parametrize("size", PaperSize)
def test_a_large_group_with_long_answers_keeps_the_margins(tmp_path: Path, size: PaperSize) -> None:
    long = Answer(AnswerForm.MOVES, tuple(f"Q{file}{rank}#" for file in "abcd" for rank in "1234"))
    item = replace(samples.all_mates(), answer=long)
    sheet = replace(samples.worksheet(1), items=(item, *samples.every_form(9).items))
    names = [f"Maximiliane Konstantinopoulou-Wojciechowska {number}" for number in range(20)]
    answers = EveningAnswers(CLUB, TODAY, [("Foxes", dict.fromkeys(names, sheet))])
    for _, document in answer_pages(answers, PaperOptions(size)):
        (tmp_path / "x.pdf").write_bytes(document)
        printed.check_margins(tmp_path / "x.pdf", tmp_path)
