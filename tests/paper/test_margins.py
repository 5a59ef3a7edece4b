from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.poster import Picture, poster_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.paper.wall_plan import term_pdf
from tests.paper import printed, samples
from tests.paper.test_reports import REPORTS

Draw = Callable[[PaperOptions], bytes]
LONG_NAME = "Maximiliane Konstantinopoulou-Wojciechowska of the Tuesday beginners " * 2


def poster(options: PaperOptions) -> bytes:
    lesson = samples.lesson()
    boards = samples.boards()[:2]
    pictures = [Picture(f"{rule.number}", rule.head, rule.words, boards[0]) for rule in lesson.rules]
    return poster_pdf("The queen's box", lesson.rules, boards, pictures, lesson.proof_line, options)


PAPERS: dict[str, Draw] = {
    "worksheet": lambda options: worksheets_pdf([(samples.worksheet(8), LONG_NAME[:90])], options),
    "nine a page": lambda options: worksheets_pdf(
        [(samples.every_form(9), LONG_NAME[:90])], replace(options, boards_a_page=9)
    ),
    "one a page": lambda options: worksheets_pdf(
        [(samples.every_form(6), LONG_NAME[:90])], replace(options, boards_a_page=1)
    ),
    "large print": lambda options: worksheets_pdf(
        [(samples.every_form(6), LONG_NAME[:90])], replace(options, large_print=True)
    ),
    "cards": lambda options: cards_pdf([samples.card(i, 7 * i) for i in range(1, 7)], options),
    "poster": poster,
    "key": lambda options: key_pdf([samples.worksheet(8)], options),
    "lesson": lambda options: lesson_pdf(samples.lesson(30), options),
    "term": lambda options: term_pdf(samples.term_plan(40), samples.TITLES, "Club", "Group", options),
    **REPORTS,
}


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_printed_in_the_margins(tmp_path: Path, paper: str, size: PaperSize) -> None:
    (tmp_path / "paper.pdf").write_bytes(PAPERS[paper](PaperOptions(size)))
    printed.check_margins(tmp_path / "paper.pdf", tmp_path)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_dot_is_black_white_or_grey(tmp_path: Path, paper: str) -> None:
    (tmp_path / "paper.pdf").write_bytes(PAPERS[paper](PaperOptions()))
    printed.check_greys(tmp_path / "paper.pdf", tmp_path)
