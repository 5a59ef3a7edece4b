import subprocess
from collections import Counter
from contextvars import copy_context
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.errors import CoachbookError
from coachbook.model.print_options import BOARDS_A_PAGE, Notation, PaperOptions, PaperSize
from coachbook.model.settings import DateStyle
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.counting import show_dates
from tests.exercises.samples import FIRST_USES, Use, sample
from tests.model.an_exercise import in_words
from tests.paper import printed, samples

A4 = PaperOptions()
WANT_ONE_ANSWER = {
    "build_position",
    "mate_in_two",
    "only_move",
    "opposition",
    "shrink_or_king",
    "smallest_box",
    "waiting_move",
}
NAMES = ("Zażółć Gęślą", "Ωραία Ελένη", "Щукин Юрий", "Nguyễn Thị Ảnh", "Åse O'Brien-Ñuñez")


def boards_by_page(path: Path) -> list[int]:
    return [
        sum(count for name, count in uses.items() if name.startswith("board-"))
        for uses in printed.uses_of_forms_by_page(path)
    ]


@pytest.mark.parametrize(("items", "pages"), [(1, 1), (6, 1), (7, 2), (12, 2), (13, 3)])
def test_six_boards_fill_a_page(tmp_path: Path, items: int, pages: int) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(items), "")], A4))
    texts = printed.texts(file)
    assert len(texts) == pages
    assert all(f"page {i} of {pages}" in text for i, text in enumerate(texts, start=1))


def test_every_copy_bears_its_students_name_in_whatever_letters(tmp_path: Path) -> None:
    file = tmp_path / "sheets.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(6), name) for name in NAMES], A4))
    texts = printed.texts(file)
    assert len(texts) == len(NAMES)
    assert all(f"Name {name}" in text for name, text in zip(NAMES, texts, strict=True))


@pytest.mark.parametrize(
    ("style", "day"),
    [
        (DateStyle.USUAL, "Wed 23 Sept 2026"),
        (DateStyle.MONTH_FIRST, "Wed Sept 23, 2026"),
        (DateStyle.ISO, "Wed 2026-09-23"),
    ],
)
@pytest.mark.parametrize("large", [False, True])
def test_the_evening_for_which_it_is_made_stands_on_each_page_as_the_club_writes_it(
    tmp_path: Path, style: DateStyle, day: str, large: bool
) -> None:
    club, file = copy_context(), tmp_path / "sheet.pdf"
    club.run(show_dates, style)
    sheet = replace(samples.worksheet(8), evening=date(2026, 9, 23))
    file.write_bytes(club.run(worksheets_pdf, [(sheet, "Ida")], PaperOptions(large_print=large)))
    texts = printed.texts(file)
    assert len(texts) > 1
    assert all(f"Date {day}" in " ".join(text.split()) for text in texts)
    sizes = {size for text, size in printed.sized_texts(file) if text.strip() == day}
    assert sizes == {20 if large else 14}


def test_a_sheet_that_is_for_no_evening_has_a_line_for_the_date(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(6), "Ida")], A4))
    (text,) = printed.texts(file)
    assert "Date" in text
    assert "2025" not in text and "2026" not in text


def test_every_page_can_find_home_when_it_is_lost(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(8), "Ida")], A4))
    for text in printed.texts(file):
        assert all(
            words in text for words in ("Lindenhof Chess Club", "The queen's box", "level 1", "Q2-0114-K7")
        )
        assert "Name Ida" in text


def test_the_last_page_asks_how_many_are_right(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(8), "")], A4))
    first, last = printed.texts(file)
    assert "How many right?" in last and "of 8" in last
    assert "How many right?" not in first


def test_items_are_numbered_over_the_pages(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(8), "")], A4))
    assert "8 Black is in a corner." in printed.texts(file)[1]


def test_all_fonts_are_embedded(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(6), NAMES[3])], A4))
    fonts = printed.fonts(file)
    assert len(fonts) >= 3
    assert all(fonts.values()), fonts


