from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.exercises.kinds import kind_names
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.printed import LessonSheet
from coachbook.paper.lesson_plan import lesson_pages, lesson_pdf
from coachbook.paper.page import frame_of
from coachbook.paper.text import text_width
from coachbook.wording.answer_forms import NEW_ON_SHEET, how_answered
from tests.paper import printed, samples


def printed_lesson(path: Path, lesson: LessonSheet) -> list[str]:
    path.write_bytes(lesson_pdf(lesson, PaperOptions(notation=Notation.LETTERS)))
    return [" ".join(text.split()) for text in printed.texts(path)]


PLAY_OUTS, QUESTIONS_WITH_A_BOARD, HOMEWORK = 3, 1, 1


def boards(path: Path) -> int:
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("board-"))


def test_a_lesson_tells_a_coach_everything_in_order(tmp_path: Path) -> None:
    lesson = samples.lesson()
    text = " ".join(printed_lesson(tmp_path / "lesson.pdf", lesson))
    assert lesson.homework
    told = [
        lesson.unit.aim,
        *lesson.unit.say,
        "White: king a1, queen g4. Black: king d6. White moves first, and is to win.",
        *(f"{step.number} {step.san} {step.words}" for step in lesson.shows[0].steps),
        "At the end: it is mate.",
        "Ask",
        "What goes wrong",
        "Play out",
        "White to move: mate within 14 moves.",
        "Homework",
        lesson.homework.task.words,
        "Key",
        lesson.homework.solution.text.words,
        "The rules",
        "Mate: Give mate if you can.",
        "Make the box smaller: Make the box smaller with the queen, but leave him two squares.",
        "Else bring the king towards the meeting square.",
        lesson.proof_line,
    ]
    places = [text.index(words) for words in told]
    assert places == sorted(places)


def test_what_is_new_on_the_sheet_is_told_where_it_is_handed_out(tmp_path: Path) -> None:
    lesson = replace(samples.lesson(), new_kinds=("final_position", "every_mate"))
    text = " ".join(printed_lesson(tmp_path / "lesson.pdf", lesson))
    told = [f"New on the sheet: {how_answered(kind)}" for kind in lesson.new_kinds]
    places = [text.index(words) for words in ("Ask", *told, "What goes wrong")]
    assert places == sorted(places)
    known = " ".join(printed_lesson(tmp_path / "lesson.pdf", samples.lesson()))
    assert "New on the sheet" not in known


@pytest.mark.parametrize("kind", kind_names())
def test_how_a_kind_is_answered_is_told_in_one_line(kind: str) -> None:
    size = 10.0
    width = text_width(f"{NEW_ON_SHEET} ", size, bold=True) + text_width(how_answered(kind), size)
    assert width <= frame_of(PaperSize.A4).width


def words_of(texts: Iterable[str]) -> Counter[str]:
    return Counter(
        " ".join(texts)
        .replace("\N{LEFT DOUBLE QUOTATION MARK}", "")
        .replace("\N{RIGHT DOUBLE QUOTATION MARK}", "")
        .split()
    )


def test_what_stands_side_by_side_is_all_there(tmp_path: Path) -> None:
    """Two columns are drawn row by row, so that a text is not in one piece in the file."""
    lesson = samples.lesson()
    unit = lesson.unit
    printed_words = words_of(printed_lesson(tmp_path / "lesson.pdf", lesson))
    asked = (words for each in unit.questions for words in (each.ask, each.expect, each.wrong, each.reply))
    for texts in (unit.slips, unit.ahead, unit.behind, asked, ("If it is easy", "If it is hard")):
        assert words_of(texts) <= printed_words


def test_the_evening_is_told_by_the_minute(tmp_path: Path) -> None:
    text = printed_lesson(tmp_path / "lesson.pdf", samples.lesson())[0]
    assert "0\N{EN DASH}10 min Review (three students are due)" in text
    assert "10\N{EN DASH}40 min New: The queen's box (next in the syllabus)" in text
    assert "40\N{EN DASH}60 min Practice: The queen's box" in text


@pytest.mark.parametrize(("moves", "more"), [(0, 1), (2, 1), (40, 2)])
def test_a_line_has_a_board_where_it_starts_and_a_long_one_where_it_ends(
    tmp_path: Path, moves: int, more: int
) -> None:
    printed_lesson(tmp_path / "lesson.pdf", samples.lesson(moves))
    assert boards(tmp_path / "lesson.pdf") == more + PLAY_OUTS + QUESTIONS_WITH_A_BOARD + HOMEWORK


def test_a_line_from_the_position_of_the_one_before_has_no_board_of_its_own(tmp_path: Path) -> None:
    lesson = samples.lesson(2)
    (line,) = lesson.shows
    elsewhere = replace(line, start=line.end)
    for lines, drawn in (((line, line), 1), ((line, elsewhere, line), 3)):
        pages = printed_lesson(tmp_path / "lesson.pdf", replace(lesson, shows=lines))
        assert boards(tmp_path / "lesson.pdf") == drawn + PLAY_OUTS + QUESTIONS_WITH_A_BOARD + HOMEWORK
        assert ("the same position once more" in " ".join(pages)) is (drawn == 1)


def test_what_is_empty_is_left_out(tmp_path: Path) -> None:
    bare = replace(
        samples.lesson(0),
        slots=(),
        shows=(),
        homework=None,
        rules=(),
        proof_line="",
        unit=samples.bare_unit(),
    )
    (text,) = printed_lesson(tmp_path / "lesson.pdf", bare)
    for heading in (
        "Minutes",
        "show",
        "Ask",
        "If it is",
        "Play out",
        "Homework",
        "The rules",
        "How we know",
    ):
        assert heading not in text
    assert boards(tmp_path / "lesson.pdf") == 0


def test_a_long_lesson_breaks_over_pages(tmp_path: Path) -> None:
    lesson = samples.lesson()
    pages = printed_lesson(tmp_path / "lesson.pdf", replace(lesson, shows=lesson.shows * 8))
    assert len(pages) == 3
    assert all(f"page {i} of 3" in page for i, page in enumerate(pages, start=1))


def test_the_same_lesson_gives_the_same_bytes_with_all_fonts_in_it(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        (tmp_path / name).write_bytes(lesson_pdf(samples.lesson(), PaperOptions()))
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert all(printed.fonts(tmp_path / "one.pdf").values())


def height_of(lesson: LessonSheet) -> float:
    (page,) = lesson_pages(lesson, 500, 5000, "KQRBN")
    return sum(block.height for block in page)


def heights(height: float) -> list[float]:
    """How high the pages are filled if they are so high."""
    pages = lesson_pages(samples.lesson(), 500, height, "KQRBN")
    return [sum(block.height for block in page) for page in pages]


def test_a_lesson_is_drawn_closer_together_where_that_saves_a_page_beyond_two_and_only_there() -> None:
    (whole,) = heights(5000)
    for share in (1.01, 0.95, 0.7):
        assert sum(heights(share * whole)) == pytest.approx(whole)
        assert len(heights(share * whole)) == (1 if share > 1 else 2)
    closer = heights(0.47 * whole)
    assert len(closer) == 2
    assert sum(closer) < 0.94 * whole


def test_no_heading_nor_what_the_signs_mean_is_left_alone_at_the_foot_of_a_page() -> None:
    (whole,) = heights(5000)
    for share in range(35, 100):
        pages = lesson_pages(samples.lesson(), 500, share / 100 * whole, "KQRBN")
        assert not any(page[-1].keep_next for page in pages)
