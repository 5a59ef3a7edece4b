"""A poster has the method's rules word for word, and boards with the move that they say."""

from pathlib import Path

import chess
import pytest
from pypdf import PdfReader

from coachbook.errors import CoachbookError
from coachbook.method.border import choose
from coachbook.method.registry import method_names
from coachbook.method.rules import Method
from coachbook.paper.options import Notation, PaperOptions, PaperSize
from coachbook.workflows.poster import make_poster, poster_boards
from coachbook.workflows.proving import method_named, proof_line, shipped_proofs
from coachbook.workflows.teaching import load_syllabus

SYLLABUS = load_syllabus()
PROVEN = [name for name in method_names() if shipped_proofs(name)]
each_method = pytest.mark.parametrize("name", PROVEN)


def text_of(path: Path) -> str:
    (page,) = PdfReader(path).pages
    return " ".join(page.extract_text().split())


def first_moves(method: Method, board: chess.Board) -> set[tuple[int, int]]:
    return {(move.from_square, move.to_square) for move in choose(board, method).moves}


@each_method
@pytest.mark.parametrize("size", PaperSize)
def test_a_poster_is_one_page_with_all_rules_and_the_proof(
    tmp_path: Path, name: str, size: PaperSize
) -> None:
    path = make_poster(SYLLABUS, name, tmp_path / "new", PaperOptions(size, Notation.LETTERS))
    assert path.name == f"poster-{name}.pdf"
    text = text_of(path)
    method = method_named(name)
    assert method.title in text
    for rule in method.told:
        assert f"{rule.name.capitalize()}: {' '.join(rule.words.split())}" in text
    assert " ".join(proof_line(name).split()) in text
    assert "The hardest of all" in text


@each_method
def test_the_arrow_is_a_move_that_the_method_leaves(name: str) -> None:
    method = method_named(name)
    boards = poster_boards(SYLLABUS, method)
    assert boards
    for position, marks, _ in boards:
        (arrow,) = marks.arrows
        assert (arrow.start, arrow.end) in first_moves(method, chess.Board(position.fen))


def test_the_letters_are_the_reader_s(tmp_path: Path) -> None:
    text = text_of(
        make_poster(
            SYLLABUS, "two-majors", tmp_path, PaperOptions(notation=Notation.LETTERS, letters="KDTLS")
        )
    )
    assert ": T" in text or ": D" in text
    assert ": R" not in text


def test_an_unknown_method_leaves_no_folder_behind(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="There is no method"):
        make_poster(SYLLABUS, "bishop-box", tmp_path / "new", PaperOptions())
    assert not (tmp_path / "new").exists()