def test_board_and_pieces_are_kept_once_for_a_whole_class(tmp_path: Path) -> None:
    file = tmp_path / "sheets.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(6), name) for name in NAMES], A4))
    uses, kept = printed.uses_of_forms(file), printed.forms_kept(file)
    boards = [name for name in uses if name.startswith("board-")]
    assert [uses[name] for name in boards] == [6 * len(NAMES)]
    assert uses["piece-wq"] == 6 * len(NAMES)
    assert all(len(objects) == 1 for objects in kept.values())


@pytest.mark.parametrize(
    "options", [A4, PaperOptions(boards_a_page=9), PaperOptions(PaperSize.LETTER, large_print=True)]
)
def test_the_same_sheets_give_the_same_bytes(tmp_path: Path, options: PaperOptions) -> None:
    copies = [(samples.every_form(8), name) for name in NAMES]
    for name in ("one.pdf", "two.pdf"):
        (tmp_path / name).write_bytes(worksheets_pdf(copies, options))
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_the_number_of_move_lines_does_not_tell_how_many_are_right(tmp_path: Path) -> None:
    sheet = samples.worksheet(6)
    none_right = replace(sheet.items[2], answer=Answer(AnswerForm.MOVES, ()))
    other = replace(sheet, items=(*sheet.items[:2], none_right, *sheet.items[3:]))
    for name, copy in (("two right.pdf", sheet), ("none right.pdf", other)):
        (tmp_path / name).write_bytes(worksheets_pdf([(copy, "")], A4))
    assert (tmp_path / "two right.pdf").read_bytes() == (tmp_path / "none right.pdf").read_bytes()


def boxes_to_write_in(path: Path, item: Exercise) -> int:
    path.write_bytes(worksheets_pdf([(replace(samples.worksheet(1), items=(item,)), "")], A4))
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("box-"))


def test_one_move_has_one_box_and_every_move_a_few(tmp_path: Path) -> None:
    assert boxes_to_write_in(tmp_path / "one.pdf", samples.smaller_box()) == 1
    assert boxes_to_write_in(tmp_path / "every.pdf", samples.all_mates()) == 3
    assert boxes_to_write_in(tmp_path / "race.pdf", samples.who_queens_first()) == 3
    assert boxes_to_write_in(tmp_path / "line.pdf", samples.three_moves()) == 3
    four = replace(samples.all_mates(), answer=Answer(AnswerForm.MOVES, ("Qa1", "Qa2", "Qa3", "Qa4")))
    assert boxes_to_write_in(tmp_path / "four.pdf", four) == 4


@pytest.mark.parametrize(
    "use", [use for use in FIRST_USES if use.use.kind in WANT_ONE_ANSWER], ids=lambda use: use.use.kind
)
def test_a_task_that_wants_one_move_or_square_has_one_box(tmp_path: Path, use: Use) -> None:
    assert boxes_to_write_in(tmp_path / "x.pdf", sample(use, 1)[0]) == 1


@pytest.mark.parametrize(
    ("item", "words"),
    [
        (samples.how_big(), "How many?"),
        (samples.smaller_box(), "Your move"),
        (samples.all_mates(), "Your moves"),
        (samples.which_rule("White wins", "Draw"), "Tick one. White wins Draw"),
        (samples.mark_squares(), "Mark your answer on the board."),
        (samples.three_moves(), "Your moves 1. \u2654c5 2. \u2654d6 3."),
    ],
)
def test_each_answer_form_has_its_place(tmp_path: Path, item: Exercise, words: str) -> None:
    sheet = replace(samples.worksheet(1), items=(item,))
    (tmp_path / "x.pdf").write_bytes(worksheets_pdf([(sheet, "")], A4))
    assert words in " ".join(printed.texts(tmp_path / "x.pdf")[0].split())


