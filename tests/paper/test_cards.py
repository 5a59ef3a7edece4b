import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from coachbook.errors import CoachbookError
from coachbook.model.play_outs import PlayOutCard, card_code
from coachbook.model.position import Position
from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.syllabus import Goal
from coachbook.paper.page import MM
from coachbook.paper.play_out_cards import cards_pdf, grid_for, moves_to_write
from tests.paper import printed, samples

BLACK_BEGINS = Position("8/8/3k4/8/6Q1/8/8/K7 b - - 0 1")


def card_text(path: Path, card: PlayOutCard) -> str:
    path.write_bytes(cards_pdf([card], PaperOptions()))
    return " ".join(printed.texts(path)[0].split())


@pytest.mark.parametrize(("cards", "pages"), [(1, 1), (4, 1), (5, 2), (9, 3)])
def test_four_cards_fill_a_page(tmp_path: Path, cards: int, pages: int) -> None:
    (tmp_path / "c.pdf").write_bytes(cards_pdf([samples.card(i) for i in range(cards)], PaperOptions()))
    assert len(PdfReader(tmp_path / "c.pdf").pages) == pages
    text = " ".join(printed.texts(tmp_path / "c.pdf"))
    assert all(text.count(f"P-Q2-{i:02}") == 1 for i in range(cards))


def test_a_card_tells_all_that_is_asked_for(tmp_path: Path) -> None:
    text = card_text(tmp_path / "c.pdf", samples.card())
    for words in (
        "Lindenhof Chess Club",
        "One queen, one king",
        "The queen's box",
        "Name",
        "Date",
        "You are White. White to move. Mate in at most 16 moves.",
        "P-Q2-01",
        "Mate Stalemate Gave up",
    ):
        assert words in text
    assert "Level" not in text


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("unit", ["two-majors", "queen-against-pawn", "a-very-long-name-of-ones-own-unit"])
def test_a_code_stands_in_one_line_on_its_card(tmp_path: Path, unit: str, size: PaperSize) -> None:
    code = card_code(unit, 10)
    (tmp_path / "c.pdf").write_bytes(cards_pdf([replace(samples.card(), code=code)], PaperOptions(size)))
    lines = [" ".join(line.split()) for line in printed.texts(tmp_path / "c.pdf")[0].splitlines()]
    assert code in lines


def test_black_can_be_the_student_and_can_begin(tmp_path: Path) -> None:
    card = replace(samples.card(1, 1), white=False, position=BLACK_BEGINS)
    assert "You are Black. Black to move. Mate in at most 1 move." in card_text(tmp_path / "c.pdf", card)


def test_whites_first_box_is_skipped_when_black_begins(tmp_path: Path) -> None:
    begins = card_text(tmp_path / "black.pdf", replace(samples.card(), position=BLACK_BEGINS))
    assert "\N{HORIZONTAL ELLIPSIS}" in begins
    assert "\N{HORIZONTAL ELLIPSIS}" not in card_text(tmp_path / "white.pdf", samples.card())


def test_a_row_more_is_needed_when_white_has_to_wait() -> None:
    card = samples.card(1, 10)
    assert moves_to_write(card) == 10
    assert moves_to_write(replace(card, position=BLACK_BEGINS)) == 11
    assert moves_to_write(replace(card, position=BLACK_BEGINS, white=False)) == 10


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("allowance", [1, 7, 12, 14])
def test_every_move_of_the_allowance_has_a_numbered_row(
    tmp_path: Path, allowance: int, size: PaperSize
) -> None:
    (tmp_path / "c.pdf").write_bytes(cards_pdf([samples.card(1, allowance)], PaperOptions(size)))
    text = " ".join(printed.texts(tmp_path / "c.pdf")[0].split())
    rows = text[text.index("P-Q2-01") :].replace("White Black", "").split()[1 : allowance + 1]
    assert rows == [str(i) for i in range(1, allowance + 1)]
    assert "overleaf" not in text


def test_a_longer_game_goes_on_overleaf(tmp_path: Path) -> None:
    assert "Go on overleaf." in card_text(tmp_path / "c.pdf", samples.card(1, 37))


@given(st.integers(1, 60), st.floats(40 * MM, 70 * MM))
def test_the_grid_fits_and_its_rows_are_high_enough_for_a_hand(moves: int, height: float) -> None:
    grid = grid_for(moves, height)
    assert grid.rows * grid.row_height <= height
    assert grid.row_height >= 5.3 * MM
    assert grid.columns in (1, 2)
    assert grid.moves == min(moves, grid.columns * grid.rows)
    assert grid.moves > (grid.columns - 1) * grid.rows


def test_a_card_allows_a_move_at_least() -> None:
    with pytest.raises(CoachbookError, match="allows no move"):
        samples.card(1, 0)


def test_no_card_is_no_page() -> None:
    with pytest.raises(CoachbookError, match="nothing to print"):
        cards_pdf([], PaperOptions())


def test_the_same_cards_give_the_same_bytes_with_all_fonts_in_them(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        (tmp_path / name).write_bytes(cards_pdf([samples.card(i) for i in range(5)], PaperOptions()))
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert all(printed.fonts(tmp_path / "one.pdf").values())


def test_every_code_on_a_page_can_be_scanned(tmp_path: Path) -> None:
    zbarimg = printed.tool("zbarimg")
    (tmp_path / "c.pdf").write_bytes(cards_pdf([samples.card(i) for i in range(4)], PaperOptions()))
    printed.pixels(tmp_path / "c.pdf", 200, tmp_path)
    scan = next(tmp_path.glob("page-*"))
    found = subprocess.run([zbarimg, "-q", "--raw", str(scan)], capture_output=True, text=True, check=True)
    assert sorted(found.stdout.split()) == [f"P-Q2-{i:02}" for i in range(4)]


@pytest.mark.parametrize(
    ("goal", "words"),
    [
        (
            Goal.WIN,
            "White: mate in at most 16 moves. Black: hold out longer. Mate in time: White 2 points."
            " Mate later: 1 each. No mate: Black 2. Then change sides: who has more points?",
        ),
        (
            Goal.DRAW,
            "White: hold the draw for 16 moves. Black: win. Draw held: White 2 points. Not held: Black 2."
            " Then change sides: who has more points?",
        ),
    ],
)
def test_a_card_for_two_has_both_tasks_and_how_to_count(tmp_path: Path, goal: Goal, words: str) -> None:
    text = card_text(tmp_path / "c.pdf", replace(samples.card(), goal=goal, for_two=True))
    assert "Name" not in text
    assert "A game for two White to move." in text
    told = [part.strip() for part in words.split(". ")]
    assert all(part.rstrip(".") in text for part in told)
