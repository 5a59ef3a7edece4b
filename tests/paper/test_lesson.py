from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.print_options import Notation, PaperOptions
from coachbook.model.printed import LessonSheet
from coachbook.paper.lesson_plan import lesson_pages, lesson_pdf
from tests.paper import printed, samples


def printed_lesson(path: Path, lesson: LessonSheet) -> list[str]:
    path.write_bytes(lesson_pdf(lesson, PaperOptions(notation=Notation.LETTERS)))
    return [" ".join(text.split()) for text in printed.texts(path)]


def boards(path: Path) -> int:
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("board-"))


def test_a_lesson_tells_a_coach_everything_in_order(tmp_path: Path) -> None:
    lesson = samples.lesson()
    text = " ".join(printed_lesson(tmp_path / "lesson.pdf", lesson))
    told = [
        lesson.unit.aim,
        *lesson.unit.say,
        "The king comes.",
        "bring the king towards the meeting square",
        *(words for question in lesson.unit.questions for words in (question.ask, question.expect)),
        *lesson.unit.slips,
        "For those who are ahead",
        *lesson.unit.ahead,
        "For those who are behind",
        *lesson.unit.behind,
        "White to move: mate within 14 moves.",
        "Mate: Give mate if you can.",
        "Make the box smaller: Make the box smaller with the queen, but leave him two squares.",
        "Else bring the king towards the meeting square.",
        lesson.proof_line,
    ]
    places = [text.index(words) for words in told]
    assert places == sorted(places)


def test_the_evening_is_told_by_the_minute(tmp_path: Path) -> None:
    text = printed_lesson(tmp_path / "lesson.pdf", samples.lesson())[0]
    assert "0\N{EN DASH}10 min Review (three students are due)" in text
    assert "10\N{EN DASH}40 min New: The queen's box (next in the syllabus)" in text
    assert "40\N{EN DASH}60 min Practice: The queen's box" in text


def test_the_turning_points_and_play_outs_are_boards(tmp_path: Path) -> None:
    printed_lesson(tmp_path / "lesson.pdf", samples.lesson())
    assert boards(tmp_path / "lesson.pdf") == 5 + 3


def test_what_is_empty_is_left_out(tmp_path: Path) -> None:
    bare = replace(
        samples.lesson(0),
        slots=(),
        demonstration_boards=(),
        rules=(),
        proof_line="",
        unit=samples.bare_unit(),
    )
    (text,) = printed_lesson(tmp_path / "lesson.pdf", bare)
    for heading in (
        "The evening",
        "Show",
        "Ask",
        "For those who",
        "Play out",
        "Card to hand out",
        "How we know",
    ):
        assert heading not in text
    assert boards(tmp_path / "lesson.pdf") == 0


def test_a_long_demonstration_breaks_over_pages(tmp_path: Path) -> None:
    pages = printed_lesson(tmp_path / "lesson.pdf", samples.lesson(70))
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


def test_a_lesson_is_drawn_together_where_that_saves_a_page_and_only_there() -> None:
    (whole,) = heights(5000)
    assert heights(whole + 1) == [whole]
    (drawn_together,) = heights(0.93 * whole)
    assert drawn_together <= 0.93 * whole
    for share in (0.8, 0.7):
        assert sum(heights(share * whole)) == pytest.approx(whole)
        assert len(heights(share * whole)) == 2


def test_what_is_drawn_together_is_in_the_same_type(tmp_path: Path) -> None:
    def printed_sizes(slips: int) -> set[float]:
        lesson = samples.lesson()
        unit = replace(lesson.unit, slips=tuple(f"Slip {i} of this unit." for i in range(slips)))
        printed_lesson(tmp_path / f"{slips}.pdf", replace(lesson, unit=unit))
        return {size for _, size in printed.sized_texts(tmp_path / f"{slips}.pdf")}

    assert len({frozenset(printed_sizes(slips)) for slips in range(1, 40, 5)}) == 1


@pytest.mark.parametrize(
    ("boards", "steps", "beside"), [(1, 1, True), (2, 2, True), (3, 3, False), (1, 9, False)]
)
def test_a_short_plan_stands_beside_its_few_boards(
    tmp_path: Path, boards: int, steps: int, beside: bool
) -> None:
    lesson = samples.lesson(steps)
    lesson = replace(lesson, demonstration_boards=lesson.demonstration_boards[:boards])
    text = " ".join(printed_lesson(tmp_path / "lesson.pdf", lesson))
    assert f"Source: {lesson.demonstration.source.words}." in text
    no_plan = replace(lesson, demonstration=replace(lesson.demonstration, steps=()))
    saved = height_of(lesson) - height_of(no_plan) < 5
    assert saved == beside