@pytest.mark.parametrize("boards", BOARDS_A_PAGE)
@pytest.mark.parametrize("size", PaperSize)
def test_so_many_boards_fill_a_page_as_are_asked_for(tmp_path: Path, size: PaperSize, boards: int) -> None:
    sheet = samples.every_form(boards + 2)
    (tmp_path / "x.pdf").write_bytes(worksheets_pdf([(sheet, "")], PaperOptions(size, boards_a_page=boards)))
    assert boards_by_page(tmp_path / "x.pdf") == ([boards, 2] if boards > 1 else [1, 1, 1])


@pytest.mark.parametrize(
    ("items", "boards", "pages"), [(10, 9, [6, 4]), (7, 6, [4, 3]), (13, 6, [6, 4, 3]), (5, 4, [2, 3])]
)
def test_a_row_moves_on_rather_than_that_an_item_stands_alone(
    tmp_path: Path, items: int, boards: int, pages: list[int]
) -> None:
    file, options = tmp_path / "x.pdf", PaperOptions(boards_a_page=boards)
    file.write_bytes(worksheets_pdf([(samples.every_form(items), "")], options))
    assert boards_by_page(file) == pages


def test_a_number_of_boards_that_fills_no_page_is_refused() -> None:
    with pytest.raises(CoachbookError, match="no page of 7 boards"):
        PaperOptions(boards_a_page=7)


def test_letters_must_name_five_pieces() -> None:
    for letters in ("KQRB", "KQRBB", "KQRB1", "KQRBNP"):
        with pytest.raises(CoachbookError, match="does not name the pieces"):
            PaperOptions(letters=letters)


@pytest.mark.parametrize("size", PaperSize)
def test_seven_options_of_forty_letters_find_room_on_fewer_boards_a_page(
    tmp_path: Path, size: PaperSize
) -> None:
    options = tuple(f"Option {i} of about forty letters in all." for i in range(7))
    sheet = replace(samples.worksheet(1), items=(samples.which_rule(*options),) * 12)
    for asked in (
        PaperOptions(size, boards_a_page=9),
        PaperOptions(size),
        PaperOptions(size, large_print=True),
    ):
        (tmp_path / "x.pdf").write_bytes(worksheets_pdf([(sheet, "")], asked))
        pages = boards_by_page(tmp_path / "x.pdf")
        assert sum(pages) == 12
        assert max(pages) < 6
        text = " ".join(printed.texts(tmp_path / "x.pdf")[0].split())
        assert all(option in text for option in options)


@pytest.mark.parametrize("size", PaperSize)
def test_large_print_has_two_boards_a_page_and_no_small_letter(tmp_path: Path, size: PaperSize) -> None:
    file = tmp_path / "large.pdf"
    file.write_bytes(worksheets_pdf([(samples.every_form(6), "Ida")], PaperOptions(size, large_print=True)))
    assert boards_by_page(file) == [2, 2, 2]
    coordinates = set("abcdefgh12345678")
    sizes = {size for text, size in printed.sized_texts(file) if text.strip() not in coordinates}
    assert min(sizes) >= 18
    assert min(size for _, size in printed.sized_texts(file)) >= 14


@pytest.mark.parametrize(("boards", "smallest"), [(9, 9), (6, 10), (4, 10), (2, 11), (1, 12)])
def test_tasks_are_large_enough_to_read(tmp_path: Path, boards: int, smallest: float) -> None:
    sheet = samples.every_form(12)
    (tmp_path / "x.pdf").write_bytes(worksheets_pdf([(sheet, "")], PaperOptions(boards_a_page=boards)))
    words = {item.task.words.split()[0] for item in sheet.items}
    sizes = [
        size
        for text, size in printed.sized_texts(tmp_path / "x.pdf")
        if text.split()[:1] and text.split()[0] in words
    ]
    assert len(sizes) >= 12
    assert min(sizes) >= smallest


