from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.paper.answer_key import write_key
from coachbook.paper.lesson_plan import write_lesson
from coachbook.paper.play_out_cards import write_cards
from coachbook.paper.poster import write_poster
from coachbook.paper.print_options import PaperOptions, PaperSize
from coachbook.paper.sheet_page import write_worksheets
from coachbook.paper.wall_plan import write_term
from tests.paper import printed, samples

Write = Callable[[Path, PaperOptions], None]
LONG_NAME = "Maximiliane Konstantinopoulou-Wojciechowska of the Tuesday beginners " * 2


def poster(path: Path, options: PaperOptions) -> None:
    lesson = samples.lesson()
    boards = lesson.demonstration_boards[:2]
    write_poster("The queen's box", lesson.unit.aim, lesson.rules, boards, lesson.proof_line, path, options)


PAPERS: dict[str, Write] = {
    "worksheet": lambda path, options: write_worksheets(
        [(samples.worksheet(8), LONG_NAME[:90])], path, options
    ),
    "twelve a page": lambda path, options: write_worksheets(
        [(samples.every_form(12), LONG_NAME[:90])], path, replace(options, boards_a_page=12)
    ),
    "large print": lambda path, options: write_worksheets(
        [(samples.every_form(5), LONG_NAME[:90])], path, replace(options, large_print=True)
    ),
    "cards": lambda path, options: write_cards([samples.card(i, 7 * i) for i in range(1, 7)], path, options),
    "poster": lambda path, options: poster(path, options),
    "key": lambda path, options: write_key([samples.worksheet(8)], path, options),
    "lesson": lambda path, options: write_lesson(samples.lesson(30), path, options),
    "term": lambda path, options: write_term(
        samples.term_plan(40), samples.TITLES, "Club", "Group", path, options
    ),
}


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_printed_in_the_margins(tmp_path: Path, paper: str, size: PaperSize) -> None:
    PAPERS[paper](tmp_path / "paper.pdf", PaperOptions(size))
    printed.check_margins(tmp_path / "paper.pdf", tmp_path)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_dot_is_black_white_or_grey(tmp_path: Path, paper: str) -> None:
    PAPERS[paper](tmp_path / "paper.pdf", PaperOptions())
    printed.check_greys(tmp_path / "paper.pdf", tmp_path)