def test_nothing_of_a_student_is_printed_but_the_name(tmp_path: Path) -> None:
    for name in ("", "Ida"):
        (tmp_path / f"{name}.pdf").write_bytes(worksheets_pdf([(samples.worksheet(6), name)], A4))
    blank, named = (Counter(printed.texts(tmp_path / f"{name}.pdf")[0].split()) for name in ("", "Ida"))
    assert named - blank == Counter(["Ida"])


def test_moves_in_tasks_follow_the_notation(tmp_path: Path) -> None:
    task = "After Qe4, how many squares are in the box?"
    sheet = replace(samples.worksheet(1), items=(replace(samples.how_big(), task=in_words(task)),))
    (tmp_path / "letters.pdf").write_bytes(
        worksheets_pdf([(sheet, "")], PaperOptions(notation=Notation.LETTERS))
    )
    (tmp_path / "figurine.pdf").write_bytes(worksheets_pdf([(sheet, "")], A4))
    assert "After Qe4" in printed.texts(tmp_path / "letters.pdf")[0]
    assert "After \u2655e4" in printed.texts(tmp_path / "figurine.pdf")[0].replace("\n", "")


def test_a_long_task_finds_room_on_fewer_boards_a_page(tmp_path: Path) -> None:
    sheet = replace(
        samples.worksheet(1), items=(replace(samples.how_big(), task=in_words("Count well. " * 14)),) * 6
    )
    (tmp_path / "x.pdf").write_bytes(worksheets_pdf([(sheet, "")], A4))
    assert boards_by_page(tmp_path / "x.pdf") == [4, 2]


def test_a_task_too_long_for_any_page_is_refused_not_cut() -> None:
    sheet = replace(
        samples.worksheet(1), items=(replace(samples.how_big(), task=in_words("Count the squares. " * 60)),)
    )
    with pytest.raises(CoachbookError, match="too long"):
        worksheets_pdf([(sheet, "")], A4)


def test_the_document_says_what_it_is(tmp_path: Path) -> None:
    file = tmp_path / "sheets.pdf"
    file.write_bytes(worksheets_pdf([(samples.worksheet(6), name) for name in NAMES[:2]], A4))
    reader = PdfReader(file)
    assert reader.metadata is not None and reader.metadata.title == "The queen's box (Q2-0114-K7)"
    assert printed.language(file) == "en-GB"
    assert printed.outline(file) == [f"{name} - Q2-0114-K7" for name in NAMES[:2]]


@pytest.mark.parametrize(
    ("size", "width_mm", "height_mm"), [(PaperSize.A4, 210, 297), (PaperSize.LETTER, 215.9, 279.4)]
)
def test_the_page_has_the_size_asked_for(
    tmp_path: Path, size: PaperSize, width_mm: float, height_mm: float
) -> None:
    (tmp_path / "sheet.pdf").write_bytes(worksheets_pdf([(samples.worksheet(6), "")], PaperOptions(size)))
    box = PdfReader(tmp_path / "sheet.pdf").pages[0].mediabox
    assert float(box.width) == pytest.approx(width_mm / 25.4 * 72, abs=0.1)
    assert float(box.height) == pytest.approx(height_mm / 25.4 * 72, abs=0.1)


@pytest.mark.parametrize(
    "options", [A4, PaperOptions(PaperSize.LETTER, boards_a_page=9), PaperOptions(large_print=True)]
)
def test_the_code_on_the_page_can_be_scanned(tmp_path: Path, options: PaperOptions) -> None:
    zbarimg = printed.tool("zbarimg")
    (tmp_path / "sheet.pdf").write_bytes(worksheets_pdf([(samples.worksheet(1), "")], options))
    printed.pixels(tmp_path / "sheet.pdf", 200, tmp_path)
    scan = next(tmp_path.glob("page-*"))
    found = subprocess.run([zbarimg, "-q", "--raw", str(scan)], capture_output=True, text=True, check=True)
    assert found.stdout.split() == ["Q2-0114-K7"]
